"""The method: its equations, where they end, every symbol with its unit, and limits worked out with them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd

from tablegen.calculation.symbols import SYMBOLS, symbol
from tablegen.report.calculated_figures import Figures
from tablegen.report.calculation_units import CalculationUnits
from tablegen.report.formatter import NBSP
from tablegen.report.method_text import LIMITS, SIGNS, equation, equations
from tablegen.report.pages.calculation_sheet import Row, calculations, formula_table, in_order
from tablegen.report.pages.refrigerant_page import alikeness
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import facts, formulas
from tablegen.report.publications.publication import Part, Publication
from tablegen.wording import terms

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import CondPageBreak, Flowable, Spacer

LIMIT_FORMATTER = {"min": "minimum load", "max": "maximum load"}
# Parts of a working whose quantities stand together.
_SECTIONS = (("rating", "head"), ("setting",), ("valve",), ("size",))
_SYMBOL_COLUMNS = 2
# Height [pt] for the caption, the header and some rows of a worked limit.
_SOME_ROWS = 160.0


def method(publication: Publication, width: float) -> list[Flowable]:
    """How the numbers are made: equations, limits of the laws, symbols, worked limits."""
    versions = ", ".join(
        f"{k} {v}" if k != "properties" else v for k, v in publication.data.manifest["versions"].items()
    )
    units = CalculationUnits(publication.formatter.system, publication.formatter.load_unit)
    return [
        Heading("Method"),
        formulas(equations(units), width, 8.5),
        paragraph("Where the laws end", "caption"),
        facts(list(LIMITS), width, 8.5),
        paragraph(
            "Refrigerant states come from the equations of state of the property library, with ASHRAE 34 nominal "
            "compositions; superheat counts from the dew point, subcooling from the bubble point. "
            f"Computed with {versions}. Data fingerprint {publication.data.fingerprint}; the file of this booklet carries "
            "its data as attachments.",
            "small",
        ),
        paragraph("Symbols of the method and the worked limits, with their units; pressures are absolute", "caption"),
        _symbol_table(publication, units, width),
        *alikeness(publication, width),
        *(
            flowable
            for family in worked_families(publication)
            for flowable in _worked(publication, family, units, width)
        ),
    ]


def worked_families(publication: Publication) -> list[str]:
    """The first printed family of each flow law that has a worked limit."""
    frame = publication.data.calculated_limits
    worked = set(frame["family"]) if len(frame) else set()
    chosen: dict[str, str] = {}
    for part in publication.parts:
        if part.family in worked:
            chosen.setdefault(publication.inputs["families"][part.family]["flow_law"], part.family)
    return list(chosen.values())


def _symbol_table(publication: Publication, units: CalculationUnits, width: float) -> Flowable:
    """Every symbol of the equations above and of the worked limits, in columns."""
    frame = publication.data.calculated_limits
    used = set(SIGNS) | (set(frame["symbol"]) if len(frame) else set())
    cells = [(s.sign, s.meaning, units.label(name)) for name, s in SYMBOLS.items() if name in used]
    height = -(-len(cells) // _SYMBOL_COLUMNS)
    cells += [("", "", "")] * (height * _SYMBOL_COLUMNS - len(cells))
    rows = [[text for c in range(_SYMBOL_COLUMNS) for text in cells[r + c * height]] for r in range(height)]
    shares = (0.07, 0.27, 0.16)
    return formula_table(["Symbol", "Meaning", "Unit"] * _SYMBOL_COLUMNS, rows, [width * s for s in shares] * 2, (0, 3))


def _worked(publication: Publication, family: str, units: CalculationUnits, width: float) -> list[Flowable]:
    """Both limits of one window, quantity by quantity."""
    frame = publication.data.calculated_limits
    own = frame[frame["family"] == family]
    first, formatter = own.iloc[0], publication.formatter
    heads, rows = worked_rows(own, units)
    loads = own[own["symbol"] == "Q"].set_index("limit")["value_si"].astype(float)
    worked = dict(zip(LIMIT_FORMATTER, (figure for figure in rows[-1].figures if figure), strict=True))
    printed = dict(zip(LIMIT_FORMATTER, formatter.window(loads["min"], loads["max"]), strict=True))
    name = publication.family(family)
    sst, group = formatter.degrees(float(first["sst_k"])), publication.inputs["groups"][first["group"]]["title"]
    law = {"orifice": "square-root law", "choked": "choked law"}[publication.inputs["families"][family]["flow_law"]]
    is_printed = Part(family, first["group"], first["application"]) in publication.parts
    how = "printed as" if is_printed else "computed, not printed in this booklet:"
    setting = publication.element(Part(family, first["group"], first["application"])).get("setting_refrigerant", "")
    set_on = f"; p_dew,setting is that of the setting refrigerant, {setting}" if setting else ""
    results = "; ".join(
        f"{LIMIT_FORMATTER[limit]} Q = {worked[limit]}, {how} {formatter.with_load_unit(printed[limit])}"
        for limit in LIMIT_FORMATTER
    )
    return [
        # The table is long: it begins where there is room for some of it.
        CondPageBreak(_SOME_ROWS),
        Spacer(1, 8.0),
        paragraph(
            f"Worked limits: {name} size {first['size']}, {group}, SST {sst} (dew), "
            f"{publication.application(first['application'])['title']}; {law}",
            "continued",
        ),
        calculations(heads, rows, width),
        paragraph(
            "Each equation is worked with the figures as printed, and with those of the rating point (index r). Of the "
            "lines below a head, p₁, T_l and ρ depend on each other and were solved together, as were T_e and the load "
            "where the suction is balanced. An empty cell is as at the rating point, but a head pressure that is set "
            "needs no T_c. A line without an equation, and a figure marked so, is given. Properties with a temperature "
            "in brackets, such as p_dew and h_vapor, come from refrigerant tables of the column's refrigerant, "
            f"p_charge from the curve of the bulb charge{set_on}. "
            f"{results[0].upper()}{results[1:]}. The other "
            "refrigerants and operating conditions set no tighter limit.",
            "small",
            is_formula=True,
        ),
    ]


def worked_rows(own: pd.DataFrame, units: CalculationUnits) -> tuple[list[str], list[Row]]:
    """The heads of the figures' columns, and a row for each quantity of both limits of one family."""
    columns: list[str] = []
    held: list[dict[str, pd.DataFrame]] = []
    for limit, formatter in LIMIT_FORMATTER.items():
        of_limit = own[own["limit"] == limit]
        blocks: dict[str, pd.DataFrame] = {str(k): v for k, v in of_limit.groupby("block", sort=False)}
        member, rating = of_limit["refrigerant"].iloc[0], blocks.pop("rating")
        if (title := f"{member}\nrating point") not in columns:
            columns.append(title)
            held.append({"rating": rating})
        columns.append(f"{member}\n{terms.condition(of_limit['condition'].iloc[0])}\n{formatter}")
        held.append(blocks)
    figures: list[Figures] = []
    rated: Figures | None = None
    for blocks in held:
        own_lines = _lines(blocks, tuple(blocks))
        figures.append(Figures(units, own_lines, None if "rating" in blocks else rated))
        rated = figures[-1] if "rating" in blocks else rated
    rows: list[Row] = []
    for kinds in _SECTIONS:
        found = [_lines(blocks, kinds) for blocks in held]
        for number, name in enumerate(in_order([list(lines) for lines in found])):
            rows.append(_row(name, [lines.get(name) for lines in found], held, figures, number == 0 and bool(rows)))
    return columns, rows


def _lines(blocks: dict[str, pd.DataFrame], kinds: tuple[str, ...]) -> dict[str, Any]:
    """The lines of some parts of a column by quantity; what a later line works out again counts."""
    return {str(line.symbol): line for kind in kinds if kind in blocks for line in blocks[kind].itertuples()}


def _row(
    name: str, lines: list[Any], held: list[dict[str, pd.DataFrame]], figures: Sequence[Figures], is_first: bool
) -> Row:
    # A head's equation says more than the rating point's, its special case.
    heads = [line for line, blocks in zip(lines, held, strict=True) if line is not None and "rating" not in blocks]
    formulas_of = dict.fromkeys(line.formula for line in heads if line.formula) or dict.fromkeys(
        line.formula for line in lines if line is not None and line.formula
    )
    written_as = " or ".join(equation(formula) for formula in formulas_of)
    sign = symbol(name).sign
    shown = [own.text(name) if line is not None else "" for line, own in zip(lines, figures, strict=True)]
    given = [
        f"given{NBSP}{text}" if written_as and line is not None and not line.formula else text
        for text, line in zip(shown, lines, strict=True)
    ]
    return Row(f"{sign} = {written_as}" if written_as else sign, "", figures[0].units.label(name), given, is_first)
