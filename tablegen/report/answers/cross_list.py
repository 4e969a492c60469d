"""The answer to `cross`: for each table of the other catalogue its valves, and what replaces each."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from tablegen.answers.cross_list import covered_rows
from tablegen.answers.order import order_line
from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, Value
from tablegen.report.answers.cases import imprint_of
from tablegen.report.answers.stock_lines import stock_notes
from tablegen.report.formatter import percent
from tablegen.report.sheet_tables import sheet_table, workbook_of
from tablegen.wording import cross_list as wording
from tablegen.wording.language import number
from tablegen.wording.message import listed

if TYPE_CHECKING:
    from tablegen.answers.cross_list import Crossing, Replacement
    from tablegen.model.inputs import Catalogue
    from tablegen.report.answer import Datum
    from tablegen.report.formatter import Formatter

# The share of the other's window from which what is missing matters to nobody.
_NEARLY_ALL = 0.98
_KEYS = (
    *("application", "other_group", "other_family", "other_size", "group", "family", "size", "charge", "covers"),
    *("sst_k", "sst_covered_k", "worst_sst_k", "other_min_load_w", "other_max_load_w", "min_load_w", "max_load_w"),
    *("share", "part_number", "not_in_stock_family", "not_in_stock_size"),
)


def answer_of_cross_list(
    catalogue: Catalogue,
    other: Catalogue,
    found: Sequence[Crossing],
    formatter: Formatter,
    differing: Sequence[str],
) -> Answer:
    """The answer; `differing` are applications of one name with other operating conditions."""
    builder = _CrossList(catalogue, other, formatter)
    open_ones = [own for own in found if own.has_window]
    covered = sum(own.found is not None and own.found.covers_all for own in open_ones)
    summary = wording.SUMMARY if catalogue.stock is None else wording.SUMMARY_IN_STOCK
    tables = itertools.groupby(found, key=lambda own: (own.application, own.other_group, own.group))
    used = {own.application for own in found}
    notes = [wording.OTHER_CONDITIONS(application=_title(catalogue, name)) for name in differing if name in used]
    missing = [
        wording.NO_APPLICATION(application=own.title)
        for name, own in other.applications.items()
        if name not in catalogue.applications
    ]
    sections = [list(rows) for _, rows in tables]
    notes = [
        wording.HOW(nearly=percent(_NEARLY_ALL)),
        *notes,
        *dict.fromkeys(builder.without_table(rows[0]) for rows in sections if not rows[0].group),
        *missing,
        *stock_notes(catalogue),
    ]
    imprint = replace(
        imprint_of(catalogue, *dict.fromkeys(own.group for own in found if own.group)),
        keywords=tuple(catalogue.families),
    )
    return Answer(
        key="cross",
        heading=wording.HEADING(catalogue=catalogue.name, other=other.name),
        summary=(summary(len(open_ones), covered=str(covered)), *_in_part(open_ones)),
        tables=(AnswerTable.exported("valves", _KEYS, map(builder.record, found)),),
        sections=tuple(
            builder.section(f"table_{i}", rows) for i, rows in enumerate(sections, start=1) if rows[0].group
        ),
        notes=tuple(notes),
        imprint=imprint,
        units=formatter.system,
        workbook=partial(builder.workbook, found, (*notes, *imprint.cautions)),
        passed=covered == len(open_ones),
    )


def _in_part(open_ones: Sequence[Crossing]) -> Iterator[str]:
    """How many valves have a replacement that covers part of their windows, and the smallest part of a window."""
    found = [own.found for own in open_ones if own.found is not None and not own.found.covers_all]
    shares = [float(own.share[own.worst]) for own in found]
    if shares:
        yield wording.IN_PART(len(shares), share=percent(math.floor(100.0 * min(shares)) / 100.0))


def _title(catalogue: Catalogue, application: str) -> str:
    return catalogue.applications[application].title


@dataclass(frozen=True, slots=True)
class _CrossList:
    catalogue: Catalogue
    other: Catalogue
    formatter: Formatter

    def without_table(self, own: Crossing) -> str:
        """That this catalogue has no table for a group of the other."""
        members = listed(self.other.groups[own.other_group].members)
        return wording.NO_GROUP(application=_title(self.catalogue, own.application), refrigerants=members)

    def record(self, own: Crossing) -> tuple[Datum, ...]:
        """A valve as data, with the windows at the temperature where least is covered."""
        names = (own.application, own.other_group, own.family, own.size, own.group)
        grid = tuple(map(float, own.sst_k))
        found, better = own.found, own.better
        more = (None, None) if better is None else (better.family, better.size)
        if found is None:
            verdict = "none" if own.has_window else "no_window"
            return (*names, None, None, None, verdict, grid, (), *(math.nan,) * 6, "", *more)
        at = found.worst
        pairs = zip(grid, covered_rows(found), strict=True)
        limits = (own.min_load_w, own.max_load_w, found.min_load_w, found.max_load_w, found.share)
        return (
            *names,
            *(found.family, found.size, found.charge, "all" if found.covers_all else "part"),
            *(grid, tuple(sst_k for sst_k, is_covered in pairs if is_covered), grid[at]),
            *(float(values[at]) for values in limits),
            *(self._number(found), *more),
        )

    def workbook(self, found: Sequence[Crossing], cautions: Sequence[str]) -> bytes:
        """A sheet with a row for each valve, its figures as numbers, and one with the cautions."""
        degree, load = self.formatter.temperature_label, self.formatter.load_label
        is_of_stock = self.catalogue.stock is not None
        headings = (
            wording.APPLICATION(),
            wording.REFRIGERANTS(),
            wording.OTHER_VALVE(),
            wording.REPLACEMENT_IN_STOCK() if is_of_stock else wording.REPLACEMENT(),
            wording.CHARGE(),
            wording.PART_NUMBER(),
            wording.COVERS(unit=degree),
            wording.WORST_SST(unit=degree),
            wording.NEEDS_MINIMUM(unit=load),
            wording.NEEDS_MAXIMUM(unit=load),
            wording.COVERS_MINIMUM(unit=load),
            wording.COVERS_MAXIMUM(unit=load),
            wording.SHARE(),
            *((wording.NOT_IN_STOCK(),) if is_of_stock else ()),
        )
        rows = [self._sheet_row(own)[: len(headings)] for own in found]
        table = sheet_table(wording.SHEET(), headings, rows, widest={wording.CHARGE(): 28})
        return workbook_of(self.catalogue, (table,), cautions)

    def _sheet_row(self, own: Crossing) -> tuple[float | str | None, ...]:
        valve, name, covered, _, part_number, better = self._row(own)
        names = (
            _title(self.catalogue, own.application),
            listed(self.other.groups[own.other_group].members),
            valve,
            name,
        )
        if own.found is None:
            return (*names, "", "", "", *(None,) * 6, better)
        found, at = own.found, own.found.worst
        charges = {element.name: element.title for element in self.catalogue.families[found.family].elements}
        needed = self._loads(own.min_load_w[at], own.max_load_w[at])
        covers = self._loads(found.min_load_w[at], found.max_load_w[at])
        sst = number(self.formatter.temperature(own.sst_k[at]))
        share = math.floor(100.0 * float(found.share[at]))
        return (*names, charges[found.charge], part_number, covered, sst, *needed, *covers, float(share), better)

    def _loads(self, min_w: float, max_w: float) -> tuple[float | None, ...]:
        is_open = math.isfinite(min_w) and math.isfinite(max_w)
        return tuple(map(number, self.formatter.window(min_w, max_w))) if is_open else (None, None)

    def section(self, key: str, rows: Sequence[Crossing]) -> Answer:
        """The valves of all families for one group in one application."""
        degree, load = self.formatter.temperature_label, self.formatter.load_label
        replacement = wording.REPLACEMENT if self.catalogue.stock is None else wording.REPLACEMENT_IN_STOCK
        columns = (
            AnswerColumn((), wording.OTHER_VALVE()),
            AnswerColumn((), replacement()),
            AnswerColumn((), wording.COVERS(unit=degree)),
            AnswerColumn((), wording.ELSEWHERE(unit=load)),
            AnswerColumn((), wording.PART_NUMBER()),
            AnswerColumn((), wording.NOT_IN_STOCK()),
        )
        first = rows[0]
        families = [own.family for own in rows]
        return Answer(
            key=key,
            heading=wording.SECTION(
                application=_title(self.catalogue, first.application),
                refrigerants=listed(self.other.groups[first.other_group].members),
            ),
            tables=(
                AnswerTable(
                    key=key,
                    columns=columns,
                    rows=tuple(tuple(map(Value, self._row(own))) for own in rows),
                    breaks=tuple(i for i in range(1, len(rows)) if families[i] != families[i - 1]),
                ),
            ),
        )

    def _row(self, own: Crossing) -> tuple[str, ...]:
        valve = self.other.valve_name(own.family, own.size)
        better = "" if own.better is None else self.catalogue.valve_name(own.better.family, own.better.size)
        if own.found is None:
            return (valve, wording.NO_VALVE() if own.has_window else wording.NO_WINDOW(), "", "", "", better)
        found = own.found
        name = self.catalogue.valve_name(found.family, found.size)
        return (valve, name, self._covered(own, found), self._least(own, found), self._number(found), better)

    def _covered(self, own: Crossing, found: Replacement) -> str:
        """The suction temperatures at which it covers every load, as ranges of the other's rows."""
        if found.covers_all:
            return wording.ALL_SSTS()
        if found.share[found.worst] >= _NEARLY_ALL:
            return wording.NEARLY_ALL()
        return ", ".join(self._ranges(own, found)) or wording.NO_SST()

    def _ranges(self, own: Crossing, found: Replacement) -> Iterator[str]:
        texts = self.formatter.temperatures(own.sst_k.tolist())
        for is_covered, run in itertools.groupby(
            zip(covered_rows(found), texts, strict=True), key=lambda one: bool(one[0])
        ):
            names = [text for _, text in run]
            if is_covered:
                yield names[0] if len(names) == 1 else wording.RANGE(first=names[0], last=names[-1])

    def _least(self, own: Crossing, found: Replacement) -> str:
        """What it covers where it covers the smallest share of a window; nothing where it covers all."""
        if found.covers_all:
            return ""
        at = found.worst
        minimum, maximum = self.formatter.window(own.min_load_w[at], own.max_load_w[at])
        values = {"minimum": minimum, "maximum": maximum, "sst": self.formatter.degrees(own.sst_k[at])}
        if not found.share[at] > 0.0:
            return wording.NO_LOAD(**values)
        low, high = self.formatter.window(
            max(own.min_load_w[at], found.min_load_w[at]), min(own.max_load_w[at], found.max_load_w[at])
        )
        # Never more than it is: what is not all is not 100 percent.
        share = percent(math.floor(100.0 * float(found.share[at])) / 100.0)
        return wording.LEAST(low=low, high=high, share=share, **values)

    def _number(self, found: Replacement) -> str:
        return order_line(self.catalogue, found).part_number
