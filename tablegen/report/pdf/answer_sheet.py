"""An answer as a printed sheet: heading, answer, facts, figure, tables that run on over pages, notes and cautions."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest
from pathlib import Path
from typing import IO, Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, PageBreak

from tablegen.report.answer import WIDE, Answer, AnswerFigure, AnswerTable, ColumnStyle, Imprint, TableLayout, visible
from tablegen.report.company_texts import whom_to_call
from tablegen.report.pages.window_table import window_tables
from tablegen.report.pdf import design
from tablegen.report.pdf.columns import Columns, ColumnsError
from tablegen.report.pdf.fonts import SEMIBOLD, text_width
from tablegen.report.pdf.linked import linked
from tablegen.report.pdf.logo import ANSWER_SIDE, Letterhead
from tablegen.report.pdf.page import STYLES, Document, Heading, paragraph
from tablegen.report.pdf.page_flow import SLACK, FittedFigure, height, with_breaks
from tablegen.report.pdf.panels import SideBySide, Stacked, width_beside
from tablegen.report.pdf.paragraphs import Tagged, escape
from tablegen.report.pdf.spread_rows import SpreadRows
from tablegen.report.pdf.table_flowable import PageTable
from tablegen.report.pdf.tables import data_tables, facts
from tablegen.wording.company import LOGO_ALT

_TOP = 12 * mm
# Pages above which no setting brings everything onto one.
_FAR = 2.5
# Between the mark of an entry and its text [pt].
_AFTER_MARK = 5.0
# Narrow figures beside each other, and the space below them [pt].
_ABREAST, _AFTER_FIGURES = 3, 7.0
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
    _Setting(design.FINE),
    _Setting(8.5, is_tight=True),
    _Setting(design.FINE, is_tight=True),
)
_TIGHT = ParagraphStyle("small", STYLES["small"], fontSize=design.FINE, leading=9.1, spaceAfter=0.8)
_TIGHT_CAPTION = ParagraphStyle("caption", _TIGHT, fontName=SEMIBOLD, spaceBefore=2, keepWithNext=1)


def print_answer(answer: Answer, paper: str, target: Path | IO[bytes]) -> int:
    """Print an answer on paper ("A4" or "Letter"); return the number of pages.

    The answer is set on one page if that can be, else on one for each sheet of figures: with smaller type and less
    space, and a figure as high as the rest leaves. Paper is turned where columns of figures need it.

    Raises
    ------
    PublishError
        If a text does not fit or a glyph is missing.
    """
    try:
        return _print(answer, paper, target)
    except ColumnsError:
        if answer.is_landscape:
            raise
        return _print(dataclasses.replace(answer, is_landscape=True), paper, target)


def _print(answer: Answer, paper: str, target: Path | IO[bytes]) -> int:
    """Print on paper that is turned as the answer says."""
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
        landscape=answer.is_landscape,
    )
    width, page = document.frame_width, document.frame_height
    for setting in _SETTINGS:
        story = _story(answer, imprint, width, setting)
        highest = max(height(part, width) for part in _pages(story)) + SLACK
        if not page < highest < _FAR * page:
            break
    if highest > page:
        story = _story(answer, imprint, width, _SETTINGS[0])
    for part in _pages(story):
        _leave_room(part, width, highest <= page)
    return document.build(list(with_breaks(story, width, page - SLACK)))


def _pages(story: Sequence[Flowable]) -> list[list[Flowable]]:
    """The parts between page breaks."""
    found: list[list[Flowable]] = [[]]
    for part in story:
        if isinstance(part, PageBreak):
            found.append([])
        else:
            found[-1].append(part)
    return found


def _leave_room(page: Sequence[Flowable], width: float, is_whole: bool) -> None:
    """Have sheets of figures, and a figure where all is on one page, leave the height of what comes after them."""
    for number, part in enumerate(page):
        if isinstance(part, SpreadRows) or (isinstance(part, FittedFigure) and is_whole):
            below = page[number + 1 :] if is_whole else _up_to_next_sheet(page[number + 1 :])
            part.reserve = part.getSpaceAfter() + height(below, width) + SLACK


def _up_to_next_sheet(parts: Sequence[Any]) -> Sequence[Flowable]:
    """The parts before the next sheet of figures and its headings."""
    end = next((i for i, part in enumerate(parts) if isinstance(part, SpreadRows)), len(parts))
    while 0 < end < len(parts) and parts[end - 1].getKeepWithNext():
        end -= 1
    return parts[:end]


def _story(answer: Answer, imprint: Imprint, width: float, setting: _Setting) -> list[Flowable]:
    """Everything in one setting."""
    parts = _parts(answer, width, setting, 1)
    ending = [_sentence(text, "small", setting) for text in (*imprint.cautions, imprint.origin) if text]
    if imprint.wholesaler:
        own = imprint.wholesaler
        seller: Flowable = _sentence(whom_to_call(own), "small", setting)
        if own.logo is not None:
            seller = Letterhead([seller], own.logo, LOGO_ALT(company=own.name), side=ANSWER_SIDE)
        ending = [seller, *ending]
    return [*parts, *ending]


def _parts(answer: Answer, width: float, setting: _Setting, level: int) -> list[Flowable]:
    """An answer, or a section of one, in the order of reading."""
    parts = _above(answer, width, setting, level)
    if answer.figures:
        for part in parts:
            # A figure is on the page of its heading.
            part.keepWithNext = 1
        parts += _figures(answer.figures, width, setting)
    for table in answer.tables:
        if table.is_printed:
            parts += _table(table, width, setting)
    for number, section in enumerate(answer.sections):
        if number and any(table.layout is TableLayout.SHEET for table in section.tables):
            parts.append(PageBreak())
        parts += _parts(section, width, setting, level + 1)
    return [*parts, *(_sentence(text, "note", setting) for text in answer.notes)]


def _figures(figures: Sequence[AnswerFigure], width: float, setting: _Setting) -> list[Flowable]:
    """Figures with their captions; several narrow ones in columns, each in the one that is lowest so far."""
    captions = [[_sentence(figure.caption, "small", setting)] if figure.caption else [] for figure in figures]
    if len(figures) == 1 or any(figure.width >= WIDE for figure in figures):
        each = zip(figures, captions, strict=True)
        return [
            part
            for own, caption in each
            for part in (FittedFigure(own, width, height(caption, width) + SLACK), *caption)
        ]
    columns: list[list[Flowable]] = [[] for _ in range(min(len(figures), _ABREAST))]
    wide = width_beside(width, design.FIGURE_GAP, len(columns))
    for own, caption in zip(figures, captions, strict=True):
        lowest = min(columns, key=lambda parts: height(parts, wide))
        lowest += [FittedFigure(own, wide), *caption]
    row = SideBySide([Stacked(parts) for parts in columns], design.FIGURE_GAP)
    row.spaceAfter = _AFTER_FIGURES
    return [row]


def _above(answer: Answer, width: float, setting: _Setting, level: int) -> list[Flowable]:
    """Heading, summary, facts and references."""
    heading = visible(answer.heading)
    parts: list[Flowable] = [Heading(heading, level) if level <= _HEADINGS else paragraph(heading, "caption")]
    parts += [
        _sentence(text, "body" if number or level > 1 else "caption", setting)
        for number, text in enumerate(answer.summary)
    ]
    printed = [(visible(fact.label), visible(fact.value.text)) for fact in answer.facts if fact.label]
    parts += [facts(printed, width, setting.size)] if printed else []
    style = _TIGHT if setting.is_tight else STYLES["body"]
    return [*parts, *(linked(visible(own.text), style, own.target) for own in answer.references)]


def _table(table: AnswerTable, width: float, setting: _Setting) -> list[Flowable]:
    parts: list[Flowable] = [_sentence(table.title, "caption", setting)] if table.title else []
    cells = [[visible(cell) for cell in row] for row in table.cells()]
    if table.layout is TableLayout.ENTRIES:
        parts += _entries(cells, is_formula=ColumnStyle.FORMULA in table.styles())
    elif table.layout is TableLayout.SHEET:
        heads = [(name, unit) for name, _, unit in (visible(label).rpartition(", ") for label in table.labels())]
        parts.append(Columns(heads, cells, table.breaks))
    elif table.layout is TableLayout.WINDOWS:
        parts += window_tables([visible(label) for label in table.labels()], cells, table.names, table.breaks, width)
    else:
        made = _halves(table, cells, width, setting) if table.layout is TableLayout.HALVES else []
        made = made if len(made) == 1 else _grid(table, cells, width, setting, 1)
        for part in made:
            part.keeps_rows = True
        parts += made
    return [*parts, _sentence(table.more, "small", setting)] if table.more else parts


def _grid(
    table: AnswerTable, cells: Sequence[Sequence[str]], width: float, setting: _Setting, abreast: int
) -> list[PageTable]:
    """Rows under each other; `abreast` says how often the columns are repeated beside each other."""
    styles = abreast * table.styles()
    numeric, formulas = (
        [i for i, own in enumerate(styles) if own is style] for style in (ColumnStyle.FIGURES, ColumnStyle.FORMULA)
    )
    return data_tables(
        abreast * [visible(label) for label in table.labels()],
        cells,
        width,
        numeric=numeric,
        formulas=formulas,
        breaks=table.breaks,
        size=setting.size,
        fewest_lines=True,
        is_tight=setting.is_tight,
    )


def _halves(table: AnswerTable, cells: Sequence[Sequence[str]], width: float, setting: _Setting) -> list[PageTable]:
    """The second half of the rows beside the first: one table, or more where the page is too narrow for both."""
    half = (len(cells) + 1) // 2
    blank = [""] * len(table.labels())
    rows = [[*left, *right] for left, right in zip_longest(cells[:half], cells[half:], fillvalue=blank)]
    return _grid(table, rows, width, setting, 2)


def _entries(rows: Sequence[Sequence[str]], is_formula: bool) -> list[Flowable]:
    """Rows as paragraphs of several lines, the first cell in the indent, which is that of the widest."""
    style = STYLES["step"]
    indent = max(text_width(row[0], style.bulletFontName, style.bulletFontSize) for row in rows) + _AFTER_MARK
    lines = ("\n".join(cell for cell in row[1:] if cell) for row in rows)
    return [paragraph(text, "step", row[0], is_formula, indent) for text, row in zip(lines, rows, strict=True)]


def _sentence(text: str, style: str, setting: _Setting) -> Flowable:
    """A text; notes have a bullet, or are close under each other where space is short."""
    if setting.is_tight:
        return Tagged(escape(visible(text)), _TIGHT_CAPTION if style == "caption" else _TIGHT)
    return paragraph(visible(text), style, "•" if style == "note" else None)
