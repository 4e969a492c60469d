"""The answer to a conversion of a capacity: both conditions, the factor and what it rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tablegen.answers.convert import MAX_CLEARANCE
from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Value
from tablegen.report.answers.cases import (
    BOX_KEYS,
    application_facts,
    box_data,
    box_facts,
    case_facts,
    gauge_text,
    imprint_of,
)
from tablegen.report.formatter import percent, ratio
from tablegen.wording import convert as wording
from tablegen.wording import terms

if TYPE_CHECKING:
    from tablegen.answers.convert import Conversion
    from tablegen.model.box_temperature import BoxTemperature
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter

_FACTOR_PLACES = 4


def answer_of_conversion(
    catalogue: Catalogue,
    found: Conversion,
    formatter: Formatter,
    box: BoxTemperature | None = None,
    *,
    was_chosen: bool = False,
) -> Answer:
    """The answer to a conversion; `was_chosen` says that nobody named the application, `box` is that of the case."""
    application = catalogue.applications[found.application]
    capacity, answer = (formatter.with_load_unit(formatter.load(w)) for w in (found.capacity_w, found.answer_w))
    heading = wording.FROM_RATING_HEADING if found.is_from_rating else wording.TO_RATING_HEADING
    summary = wording.FROM_RATING if found.is_from_rating else wording.TO_RATING
    return Answer(
        key="convert",
        heading=heading(refrigerant=found.refrigerant, capacity=capacity),
        summary=(summary(capacity=capacity, answer=answer),),
        facts=(
            *case_facts(found.refrigerant, found.sst_k),
            *application_facts(application, was_chosen, box),
            *box_facts(found.sst_k, box, formatter),
            *_factor_facts(found, formatter),
        ),
        tables=(_conditions(catalogue, found, formatter, box),),
        notes=(wording.OTHER_COMPRESSORS(),),
        imprint=imprint_of(catalogue, found.refrigerant),
        units=formatter.system,
    )


def _factor_facts(found: Conversion, formatter: Formatter) -> tuple[Fact, ...]:
    """The factor and its parts, and how far the answer may be off."""
    factors = found.factors
    numbers = factors.factor, factors.flow_ratio, factors.effect_ratio
    factor, flow, effect = (ratio(number, _FACTOR_PLACES) for number in numbers)
    lowest, highest = map(formatter.load, found.range_w)
    if lowest == highest:
        text = wording.CLEARANCE_SAME(capacity=formatter.with_load_unit(lowest))
    else:
        text = wording.CLEARANCE_RANGE(lowest=lowest, highest=formatter.with_load_unit(highest))
    return (
        Fact.exported("capacity_w", found.capacity_w),
        Fact.exported("answer_w", found.answer_w),
        Fact.exported("is_from_rating", found.is_from_rating),
        Fact(
            ("factor", "flow_ratio", "effect_ratio"),
            wording.FACTOR(),
            Value(wording.FACTOR_IS(factor=factor, flow=flow, effect=effect), numbers),
        ),
        Fact(("uncertainty",), wording.UNCERTAINTY(), Value(percent(factors.uncertainty, 1), (factors.uncertainty,))),
        Fact(("min_factor", "max_factor"), "", Value("", (factors.min_factor, factors.max_factor))),
        Fact(
            ("min_answer_w", "max_answer_w"),
            wording.CLEARANCE(clearance=percent(MAX_CLEARANCE)),
            Value(text, found.range_w),
        ),
    )


def _conditions(
    catalogue: Catalogue, found: Conversion, formatter: Formatter, box: BoxTemperature | None
) -> AnswerTable:
    """The stated condition and the rating point beside each other."""
    application = catalogue.applications[found.application]
    factors, stated, site = found.factors, found.stated, application.site_pressure_pa
    rating = application.systems[found.refrigerant].rating
    capacities = (found.capacity_w, found.answer_w)
    stated_w, rated_w = capacities[::-1] if found.is_from_rating else capacities
    condensing = f"{formatter.degrees(stated.condensing_k)} {terms.BASES[stated.basis.value]()}"
    rows = (
        (
            "stated",
            wording.STATED(),
            condensing,
            factors.stated_head_pa,
            factors.stated_liquid_k,
            stated.sst_k,
            stated_w,
        ),
        (
            "rating",
            terms.condition("rating"),
            formatter.condition(rating, site),
            factors.rated_head_pa,
            factors.rated_liquid_k,
            found.sst_k,
            rated_w,
        ),
    )
    columns = (
        AnswerColumn(("condition",), wording.CONDITION()),
        AnswerColumn((), wording.AS_STATED()),
        AnswerColumn(("head_pressure_pa",), wording.HEAD_PRESSURE(), ColumnStyle.FIGURES),
        AnswerColumn(("liquid_temperature_k",), wording.LIQUID(), ColumnStyle.FIGURES),
        AnswerColumn(("sst_k",), wording.SST(), ColumnStyle.FIGURES),
        AnswerColumn(("capacity_w",), wording.CAPACITY(), ColumnStyle.FIGURES),
        AnswerColumn(BOX_KEYS),
    )
    return AnswerTable(
        key="conditions",
        columns=columns,
        rows=tuple(
            (
                Value(name, (key,)),
                Value(head),
                Value(gauge_text(head_pa, site, formatter), (head_pa,)),
                Value(formatter.degrees(liquid_k, 1), (liquid_k,)),
                Value(formatter.degrees(sst_k), (sst_k,)),
                Value(formatter.with_load_unit(formatter.load(capacity_w)), (capacity_w,)),
                # The box is the one at the case's SST; another SST may be stated.
                Value.exported(*box_data(box if sst_k == found.sst_k else None)),
            )
            for key, name, head, head_pa, liquid_k, sst_k, capacity_w in rows
        ),
    )
