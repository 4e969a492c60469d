"""The answer of a comparison with an old table: what was compared, what explains the differences, trends, every row."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from tablegen.legacy.counterparts import LIMITS
from tablegen.legacy.trends import SPREAD
from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Value
from tablegen.report.answers.assumptions_read import assumption_table, attribution_text, values_table
from tablegen.report.answers.cases import imprint_of
from tablegen.report.answers.old_table_trends import levels_table, shares_table
from tablegen.report.formatter import DASH, NBSP, signed
from tablegen.report.graphs.deviation_graph import DeviationFigure, DeviationSeries
from tablegen.wording import compare, terms
from tablegen.wording import old_table as wording

if TYPE_CHECKING:
    from tablegen.legacy.counterparts import Compared
    from tablegen.legacy.reading import Attribution
    from tablegen.legacy.trends import Trends
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter

# Limits this near agree: either may be rounded to three figures, up or down.
AGREE = 0.01
# Rows that are printed; a file has all of them.
_MAX_ROWS = 40


def agrees(compared: Compared) -> bool:
    """Whether all limits that are compared are within `AGREE`."""
    return bool((np.abs(compared.change[compared.is_compared]) <= AGREE).all())


def answer_of_old_table(
    catalogue: Catalogue,
    compared: Compared,
    trends: Trends,
    attribution: Attribution | None,
    formatter: Formatter,
) -> Answer:
    """The answer; without an attribution because all limits agree."""
    printing, change = catalogue.printing, compared.change
    is_compared = compared.is_compared
    near = int((np.abs(change[is_compared]) <= AGREE).sum())
    without = sum(own.cells for own in compared.old_only)
    summary = [
        wording.COUNTED(int(is_compared.sum()), near=near, changes=_changes(compared)),
        attribution_text(catalogue, attribution, formatter) if attribution else wording.ALL_AGREE(),
    ]
    if without:
        summary.append(wording.WITHOUT(without))
    crossed = [own for own in compared.old_only if own.why == wording.LIMITS_CROSS()]
    summary += [wording.CROSSED(own.cells, line=own.first_line) for own in crossed]
    ours = wording.CATALOGUE(title=printing.title, revision=printing.revision, date=printing.date.isoformat())
    tables = [shares_table(trends), levels_table(catalogue, trends, formatter)]
    tables += [_without(compared), _cells(catalogue, compared, formatter)]
    if attribution:
        tables[:0] = [assumption_table(attribution), values_table(catalogue, attribution, formatter)]
    return Answer(
        key="compare",
        heading=wording.HEADING(file=compared.table.file, catalogue=printing.title),
        summary=tuple(summary),
        facts=(
            Fact(("old_table",), wording.OLD(), Value.of(compared.table.file)),
            Fact(("catalogue", "revision"), wording.OURS(), Value(ours, (catalogue.name, printing.revision))),
            *_taken(compared),
            Fact.exported("limits_compared", int(is_compared.sum())),
            Fact.exported("limits_that_agree", near),
            Fact.exported("rows_without_counterpart", without),
            Fact.exported("rows_with_crossed_limits", sum(own.cells for own in crossed)),
            Fact.exported("rms", attribution.rms if attribution else math.nan),
            Fact.exported("equal_assumptions", attribution.equal if attribution else 0),
        ),
        figures=(DeviationFigure(tuple(_series(catalogue, compared)), formatter),),
        tables=tuple(tables),
        notes=tuple(_notes(catalogue, compared, attribution)),
        imprint=imprint_of(catalogue, subject=wording.SUBJECT()),
        csv_key="rows",
        units=formatter.system,
        passed=not without and agrees(compared),
    )


def _changes(compared: Compared) -> str:
    medians = {}
    for side, limit in enumerate(LIMITS):
        own = compared.change[compared.is_compared[:, side], side]
        if own.size:
            medians[limit] = change_text(float(np.median(own)))
    if len(medians) == len(LIMITS):
        return wording.CHANGES(minimum=medians["min"], maximum=medians["max"])
    [(limit, change)] = medians.items()
    return wording.CHANGES_OF_ONE(limit=terms.LIMITS[limit](), change=change)


def change_text(share: float) -> str:
    """A change in percent with its sign; a dash where there is none."""
    return DASH if math.isnan(share) else f"{signed(100.0 * share)}{NBSP}%"


def _taken(compared: Compared) -> Iterator[Fact]:
    """What was taken for what."""
    taken = {own.name: own for own in compared.table.taken}
    for name, label in wording.TAKEN.items():
        own = taken.get(name)
        if own is None:
            text = wording.NOT_GIVEN()
        elif own.value:
            text = wording.SAME_IN_EVERY_ROW(value=own.value)
        elif own.unit:
            text = wording.FROM_COLUMN_IN(heading=own.heading, unit=own.unit)
        else:
            text = wording.FROM_COLUMN(heading=own.heading)
        data = ("", "", "") if own is None else (own.heading, own.unit, own.value)
        yield Fact((f"{name}_column", f"{name}_unit", f"{name}_value"), label(), Value(text, data))
    if compared.table.not_read:
        yield Fact(
            ("columns_not_read",),
            wording.NOT_READ(),
            Value(", ".join(compared.table.not_read), (compared.table.not_read,)),
        )


def _series(catalogue: Catalogue, compared: Compared) -> Iterator[DeviationSeries]:
    families = np.array([row.family for row in compared.rows], dtype=object)
    sst_k = np.array([round(row.sst_k, 9) for row in compared.rows])
    for side, limit in enumerate(LIMITS):
        for family in dict.fromkeys(families):
            chosen = (families == family) & compared.is_compared[:, side]
            ssts = np.unique(sst_k[chosen])
            if not ssts.size:
                continue
            own = [compared.change[chosen & (sst_k == one), side] for one in ssts]
            yield DeviationSeries(
                family=catalogue.families[family].display_name,
                limit=limit,
                sst_k=tuple(ssts.tolist()),
                median=tuple(float(np.median(values)) for values in own),
                low=tuple(float(np.quantile(values, SPREAD[0])) for values in own),
                high=tuple(float(np.quantile(values, SPREAD[1])) for values in own),
            )


def _without(compared: Compared) -> AnswerTable:
    """Cells of either side without a counterpart, and why."""
    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(("side",), wording.SIDE()),
        AnswerColumn(("number",), wording.CELLS(), figures),
        AnswerColumn(("why",), wording.WHY()),
        AnswerColumn(("first_line",), wording.FIRST_LINE(), figures),
    )
    rows = [
        (
            Value(wording.SIDES[side](), (side,)),
            Value.of(own.cells),
            Value.of(own.why),
            Value(str(own.first_line) if own.first_line else "", (own.first_line or None,)),
        )
        for side, parts in (("old", compared.old_only), ("ours", compared.ours_only))
        for own in parts
    ]
    rest = len(rows) - _MAX_ROWS
    return AnswerTable(
        key="without_counterpart",
        columns=columns,
        rows=tuple(rows),
        title=wording.WITHOUT_TABLE(),
        printed_rows=_MAX_ROWS,
        more=wording.MORE_IN_JSON(rest) if rest > 0 else "",
    )


def _cells(catalogue: Catalogue, compared: Compared, formatter: Formatter) -> AnswerTable:
    """Every row that is compared, those that differ most first."""
    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(("family", "group", "application"), wording.ROW()),
        AnswerColumn(("sst_k",), compare.SST(), figures),
        AnswerColumn(("size",), compare.SIZE(), figures),
        AnswerColumn(("old_min_load_w", "old_max_load_w"), compare.WAS(), figures),
        AnswerColumn(("min_load_w", "max_load_w"), compare.IS(), figures),
        AnswerColumn(("min_load_change",), wording.CHANGE_MIN(), figures),
        AnswerColumn(("max_load_change",), wording.CHANGE_MAX(), figures),
        *(AnswerColumn((key,)) for key in ("min_condition", "min_reason", "max_condition", "max_reason", "line")),
    )
    change, ours = compared.change, compared.ours
    largest = np.where(np.isfinite(change), np.abs(change), 0.0).max(axis=1).round(6)
    rows = []
    for i in np.argsort(-largest, kind="stable").tolist():
        row = compared.rows[i]
        family = catalogue.families[row.family]
        old, own = (row.min_load_w, row.max_load_w), (float(ours.min_load_w[i]), float(ours.max_load_w[i]))
        texts = (str(getattr(ours, name)[i]) for name in ("min_condition", "min_reason", "max_condition", "max_reason"))
        names = row.family, row.group, row.application
        rows.append(
            (
                Value(
                    compare.TABLE_NAME(family=family.display_name, group=row.group, application=row.application), names
                ),
                Value(formatter.temperature(row.sst_k), (row.sst_k,)),
                Value(family.size_name(row.size), (row.size,)),
                Value(_loads(old, formatter), old),
                Value(_loads(own, formatter), own),
                *(Value(change_text(value), (value,)) for value in change[i].tolist()),
                *(Value.exported(text) for text in texts),
                Value.exported(row.line),
            )
        )
    rest = len(rows) - _MAX_ROWS
    return AnswerTable(
        key="rows",
        columns=columns,
        rows=tuple(rows),
        title=wording.CELLS_TABLE(load=formatter.load_label, temperature=formatter.temperature_label),
        printed_rows=_MAX_ROWS,
        more=wording.MORE(rest) if rest > 0 else "",
    )


def _loads(limits: tuple[float, float], formatter: Formatter) -> str:
    """Both limits to nearest: what is compared is not rounded down or up."""
    minimum, maximum = (DASH if math.isnan(value) else formatter.load(value) for value in limits)
    return terms.RANGE(low=minimum, high=maximum)


def _notes(catalogue: Catalogue, compared: Compared, attribution: Attribution | None) -> Iterator[str]:
    is_printed = catalogue.confidence is not None and catalogue.confidence.is_printed
    yield wording.NOMINAL() if is_printed else wording.COMPUTED()
    if attribution:
        yield wording.READING()
    if any(row.group not in catalogue.groups for row in compared.rows):
        yield wording.MEMBERS()
