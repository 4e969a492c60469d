"""How a command gives its answer: on the screen as text or JSON, and in the files asked for."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.cli.options import ExitCode
from tablegen.errors import OutputError
from tablegen.report.answer_files import ENDINGS, FIGURE_ENDINGS, PAPERS, check_file, check_not_read, write_answer
from tablegen.wording import cases
from tablegen.wording import command_line as wording
from tablegen.wording.message import argument

if TYPE_CHECKING:
    from tablegen.report.answer import Answer

UNIT_SYSTEMS = ("IP", "SI")
_CSV = (".csv",)
_LISTS = (".xlsx", ".csv")
_SHEETS = tuple(ending for ending in ENDINGS if ending not in _CSV)


def add_answer_options(parser: argparse.ArgumentParser, csv_rows: str, default_units: str, output: str = "") -> None:
    """`--units`, `--json`, `--csv`, `--output` and `--paper`, with the same meaning in every command.

    `csv_rows` says what the rows of the CSV file are, `default_units` which units an answer has by default, `output`
    which files it can be written to where there are others than usual.
    """
    units_help = wording.UNITS_HELP(default=default_units)
    parser.add_argument("--units", choices=UNIT_SYSTEMS, type=str.upper, help=units_help)
    parser.add_argument("--json", action="store_true", help=wording.JSON_HELP())
    parser.add_argument("--csv", metavar="FILE.csv", help=wording.CSV_HELP(rows=csv_rows))
    parser.add_argument("--output", metavar="FILE", help=output or wording.OUTPUT_HELP())
    parser.add_argument("--paper", choices=PAPERS, type=str.lower, help=wording.PAPER_HELP())


def check_files(
    options: argparse.Namespace,
    *,
    is_list: bool = False,
    has_order: bool = False,
    has_figure: bool = False,
    read: Sequence[Path | None] = (),
) -> None:
    """Look at the names of the files asked for, before anything is computed.

    A list may be a spreadsheet, with an order list beside it, an answer of one figure the figure alone; none is written
    over a list that is `read`.

    Raises
    ------
    RequestError
        As `check_file`.
    """
    sheets = (*_LISTS, *_SHEETS) if is_list else _SHEETS
    sheets = (*sheets, *FIGURE_ENDINGS) if has_figure else sheets
    for name, path, endings in (("csv", options.csv, _CSV), ("output", options.output, sheets)):
        if path is not None:
            check_file(name, path, endings)
            for source in read:
                check_not_read(name, path, source, has_order=has_order)


def deliver(answer: Answer, options: argparse.Namespace) -> ExitCode:
    """Write the files asked for, print the answer as JSON or as text with a line about each file; the exit code.

    Files come first, so that what is printed is not followed by a failure.

    Raises
    ------
    OutputError
        If a file cannot be written.
    """
    # An answer that has no units of its own is on the paper of those asked for.
    paper = options.paper or ("a4" if options.units == "SI" else "")
    written = []
    for name, path in (("csv", options.csv), ("output", options.output)):
        if path is not None:
            with naming(name):
                written.append(write_answer(answer, Path(path), paper))
    if options.json:
        from tablegen.report.json_export import to_json

        print(to_json(answer))
    else:
        from tablegen.report.text import terminal_width, to_text

        records = [cases.RECORDED(file=file) for file in answer.records]
        print("\n".join([to_text(answer, terminal_width()), *written, *records]))
    if answer.problems:
        print("\n".join(answer.problems), file=sys.stderr)
        return ExitCode.BAD_INPUT
    return ExitCode.DONE if answer.passed else ExitCode.NO


@contextmanager
def naming(name: str) -> Iterator[None]:
    """An error of the output names the option that asked for the file."""
    try:
        yield
    except OutputError as error:
        raise OutputError(wording.CANNOT_WRITE(option=argument(name), error=str(error))) from error
