"""The two pages that open an application: its story in a picture; its heads for every refrigerant and its assumptions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from reportlab.platypus import Flowable, PageBreak

from tablegen.model.inputs import Application
from tablegen.model.publications import Combination
from tablegen.physics import liquid_equations as lineq
from tablegen.physics.system import GRAVITY_M_S2, Stability, SuctionResponse
from tablegen.report.condition_stations import liquid_fact
from tablegen.report.formatter import DASH, percent
from tablegen.report.pages.opener import opener, opener_explained, pressure_budget
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.page import Heading, height, paragraph
from tablegen.report.pdf.panels import AtRight
from tablegen.report.pdf.paragraphs import chapter_contents
from tablegen.report.pdf.pictograms import PictogramFlowable
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.publications.application_pictograms import application_pictograms
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import HeadState
from tablegen.report.table_conditions import TableConditions
from tablegen.wording import booklet_pages as wording
from tablegen.wording import confidence, terms
from tablegen.wording import minimum_openings as opening_wording
from tablegen.wording import opener as opener_wording
from tablegen.wording.language import figure
from tablegen.wording.message import in_clauses, listed

# A line of contents, about; pictograms beside a heading, and their foot over the line under it [pt].
_ENTRY, _MARK, _RISE = 14.0, 19.0, 2.0


def application_page(
    publication: Publication,
    name: str,
    parts: Sequence[Combination],
    width: float,
    page: float = design.LOWEST_PAGE,
) -> list[Flowable]:
    """A left page that tells the story of the first example; opposite what every table of the application shares.

    `page` is what the lowest paper has room for [pt].
    """
    application = publication.catalogue.applications[name]
    sst = publication.formatter.degrees(application.example_sst_k)
    above: list[Flowable] = [
        Heading(application.title),
        *_marks(publication, name, width),
        paragraph(f"{application.note} {lift_text(publication, name, parts)}".strip()),
    ]
    explained = opener_explained(publication, parts)
    tables: list[Flowable] = [paragraph(opener_wording.TABLES(), "caption"), chapter_contents(application.title)]
    opposite: list[Flowable] = [
        paragraph(wording.HEADS_CAPTION(sst=sst), "caption"),
        _heads_table(publication, application, parts, width),
        paragraph(wording.CONDITIONS_CAPTION(), "caption"),
        facts(_conditions(publication, parts), width, design.NOTE),
        paragraph(wording.SOURCES_CAPTION(), "caption"),
        facts(_sources(publication, application, parts), width, design.NOTE),
    ]
    # How to read the picture is opposite where that page has room for it, else under the picture.
    entries = height([tables[0]], width) + _ENTRY * len(parts)
    if height(opposite, width) + entries >= page:
        # Many refrigerants and tables: the sources in one paragraph.
        sources = [
            confidence.WHOSE(names=label, text=text) for label, text in _sources(publication, application, parts)
        ]
        opposite[-1] = paragraph(in_clauses(sources), "small")
    needed = height([*opposite, *explained], width) + entries
    below, beside = ([], explained) if needed < page else (explained, [])
    # Where the pressure goes, if there is room left.
    budget = pressure_budget(publication, parts)
    if budget and beside and needed + height(budget, width) >= page:
        # Its tables state the liquid too.
        shorter = facts(_conditions(publication, parts, has_liquid=False), width, design.NOTE)
        less = needed - height([opposite[3]], width) + height([shorter], width)
        if less + height(budget, width) < page:
            needed, opposite[3] = less, shorter
    beside += budget if needed + height(budget, width) < page else []
    return [
        *above,
        *opener(publication, parts, (above, below), (width, page)),
        *beside,
        *opposite[:2],
        *tables,
        *opposite[2:],
        PageBreak(),
    ]


def _marks(publication: Publication, name: str, width: float) -> list[Flowable]:
    """The pictograms of an application beside its heading; nothing where the heading has no room for them."""
    marks = PictogramFlowable(application_pictograms(publication, name), _MARK)
    title = publication.catalogue.applications[name].title
    heading = fonts.text_width(title, fonts.BOLD, design.CHAPTER)
    return [AtRight(marks, _RISE)] if heading + marks.width + design.COLUMN_PAD <= width else []


def _conditions(
    publication: Publication, parts: Sequence[Combination], has_liquid: bool = True
) -> list[tuple[str, str]]:
    """Suction, losses and superheat in full; of electronic valves too where there are any, and of groups that differ."""
    found: dict[tuple[str, str], list[str]] = {}
    for part in parts:
        liquid = [liquid_fact(publication, part)] if has_liquid else []
        for label, text in (*TableConditions.of(publication, part).shared_facts(), *liquid):
            titles = found.setdefault((label, text), [])
            titles.append(publication.title(part))
    rows = []
    for label in dict.fromkeys(label for label, _ in found):
        texts = {text: titles for (own, text), titles in found.items() if own == label}
        if len(texts) == 1:
            rows.append((label, next(iter(texts))))
            continue
        # The text of most tables goes without their names.
        usual = max(texts, key=lambda text: len(texts[text]))
        rows.append((label, usual))
        rows += [
            (label, wording.OF_TABLES(tables=in_clauses(own), text=text))
            for text, own in texts.items()
            if text != usual
        ]
    return [*rows, *_minimum_opening(publication, parts), _supply(publication, parts)]


def _minimum_opening(publication: Publication, parts: Sequence[Combination]) -> list[tuple[str, str]]:
    """What gives the minimum opening of each family; nothing for an application that does not state a whole coil."""
    found: dict[str, list[str]] = {}
    for part in parts:
        system = publication.system(part)
        if system.circuit is None:
            continue
        family, rule = publication.catalogue.families[part.family], system.superheat.stability
        if system.response is not SuctionResponse.CONSTANT:
            text = opening_wording.DOES_NOT_APPLY()
        elif (family.elements[0].actuator.stability or rule.method) is Stability.LOOP:
            text = opening_wording.OF_LOOP(margin=figure(f"{rule.gain_margin:g}"))
        else:
            text = opening_wording.OF_STATEMENT()
        names = found.setdefault(text, [])
        names += [family.display_name] if family.display_name not in names else []
    if len(found) < 2:
        return [(opening_wording.FACT(), text) for text in found]
    own = [opening_wording.OF_FAMILIES(families=listed(names), text=text) for text, names in found.items()]
    return [(opening_wording.FACT(), in_clauses(own))]


def _supply(publication: Publication, parts: Sequence[Combination]) -> tuple[str, str]:
    """The subcooling at condenser or receiver, over every refrigerant of the tables."""
    return _of_all(publication, parts).supply()


def _of_all(publication: Publication, parts: Sequence[Combination]) -> TableConditions:
    """The conditions for every refrigerant of the tables."""
    conditions = TableConditions.of(publication, parts[0])
    members = dict.fromkeys(member for part in parts for member in publication.members(part.group))
    return replace(conditions, refrigerants=tuple(members))


def lift_text(publication: Publication, name: str, parts: Sequence[Combination]) -> str:
    """What a column of liquid takes off the head pressure, or adds to it; empty without one."""
    refrigerant, formatter = publication.members(parts[0].group)[0], publication.formatter
    system = publication.catalogue.applications[name].systems[refrigerant]
    losses = system.losses
    if not losses.lift_m:
        return ""
    heads = publication.heads(name, refrigerant)
    pressures = []
    for condition in ("rating", "low_head"):
        s = heads[condition]
        weighs_vapor = losses.lift_m < 0.0 < system.feed.inlet_vapor
        density = s.inlet_density_kg_m3 if weighs_vapor else s.liquid_density_kg_m3
        column = float(lineq.lift_pressure(rho=np.array(density), g=GRAVITY_M_S2, H=abs(losses.lift_m)))
        if math.isfinite(s.inlet_pressure_pa):
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
    text = message(refrigerant=refrigerant, lift=lift, pressures=listed(pressures))
    return f"{text} {wording.OTHER_LIFT()}" if losses.lift_m > 0.0 else text


def _heads_table(
    publication: Publication, application: Application, parts: Sequence[Combination], width: float
) -> Flowable:
    """A row for each refrigerant: every head with its pressure, both saturation temperatures, and the liquid."""
    formatter, systems = publication.formatter, application.systems
    degrees, gauge = formatter.temperature_label, formatter.gauge_label
    header, groups = [wording.REFRIGERANT()], []
    is_receiver = any(system.has_receiver for system in systems.values())
    for condition in terms.CONDITIONS:
        heads = [system.condition(condition).head for system in systems.values()]
        is_stated = any(head.condensing_temperature_k is not None for head in heads)
        pressure = wording.PRESSURES_COLUMN if is_stated else wording.HEAD_COLUMN
        groups.append((terms.head_title(condition, is_receiver), 3))
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


def _sources(publication: Publication, application: Application, parts: Sequence[Combination]) -> list[tuple[str, str]]:
    sources, first = application.sources, next(iter(application.systems.values()))
    return [
        (wording.RATING_POINT(), sources["rating"]),
        (terms.head_title("low_head", first.has_receiver), sources["low_head"]),
        (terms.head_title("high_head", first.has_receiver), sources["high_head"]),
        (wording.LOSSES(), sources["losses"]),
        (wording.SUPERHEAT(), sources["superheat"]),
        _of_all(publication, parts).compressor(),
        *([(wording.LIQUID_FACT(), sources["liquid"])] if "liquid" in sources else []),
    ]
