"""The case that the workbook opens with, and its answer, for readers that show values and compute no formula."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Context, Decimal
from enum import IntEnum
from functools import cached_property

from tablegen.report.workbook_lookup import Lookup, LookupApplication, LookupBlock, LookupRow

_TWO_FIGURES = Context(prec=2)
# Sizes of equal margin stay in their order; no two printed margins are this near to each other and not equal.
TIE = 1e-9


class FoundAnswer(IntEnum):
    """What the workbook says of a case, after what it says of a wrong input: numbers of its texts."""

    COVERED = 12
    NOT_COVERED = 13
    NO_WINDOW = 14
    NOT_IN_STOCK = 15


class WindowVerdict(IntEnum):
    """What a size's window is to the load, as the workbook counts it."""

    NO_WINDOW = 0
    TOO_LARGE = 1
    FITS = 2
    TOO_SMALL = 3


@dataclass(frozen=True, slots=True)
class OpeningSize:
    """A size of the case; without a window it has no limits."""

    row: LookupRow
    limits: tuple[float, float] | None
    load: float

    @property
    def verdict(self) -> WindowVerdict:
        """Whether its printed limits cover the load."""
        if self.limits is None:
            return WindowVerdict.NO_WINDOW
        minimum, maximum = self.limits
        if self.load < minimum:
            return WindowVerdict.TOO_LARGE
        return WindowVerdict.TOO_SMALL if self.load > maximum else WindowVerdict.FITS

    @property
    def margin(self) -> float:
        """The smaller of load over minimum load and maximum load over load; 0 where it does not fit."""
        if self.limits is None or self.verdict is not WindowVerdict.FITS:
            return 0.0
        return min(self.load / self.limits[0], self.limits[1] / self.load)


@dataclass(frozen=True)
class OpeningCase:
    """The first application and refrigerant of a lookup, the middle row of its SSTs, and a load in a middle window.

    That of a size in stock, where there is one.
    """

    lookup: Lookup
    row: int
    load: float

    @classmethod
    def of(cls, lookup: Lookup) -> OpeningCase:
        """The case for a lookup that has applications."""
        application = lookup.applications[0]
        row = len(application.sst) // 2
        found = [(own, size) for size in application.blocks[0].rows if (own := size.windows[row]) is not None]
        windows = [own for own, size in found if size.is_in_stock] or [own for own, _ in found]
        return cls(lookup, row, _load(*windows[len(windows) // 2]) if windows else 1.0)

    @property
    def application(self) -> LookupApplication:
        """That of the case."""
        return self.lookup.applications[0]

    @property
    def block(self) -> LookupBlock:
        """The sizes for its refrigerant."""
        return self.application.blocks[0]

    @cached_property
    def sizes(self) -> list[OpeningSize]:
        """Each size of the block."""
        return [OpeningSize(size, size.windows[self.row], self.load) for size in self.block.rows]

    @cached_property
    def fitting(self) -> list[int]:
        """The indices of the sizes that cover the load, largest margin first."""
        sizes = self.sizes
        found = [i for i, size in enumerate(sizes) if size.verdict is WindowVerdict.FITS]
        return sorted(found, key=lambda i: i * TIE - sizes[i].margin)

    @cached_property
    def listed(self) -> list[int]:
        """Those of them that are in stock."""
        return [i for i in self.fitting if self.block.rows[i].is_in_stock]

    @cached_property
    def shown(self) -> list[int]:
        """The sizes that are shown: those listed, or the nearest ones where none covers the load."""
        nearest = (self.too_small, self.too_large)
        return self.listed if self.fitting else [index for index in nearest if index is not None]

    @property
    def answer(self) -> FoundAnswer:
        """What is said of the case."""
        if self.fitting:
            return FoundAnswer.COVERED if self.listed else FoundAnswer.NOT_IN_STOCK
        return FoundAnswer.NOT_COVERED if any(size.verdict for size in self.sizes) else FoundAnswer.NO_WINDOW

    @property
    def too_small(self) -> int | None:
        """The index of the size with the highest maximum load among those that are too small; None without one."""
        own = {
            i: size.limits[1]
            for i, size in enumerate(self.sizes)
            if size.limits and size.verdict is WindowVerdict.TOO_SMALL
        }
        return max(own, key=lambda i: own[i], default=None)

    @property
    def too_large(self) -> int | None:
        """The index of the size with the lowest minimum load among those that are too large; None without one."""
        own = {
            i: size.limits[0]
            for i, size in enumerate(self.sizes)
            if size.limits and size.verdict is WindowVerdict.TOO_LARGE
        }
        return min(own, key=lambda i: own[i], default=None)


def _load(minimum: float, maximum: float) -> float:
    """A load of two figures in the middle of a window, or its minimum where none is inside."""
    middle = float(Decimal(math.sqrt(minimum * maximum)).normalize(_TWO_FIGURES))
    return middle if minimum <= middle <= maximum else minimum
