"""The page with the pressure-enthalpy diagram of an example, and its three operating conditions side by side."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Flowable, KeepTogether, PageBreak

from tablegen.model.publications import Combination
from tablegen.report.formatter import Formatter, kv, percent
from tablegen.report.graphs.pressure_enthalpy_graph import PressureEnthalpy, alternative_text, pressure_enthalpy_graph
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import Drawing, DrawingFlowable
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table
from tablegen.report.publications.publication import Publication
from tablegen.report.rounding import decimals
from tablegen.report.rows import ExampleRow, HeadState, rows_of
from tablegen.unit_table import CV_PER_KV
from tablegen.units import print_unit
from tablegen.wording import exercises as exercise_wording
from tablegen.wording import handout as handout_wording
from tablegen.wording import pressure_enthalpy as wording
from tablegen.wording import terms
from tablegen.wording.language import number

GRAPH_HEIGHT = 395.0


def cycle_page(
    publication: Publication, width: float, parts: Sequence[Combination] = (), *, is_cv: bool = False
) -> list[Flowable]:
    """Heading, what to see, diagram and table of the first example, of floating head pressure if there is one.

    Of some parts if they are named. Nothing where no table has an example. `is_cv` says whether flow coefficients are
    Cv, as in exercises in US units, else Kv.
    """
    found = _example(publication, parts or publication.parts)
    if found is None:
        return []
    part, rows = found
    formatter, refrigerant = publication.formatter, rows[0].refrigerant
    diagram = _diagram(publication, part, rows)
    cycles = diagram.cycles

    def draw() -> Drawing:
        return pressure_enthalpy_graph(diagram, formatter, (design.FIGURE_WIDTH, GRAPH_HEIGHT))

    subtitle = wording.SUBTITLE(
        refrigerant=refrigerant,
        application=publication.catalogue.applications[part.application].title,
        sst=formatter.degrees(rows[0].sst_k),
    )
    return [
        Heading(wording.TITLE()),
        paragraph(subtitle, "caption"),
        paragraph(_what_to_see(rows, cycles, formatter, is_cv)),
        DrawingFlowable(
            publication.drawing(("pressure-enthalpy", part), draw), alternative_text(diagram, formatter, refrigerant)
        ),
        KeepTogether([_table(publication, part, rows, cycles, width, is_cv), paragraph(wording.ABOUT(), "small")]),
        PageBreak(),
    ]


def cycle_diagram(publication: Publication, parts: Sequence[Combination]) -> PressureEnthalpy | None:
    """The diagram of that page; None where it is not printed."""
    found = _example(publication, parts)
    return None if found is None else _diagram(publication, *found)


def _diagram(publication: Publication, part: Combination, rows: Sequence[ExampleRow]) -> PressureEnthalpy:
    """The lines of an example's refrigerant, and its states."""
    refrigerant, lines = rows[0].refrigerant, publication.data.pressure_enthalpy
    heads = publication.heads(part.application, refrigerant, rows[0].sst_k)
    own = lines[(lines["application"] == part.application) & (lines["refrigerant"] == refrigerant)]
    cycles = [heads[condition] for condition in terms.CONDITIONS]
    return PressureEnthalpy.of(own, cycles, publication.catalogue.applications[part.application].site_pressure_pa)


def _example(publication: Publication, parts: Sequence[Combination]) -> tuple[Combination, list[ExampleRow]] | None:
    """The first example, at each operating condition; of an application whose head pressure floats if there is one."""
    found = [
        (part, rows)
        for part in parts
        # The cycle of a rack with a receiver is another.
        if not publication.system(part).has_receiver
        and (rows := rows_of(publication.rows(publication.data.example, part), ExampleRow))
    ]
    floating = (own for own in found if publication.is_floated(own[0].application, own[1][0].refrigerant))
    return next(floating, found[0] if found else None)


def _what_to_see(rows: Sequence[ExampleRow], cycles: Sequence[HeadState], formatter: Formatter, is_cv: bool) -> str:
    """The sentence over the diagram, of its own figures."""
    by_condition = {row.condition: row for row in rows}
    low, rating = by_condition["low_head"], by_condition["rating"]
    unit = print_unit("enthalpy", formatter.system)
    effects = [f"{decimals(unit.of(cycle.effect_j_kg), 1)} {unit.label}" for cycle in cycles]
    stated = {
        "low": formatter.drop(low.pressure_drop_pa, 0),
        "rating": formatter.drop(rating.pressure_drop_pa, 0),
        "low_effect": effects[0],
        "rating_effect": effects[1],
    }
    more = decimals(low.required_kv_m3h / rating.required_kv_m3h, 2)
    # As the figures are printed: no sentence says of two that one is larger if it is not.
    is_larger = number(effects[0].split()[0]) > number(effects[1].split()[0]) and number(more) > 1.0
    if not (is_larger and number(percent(low.opening)[:-2]) > number(percent(rating.opening)[:-2])):
        return wording.SEE_LESS(**stated)
    return wording.SEE(
        **stated,
        name=exercise_wording.CV() if is_cv else exercise_wording.KV_NAME(),
        ratio=more,
        low_opening=percent(low.opening),
        rating_opening=percent(rating.opening),
    )


def _table(
    publication: Publication,
    part: Combination,
    rows: Sequence[ExampleRow],
    cycles: Sequence[HeadState],
    width: float,
    is_cv: bool,
) -> Flowable:
    """The operating conditions across, what differs between them down."""
    formatter = publication.formatter
    site = publication.catalogue.applications[part.application].site_pressure_pa
    by_condition = {row.condition: row for row in rows}
    own = [by_condition[condition] for condition in terms.CONDITIONS]
    drop, effect, step = (
        print_unit(quantity, formatter.system)
        for quantity in ("pressure difference", "enthalpy", "temperature difference")
    )
    load = formatter.with_load_unit(formatter.load(own[0].load_w))
    required = handout_wording.REQUIRED_CV if is_cv else wording.REQUIRED_KV
    body = [
        [wording.HEAD_PRESSURE(unit=formatter.gauge_label), *(formatter.gauge(r.head_pressure_pa, site) for r in own)],
        [
            wording.LIQUID(unit=formatter.temperature_label),
            *(formatter.temperature(r.liquid_temperature_k, 0) for r in own),
        ],
        [wording.DROP(unit=drop.label), *(decimals(drop.of(r.pressure_drop_pa), 0) for r in own)],
        [
            wording.REFRIGERATING_EFFECT(unit=effect.label),
            *(decimals(effect.of(cycle.effect_j_kg), 1) for cycle in cycles),
        ],
        [wording.MASS_FLOW(), *(percent(cycle.flow_share) for cycle in cycles)],
        [wording.CAPACITY(), *(percent(r.capacity_w / r.load_w) for r in own)],
        [required(load=load), *(kv(r.required_kv_m3h * (CV_PER_KV if is_cv else 1.0)) for r in own)],
        [wording.OPENING(size=own[0].size), *(percent(r.opening) for r in own)],
    ]
    # The controller of an electronic valve sets its superheat.
    if publication.is_thermostatic(part.family):
        body.append([wording.SUPERHEAT(unit=step.label), *(decimals(step.of(r.superheat_k), 1) for r in own)])
    header = [wording.COMPARED(), *(terms.condition(condition) for condition in terms.CONDITIONS)]
    return data_table(header, body, width, numeric=range(1, 4))
