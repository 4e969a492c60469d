"""An answer as a printed sheet: heading, answer, facts, figure, tables that run on over pages, notes and cautions."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, PageBreak, Spacer

from tablegen.report.answer import Answer, AnswerTable, ColumnStyle, Imprint, TableLayout, visible
from tablegen.report.pdf.columns import Columns
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.fonts import MIN_SIZE, SEMIBOLD
from tablegen.report.pdf.page import STYLES, Document, Heading, paragraph
from tablegen.report.pdf.paragraphs import Tagged, escape
from tablegen.report.pdf.tables import data_tables, facts

_TOP = 12 * mm
_SLACK = 4.0
_ENDLESS = 1e5
# Pages above which no setting brings everything onto one.
_FAR = 2.5
# Levels that a document has headings for; a section below has a caption.
_HEADINGS = 2


@dataclass(frozen=True, slots=True)
class _Setting:
    """Type of tables and facts [pt], and whether everything is set with little space."""

    size: float
    is_tight: bool = False


# The roomiest first: the first with which everything is on one page is taken.
_SETTINGS = (
    _Setting(9.0),
    _Setting(8.5),
    _Setting(MIN_SIZE),
    _Setting(8.5, is_tight=True),
    _Setting(MIN_SIZE, is_tight=True),
)
_TIGHT = ParagraphStyle("small", STYLES["small"], fontSize=MIN_SIZE, leading=9.1, spaceAfter=0.8)
_TIGHT_CAPTION = ParagraphStyle("caption", _TIGHT, fontName=SEMIBOLD, spaceBefore=2, keepWithNext=1)


def print_answer(answer: Answer, paper: str, target: Path | IO[bytes]) -> int:
    """Print an answer on paper ("A4" or "Letter"); return the number of pages.

    The answer is set on one page if that can be, else on one for each sheet of figures: with smaller type and less
    space, and a figure as high as the rest leaves.

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
    for setting in _SETTINGS:
        story = _story(answer, imprint, document, drawn, setting)
        highest = max(_height(page, document.frame_width) for page in _pages(story)) + _SLACK
        if not document.frame_height < highest < _FAR * document.frame_height:
            break
    if highest > document.frame_height:
        story = _story(answer, imprint, document, drawn, _SETTINGS[0])
    for page in _pages(story):
        _leave_room(page, document.frame_width)
    return document.build(_with_figure(answer, story))


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
            found[id(section)] = DrawingFlowable(figure.draw(width, height), figure.alt)
    return found


def _story(answer: Answer, imprint: Imprint, document: Document, drawn: _Drawn, setting: _Setting) -> list[Flowable]:
    """Everything in one setting, with space for the figure as high as what is left of the page."""
    width = document.frame_width
    above, below = _above(answer, width, setting, 1), _below(answer, drawn, width, setting, 1)
    below += [_sentence(text, "small", setting) for text in (*imprint.cautions, imprint.origin) if text]
    if answer.figure is None:
        return [*above, *below]
    lowest, highest = answer.figure.heights(width)
    spaces = above[-1].getSpaceAfter() + (below[0].getSpaceBefore() if below else 0.0)
    left = document.frame_height - _height(above, width) - _height(below, width) - spaces - 1.5 * _SLACK
    height = min(max(left, lowest), highest)
    return [*above, Spacer(width, height), *below]


def _with_figure(answer: Answer, story: Sequence[Flowable]) -> list[Flowable]:
    """The story with the figure in the space that it has."""
    figure = answer.figure
    if figure is None:
        return list(story)
    return [
        DrawingFlowable(figure.draw(part.width, part.height), figure.alt) if isinstance(part, Spacer) else part
        for part in story
    ]


def _height(parts: Sequence[Flowable], width: float) -> float:
    """Height of parts under each other [pt], without space above the first; of two spaces that meet the larger counts."""
    height = sum(float(part.wrap(width, _ENDLESS)[1]) for part in parts)
    gaps = (max(above.getSpaceAfter(), below.getSpaceBefore()) for above, below in itertools.pairwise(parts))
    return height + sum(gaps)


def _above(answer: Answer, width: float, setting: _Setting, level: int) -> list[Flowable]:
    """What comes before the figure."""
    heading = visible(answer.heading)
    parts: list[Flowable] = [Heading(heading, level) if level <= _HEADINGS else paragraph(heading, "caption")]
    parts += [
        _sentence(text, "body" if number or level > 1 else "caption", setting)
        for number, text in enumerate(answer.summary)
    ]
    printed = [(visible(fact.label), visible(fact.value.text)) for fact in answer.facts if fact.label]
    return [*parts, facts(printed, width, setting.size)] if printed else parts


def _below(answer: Answer, drawn: _Drawn, width: float, setting: _Setting, level: int) -> list[Flowable]:
    """What comes after the figure."""
    parts: list[Flowable] = []
    if answer.figure is not None and answer.figure.caption:
        parts.append(_sentence(answer.figure.caption, "small", setting))
    for table in answer.tables:
        if table.is_printed:
            parts += _table(table, width, setting)
    for number, section in enumerate(answer.sections):
        if number and any(table.layout is TableLayout.SHEET for table in section.tables):
            parts.append(PageBreak())
        own = [*_above(section, width, setting, level + 1), *_figure(section, drawn)]
        if section.figure is not None:
            # It is on the page of its heading.
            parts.append(CondPageBreak(_height(own, width)))
        parts += own
        parts += _below(section, drawn, width, setting, level + 1)
    return [*parts, *(_sentence(text, "note", setting) for text in answer.notes)]


def _figure(section: Answer, drawn: _Drawn) -> list[Flowable]:
    return [drawn[id(section)]] if section.figure is not None else []


def _table(table: AnswerTable, width: float, setting: _Setting) -> list[Flowable]:
    parts: list[Flowable] = [_sentence(table.title, "caption", setting)] if table.title else []
    cells = [[visible(cell) for cell in row] for row in table.cells()]
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
        parts += data_tables(
            labels,
            cells,
            width,
            numeric=numeric,
            formulas=formulas,
            breaks=table.breaks,
            size=setting.size,
            cuts_widest=True,
            is_tight=setting.is_tight,
        )
    return [*parts, _sentence(table.more, "small", setting)] if table.more else parts


def _entry(row: Sequence[str], is_formula: bool) -> Flowable:
    """A row as a paragraph of several lines, its first cell in the indent."""
    lines = "\n".join(cell for cell in row[1:] if cell)
    return paragraph(lines, "step", row[0], is_formula)


def _sentence(text: str, style: str, setting: _Setting) -> Flowable:
    """A text; notes have a bullet, or are close under each other where space is short."""
    if setting.is_tight:
        return Tagged(escape(visible(text)), _TIGHT_CAPTION if style == "caption" else _TIGHT)
    return paragraph(visible(text), style, "•" if style == "note" else None)
