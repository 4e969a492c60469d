"""The page that opens an application: its heads for every refrigerant, its assumptions, its balance graph."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd

from tablegen.report.formatter import DASH, NBSP, Formatter, percent
from tablegen.report.graphs.balance_graph import balance_graph
from tablegen.report.heads_text import compressor_text
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.publications.publication import Part, Publication
from tablegen.wording import terms

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, PageBreak

GRAPH_HEIGHT = 205.0


def application_page(publication: Publication, name: str, parts: list[Part], width: float) -> list[Flowable]:
    """Heading, note, graph of the first part, heads of every refrigerant, sources."""
    application = publication.application(name)
    sst = publication.formatter.degrees(application["example_sst_k"])
    return [
        Heading(application["title"]),
        paragraph(f"{application['note']} {lift_text(publication, name, parts)}".strip()),
        *_graph(publication, parts, width),
        paragraph(f"Heads and liquid of each refrigerant, at SST {sst} (dew)", "caption"),
        _heads_table(publication, name, parts, width),
        paragraph("Where the conditions come from", "caption"),
        _sources(publication, name, width),
        PageBreak(),
    ]


def lift_text(publication: Publication, name: str, parts: list[Part]) -> str:
    """What a column of liquid takes off the head pressure, or adds to it; empty without one."""
    refrigerant, formatter = publication.members(parts[0].group)[0], publication.formatter
    application = publication.application(name)
    losses = application["systems"][refrigerant]["losses"]
    if not losses["lift_m"]:
        return ""
    states = publication.states(name, refrigerant, application["example_sst_k"])
    density = float(states.loc["rating", "liquid_density_kg_m3"])
    takes = []
    for condition in ("rating", "low_head"):
        s = states.loc[condition]
        line = losses["liquid_line_pa"] * s["flow_share"] ** 2 * density / s["liquid_density_kg_m3"]
        column = float(s["head_pressure_pa"] - s["inlet_pressure_pa"] - line)
        if not math.isfinite(column):
            continue
        share = percent(abs(column) / float(s["head_pressure_pa"]))
        takes.append(
            f"{formatter.drop(abs(column))} {terms.at_condition(condition)} ({share} of the absolute head pressure)"
        )
    if not takes:
        return f"What the column of liquid comes to for {refrigerant} cannot be computed."
    does = "takes" if losses["lift_m"] > 0.0 else "adds"
    return f"For {refrigerant} the {formatter.length(abs(losses['lift_m']))} column of liquid {does} {' and '.join(takes)}."


def _graph(publication: Publication, parts: list[Part], width: float) -> list[Flowable]:
    """The balance graph of the first part whose example has a window."""
    for part in parts:
        curve = publication.data.balance
        curve = publication.rows(curve, part) if len(curve) else curve
        if len(curve):
            break
    else:
        return []
    formatter, first = publication.formatter, curve.iloc[0]
    application = publication.application(part.application)
    states = publication.states(part.application, first["refrigerant"], float(first["sst_k"]))
    heads = {terms.condition(e): float(states.loc[e, "head_pressure_pa"]) for e in terms.CONDITIONS}
    caption = (
        f"Balance of {first['refrigerant']} at SST {formatter.degrees(float(first['sst_k']))} (dew): a system rated "
        f"{formatter.with_load_unit(formatter.load(float(first['load_w'])))}, and what the valve lets it do"
    )
    explained = (
        "The evaporator's line is its capacity at the SST. Where the compressor pumps more than that, the suction "
        "temperature falls until the two agree; where it pumps less, the suction temperature rises. The conditions "
        "above a table say whether it takes the SST as constant. "
        f"Size {first['size']} fits as long as the system's line runs between its two curves. "
        f"{_as_head_falls(curve, formatter, application['site_pressure_pa'])}"
    )
    explained += (
        f"; size {first['smaller_size']} meets the system at the ring and starves below it."
        if first["smaller_crossing_pa"] == first["smaller_crossing_pa"]
        else "."
    )
    far = (
        "its stop and the maximum superheat allow"
        if publication.is_thermostatic(part.family)
        else "control may open it"
    )
    explained += (
        f" The graph is for {first['refrigerant']} alone, each valve as far open as {far}; a group's table is tighter. "
        "Between the three conditions the subcooling is taken as linear."
    )
    figure = balance_graph(curve, formatter, application["site_pressure_pa"], heads)
    return [
        paragraph(caption, "caption"),
        FigureFlowable(figure, width, GRAPH_HEIGHT, f"Graph: {caption}"),
        paragraph(explained, "small"),
    ]


def _as_head_falls(curve: pd.DataFrame, formatter: Formatter, site_pressure_pa: float) -> str:
    """What happens towards low heads; a valve can pass most at a head between the conditions."""
    rows = curve.dropna(subset=["valve_max_w"]).sort_values("head_pressure_pa")
    most = int(np.argmax(rows["valve_max_w"]))
    where = "As the head falls"
    if most < len(rows) - 1:
        head = formatter.gauge(float(rows["head_pressure_pa"].iloc[most]), site_pressure_pa)
        where = f"As the head falls below about {head}{NBSP}{formatter.gauge_label}"
    below = rows["compressor_capacity_w"].iloc[: most + 1].to_numpy()
    wants = "the system wants more and " if (np.diff(below) < 0.0).all() else ""
    return f"{where}, {wants}the valve passes less"


def _heads_table(publication: Publication, name: str, parts: list[Part], width: float) -> Flowable:
    """A row for each refrigerant: every head with its pressure, both saturation temperatures, and the liquid."""
    formatter, application = publication.formatter, publication.application(name)
    site, sst_k, degrees = (
        application["site_pressure_pa"],
        application["example_sst_k"],
        publication.formatter.temperature_label,
    )
    header, groups = ["Refrigerant"], []
    stated = application["systems"]
    for condition in terms.CONDITIONS:
        title = terms.condition_title(condition)
        is_stated = any(e[condition]["head"]["condensing_temperature_k"] is not None for e in stated.values())
        pressure = f"bubble/dew, {formatter.gauge_label}" if is_stated else f"head, {formatter.gauge_label}"
        groups.append((title, 3))
        header += [pressure, f"bubble/dew, {degrees}", f"liquid, {degrees}"]
    body = []
    for refrigerant in dict.fromkeys(m for part in parts for m in publication.members(part.group)):
        states = publication.states(name, refrigerant, sst_k)
        row = [refrigerant]
        for condition in terms.CONDITIONS:
            state = states.loc[condition]
            bubble, dew = (
                formatter.temperature(float(state[f"head_{side}_temperature_k"]), 1) for side in ("bubble", "dew")
            )
            gauge, liquid = (
                formatter.gauge(float(state["head_pressure_pa"]), site),
                float(state["liquid_temperature_k"]),
            )
            pair = [
                formatter.gauge(float(state[f"condensing_{side}_pressure_pa"]), site)
                for side in ("bubble", "dew")
                if state[f"condensing_{side}_pressure_pa"] == state[f"condensing_{side}_pressure_pa"]
            ]
            row += [
                "/".join(pair) if pair else gauge,
                f"{bubble}/{dew}",
                # Where the row's windows are empty, for no state of it can be computed.
                formatter.temperature(liquid, 0) if math.isfinite(liquid) else DASH,
            ]
        body.append(row)
    return data_table(header, body, width, numeric=range(1, len(header)), size=8.0, groups=groups)


def _sources(publication: Publication, name: str, width: float) -> Flowable:
    application = publication.application(name)
    sources = application["sources"]
    first = next(iter(application["systems"].values()))
    return facts(
        [
            ("Rating point", sources["rating"]),
            ("Low head", sources["low_head"]),
            ("High head", sources["high_head"]),
            ("Losses", sources["losses"]),
            ("Superheat", sources["superheat"]),
            ("Compressor", f"{sources['compressor']}: {compressor_text(first)}"),
        ],
        width,
        8.5,
    )
