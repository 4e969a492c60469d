"""Windows: the maximum and the minimum rated capacity that a valve handles at every condition.

    Q_max = min over e of  Kv(phi_max(T_e, e)) / D(e)
    Q_min = max over e of  Kv(phi_min(T_e, e)) / D(e)

Both scale with rated Kv, so a window is found once, per m3/h of rated Kv, and is valid for every size.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.physics import equations as eq
from tablegen.physics.actuators import Actuator, Travel
from tablegen.physics.arrays import Bools, Floats, Names, bounded
from tablegen.physics.reasons import Reason
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import Stability, SuperheatLimits
from tablegen.physics.valve import OpeningCharacteristic
from tablegen.wording import input_errors as wording


@dataclass(frozen=True, slots=True)
class Valve:
    """A family with one actuator: opening characteristic and the pressures it bears [Pa]."""

    actuator: Actuator
    characteristic: OpeningCharacteristic
    working_pressure_pa: float
    allowed_differential_pa: float

    @property
    def open_share(self) -> float:
        """Share of time [1] in which the flow of the maximum load passes: below 1 for a pulse-modulated valve."""
        return self.actuator.open_share

    def is_by_loop(self, superheat: SuperheatLimits) -> bool:
        """Whether the loop with the coil gives its minimum openings; what the family says goes first."""
        return (self.actuator.stability or superheat.stability.method) is Stability.LOOP

    def travel(self, state: State, superheat: SuperheatLimits, load_share: Floats) -> Travel:
        """Openings at a state, given the superheat limits and the evaporator's load over the rated capacity."""
        found = self.actuator.travel(state, superheat, load_share)
        if not self.is_by_loop(superheat):
            return found
        return self.actuator.steady_travel(state, superheat, found, self.characteristic)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Windows along the suction grid per m3/h of rated Kv: loads [W], what set them, NaN with a reason where empty."""

    min_load_w: Floats
    max_load_w: Floats
    min_condition: Names
    max_condition: Names
    min_reason: Names
    max_reason: Names

    @property
    def is_open(self) -> Bools:
        """Where the window covers some load."""
        return np.isfinite(self.min_load_w) & np.isfinite(self.max_load_w)


def window(
    valve: Valve, solved: Sequence[SolvedState], required_kvs: Sequence[Floats], superheat: SuperheatLimits
) -> Window:
    """The window over every given state.

    Parameters
    ----------
    valve : Valve
    solved : sequence of SolvedState
        Arrays (suction temperatures,).
    required_kvs : sequence of array (suction temperatures,)
        D of each state [m3/h per W].
    superheat : SuperheatLimits

    Returns
    -------
    Window
        Loads along the suction grid [W for each m3/h of rated Kv].  Where a state forbids the valve both are NaN, and
        both reasons name why; of several states, the first in the order given.
    """
    found = limits(valve, solved, required_kvs, superheat)
    return _empty(found, found.is_open & (found.min_load_w >= found.max_load_w))


def limits(
    valve: Valve, solved: Sequence[SolvedState], required_kvs: Sequence[Floats], superheat: SuperheatLimits
) -> Window:
    """As `window`, but limits that cross are not emptied: what bounds a load from below and from above.

    Parameters
    ----------
    valve : Valve
    solved : sequence of SolvedState
        Arrays (suction temperatures,); for a pulse-modulated valve also those at its open flow, which alone limit its
        maximum load.
    required_kvs : sequence of array (suction temperatures,)
        D of each state [m3/h per W].
    superheat : SuperheatLimits

    Returns
    -------
    Window
        Loads along the suction grid [W for each m3/h of rated Kv].

    Raises
    ------
    ValueError
        If states are to limit the maximum load of a pulse-modulated valve and none is at its open flow.
    """
    serving = [s.open_share for s in solved if s.side.serves_max]
    if serving and valve.open_share not in serving:
        raise ValueError(wording.NO_OPEN_FLOW())
    travels = tuple(valve.travel(s.state, superheat, load_share(s)) for s in solved)
    shape = required_kvs[0].shape
    maximum = _Limit(shape, np.minimum, np.inf)
    minimum = _Limit(shape, np.maximum, -np.inf)
    block, block_at = np.full(shape, None, dtype=object), np.full(shape, None, dtype=object)
    for item, required_kv, travel in zip(solved, required_kvs, travels, strict=True):
        if item.open_share not in (1.0, valve.open_share):
            raise ValueError(wording.OTHER_OPEN_FLOW())
        if item.side.serves_max and item.open_share == valve.open_share:
            # While it passes a flow that it passes in a share of time, a valve is open for all that its duty opens it.
            opening = bounded(travel.maximum / item.open_share, 0.0, valve.characteristic.stop)
            share = valve.characteristic.share(opening)
            maximum.take(eq.load_per_kv(c=share, D=required_kv), item.condition, travel.max_reason)
        if item.open_share == 1.0:
            # At every state: where the minimum stable superheat grows with load, full flow may bind the minimum load.
            share = valve.characteristic.share(bounded(travel.minimum, 0.0, valve.characteristic.stop))
            minimum.take(eq.load_per_kv(c=share, D=required_kv), item.condition, travel.min_reason)
        why = _obstacle(valve, item, travel, required_kv)
        fresh = (block == None) & (why != None)  # noqa: E711 - elementwise over object arrays
        block[fresh], block_at[fresh] = why[fresh], item.condition
    return _close(maximum, minimum, block, block_at)


def reason_under_law(item: SolvedState, required_kv: Floats) -> Names:
    """Why a state cannot be used under a flow law, None where it can.

    Parameters
    ----------
    item : SolvedState
    required_kv : array of the states' shape
        D under the law [m3/h per W]: of a state without a reason of its own it is NaN outside the law's range alone.

    Returns
    -------
    array of Reason or None
    """
    outside = (item.reason == None) & ~np.isfinite(required_kv)  # noqa: E711 - elementwise over an object array
    return np.where(outside, np.full(outside.shape, Reason.FLOW_LAW_RANGE, dtype=object), item.reason)


def load_share(item: SolvedState) -> Floats:
    """The evaporator's load at a state over the rated capacity [1]: the mean flow counts, not that of the open phase.

    Parameters
    ----------
    item : SolvedState
        Arrays (states,).

    Returns
    -------
    array (states,) [1]
    """
    state = item.state
    return state.capacity_ratio * (state.flow_share / state.flow_ratio) * item.open_share


def stricter(first: Window, second: Window) -> Window:
    """The narrower of two windows, limit by limit; empty if either is, or if the limits then cross.

    Parameters
    ----------
    first, second : Window
        Along one suction grid [W for each m3/h of rated Kv].

    Returns
    -------
    Window
        [W for each m3/h of rated Kv].
    """
    use_min = ~(first.min_load_w >= second.min_load_w)
    use_max = ~(first.max_load_w <= second.max_load_w)
    for chosen in (use_min, use_max):
        chosen[~first.is_open] = False
        chosen[first.is_open & ~second.is_open] = True

    def choose(use: Bools, a: Floats | Names, b: Floats | Names) -> Floats | Names:
        return np.where(use, b, a)

    joined = Window(
        min_load_w=choose(use_min, first.min_load_w, second.min_load_w),
        max_load_w=choose(use_max, first.max_load_w, second.max_load_w),
        min_condition=choose(use_min, first.min_condition, second.min_condition),
        max_condition=choose(use_max, first.max_condition, second.max_condition),
        min_reason=choose(use_min, first.min_reason, second.min_reason),
        max_reason=choose(use_max, first.max_reason, second.max_reason),
    )
    crossed = joined.is_open & (joined.min_load_w >= joined.max_load_w)
    return _empty(joined, crossed)


def no_window(shape: tuple[int, ...], reason: Reason) -> Window:
    """A window that is empty everywhere for one reason.

    Parameters
    ----------
    shape : tuple of int
        That of the suction grid.
    reason : Reason

    Returns
    -------
    Window
    """
    nan, why = np.full(shape, np.nan), np.full(shape, reason, dtype=object)
    none = np.full(shape, None, dtype=object)
    return Window(
        min_load_w=nan,
        max_load_w=nan.copy(),
        min_condition=none,
        max_condition=none.copy(),
        min_reason=why,
        max_reason=why.copy(),
    )


class _Limit:
    """The tightest value so far at each grid position, with where and why."""

    def __init__(self, shape: tuple[int, ...], stricter: np.ufunc, start: float) -> None:
        self.load = np.full(shape, start)
        self.condition = np.full(shape, None, dtype=object)
        self.reason = np.full(shape, None, dtype=object)
        self._stricter = stricter

    def take(self, load: Floats, condition: object, reason: Names) -> None:
        wins = self._stricter(load, self.load) != self.load
        self.load = np.where(wins, load, self.load)
        self.condition[wins], self.reason[wins] = condition, reason[wins]


def _obstacle(valve: Valve, item: SolvedState, travel: Travel, required_kv: Floats) -> Names:
    """Why the valve may not work at a state, the most basic reason first; None where it may."""
    why = travel.empty.copy()
    # A closed valve has no losses upstream and downstream: it withstands head minus evaporator pressure.
    inlet = np.maximum(item.state.head_pressure_pa, item.state.inlet_pressure_pa)
    differential = inlet - item.state.evaporating_pressure_pa
    why[differential > valve.allowed_differential_pa] = Reason.OVER_DIFFERENTIAL
    why[item.state.head_pressure_pa > valve.working_pressure_pa] = Reason.OVER_PRESSURE
    own = reason_under_law(item, required_kv)
    stated = own != None  # noqa: E711 - elementwise over an object array
    why[stated] = own[stated]
    return why


def _close(maximum: _Limit, minimum: _Limit, block: Names, block_at: Names) -> Window:
    """Empty the window where a state forbids it."""
    forbidden = block != None  # noqa: E711 - elementwise over an object array
    for limit in (maximum, minimum):
        limit.load = np.where(forbidden, np.nan, limit.load)
        limit.condition[forbidden], limit.reason[forbidden] = block_at[forbidden], block[forbidden]
    return Window(
        min_load_w=minimum.load,
        max_load_w=maximum.load,
        min_condition=minimum.condition,
        max_condition=maximum.condition,
        min_reason=minimum.reason,
        max_reason=maximum.reason,
    )


def _empty(found: Window, crossed: Bools) -> Window:
    """Empty the crossed rows; the operating conditions stay, for they say which conditions pull apart."""
    return Window(
        min_load_w=np.where(crossed, np.nan, found.min_load_w),
        max_load_w=np.where(crossed, np.nan, found.max_load_w),
        min_condition=found.min_condition,
        max_condition=found.max_condition,
        min_reason=np.where(crossed, Reason.CROSSED, found.min_reason),
        max_reason=np.where(crossed, Reason.CROSSED, found.max_reason),
    )
