"""How a command gives its answer: on the screen as text or JSON, and in the files asked for."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.errors import OutputError, RequestError
from tablegen.wording import command_line as wording
from tablegen.wording.message import OR, listed

if TYPE_CHECKING:
    from tablegen.report.answer import Answer

UNIT_SYSTEMS = ("IP", "SI")
# As a user writes a paper, and as documents know it.
PAPERS = ("letter", "a4")
_ENDINGS = (".pdf", ".html", ".txt", ".json")
_CSV = (".csv",)


def add_answer_options(parser: argparse.ArgumentParser, csv_rows: str, default_units: str) -> None:
    """`--units`, `--json`, `--csv`, `--output` and `--paper`, with the same meaning in every command.

    `csv_rows` says what the rows of the CSV file are, `default_units` which units an answer has by default.
    """
    units_help = wording.UNITS_HELP(default=default_units)
    parser.add_argument("--units", choices=UNIT_SYSTEMS, type=str.upper, help=units_help)
    parser.add_argument("--json", action="store_true", help=wording.JSON_HELP())
    parser.add_argument("--csv", metavar="FILE", help=wording.CSV_HELP(rows=csv_rows))
    parser.add_argument("--output", metavar="FILE", help=wording.OUTPUT_HELP())
    parser.add_argument("--paper", choices=PAPERS, type=str.lower, help=wording.PAPER_HELP())


def check_files(options: argparse.Namespace) -> None:
    """Look at the names of the files asked for, before anything is computed.

    Raises
    ------
    RequestError
        If a name is empty, a folder, of another kind, in a folder that does not exist, or given twice.
    """
    for option, name, endings in (("--csv", options.csv, _CSV), ("--output", options.output, _ENDINGS)):
        if name is not None:
            check_file(option, name, endings)


def is_pdf(options: argparse.Namespace) -> bool:
    """Whether a PDF is asked for."""
    return options.output is not None and Path(options.output).suffix.lower() == ".pdf"


def deliver(answer: Answer, options: argparse.Namespace, units: str, sheet: Answer | None = None) -> None:
    """Write the files asked for and print the answer, as JSON or as text with a line about each file.

    Files come first, so that what is printed is not followed by a failure. A PDF has the `sheet`, if there is one, in
    place of the answer.

    Raises
    ------
    OutputError
        If a file cannot be written.
    """
    written = [_write_csv(answer, Path(options.csv))] if options.csv is not None else []
    if options.output is not None:
        paper = options.paper or ("a4" if units == "SI" else "letter")
        given = sheet if sheet is not None and is_pdf(options) else answer
        written.append(_write(given, Path(options.output), paper))
    if options.json:
        from tablegen.report.json_export import to_json

        print(to_json(answer))
        return
    from tablegen.report.text import terminal_width, to_text

    print("\n".join([to_text(answer, terminal_width()), *written]))


def check_file(option: str, name: str, endings: tuple[str, ...]) -> None:
    """Look at the name of one file, as `check_files`."""
    path = Path(name)
    allowed = listed(endings, OR)
    reason = ""
    if not name.strip():
        reason = wording.NO_NAME()
    elif path.is_dir():
        reason = wording.IS_FOLDER(endings=allowed)
    elif path.suffix.lower() not in endings:
        reason = wording.WRONG_ENDING(endings=allowed)
    elif not path.parent.is_dir():
        reason = wording.NO_FOLDER(folder=repr(str(path.parent)))
    if reason:
        raise RequestError(wording.NOT_ALLOWED(option=option, name=repr(name), reason=reason))


def _write_csv(answer: Answer, target: Path) -> str:
    from tablegen.report.json_export import to_csv

    table = answer.csv_table()
    write_text("--csv", target, to_csv(table))
    return wording.ROWS(len(table.rows), file=str(target))


def _write(answer: Answer, target: Path, paper: str) -> str:
    """The answer in a file of the kind that its name says; a line about it."""
    kind = target.suffix.lower()
    if kind == ".pdf":
        return _write_pdf(answer, target, paper)
    if kind == ".html":
        from tablegen.report.html.answer_page import page

        text = page(answer)
    elif kind == ".json":
        from tablegen.report.json_export import to_json

        text = to_json(answer) + "\n"
    else:
        from tablegen.report.text import to_text

        text = to_text(answer) + "\n"
    write_text("--output", target, text)
    return wording.WRITTEN(file=str(target))


def _write_pdf(answer: Answer, target: Path, paper: str) -> str:
    from tablegen.files import replace_file
    from tablegen.report.pdf.answer_sheet import print_answer

    try:
        with replace_file(target) as stage:
            pages = print_answer(answer, paper, stage)
    except OutputError as error:
        raise OutputError(wording.CANNOT_WRITE(option="--output", error=str(error))) from error
    return wording.PAGES(pages, file=str(target))


def write_text(option: str, target: Path, text: str) -> None:
    """Write a file; the last one is untouched if that fails, and the error names the option."""
    from tablegen.files import replace_file

    try:
        with replace_file(target) as stage:
            stage.write_text(text, encoding="utf-8", newline="")
    except OutputError as error:
        raise OutputError(wording.CANNOT_WRITE(option=option, error=str(error))) from error
