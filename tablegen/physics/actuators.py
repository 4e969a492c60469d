"""What moves a valve: the openings that it allows at a state, with a force balance, a drive, or the loop with the coil."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from tablegen.physics import valve_equations as veq
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.loop import CoilDelays, Controller
from tablegen.physics.loop_travel import steady_with_bulb, steady_with_controller
from tablegen.physics.reasons import Reason
from tablegen.physics.state import State
from tablegen.physics.steady_opening import SmallestSteady
from tablegen.physics.system import Stability, SuperheatLimits
from tablegen.physics.valve import ForceBalance, OpeningCharacteristic

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
        return float(veq.sizing_stroke(r_lim=self.reserve_in_limits, phi_stop=self.stop))

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
        maximum = veq.max_opening(phi_sh=opened, phi_size=self.widest)
        minimum = veq.min_opening(phi_sh=floor, phi_stable=self.min_stable)
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
        minimum = veq.min_opening(phi_sh=root, phi_stable=self.smallest_controlled)
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


@dataclass(frozen=True, slots=True, kw_only=True)
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


def _pick(test: Bools, yes: Reason, no: Reason | Names) -> Names:
    return np.where(test, np.full(test.shape, yes, dtype=object), no)
