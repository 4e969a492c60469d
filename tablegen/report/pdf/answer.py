"""An answer as a printed sheet: heading, answer, facts, figure, tables that run on over pages, notes and cautions."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from pathlib import Path
from typing import IO

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, PageBreak

from tablegen.report.answer import Answer, AnswerTable, ColumnStyle, Imprint, TableLayout, visible
from tablegen.report.formatter import NBSP
from tablegen.report.pdf.columns import Columns
from tablegen.report.pdf.fonts import MIN_SIZE
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.tables import data_tables, facts
from tablegen.report.pdf.vector import FigureFlowable

_TOP = 12 * mm
# Type of tables [pt], the largest first: the first with which everything is on one page is taken.
_SIZES = (9.0, 8.5, MIN_SIZE)
_SLACK = 4.0
# Characters up to which a cell of a table stays on one line.
_SHORT = 16
# Levels that a document has headings for; a section below has a caption.
_HEADINGS = 2
_ENDLESS = 1e5


def print_answer(answer: Answer, paper: str, target: Path | IO[bytes]) -> int:
    """Print an answer on paper ("A4" or "Letter"); return the number of pages.

    The answer is set on one page if that can be: with smaller type in tables, and a figure as high as the rest leaves.

    Raises
    ------
    PublishError
        If a text does not fit or a glyph is missing.
    """
    imprint = answer.imprint or Imprint(notice="")
    document = Document(
        target,
        paper,
        visible(answer.heading),
        date=imprint.date,
        notice=visible(imprint.notice),
        author=imprint.author,
        subject=imprint.subject,
        keywords=imprint.keywords,
        top_margin=_TOP,
    )
    drawn = _drawn(answer, document.frame_width)
    for size in _SIZES:
        story = _story(answer, imprint, document, drawn, size)
        if all(_height(page, document.frame_width) + _SLACK <= document.frame_height for page in _pages(story)):
            break
    else:
        story = _story(answer, imprint, document, drawn, _SIZES[0])
    for page in _pages(story):
        _leave_room(page, document.frame_width)
    return document.build(story)


def _pages(story: Sequence[Flowable]) -> list[list[Flowable]]:
    """The parts between page breaks."""
    found: list[list[Flowable]] = [[]]
    for part in story:
        if isinstance(part, PageBreak):
            found.append([])
        else:
            found[-1].append(part)
    return found


def _leave_room(page: Sequence[Flowable], width: float) -> None:
    """Have sheets of figures leave the height of what comes after them."""
    for number, part in enumerate(page):
        if isinstance(part, Columns):
            part.reserve = part.getSpaceAfter() + _height(page[number + 1 :], width) + _SLACK


# Figures of sections by the identity of these.
_Drawn = dict[int, Flowable]


def _drawn(answer: Answer, width: float) -> _Drawn:
    """The figures of all sections, as high as is useful; that of the answer itself waits for what the page has left."""
    found: _Drawn = {}
    for section in (own for part in answer.sections for own in part.every_section()):
        if (figure := section.figure) is not None:
            height = figure.heights(width)[1]
            found[id(section)] = FigureFlowable(figure.draw(width, height), width, height, figure.alt)
    return found


def _story(answer: Answer, imprint: Imprint, document: Document, drawn: _Drawn, size: float) -> list[Flowable]:
    """Everything at one size of type, the figure as high as what is left of the page."""
    width = document.frame_width
    above, below = _above(answer, width, size, 1), _below(answer, drawn, width, size, 1)
    below += [_sentence(text, "small") for text in (*imprint.cautions, imprint.origin) if text]
    if answer.figure is None:
        return [*above, *below]
    lowest, highest = answer.figure.heights(width)
    left = document.frame_height - _height(above, width) - _height(below, width) - _SLACK
    height = min(max(left, lowest), highest)
    figure = FigureFlowable(answer.figure.draw(width, height), width, height, answer.figure.alt)
    return [*above, figure, *below]


def _height(parts: Sequence[Flowable], width: float) -> float:
    """Height of parts under each other [pt]; of the spaces between two the larger counts."""
    if not parts:
        return 0.0
    height = sum(
        part.least_height if isinstance(part, Columns) else float(part.wrap(width, _ENDLESS)[1]) for part in parts
    )
    gaps = (max(above.getSpaceAfter(), below.getSpaceBefore()) for above, below in itertools.pairwise(parts))
    return height + sum(gaps) + parts[0].getSpaceBefore() + parts[-1].getSpaceAfter()


def _above(answer: Answer, width: float, size: float, level: int) -> list[Flowable]:
    """What comes before the figure."""
    heading = visible(answer.heading)
    parts: list[Flowable] = [Heading(heading, level) if level <= _HEADINGS else paragraph(heading, "caption")]
    parts += [
        _sentence(text, "body" if number or level > 1 else "caption") for number, text in enumerate(answer.summary)
    ]
    printed = [(visible(fact.label), visible(fact.value.text)) for fact in answer.facts if fact.label]
    return [*parts, facts(printed, width, size)] if printed else parts


def _below(answer: Answer, drawn: _Drawn, width: float, size: float, level: int) -> list[Flowable]:
    """What comes after the figure."""
    parts: list[Flowable] = []
    if answer.figure is not None and answer.figure.caption:
        parts.append(_sentence(answer.figure.caption, "small"))
    for table in answer.tables:
        if table.is_printed:
            parts += _table(table, width, size)
    for number, section in enumerate(answer.sections):
        if number and any(table.layout is TableLayout.SHEET for table in section.tables):
            parts.append(PageBreak())
        own = [*_above(section, width, size, level + 1), *_figure(section, drawn)]
        if section.figure is not None:
            # It is on the page of its heading.
            parts.append(CondPageBreak(_height(own, width)))
        parts += own
        parts += _below(section, drawn, width, size, level + 1)
    return [*parts, *(_sentence(text, "note", "•") for text in answer.notes)]


def _figure(section: Answer, drawn: _Drawn) -> list[Flowable]:
    return [drawn[id(section)]] if section.figure is not None else []


def _table(table: AnswerTable, width: float, size: float) -> list[Flowable]:
    parts: list[Flowable] = [_sentence(table.title, "caption")] if table.title else []
    cells = [[_whole(visible(cell)) for cell in row] for row in table.cells()]
    styles = table.styles()
    numeric, formulas = (
        [i for i, own in enumerate(styles) if own is style] for style in (ColumnStyle.FIGURES, ColumnStyle.FORMULA)
    )
    if table.layout is TableLayout.ENTRIES:
        parts += [_entry(row, is_formula=bool(formulas)) for row in cells]
    elif table.layout is TableLayout.SHEET:
        heads = [(name, unit) for name, _, unit in (visible(label).rpartition(", ") for label in table.labels())]
        parts.append(Columns(heads, cells, table.breaks))
    else:
        labels = [visible(label) for label in table.labels()]
        parts += data_tables(labels, cells, width, numeric=numeric, formulas=formulas, breaks=table.breaks, size=size)
    return [*parts, _sentence(table.more, "small")] if table.more else parts


def _whole(cell: str) -> str:
    """A short cell is not broken, so that columns of sentences take the width that is left."""
    return cell.replace(" ", NBSP) if len(cell) <= _SHORT else cell


def _entry(row: Sequence[str], is_formula: bool) -> Flowable:
    """A row as a paragraph of several lines, its first cell in the indent."""
    lines = "\n".join(cell for cell in row[1:] if cell)
    return paragraph(lines, "step", row[0], is_formula)


def _sentence(text: str, style: str, mark: str | None = None) -> Flowable:
    return paragraph(visible(text), style, mark)
