"""Tables of formulas in small type: equations with their figure in each state, symbols with their meaning."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, Table

from tablegen.report.pdf import fonts
from tablegen.report.pdf.page import BLACK
from tablegen.report.pdf.paragraphs import escape
from tablegen.report.pdf.tables import TableTags

_SIZE, _LEADING = 8.0, 8.75
_FIGURE_WIDTH, _UNIT_WIDTH = 62.0, 84.0
_INDEX = re.compile(r"([A-Za-zΔηρφ]+)_([A-Za-z0-9]+(?:,[a-z]+)?)")

# A command of a table style.
Style = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """One equation, as a formula, its unit and its figure in each column."""

    equation: str
    unit: str
    figures: Sequence[str]
    rule_above: bool = False


def calculations(columns: Sequence[str], rows: Sequence[Row], width: float) -> Table:
    """Equations down, states across."""
    header = [
        *(_text(title, fonts.SEMIBOLD) for title in ("Equation", "Unit")),
        *(_text(column, fonts.SEMIBOLD, is_right=True) for column in columns),
    ]
    cells: list[list[Paragraph]] = [header]
    cells += [
        [_formula(row.equation), _text(row.unit), *(_text(figure, is_right=True) for figure in row.figures)]
        for row in rows
    ]
    figures = [_FIGURE_WIDTH for _ in columns]
    widths = [width - _UNIT_WIDTH - sum(figures), _UNIT_WIDTH, *figures]
    above = [i for i, row in enumerate(rows, start=1) if row.rule_above]
    rules: list[Style] = [("LINEABOVE", (0, i), (-1, i), 0.35, BLACK) for i in above]
    # Indices hang below the line and must not touch a rule.
    rules += [("BOTTOMPADDING", (0, i - 1), (-1, i - 1), 2.0) for i in above]
    return _table(cells, widths, rules)


def formula_table(
    header: Sequence[str], rows: Sequence[Sequence[str]], widths: list[float], formulas: Sequence[int]
) -> Table:
    """A table of small type whose columns `formulas` (from 0) hold signs with their indices."""
    cells: list[list[Paragraph]] = [[_text(title, fonts.SEMIBOLD) for title in header]]
    cells += [[_formula(text) if j in formulas else _text(text) for j, text in enumerate(row)] for row in rows]
    return _table(cells, widths, [])


def in_order(columns: Sequence[Sequence[str]]) -> list[str]:
    """Quantities in an order that fits every column: what only one has follows what precedes it there."""
    order: list[str] = []
    for column in columns:
        at = 0
        for name in column:
            if name not in order:
                order.insert(at, name)
            at = order.index(name) + 1
    return order


def _table(cells: list[list[Paragraph]], widths: list[float], more: list[Style]) -> Table:
    style: list[Style] = [
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
    marks = TableTags(1)
    # The library's type stubs are narrower than what it takes.
    return Table(
        cells,
        widths,
        style=style,  # type: ignore[arg-type]
        repeatRows=1,
        hAlign="LEFT",
        spaceBefore=2,
        spaceAfter=3,
        renderCB=marks,  # type: ignore[arg-type]
    )


def _style(face: str, is_right: bool) -> ParagraphStyle:
    return ParagraphStyle("cell", fontName=face, fontSize=_SIZE, leading=_LEADING, alignment=2 if is_right else 0)


def _text(text: str, face: str = fonts.REGULAR, is_right: bool = False) -> Paragraph:
    return Paragraph(escape(text, face).replace("\n", "<br/>"), _style(face, is_right))


def _formula(text: str) -> Paragraph:
    """Signs with their indices; a formula holds nothing that only looks like one."""
    return Paragraph(_indexed(text), _style(fonts.REGULAR, False))


def _indexed(text: str) -> str:
    return _INDEX.sub(r'\1<sub rise="1.8" size="7">\2</sub>', escape(text))
