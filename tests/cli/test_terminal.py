"""No text of a file or an argument commands the terminal, or shows there in another order than it is written in."""

from __future__ import annotations

import errno
import io
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout

import pytest

from tablegen.cli.main import main
from tests.worked import WORKED, copy_of_worked

ESCAPE, REVERSED = "\x1b[31m", "\u202e"
MARKS = (
    "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200b\u2028\ufeff\x07\x08\x7f\x85\x9b\r"
)


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@contextmanager
def terminal() -> Iterator[Terminal]:
    found = Terminal()
    with redirect_stdout(found), redirect_stderr(found):
        yield found


@pytest.mark.parametrize("sign", [*MARKS, "\x1b"])
def test_an_argument_is_shown_by_its_code(sign):
    given = ["pick", f"R4{sign}48A", "--sst", "24F", "--load", "5 kW", "--application", "walk_in_medium"]
    with terminal() as shown:
        assert main([*given, "--catalogue", str(WORKED)]) == 2
    assert sign not in shown.getvalue()
    assert ascii(sign)[1:-1].removeprefix("\\") in shown.getvalue()


def test_what_a_file_says_is_shown_by_its_code_in_answers_and_notes(tmp_path):
    path = copy_of_worked(tmp_path / "configs")
    stock = tmp_path / "stock.csv"
    stock.write_text(f"family,size,quantity,location\nalder,45,3,A{ESCAPE}{REVERSED}1\n", encoding="utf-8")
    given = ["--sst", "24F", "--load", "2 kW", "--application", "walk_in_medium", "--catalogue", str(path)]
    with terminal() as shown:
        main(["pick", "R448A", *given, "--stock", str(stock)])
        main(["check", "--catalogue", str(path), "--stock", f"{tmp_path}/no{ESCAPE}such"])
    text = shown.getvalue()
    assert "\x1b" not in text
    assert REVERSED not in text


def test_an_unknown_option_is_shown_by_its_code():
    with terminal() as shown, pytest.raises(SystemExit):
        main(["pick", "R448A", f"--sst{ESCAPE}", "24F"])
    assert "\x1b" not in shown.getvalue()


def test_lines_tabs_and_a_progress_bar_pass():
    from tablegen.cli.terminal import safe_streams

    with terminal() as shown, safe_streams():
        sys.stdout.write("a\tb\r\nc\n")
        sys.stdout.write("\r 50 %   \r")
        sys.stdout.write("d\re")
    assert shown.getvalue() == "a\tb\r\nc\n\r 50 %   \rd\\re"


def test_what_another_program_reads_stays_as_it_is(capsys):
    from tablegen.cli.terminal import safe_streams

    with safe_streams():
        print(ESCAPE)
        print(ESCAPE, file=sys.stderr)
    out, err = capsys.readouterr()
    assert out == f"{ESCAPE}\n"
    assert err == "\\x1b[31m\n"


@pytest.mark.parametrize(("closed", "arguments", "code"), [("stdout", [], 0), ("stderr", ["--warmest", "x"], 2)])
def test_a_stream_that_a_service_has_closed_is_no_matter(closed, arguments, code, monkeypatch, capsys):
    monkeypatch.setattr(sys, closed, None)
    assert main(["states", "R134a", *arguments]) == code
    shown = capsys.readouterr()
    assert not (shown.out if closed == "stdout" else shown.err)


def test_bad_input_has_its_code_where_no_line_can_say_so(monkeypatch):
    class Full(io.StringIO):
        def write(self, text: str) -> int:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(sys, "stderr", Full())
    assert main(["states", "no refrigerant"]) == 2


@pytest.mark.slow
def test_a_date_of_the_environment_stops_nothing():
    # numpy's f2py, which the optimizers import, reads it.
    program = "from tablegen.cli.main import main; main(['verify']); import numpy.f2py"
    environment = {**os.environ, "SOURCE_DATE_EPOCH": "abc"}
    done = subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_name_that_is_no_text_is_refused(capsys):
    with pytest.raises(SystemExit) as end:
        main(["check", "--catalogue", "shop\udcff"])
    err = capsys.readouterr().err
    assert end.value.code == 2 and r"argument 'shop\udcff': a byte is no character" in err and "Traceback" not in err
