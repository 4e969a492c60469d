"""The method page: a reader calculates its limits again from what is printed, in signs that other pages share."""

import math

import pytest

from tablegen.calculation.formula import calls_in, evaluate, names_in
from tablegen.calculation.symbols import SYMBOLS
from tablegen.model.publications import Combination
from tablegen.physics.flow import FlowLaw
from tablegen.report.calculation_units import CalculatedLine, CalculationUnits
from tablegen.report.formatter import Formatter
from tablegen.report.pages.method_page import SIGNS, calculated_families, calculation_rows, equations
from tablegen.report.publications.publication import Publication
from tablegen.report.rounding import round_down, round_up
from tablegen.report.rows import rows_of
from tests.demo import demo_booklet, demo_data, page_texts

MINUS, NBSP = "\N{MINUS SIGN}", "\N{NO-BREAK SPACE}"
Figures = dict[str, float]


def lines_of(family: str) -> list[CalculatedLine]:
    frame = demo_data().calculated_limits
    return rows_of(frame[frame["family"] == family], CalculatedLine)


def printed(family: str, system: str) -> list[Figures]:
    """The figures of each column by sign, as a reader sees them; a head's empty cell is the rating point's."""
    columns, rows = calculation_rows(lines_of(family), CalculationUnits(system))
    found: list[Figures] = [{} for _ in columns]
    for row in rows:
        for column, figure in zip(found, row.figures, strict=True):
            if figure:
                column[row.equation.split(" = ")[0]] = float(figure.removeprefix(f"given{NBSP}").replace(MINUS, "-"))
    limits, rating = [], {}
    for title, column in zip(columns, found, strict=True):
        if title.endswith("rating point"):
            rating = column
        else:
            heir = {**rating, **column}
            limits.append(heir | {f"{sign},r": rating[sign] for sign in ("m_c", "ρ", "v", "h_l")})
    return limits


def by_calculator(a: Figures, law: FlowLaw) -> tuple[float, float]:
    """Drop and required Kv per unit of load, from the pressures and properties printed: written anew from the text."""
    effect = a["h_v"] - a["h_l,r"]
    flow = compressor_flow(a) / a["m_c,r"] / a.get("d_max", 1.0)
    inlet = a["p_h"] - a["Δp_line"] * flow**2 * a["ρ,r"] / a["ρ"]
    quality = max((a["h_l"] - a["h_bub"]) / (a["h_dew"] - a["h_bub"]), 0.0)
    volume = quality / a["ρ_dew"] + (1.0 - quality) / a["ρ_bub"]
    outlet = a["p_e"] + flow**2 * (a["Δp_evap"] + a["Δp_dist"] * volume / a["v,r"])
    drop = drives = inlet - outlet
    if law is FlowLaw.CHOKED:
        factor = 0.96 - 0.28 * math.sqrt(a["p_v"] / a["p_c"])
        drives = min(drop, a["F_L"] ** 2 * (inlet - factor * a["p_v"]))
    if law is FlowLaw.DISCHARGE_COEFFICIENT:
        subcooling = (inlet - a["p_v"]) / a["p_c"]
        drives = drop * ((subcooling / a["s_ref"]) ** a["a"] * (drop / inlet / a["y_ref"]) ** a["b"]) ** 2
    return drop, a["E"] * flow / (a["N"] * effect * math.sqrt(a["ρ"] * drives))


def compressor_flow(a: Figures) -> float:
    """By clearance and density, or by the ten coefficients over suction and discharge temperature (AHRI 540)."""
    if "C1" not in a:
        return (1 + a["C"] - a["C"] * (a["p_h"] / a["p_s"]) ** (1 / a["n"])) * a["ρ_s"]
    s, d = a["S"], a["D_c"]
    terms = (1.0, s, d, s * s, s * d, d * d, s**3, d * s * s, s * d * d, d**3)
    return sum(a[f"C{i}"] * term for i, term in enumerate(terms, start=1))


def opening(a: Figures, drop: float) -> float:
    """By force balance: bulb pressure opens, what is under the diaphragm, the spring and (u > 0) the port close."""
    spring, gradient = a["p_b0"] - a["p_e0"], a["p_b1"] - a["p_b0"]
    return (a["p_bulb"] - a["p_under"] - spring - a["u"] * (drop - a["Δp_ref"])) / gradient


@pytest.mark.parametrize("system", ["IP", "SI"])
@pytest.mark.parametrize("family", ["alder", "rowan", "hazel", "larch"])
def test_a_reader_comes_to_the_printed_limits(family, system):
    data = demo_data()
    law = data.catalogue.families[family].flow_law
    first = data.calculated_limits[data.calculated_limits["family"] == family].iloc[0]
    rows = data.group_windows
    rows = rows[(rows["family"] == family) & (rows["group"] == first["group"]) & (rows["size"] == first["size"])]
    row = rows[(rows["application"] == first["application"]) & ((rows["sst_k"] - first["sst_k"]).abs() < 1e-6)].iloc[0]
    table = Formatter(system).window(float(row["min_load_w"]), float(row["max_load_w"]))
    for is_max, a in enumerate(printed(family, system)):
        drop, required_kv = by_calculator(a, law)
        assert required_kv == pytest.approx(a["D"], rel=1e-4)
        if "u" in a:
            found = opening(a, drop)
            # Maximum loads may use a share of the reserve between rated stroke and the stop.
            most = 1.0 + a["r_lim"] * (a["φ_stop"] - 1.0) if is_max else math.inf
            share = min(found, most) if is_max else max(found, a["φ_stable"])
        elif law is FlowLaw.DISCHARGE_COEFFICIENT:
            # Of a stepper-driven port: the characteristic, a curve, at the opening.
            share = a["c"]
        else:
            # While a pulse-modulated valve is open it is wholly open.
            share = a["φ_max" if is_max else "φ_min"] / a.get("d_max", 1.0)
        load = a["Kv"] * share / required_kv
        assert load == pytest.approx(a["Q"], rel=2e-4)
        # At the edge of two printed figures the last digit of a step decides.
        rounded = round_down if is_max else round_up
        assert table[is_max] in {rounded(load * (1.0 + off)) for off in (-2e-4, 0.0, 2e-4)}


@pytest.mark.parametrize("system", ["IP", "SI"])
@pytest.mark.parametrize("family", ["alder", "rowan", "hazel", "larch"])
def test_every_printed_step_is_found_again_within_one_unit_of_its_last_figure(family, system):
    """With nothing but the printed figures; trailing zeros count as figures."""
    own = lines_of(family)
    columns, rows = calculation_rows(own, CalculationUnits(system))
    texts: list[dict[str, str]] = [{} for _ in columns]
    for row in rows:
        for column, figure in zip(texts, row.figures, strict=True):
            if figure:
                column[row.equation.split(" = ")[0]] = figure.removeprefix(f"given{NBSP}").replace(MINUS, "-")
    checked, rating = 0, {}
    for title, column in zip(columns, texts, strict=True):
        if title.endswith("rating point"):
            rating = column
            continue
        heir = {**rating, **column} | {
            of_rating: rating[sign]
            for of_rating, sign in (("m_c,r", "m_c"), ("ρ_r", "ρ"), ("v_r", "v"), ("T_e,r", "T_e"))
            if sign in rating
        }
        limit = "max" if title.endswith("maximum load") else "min"
        for line in (line for line in own if line.limit == limit):
            if not line.formula or line.block == "rating" or not calls_in(line.formula) <= {"sqrt", "min", "max"}:
                continue
            values = {n: float(heir[SYMBOLS[n].sign]) for n in names_in(line.formula)}
            shown = heir[SYMBOLS[line.symbol].sign]
            unit = 10.0 ** -len(shown.partition(".")[2])
            assert float(evaluate(line.formula, values, {})) == pytest.approx(float(shown), abs=1.01 * unit), line
            checked += 1
    assert checked >= 20


def test_the_calculated_table_is_one_that_the_booklet_prints():
    publication, pdf = demo_booklet("IP", "letter")
    first = publication.data.calculated_limits.groupby("family", sort=False).first()
    for family in calculated_families(publication):
        assert Combination(family, first.loc[family, "group"], first.loc[family, "application"]) in publication.parts
    assert "this booklet does not print them" not in " ".join(" ".join(page_texts(pdf)).split())


def test_one_family_of_each_flow_law_is_calculated_and_the_pages_carry_the_figures():
    publication, pdf = demo_booklet("IP", "letter")
    assert calculated_families(publication) == ["alder", "hazel", "larch"]
    assert len({demo_data().catalogue.families[family].flow_law for family in calculated_families(publication)}) == 3
    pages = page_texts(pdf)
    for family, law in (("alder", "square-root law"), ("hazel", "discharge coefficient"), ("larch", "choked law")):
        (first,) = [
            i for i, p in enumerate(pages) if f"; {law}" in " ".join(p.split()) and "Calculation of both limits:" in p
        ]
        # The table may go on on the next page.
        page = " ".join(pages[first : first + 2])
        _, rows = calculation_rows(lines_of(family), CalculationUnits("IP"))
        for row in rows:
            assert all(" ".join(figure.split()) in " ".join(page.split()) for figure in row.figures)


def test_the_method_states_both_laws_the_clearance_and_the_sign_of_the_unbalance():
    text = " ".join(line for _, line in equations(CalculationUnits("IP")))
    for words in (
        "F_F = 0.96 − 0.28 √(p_v/p_c)",
        "Δp_ch = F_L² (p₁ − F_F p_v)",
        "D = E f/(N Δh_r √(ρ Δp))",
        "η_v = 1 + C − C (p_h/p_s)^(1/n)",
        "positive where inlet pressure closes",
        "negative where it opens",
    ):
        assert words in text


@pytest.mark.parametrize(
    ("setting", "units"),
    [
        (("IP", "letter"), {"p_e": "psia", "Δp": "psi", "ρ": "lb/ft³", "h_v": "Btu/lb", "Q": "kBtu/h", "T_e": "°F"}),
        pytest.param(
            ("SI", "a4"),
            {"p_e": "kPa absolute", "Δp": "kPa", "ρ": "kg/m³", "h_v": "kJ/kg", "Q": "kW", "T_e": "°C"},
            marks=pytest.mark.slow,
        ),
    ],
)
def test_every_symbol_has_its_meaning_and_a_unit_of_the_booklet(setting, units):
    publication, pdf = demo_booklet(*setting)
    (page,) = [" ".join(p.split()) for p in page_texts(pdf) if "Symbols of the method" in p]
    used = {*SIGNS, *publication.data.calculated_limits["symbol"]}
    labels = CalculationUnits(*setting[:1])
    for name in used:
        assert SYMBOLS[name].meaning.split(", positive")[0] in page
        assert labels.label(name) in page.replace(NBSP, " ")
    by_sign = {SYMBOLS[name].sign: labels.label(name) for name in used}
    assert {sign: by_sign[sign] for sign in units} == units


def test_the_equations_use_no_sign_that_the_table_lacks():
    signs = {SYMBOLS[name].sign for name in SIGNS}
    text = " ".join(line for _, line in equations(CalculationUnits("SI")))
    for sign in (
        "Δh_r",
        "ṁ",
        "f",
        "η_v",
        "ρ_s",
        "m_c",
        "m_c,r",
        "p₁",
        "Δp_lift",
        "p₂",
        "v",
        "x",
        "Δp",
        "D",
        "F_F",
        "Δp_ch",
        "Δp_eff",
        "p_spring",
        "p_grad",
        "p_bulb",
        "p_under",
        "φ",
        "u",
        "Δp_ref",
        "φ_SH",
        "φ_max",
        "φ_min",
        "Q",
        "Q₁",
        "c",
        "Q_n",
        "Kv",
        "N",
        "E",
        "SH_max",
        "SH_min",
        "T_e",
        "ΔT_sub",
    ):
        assert sign in text
        assert sign in signs


def test_the_handout_and_the_method_share_their_signs():
    text = " ".join(page_texts(_handout()))
    for wrong in ("M = ", "Flow ratio M", "Δh ="):
        assert wrong not in text
    assert "f = m_c/m_c,r" in " ".join(line for _, line in equations(CalculationUnits("IP")))


def _handout() -> bytes:
    from tests.demo import demo_handout

    return demo_handout("handout")[0]


def test_publications_of_other_units_come_to_the_same_limits():
    publication = Publication.of(demo_data())
    frame = publication.data.calculated_limits
    loads = frame[frame["symbol"] == "Q"]["value_si"]
    for load_unit, watt in (("ton_refrigeration", 12000.0 * 1055.05585262 / 3600.0), ("kW", 1000.0)):
        units = CalculationUnits("IP", load_unit)
        assert [units.of("Q", v) for v in loads] == pytest.approx([v / watt for v in loads])
        a, b = (units.of(n, v) for n, v in (("E", 1.0), ("N", (1000.0 / 1e5) ** 0.5 / 3600.0)))
        # One Kv at 1 lb/ft3 and 1 psi, evaporating with 1 Btu/lb, in loads of the unit.
        flow = (1000.0 / 1e5) ** 0.5 / 3600.0 * math.sqrt(16.018463373960142 * 6894.757293168361)
        assert b / a == pytest.approx(flow * 2326.0 / watt)
