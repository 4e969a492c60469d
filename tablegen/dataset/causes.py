"""What each change of the config files does to the windows by itself, beside what all of them did together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from tablegen.dataset.comparison import TableChanges, changed_windows, ends, table_counts
from tablegen.dataset.input_changes import KeySteps, Missing
from tablegen.dataset.release import KEYS, TableKey
from tablegen.dataset.release_files import LIMITS, Json

_TABLE = KEYS[:3]
_MOVES = ("min_load_change", "max_load_change")
# Lowest and highest of some shares [1], NaN without any.
Ends = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConfigChange:
    """One value of a config file that differs: the file as seen from the catalogue, the key as steps, and both values.

    Values are as they are written, MISSING where there is none; without steps the file itself came or went.
    """

    file: str
    path: KeySteps
    earlier: Json | Missing
    now: Json | Missing

    @property
    def key(self) -> str:
        """Steps joined by points, items of a list by their names."""
        return ".".join(self.path)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """Changes that are made together, alone, to the earlier release, and the windows that differ then.

    There are several where one of them gives no sound catalogue without the others, and none where the program is another. Without
    `windows` not even all of them give one.
    """

    changes: tuple[ConfigChange, ...]
    windows: pd.DataFrame | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TableCauses:
    """One table: what each cause does to it alone, what all did together, their sum, and what is left over.

    Attributes
    ----------
    key : tuple of str
    alone : tuple
        The causes that change it, each with what it changes.
    together : TableChanges
    min_sum, max_sum : tuple of float
        Lowest and highest sum of what each does alone to the minimum and the maximum load [1], over the windows that are
        open in every case.
    min_left, max_left : tuple of float
        What all did together less that sum [1]: the effect of the changes on one another.
    """

    key: TableKey
    alone: tuple[tuple[Cause, TableChanges], ...]
    together: TableChanges
    min_sum: Ends
    max_sum: Ends
    min_left: Ends
    max_left: Ends


def table_causes(old: pd.DataFrame, new: pd.DataFrame, causes: Sequence[Cause]) -> list[TableCauses]:
    """The causes of each table that differs or that any cause changes by itself.

    Parameters
    ----------
    old, new : DataFrame
        Group windows of two releases.
    causes : sequence of Cause

    Returns
    -------
    list of TableCauses
        In the order of the newer release, tables that it has no more after them.
    """
    together = changed_windows(old, new)
    frames = [cause.windows for cause in causes if cause.windows is not None]
    differing = {key for frame in (together, *frames) for key in _tables(frame)}
    order = dict.fromkeys([*_tables(new), *_tables(old)])
    return [_of_table(key, old, new, together, causes) for key in order if key in differing]


def _tables(frame: pd.DataFrame) -> list[TableKey]:
    return [(str(f), str(g), str(a)) for f, g, a in frame[_TABLE].drop_duplicates().to_numpy().tolist()]


def _of_table(
    key: TableKey, old: pd.DataFrame, new: pd.DataFrame, together: pd.DataFrame, causes: Sequence[Cause]
) -> TableCauses:
    own = [(cause, _part(cause.windows, key)) for cause in causes if cause.windows is not None]
    own = [(cause, windows) for cause, windows in own if len(windows)]
    base = _part(old, key).dropna(subset=list(LIMITS))
    moves = base[["size", "sst_k"]].astype({"size": str}).assign(sst_k=base["sst_k"].round(6))
    moves = moves.set_index(["size", "sst_k"])
    alone = [_moves(windows, moves.index) for _, windows in own]
    total = sum(alone, pd.DataFrame(0.0, index=moves.index, columns=list(_MOVES)))
    left = _moves(_part(together, key), moves.index) - total
    total = total[left.notna()]
    return TableCauses(
        key=key,
        alone=tuple((cause, table_counts(key, windows, new)) for cause, windows in own),
        together=table_counts(key, together, new),
        min_sum=ends(total[_MOVES[0]]),
        max_sum=ends(total[_MOVES[1]]),
        min_left=ends(left[_MOVES[0]]),
        max_left=ends(left[_MOVES[1]]),
    )


def _part(frame: pd.DataFrame, key: TableKey) -> pd.DataFrame:
    return frame[(frame[_TABLE] == list(key)).all(axis=1)]


def _moves(windows: pd.DataFrame, index: pd.Index) -> pd.DataFrame:
    """How far both limits of every window moved [1]: 0 where it does not differ, NaN where it opened, closed or went."""
    own = windows.assign(size=windows["size"].astype(str), sst_k=windows["sst_k"].round(6)).set_index(["size", "sst_k"])
    found = own[list(_MOVES)].reindex(index)
    found.loc[~index.isin(own.index)] = 0.0
    return found
