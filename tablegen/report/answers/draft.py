"""The answer that is one window table: the conditions, the windows, and what changed since an earlier release."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, TableLayout, Value
from tablegen.report.answers.cases import imprint_of
from tablegen.report.formatter import NBSP, percent
from tablegen.report.table_conditions import TableConditions, valve_facts
from tablegen.report.window_texts import (
    WindowTableRow,
    cell_text,
    changed_texts,
    limit_notes,
    marks_of,
    reading_note,
    reason_notes,
    size_names,
    size_notes,
    table_rows,
    temperatures_of,
)
from tablegen.wording import booklet, booklet_pages
from tablegen.wording import table as wording
from tablegen.wording.message import listed

if TYPE_CHECKING:
    from tablegen.dataset.release import Manifest
    from tablegen.report.answer import Datum
    from tablegen.report.draft_table import DraftTable
    from tablegen.report.rows import ChangedRow

# Exported of every window, as in the data set.
_COLUMNS = (
    *("family", "size", "kv_rated_m3h", "group", "application", "sst_k", "min_load_w", "max_load_w"),
    *("min_member", "max_member", "min_condition", "max_condition", "min_reason", "max_reason"),
)
_EARLIER = ("earlier_min_load_w", "earlier_max_load_w")
_UNCHANGED = ("", math.nan, math.nan)
_CHANGED_MARK = "*"
# A cell: size, and suction temperature [K] without its last figures, which differ if it came through another unit.
_Cell = tuple[str, float]


@dataclass(frozen=True, slots=True)
class Since:
    """An earlier release, and the windows that differ from it; None where it has no such table."""

    release: Manifest
    cells: Sequence[ChangedRow] | None

    @property
    def named(self) -> dict[str, str]:
        """Revision, date and fingerprint, as sentences take them."""
        own = self.release
        return {"revision": own.revision, "date": own.date, "fingerprint": own.fingerprint}


def answer_of_table(draft: DraftTable, version: str, since: Since | None = None) -> Answer:
    """The table as an answer.

    Parameters
    ----------
    draft : DraftTable
    version : str
        Names and versions of the programs that computed it, and of the data.
    since : Since, optional
        With it changed cells are marked and their earlier limits given.
    """
    part, formatter, rows = draft.part, draft.formatter, draft.windows()
    marks, names = marks_of(formatter, rows), size_names(rows)
    body = table_rows(formatter, rows, marks, difference_k=_difference_k(draft))
    differing = {} if since is None else _differing(draft, since)
    shown = [_marked(row, sst_k, names, differing) for row, sst_k in zip(body, temperatures_of(rows), strict=True)]
    windows = _grid("load_windows", draft, names, shown)
    notes = (
        *_change_notes(draft, since, differing),
        reading_note(draft, part, rows, _confidence(draft)),
        *reason_notes(marks, body),
        *limit_notes(draft, part, rows),
        *_alone(draft),
    )
    answer = Answer(
        key="table",
        heading=wording.HEADING(table=draft.full_title(part)),
        summary=(wording.DRAFT(), *_summary(since, differing, len(rows))),
        facts=tuple(_facts(draft, since, differing)),
        tables=(windows, *_exported(draft, since)),
        notes=notes,
        imprint=imprint_of(draft.catalogue, part.group, subject=wording.SUBJECT(), version=version),
        csv_key="windows",
        units=formatter.system,
    )
    return answer if since is None or not differing else _with_earlier(answer, _earlier(draft, since, names, differing))


def _with_earlier(answer: Answer, earlier: Answer) -> Answer:
    """The answer with what was earlier; in print each table has its notes beside it."""
    windows = replace(answer, key="load_windows", heading=wording.NOW(), summary=(), facts=(), imprint=None)
    sheet = replace(answer, tables=(), notes=(), sections=(windows, earlier))
    return replace(answer, sections=(earlier,), sheet=lambda: sheet)


def _differing(draft: DraftTable, since: Since) -> dict[_Cell, ChangedRow]:
    """The cells, by display names, that print otherwise than in the earlier release, and those that are gone."""
    found = {}
    for row in since.cells or ():
        earlier, now = changed_texts(draft.formatter, row)
        if earlier != now:
            found[_cell(draft.size(draft.part.family, row.size), row.sst_k)] = row
    return found


def _difference_k(draft: DraftTable) -> float | None:
    """How far the box is above the SST [K], where the application states it."""
    return draft.catalogue.applications[draft.part.application].coil_temperature_difference_k


def _cell(size: str, sst_k: float) -> _Cell:
    return size, round(sst_k, 6)


def _marked(
    row: WindowTableRow, sst_k: float, names: Sequence[str], differing: Mapping[_Cell, ChangedRow]
) -> WindowTableRow:
    """A row with a mark in each cell that differs."""
    cells = [
        cell
        if _cell(name, sst_k) not in differing
        else (cell + _CHANGED_MARK if isinstance(cell, str) else (cell[0], cell[1] + _CHANGED_MARK))
        for name, cell in zip(names, row.cells, strict=True)
    ]
    return replace(row, cells=cells)


def _grid(
    key: str,
    draft: DraftTable,
    names: Sequence[str],
    body: Sequence[WindowTableRow],
    notes: Sequence[str] | None = None,
) -> AnswerTable:
    """Suction and box temperatures down, sizes across with notes under them, by default their Kv; nothing is exported."""
    notes = size_notes(draft.catalogue, draft.part.family, names, draft.formatter) if notes is None else notes
    degrees = draft.formatter.temperature_label
    stubs = [booklet_pages.SST_COLUMN(unit=degrees)]
    if _difference_k(draft) is not None:
        # As in a booklet's table, and as short, so that a family fits a terminal.
        stubs = [booklet_pages.SST_OF_TABLE(unit=degrees), booklet_pages.BOX_COLUMN(unit=degrees)]
    # A space only between the name of a size and its note.
    pairs = ((name.replace(" ", NBSP), note.replace(" ", NBSP)) for name, note in zip(names, notes, strict=True))
    labels = [f"{name} {note}".rstrip(" ") for name, note in pairs]
    return AnswerTable(
        key=key,
        columns=tuple(AnswerColumn((), label, ColumnStyle.FIGURES) for label in (*stubs, *labels)),
        rows=tuple(
            (
                *map(Value, (row.label, row.box)[: len(stubs)]),
                *(Value(cell_text(cell)) for cell in row.cells),
            )
            for row in body
        ),
        layout=TableLayout.WINDOWS,
        names=len(stubs),
        breaks=tuple(i for i, row in enumerate(body) if row.rule_above),
    )


def _earlier(draft: DraftTable, since: Since, names: Sequence[str], differing: Mapping[_Cell, ChangedRow]) -> Answer:
    """What the earlier release printed in the cells that differ, those that are gone among them."""
    formatter, own = draft.formatter, since.release
    texts = {cell: changed_texts(formatter, row)[0] for cell, row in differing.items()}
    temperatures = sorted({sst_k for _, sst_k in texts}, reverse=True)
    found = list(dict.fromkeys(size for size, _ in texts))
    sizes = [*(name for name in names if name in found), *(size for size in found if size not in names)]
    # Boxes as far above the SST as now: the earlier release may have stated none.
    boxes = formatter.temperatures([sst_k + (_difference_k(draft) or 0.0) for sst_k in temperatures])
    body = [
        WindowTableRow(
            label=label,
            box=box,
            cells=[texts.get((size, sst_k), "") for size in sizes],
            rule_above=formatter.is_round(sst_k),
        )
        for sst_k, label, box in zip(temperatures, formatter.temperatures(temperatures), boxes, strict=True)
    ]
    new, none = booklet.NEW(), booklet.NO_WINDOW()
    is_explained = new in texts.values() or none in texts.values()
    return Answer(
        key="earlier",
        heading=wording.EARLIER(revision=own.revision, date=own.date),
        # Kv may have been others.
        tables=(_grid("earlier_windows", draft, sizes, body, [""] * len(sizes)),),
        notes=(wording.EARLIER_TEXTS(new=new, none=none),) if is_explained else (),
    )


def _exported(draft: DraftTable, since: Since | None) -> Iterator[AnswerTable]:
    """Every window, with a release also what was in its place; then the windows of the release that are gone."""
    columns = draft.table.windows
    rows: list[tuple[Datum, ...]] = list(zip(*(columns[name].tolist() for name in _COLUMNS), strict=True))
    if since is None or since.cells is None:
        yield AnswerTable.exported("windows", _COLUMNS, rows)
        return
    was = {_cell(row.size, row.sst_k): row for row in since.cells}
    keys = [_cell(str(size), float(sst_k)) for size, sst_k in zip(columns["size"], columns["sst_k"], strict=True)]
    before = [_limits(was[key], (was[key].change_kind,)) if key in was else _UNCHANGED for key in keys]
    yield AnswerTable.exported(
        "windows", (*_COLUMNS, "change_kind", *_EARLIER), [(*a, *b) for a, b in zip(rows, before, strict=True)]
    )
    gone = [_limits(row, (row.size, row.sst_k)) for row in since.cells if row.change_kind == "removed"]
    yield AnswerTable.exported("removed", ("size", "sst_k", *_EARLIER), gone)


def _limits(row: ChangedRow, before: tuple[Datum, ...]) -> tuple[Datum, ...]:
    return (*before, row.earlier_min_load_w, row.earlier_max_load_w)


def _facts(draft: DraftTable, since: Since | None, differing: Mapping[_Cell, ChangedRow]) -> Iterator[Fact]:
    """What the table is valid for; which it is, and what it is compared with, for export."""
    part = draft.part
    yield Fact.exported("family", part.family)
    yield Fact.exported("group", part.group)
    yield Fact.exported("members", tuple(draft.members(part.group)))
    yield Fact.exported("application", part.application)
    if since is not None:
        for name, text in since.named.items():
            yield Fact.exported(f"since_{name}", text)
        yield Fact.exported("changed_cells", len(differing))
    for label, text in TableConditions.of(draft, part).facts() + valve_facts(draft, part):
        yield Fact((), label, Value(text))


def _summary(since: Since | None, differing: Mapping[_Cell, ChangedRow], count: int) -> Iterator[str]:
    """How much differs from the earlier release."""
    if since is None:
        return
    if since.cells is None:
        yield wording.NEW_TABLE(**since.named)
        return
    gone = sum(row.change_kind == "removed" for row in differing.values())
    changed = len(differing) - gone
    yield wording.CHANGED(count, changed=changed, **since.named) if changed else wording.SAME(**since.named)
    if gone:
        yield wording.GONE(gone)


def _change_notes(draft: DraftTable, since: Since | None, differing: Mapping[_Cell, ChangedRow]) -> Iterator[str]:
    """What the marks of the changed cells mean, and a revision that must be raised."""
    if since is None:
        return
    revision = since.release.revision
    if differing:
        yield wording.MARKED(mark=_CHANGED_MARK, revision=revision)
    if since.cells and revision == draft.catalogue.printing.revision:
        yield wording.SAME_REVISION(revision=revision)


def _confidence(draft: DraftTable) -> str:
    confidence = draft.catalogue.confidence
    if confidence is None or not confidence.is_printed:
        return booklet.NOMINAL_ONLY()
    return wording.AT_CONFIDENCE(level=percent(confidence.level))


def _alone(draft: DraftTable) -> Iterator[str]:
    """For one refrigerant of a group, where the catalogue prints it."""
    part, groups = draft.part, draft.catalogue.groups
    if part.group in groups:
        return
    printed = [
        groups[c.group].title
        for c in draft.catalogue.combinations
        if (c.family, c.application) == (part.family, part.application) and part.group in groups[c.group].members
    ]
    yield wording.ALONE(refrigerant=part.group, groups=listed(printed))
