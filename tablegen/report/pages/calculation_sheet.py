"""Tables of formulas in small type: equations with their figure in each state, symbols with their meaning."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.fonts import wrapped
from tablegen.report.pdf.paragraphs import formula_width, with_apostrophes
from tablegen.report.pdf.table_flowable import PageTable, Spacing, TableDesign
from tablegen.wording import method as wording

# Type and line [pt] of calculations, whose signs are small, and of tables of symbols, whose columns are narrow.
_CALCULATED, _LISTED = (design.TABLE, 9.6), (design.FINE, 8.75)
_FIGURE_WIDTH, _UNIT_WIDTH = 67.0, 78.0
_SPACING = Spacing(pad=4.0, above=0.0, below=0.4, before=2.0, after=3.0)


@dataclass(frozen=True, slots=True)
class Row:
    """One equation, as a formula, its unit and its figure in each column."""

    equation: str
    unit: str
    figures: Sequence[str]
    rule_above: bool = False


def calculations(columns: Sequence[str], rows: Sequence[Row], width: float) -> PageTable:
    """Equations down, states across."""
    figures = [_FIGURE_WIDTH for _ in columns]
    return _table(
        [wording.EQUATION(), wording.UNIT(), *columns],
        [[row.equation, row.unit, *row.figures] for row in rows],
        [width - _UNIT_WIDTH - sum(figures), _UNIT_WIDTH, *figures],
        formulas=[0],
        numeric=range(2, 2 + len(columns)),
        breaks=[i for i, row in enumerate(rows) if row.rule_above],
        type_size=_CALCULATED,
        ruled_from=2,
    )


def formula_table(
    header: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[float], formulas: Collection[int]
) -> PageTable:
    """A table of small type whose columns `formulas` (from 0) hold signs with their indices."""
    return _table(header, rows, widths, formulas=formulas)


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


def _table(
    header: Sequence[str],
    rows: Sequence[Sequence[str]],
    widths: Sequence[float],
    *,
    formulas: Collection[int],
    numeric: Collection[int] = (),
    breaks: Collection[int] = (),
    type_size: tuple[float, float] = _LISTED,
    ruled_from: int = 0,
) -> PageTable:
    size, leading = type_size
    design = TableDesign(
        widths=tuple(widths),
        size=size,
        leading=leading,
        spacing=_SPACING,
        numeric=frozenset(numeric),
        formulas=frozenset(formulas),
        ruled_from=ruled_from,
    )
    return PageTable(
        design,
        _row(header, widths, size, fonts.SEMIBOLD),
        [_row(row, widths, size, formulas=formulas) for row in rows],
        breaks,
    )


def _row(
    cells: Sequence[str],
    widths: Sequence[float],
    size: float,
    face: str = fonts.REGULAR,
    formulas: Collection[int] = (),
) -> list[list[str]]:
    """The lines of each cell."""
    return [
        wrapped(
            with_apostrophes(text, face),
            face,
            size,
            width - _SPACING.pad,
            formula_width if j in formulas else fonts.text_width,
        )
        for j, (text, width) in enumerate(zip(cells, widths, strict=True))
    ]
