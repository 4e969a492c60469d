"""The tables of a comparison that say what each change of the config files does alone, beside what all did together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tablegen.dataset.input_changes import Missing
from tablegen.report.answer import AnswerColumn, AnswerTable, ColumnStyle, Value
from tablegen.report.answers.value_texts import exported_value, value_text
from tablegen.report.formatter import percent_range
from tablegen.wording import compare as wording

if TYPE_CHECKING:
    from tablegen.dataset.causes import Cause, ConfigChange, Ends, TableCauses
    from tablegen.dataset.comparison import TableChanges

# A row is exported with the kind of what it is about.
_ALONE, _SUM, _TOGETHER, _LEFT = "alone", "sum", "together", "left"
# Changes that one row names.
_MAX_NAMED = 4


def tables_of_causes(causes: Sequence[Cause], tables: Sequence[TableCauses]) -> tuple[AnswerTable, ...]:
    """Changes by file and key with both values, then for each table what each does alone."""
    if not causes:
        return ()
    return _changes(causes), _shares(tables)


def notes_on_causes(causes: Sequence[Cause], tables: Sequence[TableCauses]) -> Iterator[str]:
    """How the shares are found, and what could not be computed."""
    if not causes:
        yield wording.NO_CAUSE()
        return
    yield wording.HOW_ALONE()
    if any(len(own.alone) > 1 for own in tables):
        yield wording.HOW_LEFT()
    for cause in causes:
        if cause.windows is None:
            yield wording.NOT_ALONE(changes=_named(cause))


def _changes(causes: Sequence[Cause]) -> AnswerTable:
    labels = (wording.FILE(), wording.KEY(), wording.WAS(), wording.IS())
    keys = ("file", "key", "earlier", "now")
    return AnswerTable(
        key="config_changes",
        columns=tuple(AnswerColumn((key,), label) for key, label in zip(keys, labels, strict=True)),
        rows=tuple(_change_row(change) for cause in causes for change in cause.changes),
        title=wording.CHANGES(),
    )


def _change_row(change: ConfigChange) -> tuple[Value, ...]:
    return (
        Value.of(change.file),
        Value(change.key or wording.WHOLE_FILE(), (change.key,)),
        *(
            Value(_whole(value) if not change.path else value_text(value), (exported_value(value),))
            for value in (change.earlier, change.now)
        ),
    )


def _whole(value: object) -> str:
    return wording.MISSING() if isinstance(value, Missing) else wording.GIVEN()


def _shares(tables: Sequence[TableCauses]) -> AnswerTable:
    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(("family", "group", "application"), wording.TABLE()),
        AnswerColumn(("kind", "changes"), wording.ALONE()),
        AnswerColumn(("changed",), wording.CHANGED(), figures),
        AnswerColumn(("added",), wording.ADDED(), figures),
        AnswerColumn(("removed",), wording.REMOVED(), figures),
        AnswerColumn(("lowest_min_change", "highest_min_change"), wording.MIN_CHANGE(), figures),
        AnswerColumn(("lowest_max_change", "highest_max_change"), wording.MAX_CHANGE(), figures),
    )
    rows: list[tuple[Value, ...]] = []
    breaks = []
    for table in tables:
        if rows:
            breaks.append(len(rows))
        rows += _rows_of_table(table)
    return AnswerTable(key="causes", columns=columns, rows=tuple(rows), title=wording.CAUSES(), breaks=tuple(breaks))


def _rows_of_table(table: TableCauses) -> Iterator[tuple[Value, ...]]:
    named = Value(wording.TABLE_NAME(family=table.key[0], group=table.key[1], application=table.key[2]), table.key)
    rows: list[tuple[Value, tuple[int, int, int] | None, Ends, Ends]] = [
        (Value(_named(cause), (_ALONE, _listed(cause))), _counted(own), own.min_change, own.max_change)
        for cause, own in table.alone
    ]
    if len(rows) > 1:
        rows.append((Value(wording.SUM(), (_SUM, "")), None, table.min_sum, table.max_sum))
    together = table.together
    text = Value(wording.TOGETHER(), (_TOGETHER, ""))
    rows.append((text, _counted(together), together.min_change, together.max_change))
    # Of a table that one release lacks, nothing is left over.
    if not (together.is_new or together.is_gone):
        rows.append((Value(wording.LEFT(), (_LEFT, "")), None, table.min_left, table.max_left))
    for place, (what, counted, minimum, maximum) in enumerate(rows):
        yield (
            # Named once in print.
            named if not place else Value("", table.key),
            what,
            *_counts(counted),
            _range(minimum),
            _range(maximum),
        )


def _counted(own: TableChanges) -> tuple[int, int, int]:
    return own.changed, own.added, own.removed


def _counts(counted: tuple[int, int, int] | None) -> tuple[Value, ...]:
    return tuple(Value("", (None,)) if counted is None else Value.of(counted[i]) for i in range(3))


def _range(found: Ends) -> Value:
    return Value("" if math.isnan(found[0]) else percent_range(found), found)


def _named(cause: Cause) -> str:
    """The changes of a cause by file and key; more than a few by their number."""
    if not cause.changes:
        return wording.PROGRAM()
    named = [wording.FILE_KEY(file=own.file, key=own.key) if own.key else own.file for own in cause.changes]
    if len(named) > _MAX_NAMED:
        return wording.SEVERAL(len(named), first=named[0])
    return "; ".join(named)


def _listed(cause: Cause) -> str:
    return "; ".join(f"{own.file} {own.key}".strip() for own in cause.changes)
