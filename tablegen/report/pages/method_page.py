"""The method chapter: equations, where they end, symbols with their units, and limits calculated with them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Spacer

from tablegen.calculation.formula import text_of, written
from tablegen.calculation.symbols import FUNCTIONS, SYMBOLS, symbol
from tablegen.model.publications import Combination
from tablegen.physics import connection, discharge
from tablegen.physics import equations as eq
from tablegen.physics import liquid_equations as lineq
from tablegen.physics import valve_equations as veq
from tablegen.physics.system import GRAVITY_M_S2
from tablegen.report.calculation_units import CalculatedLine, CalculationUnits, Figures
from tablegen.report.formatter import NBSP, percent_range
from tablegen.report.graphs.flow_law_graph import HEIGHT, flow_law_graph
from tablegen.report.pages.calculation_sheet import Row, calculations, formula_table, in_order
from tablegen.report.pages.minimum_openings_table import minimum_openings_table
from tablegen.report.pages.refrigerant_page import similarity
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import facts, formulas
from tablegen.report.publications.publication import Publication
from tablegen.report.rounding import MINUS
from tablegen.report.rows import FlowLawRow, rows_of
from tablegen.verification.flow_over_head import TYPICAL
from tablegen.verification.measured_flows import RECOVERY
from tablegen.wording import method as wording
from tablegen.wording import terms
from tablegen.wording.language import figure
from tablegen.wording.message import AND, OR, listed

_CONSTANTS = {"N": eq.FLOW_CONSTANT, "E": eq.ENERGY_RATE}
# Quantities of the equations below, in the order of the symbol table.
_SIGN_LINES = (
    "T_e p_e h_v p_h dT_sub dp_line H g dp_lift rho rho_r p_1 h_l dh_r p_s dp_d p_d rho_s C n eta m_c m_cr f m N",
    "E T_b2 h_b h_d rho_b rho_d x v v_r dp_evap dp_dist p_2 dp p_v p_crit F_F F_L dp_ch dp_eff D T_b0 SS OS",
    "dp_ref p_b0 p_b1 p_e0 p_spring p_grad u SH_max SH_min p_b p_u phi phi_sh phi_stop r_lim phi_size phi_stable phi_max phi_min",
    "c Q_1 Kv Q_n Q",
)
# Of families that state a loss of their connections.
_OF_CONNECTIONS = ("c_p", "Kv_p", "Kv_c", "r")
# Of families whose discharge coefficient follows subcooling and drop.
_OF_DISCHARGE = ("s_c", "s_n", "a_d", "y_p", "y_n", "b_d", "C_d")
SIGNS = tuple(name for line in _SIGN_LINES for name in line.split())
# Blocks of a calculation whose quantities are listed together.
_SECTIONS = (("rating", "head"), ("setting",), ("valve",), ("size",))
_SYMBOL_COLUMNS = 2
# Shares of the width of half the symbol table: sign, meaning, unit.
_SYMBOL_SHARES = (0.07, 0.27, 0.16)
# Height [pt] for the caption, the header and some rows of a calculated limit.
_SOME_ROWS = 160.0


def method(publication: Publication, width: float) -> list[Flowable]:
    """How the numbers are made: equations, limits of the laws, symbols, limits calculated step by step."""
    versions = ", ".join(
        version if program == "properties" else wording.VERSION(program=program, version=version)
        for program, version in publication.data.summary.versions.items()
    )
    units = CalculationUnits(publication.formatter.system, publication.formatter.load_unit)
    return [
        Heading(wording.METHOD()),
        formulas(equations(units, _have_loss(publication), _have_discharge(publication)), width, design.NOTE),
        *_suction(publication, width),
        paragraph(wording.WHERE_LAWS_END(), "caption"),
        facts([(name(), text()) for name, text in wording.LIMITS], width, design.NOTE),
        *_flow_laws(publication),
        paragraph(wording.ABOUT_STATES(versions=versions, data=publication.data.fingerprint), "small"),
        paragraph(wording.SYMBOLS(), "caption"),
        _symbol_table(publication, units, width),
        *minimum_openings_table(publication, width),
        *similarity(publication, width),
        *(
            flowable
            for family in calculated_families(publication)
            for flowable in _calculation(publication, family, units, width)
        ),
    ]


def equations(units: CalculationUnits, has_loss: bool = False, has_discharge: bool = False) -> list[tuple[str, str]]:
    """The equations in the signs of the symbol table, by name; with those of the loss in connections, of the coefficient."""
    constants = [f"{n} = {units.number(n, v, True)}{NBSP}{units.label(n)}" for n, v in _CONSTANTS.items()]
    texts = {
        "effect": wording.EFFECT(effect=_line("dh_r", text_of(eq.refrigerating_effect))),
        "flow": wording.FLOW(),
        "compressor": wording.COMPRESSOR(
            flow=_line("f", text_of(eq.flow_ratio)),
            efficiency=_line("eta", text_of(eq.volumetric_efficiency)),
            swept=_line("m_c", text_of(eq.flow_per_swept_volume)),
        ),
        "inlet": wording.INLET(
            inlet=_line("p_1", f"{text_of(lineq.inlet_pressure)} - dp_lift"),
            lift=_line("dp_lift", text_of(lineq.lift_pressure)),
        ),
        "outlet": wording.OUTLET(
            outlet=_line("p_2", text_of(eq.outlet_pressure)),
            mixture=_line("v", text_of(eq.mixture_volume)),
            quality=_line("x", text_of(eq.vapor_quality)),
            drop=_line("dp", text_of(eq.pressure_drop)),
        ),
        "orifice": wording.ORIFICE(required=_line("D", text_of(eq.required_kv))),
        "choked": wording.CHOKED(
            factor=_line("F_F", text_of(eq.critical_pressure_ratio_factor)),
            choked=_line("dp_ch", text_of(eq.choked_pressure_drop)),
            effective=_line("dp_eff", text_of(eq.effective_pressure_drop)),
        ),
        **({"discharge": _discharge()} if has_discharge else {}),
        "constants": wording.CONSTANTS(
            constants=listed(constants, AND),
            flow=f"{units.number('N', eq.FLOW_CONSTANT, True)} {units.label('m')}",
            density=units.label("rho"),
            drop=units.label("dp"),
            gravity=f"{units.number('g', GRAVITY_M_S2, True)} {units.label('g')}",
        ),
        "setting": wording.SETTING(
            spring=_line("p_spring", text_of(veq.spring_pressure)),
            gradient=_line("p_grad", text_of(veq.spring_gradient)),
        ),
        "balance": wording.BALANCE(),
        "opening": wording.OPENING(opening=_line("phi_sh", text_of(veq.opening))),
        "maximum": wording.MAXIMUM(
            opening=_line("phi_max", text_of(veq.max_opening)),
            size=_line("phi_size", text_of(veq.sizing_stroke)),
            load=_line("Q", text_of(eq.load)),
            per_kv=_line("Q_1", text_of(eq.load_per_kv)),
        ),
        "minimum": wording.MINIMUM(opening=_line("phi_min", text_of(veq.min_opening))),
        **({"connections": _connections()} if has_loss else {}),
        "electronic": wording.ELECTRONIC(),
        "nominal": wording.NOMINAL(),
        "group": wording.GROUP(),
        "rounding": wording.ROUNDING(),
    }
    return [(wording.NAMES[key](), text) for key, text in texts.items()]


def _suction(publication: Publication, width: float) -> list[Flowable]:
    """What suction that follows the box would change in each application that is printed; nothing where none is known."""
    formatter, printed = publication.formatter, {part.application for part in publication.parts}
    rows = [
        (
            publication.catalogue.applications[own.application].title,
            wording.BALANCED_WOULD(
                refrigerant=own.refrigerant,
                sst=formatter.degrees(own.sst_k),
                difference=formatter.step(own.difference_k),
                maximum=percent_range(own.max_load),
                minimum=percent_range(own.min_load),
            ),
        )
        for own in publication.data.summary.suction
        if own.application in printed
    ]
    if not rows:
        return []
    return [paragraph(wording.SUCTION_FOLLOWS(), "caption"), facts(rows, width, design.NOTE)]


def _flow_laws(publication: Publication) -> list[Flowable]:
    """Flow of one port over condensing temperature under the three laws, beside published correlations."""
    rows = rows_of(publication.data.flow_laws, FlowLawRow)
    if not rows:
        return []
    formatter, first = publication.formatter, rows[0]
    alt = wording.FLOW_LAWS_ALT(refrigerants=listed(list(dict.fromkeys(row.refrigerant for row in rows))))
    is_own = any(family.discharge is not None for family in publication.catalogue.families.values())
    exponents = wording.EXPONENTS_OF_FAMILY()
    if not is_own:
        exponents = wording.EXPONENTS_INVENTED(
            subcooling=figure(f"{TYPICAL.subcooling_exponent:g}"),
            drop=figure(f"{TYPICAL.drop_exponent:g}").replace("-", MINUS),
        )
    caption = wording.FLOW_LAWS(subcooling=formatter.step(first.inlet_subcooling_k), sst=formatter.degrees(first.sst_k))
    graph = DrawingFlowable(flow_law_graph(rows, formatter, (design.FIGURE_WIDTH, HEIGHT)), alt)
    note = wording.ABOUT_FLOW_LAWS(recovery=figure(f"{RECOVERY:g}"), exponents=exponents)
    return [KeepTogether([paragraph(caption, "caption"), graph, paragraph(note, "small")])]


def _have_loss(publication: Publication) -> bool:
    """Whether a printed family states a loss of its connections."""
    printed = {part.family for part in publication.parts}
    families = publication.catalogue.families
    return any(size.connection_kv_m3h is not None for name in printed for size in families[name].sizes)


def _have_discharge(publication: Publication) -> bool:
    """Whether a printed family has a discharge coefficient that follows subcooling and drop."""
    printed = {part.family for part in publication.parts}
    return any(publication.catalogue.families[name].discharge is not None for name in printed)


def _discharge() -> str:
    return wording.DISCHARGE(
        subcooling=_line("s_c", text_of(discharge.subcooling_ratio)),
        drop=_line("y_p", text_of(discharge.drop_ratio)),
        coefficient=_line("C_d", text_of(discharge.discharge_ratio)),
        effective=_line("dp_eff", text_of(discharge.discharge_drop)),
    )


def _connections() -> str:
    return wording.CONNECTIONS(
        share=_line("c", text_of(connection.share_with_connections)),
        ratio=_line("r", "Kv_p / Kv_c"),
        port=_line("Kv", text_of(connection.kv_with_connections)),
    )


def _line(name: str, formula: str) -> str:
    return f"{symbol(name).sign} = {equation(formula)}"


def equation(formula: str) -> str:
    """A formula in the signs of the symbol table."""
    return written(formula, lambda name: symbol(name).sign, " ", "/", lambda name: FUNCTIONS[name])


def calculated_families(publication: Publication) -> list[str]:
    """The first printed family of each flow law whose limits are calculated step by step."""
    frame = publication.data.calculated_limits
    families = set(frame["family"]) if len(frame) else set()
    chosen: dict[str, str] = {}
    for part in publication.parts:
        if part.family in families:
            chosen.setdefault(publication.catalogue.families[part.family].flow_law, part.family)
    return list(chosen.values())


def _symbol_table(publication: Publication, units: CalculationUnits, width: float) -> Flowable:
    """Every symbol of the equations and of the calculated limits, in columns."""
    frame = publication.data.calculated_limits
    used = set(SIGNS) | (set(frame["symbol"]) if len(frame) else set())
    used |= set(_OF_CONNECTIONS) if _have_loss(publication) else set()
    used |= set(_OF_DISCHARGE) if _have_discharge(publication) else set()
    cells = [(s.sign, s.meaning, units.label(name)) for name, s in SYMBOLS.items() if name in used]
    height = -(-len(cells) // _SYMBOL_COLUMNS)
    cells += [("", "", "")] * (height * _SYMBOL_COLUMNS - len(cells))
    rows = [[text for c in range(_SYMBOL_COLUMNS) for text in cells[r + c * height]] for r in range(height)]
    header = [wording.SYMBOL(), wording.MEANING(), wording.UNIT()] * _SYMBOL_COLUMNS
    return formula_table(header, rows, [width * share for share in _SYMBOL_SHARES] * _SYMBOL_COLUMNS, (0, 3))


def _calculation(publication: Publication, family: str, units: CalculationUnits, width: float) -> list[Flowable]:
    """Both limits of one window, quantity by quantity."""
    frame, catalogue, formatter = publication.data.calculated_limits, publication.catalogue, publication.formatter
    own = frame[frame["family"] == family]
    first, lines = own.iloc[0], rows_of(own, CalculatedLine)
    part = Combination(family, str(first["group"]), str(first["application"]))
    titles, rows = calculation_rows(lines, units)
    loads = {line.limit: line.value_si for line in lines if line.symbol == "Q"}
    calculated = dict(zip(terms.LIMITS, (figure for figure in rows[-1].figures if figure), strict=True))
    printed = dict(zip(terms.LIMITS, formatter.window(loads["min"], loads["max"]), strict=True))
    caption = wording.CALCULATED_LIMITS(
        family=publication.family(family),
        size=first["size"],
        group=catalogue.groups[part.group].title,
        sst=formatter.degrees(float(first["sst_k"])),
        application=catalogue.applications[part.application].title,
        law=wording.LAWS[catalogue.families[family].flow_law](),
    )
    element = publication.power_element(part)
    notes = [wording.ABOUT_CALCULATION()]
    if element is not None and element.setting_refrigerant:
        notes.append(wording.SETTING_REFRIGERANT(refrigerant=element.setting_refrigerant))
    notes.append(
        wording.PRINTED[part in publication.parts](
            min=calculated["min"],
            min_printed=formatter.with_load_unit(printed["min"]),
            max=calculated["max"],
            max_printed=formatter.with_load_unit(printed["max"]),
        )
    )
    notes.append(wording.OTHER_REFRIGERANTS())
    return [
        # The table is long: it begins where some of it fits.
        CondPageBreak(_SOME_ROWS),
        Spacer(1, 8.0),
        paragraph(caption, "continued"),
        calculations(titles, rows, width),
        paragraph(" ".join(notes), "small", is_formula=True),
    ]


Blocks = Mapping[str, Mapping[str, CalculatedLine]]


@dataclass(frozen=True, slots=True)
class _StepColumn:
    """One operating condition of a calculated limit: lines by quantity in each block, and their figures."""

    title: str
    blocks: Blocks
    figures: Figures

    @property
    def is_rating(self) -> bool:
        return "rating" in self.blocks

    def lines(self, kinds: Iterable[str]) -> dict[str, CalculatedLine]:
        """The lines of some blocks by quantity; what a later line calculates again counts."""
        return _merged(self.blocks, kinds)


def calculation_rows(lines: Sequence[CalculatedLine], units: CalculationUnits) -> tuple[list[str], list[Row]]:
    """The heads of the figures' columns, and a row for each quantity of both limits of one family."""
    columns: list[_StepColumn] = []
    for limit, limit_name in terms.LIMITS.items():
        own = [line for line in lines if line.limit == limit]
        blocks: dict[str, dict[str, CalculatedLine]] = {}
        for line in own:
            blocks.setdefault(line.block, {})[line.symbol] = line
        member, rating = own[0].refrigerant, {"rating": blocks.pop("rating")}
        title = wording.COLUMN_RATING(refrigerant=member, condition=terms.condition("rating"))
        if all(column.title != title for column in columns):
            columns.append(_StepColumn(title, rating, Figures(units, _merged(rating, rating), None)))
        rated = next(column for column in reversed(columns) if column.is_rating)
        at = terms.condition(own[0].condition)
        title = wording.COLUMN(refrigerant=member, condition=at, limit=limit_name())
        columns.append(_StepColumn(title, blocks, Figures(units, _merged(blocks, blocks), rated.figures)))
    rows: list[Row] = []
    for kinds in _SECTIONS:
        found = [column.lines(kinds) for column in columns]
        for number, quantity in enumerate(in_order([list(lines) for lines in found])):
            shown = [own.get(quantity) for own in found]
            rows.append(_row(quantity, shown, columns, units, number == 0 and bool(rows)))
    return [column.title for column in columns], rows


def _merged(blocks: Blocks, kinds: Iterable[str]) -> dict[str, CalculatedLine]:
    return {symbol: line for kind in kinds if kind in blocks for symbol, line in blocks[kind].items()}


def _row(
    name: str,
    lines: Sequence[CalculatedLine | None],
    columns: Sequence[_StepColumn],
    units: CalculationUnits,
    is_first: bool,
) -> Row:
    """One quantity with its equation, and its figure in each column that has it."""
    # A head's equation says more than the rating point's, its special case.
    pairs = [(line, column) for line, column in zip(lines, columns, strict=True) if line is not None]
    heads = dict.fromkeys(line.formula for line, column in pairs if line.formula and not column.is_rating)
    formulas_of = list(heads or dict.fromkeys(line.formula for line, _ in pairs if line.formula))
    written_as = listed([equation(formula) for formula in formulas_of], OR)
    figures = []
    for line, column in zip(lines, columns, strict=True):
        figure = "" if line is None else column.figures.text(name)
        is_given = bool(written_as) and line is not None and not line.formula
        figures.append(wording.GIVEN(figure=figure) if is_given else figure)
    sign = symbol(name).sign
    return Row(f"{sign} = {written_as}" if written_as else sign, units.label(name), figures, is_first)
