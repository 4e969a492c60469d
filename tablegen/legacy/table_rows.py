"""A table of limits from elsewhere, in SI and by the catalogue's names, as it was read."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class OldRow:
    """One row of an old table: a size at an SST [K] with its limits [W], NaN where one is missing.

    `group` is the catalogue's group, or one refrigerant by itself; `line` is that of the file.
    """

    line: int
    family: str
    size: str
    group: str
    application: str
    sst_k: float
    min_load_w: float
    max_load_w: float

    @property
    def cell(self) -> tuple[str, str, str, str, float]:
        """What the row is about."""
        return self.family, self.size, self.group, self.application, round(self.sst_k, 9)


@dataclass(frozen=True, slots=True)
class TakenColumn:
    """What a column of ours was taken from: a heading of the file with its unit, or one `value` for every row."""

    name: str
    heading: str = ""
    unit: str = ""
    value: str = ""


@dataclass(frozen=True, slots=True)
class OutOfMap:
    """A name of the old table that the mapping file has no counterpart for, and how many rows it takes away."""

    column: str
    name: str
    rows: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OldTable:
    """An old table: its file's name, rows, what each column was taken from, headings not read, rows left out."""

    file: str
    rows: tuple[OldRow, ...]
    taken: tuple[TakenColumn, ...]
    not_read: tuple[str, ...] = ()
    left_out: tuple[OutOfMap, ...] = ()
