"""The last pages: method, what is left out, cautions."""

from __future__ import annotations

from typing import Any

from tablegen.publish.edition import Edition
from tablegen.publish.page import Heading, paragraph
from tablegen.publish.refrigerant_page import alikeness
from tablegen.publish.tables import data_table, facts, formulas

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable

CAUTIONS = (
    "Refrigerants are under pressure. Isolate, recover and relieve the pressure before opening any part of a circuit; "
    "control every source of energy while work goes on (29 CFR 1910.147 in the United States).",
    "Liquid refrigerant freezes skin and eyes: wear goggles and gloves; flush eyes with water for fifteen minutes and "
    "see a physician. Vapour is heavier than air and displaces oxygen in pits and closed rooms.",
    "Refrigerants of safety groups A2L, A2 and A3 burn, those of the B groups are of higher toxicity (ASHRAE 34): charge limits, "
    "ventilation and detection follow ASHRAE 15 or the code in force at the site.",
    "Do not vent refrigerant while servicing (in the United States 42 USC 7671g(c)); the work is for certified technicians (40 CFR 82.161).",
    "Liquid trapped between shut valves bursts lines as it warms: leave it a way out. Refrigerant in a flame gives toxic fumes. Never use oxygen to test for pressure.",
    "No valve may see a head above its working pressure or a differential above its allowed one. Local codes, the "
    "equipment maker's instructions and licensed practice come before these tables.",
    "A table holds only for the conditions stated on its page. It does not replace measuring superheat at the running system.",
)


LIMITS = (
    ("Square root of the drop", "Evidence on choking of a flashing port is split: short tubes choke (Kim and O’Neal 1995), sharp-edged orifices need not. A Kv rated under one law is never used under the other: limits would move by a factor of 1.3 to 2."),
    ("Choked flow", "IEC 60534-2-1 for liquid alone: no vapour before the port, no correction for viscosity or fittings."),
    ("Compressor", "Only ratios of mass flow count. An AHRI 540 polynomial holds inside its map, clearance efficiency for reciprocating machines; suction superheat is the same at every head."),
    ("Force balance", "Steady state. Hunting is not computed but kept away from, by the least steady opening and the least stable superheat."),
    ("Pulse modulation", "Losses are taken at the mean flow; in the open phase they are greater, so that the greatest loads are on the high side."),
)  # fmt: skip


def method(edition: Edition, width: float) -> list[Flowable]:
    """How the numbers are made, in a page."""
    equations = [
        ("Flow of the system", "m = Q / (h_g − h_l,rated) at the rating point; at a head e it is m M(e), M the ratio of compressor mass flows."),
        ("Inlet of the valve", "p₁ = p_h − Δp_line f² ρ_rated/ρ − ρ g lift; liquid at the bubble temperature of p₁ less the subcooling; f is flow over rated flow."),
        ("Outlet of the port", "p₂ = p_e + Δp_evap f² + Δp_dist f² v_mix/v_mix,rated; v_mix is the volume of the flashed mixture."),
        ("Flow of the port", "m = (Kv/3600) √(1000 ρ Δp / 10⁵), Kv in m³/h, Δp = p₁ − p₂ in Pa (the form of IEC 60534-2-1)."),
        ("Port demand", "D(e) = Kv needed for each kW of rated capacity at the head e; it depends on no size."),
        ("Force balance", "p_bulb(T_e + SH) = p_under + p_spring + φ p_grad + u (Δp − Δp_ref): the opening φ at a superheat SH; u is port area over diaphragm area."),
        ("Greatest load", "the least, over the heads, of Kv(φ_max)/D(e); φ_max at the greatest superheat, at most the stop."),
        ("Least load", "the greatest, over the heads, of Kv(φ_min)/D(e); φ_min the smallest steady opening, and not less than the least stable superheat."),
        ("Electronic valves", "φ_max is the greatest share of travel or duty that control may use, φ_min the least steps or duty; no force balance."),
        ("Nominal capacity", "mass flow of Kv at the family's rating, under its own flow law, times the refrigerating effect there."),
        ("Group", "greatest of the members' least loads to least of their greatest loads."),
        ("Rounding", "decimal, three figures: least loads up, greatest loads down, so that a printed limit never promises more than the computed one."),
    ]  # fmt: skip
    versions = ", ".join(f"{k} {v}" if k != "properties" else v for k, v in edition.data.manifest["versions"].items())
    return [
        Heading("Method"),
        formulas(equations, width, 8.5),
        paragraph("Where the laws end", "caption"),
        facts(list(LIMITS), width, 8.5),
        paragraph(
            "Refrigerant states come from the equations of state of the property library, with ASHRAE 34 nominal "
            "compositions; superheat counts from the dew point, subcooling from the bubble point. "
            f"Computed with {versions}. Data fingerprint {edition.data.fingerprint}; the file of this booklet carries "
            "its data as attachments.",
            "small",
        ),
        *alikeness(edition, width),
    ]


def left_out(edition: Edition, width: float) -> list[Flowable]:
    """The combinations that are computed but not printed, and those that are not computed, each with its reason."""
    booklet = (edition.booklet or {}).get("left_out", [])
    story: list[Flowable] = []
    for title, rules in (
        ("Computed but not printed; it stands in the data set that this booklet carries", booklet),
        ("Not computed", edition.inputs["left_out"]),
    ):
        if rules:
            story += [paragraph(title, "caption"), _rules_table(edition, rules, width)]
    once = paragraph("A table that several lines would leave out is counted in the first of them.", "small")
    return [Heading("What this booklet leaves out"), *story, once] if story else []


def _rules_table(edition: Edition, rules: list[dict[str, Any]], width: float) -> Flowable:
    inputs = edition.inputs
    titles = {
        "families": {k: v["display_name"] for k, v in inputs["families"].items()},
        "groups": {k: v["title"] for k, v in inputs["groups"].items()},
        "envelopes": {k: v["title"] for k, v in inputs["envelopes"].items()},
    }
    body = [
        [
            *("; ".join(names[n] for n in rule[kind]) if rule[kind] else "all" for kind, names in titles.items()),
            str(rule["count"]),
            rule["why"],
        ]
        for rule in rules
    ]
    return data_table(["Family", "Refrigerants", "Application", "Tables", "Why"], body, width, numeric=[3], size=8.5)


def cautions() -> list[Flowable]:
    """What to beware of, with what has to be obeyed."""
    return [Heading("Cautions"), *(paragraph(text, "step", mark="•") for text in CAUTIONS)]
