"""The page of one valve family: what it is, its sizes, and how it works between the heads."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd

from tablegen.report.formatter import NBSP, Words, kv, percent
from tablegen.report.graphs.family_graphs import Limits, charge_graph, opening_graph, superheat_graph
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_tables, facts
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.publications.publication import EXTREME_NAMES, Edition, Part
from tablegen.units import CV_PER_KV

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether, Table

_HEIGHT = 158.0
_GAP = 12.0
# What prints as 0.1 K.
_LEAST_SWING_K = 0.05
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


def family_page(edition: Edition, name: str, width: float) -> list[Flowable]:
    """Heading, note, facts, sizes, graphs of the family's first printed part."""
    family = edition.inputs["families"][name]
    parts = [p for p in edition.parts if p.family == name]
    if not parts:
        return []
    return [
        KeepTogether(
            [Heading(family["title"], 2), paragraph(family["note"]), facts(_facts(edition, family), width, 8.5)]
        ),
        *_sizes(edition, name, width),
        *_graphs(edition, parts, width),
    ]


def _facts(edition: Edition, family: dict[str, Any]) -> list[tuple[str, str]]:
    words = edition.words
    law = "square root of the whole pressure drop"
    if family["flow_law"] != "orifice":
        law = f"square root of the pressure drop, choked, recovery factor{NBSP}{family['pressure_recovery']:g}"
    pairs = [("Kind", KINDS[family["kind"]]), ("Flow law", f"{law}. {family['flow_law_reason']}")]
    pairs += [("Opening", _opening(family))]
    pairs += [
        (
            "Pressures",
            f"working {words.gauge(family['working_pressure_gauge_pa'], 0.0)}{NBSP}{words.gauge_label}, allowed "
            f"differential {words.differential(family['allowed_differential_pa'])}",
        )
    ]
    rating = family["rating"]
    if rating is not None:
        pairs.append(
            (
                "Nominal capacity",
                f"{rating['refrigerant']}, liquid {words.degrees(rating['liquid_temperature_k'])}, "
                f"{words.step(rating['subcooling_k'])} subcooled, evaporating "
                f"{words.degrees(rating['evaporating_temperature_k'])} (dew), "
                f"{words.step(rating['superheat_k'])} superheat, drop {words.drop(rating['pressure_drop_pa'])}. "
                f"{family['rating_source']}",
            )
        )
    return pairs


def _opening(family: dict[str, Any]) -> str:
    trim = family["trims"][0]
    actuator = trim["actuator"]
    if family["kind"] != "thermostatic":
        return str(trim["title"])
    unbalance = actuator["balance"]["unbalance"]
    port = "balanced port"
    if unbalance:
        acts = "shut" if unbalance > 0 else "open"
        share = percent(abs(unbalance), 1)
        port = f"net unbalanced port area {share} of the diaphragm’s area, on which inlet pressure acts to {acts}"
    equalizer = "internal" if actuator["is_internally_equalized"] else "external"
    return (
        f"stop at {percent(actuator['stop'])} of rated stroke, steady from {percent(actuator['least_stable'])}; "
        f"{port}; {equalizer} equalizer"
    )


def _sizes(edition: Edition, name: str, width: float) -> Sequence[Flowable]:
    words, rows = edition.words, edition.data.sizes
    rows = rows[rows["family"] == name]
    header = ["Size", *(str(s) for s in rows["size"])]
    body = [
        ["Kv, m³/h", *(kv(float(v)) for v in rows["kv_rated_m3h"])],
        ["Cv, US gal/min", *(kv(float(v) * CV_PER_KV) for v in rows["kv_rated_m3h"])],
    ]
    if rows["nominal_capacity_w"].notna().all():
        body.append([f"Nominal, {words.load_label}", *(words.load(float(v)) for v in rows["nominal_capacity_w"])])
    return data_tables(header, body, width, numeric=range(1, len(header)), size=8.5)


def _graphs(edition: Edition, parts: list[Part], width: float) -> list[Flowable]:
    """Superheat and opening for the first part with an example; the charge of that part."""
    found = next(((p, edition.rows(edition.data.balance, p)) for p in parts if len(_rows(edition, p))), None)
    if found is None:
        return []
    part, curve = found
    words, first = edition.words, curve.iloc[0]
    envelope = edition.envelope(part.envelope)
    site = envelope["site_pressure_pa"]
    states = edition.states(part.envelope, first["refrigerant"], float(first["sst_k"]))
    heads = {EXTREME_NAMES[e].lower(): float(states.loc[e, "head_pressure_pa"]) for e in EXTREME_NAMES}
    kind = edition.inputs["families"][part.family]["kind"]
    what = {"thermostatic": "opening, share of rated stroke", "stepper": "share of travel", "pulse_modulated": "duty"}
    half = 0.5 * (width - _GAP)
    about = (
        f"Size {first['size']}, {first['refrigerant']}, SST {words.degrees(float(first['sst_k']))} (dew), "
        f"{envelope['title']}"
    )
    opening = FigureFlowable(
        opening_graph(curve, words, site, heads, what[kind]),
        half if kind == "thermostatic" else width,
        _HEIGHT,
        f"Graph of the opening against head: {about}",
    )
    load = words.with_load_unit(words.load(float(first["load_w"])))
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
        superheat_graph(*_superheat(edition, part), words), half, _HEIGHT, f"Graph of superheat against load: {about}"
    )
    pair = Table([[superheat, "", opening]], [half, _GAP, half], style=_BARE, hAlign="LEFT")
    charge = edition.trim(part)["name"]
    rows = edition.data.charges
    rows = rows[(rows["family"] == part.family) & (rows["charge"] == charge)]
    bulb = f"Bulb and evaporator: {edition.trim(part)['title']}, on {rows['refrigerant'].iloc[0]}"
    both = [
        paragraph(f"Superheat and opening: {about}", "caption"),
        pair,
        paragraph(
            f"For {first['refrigerant']} alone; a group's table is tighter. Right: a system rated {load}. "
            f"{_swing(edition, part)}",
            "small",
        ),
    ]
    charges = [
        paragraph(bulb, "caption"),
        FigureFlowable(charge_graph(rows, edition.trim(part)["setting"], words), width, _HEIGHT, f"Graph: {bulb}"),
        paragraph(
            "Hatched: the spring. The level stroke is the static superheat of the factory setting, from evaporator and "
            "spring to the bulb: that much warmer the bulb must be before the valve opens.",
            "small",
        ),
    ]
    return [KeepTogether(both), KeepTogether(charges)]


def _rows(edition: Edition, part: Part) -> pd.DataFrame:
    balance = edition.data.balance
    return edition.rows(balance, part) if len(balance) else balance


def _superheat(edition: Edition, part: Part) -> tuple[pd.DataFrame, Limits]:
    """Curves of a part's example, and the window of its own refrigerant."""
    curves = edition.rows(edition.data.superheat, part)
    first = curves.iloc[0]
    windows = edition.data.windows
    own = windows[
        (windows["family"] == part.family)
        & (windows["envelope"] == part.envelope)
        & (windows["refrigerant"] == first["refrigerant"])
        & (windows["size"] == first["size"])
        & ((windows["sst_k"] - first["sst_k"]).abs() < 1e-6)
    ].iloc[0]
    limits = edition.envelope(part.envelope)["envelopes"][first["refrigerant"]]["superheat"]
    return curves, Limits(
        float(own["min_load_w"]), float(own["max_load_w"]), limits["least_k"][0], limits["greatest_k"]
    )


def _swing(edition: Edition, part: Part) -> str:
    """How far superheat moves from the low to the high head at mid-window, and what the port makes of it."""
    windows, words = edition.data.windows, edition.words
    own = windows[(windows["family"] == part.family) & (windows["envelope"] == part.envelope)]
    swing, port = float(own["superheat_swing_k"].median()), float(own["unbalance_swing_k"].median())
    return swing_text(swing, port, words)


def swing_text(swing_k: float, port_k: float, words: Words) -> str:
    """High-head less low-head superheat [K] in words, and what the unbalanced port contributes to it [K]."""

    def way(change_k: float) -> str:
        return f"{words.step(abs(change_k), 1)} {'lower' if change_k < 0 else 'higher'}"

    text = f"At mid-window superheat is {way(swing_k)} at the high head than at the low one"
    if abs(swing_k) < _LEAST_SWING_K:
        text = "At mid-window superheat is the same at the high head as at the low one"
    text += " (median of this application)"
    if abs(port_k) < _LEAST_SWING_K:
        return text + "."
    if port_k * swing_k > 0 and abs(port_k) <= abs(swing_k):
        return f"{text}; {words.step(abs(port_k), 1)} of that comes from the unbalanced port."
    return f"{text}; with a fully balanced port it would be {way(swing_k - port_k)}."
