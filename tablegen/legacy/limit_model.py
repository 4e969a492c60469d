"""The limits of chosen sizes at chosen suction temperatures, computed as a sweep does, also with some input changed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tablegen.legacy.table_rows import OldRow
from tablegen.model.inputs import Application, Catalogue, Family
from tablegen.model.solving import Solved, laws_of, solve, unit_window
from tablegen.physics.arrays import Floats, Names
from tablegen.physics.windows import Window


@dataclass(frozen=True, slots=True, kw_only=True)
class RowBlock:
    """The rows of an old table for one group (or refrigerant) in one application.

    `rows` are their positions in the table, `at` those of their suction temperatures in `sst_k` [K]; `families` and
    `sizes` are each row's.
    """

    application: str
    group: str
    members: tuple[str, ...]
    sst_k: Floats
    rows: NDArray[np.intp]
    at: NDArray[np.intp]
    families: Names
    sizes: Names


@dataclass(frozen=True, slots=True, kw_only=True)
class RowLimits(Window):
    """Windows along some rows, of the sizes themselves in place of one m3/h."""

    def loads(self) -> Floats:
        """Minimum and maximum loads [W], array (rows, 2)."""
        return np.stack([self.min_load_w, self.max_load_w], axis=1)


def blocks_of(catalogue: Catalogue, rows: Sequence[OldRow]) -> list[RowBlock]:
    """The rows of an old table by group and application; every one of them is offered."""
    parts: dict[tuple[str, str], list[int]] = {}
    for i, row in enumerate(rows):
        parts.setdefault((row.application, row.group), []).append(i)
    found = []
    for (application, group), own in parts.items():
        sst_k, at = np.unique([round(rows[i].sst_k, 9) for i in own], return_inverse=True)
        members = catalogue.groups[group].members if group in catalogue.groups else (group,)
        found.append(
            RowBlock(
                application=application,
                group=group,
                members=tuple(members),
                sst_k=sst_k,
                rows=np.array(own),
                at=at,
                families=np.array([rows[i].family for i in own], dtype=object),
                sizes=np.array([rows[i].size for i in own], dtype=object),
            )
        )
    return found


class LimitModel:
    """Computes nominal limits of the rows of a block; what is solved with the catalogue's own inputs is solved once."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self._solved: dict[tuple[str, str], list[Solved]] = {}

    def limits(
        self,
        block: RowBlock,
        change: Callable[[Family], Family] = lambda part: part,
        application: Application | None = None,
    ) -> RowLimits:
        """The limits of the rows of a block, with some parts of families or the application unlike the catalogue's.

        Parameters
        ----------
        block : RowBlock
        change : callable, optional
            Makes of each part of a family's `by_design` the one that is computed, with the same sizes.
        application : Application, optional
            Its suction temperatures do not count: those of the block do.

        Returns
        -------
        RowLimits
            Arrays (rows of the block,) [W].
        """
        solved = self._at_own_inputs(block) if application is None else self._solve(block, application)
        shape = block.rows.shape
        columns = {name: np.full(shape, np.nan) for name in ("min_load_w", "max_load_w")}
        texts = {
            n: np.full(shape, "", dtype=object) for n in ("min_condition", "max_condition", "min_reason", "max_reason")
        }
        for part in self.parts(block):
            by_size = {size.name: size.kv_rated_m3h for size in part.sizes}
            is_chosen = [
                family == part.name and size in by_size
                for family, size in zip(block.families, block.sizes, strict=True)
            ]
            chosen = np.flatnonzero(is_chosen)
            at, kv = block.at[chosen], np.array([by_size[size] for size in block.sizes[chosen]])
            changed = change(part)
            found = _common([unit_window(changed, one)[2] for one in solved])
            for column, values in columns.items():
                values[chosen] = getattr(found, column)[at] * kv
            for column, names in texts.items():
                names[chosen] = getattr(found, column)[at]
        return RowLimits(**columns, **texts)

    def parts(self, block: RowBlock) -> Iterator[Family]:
        """The parts of the block's families that have its sizes, each with one window for each m3/h of rated Kv."""
        asked = dict.fromkeys(zip(block.families, block.sizes, strict=True))
        for name in dict.fromkeys(block.families):
            for part in self.catalogue.families[name].by_design():
                if any((name, size.name) in asked for size in part.sizes):
                    yield part

    def _at_own_inputs(self, block: RowBlock) -> list[Solved]:
        key = block.application, block.group
        if key not in self._solved:
            application = self.catalogue.applications[block.application]
            self._solved[key] = [self._solve_one(block, application, member) for member in block.members]
        return self._solved[key]

    def _solve(self, block: RowBlock, application: Application) -> list[Solved]:
        """The members' states; where only superheat limits differ from the catalogue's, the states are the same."""
        at_rows = replace(application, sst_k=block.sst_k)
        return [
            own.under(at_rows) or self._solve_one(block, application, member)
            for member, own in zip(block.members, self._at_own_inputs(block), strict=True)
        ]

    def _solve_one(self, block: RowBlock, application: Application, member: str) -> Solved:
        laws = laws_of(self.catalogue.families[name] for name in dict.fromkeys(block.families))
        return solve(self.catalogue.refrigerants[member], replace(application, sst_k=block.sst_k), laws)


def _common(windows: Sequence[object]) -> RowLimits:
    """The window that all members have in common along the suction grid; where one's is empty, so is the group's."""
    loads = {n: np.stack([getattr(w, n) for w in windows]) for n in ("min_load_w", "max_load_w")}
    is_empty = np.isnan(loads["min_load_w"]) | np.isnan(loads["max_load_w"])
    low = np.where(is_empty, np.inf, loads["min_load_w"]).argmax(axis=0)
    high = np.where(is_empty, -np.inf, loads["max_load_w"]).argmin(axis=0)
    along = np.arange(low.size)
    minimum, maximum = loads["min_load_w"][low, along], loads["max_load_w"][high, along]
    is_open = (minimum < maximum) & ~is_empty.any(axis=0)
    texts = {
        name: np.stack([np.array([str(text) for text in getattr(w, name)], dtype=object) for w in windows])[by, along]
        for by, side in ((low, "min"), (high, "max"))
        for name in (f"{side}_condition", f"{side}_reason")
    }
    crossed = ~is_open & ~is_empty.any(axis=0)
    for side in ("min", "max"):
        texts[f"{side}_reason"] = np.where(crossed, "crossed", texts[f"{side}_reason"])
    return RowLimits(
        min_load_w=np.where(is_open, minimum, np.nan), max_load_w=np.where(is_open, maximum, np.nan), **texts
    )
