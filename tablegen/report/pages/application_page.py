"""The page that opens an application: its heads for every refrigerant, its assumptions, its balance graph."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pandas as pd
from reportlab.platypus import Flowable, PageBreak

from tablegen.model.inputs import Application, Combination
from tablegen.report.formatter import DASH, percent
from tablegen.report.graphs.balance_graph import BalanceCurves, balance_graph
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import Drawing, DrawingFlowable
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import CurveCase, HeadState, rows_of
from tablegen.report.table_conditions import compressor_text
from tablegen.wording import booklet_pages as wording
from tablegen.wording import terms
from tablegen.wording.message import listed

GRAPH_HEIGHT = 205.0


def application_page(publication: Publication, name: str, parts: Sequence[Combination], width: float) -> list[Flowable]:
    """Heading, note, graph of the first part, heads of every refrigerant, sources."""
    application = publication.catalogue.applications[name]
    sst = publication.formatter.degrees(application.example_sst_k)
    return [
        Heading(application.title),
        paragraph(f"{application.note} {lift_text(publication, name, parts)}".strip()),
        *_graph(publication, parts),
        paragraph(wording.HEADS_CAPTION(sst=sst), "caption"),
        _heads_table(publication, application, parts, width),
        paragraph(wording.SOURCES_CAPTION(), "caption"),
        facts(_sources(application), width, design.NOTE),
        PageBreak(),
    ]


def lift_text(publication: Publication, name: str, parts: Sequence[Combination]) -> str:
    """What a column of liquid takes off the head pressure, or adds to it; empty without one."""
    refrigerant, formatter = publication.members(parts[0].group)[0], publication.formatter
    losses = publication.catalogue.applications[name].systems[refrigerant].losses
    if not losses.lift_m:
        return ""
    heads = publication.heads(name, refrigerant)
    density = heads["rating"].liquid_density_kg_m3
    pressures = []
    for condition in ("rating", "low_head"):
        s = heads[condition]
        line = losses.liquid_line_pa * s.flow_share**2 * density / s.liquid_density_kg_m3
        column = abs(s.head_pressure_pa - s.inlet_pressure_pa - line)
        if math.isfinite(column):
            pressures.append(
                wording.COLUMN_PRESSURE(
                    pressure=formatter.drop(column),
                    condition=terms.at_condition(condition),
                    share=percent(column / s.head_pressure_pa),
                )
            )
    if not pressures:
        return wording.COLUMN_UNKNOWN(refrigerant=refrigerant)
    message = wording.COLUMN_TAKES if losses.lift_m > 0.0 else wording.COLUMN_ADDS
    lift = formatter.length(abs(losses.lift_m))
    return message(refrigerant=refrigerant, lift=lift, pressures=listed(pressures))


def _graph(publication: Publication, parts: Sequence[Combination]) -> list[Flowable]:
    """The balance graph of the first part whose example has a window."""
    found = publication.first_example(parts)
    if found is None:
        return []
    part, curve = found
    formatter, (case, *_) = publication.formatter, rows_of(curve, CurveCase)
    application = publication.catalogue.applications[part.application]
    caption = wording.BALANCE(
        refrigerant=case.refrigerant,
        sst=formatter.degrees(case.sst_k),
        load=formatter.with_load_unit(formatter.load(case.load_w)),
    )
    is_thermostatic = publication.is_thermostatic(part.family)
    explained = [
        wording.LINES_EXPLAINED(size=case.size),
        _as_head_falls(publication, curve, application.site_pressure_pa),
        *([] if math.isnan(case.smaller_crossing_pa) else [wording.CROSSING(size=case.smaller_size)]),
        (wording.AS_FAR_OPEN_THERMOSTATIC if is_thermostatic else wording.AS_FAR_OPEN_ELECTRONIC)(
            refrigerant=case.refrigerant
        ),
    ]
    heads = publication.named_heads(part.application, case)

    def balance() -> Drawing:
        curves = BalanceCurves.of(curve, formatter, application.site_pressure_pa)
        return balance_graph(curves, heads, (design.FIGURE_WIDTH, GRAPH_HEIGHT))

    drawing = publication.drawing(("balance", part), balance)
    return [
        paragraph(caption, "caption"),
        DrawingFlowable(drawing, terms.GRAPH(caption=caption)),
        paragraph(" ".join(explained), "small"),
    ]


def _as_head_falls(publication: Publication, curve: pd.DataFrame, site_pressure_pa: float) -> str:
    """What happens toward low heads; a valve can pass most at a head between the conditions."""
    rows = curve.dropna(subset=["valve_max_w"]).sort_values("head_pressure_pa")
    most = int(np.argmax(rows["valve_max_w"]))
    wants_more = (np.diff(rows["compressor_capacity_w"].iloc[: most + 1].to_numpy()) < 0.0).all()
    if most == len(rows) - 1:
        return (wording.HEAD_FALLS_MORE if wants_more else wording.HEAD_FALLS)()
    formatter = publication.formatter
    head = formatter.with_gauge_unit(formatter.gauge(float(rows["head_pressure_pa"].iloc[most]), site_pressure_pa))
    return (wording.BELOW_HEAD_MORE if wants_more else wording.BELOW_HEAD)(head=head)


def _heads_table(
    publication: Publication, application: Application, parts: Sequence[Combination], width: float
) -> Flowable:
    """A row for each refrigerant: every head with its pressure, both saturation temperatures, and the liquid."""
    formatter, systems = publication.formatter, application.systems
    degrees, gauge = formatter.temperature_label, formatter.gauge_label
    header, groups = [wording.REFRIGERANT()], []
    for condition in terms.CONDITIONS:
        heads = [system.condition(condition).head for system in systems.values()]
        is_stated = any(head.condensing_temperature_k is not None for head in heads)
        pressure = wording.PRESSURES_COLUMN if is_stated else wording.HEAD_COLUMN
        groups.append((terms.condition_title(condition), 3))
        temperatures, liquid = wording.TEMPERATURES_COLUMN(unit=degrees), wording.LIQUID_COLUMN(unit=degrees)
        header += [pressure(unit=gauge), temperatures, liquid]
    body = []
    for refrigerant in dict.fromkeys(member for part in parts for member in publication.members(part.group)):
        states = publication.heads(application.name, refrigerant)
        cells = [_head_cells(publication, states[name], application.site_pressure_pa) for name in terms.CONDITIONS]
        body.append([refrigerant, *(text for own in cells for text in own)])
    return data_table(header, body, width, numeric=range(1, len(header)), size=design.FINE, groups=groups)


def _head_cells(publication: Publication, state: HeadState, site_pressure_pa: float) -> list[str]:
    """Pressure or pressures of a head, its saturation temperatures, and its liquid."""
    formatter = publication.formatter
    stated = [state.condensing_bubble_pressure_pa, state.condensing_dew_pressure_pa]
    pressures = [pressure for pressure in stated if not math.isnan(pressure)] or [state.head_pressure_pa]
    temperatures = state.head_bubble_temperature_k, state.head_dew_temperature_k
    liquid_k = state.liquid_temperature_k
    return [
        "/".join(formatter.gauge(pressure, site_pressure_pa) for pressure in pressures),
        "/".join(formatter.temperature(kelvin, 1) for kelvin in temperatures),
        # A dash where the row's windows are empty, for no state of it can be computed.
        formatter.temperature(liquid_k, 0) if math.isfinite(liquid_k) else DASH,
    ]


def _sources(application: Application) -> list[tuple[str, str]]:
    sources, first = application.sources, next(iter(application.systems.values()))
    compressor = compressor_text(first.compressor)
    return [
        (wording.RATING_POINT(), sources["rating"]),
        (wording.LOW_HEAD(), sources["low_head"]),
        (wording.HIGH_HEAD(), sources["high_head"]),
        (wording.LOSSES(), sources["losses"]),
        (wording.SUPERHEAT(), sources["superheat"]),
        (wording.COMPRESSOR(), wording.COMPRESSOR_SOURCE(source=sources["compressor"], compressor=compressor)),
    ]
