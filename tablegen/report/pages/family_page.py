"""The page of one valve family: what it is, its sizes, and how it works between the heads."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import pandas as pd
from reportlab.platypus import Flowable, KeepTogether, Table

from tablegen.model.inputs import Family, PowerElement
from tablegen.model.publications import Combination
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw
from tablegen.report.formatter import Formatter, kv, percent
from tablegen.report.graphs.family_graphs import Limits, charge_graph, opening_graph, superheat_graph
from tablegen.report.pages.port_designs import port_designs
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_tables, facts
from tablegen.report.publications.publication import Publication
from tablegen.report.rounding import MINUS
from tablegen.report.rows import CurveCase, rows_of
from tablegen.report.table_conditions import pressures_text, reserve_text
from tablegen.unit_table import CV_PER_KV
from tablegen.wording import booklet_pages as wording
from tablegen.wording import terms
from tablegen.wording.language import figure

_HEIGHT = 158.0
_GAP = 12.0
_WHOLE = (design.FIGURE_WIDTH, _HEIGHT)
# Of one curve, whose scale begins at zero: two families share a page.
_LOW = (design.FIGURE_WIDTH, 96.0)
# What prints as 0.1 K.
_MIN_SWING_K = 0.05
# By the family's equalizer.
_BY_DESIGN = {"external": wording.BY_DESIGN_EXTERNAL, "internal": wording.BY_DESIGN_INTERNAL, "": wording.BY_DESIGN}
_BARE = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP")]


def family_page(publication: Publication, name: str, width: float, above: Sequence[Flowable] = ()) -> list[Flowable]:
    """Heading, with what is above it, note, facts, sizes, graphs of the family's first printed part."""
    family = publication.catalogue.families[name]
    parts = [part for part in publication.parts if part.family == name]
    if not parts:
        return []
    about = facts(list(_facts(publication.formatter, family)), width, design.NOTE)
    first, *others = _sizes(publication.formatter, family, width)
    return [
        KeepTogether([*above, Heading(family.title, 2), paragraph(family.note), about, first]),
        *(KeepTogether([table]) for table in others),
        *port_designs(publication.formatter, family, width),
        *_graphs(publication, parts),
    ]


def _facts(formatter: Formatter, family: Family) -> Iterator[tuple[str, str]]:
    yield wording.KIND(), wording.KINDS[family.kind]()
    if family.flow_law is FlowLaw.ORIFICE:
        yield wording.FLOW_LAW(), wording.ORIFICE(reason=family.flow_law_reason)
    elif family.discharge is not None:
        yield wording.FLOW_LAW(), _discharge(family.discharge, family)
    else:
        factor = figure(f"{family.pressure_recovery:g}")
        yield wording.FLOW_LAW(), wording.CHOKED(factor=factor, reason=family.flow_law_reason)
    first = family.by_design()[0]
    if len(family.by_design()) > 1:
        yield wording.OPENING(), _BY_DESIGN[family.offered.equalizer]()
    else:
        yield wording.OPENING(), _opening(first.elements[0])
        yield wording.PRESSURES(), pressures_text(formatter, family)
    if reserve := reserve_text(family):
        yield wording.RESERVE(), reserve
    if family.rating is not None:
        yield (
            wording.NOMINAL_CAPACITY(),
            wording.RATING(
                refrigerant=family.rating.refrigerant.name,
                liquid=formatter.degrees(family.rating.liquid_temperature_k),
                subcooling=formatter.step(family.rating.subcooling_k),
                evaporating=formatter.degrees(family.rating.evaporating_temperature_k),
                superheat=formatter.step(family.rating.superheat_k),
                drop=formatter.drop(family.rating.pressure_drop_pa),
                source=family.rating_source,
            ),
        )


def _discharge(own: DischargeCoefficient, family: Family) -> str:
    return wording.DISCHARGE(
        subcooling=figure(f"{own.subcooling_exponent:g}").replace("-", MINUS),
        drop=figure(f"{own.drop_exponent:g}").replace("-", MINUS),
        rated_subcooling=percent(own.reference_subcooling, 1),
        rated_drop=percent(own.reference_drop, 1),
        least_subcooling=percent(own.subcooling[0], 1),
        most_subcooling=percent(own.subcooling[1], 1),
        least_drop=percent(own.drop[0], 1),
        most_drop=percent(own.drop[1], 1),
        reason=family.flow_law_reason,
        source=family.discharge_source,
    )


def _opening(element: PowerElement) -> str:
    actuator = element.actuator
    if not isinstance(actuator, ThermostaticActuator):
        return element.title
    stop, minimum = percent(actuator.stop), percent(actuator.min_stable)
    unbalance, is_internal = actuator.balance.unbalance, actuator.is_internally_equalized
    if not unbalance:
        message = wording.BALANCED_INTERNAL if is_internal else wording.BALANCED_EXTERNAL
        return message(stop=stop, minimum=minimum)
    acts = wording.ACTS_TO_CLOSE if unbalance > 0 else wording.ACTS_TO_OPEN
    message = wording.UNBALANCED_INTERNAL if is_internal else wording.UNBALANCED_EXTERNAL
    return message(stop=stop, minimum=minimum, port=acts(share=percent(abs(unbalance), 1)))


def _sizes(formatter: Formatter, family: Family, width: float) -> Sequence[Flowable]:
    sizes = family.sizes
    header = [wording.SIZE(), *(size.display_name for size in sizes)]
    body = [
        [wording.KV_ROW(), *(kv(size.kv_rated_m3h) for size in sizes)],
        [wording.CV_ROW(), *(kv(size.kv_rated_m3h * CV_PER_KV) for size in sizes)],
    ]
    if family.port_designs:
        body.append([wording.PORT_DESIGN(), *(size.port_design or wording.OF_FAMILY() for size in sizes)])
    capacities = [size.nominal_capacity_w for size in sizes]
    if all(map(math.isfinite, capacities)):
        body.append([wording.NOMINAL_ROW(unit=formatter.load_label), *map(formatter.load, capacities)])
    return data_tables(header, body, width, numeric=range(1, len(header)), size=design.NOTE)


def _graphs(publication: Publication, parts: Sequence[Combination]) -> list[Flowable]:
    """Superheat and opening for the first part with an example; the charge of that part."""
    found = publication.first_example(parts)
    if found is None:
        return []
    part, curve = found
    formatter, (case, *_) = publication.formatter, rows_of(curve, CurveCase)
    application = publication.catalogue.applications[part.application]
    kind, half = publication.catalogue.families[part.family].kind, (0.5 * (design.FIGURE_WIDTH - _GAP), _HEIGHT)
    is_thermostatic = kind == "thermostatic"
    example = wording.EXAMPLE(
        size=case.size,
        refrigerant=case.refrigerant,
        sst=formatter.degrees(case.sst_k),
        application=application.title,
    )
    heads = publication.named_heads(part.application, case)
    size = half if is_thermostatic else _LOW
    drawing = publication.drawing(
        ("opening", part),
        lambda: opening_graph(curve, formatter, application.site_pressure_pa, heads, kind, size),
    )
    opening = DrawingFlowable(drawing, wording.OPENING_ALT(example=example))
    load = formatter.with_load_unit(formatter.load(case.load_w))
    if not is_thermostatic:
        caption = paragraph(wording.OPENING_CAPTION(example=example), "caption")
        return [KeepTogether([caption, opening, paragraph(wording.ELECTRONIC_NOTE(load=load), "small")])]
    drawing = publication.drawing(
        ("superheat", part), lambda: superheat_graph(*_superheat(publication, part, case), formatter, half)
    )
    superheat = DrawingFlowable(drawing, wording.SUPERHEAT_ALT(example=example))
    pair = Table([[superheat, "", opening]], [half[0], _GAP, half[0]], style=_BARE, hAlign="LEFT")
    note = wording.BOTH_NOTE(refrigerant=case.refrigerant, load=load, swing=_swing(publication, part))
    both = [paragraph(wording.BOTH_CAPTION(example=example), "caption"), pair, paragraph(note, "small")]
    return [KeepTogether(both), *_charge(publication, part)]


def _charge(publication: Publication, part: Combination) -> list[Flowable]:
    """Bulb and evaporator pressure of the charge that a part is fitted with."""
    element = publication.power_element(part)
    setting = element.setting if element is not None else None
    if element is None or setting is None:
        return []
    rows = publication.data.charges
    rows = rows[(rows["family"] == part.family) & (rows["charge"] == element.name)]
    caption = wording.BULB_CAPTION(charge=element.title, refrigerant=str(rows["refrigerant"].iloc[0]))
    drawing = publication.drawing(
        ("charge", part.family, element.name), lambda: charge_graph(rows, setting, publication.formatter, _WHOLE)
    )
    return [
        KeepTogether(
            [
                paragraph(caption, "caption"),
                DrawingFlowable(drawing, terms.GRAPH(caption=caption)),
                paragraph(wording.BULB_NOTE(), "small"),
            ]
        )
    ]


def _superheat(publication: Publication, part: Combination, case: CurveCase) -> tuple[pd.DataFrame, Limits]:
    """Curves of a part's example, and the window of its own refrigerant."""
    curves = publication.rows(publication.data.superheat, part)
    limits = publication.system(part, case.refrigerant).superheat
    return curves, Limits(
        *publication.printed.own_window(part, case), limits.min_k[0], float(curves["max_superheat_k"].min())
    )


def _swing(publication: Publication, part: Combination) -> str:
    """How far superheat moves from low to high head at mid-window, and what the port contributes to it."""
    return swing_text(*publication.printed.swing(part), publication.formatter)


def swing_text(swing_k: float, port_k: float, formatter: Formatter) -> str:
    """High-head less low-head superheat [K] in words, and what the unbalanced port contributes to it [K]."""

    def change(kelvin: float) -> str:
        return formatter.step(abs(kelvin), 1)

    text = (wording.SWING_LOWER if swing_k < 0.0 else wording.SWING_HIGHER)(change=change(swing_k))
    if abs(swing_k) < _MIN_SWING_K:
        text = wording.SWING_SAME()
    if abs(port_k) < _MIN_SWING_K:
        return text
    if port_k * swing_k > 0 and abs(port_k) <= abs(swing_k):
        return f"{text} {wording.OF_PORT(change=change(port_k))}"
    rest = swing_k - port_k
    return f"{text} {(wording.BALANCED_LOWER if rest < 0.0 else wording.BALANCED_HIGHER)(change=change(rest))}"
