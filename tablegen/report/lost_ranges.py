"""Loads that a size of a table covered in an earlier release and no longer covers, and the size to take instead."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from tablegen.dataset.dataset import Changes
from tablegen.model.publications import Combination
from tablegen.report.formatter import DASH, Formatter
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import ChangedRow, WindowRow, rows_of
from tablegen.wording.language import number

# Suction temperatures that are the same [K].
_PLACES = 6
Cell = tuple[str, float]


@dataclass(frozen=True, slots=True)
class LostRange:
    """Loads as printed, from one to the other."""

    start: str
    end: str

    @property
    def text(self) -> str:
        """As one figure after the other."""
        return f"{self.start}{DASH}{self.end}"


@dataclass(frozen=True, slots=True, kw_only=True)
class TableLosses:
    """What one table lost.

    Attributes
    ----------
    part : Combination
    sizes : sequence of str
        As printed, in the order of the family.
    sst_k : sequence of float
        Suction temperatures [K] at which anything was lost, warmest first.
    upper, lower : mapping
        By size and suction temperature, what was lost above the new maximum, or of a window that closed, and below the
        new minimum.
    now : mapping
        By size and suction temperature, the limits as printed now; no entry where there is no window.
    changed : sequence of ChangedRow
        The windows that print differently.
    """

    part: Combination
    sizes: Sequence[str]
    sst_k: Sequence[float]
    upper: Mapping[Cell, LostRange]
    lower: Mapping[Cell, LostRange]
    now: Mapping[Cell, tuple[str, str]]
    changed: Sequence[ChangedRow]

    @property
    def is_new(self) -> bool:
        """Whether the earlier release had no such table."""
        return all(row.change_kind == "added" for row in self.changed) and len(self.changed) >= len(self.now)

    @property
    def is_empty(self) -> bool:
        """Whether every size covers what it covered."""
        return not self.upper and not self.lower

    def lost_at(self, sst_k: float) -> list[str]:
        """The sizes that lost loads at a suction temperature."""
        return [size for size in self.sizes if (size, sst_k) in self.upper or (size, sst_k) in self.lower]

    def instead(self, size: str, lost: Mapping[Cell, LostRange]) -> str:
        """The size that covers all that another lost at most suction temperatures, the nearest of such; "" where none does."""
        at = [sst_k for name, sst_k in lost if name == size]
        most = max(
            self._others(size, lost),
            key=lambda other: sum(self.covers(other, lost[size, sst_k], sst_k) for sst_k in at),
            default="",
        )
        return most if any(self.covers(most, lost[size, sst_k], sst_k) for sst_k in at) else ""

    def instead_at(self, size: str, lost: Mapping[Cell, LostRange], sst_k: float) -> str:
        """The size that covers what another lost at one suction temperature: that of `instead`, else the nearest."""
        others = [self.instead(size, lost), *self._others(size, lost)]
        return next((other for other in others if self.covers(other, lost[size, sst_k], sst_k)), "")

    def covers(self, size: str, lost: LostRange, sst_k: float) -> bool:
        """Whether the printed window of a size covers a range at a suction temperature."""
        window = self.now.get((size, sst_k))
        return window is not None and number(window[0]) <= number(lost.start) and number(window[1]) >= number(lost.end)

    def _others(self, size: str, lost: Mapping[Cell, LostRange]) -> Sequence[str]:
        """Larger sizes for upper ranges, smaller ones for lower ranges, nearest first."""
        place = self.sizes.index(size)
        return self.sizes[place + 1 :] if lost is self.upper else self.sizes[:place][::-1]


def table_losses(publication: Publication, changes: Changes) -> list[TableLosses]:
    """What each printed table lost; only those in which a window prints differently."""
    found = []
    for part in publication.parts:
        rows = rows_of(publication.rows(changes.cells, part), ChangedRow)
        rows = [_named(publication, part, row) for row in rows]
        changed = [row for row in rows if _was(publication.formatter, row) != _now(publication.formatter, row)]
        if changed:
            found.append(_losses(publication, part, changed))
    return found


def _named(publication: Publication, part: Combination, row: ChangedRow) -> ChangedRow:
    return row._replace(size=publication.size(part.family, row.size), sst_k=round(row.sst_k, _PLACES))


def _was(formatter: Formatter, row: ChangedRow) -> tuple[str, str] | None:
    return formatter.readable_window(row.earlier_min_load_w, row.earlier_max_load_w)


def _now(formatter: Formatter, row: ChangedRow | WindowRow) -> tuple[str, str] | None:
    return formatter.readable_window(row.min_load_w, row.max_load_w)


def _losses(publication: Publication, part: Combination, changed: Sequence[ChangedRow]) -> TableLosses:
    formatter, windows = publication.formatter, publication.windows(part)
    upper: dict[Cell, LostRange] = {}
    lower: dict[Cell, LostRange] = {}
    for row in changed:
        was = _was(formatter, row)
        if was is None:
            continue
        now, key = _now(formatter, row), (row.size, row.sst_k)
        if now is None or number(now[0]) >= number(was[1]) or number(now[1]) <= number(was[0]):
            upper[key] = LostRange(*was)
            continue
        if number(now[1]) < number(was[1]):
            upper[key] = LostRange(now[1], was[1])
        if number(now[0]) > number(was[0]):
            lower[key] = LostRange(was[0], now[0])
    return TableLosses(
        part=part,
        sizes=_sizes(publication, part, windows, changed),
        sst_k=sorted({sst_k for _, sst_k in (*upper, *lower)}, reverse=True),
        upper=upper,
        lower=lower,
        now={
            (row.size, round(row.sst_k, _PLACES)): window
            for row in windows
            if (window := _now(formatter, row)) is not None
        },
        changed=changed,
    )


def _sizes(
    publication: Publication, part: Combination, windows: Iterable[WindowRow], changed: Iterable[ChangedRow]
) -> list[str]:
    """The sizes of a table in the family's order; one that is no longer offered comes after them."""
    shown = {row.size for row in windows}
    order = [
        size.display_name for size in publication.catalogue.families[part.family].sizes if size.display_name in shown
    ]
    return list(dict.fromkeys([*order, *(row.size for row in changed)]))


def widest_row(losses: TableLosses, example_k: float) -> float:
    """The suction temperature [K] to draw: that of the application's example, or where most sizes lost loads."""
    near = [sst_k for sst_k in losses.sst_k if math.isclose(sst_k, example_k, abs_tol=1e-5)]
    return near[0] if near else max(losses.sst_k, key=lambda sst_k: len(losses.lost_at(sst_k)))
