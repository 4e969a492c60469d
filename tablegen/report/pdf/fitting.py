"""How much of a list fits a sheet of one page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from reportlab.platypus import Flowable


def height(parts: Sequence[Flowable], width: float) -> float:
    """Height [pt] of parts under each other, no less than they will take."""
    return sum(part.wrap(width, 1e4)[1] + part.getSpaceBefore() + part.getSpaceAfter() for part in parts)


def fitting(parts: Sequence[Flowable], rest: Callable[[int], Flowable], width: float, room: float) -> list[Flowable]:
    """As many parts as fit a height [pt], and what `rest` says of those that do not; nothing if not even that fits."""
    if height(parts, width) <= room:
        return list(parts)
    for count in range(len(parts) - 1, -1, -1):
        chosen = [*parts[:count], rest(len(parts) - count)]
        if height(chosen, width) <= room:
            return chosen
    return []
