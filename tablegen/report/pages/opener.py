"""What an application does to a valve, in one picture of its first example and three sentences."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd
from reportlab.platypus import Flowable, PageBreak

from tablegen.model.publications import Combination
from tablegen.report.condition_stations import bubble_points, bubble_row
from tablegen.report.formatter import DASH, Formatter, percent
from tablegen.report.graphs.balance_graph import BalanceCurves
from tablegen.report.graphs.opener_graph import OpenerNames, OpenerStation, opener_graph
from tablegen.report.graphs.pressure_budget_graph import PressureBar, pressure_budget_graph
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import Drawing, DrawingFlowable
from tablegen.report.pdf.page import paragraph
from tablegen.report.pdf.page_flow import height
from tablegen.report.pdf.tables import facts
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import CurveCase, ExampleRow, HeadState, rows_of, window_at
from tablegen.units import print_unit
from tablegen.wording import booklet_pages as wording
from tablegen.wording import opener as opener_wording
from tablegen.wording import terms
from tablegen.wording.message import in_clauses

# The picture at least and at most, and what the layout may be off by [pt].
_LOWEST, _HIGHEST, _SLACK = 330.0, 520.0, 6.0


def opener(
    publication: Publication,
    parts: Sequence[Combination],
    around: tuple[Sequence[Flowable], Sequence[Flowable]],
    room: tuple[float, float],
) -> list[Flowable]:
    """The picture of the first part whose example has a window, and its verdict; nothing without one.

    `around` is what stands above and below on the page, the latter returned with the picture; `room` the width of the
    page and the height of the lowest [pt].
    """
    found = publication.first_example(parts)
    if found is None:
        return []
    part, curve = found
    formatter, (case, *_) = publication.formatter, rows_of(curve, CurveCase)
    site = publication.catalogue.applications[part.application].site_pressure_pa
    rows = rows_of(publication.rows(publication.data.example, part), ExampleRow)
    caption = wording.BALANCE(
        refrigerant=case.refrigerant,
        sst=formatter.degrees(case.sst_k),
        load=formatter.with_load_unit(formatter.load(case.load_w)),
    )

    verdict = _verdict(publication, part, curve, rows)
    above, below = around
    texts = [*above, *below, paragraph(caption, "caption"), facts(verdict, design.FIGURE_WIDTH, design.BODY)]
    # As high as the lowest and narrowest page allows, for it is drawn once for all papers.
    width, page = room
    tall = min(max(page - height(texts, design.FIGURE_WIDTH) - _SLACK, _LOWEST), _HIGHEST)

    def picture() -> Drawing:
        curves = BalanceCurves.of(curve, formatter, site)
        heads = publication.heads(part.application, case.refrigerant, case.sst_k)
        has_receiver = publication.system(part).has_receiver
        names = _names(publication, bubble_row(formatter, heads.values()), has_receiver)
        return opener_graph(_stations(publication, rows, heads, site), curves, names, (design.FIGURE_WIDTH, tall))

    drawing = publication.drawing(("opener", part), picture)
    return [
        paragraph(caption, "caption"),
        DrawingFlowable(drawing, terms.GRAPH(caption=caption)),
        facts(verdict, width, design.BODY),
        *below,
        PageBreak(),
    ]


def opener_explained(publication: Publication, parts: Sequence[Combination]) -> list[Flowable]:
    """How to read the picture; nothing without one."""
    found = publication.first_example(parts)
    if found is None:
        return []
    part, curve = found
    case = rows_of(curve, CurveCase)[0]
    return [
        paragraph(opener_wording.HOW_TO_READ(), "caption"),
        paragraph(_explained(publication, part, curve, case), "small"),
    ]


def pressure_budget(publication: Publication, parts: Sequence[Combination]) -> list[Flowable]:
    """Where the head pressure of the picture's example goes at each head; nothing where liquid is pushed up by its column."""
    found = publication.first_example(parts)
    if found is None:
        return []
    part, curve = found
    formatter, (case, *_) = publication.formatter, rows_of(curve, CurveCase)
    application = publication.catalogue.applications[part.application]
    heads = publication.heads(part.application, case.refrigerant, case.sst_k)
    rows = {row.condition: row for row in rows_of(publication.rows(publication.data.example, part), ExampleRow)}
    gauge, drop = print_unit("pressure gauge", formatter.system), print_unit("pressure difference", formatter.system)
    bars = []
    for condition in terms.CONDITIONS:
        state, row = heads[condition], rows[condition]
        outlet_pa = state.inlet_pressure_pa - row.pressure_drop_pa
        steps_pa = (state.evaporating_pressure_pa, outlet_pa, state.inlet_pressure_pa, row.head_pressure_pa)
        if not all(low_pa <= high_pa for low_pa, high_pa in itertools.pairwise(steps_pa)):
            return []
        drops = [formatter.port_drop(high_pa - low_pa) for low_pa, high_pa in itertools.pairwise(steps_pa)]
        places = [gauge.of(pressure_pa - application.site_pressure_pa) for pressure_pa in steps_pa]
        name = terms.condition(condition)
        bars.append(PressureBar(name=name, pressures=tuple(places), drops=tuple(drops)))  # type: ignore[arg-type]
    has_lift = bool(publication.system(part, case.refrigerant).losses.lift_m)
    message = opener_wording.BUDGET_LIFT if has_lift else opener_wording.BUDGET
    caption = message(refrigerant=case.refrigerant, sst=formatter.degrees(case.sst_k), unit=drop.label)
    alt = in_clauses(
        opener_wording.BUDGET_BAR(condition=bar.name, line=bar.drops[2], valve=bar.drops[1], coil=bar.drops[0])
        for bar in bars
    )
    drawing = publication.drawing(
        ("budget", part), lambda: pressure_budget_graph(bars, gauge.label, design.FIGURE_WIDTH)
    )
    return [
        paragraph(caption, "caption"),
        DrawingFlowable(drawing, terms.GRAPH(caption=f"{caption}. {alt}")),
    ]


def _names(publication: Publication, bubble: str, has_receiver: bool) -> OpenerNames:
    formatter = publication.formatter
    drop = print_unit("pressure difference", formatter.system).label
    head = opener_wording.RECEIVER if has_receiver else opener_wording.HEAD
    return OpenerNames(
        head=(head(), formatter.gauge_label),
        bubble=bubble,
        liquid=(opener_wording.LIQUID(), opener_wording.AT_THE_VALVE(unit=formatter.temperature_label)),
        drop=(opener_wording.PRESSURE(), opener_wording.LEFT_FOR_THE_VALVE(unit=drop)),
        balance=(opener_wording.BALANCE(), opener_wording.CAPACITY(unit=formatter.load_label)),
    )


def _stations(
    publication: Publication, rows: Sequence[ExampleRow], heads: Mapping[str, HeadState], site_pressure_pa: float
) -> list[OpenerStation]:
    """The operating conditions of the example, as the worked examples print them."""
    formatter = publication.formatter
    unit = print_unit("pressure difference", formatter.system)
    by = {row.condition: row for row in rows}
    return [
        OpenerStation(
            name=terms.condition(condition),
            head_pa=by[condition].head_pressure_pa,
            pressure=formatter.gauge(by[condition].head_pressure_pa, site_pressure_pa),
            bubble=bubble_points(formatter, [heads[condition]]),
            liquid=formatter.temperature(by[condition].liquid_temperature_k, 0),
            drop=_drop(formatter, by[condition]),
            drop_value=unit.of(by[condition].pressure_drop_pa),
        )
        for condition in terms.CONDITIONS
    ]


def _drop(formatter: Formatter, row: ExampleRow) -> str:
    """Pressure drop of the port; a dash where it cannot be computed."""
    return DASH if math.isnan(row.pressure_drop_pa) else formatter.port_drop(row.pressure_drop_pa)


def _verdict(
    publication: Publication, part: Combination, curve: pd.DataFrame, rows: Sequence[ExampleRow]
) -> list[tuple[str, str]]:
    """What low head does to the valve, what becomes of the next smaller size, and what the chosen one covers."""
    formatter, (case, *_) = publication.formatter, rows_of(curve, CurveCase)
    by = {row.condition: row for row in rows}
    low, rating = by["low_head"], by["rating"]
    sentences = []
    if math.isfinite(low.pressure_drop_pa) and rating.pressure_drop_pa > 0.0:
        text = opener_wording.LOW_HEAD_LEAVES(
            drop=formatter.with_drop_unit(_drop(formatter, low)),
            share=percent(low.pressure_drop_pa / rating.pressure_drop_pa),
            rating=formatter.with_drop_unit(_drop(formatter, rating)),
            capacity=percent(low.capacity_w / rating.capacity_w),
        )
        sentences.append((terms.condition_title("low_head"), text))
    if case.smaller_size:
        sentences.append((opener_wording.SIZE(size=case.smaller_size), _smaller(publication, part, curve, case)))
    own = window_at(publication.windows(part), case.size, case.sst_k)
    window = formatter.readable_window(own.min_load_w, own.max_load_w)
    if window is not None:
        text = opener_wording.COVERS(
            minimum=window[0],
            maximum=formatter.with_load_unit(window[1]),
            sst=formatter.degrees(case.sst_k),
            load=formatter.load(case.load_w),
        )
        sentences.append((opener_wording.SIZE(size=case.size), text))
    return sentences


def _smaller(publication: Publication, part: Combination, curve: pd.DataFrame, case: CurveCase) -> str:
    """At which heads the next smaller size, fully open, passes less than the system needs."""
    rows = curve.sort_values("head_pressure_pa")
    known = rows.dropna(subset=["smaller_max_w", "compressor_capacity_w"])
    short = (known["compressor_capacity_w"] > known["smaller_max_w"]).to_numpy()
    if short.all():
        return opener_wording.SMALLER_NEVER()
    if not short.any() or math.isnan(case.smaller_crossing_pa):
        return opener_wording.SMALLER_ALWAYS()
    site = publication.catalogue.applications[part.application].site_pressure_pa
    head = publication.formatter.with_gauge_unit(publication.formatter.gauge(case.smaller_crossing_pa, site))
    return (opener_wording.SMALLER_BELOW if short[0] else opener_wording.SMALLER_ABOVE)(head=head)


def _explained(publication: Publication, part: Combination, curve: pd.DataFrame, case: CurveCase) -> str:
    """How to read the balance."""
    is_thermostatic = publication.is_thermostatic(part.family)
    site = publication.catalogue.applications[part.application].site_pressure_pa
    opened = (wording.AS_FAR_OPEN_THERMOSTATIC if is_thermostatic else wording.AS_FAR_OPEN_ELECTRONIC)(
        refrigerant=case.refrigerant
    )
    lines = wording.LINES_OF_RACK if publication.system(part).keeps_capacity else wording.LINES_EXPLAINED
    parts = lines(size=case.size), _as_head_falls(publication, curve, site), opened
    return " ".join((*parts, opener_wording.STRAIGHT()))


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
