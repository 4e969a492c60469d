"""Which tables a booklet prints, and which of their rows: what is chosen of it, applied to the windows of a data set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.model.publications import Booklet, Combination
from tablegen.tables.printed_rows import is_empty, printed_rows

# Of SSTs [K] that are the same in tables that were rounded differently.
SST_DIGITS = 6


@dataclass(frozen=True, slots=True)
class BookletTables:
    """The tables of a booklet.

    Attributes
    ----------
    parts : sequence of Combination
        Those that are printed.
    empty : sequence of Combination
        Those that are only listed, for no size covers a load there.
    sst_k : mapping of Combination to set of float
        The SSTs [K] of the rows of a table, to `SST_DIGITS`; one that is not named has all of its rows.
    """

    parts: Sequence[Combination]
    empty: Sequence[Combination]
    sst_k: Mapping[Combination, frozenset[float]]

    @classmethod
    def of(cls, booklet: Booklet, windows: Mapping[Combination, pd.DataFrame]) -> BookletTables:
        """The tables of a booklet, of the group windows by table."""
        contents = booklet.contents
        lists_empty = contents.empty_tables == "listed"
        if not lists_empty and not contents.sst_k:
            return cls(booklet.combinations, (), {})
        rows: dict[Combination, frozenset[float]] = {}
        empty = []
        for part in booklet.combinations:
            own = windows[part]
            minimum, maximum = (
                own.pivot(index="size", columns="sst_k", values=name) for name in ("min_load_w", "max_load_w")
            )
            sst_k = minimum.columns.to_numpy(dtype=np.float64)
            chosen = contents.sst_k.get(part.application, ())
            shown = printed_rows(chosen, sst_k, minimum.to_numpy(), maximum.to_numpy())
            if chosen:
                rows[part] = frozenset(sst_k[shown].round(SST_DIGITS).tolist())
            if lists_empty and is_empty(maximum.to_numpy(), shown):
                empty.append(part)
        # A booklet without a table would be none.
        dropped = empty if len(empty) < len(booklet.combinations) else []
        return cls([part for part in booklet.combinations if part not in dropped], dropped, rows)
