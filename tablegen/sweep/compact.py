"""Columns of many rows in little memory: text as codes, and frames put together a column at a time."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from pandas.api.types import union_categoricals

from tablegen.sweep.frames import Columns

# Columns by name; text is categorical.
CompactColumns = dict[str, Any]


def compact(columns: Columns) -> CompactColumns:
    """Columns whose text takes a byte or two a row."""
    return {name: _coded(values) if values.dtype == object else values for name, values in columns.items()}


def framed(parts: Sequence[CompactColumns], order: NDArray[np.intp] | None = None) -> pd.DataFrame:
    """A frame of some parts, one below the other, its rows in an `order`; the parts are used up."""
    found: CompactColumns = {}
    for name in list(parts[0]):
        pieces = [part.pop(name) for part in parts]
        is_text = isinstance(pieces[0], pd.Categorical)
        # Sorted, so that a frame which is sorted by text is in the order of the text.
        whole = union_categoricals(pieces, sort_categories=True) if is_text else np.concatenate(pieces)
        found[name] = whole if order is None else whole[order]
    # Not one block of all columns, which would be a copy of them.
    return pd.DataFrame(found, copy=False)


class Filled:
    """A frame of so many rows that is filled in any order, text as codes, without its parts in memory beside it."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._columns: dict[str, NDArray[Any]] = {}
        self._names: dict[str, dict[str, int]] = {}

    def put(self, rows: slice, columns: Columns) -> None:
        """Rows of every column."""
        for name, values in columns.items():
            if values.dtype == object:
                values = self._coded(name, values)
            if name not in self._columns:
                self._columns[name] = np.empty(self._count, dtype=values.dtype)
            self._columns[name][rows] = values

    def frame(self) -> pd.DataFrame:
        """The frame, which is filled; text is in the order of the alphabet as codes."""
        found: CompactColumns = {}
        for name in list(self._columns):
            values = self._columns.pop(name)
            if name in self._names:
                texts = sorted(self._names[name])
                place = np.empty(len(texts), dtype=np.min_scalar_type(-len(texts)))
                place[[self._names[name][text] for text in texts]] = np.arange(len(texts))
                found[name] = pd.Categorical.from_codes(place[values], pd.Index(texts, dtype="str"))
            else:
                found[name] = values
        return pd.DataFrame(found, copy=False)

    def _coded(self, name: str, values: NDArray[Any]) -> NDArray[Any]:
        known = self._names.setdefault(name, {})
        codes, texts = pd.factorize(values)
        return np.array([known.setdefault(text, len(known)) for text in texts], dtype=np.int32)[codes]


def rows_of(frame: pd.DataFrame, *names: str) -> dict[tuple[str, ...], NDArray[np.intp]]:
    """The rows of a frame by the values of some columns of text."""
    found: Any = frame.groupby(list(names), sort=False, observed=True).indices
    return dict(found)


def _coded(values: NDArray[Any]) -> Any:
    codes, names = pd.factorize(values)
    return pd.Categorical.from_codes(codes, pd.Index(names))
