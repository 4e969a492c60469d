"""The answer to `assumptions`: what each assumption of a table does to its limits, the strongest first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Value
from tablegen.report.answers.cases import imprint_of
from tablegen.report.assumption_texts import change_text, source_of, step_text
from tablegen.report.formatter import percent
from tablegen.wording import assumption_answer as answer_wording
from tablegen.wording import assumptions as wording

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter
    from tablegen.tables.assumption_weights import AssumptionWeight, TableWeights

_TABLE_KEYS: tuple[str, str, str, str] = ("family", "group", "application", "sst_k")
_WEIGHT_KEYS = ("min_at_step_down", "min_at_step_up"), ("max_at_step_down", "max_at_step_up")


def answer_of_assumptions(catalogue: Catalogue, found: TableWeights, formatter: Formatter) -> Answer:
    """The assumptions of one table."""
    part = found.part
    family, application = catalogue.families[part.family], catalogue.applications[part.application]
    group = catalogue.groups[part.group].title if part.group in catalogue.groups else part.group
    table = f"{family.display_name}, {group}, {application.title}"
    size = catalogue.valve_name(part.family, found.size)
    at = answer_wording.AT(size=size, sst=formatter.degrees(found.sst_k))
    lines = (at, _strongest(found.weights[0], formatter)) if found.weights else (answer_wording.NO_LIMITS(),)
    return Answer(
        key="assumptions",
        heading=answer_wording.HEADING(table=table),
        summary=lines,
        facts=(Fact(_TABLE_KEYS, "", Value.exported(*_table_of(found))),),
        tables=(
            _weights(catalogue, [(found, own) for own in found.weights], formatter, is_one=True),
            _sources(catalogue, found),
        ),
        notes=_notes(found.weights),
        imprint=imprint_of(catalogue, part.group, subject=answer_wording.SUBJECT()),
        csv_key="assumptions",
        units=formatter.system,
    )


def answer_of_all(catalogue: Catalogue, found: Sequence[TableWeights], formatter: Formatter) -> Answer:
    """Of every assumption the table whose limits it moves most, and all weights of all tables for export."""
    strongest: dict[str, tuple[TableWeights, AssumptionWeight]] = {}
    for table in found:
        for own in table.weights:
            if own.assumed not in strongest or strongest[own.assumed][1].weight < own.weight:
                strongest[own.assumed] = (table, own)
    chosen = sorted(strongest.values(), key=lambda pair: -pair[1].weight)
    every = [(table, own) for table in found for own in table.weights]
    rows = [(*_table_of(table), own.assumed.value, *_exported(own.changes)) for table, own in every]
    return Answer(
        key="assumptions",
        heading=answer_wording.HEADING_ALL(catalogue=catalogue.printing.title),
        summary=(answer_wording.AT_EACH(),),
        tables=(
            _weights(catalogue, chosen, formatter, is_one=False),
            AnswerTable.exported("every_table", (*_TABLE_KEYS, "assumption", *_WEIGHT_KEYS[0], *_WEIGHT_KEYS[1]), rows),
        ),
        notes=_notes([own for _, own in chosen]),
        imprint=imprint_of(catalogue, subject=answer_wording.SUBJECT()),
        csv_key="every_table",
        units=formatter.system,
    )


def _table_of(found: TableWeights) -> tuple[str, str, str, float]:
    return found.part.family, found.part.group, found.part.application, found.sst_k


def _strongest(own: AssumptionWeight, formatter: Formatter) -> str:
    name, step = wording.NAMES[own.assumed](), step_text(own.step.measure, own.step.size, formatter)
    if math.isinf(own.weight):
        return answer_wording.STRONGEST_EMPTIES(name=name, step=step)
    return answer_wording.STRONGEST(name=name, step=step, change=percent(own.weight))


def _notes(weights: Sequence[AssumptionWeight]) -> tuple[str, ...]:
    if not weights:
        return ()
    is_none = any(math.isinf(own.weight) for own in weights)
    none = (answer_wording.NOTE_NONE(none=wording.NO_WINDOW()),) if is_none else ()
    return answer_wording.NOTE_SCALE(), answer_wording.NOTE_CROSSED(), *none


def _weights(
    catalogue: Catalogue, found: Sequence[tuple[TableWeights, AssumptionWeight]], formatter: Formatter, *, is_one: bool
) -> AnswerTable:
    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(("assumption",), wording.ASSUMPTION()),
        AnswerColumn(("step", "measure"), wording.STEP(), figures),
        AnswerColumn(_WEIGHT_KEYS[0], wording.MINIMUM(), figures),
        AnswerColumn(_WEIGHT_KEYS[1], wording.MAXIMUM(), figures),
        AnswerColumn(("origin",), wording.STATED_IN()) if is_one else AnswerColumn(_TABLE_KEYS, answer_wording.TABLE()),
    )
    rows = tuple(
        (
            Value(wording.NAMES[own.assumed](), (own.assumed.value,)),
            Value(step_text(own.step.measure, own.step.size, formatter), (own.step.size, own.step.measure.value)),
            Value(change_text(*own.min_changes), _exported(own.min_changes)),
            Value(change_text(*own.max_changes), _exported(own.max_changes)),
            Value(wording.ORIGINS[own.step.origin](), (own.step.origin.value,)) if is_one else _named(catalogue, table),
        )
        for table, own in found
    )
    return AnswerTable(key="assumptions", columns=columns, rows=rows, title=answer_wording.TITLE())


def _named(catalogue: Catalogue, table: TableWeights) -> Value:
    part = table.part
    return Value(f"{catalogue.families[part.family].display_name}, {part.group}, {part.application}", _table_of(table))


def _sources(catalogue: Catalogue, found: TableWeights) -> AnswerTable:
    """What each part of the inputs rests on, as the inputs state it."""
    origins = dict.fromkeys(own.step.origin for own in found.weights)
    columns = AnswerColumn(("origin",), wording.STATED_IN()), AnswerColumn(("source",), wording.SOURCE())
    rows = tuple(
        (
            Value(wording.ORIGINS[origin](), (origin.value,)),
            Value.of(source_of(catalogue, found.part, found.members[0], origin)),
        )
        for origin in origins
    )
    return AnswerTable(key="sources", columns=columns, rows=rows, title=wording.SOURCES())


def _exported(changes: Sequence[float]) -> tuple[float, ...]:
    """Figures for JSON, which knows no infinity."""
    return tuple(math.nan if math.isinf(own) else own for own in changes)
