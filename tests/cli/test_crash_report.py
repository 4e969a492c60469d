"""An error that nobody foresaw is one line, a report in a file, and an exit code of its own."""

import re
from pathlib import Path

import pytest

from tablegen import __version__, cache, crash_report
from tablegen.api import catalogues
from tablegen.cli.main import main

ARGUMENTS = ["check", "--demo"]


def fail(*_: object, **__: object) -> None:
    raise IndexError("list index\nout of range")


@pytest.fixture
def broken(monkeypatch):
    monkeypatch.setattr(catalogues, "load_catalogue", fail)


def test_an_unexpected_error_is_one_line_and_a_report(broken, tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("TABLEGEN_CACHE", str(tmp_path))
    assert main(ARGUMENTS) == 70
    shown = capsys.readouterr()
    assert shown.out == ""
    [line] = shown.err.splitlines()
    assert line.startswith("unexpected error in tablegen: IndexError: list index out of range; please send the report ")
    [report] = (tmp_path / "crashes").iterdir()
    assert str(report) in line
    text = report.read_text(encoding="utf-8")
    for part in ("arguments: ['check', '--demo']", f"tablegen {__version__}, Python 3.", "numpy ", "Traceback", "fail"):
        assert part in text


def test_a_cache_that_cannot_be_written_sends_the_report_to_the_temporary_folder(broken, tmp_path, monkeypatch, capsys):
    (tmp_path / "taken").write_text("a file where the folder should be")
    monkeypatch.setattr(crash_report, "default_folder", lambda: tmp_path / "taken")
    monkeypatch.setattr(crash_report.tempfile, "gettempdir", lambda: str(tmp_path / "temporary"))
    assert main(ARGUMENTS) == 70
    [report] = (tmp_path / "temporary").iterdir()
    assert str(report) in capsys.readouterr().err


def test_without_any_folder_the_line_says_so(broken, tmp_path, monkeypatch, capsys):
    (tmp_path / "taken").write_text("")
    monkeypatch.setattr(crash_report, "default_folder", lambda: tmp_path / "taken")
    monkeypatch.setattr(crash_report.tempfile, "gettempdir", lambda: str(tmp_path / "taken"))
    assert main(ARGUMENTS) == 70
    assert capsys.readouterr().err.endswith("no report of it could be written\n")


def test_an_interruption_is_no_crash(tmp_path, monkeypatch):
    def end(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setenv("TABLEGEN_CACHE", str(tmp_path))
    monkeypatch.setattr(catalogues, "load_catalogue", end)
    assert main(ARGUMENTS) == 130
    assert not (cache.default_folder() / "crashes").exists()


def test_help_names_the_exit_code(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    assert re.search(r"70\s+unexpected\s+error", capsys.readouterr().out)


def test_the_manual_names_the_exit_code():
    page = Path(__file__).resolve().parents[2] / "tablegen" / "manual" / "files.md"
    assert "| 70 | unexpected error" in page.read_text(encoding="utf-8")
