"""Windows: the maximum and the minimum rated capacity that a valve handles at every condition.

    Q_max = min over e of  Kv(phi_max(T_e, e)) / D(e)
    Q_min = max over e of  Kv(phi_min(T_e, e)) / D(e)

Both scale with rated Kv, so a window is found once, per m3/h of rated Kv, and is valid for every size.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from tablegen.physics import equations as eq
from tablegen.physics.arrays import Bools, Floats, Names, bounded
from tablegen.physics.conditions import SolvedState, State
from tablegen.physics.loop import CoilDelays, Controller, SmallestSteady
from tablegen.physics.loop_travel import steady_with_bulb, steady_with_controller
from tablegen.physics.reasons import Reason
from tablegen.physics.system import Stability, SuperheatLimits
from tablegen.physics.valve import ForceBalance, OpeningCharacteristic
from tablegen.wording import input_errors as wording

# What a search for the root of the loop leaves of no superheat.
_NO_SUPERHEAT_K = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Travel:
    """Openings that a valve may use at a state, share of rated stroke [1], and what bounds each.

    `empty` gives the reason where it may use none, None elsewhere.
    """

    maximum: Floats
    minimum: Floats
    max_reason: Names
    min_reason: Names
    empty: Names


class Actuator(Protocol):
    """What moves the valve: it decides the openings that a state allows."""

    @property
    def open_share(self) -> float:
        """Share of time [1] in which the flow of the maximum load passes."""
        ...

    def travel(self, state: State, superheat: SuperheatLimits, load_share: Floats) -> Travel:
        """Openings at a state, given the superheat limits and the evaporator's load over the rated capacity."""
        ...

    @property
    def stability(self) -> Stability | None:
        """What its family says gives the minimum opening; None where the application decides."""
        ...

    def steady_travel(
        self, state: State, superheat: SuperheatLimits, found: Travel, characteristic: OpeningCharacteristic
    ) -> Travel:
        """Openings `found` at a state with the minimum that the loop with the coil gives."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class ThermostaticActuator:
    """A thermostatic element: force balance, mechanical stop, minimum stable opening [1].

    `reserve_in_limits` is the share [1] of the reserve between rated stroke and the stop that maximum loads may use.
    Where the loop with the coil gives the minimum, `bulb_time_constant_s` [s] and `smallest_controlled` [1], what port
    and seat still control, take the place of the minimum stable opening; `stability` is what the family says of that.
    `evaporating_k` bounds the evaporating temperatures [K] that its charge is meant for;
    `is_internally_equalized` puts p_2 under the diaphragm instead of p_e.
    """

    balance: ForceBalance
    stop: float
    min_stable: float
    evaporating_k: tuple[float, float]
    is_internally_equalized: bool = False
    reserve_in_limits: float = 0.0
    smallest_controlled: float = 0.05
    bulb_time_constant_s: float | None = None
    stability: Stability | None = None

    @property
    def open_share(self) -> float:
        """All the time: the valve modulates."""
        return 1.0

    @property
    def widest(self) -> float:
        """The opening that maximum loads may use at most, share of rated stroke [1]."""
        return float(eq.sizing_stroke(r_lim=self.reserve_in_limits, phi_stop=self.stop))

    def under(self, state: State) -> Floats:
        """Pressure under the diaphragm [Pa]."""
        return state.outlet_pressure_pa if self.is_internally_equalized else state.evaporating_pressure_pa

    def travel(self, state: State, superheat: SuperheatLimits, load_share: Floats) -> Travel:
        """Openings between the minimum stable superheat and the maximum allowed."""
        te = state.evaporating_temperature_k
        under, drop = self.under(state), state.pressure_drop_pa
        max_k = superheat.maximum(state)
        opened = self.balance.opening(te + max_k, under, drop)
        floor = self.balance.opening(te + superheat.minimum(load_share), under, drop)
        maximum = eq.max_opening(phi_sh=opened, phi_size=self.widest)
        minimum = eq.min_opening(phi_sh=floor, phi_stable=self.min_stable)
        is_above = self.balance.charge.is_above_limit(te + max_k)
        at_end = Reason.STOP if self.reserve_in_limits == 1.0 else Reason.RATED_STROKE
        max_reason = _pick(opened >= self.widest, at_end, np.where(is_above, Reason.MOP, Reason.SUPERHEAT))
        min_reason = _pick(floor > self.min_stable, Reason.FLOODBACK, Reason.STABILITY)
        empty = np.full(te.shape, None, dtype=object)
        shut = ~(opened > minimum)
        empty[shut] = np.where(is_above, Reason.ABOVE_MOP, Reason.STAYS_CLOSED)[shut]
        empty[self._is_off_charge(te) | ~np.isfinite(opened) | ~np.isfinite(floor)] = Reason.CHARGE_RANGE
        return Travel(maximum=maximum, minimum=minimum, max_reason=max_reason, min_reason=min_reason, empty=empty)

    def steady(self, state: State, superheat: SuperheatLimits, characteristic: OpeningCharacteristic) -> SmallestSteady:
        """The smallest opening [1] at which the loop with the coil is steady, and the superheat there [K], at a state."""
        assert self.bulb_time_constant_s is not None
        return steady_with_bulb(
            coil_delays(state),
            superheat.stability,
            self.bulb_time_constant_s,
            self.balance,
            characteristic,
            state.evaporating_temperature_k,
            self.under(state),
            state.pressure_drop_pa,
        )

    def steady_travel(
        self, state: State, superheat: SuperheatLimits, found: Travel, characteristic: OpeningCharacteristic
    ) -> Travel:
        """Openings from the smallest at which the loop with the coil is steady, at least the smallest controlled."""
        te, max_k = state.evaporating_temperature_k, superheat.maximum(state)
        steady = self.steady(state, superheat, characteristic)
        root = steady.opening
        opened = self.balance.opening(te + max_k, self.under(state), state.pressure_drop_pa)
        minimum = eq.min_opening(phi_sh=root, phi_stable=self.smallest_controlled)
        by_loop = root > self.smallest_controlled
        empty = np.full(te.shape, None, dtype=object)
        empty[root > self.stop] = Reason.ALWAYS_HUNTS
        shut = ~(opened > minimum)
        why = _pick(by_loop, Reason.ALWAYS_HUNTS, Reason.STAYS_CLOSED)
        empty[shut] = np.where(self.balance.charge.is_above_limit(te + max_k), Reason.ABOVE_MOP, why)[shut]
        empty[self._is_off_charge(te) | ~np.isfinite(opened) | ~np.isfinite(root)] = Reason.CHARGE_RANGE
        # Steady down to no superheat: below that it floods back.
        is_flooding = steady.superheat_k < _NO_SUPERHEAT_K
        min_reason = _pick(by_loop, Reason.HUNTS, Reason.STABILITY)
        min_reason[by_loop & is_flooding] = Reason.FLOODBACK
        return replace(found, minimum=minimum, min_reason=min_reason, empty=empty)

    def _is_off_charge(self, te: Floats) -> Bools:
        # A temperature written in degF and one in kelvin may differ in the last digit.
        slack = 1e-9 * te
        return np.asarray((te < self.evaporating_k[0] - slack) | (te > self.evaporating_k[1] + slack))


@dataclass(frozen=True, slots=True)
class ElectronicActuator:
    """An electronic drive: the maximum and the minimum opening, or duty, that control uses [1]; no force balance.

    `controller` is what moves it where the loop with the coil gives the minimum; `stability` what the family says of that.
    """

    maximum: float
    minimum: float
    max_reason: Reason = Reason.CONTROL_RESERVE
    min_reason: Reason = Reason.MIN_STEP
    controller: Controller | None = None
    stability: Stability | None = None

    @property
    def open_share(self) -> float:
        """A pulse-modulated valve passes its flow at maximum load in the maximum duty, any other all the time."""
        return self.maximum if self.max_reason is Reason.MAX_DUTY else 1.0

    def travel(self, state: State, superheat: SuperheatLimits, load_share: Floats) -> Travel:
        """The same openings at every state."""
        shape = state.evaporating_temperature_k.shape
        return Travel(
            maximum=np.full(shape, self.maximum),
            minimum=np.full(shape, self.minimum),
            max_reason=np.full(shape, self.max_reason, dtype=object),
            min_reason=np.full(shape, self.min_reason, dtype=object),
            empty=np.full(shape, None, dtype=object),
        )

    def steady_travel(
        self, state: State, superheat: SuperheatLimits, found: Travel, characteristic: OpeningCharacteristic
    ) -> Travel:
        """Openings from the smallest at which the loop with the coil is steady, at least the minimum of the drive."""
        assert self.controller is not None
        root = steady_with_controller(
            coil_delays(state), superheat.stability, self.controller, characteristic, self.minimum, self.maximum
        )
        empty = found.empty.copy()
        empty[~(root <= self.maximum)] = Reason.ALWAYS_HUNTS
        min_reason = _pick(root > self.minimum, Reason.HUNTS, self.min_reason)
        return replace(found, minimum=np.fmin(root, self.maximum), min_reason=min_reason, empty=empty)


def coil_delays(state: State) -> CoilDelays:
    """What of a state's coil bears on when the loop hunts.

    Parameters
    ----------
    state : State

    Returns
    -------
    CoilDelays
        Arrays of the state's shape, in SI.
    """
    return CoilDelays(
        difference_k=state.coil_difference_k,
        sensitivity=state.dry_transfer_units,
        dead_time_s=state.dead_time_s,
        front_lag_s=state.front_lag_s,
        wall_lag_s=state.wall_lag_s,
        wall_lead_s=state.wall_lead_s,
    )


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
    array (states,)
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


def _pick(test: Bools, yes: Reason, no: Reason | Names) -> Names:
    return np.where(test, np.full(test.shape, yes, dtype=object), no)
