"""Worked examples: one load for each application, at its three heads; which confidence the limits have."""

from __future__ import annotations

import math
from collections.abc import Sequence

from reportlab.platypus import Flowable, KeepTogether

from tablegen.model.booklet_contents import CONFIDENCE
from tablegen.model.publications import Combination
from tablegen.report.formatter import DASH, NBSP, kv, percent, ratio
from tablegen.report.pages.scattered_windows import confident_limits
from tablegen.report.pdf import design
from tablegen.report.pdf.page import STYLES, Heading, paragraph
from tablegen.report.pdf.page_references import referring
from tablegen.report.pdf.tables import data_table, data_tables
from tablegen.report.publications.chapters import chapter, chapter_here, see
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import ExampleRow, WindowRow, is_same_temperature, rows_of
from tablegen.wording import booklet as wording
from tablegen.wording import booklet_pages, terms
from tablegen.wording.message import listed


def confidence_sentence(publication: Publication) -> str:
    """Which confidence the limits of tables have."""
    confidence, found = publication.catalogue.confidence, chapter(publication, *CONFIDENCE)
    if confidence is None or not (found or confidence.is_printed):
        return wording.NOMINAL_ONLY()
    level = percent(confidence.level)
    if confidence.is_printed:
        return wording.AT_CONFIDENCE(level=level, see=see(publication, *CONFIDENCE))
    return wording.NOMINAL(level=level, chapter=found)


def worked_examples(publication: Publication, width: float) -> list[Flowable]:
    """One load for each application, followed through the table and the three heads; every figure is the data set's."""
    opening: list[Flowable] = [Heading(wording.EXAMPLES()), paragraph(wording.EXAMPLE_TERMS(), "small")]
    story: list[Flowable] = []
    for _, parts in publication.applications():
        rows = {part: rows_of(publication.rows(publication.data.example, part), ExampleRow) for part in parts}
        part = next((part for part in parts if rows[part]), None)
        if part is not None:
            own = _worked(publication, part, rows[part], width)
            # The heading and its note are on the page of the first example.
            story.append(KeepTogether(own if story else [*opening, *own]))
    return story


def _worked(publication: Publication, part: Combination, rows: Sequence[ExampleRow], width: float) -> list[Flowable]:
    """What is given, and three steps: the row of the table, the size, the valve at the three heads."""
    formatter, first = publication.formatter, rows[0]
    across = [row for row in publication.windows(part) if is_same_temperature(row.sst_k, first.sst_k)]
    own = next(row for row in across if row.size == first.size)
    sst, load = formatter.degrees(first.sst_k), formatter.with_load_unit(formatter.load(first.load_w))
    minimum, maximum = formatter.window(own.min_load_w, own.max_load_w)
    window = terms.RANGE(low=minimum, high=formatter.with_load_unit(maximum))
    sizes = [row.size for row in across if _covers(row, first.load_w)]
    if len(sizes) == 1:
        fitting = wording.EXAMPLE_ONE_SIZE(size=first.size, window=window)
    else:
        fitting = wording.EXAMPLE_SIZES(sizes=listed(sizes), size=first.size, window=window)
    choose = " ".join((fitting, *_smaller(publication, across, first), *_at_confidence(publication, part, first)))
    application = publication.catalogue.applications[part.application].title
    return [
        paragraph(wording.APPLICATION_TABLE(application=application, table=publication.title(part)), "caption"),
        paragraph(wording.EXAMPLE_CASE(refrigerant=first.refrigerant, sst=sst, load=load)),
        paragraph(wording.EXAMPLE_ROW(sst=sst), "step", "1."),
        *_quoted(publication, across, first, width),
        referring(choose, chapter_here(publication, *CONFIDENCE), STYLES["step"], "2."),
        paragraph(_at_heads(publication, rows), "step", "3."),
        _example_table(publication, part, rows, width),
    ]


def _covers(row: WindowRow, load_w: float) -> bool:
    return row.min_load_w <= load_w <= row.max_load_w


def _quoted(
    publication: Publication, across: Sequence[WindowRow], first: ExampleRow, width: float
) -> Sequence[Flowable]:
    """The cells of the row about the load, each with what it means for the load."""
    formatter = publication.formatter
    covering = [i for i, row in enumerate(across) if _covers(row, first.load_w)]
    shown = across[max(covering[0] - 1, 0) : covering[-1] + 2]
    header = [wording.SIZE(), *(row.size for row in shown)]
    windows = [formatter.readable_window(row.min_load_w, row.max_load_w) for row in shown]
    sst, load = formatter.degrees(first.sst_k), formatter.with_load_unit(formatter.load(first.load_w))
    body = [
        [
            wording.EXAMPLE_CELLS(sst=sst, unit=formatter.load_label),
            *(DASH.join(own) if own else "" for own in windows),
        ],
        [wording.EXAMPLE_LOAD(load=load), *(_verdict(row, first) for row in shown)],
    ]
    return data_tables(header, body, width, numeric=range(1, len(header)), size=design.NOTE)


def _verdict(row: WindowRow, first: ExampleRow) -> str:
    if row.size == first.size:
        return wording.LARGEST_MARGIN()
    if _covers(row, first.load_w):
        return wording.COVERS()
    if math.isnan(row.max_load_w):
        return wording.NO_WINDOW()
    return (booklet_pages.TOO_SMALL if row.max_load_w < first.load_w else booklet_pages.TOO_LARGE)()


def _at_heads(publication: Publication, rows: Sequence[ExampleRow]) -> str:
    """What the valve does at the lowest and at the highest head."""
    formatter, by = publication.formatter, {row.condition: row for row in rows}
    low, high = by["low_head"], by["high_head"]
    return wording.EXAMPLE_HEADS(
        size=low.size,
        kv=kv(low.kv_rated_m3h),
        low_drop=formatter.with_drop_unit(formatter.port_drop(low.pressure_drop_pa)),
        low_opening=percent(low.opening),
        high_drop=formatter.with_drop_unit(formatter.port_drop(high.pressure_drop_pa)),
        high_opening=percent(high.opening),
    )


def _smaller(publication: Publication, across: Sequence[WindowRow], first: ExampleRow) -> list[str]:
    """What the largest size that is too small would do with the example's load."""
    short = [row for row in across if row.max_load_w < first.load_w]
    if not short:
        return []
    smaller, formatter = short[-1], publication.formatter
    maximum = formatter.with_load_unit(formatter.window(smaller.min_load_w, smaller.max_load_w)[1])
    condition = terms.at_condition(smaller.max_condition)
    return [wording.EXAMPLE_SMALLER(size=smaller.size, maximum=maximum, condition=condition)]


def _at_confidence(publication: Publication, part: Combination, first: ExampleRow) -> list[str]:
    """That the limits at confidence do not contain the example's load, where they do not."""
    confidence, formatter = publication.catalogue.confidence, publication.formatter
    own = None if confidence is None or confidence.is_printed else confident_limits(publication, part, first)
    if confidence is None or own is None or own[0] <= first.load_w <= own[1]:
        return []
    size, level, window = first.size, percent(confidence.level), formatter.readable_window(*own)
    where = see(publication, *CONFIDENCE)
    if window is None:
        return [wording.EXAMPLE_NOMINAL_ONLY(size=size, level=level, see=where)]
    covered = terms.RANGE(low=window[0], high=formatter.with_load_unit(window[1]))
    return [wording.EXAMPLE_OUTSIDE(size=size, level=level, window=covered, see=where)]


def _example_table(publication: Publication, part: Combination, rows: Sequence[ExampleRow], width: float) -> Flowable:
    formatter = publication.formatter
    site = publication.catalogue.applications[part.application].site_pressure_pa
    header = [
        "",
        wording.HEAD_COLUMN(unit=formatter.gauge_label),
        wording.LIQUID_COLUMN(unit=formatter.temperature_label),
        wording.FLOW_RATIO(),
        wording.MASS_FLOW(),
        wording.SYSTEM_COLUMN(unit=formatter.load_label),
        wording.PORT_DROP(),
        wording.REQUIRED_KV(),
        wording.OPENING(),
        wording.SUPERHEAT(),
    ]
    is_thermostatic = publication.is_thermostatic(part.family)
    body = [
        [
            terms.condition_title(row.condition).replace(" ", NBSP),
            formatter.gauge(row.head_pressure_pa, site),
            formatter.temperature(row.liquid_temperature_k, 0),
            ratio(row.flow_ratio, 3),
            formatter.mass_flow(row.mass_flow_kg_s),
            formatter.load(row.capacity_w),
            formatter.with_drop_unit(formatter.port_drop(row.pressure_drop_pa)),
            kv(row.required_kv_m3h),
            percent(row.opening),
            formatter.step(row.superheat_k, 1) if is_thermostatic else terms.SET_BY_CONTROLLER(),
        ]
        for row in rows
    ]
    return data_table(header, body, width, numeric=range(1, len(header)), size=design.NOTE)
