"""A data set as all its publications share it: display names, rows by table, heads, and drawings made once for all papers."""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

import pandas as pd

from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.model.publications import Booklet, Combination
from tablegen.report.formatter import Formatter
from tablegen.report.publications.booklet_tables import BookletTables
from tablegen.report.rows import CurveCase, HeadState, OwnWindow, is_same_temperature, rows_of
from tablegen.wording.language import language

SIZE_COLUMNS = ("size", "smaller_size", "first_size", "second_size", "lower_size", "upper_size")
Made = TypeVar("Made")


class PrintedData:
    """The frames of a data set with display names, and what is found in them, each looked for once.

    Parameters
    ----------
    data : DataSet

    Attributes
    ----------
    computed : DataSet
        As it was computed.
    data : DataSet
        Its frames contain display names.
    """

    def __init__(self, data: DataSet) -> None:
        self.computed, self.data = data, _with_display_names(data)
        self._heads: dict[tuple[str, str], dict[float, Mapping[str, HeadState]]] = {}
        # With the frame itself, so that no other takes its number.
        self._rows: dict[int, tuple[pd.DataFrame, Mapping[Combination, pd.DataFrame]]] = {}
        self._windows: dict[tuple[str, str], dict[tuple[str, str], list[OwnWindow]]] = {}
        self._drawn: dict[tuple[object, ...], object] = {}
        self._tables: dict[str, tuple[Booklet, BookletTables]] = {}

    @classmethod
    def of(cls, data: DataSet | PrintedData) -> PrintedData:
        """A data set to print; one that is to be printed already stays as it is."""
        return data if isinstance(data, PrintedData) else cls(data)

    def __reduce__(self) -> tuple[type[PrintedData], tuple[DataSet]]:
        # What is found in it is quickly found again.
        return PrintedData, (self.computed,)

    def rows(self, frame: pd.DataFrame, part: Combination) -> pd.DataFrame:
        """The rows of a frame of the data set that belong to a table; of an empty frame none."""
        return frame if frame.empty else self._by_part(frame).get(part, frame.iloc[:0])

    def _by_part(self, frame: pd.DataFrame) -> Mapping[Combination, pd.DataFrame]:
        if id(frame) not in self._rows:
            found = frame.groupby(["family", "group", "application"], sort=False)
            self._rows[id(frame)] = frame, {Combination(*map(str, key)): rows for key, rows in found}
        return self._rows[id(frame)][1]

    def tables_of(self, booklet: Booklet) -> BookletTables:
        """Which tables a booklet prints, and which of their rows."""
        name = booklet.printed.name
        if name not in self._tables or self._tables[name][0] is not booklet:
            self._tables[name] = booklet, BookletTables.of(booklet, self._by_part(self.data.group_windows))
        return self._tables[name][1]

    def heads(self, application: str, refrigerant: str, sst_k: float) -> Mapping[str, HeadState]:
        """A refrigerant at each operating condition, at full flow, at a suction temperature [K] of the sweep.

        One family's law and one suction response are as good as another here: only what no valve bears on is printed.
        """
        if not self._heads:
            self._heads = _heads(self.data.states)
        at = self._heads[application, refrigerant]
        return next(found for own_k, found in at.items() if is_same_temperature(own_k, sst_k))

    def own_windows(self, part: Combination) -> dict[tuple[str, str], list[OwnWindow]]:
        """The windows of a table's family in its application, by refrigerant and size."""
        if not self._windows:
            for (family, application), frame in self.data.windows.groupby(["family", "application"], sort=False):
                own = self._windows.setdefault((str(family), str(application)), {})
                for row in rows_of(frame, OwnWindow):
                    own.setdefault((row.refrigerant, row.size), []).append(row)
        return self._windows[part.family, part.application]

    def own_window(self, part: Combination, case: CurveCase) -> tuple[float, float]:
        """Minimum and maximum load [W] of an example's size for its refrigerant alone."""
        rows = self.own_windows(part)[case.refrigerant, case.size]
        row = next(row for row in rows if is_same_temperature(row.sst_k, case.sst_k))
        return row.min_load_w, row.max_load_w

    def swing(self, part: Combination) -> tuple[float, float]:
        """Superheat at high less that at low head [K] in the middle of the windows, and what the port contributes [K]."""
        rows = [row for own in self.own_windows(part).values() for row in own]
        return _median(row.superheat_swing_k for row in rows), _median(row.unbalance_swing_k for row in rows)

    def drawn(self, formatter: Formatter, key: tuple[object, ...], make: Callable[[], Made]) -> Made:
        """Drawings in the units of a formatter and the language: they are the same on every paper."""
        drawing = (formatter, language(), *key)
        found = self._drawn.get(drawing)
        if found is None:
            found = self._drawn[drawing] = make()
        return found  # type: ignore[return-value]


def _heads(states: pd.DataFrame) -> dict[tuple[str, str], dict[float, Mapping[str, HeadState]]]:
    """By application and refrigerant, and by suction temperature [K]: each condition of the first suction response."""
    rows = states[states["limit"].isin(["both", "max"]) & (states["open_share"] == 1.0)]
    keys = (rows[name].tolist() for name in ("application", "refrigerant", "sst_k", "suction_response"))
    found: dict[tuple[str, str], dict[float, Mapping[str, HeadState]]] = {}
    first: dict[tuple[str, str, float], tuple[str, dict[str, HeadState]]] = {}
    for application, refrigerant, sst_k, response, state in zip(*keys, rows_of(rows, HeadState), strict=True):
        own_response, at = first.setdefault((application, refrigerant, sst_k), (response, {}))
        if response == own_response:
            at.setdefault(state.condition, state)
        found.setdefault((application, refrigerant), {})[sst_k] = at
    return found


def _median(values: Iterable[float]) -> float:
    """The middle of values that are numbers; NaN where none is."""
    numbers = [value for value in values if not math.isnan(value)]
    return statistics.median(numbers) if numbers else math.nan


def _with_display_names(data: DataSet) -> DataSet:
    """A data set whose frames call each size as it is printed; display names differ within a family, as keys do."""
    called = {
        (family.name, size.name): size.display_name
        for family in data.catalogue.families.values()
        for size in family.sizes
        if size.display_name != size.name
    }
    if not called:
        return data
    frames: dict[str, pd.DataFrame] = {name: _renamed(getattr(data, name), called) for name in FRAMES}
    return DataSet(catalogue=data.catalogue, summary=data.summary, files=data.files, **frames)


def _renamed(frame: pd.DataFrame, called: dict[tuple[str, str], str]) -> pd.DataFrame:
    columns = [column for column in SIZE_COLUMNS if column in frame] if "family" in frame else []
    return frame.assign(
        **{
            column: [called.get(pair, pair[1]) for pair in zip(frame["family"], frame[column], strict=True)]
            for column in columns
        }
    )
