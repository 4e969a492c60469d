"""The page of one valve family: what it is, its sizes, and how it works between the heads."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd

from tablegen.report.formatter import NBSP, Formatter, kv, percent
from tablegen.report.graphs.family_graphs import Limits, charge_graph, opening_graph, superheat_graph
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_tables, facts
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.publications.publication import Part, Publication
from tablegen.units import CV_PER_KV
from tablegen.wording import terms

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether, Table

_HEIGHT = 158.0
_GAP = 12.0
# What prints as 0.1 K.
_MIN_SWING_K = 0.05
_BARE = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP")]
_ELECTRONIC = (
    "An electronic valve is opened by its controller: it has no superheat of its own, and its window follows from the "
    "openings alone."
)
KINDS = {
    "thermostatic": "thermostatic, by bulb charge and spring",
    "stepper": "electronic, stepper-driven",
    "pulse_modulated": "electronic, pulse-modulated: open or shut, the mean flow by the share of time open",
}


def family_page(publication: Publication, name: str, width: float) -> list[Flowable]:
    """Heading, note, facts, sizes, graphs of the family's first printed part."""
    family = publication.inputs["families"][name]
    parts = [p for p in publication.parts if p.family == name]
    if not parts:
        return []
    return [
        KeepTogether(
            [Heading(family["title"], 2), paragraph(family["note"]), facts(_facts(publication, family), width, 8.5)]
        ),
        *_sizes(publication, name, width),
        *_graphs(publication, parts, width),
    ]


def _facts(publication: Publication, family: dict[str, Any]) -> list[tuple[str, str]]:
    formatter = publication.formatter
    law = "square root of the whole pressure drop"
    if family["flow_law"] != "orifice":
        law = f"square root of the pressure drop, choked, recovery factor{NBSP}{family['pressure_recovery']:g}"
    pairs = [("Kind", KINDS[family["kind"]]), ("Flow law", f"{law}. {family['flow_law_reason']}")]
    pairs += [("Opening", _opening(family))]
    pairs += [
        (
            "Pressures",
            f"working {formatter.gauge(family['working_pressure_gauge_pa'], 0.0)}{NBSP}{formatter.gauge_label}, allowed "
            f"differential {formatter.differential(family['allowed_differential_pa'])}",
        )
    ]
    rating = family["rating"]
    if rating is not None:
        pairs.append(
            (
                "Nominal capacity",
                f"{rating['refrigerant']}, liquid {formatter.degrees(rating['liquid_temperature_k'])}, "
                f"{formatter.step(rating['subcooling_k'])} subcooled, evaporating "
                f"{formatter.degrees(rating['evaporating_temperature_k'])} (dew), "
                f"{formatter.step(rating['superheat_k'])} superheat, drop {formatter.drop(rating['pressure_drop_pa'])}. "
                f"{family['rating_source']}",
            )
        )
    return pairs


def _opening(family: dict[str, Any]) -> str:
    element = family["elements"][0]
    actuator = element["actuator"]
    if family["kind"] != "thermostatic":
        return str(element["title"])
    unbalance = actuator["balance"]["unbalance"]
    port = "balanced port"
    if unbalance:
        acts = "shut" if unbalance > 0 else "open"
        share = percent(abs(unbalance), 1)
        port = f"net unbalanced port area {share} of the diaphragm’s area, on which inlet pressure acts to {acts}"
    equalizer = "internal" if actuator["is_internally_equalized"] else "external"
    return (
        f"stop at {percent(actuator['stop'])} of rated stroke, steady from {percent(actuator['min_stable'])}; "
        f"{port}; {equalizer} equalizer"
    )


def _sizes(publication: Publication, name: str, width: float) -> Sequence[Flowable]:
    formatter, rows = publication.formatter, publication.data.sizes
    rows = rows[rows["family"] == name]
    header = ["Size", *(str(s) for s in rows["size"])]
    body = [
        ["Kv, m³/h", *(kv(float(v)) for v in rows["kv_rated_m3h"])],
        ["Cv, US gal/min", *(kv(float(v) * CV_PER_KV) for v in rows["kv_rated_m3h"])],
    ]
    if rows["nominal_capacity_w"].notna().all():
        body.append(
            [f"Nominal, {formatter.load_label}", *(formatter.load(float(v)) for v in rows["nominal_capacity_w"])]
        )
    return data_tables(header, body, width, numeric=range(1, len(header)), size=8.5)


def _graphs(publication: Publication, parts: list[Part], width: float) -> list[Flowable]:
    """Superheat and opening for the first part with an example; the charge of that part."""
    found = next(
        ((p, publication.rows(publication.data.balance, p)) for p in parts if len(_rows(publication, p))), None
    )
    if found is None:
        return []
    part, curve = found
    formatter, first = publication.formatter, curve.iloc[0]
    application = publication.application(part.application)
    site = application["site_pressure_pa"]
    states = publication.states(part.application, first["refrigerant"], float(first["sst_k"]))
    heads = {terms.condition(e): float(states.loc[e, "head_pressure_pa"]) for e in terms.CONDITIONS}
    kind = publication.inputs["families"][part.family]["kind"]
    what = {"thermostatic": "opening, share of rated stroke", "stepper": "share of travel", "pulse_modulated": "duty"}
    half = 0.5 * (width - _GAP)
    about = (
        f"Size {first['size']}, {first['refrigerant']}, SST {formatter.degrees(float(first['sst_k']))} (dew), "
        f"{application['title']}"
    )
    opening = FigureFlowable(
        opening_graph(curve, formatter, site, heads, what[kind]),
        half if kind == "thermostatic" else width,
        _HEIGHT,
        f"Graph of the opening against head: {about}",
    )
    load = formatter.with_load_unit(formatter.load(float(first["load_w"])))
    if kind != "thermostatic":
        return [
            KeepTogether(
                [
                    paragraph(f"Opening against head: {about}", "caption"),
                    opening,
                    paragraph(f"For a system rated {load}. {_ELECTRONIC}", "small"),
                ]
            )
        ]
    superheat = FigureFlowable(
        superheat_graph(*_superheat(publication, part), formatter),
        half,
        _HEIGHT,
        f"Graph of superheat against load: {about}",
    )
    pair = Table([[superheat, "", opening]], [half, _GAP, half], style=_BARE, hAlign="LEFT")
    charge = publication.element(part)["name"]
    rows = publication.data.charges
    rows = rows[(rows["family"] == part.family) & (rows["charge"] == charge)]
    bulb = f"Bulb and evaporator: {publication.element(part)['title']}, on {rows['refrigerant'].iloc[0]}"
    both = [
        paragraph(f"Superheat and opening: {about}", "caption"),
        pair,
        paragraph(
            f"For {first['refrigerant']} alone; a group's table is tighter. Right: a system rated {load}. "
            f"{_swing(publication, part)}",
            "small",
        ),
    ]
    charges = [
        paragraph(bulb, "caption"),
        FigureFlowable(
            charge_graph(rows, publication.element(part)["setting"], formatter), width, _HEIGHT, f"Graph: {bulb}"
        ),
        paragraph(
            "Hatched: the spring. The level stroke is the static superheat of the factory setting, from evaporator and "
            "spring to the bulb: that much warmer the bulb must be before the valve opens.",
            "small",
        ),
    ]
    return [KeepTogether(both), KeepTogether(charges)]


def _rows(publication: Publication, part: Part) -> pd.DataFrame:
    balance = publication.data.balance
    return publication.rows(balance, part) if len(balance) else balance


def _superheat(publication: Publication, part: Part) -> tuple[pd.DataFrame, Limits]:
    """Curves of a part's example, and the window of its own refrigerant."""
    curves = publication.rows(publication.data.superheat, part)
    first = curves.iloc[0]
    windows = publication.data.windows
    own = windows[
        (windows["family"] == part.family)
        & (windows["application"] == part.application)
        & (windows["refrigerant"] == first["refrigerant"])
        & (windows["size"] == first["size"])
        & ((windows["sst_k"] - first["sst_k"]).abs() < 1e-6)
    ].iloc[0]
    limits = publication.application(part.application)["systems"][first["refrigerant"]]["superheat"]
    return curves, Limits(float(own["min_load_w"]), float(own["max_load_w"]), limits["min_k"][0], limits["max_k"])


def _swing(publication: Publication, part: Part) -> str:
    """How far superheat moves from the low to the high head at mid-window, and what the port makes of it."""
    windows, formatter = publication.data.windows, publication.formatter
    own = windows[(windows["family"] == part.family) & (windows["application"] == part.application)]
    swing, port = float(own["superheat_swing_k"].median()), float(own["unbalance_swing_k"].median())
    return swing_text(swing, port, formatter)


def swing_text(swing_k: float, port_k: float, formatter: Formatter) -> str:
    """High-head less low-head superheat [K] in words, and what the unbalanced port contributes to it [K]."""

    def way(change_k: float) -> str:
        return f"{formatter.step(abs(change_k), 1)} {'lower' if change_k < 0 else 'higher'}"

    text = f"At mid-window superheat is {way(swing_k)} at the high head than at the low one"
    if abs(swing_k) < _MIN_SWING_K:
        text = "At mid-window superheat is the same at the high head as at the low one"
    text += " (median of this application)"
    if abs(port_k) < _MIN_SWING_K:
        return text + "."
    if port_k * swing_k > 0 and abs(port_k) <= abs(swing_k):
        return f"{text}; {formatter.step(abs(port_k), 1)} of that comes from the unbalanced port."
    return f"{text}; with a fully balanced port it would be {way(swing_k - port_k)}."
