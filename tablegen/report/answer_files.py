"""An answer in a file: PDF, HTML, text, JSON, one of its tables as CSV, its spreadsheet, or its one figure as SVG or PNG."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.errors import RequestError
from tablegen.wording import command_line as wording
from tablegen.wording import jobs as jobs_wording
from tablegen.wording.message import OR, argument, listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tablegen.report.answer import Answer

# As a user writes a paper, and as documents know it.
PAPERS = ("letter", "a4")
ENDINGS = (".pdf", ".html", ".txt", ".json", ".csv")
# Of an answer with one figure, the figure alone.
FIGURE_ENDINGS = (".svg", ".png")
# The figure is as wide as a landscape sheet leaves [pt].
_FIGURE_WIDTH = 690.0


def check_file(name: str, path: str | Path, endings: Sequence[str] = ENDINGS) -> None:
    """Look at the name of a file that an argument asks for, before anything is computed.

    Raises
    ------
    RequestError
        If it is empty, a folder, of another kind, or in a folder that does not exist.
    """
    target, allowed = Path(path), listed(endings, OR)
    reason = ""
    if not str(path).strip():
        reason = wording.NO_NAME()
    elif target.is_dir():
        reason = wording.IS_FOLDER(endings=allowed)
    elif target.suffix.lower() not in endings:
        reason = wording.WRONG_ENDING(endings=allowed)
    elif not target.parent.is_dir():
        reason = wording.NO_FOLDER(folder=repr(str(target.parent)))
    if reason:
        raise RequestError(wording.NOT_ALLOWED(option=argument(name), name=repr(str(path)), reason=reason))


def check_not_read(name: str, path: str | Path, source: Path | None, *, has_order: bool) -> None:
    """See that a file that an argument asks for, or the order list beside it if it has one, is not a list that is read.

    Raises
    ------
    RequestError
        If it is.
    """
    target = Path(path)
    for own, message in (
        (target, jobs_wording.IS_THE_LIST()),
        (order_file(target), jobs_wording.OR_ORDER_IS_THE_LIST(name=order_file(target).name)),
    ):
        is_source = source is not None and own.exists() and source.exists() and own.samefile(source)
        if is_source and (own is target or (has_order and target.suffix.lower() == ".csv")):
            raise RequestError(wording.NOT_ALLOWED(option=argument(name), name=repr(str(path)), reason=message))


def order_file(target: Path) -> Path:
    """The CSV file of an order list beside that of the jobs."""
    return target.with_name(f"{target.stem}-order{target.suffix}")


def check_and_write(answer: Answer, path: str | Path, paper: str) -> None:
    """Write an answer to a file that a call names as its `path`.

    Raises
    ------
    RequestError
        As `check_file` and `check_not_read`.
    OutputError
        If the file cannot be written; the last one is untouched.
    """
    more = (".xlsx",) if answer.sheets or answer.workbook else FIGURE_ENDINGS if len(answer.figures) == 1 else ()
    check_file("path", path, (*ENDINGS, *more))
    if answer.sheets:
        check_not_read("path", path, answer.sheets.source, has_order=True)
    write_answer(answer, Path(path), paper)


def write_answer(answer: Answer, target: Path, paper: str = "") -> str:
    """Write an answer to a file of the kind that its name says; a line about it.

    Without a `paper` a PDF is on A4 with SI units and on letter with others.

    Raises
    ------
    OutputError
        If the file cannot be written, or was read by the command that writes it; the last one is untouched.
    """
    from tablegen.files import refuse_over_input

    refuse_over_input(target)
    kind = target.suffix.lower()
    if kind == ".pdf":
        sheet = answer.sheet() if answer.sheet else answer
        return _write_pdf(sheet, target, paper or ("a4" if answer.units == "SI" else "letter"))
    if answer.sheets and kind in (".csv", ".xlsx"):
        return "\n".join(answer.sheets.write(target))
    if kind == ".xlsx":
        return _write_workbook(answer, target)
    if kind in FIGURE_ENDINGS:
        return _write_figure(answer, target, kind)
    if kind == ".csv":
        from tablegen.report.json_export import to_csv

        table = answer.csv_table()
        write_text(target, to_csv(table))
        return wording.ROWS(len(table.rows), file=str(target))
    write_text(target, _text(answer, kind))
    return wording.WRITTEN(file=str(target))


def _text(answer: Answer, kind: str) -> str:
    if kind == ".html":
        from tablegen.report.html.answer_page import page

        return page(answer)
    if kind == ".json":
        from tablegen.report.json_export import to_json

        return to_json(answer) + "\n"
    from tablegen.report.text import to_text

    return to_text(answer) + "\n"


def _write_pdf(answer: Answer, target: Path, paper: str) -> str:
    from tablegen.files import replace_file
    from tablegen.report.pdf.answer_sheet import print_answer

    with replace_file(target) as stage:
        pages = print_answer(answer, paper, stage)
    return wording.PAGES(pages, file=str(target))


def _write_workbook(answer: Answer, target: Path) -> str:
    from tablegen.files import replace_file

    assert answer.workbook is not None, f"answer {answer.key!r} has no workbook"
    content = answer.workbook()
    with replace_file(target) as stage:
        stage.write_bytes(content)
    return wording.WRITTEN(file=str(target))


def _write_figure(answer: Answer, target: Path, kind: str) -> str:
    """The one figure of an answer, with its notice and cautions in the file."""
    from tablegen.files import replace_file
    from tablegen.report.graphs.graph_files import png_bytes
    from tablegen.report.graphs.svg import svg

    [figure] = answer.figures
    lowest, highest = figure.heights(_FIGURE_WIDTH)
    drawing = figure.draw(_FIGURE_WIDTH, 0.5 * (lowest + highest))
    imprint = answer.imprint
    about = () if imprint is None else (imprint.notice, *imprint.cautions, imprint.origin)
    texts = figure.alt, " ".join(filter(None, about))
    foot = "" if imprint is None else " ".join(filter(None, (imprint.caution, imprint.notice)))
    if kind == ".svg":
        write_text(target, f"{svg(drawing, *texts, foot=foot)}\n")
    else:
        content = png_bytes(drawing, *texts, foot=foot)
        with replace_file(target) as stage:
            stage.write_bytes(content)
    return wording.WRITTEN(file=str(target))


def write_text(target: Path, text: str) -> None:
    """Write a text file.

    Raises
    ------
    OutputError
        If it cannot be written; the last one is untouched.
    """
    from tablegen.files import replace_file

    with replace_file(target) as stage:
        stage.write_text(text, encoding="utf-8", newline="")
