"""What each assumption would explain of the differences from an old table, as a sentence and as tables."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tablegen.legacy.assumptions import Measure
from tablegen.report.answer import AnswerColumn, AnswerTable, ColumnStyle, Value
from tablegen.report.formatter import NBSP, percent, ratio, span
from tablegen.wording import old_table as wording
from tablegen.wording import terms
from tablegen.wording.message import listed

if TYPE_CHECKING:
    from tablegen.legacy.reading import AssumptionReading, Attribution, ValueRead
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter

# Values that are printed; a file has all of them.
_MAX_VALUES = 12


def attribution_text(catalogue: Catalogue, found: Attribution, formatter: Formatter) -> str:
    """Which assumption explains most, or which ones equally well, or that none does."""
    if not found.readings:
        return wording.NOTHING_MOVES()
    best = found.readings[0]
    rms, explained = percent(found.rms, 1), percent(best.explained)
    named = [_named(catalogue, own, formatter) for own in found.readings[: found.equal]]
    if not found.is_explained:
        return wording.NONE_EXPLAINS(rms=rms, best=named[0], explained=explained)
    if found.equal > 1:
        names = listed(named)
        return wording.EQUAL_EXPLAIN(names=f"{names[0].upper()}{names[1:]}", explained=explained, rms=rms)
    return wording.ONE_EXPLAINS(best=named[0], explained=explained, rms=rms, left=percent(best.left, 1))


def _named(catalogue: Catalogue, reading: AssumptionReading, formatter: Formatter) -> str:
    """An assumption with its value, or the lowest and the highest of several, and what it is today."""
    own = reading.values
    read = _span(catalogue, [(one, one.value) for one in own], formatter)
    today = _span(catalogue, [(one, value) for one in own for value in one.today], formatter)
    return wording.BEST_IS(assumption=wording.ASSUMPTIONS[reading.assumption.value](), value=read, today=today)


def _span(catalogue: Catalogue, values: Sequence[tuple[ValueRead, float]], formatter: Formatter) -> str:
    """The lowest to the highest of some values as they are printed; heads may be stated in two ways."""
    found = []
    for measure in dict.fromkeys(own.measure for own, _ in values):
        alike = sorted(
            (value, _figure(catalogue, own, value, formatter)) for own, value in values if own.measure is measure
        )
        low, high = alike[0][1], alike[-1][1]
        found.append(low if low == high else terms.RANGE(low=low, high=high))
    return listed(found)


def assumption_table(found: Attribution) -> AnswerTable:
    """The assumptions, those that explain most first."""
    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(("assumption",), wording.ASSUMPTION()),
        AnswerColumn(("explained",), wording.EXPLAINS(), figures),
        AnswerColumn(("explained_of_moved",), wording.EXPLAINS_OF_MOVED(), figures),
        AnswerColumn(("left_rms",), wording.LEFT(), figures),
        AnswerColumn(("is_equal_to_best",)),
    )
    rows = tuple(
        (
            Value(wording.ASSUMPTIONS[own.assumption.value](), (own.assumption.value,)),
            Value(percent(own.explained), (own.explained,)),
            Value(percent(own.explained_of_moved), (own.explained_of_moved,)),
            Value(percent(own.left, 1), (own.left,)),
            Value.exported(i < found.equal),
        )
        for i, own in enumerate(found.readings)
    )
    return AnswerTable(key="assumptions", columns=columns, rows=rows, title=wording.ASSUMPTION_TABLE())


def values_table(catalogue: Catalogue, found: Attribution, formatter: Formatter) -> AnswerTable:
    """The values of the assumptions in the same order: shares and factors [1], the others in SI, heads absolute."""
    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(("assumption",), wording.ASSUMPTION()),
        AnswerColumn(("owner", "groups", "sizes_of_design"), wording.OWNER()),
        AnswerColumn(("measure",)),
        AnswerColumn(("value", "bound", "is_at_end"), wording.VALUE(), figures),
        AnswerColumn(("min_today", "max_today"), wording.TODAY(), figures),
        AnswerColumn(("limits_moved",), wording.LIMITS_MOVED(), figures),
    )
    rows = [
        (
            Value(wording.ASSUMPTIONS[reading.assumption.value](), (reading.assumption.value,)),
            Value(_owner(catalogue, own), (own.owner, own.groups, own.of_design)),
            Value.exported(own.measure.value),
            Value(_read(catalogue, own, formatter), (own.value, own.bound, own.is_at_end)),
            Value(_span(catalogue, [(own, value) for value in own.today], formatter), own.today),
            Value.of(own.limits),
        )
        for reading in found.readings
        for own in reading.values
    ]
    rest = len(rows) - _MAX_VALUES
    return AnswerTable(
        key="values",
        columns=columns,
        rows=tuple(rows),
        title=wording.VALUES_TABLE(),
        printed_rows=_MAX_VALUES,
        more=wording.MORE_IN_JSON(rest) if rest > 0 else "",
    )


def _owner(catalogue: Catalogue, own: ValueRead) -> str:
    if not own.owner:
        return wording.ALL_ROWS()
    if not own.groups:
        family = catalogue.families[own.owner]
        if not own.of_design:
            return family.display_name
        sizes = ", ".join(family.size_name(size) for size in own.of_design)
        return wording.OWNER_SIZES(len(own.of_design), family=family.display_name, sizes=sizes)
    return wording.OWNER_GROUPS(application=own.owner, groups=", ".join(own.groups))


def _read(catalogue: Catalogue, own: ValueRead, formatter: Formatter) -> str:
    value = _figure(catalogue, own, own.value, formatter)
    text = value if math.isnan(own.bound) else wording.WITH_BOUND(value=value, bound=_difference(own, formatter))
    return wording.AT_END(value=text) if own.is_at_end else text


def _figure(catalogue: Catalogue, own: ValueRead, value: float, formatter: Formatter) -> str:
    """A value of the assumption as it is printed with its unit; a pressure as a gauge reading at the site."""
    if own.measure is Measure.PRESSURE:
        site = catalogue.applications[own.owner].site_pressure_pa
        return f"{span([formatter.gauge(value, site)])}{NBSP}{formatter.gauge_label}"
    if own.measure is Measure.TEMPERATURE:
        return formatter.degrees(value, 1)
    if own.measure is Measure.SHARE:
        return percent(value, 1)
    if own.measure is Measure.FACTOR:
        return ratio(value, 3)
    return formatter.step(value, 1) if own.measure is Measure.STEP else formatter.drop(value, 1)


def _difference(own: ValueRead, formatter: Formatter) -> str:
    """The bound of a value as it is printed with its unit."""
    if own.measure is Measure.SHARE:
        return percent(own.bound, 1)
    if own.measure is Measure.FACTOR:
        return ratio(own.bound, 3)
    is_temperature = own.measure in (Measure.STEP, Measure.TEMPERATURE)
    return formatter.step(own.bound, 1) if is_temperature else formatter.drop(own.bound, 1)
