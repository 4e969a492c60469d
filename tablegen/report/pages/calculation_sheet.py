"""A window worked out on one page: the config's figures, then every equation with its figure in each state."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import IO, Any

from tablegen.report.pdf import fonts
from tablegen.report.pdf.page import BLACK, STYLES, Document, Heading
from tablegen.report.pdf.paragraphs import Tagged, escape
from tablegen.report.pdf.tables import TableTags

# isort: split
# After `page`, which sets the base font first.
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Table

_SIZE, _LEADING = 8.0, 8.75
# Shares of the width: sign, figure, origin, twice.
_GIVEN_WIDTHS = (0.06, 0.11, 0.33) * 2
_FIGURE_WIDTH, _UNIT_WIDTH, _MEANING_WIDTH = 47.0, 50.0, 131.0
# Where no meaning stands beside them.
_WIDE_FIGURE, _WIDE_UNIT = 62.0, 84.0
# Narrower than in the booklet, and enough for the running head of a second page.
_TOP = 12 * mm
_INDEX = re.compile(r"([A-Za-zΔηρφ]+)_([A-Za-z0-9]+(?:,[a-z]+)?)")


@dataclass(frozen=True, slots=True)
class Row:
    """One equation, as a formula, its meaning with the letter of its source, its unit and its figure in each column."""

    equation: str
    meaning: str
    unit: str
    figures: Sequence[str]
    rule_above: bool = False


@dataclass(frozen=True, slots=True)
class CalculationSheet:
    """A sheet as a value; every string is printed as it stands, but for the indices of symbols.

    `given` are lines of sign, figure and origin, twice, `columns` the heads of the figures.
    """

    title: str
    subject: str
    about: Sequence[str]
    given_title: str
    given: Sequence[tuple[str, str, str, str, str, str]]
    columns: Sequence[str]
    rows: Sequence[Row]
    results: Sequence[str]
    notes: Sequence[str]


def print_calculation(sheet: CalculationSheet, paper: str, notice: str, day: date, target: Path | IO[bytes]) -> int:
    """Print a sheet; return its number of pages.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    document = Document(target, paper, sheet.title, date=day, notice=notice, subject=sheet.subject, top_margin=_TOP)
    width = document.frame_width
    story: list[Flowable] = [Heading(sheet.title), *(_small(text) for text in sheet.about)]
    if sheet.given:
        story.append(_given(sheet, width))
    if sheet.rows:
        story.append(calculations(sheet.columns, sheet.rows, width, _MEANING_WIDTH))
    story += [*(_small(text, is_formula=True) for text in sheet.results), *(_small(text) for text in sheet.notes)]
    return document.build(story)


def _given(sheet: CalculationSheet, width: float) -> Table:
    """The config's figures, in two columns."""
    cells: list[list[Any]] = [[_text(sheet.given_title, fonts.SEMIBOLD), "", "", "", "", ""]]
    cells += [[_formula(text) if j in (0, 3) else _text(text) for j, text in enumerate(row)] for row in sheet.given]
    widths = [width * share for share in _GIVEN_WIDTHS]
    spans: list[Any] = [("SPAN", (0, 0), (-1, 0))]
    return _table(cells, widths, spans)


def calculations(columns: Sequence[str], rows: Sequence[Row], width: float, meaning_width: float = 0.0) -> Table:
    """Equations down, states across; without a `meaning_width` [pt] the meanings are left out."""
    titles = ("Equation", "Meaning, source", "Unit") if meaning_width else ("Equation", "Unit")
    header = [
        *(_text(title, fonts.SEMIBOLD) for title in titles),
        *(_text(column, fonts.SEMIBOLD, is_right=True) for column in columns),
    ]
    cells: list[list[Any]] = [header]
    cells += [
        [
            _formula(row.equation),
            *([_text(row.meaning)] if meaning_width else []),
            _text(row.unit),
            *(_text(figure, is_right=True) for figure in row.figures),
        ]
        for row in rows
    ]
    figures = [_FIGURE_WIDTH if meaning_width else _WIDE_FIGURE for _ in columns]
    unit = _UNIT_WIDTH if meaning_width else _WIDE_UNIT
    meaning = [meaning_width] if meaning_width else []
    widths = [width - meaning_width - unit - sum(figures), *meaning, unit, *figures]
    above = [i for i, row in enumerate(rows, start=1) if row.rule_above]
    rules: list[Any] = [("LINEABOVE", (0, i), (-1, i), 0.35, BLACK) for i in above]
    # Indices hang below the line and must not touch a rule.
    rules += [("BOTTOMPADDING", (0, i - 1), (-1, i - 1), 2.0) for i in above]
    return _table(cells, widths, rules)


def formula_table(
    header: Sequence[str], rows: Sequence[Sequence[str]], widths: list[float], formulas: Sequence[int]
) -> Table:
    """A table of small type whose columns `formulas` (from 0) hold signs with their indices."""
    cells: list[list[Any]] = [[_text(title, fonts.SEMIBOLD) for title in header]]
    cells += [[_formula(text) if j in formulas else _text(text) for j, text in enumerate(row)] for row in rows]
    return _table(cells, widths, [])


def in_order(columns: Sequence[Sequence[str]]) -> list[str]:
    """Quantities in an order that suits every column: what one alone has stands behind what it has before it."""
    order: list[str] = []
    for column in columns:
        at = 0
        for name in column:
            if name not in order:
                order.insert(at, name)
            at = order.index(name) + 1
    return order


def _table(cells: list[list[Any]], widths: list[float], more: list[Any]) -> Table:
    style: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 0.0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0.4),
        ("LINEABOVE", (0, 0), (-1, 0), 0.8, BLACK),
        ("LINEBELOW", (0, 0), (-1, 0), 0.5, BLACK),
        ("LINEBELOW", (0, -1), (-1, -1), 0.8, BLACK),
        ("BOTTOMPADDING", (0, -1), (-1, -1), 2.0),
        *more,
    ]
    marks: Any = TableTags(1)
    return Table(cells, widths, style=style, repeatRows=1, hAlign="LEFT", spaceBefore=2, spaceAfter=3, renderCB=marks)


def _small(text: str, is_formula: bool = False) -> Tagged:
    """A paragraph tighter than those of the booklet, so that the working stays on one page."""
    style = ParagraphStyle("small", STYLES["small"], fontSize=_SIZE, leading=9.1, spaceAfter=0.8)
    return Tagged(_indexed(text) if is_formula else escape(text), style)


def _style(face: str, is_right: bool) -> ParagraphStyle:
    return ParagraphStyle("cell", fontName=face, fontSize=_SIZE, leading=_LEADING, alignment=2 if is_right else 0)


def _text(text: str, face: str = fonts.REGULAR, is_right: bool = False) -> Paragraph:
    return Paragraph(escape(text, face).replace("\n", "<br/>"), _style(face, is_right))


def _formula(text: str) -> Paragraph:
    """Signs with their indices; a formula holds nothing that only looks like one."""
    return Paragraph(_indexed(text), _style(fonts.REGULAR, False))


def _indexed(text: str) -> str:
    return _INDEX.sub(r'\1<sub rise="1.8" size="7">\2</sub>', escape(text))
