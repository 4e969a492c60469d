"""The answer of a comparison of two releases: what changed by table, the inputs that affect it, every window."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from tablegen.dataset.comparison import CHANGE_KINDS, change_weight
from tablegen.dataset.input_changes import InputChange, path_text
from tablegen.dataset.release_files import LIMITS
from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Imprint, Value
from tablegen.report.answers.change_shares import notes_on_causes, tables_of_causes
from tablegen.report.answers.value_texts import exported_value, value_text
from tablegen.report.formatter import DASH, NBSP, percent_range, signed
from tablegen.wording import compare as wording
from tablegen.wording import refrigerants

if TYPE_CHECKING:
    from tablegen.dataset.causes import Cause, TableCauses
    from tablegen.dataset.comparison import Comparison, TableChanges
    from tablegen.dataset.release import Release
    from tablegen.report.answer import Datum
    from tablegen.report.formatter import Formatter

# Windows that are printed; a file has all of them.
_MAX_WINDOWS = 40
_REASON_KEYS = ("earlier_min_reason", "min_reason", "earlier_max_reason", "max_reason")


def answer_of_comparison(
    comparison: Comparison,
    formatter: Formatter,
    causes: tuple[Sequence[Cause], Sequence[TableCauses]] | None = None,
) -> Answer:
    """The answer of a comparison; with `causes` also what each change of the config files does alone, by table."""
    counts = {kind: int((comparison.windows["change_kind"] == kind).sum()) for kind in CHANGE_KINDS}
    new = comparison.new
    return Answer(
        key="compare",
        heading=wording.HEADING(),
        summary=(wording.COUNTED(len(new.group_windows), **counts),),
        facts=(
            _release_fact("earlier", wording.EARLIER(), comparison.old),
            _release_fact("newer", wording.NEWER(), new),
            *(Fact.exported(kind, count) for kind, count in counts.items()),
        ),
        tables=(
            _tables(comparison.tables),
            _printed_inputs(comparison.affecting),
            *(() if causes is None else tables_of_causes(*causes)),
            _windows(comparison, formatter),
            AnswerTable.exported(
                "inputs",
                ("path", "earlier", "now"),
                ((own.text, exported_value(own.earlier), exported_value(own.now)) for own in comparison.inputs),
            ),
            AnswerTable.exported("files", ("file", "change"), comparison.files.items()),
        ),
        notes=(*_notes(comparison), *(() if causes is None else notes_on_causes(*causes))),
        imprint=Imprint(
            notice=new.manifest.printed_as.notice,
            cautions=(refrigerants.PRESSURE_CAUTION(),),
            subject=wording.SUBJECT(),
            date=datetime.date.fromisoformat(new.manifest.date),
        ),
        csv_key="windows",
        units=formatter.system,
        passed=comparison.windows.empty,
    )


def _release_fact(key: str, label: str, release: Release) -> Fact:
    names = ("catalogue", "revision", "date", "fingerprint")
    data: dict[str, str] = {name: getattr(release.manifest, name) for name in names}
    return Fact(tuple(f"{key}_{name}" for name in names), label, Value(wording.RELEASE(**data), tuple(data.values())))


def _tables(tables: Sequence[TableChanges]) -> AnswerTable:
    """What changed by printed table."""
    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(("family", "group", "application"), wording.TABLE()),
        AnswerColumn(("windows",), wording.WINDOWS(), figures),
        AnswerColumn(("changed",), wording.CHANGED(), figures),
        AnswerColumn(("added",), wording.ADDED(), figures),
        AnswerColumn(("removed",), wording.REMOVED(), figures),
        AnswerColumn(("lowest_min_change", "highest_min_change"), wording.MIN_CHANGE(), figures),
        AnswerColumn(("lowest_max_change", "highest_max_change"), wording.MAX_CHANGE(), figures),
        AnswerColumn(("inputs",)),
    )
    rows = tuple(
        (
            Value(_table_name(*table.key), table.key),
            *(Value.of(count) for count in (table.windows, table.changed, table.added, table.removed)),
            *(Value(_moved(table, change), change) for change in (table.min_change, table.max_change)),
            Value.exported(tuple(change.text for change in table.inputs)),
        )
        for table in tables
    )
    return AnswerTable(key="tables", columns=columns, rows=rows)


def _moved(table: TableChanges, change: tuple[float, float]) -> str:
    if table.is_new or table.is_gone:
        return wording.NEW_WINDOW() if table.is_new else wording.REMOVED_WINDOW()
    return percent_range(change)


def _table_name(family: str, group: str, application: str) -> str:
    return wording.TABLE_NAME(family=family, group=group, application=application)


def _printed_inputs(changes: Iterable[InputChange]) -> AnswerTable:
    """Path and both values; the same change for several refrigerants of an application is one row."""
    joined: dict[tuple[tuple[str, ...], str, str], list[InputChange]] = {}
    for change in changes:
        is_own = len(change.path) > 3 and change.path[0] == "applications" and change.path[2] == "systems"
        path = (*change.path[:3], "*", *change.path[4:]) if is_own else change.path
        joined.setdefault((path, value_text(change.earlier), value_text(change.now)), []).append(change)
    rows = []
    for (path, earlier, now), own in joined.items():
        members = ", ".join(change.path[3] for change in own) if "*" in path else ""
        named = f"{{{members}}}" if len(own) > 1 else members
        text = path_text(tuple(named if step == "*" else step for step in path))
        rows.append((Value(text), Value(earlier), Value(now)))
    columns = tuple(AnswerColumn((), label) for label in (wording.INPUT(), wording.WAS(), wording.IS()))
    return AnswerTable(key="affecting_inputs", columns=columns, rows=tuple(rows), title=wording.INPUTS())


def _windows(comparison: Comparison, formatter: Formatter) -> AnswerTable:
    """Every window that differs, those that changed most first; the list of tables has whole tables that came or went."""
    frame, names = comparison.windows, _size_names(comparison)
    columns = (
        AnswerColumn(("family", "group", "application"), wording.TABLE()),
        AnswerColumn(("sst_k",), wording.SST(), ColumnStyle.FIGURES),
        AnswerColumn(("size",), wording.SIZE(), ColumnStyle.FIGURES),
        AnswerColumn(("change_kind",)),
        AnswerColumn(("earlier_min_load_w", "earlier_max_load_w"), wording.WAS(), ColumnStyle.FIGURES),
        AnswerColumn(("min_load_w", "max_load_w"), wording.IS(), ColumnStyle.FIGURES),
        AnswerColumn(("min_load_change",), wording.MIN(), ColumnStyle.FIGURES),
        AnswerColumn(("max_load_change",), wording.MAX(), ColumnStyle.FIGURES),
        *(AnswerColumn((key,)) for key in (*_REASON_KEYS, "inputs")),
    )
    windows = [{str(name): value for name, value in window.items()} for window in frame.to_dict("records")]
    rows = [
        _window_row(window, inputs, names, formatter)
        for window, inputs in zip(windows, comparison.window_inputs, strict=True)
    ]
    whole = {table.key for table in comparison.tables if table.is_new or table.is_gone}
    weights = [-math.inf if _table_key(window) in whole else _weight(window) for window in windows]
    shown = min(_MAX_WINDOWS, sum(weight > -math.inf for weight in weights))
    rest = len(rows) - shown
    return AnswerTable(
        key="windows",
        columns=columns,
        # Windows of one weight in the order of the release.
        rows=tuple(rows[i] for i in sorted(range(len(rows)), key=lambda i: -weights[i])),
        title=wording.LARGEST(load=formatter.load_label, temperature=formatter.temperature_label) if shown else "",
        printed_rows=shown,
        more=wording.MORE(rest) if rest > 0 else "",
    )


def _size_names(comparison: Comparison) -> dict[tuple[str, str], str]:
    """Names of sizes in print, by family and key."""
    return {**comparison.old.manifest.size_names(), **comparison.new.manifest.size_names()}


def _table_key(window: Mapping[str, Datum]) -> tuple[str, str, str]:
    return str(window["family"]), str(window["group"]), str(window["application"])


def _weight(window: Mapping[str, Datum]) -> float:
    moves = [_number(window, f"{limit}_load_change") for limit in ("min", "max")]
    return change_weight(str(window["change_kind"]), moves, is_open=not math.isnan(_number(window, "max_load_w")))


def _window_row(
    window: Mapping[str, Datum],
    inputs: Sequence[InputChange],
    names: Mapping[tuple[str, str], str],
    formatter: Formatter,
) -> tuple[Value, ...]:
    table, size = _table_key(window), str(window["size"])
    kind, sst_k = str(window["change_kind"]), _number(window, "sst_k")
    earlier, now = ([_number(window, f"{side}{limit}") for limit in LIMITS] for side in ("earlier_", ""))
    changes = [_number(window, f"{limit}_load_change") for limit in ("min", "max")]
    return (
        Value(_table_name(*table), table),
        Value(formatter.temperature(sst_k), (sst_k,)),
        Value(names.get((table[0], size), size), (size,)),
        Value.exported(kind),
        Value(wording.NEW_WINDOW() if kind == "added" else _window_text(earlier, formatter), tuple(earlier)),
        Value(wording.REMOVED_WINDOW() if kind == "removed" else _window_text(now, formatter), tuple(now)),
        *(Value(_change_text(change), (change,)) for change in changes),
        *(Value.exported(str(window[key])) for key in _REASON_KEYS),
        Value.exported("; ".join(change.text for change in inputs)),
    )


def _number(window: Mapping[str, Datum], name: str) -> float:
    value = window[name]
    return float(value) if isinstance(value, float | int) else math.nan


def _window_text(limits: Sequence[float], formatter: Formatter) -> str:
    window = formatter.readable_window(*limits)
    return DASH.join(window) if window else wording.NONE()


def _change_text(share: float) -> str:
    return DASH if math.isnan(share) else f"{signed(100.0 * share)}{NBSP}%"


def _notes(comparison: Comparison) -> Iterator[str]:
    """What else must be known to assess what differs."""
    old, new = comparison.old.manifest, comparison.new.manifest
    if old.catalogue != new.catalogue:
        yield wording.OTHER_CATALOGUES()
    if old.layout != new.layout:
        yield wording.OTHER_LAYOUTS(earlier=str(old.layout), newer=str(new.layout))
    if comparison.files:
        named = (wording.FILE_CHANGES[change](file=file) for file, change in comparison.files.items())
        yield wording.FILES(files=", ".join(named))
    elif not comparison.inputs:
        yield wording.NO_INPUT_DIFFERS()
    if comparison.unexplained:
        yield wording.UNEXPLAINED(comparison.unexplained)
    if any(change.path[0] == "versions" for change in comparison.inputs):
        yield wording.VERSIONS()
