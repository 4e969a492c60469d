"""The teaching pages of the classroom handout: winter and summer, forces, the flow equation, size range strips, terms."""

from __future__ import annotations

from typing import Any

import pandas as pd

from tablegen.calculation.symbols import symbol
from tablegen.report.formatter import percent, ratio
from tablegen.report.graphs.balance_graph import balance_graph
from tablegen.report.graphs.family_graphs import Limits, charge_graph, superheat_graph
from tablegen.report.graphs.force_drawing import PortDrawing, force_figure
from tablegen.report.graphs.handout_graphs import Strip, size_range_figures
from tablegen.report.handout_words import Desk
from tablegen.report.pages.calculation_sheet import formula_table
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.publications.answer_key import flow_steps
from tablegen.report.table_conditions import TableConditions, charge_text
from tablegen.units import CV_PER_KV
from tablegen.wording import terms as names

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, PageBreak

CAUTIONS = (
    "Refrigerants are under pressure, they freeze skin, displace air, and some are flammable: work on them only with "
    "the license that your country asks for, with gloves, goggles and fresh air.",
    "Local codes and the equipment maker's instructions come before any table.",
    "After a valve is fitted, measure superheat at the running system, in cold weather too, before it is left.",
)
_MIN = 1e-6
# Shares of the width: term, symbol, unit, meaning.
_TERMS = (0.2, 0.13, 0.12, 0.55)


def winter_and_summer(desk: Desk, width: float) -> list[Flowable]:
    """Why winter and summer pull apart: the example's balance graph and figures."""
    publication, formatter = desk.publication, desk.publication.formatter
    curve = publication.rows(publication.data.balance, desk.part)
    rows = publication.rows(publication.data.example, desk.part).set_index("condition")
    low: Any
    high: Any
    low, high, first = rows.loc["low_head"], rows.loc["high_head"], rows.iloc[0]
    heads = {names.condition(e): float(rows.loc[e, "head_pressure_pa"]) for e in rows.index}
    site = publication.application(desk.part.application)["site_pressure_pa"]
    size = first["size"]
    is_more = low["mass_flow_kg_s"] > high["mass_flow_kg_s"]
    starves = ""
    if curve["smaller_size"].iloc[0]:
        starves = (
            f" Size {curve['smaller_size'].iloc[0]} would do in summer and starves in winter: where the graph is "
            "hatched, the system pumps more than that valve passes."
        )
    header = ["", *(names.condition_title(str(e)) for e in rows.index)]
    floats = publication.is_floated(desk.part.application, str(first["refrigerant"]))
    falls = "floats down to" if floats else "is held up at"
    table: list[tuple[str, Any]] = [
        ("Head pressure", lambda r: desk.gauge(r["head_pressure_pa"])),
        ("Liquid at the valve", lambda r: formatter.degrees(r["liquid_temperature_k"], 0)),
        ("System's mass flow", lambda r: desk.figure("mass flow", r["mass_flow_kg_s"], 3)),
        ("System's capacity", lambda r: desk.load(r["capacity_w"])),
        ("Drop left for the port", lambda r: formatter.drop(r["pressure_drop_pa"])),
        ("Kv that the port needs", lambda r: desk.figure("flow coefficient", r["required_kv_m3h"], 3)),
        (f"Opening of size {size}", lambda r: percent(r["opening"])),
        ("Superheat", lambda r: formatter.step(r["superheat_k"], 1)),
    ]
    return [
        Heading("Why winter and summer pull apart"),
        paragraph(
            f"A system on {first['refrigerant']} is rated {desk.load(first['load_w'])} at {desk.sst(first['sst_k'])}. "
            f"In summer its head pressure rises to {desk.gauge(high['head_pressure_pa'])}, in winter it {falls} "
            f"{desk.gauge(low['head_pressure_pa'])}. In winter the compressor pumps {'more' if is_more else 'less'}, "
            f"{desk.figure('mass flow', low['mass_flow_kg_s'], 3)} against "
            f"{desk.figure('mass flow', high['mass_flow_kg_s'], 3)}, but the drop that drives liquid through the valve "
            f"falls from {formatter.drop(high['pressure_drop_pa'])} to {formatter.drop(low['pressure_drop_pa'])}. "
            f"{'More flow with' if is_more else 'With'} less drop: winter asks for a large port. In summer there is "
            "more drop: the same port then opens less, and below its minimum stable opening the valve hunts. A valve "
            f"is right for the loads that it holds at both ends.{starves}"
        ),
        FigureFlowable(
            balance_graph(curve, formatter, site, heads),
            width,
            268.0,
            f"Graph: what the system wants and what size {size} passes, against head pressure",
        ),
        paragraph("The system between its heads", "caption"),
        data_table(header, [[n, *(f(r) for _, r in rows.iterrows())] for n, f in table], width, numeric=(1, 2, 3)),
        PageBreak(),
    ]


def force_balance(desk: Desk, width: float) -> list[Flowable]:
    """The forces on the diaphragm, the charge graph and the superheat graph."""
    publication, formatter = desk.publication, desk.publication.formatter
    element = publication.element(desk.part)
    elements = publication.catalogue.families[desk.part.family].elements
    settings = {own.name: own.setting for own in elements if own.setting is not None}
    balance = element["actuator"]["balance"]
    charges = publication.data.charges
    charges = charges[(charges["family"] == desk.part.family) & (charges["charge"] == element["name"])]
    curves = publication.rows(publication.data.superheat, desk.part)
    first = curves.iloc[0]
    bulb = f"Bulb and evaporator: {element['title']}, on {element['setting_refrigerant']}"
    superheat = f"Superheat graph: size {first['size']}, {first['refrigerant']}, {desk.sst(first['sst_k'])}"
    return [
        Heading("The forces on the diaphragm"),
        paragraph(
            "Bulb pressure opens the valve; the pressure under the diaphragm and the spring close it. It opens to "
            "where they balance: p_bulb = p_under + p_spring + φ p_grad + u (Δp − Δp_ref). "
            f"p_spring is {desk.figure('pressure difference', balance['spring_pa'], 3)} and p_grad "
            f"{desk.figure('pressure difference', balance['gradient_pa'], 3)}; u is the port's net unbalanced area "
            "over the diaphragm's area, positive where inlet pressure closes. "
            f"{PortDrawing(balance['unbalance']).sentence}",
            is_formula=True,
        ),
        FigureFlowable(
            force_figure(element["actuator"]["is_internally_equalized"], balance["unbalance"]),
            width,
            0.46 * width,
            "Drawing: a thermostatic valve in section, the forces on its diaphragm, the bulb on the suction line",
        ),
        paragraph(bulb, "caption"),
        FigureFlowable(charge_graph(charges, settings[element["name"]], formatter), width, 140.0, f"Graph: {bulb}"),
        paragraph(superheat, "caption"),
        FigureFlowable(superheat_graph(curves, _limits(desk, first), formatter, True), width, 140.0, superheat),
        paragraph(
            "The more load, the more superheat the bulb needs to open the valve that far. The graph is for "
            f"{first['refrigerant']} alone: the window of a group, as on the size range, is the common part of its "
            "members' windows.",
            "small",
        ),
        PageBreak(),
    ]


def _limits(desk: Desk, first: pd.Series) -> Limits:
    """The window of the curves' own refrigerant and size, and its superheat limits."""
    windows = desk.publication.data.windows
    is_own = (windows["family"] == desk.part.family) & (windows["application"] == desk.part.application)
    is_own &= (windows["refrigerant"] == first["refrigerant"]) & (windows["size"] == first["size"])
    own = windows[is_own & ((windows["sst_k"] - first["sst_k"]).abs() < _MIN)].iloc[0]
    limits = desk.publication.application(desk.part.application)["systems"][first["refrigerant"]]["superheat"]
    return Limits(own["min_load_w"], own["max_load_w"], limits["min_k"][0], limits["max_k"])


def flow_equation(desk: Desk, worked: pd.DataFrame, width: float) -> list[Flowable]:
    """The flow equation worked at the rating point and at the low head, with units at each step."""
    first, formatter = worked.iloc[0], desk.publication.formatter
    story: list[Flowable] = [
        Heading("The flow equation, step by step"),
        paragraph(
            "Refrigerant carries heat away by evaporating: ṁ = Q ÷ Δh_r, where Δh_r = h_g − h_l is what one unit of "
            "mass takes up, from the liquid before the valve to the vapor at the end of useful superheat. The port "
            "passes ṁ = N Kv √(ρ Δp): Kv is the water, in m³/h, that passes at a drop of 1 bar (100 kPa), ρ the "
            f"liquid's density, Δp the drop that drives the flow. In the units here N = {desk.flow_constant()}; in "
            f"kg/h, kg/m³ and kPa it is √(1000 ÷ 100) = 3.162. A Cv, in US gal/min at 1 psi, is {CV_PER_KV:g} Kv.",
            is_formula=True,
        ),
        paragraph(
            f"{first['refrigerant']}, {desk.sst(first['sst_k'])}, rated load Q = {desk.load(first['load_w'])}, size "
            f"{first['size']} (Kv {desk.figure('flow coefficient', first['kv_rated_m3h'], 3)}). f is the compressor's "
            "mass flow over that at the rating point. Every figure is worked out from the unrounded one before it."
        ),
    ]
    for _, row in worked[worked["condition"] != "high_head"].iterrows():
        head = names.condition(str(row["condition"]))
        story.append(Heading(f"At the {head}" if head == "rating point" else f"At the {head}, in winter", 2))
        steps = enumerate(flow_steps(desk, row), start=1)
        story += [paragraph(text, "step", f"{i}.", is_formula=True) for i, text in steps]
    heads: list[Any] = [worked.set_index("condition").loc[e] for e in ("rating", "low_head")]
    story += [
        paragraph("What changed", "caption"),
        data_table(
            ["", "Rating point", "Low head"],
            [
                ["Flow ratio f", *(ratio(r["flow_ratio"], 3) for r in heads)],
                ["Drop at the port", *(formatter.drop(r["pressure_drop_pa"]) for r in heads)],
                ["Required Kv", *(desk.figure("flow coefficient", r["required_kv_m3h"], 3) for r in heads)],
                [f"Share of size {first['size']}", *(percent(r["kv_share"]) for r in heads)],
            ],
            width,
            numeric=(1, 2),
        ),
    ]
    return story


def size_range(desk: Desk, width: float) -> list[Flowable]:
    """Ladder strips at the coldest, the example's and the warmest suction temperature, and how to read them."""
    publication = desk.publication
    rows = publication.rows(publication.data.group_windows, desk.part)
    rows = rows[rows["max_load_w"].notna() & rows["min_load_w"].notna()]
    example = publication.application(desk.part.application)["example_sst_k"]
    chosen = sorted({float(rows["sst_k"].min()), example, float(rows["sst_k"].max())}, reverse=True)
    strips = []
    for sst in chosen:
        own = rows[(rows["sst_k"] - sst).abs() < _MIN]
        bars = [(str(s), float(a), float(b)) for s, a, b in own[["size", "min_load_w", "max_load_w"]].to_numpy()]
        if bars:
            strips.append(Strip(desk.sst(sst), bars))
    group = publication.inputs["groups"][desk.part.group]["title"]
    steps = (
        "Take the strip of your suction temperature. Between two strips read both: a size must hold the load in both.",
        "Find the load on the scale and lay a ruler upright through it. The scale is logarithmic: each thin line is a "
        "preferred number, about 1.26 times the one before, so equal steps to the eye are equal ratios.",
        "Every bar that the ruler crosses is a size that holds the load. Choose the one crossed nearest its middle.",
        "Near the end of a bar trust the figures, not the ruler: minimum loads are rounded up, maximum loads down.",
    )
    return [
        Heading("Ladder strips, to read with a ruler"),
        paragraph(
            f"{publication.inputs['families'][desk.part.family]['title']}; {group}; "
            f"{publication.application(desk.part.application)['title']}. One bar a size, from its minimum to its maximum "
            f"load in {publication.formatter.load_label}, at the rating point."
        ),
        *(paragraph(text, "step", f"{i}.", is_formula=True) for i, text in enumerate(steps, start=1)),
        *(
            FigureFlowable(figure, width, height, f"Ladder strips: the window of each size at {title}")
            for figure, height, title in size_range_figures(strips, publication.formatter)
        ),
        PageBreak(),
    ]


def terms(desk: Desk, width: float) -> list[Flowable]:
    """Glossary with symbols and units, the conditions that the figures hold for, cautions."""
    system, publication = desk.publication.formatter.system, desk.publication
    unit, load = desk.unit, desk.publication.formatter.load_label
    absolute = unit("pressure") + (" absolute" if system == "SI" else "")

    def s(*names: str) -> str:
        return ", ".join(symbol(name).sign for name in names)

    rows = [
        ["Load, rated capacity", s("Q"), load, "what the system takes up at its rating point"],
        ["Suction temperature", s("SST"), unit("temperature"), "dew temperature at the evaporator's pressure"],
        ["Head pressure", s("p_h"), unit("pressure gauge"), "gauge pressure at the condenser, low in winter"],
        ["Inlet and outlet pressure", s("p_1", "p_2"), absolute, "upstream and downstream of the port"],
        ["Pressure drop", s("dp"), unit("pressure difference"), "p₁ − p₂, what drives liquid through the port"],
        ["Mass flow", s("m"), unit("mass flow"), "refrigerant that passes in an hour"],
        ["Flow ratio", s("f"), "–", "compressor's mass flow over that at the rating point"],
        ["Enthalpy", s("h_l", "h_g"), unit("enthalpy"), "heat content of the liquid at the valve and of the vapor"],
        ["Density", s("rho"), unit("density"), "of the liquid at the valve"],
        ["Flow coefficient", s("Kv"), "m³/h", "water that passes at a drop of 1 bar"],
        ["Opening", s("phi"), "%", "share of rated stroke"],
        ["Superheat", s("SH"), unit("temperature difference"), "vapor temperature at the bulb less dew temperature"],
        ["Static superheat", s("SS"), unit("temperature difference"), "superheat at which the valve just opens"],
        ["Bulb pressure", s("p_b"), absolute, "of the charge in the bulb, opens the valve"],
        ["Evaporator pressure", s("p_e"), absolute, "dew pressure at the evaporator outlet"],
        ["Under the diaphragm", s("p_u"), absolute, "the equalizer's pressure, closes the valve"],
        [
            "Spring",
            s("p_spring", "p_grad"),
            unit("pressure difference"),
            "its force over the diaphragm's area, closes: just open, and what rated stroke adds",
        ],
        [
            "Unbalance",
            s("u"),
            "–",
            "net unbalanced port area over diaphragm area, positive where inlet pressure closes",
        ],
        ["Window", "", load, "the loads, minimum to maximum, that a size covers from low to high head"],
        ["Glide", "", unit("temperature difference"), "dew less bubble temperature of a blend at one pressure"],
        ["Subcooling", "", unit("temperature difference"), "how far the liquid is below its bubble temperature"],
        ["Starved, flooding, unsteady", "", "", "too little liquid; too little superheat; below the steady opening"],
    ]
    part = desk.part
    return [
        PageBreak(),
        Heading("Terms, symbols and units"),
        formula_table(["Term", "Symbol", "Unit", "Meaning"], rows, [width * share for share in _TERMS], (1, 3)),
        Heading("Conditions of every figure", 2),
        facts(
            [
                *TableConditions.of(publication, part).facts(),
                ("Charge", charge_text(publication, part)),
                ("Data", f"{publication.data.fingerprint}, {publication.date.isoformat()}"),
            ],
            width,
            8.5,
        ),
        Heading("Cautions", 2),
        *(paragraph(text, "step", mark="–") for text in (publication.printing["notice"], *CAUTIONS)),
    ]
