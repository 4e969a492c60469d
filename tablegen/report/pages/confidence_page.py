"""Scatter and confidence: what the limits at confidence mean, how narrow they are, what drives them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether

from tablegen.model.inputs import Confidence
from tablegen.model.publications import Combination
from tablegen.model.scatter import InstallationScatter, ProductionScatter
from tablegen.report.formatter import DASH, NBSP, Formatter, percent, percent_range
from tablegen.report.graphs.driver_graph import confident_change, driver_graph, narrowing_change, shown
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.publications.chapters import see
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import DriverRow, rows_of
from tablegen.wording import confidence as wording
from tablegen.wording import terms
from tablegen.wording.language import whole
from tablegen.wording.message import in_clauses

_BAR_HEIGHT, _FOOT = 11.0, 64.0
# Of the data set, in the file of group windows.
_CONFIDENT_COLUMNS = ("confident_min_load_w", "confident_max_load_w")
# Height [pt] for a caption, how to read its table, and the first rows.
_OPENING = 150.0


def confidence_chapter(publication: Publication, width: float, has_graphs: bool = True) -> list[Flowable]:
    """The chapter with or without its graphs; empty where the catalogue states no scatter."""
    confidence, frame = publication.catalogue.confidence, publication.data.drivers
    if confidence is None or not len(frame):
        return []
    found = {part: rows_of(publication.rows(frame, part), DriverRow) for part in publication.parts}
    drivers = {part: rows for part, rows in found.items() if rows}
    unit = publication.formatter.load_label
    caption = paragraph(wording.TABLE_CAPTION(table=wording.TABLE(), unit=unit), "caption")
    # With the table as a whole it would leave half a page empty.
    caption.keepWithNext = False
    story: list[Flowable] = [
        Heading(wording.HEADING()),
        *(paragraph(text) for text in _about(publication, confidence)),
        facts(_scatter(publication), width, design.NOTE),
        CondPageBreak(_OPENING),
        caption,
        paragraph(_table_note(confidence), "small"),
        _table(publication, drivers, confidence, width),
    ]
    if not has_graphs:
        return story
    chosen = _narrowed_most(drivers)
    own = of_hundred(1.0 - confidence.share), percent(1.0 - confidence.level)
    note = wording.DRIVERS_NOTE(rest_share=own[0], rest_level=own[1])
    bases = wording.SHARED_BASES(share=of_hundred(confidence.share))
    return [*story, paragraph(f"{note} {bases}"), *(_graph(publication, part, drivers[part]) for part in chosen)]


def _narrowed_most(drivers: Mapping[Combination, Sequence[DriverRow]]) -> list[Combination]:
    """Of the tables of each family's first application the one that all sources together narrow most."""
    found: dict[str, list[Combination]] = {}
    for part in drivers:
        own = found.setdefault(part.family, [])
        own += [part] if not own or own[0].application == part.application else []
    return [max(own, key=lambda part: _narrowing(drivers[part])) for own in found.values()]


def _narrowing(rows: Sequence[DriverRow]) -> float:
    """How much narrower the window of an example is at confidence, in powers; infinite where none is left."""
    minimum, maximum = (_of_limit(rows, side) for side in terms.LIMITS)
    left = maximum.confident_load_w / minimum.confident_load_w
    if not left > 1.0:
        return math.inf
    return math.log(maximum.nominal_load_w / minimum.nominal_load_w) - math.log(left)


def _about(publication: Publication, confidence: Confidence) -> list[str]:
    share, level = of_hundred(confidence.share), percent(confidence.level)
    spread = percent(float(publication.data.drivers["spread_between_draws"].max()), 1)
    both = of_hundred(_of_both(confidence.share))
    if confidence.is_printed:
        about = wording.ABOUT[True](level=level, share=share, both=both)
    else:
        about = wording.ABOUT[False](level=level, share=share, both=both, table=wording.TABLE())
    is_set = any(publication.is_thermostatic(part.family) for part in publication.parts)
    choose = wording.CHOOSE(file="group_windows.csv", columns=", ".join(_CONFIDENT_COLUMNS))
    return [
        *([] if confidence.is_printed else [choose]),
        about,
        wording.SCATTER(share=share),
        wording.SHARED(see=see(publication, "refrigerants")),
        *([wording.SETTING()] if is_set else []),
        wording.GROUPS(samples=whole(confidence.samples), seed=confidence.seed, spread=spread),
    ]


def _scatter(publication: Publication) -> list[tuple[str, str]]:
    """What each family and each application scatters by."""
    catalogue, formatter = publication.catalogue, publication.formatter
    found = [
        (family.display_name, _of_family(formatter, family.scatter))
        for family in catalogue.families.values()
        if any(part.family == family.name for part in publication.parts)
    ]
    # Applications that scatter alike are in one line, refrigerants of one in one sentence.
    titles: dict[str, list[str]] = {}
    for name in dict.fromkeys(part.application for part in publication.parts):
        application = catalogue.applications[name]
        alike: dict[str, list[str]] = {}
        for refrigerant in application.systems:
            own = application.scatter.get(refrigerant)
            text = _of_installation(formatter, own) if own else wording.NO_SCATTER()
            alike.setdefault(text, []).append(refrigerant)
        whose = [
            text if len(alike) == 1 else wording.WHOSE(names=", ".join(names), text=text)
            for text, names in alike.items()
        ]
        titles.setdefault(" ".join(whose), []).append(application.title)
    installed = [wording.WHOSE(names=in_clauses(own), text=text) for text, own in titles.items()]
    return found + [("" if i else wording.INSTALLATIONS(), text) for i, text in enumerate(installed)]


def _of_family(formatter: Formatter, scatter: ProductionScatter) -> str:
    values = {
        "kv": (scatter.kv, percent(scatter.kv, 1)),
        "pressure_recovery": (scatter.pressure_recovery, percent(scatter.pressure_recovery, 1)),
        "static_superheat_k": (scatter.static_superheat_k, formatter.step(scatter.static_superheat_k, 2)),
        "hysteresis_k": (scatter.hysteresis_k, formatter.step(scatter.hysteresis_k, 2)),
        "opening_superheat_k": (scatter.opening_superheat_k, formatter.step(scatter.opening_superheat_k, 2)),
        "unbalance": (scatter.unbalance, percent(scatter.unbalance, 2)),
        "charge_pressure": (scatter.charge_pressure, percent(scatter.charge_pressure, 1)),
    }
    deviation = formatter.step(scatter.hysteresis_k / math.sqrt(3.0), 2)
    parts = [
        wording.OF_VALVE[name](value=text, **({"deviation": deviation} if name == "hysteresis_k" else {}))
        for name, (value, text) in values.items()
        if value
    ]
    return _deviations(parts, scatter.source)


def _of_installation(formatter: Formatter, scatter: InstallationScatter) -> str:
    values = {
        "low_head_pa": (scatter.low_head_pa, formatter.drop(scatter.low_head_pa, 1)),
        "low_head_k": (scatter.low_head_k, formatter.step(scatter.low_head_k, 1)),
        "high_head_pa": (scatter.high_head_pa, formatter.drop(scatter.high_head_pa, 1)),
        "high_head_k": (scatter.high_head_k, formatter.step(scatter.high_head_k, 1)),
        "inlet_subcooling_k": (scatter.inlet_subcooling_k, formatter.step(scatter.inlet_subcooling_k, 1)),
        "liquid_line_pa": (scatter.liquid_line_pa, formatter.drop(scatter.liquid_line_pa, 1)),
        "distributor_pa": (scatter.distributor_pa, formatter.drop(scatter.distributor_pa, 1)),
        "flow_change": (scatter.flow_change, percent(scatter.flow_change)),
    }
    parts = [wording.OF_INSTALLATION[name](value=text) for name, (value, text) in values.items() if value]
    return _deviations(parts, scatter.source)


def _deviations(parts: list[str], source: str) -> str:
    if not parts:
        return wording.NO_SCATTER()
    return wording.DEVIATIONS(parts=", ".join(parts), source=source if source.endswith(".") else f"{source}.")


def _of_limit(rows: Sequence[DriverRow], limit: str) -> DriverRow:
    """The first row of a limit, its strongest driver."""
    return next(row for row in rows if row.limit == limit)


def _table(
    publication: Publication,
    drivers: Mapping[Combination, Sequence[DriverRow]],
    confidence: Confidence,
    width: float,
) -> Flowable:
    """A row for each printed part that has an example."""
    formatter, body = publication.formatter, []
    for part, rows in drivers.items():
        limits = [_of_limit(rows, side) for side in terms.LIMITS]
        windows = [
            formatter.readable_window(*loads)
            for loads in zip(
                *((own.nominal_load_w, own.installed_load_w, own.confident_load_w) for own in limits), strict=True
            )
        ]
        printed = [DASH.join(window) if window else wording.NO_WINDOW() for window in windows]
        at = wording.SIZE_AT(size=rows[0].size, sst=formatter.degrees(rows[0].sst_k)).replace(" ", NBSP)
        ranges = [_shared_range(own) for own in limits]
        body.append([publication.full_title(part), at, *printed[:2], *ranges, printed[2]])
    header = [
        wording.TABLE_HEADER(),
        wording.SIZE_HEADER(),
        wording.NOMINAL(),
        wording.VALVES(share=of_hundred(confidence.share)),
        wording.SHARED_MINIMUM(),
        wording.SHARED_MAXIMUM(),
        wording.AT_CONFIDENCE(level=percent(confidence.level)),
    ]
    return data_table(header, body, width, numeric=range(2, 7), size=design.NOTE, fewest_lines=True)


def _shared_range(limit: DriverRow) -> str:
    """How far what all valves share may move a limit either way, as shares of it with that as stated."""
    low, high, stated = limit.data_low_load_w, limit.data_high_load_w, limit.installed_load_w
    if math.isnan(low + high + stated):
        return DASH
    changes = [percent(end / stated - 1.0, 1) for end in (low, high)]
    return f"{changes[0].removesuffix(f'{NBSP}%')}/+{changes[1]}"


def _table_note(confidence: Confidence) -> str:
    return wording.TABLE_NOTE(
        share=of_hundred(confidence.share), level=percent(confidence.level), rest=percent(1.0 - confidence.level)
    )


def _graph(publication: Publication, part: Combination, rows: Sequence[DriverRow]) -> Flowable:
    """What moves the limits of one part's example most."""
    title = wording.DRIVERS(
        table=publication.full_title(part),
        size=rows[0].size,
        sst=publication.formatter.degrees(rows[0].sst_k),
    )
    minimum, maximum = (_of_limit(rows, side) for side in terms.LIMITS)
    if publication.formatter.readable_window(minimum.confident_load_w, maximum.confident_load_w) is None:
        together = wording.CROSSED()
    else:
        ends = (_percent(confident_change(own)) for own in (minimum, maximum))
        together = wording.TOGETHER(minimum=next(ends), maximum=next(ends))
    seen = wording.DRIVERS_SEEN(
        min_member=minimum.refrigerant,
        minimum=_moves(minimum),
        max_member=maximum.refrigerant,
        maximum=_moves(maximum),
        together=together,
    )
    drawing = publication.drawing(
        ("drivers", part),
        lambda: driver_graph(rows, (design.FIGURE_WIDTH, _FOOT + _BAR_HEIGHT * (len(shown(rows)) + 1))),
    )
    alt = wording.DRIVERS_ALT(title=title, minimum=_strongest(minimum), maximum=_strongest(maximum))
    picture = DrawingFlowable(drawing, alt)
    return KeepTogether([paragraph(title, "caption"), paragraph(seen), picture])


def _moves(strongest: DriverRow) -> str:
    """The strongest source of a limit, and how far it makes the window narrower."""
    driver = terms.DRIVERS[strongest.driver]()
    return wording.DRIVER_MOVES(driver=driver, change=_percent(narrowing_change(strongest)))


def _percent(change: float) -> str:
    """A change in percent with its sign; a dash where no limit is left."""
    return percent_range([change / 100.0])


def _of_both(share: float) -> float:
    """The share of valves that cover two limits at least, where `share` of them cover each (Bonferroni)."""
    return 2.0 * share - 1.0


def _strongest(first: DriverRow) -> str:
    """The strongest driver of a limit, for who does not see the graph."""
    change = 0.5 * abs(first.load_at_high_w - first.load_at_low_w) / first.member_load_w
    return wording.STRONGEST[first.limit](driver=terms.DRIVERS[first.driver](), change=percent(change, 1))


def of_hundred(share: float) -> str:
    """So many of a hundred, or of a thousand where that is no whole number."""
    hundreds = 100.0 * share
    if abs(hundreds - round(hundreds)) < 1e-9:
        return wording.OF_100(count=f"{hundreds:.0f}")
    return wording.OF_1000(count=f"{10.0 * hundreds:.0f}")
