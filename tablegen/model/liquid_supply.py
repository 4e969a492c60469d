"""How cold liquid must leave condenser or receiver to reach the valve without vapor, and what limits count with there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.model.solving import Solved
from tablegen.physics.arrays import Floats
from tablegen.physics.system import SystemInputs

# What a condenser gives without a subcooler: 5 to 15 degF (common practice).
USUAL_SUBCOOLING_K = 15.0 / 1.8


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquidNeed:
    """Subcooling at the outlet of condenser or receiver in one operating condition [K].

    Attributes
    ----------
    condition : str
    needed_k : float
        With which the liquid just reaches the valve without vapor: of several refrigerants or rows the largest.
    assumed_k : float
        What limits count with there: the smallest, or the largest where it is not stated.
    is_stated : bool
        Whether the application states it there; else it follows from the liquid stated at the valve.
    """

    condition: str
    needed_k: float
    assumed_k: float
    is_stated: bool

    @property
    def is_unusual(self) -> bool:
        """Whether limits count with more than is usual, or more is needed."""
        return self.asked_k > USUAL_SUBCOOLING_K

    @property
    def asked_k(self) -> float:
        """What it takes there that the limits hold [K]: what follows from the liquid at the valve, or what is needed."""
        return self.needed_k if self.is_stated else float(np.fmax(self.assumed_k, self.needed_k))


def liquid_needs(members: Sequence[Solved], row: int | None = None) -> tuple[LiquidNeed, ...]:
    """What solved refrigerants need at each operating condition and full flow, at one row or over all of them.

    Parameters
    ----------
    members : sequence of Solved
        Of one application.
    row : int, optional
        Of the suction grid; without one the most that any row needs.

    Returns
    -------
    tuple of LiquidNeed
        One for each condition, in ascending head.
    """
    return tuple(_needs(members, row))


def _needs(members: Sequence[Solved], row: int | None) -> Iterator[LiquidNeed]:
    for condition in members[0].at_full_flow():
        states = [own.states[own.at_full_flow()[condition]].state for own in members]
        liquids = [_system(own).condition(condition.value).liquid for own in members]
        needed, assumed = (
            np.concatenate([getattr(s, name) if row is None else getattr(s, name)[row : row + 1] for s in states])
            for name in ("needed_subcooling_k", "condenser_subcooling_k")
        )
        is_stated = all(liquid.is_at_condenser for liquid in liquids)
        yield need_of(condition.value, needed, assumed, is_stated)


def need_of(
    condition: str, needed: Sequence[float] | Floats, assumed: Sequence[float] | Floats, is_stated: bool
) -> LiquidNeed:
    """The need of one condition from those of several refrigerants or rows [K]; NaN where none can be computed."""
    strictest = np.fmin if is_stated else np.fmax
    return LiquidNeed(
        condition=condition,
        needed_k=float(np.fmax.reduce(np.asarray(needed))),
        assumed_k=float(strictest.reduce(np.asarray(assumed))),
        is_stated=is_stated,
    )


def _system(own: Solved) -> SystemInputs:
    return own.application.systems[own.refrigerant.name]
