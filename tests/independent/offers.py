"""What a valve offers at one state: its maximum and minimum load, and what sets them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from .fluid import Fluid
from .law import required_kv_per_watt
from .loop import electronic_root, thermostatic_root
from .reading import number
from .states import State
from .valve import Charge, Family


@dataclass
class Offer:
    """Loads per m3/h of rated Kv [kW] at a state with what sets them, or why there are none."""

    state: State
    required_kv: float
    maximum: float = math.nan
    minimum: float = math.nan
    max_reason: str = ""
    min_reason: str = ""
    refused: str = ""
    open_refused: str = ""


class Offers:
    """A family with a refrigerant in an application."""

    def __init__(
        self,
        family: Family,
        charge: Charge | None,
        application: Mapping[str, Any],
        fluid: Fluid,
        opened: Callable[[State, float], State] = lambda state, duty: state.rating.open_phase(state, duty),
    ) -> None:
        self._opened = opened
        self.family, self.charge, self.application, self.fluid = family, charge, application, fluid
        self.working_pressure = family.working_pressure_gauge + number(application["site_pressure"])
        stated = application.get("stability", {}).get("method", "constant")
        self.is_loop = family.config.get("stability", stated) == "loop"

    def at(self, state: State) -> Offer:
        """What is offered at a state."""
        family = self.family
        made = Offer(state, self._required_kv(state))
        # What a shut valve has across it: nothing flows, so nothing is lost upstream and downstream.
        differential = max(state.head_pressure_pa, state.inlet_pressure_pa) - state.evaporating_pressure_pa
        if state.reason:
            made.refused = state.reason
        elif not family.law.covers_state(state, self.fluid.p_critical):
            made.refused = "flow_law_range"
        elif state.head_pressure_pa > self.working_pressure:
            made.refused = "over_pressure"
        elif differential > family.allowed_differential:
            made.refused = "over_differential"
        elif self.charge is None:
            self._electronic(made)
        else:
            self._thermostatic(made, self.charge)
        return made

    def _required_kv(self, state: State) -> float:
        drop = self.family.law.at(state, self.fluid.p_critical)
        return required_kv_per_watt(state, drop, state.rated_effect)

    def _loads(self, made: Offer, minimum: float, maximum: float) -> None:
        share = self.family.characteristic.share
        made.minimum, made.maximum = share(minimum) / made.required_kv, share(maximum) / made.required_kv

    def _electronic(self, made: Offer) -> None:
        family, state = self.family, made.state
        made.max_reason, made.min_reason = family.reasons
        smallest = family.minimum
        if self.is_loop:
            root = electronic_root(state.rating.coil, family, state)
            if math.isinf(root):
                made.refused = "always_hunts"
                return
            if root > smallest:
                smallest, made.min_reason = root, "hunts"
        self._loads(made, smallest, family.maximum)
        if family.drive != "pulse" or state.limit not in ("both", "max"):
            return
        # While it is open it passes the open flow, and all losses with it.
        opened = self._opened(state, family.maximum)
        if opened.reason:
            made.open_refused = opened.reason
        elif not family.law.covers_state(opened, self.fluid.p_critical):
            made.open_refused = "flow_law_range"
        else:
            made.maximum = 1.0 / self._required_kv(opened)

    def _thermostatic(self, made: Offer, charge: Charge) -> None:
        family, state = self.family, made.state
        t_e = state.evaporating_temperature_k
        if not charge.evaporating[0] - 1e-9 <= t_e <= charge.evaporating[1] + 1e-9:
            made.refused = "charge_range"
            return
        most = state.max_superheat_k
        widest = charge.opening(state, most, family.is_internal)
        floor, floor_reason = family.stable, "stability"
        if self.is_loop:
            floor = family.seat
            at_min, least = thermostatic_root(state.rating.coil, family, charge, state)
            min_reason = "hunts" if least else "floodback"
        else:
            least = min_superheat(self.application["superheat"], state)
            at_min, min_reason = charge.opening(state, least, family.is_internal), "floodback"
        if math.isnan(widest) or math.isnan(at_min):
            made.refused = "charge_range"
            return
        is_above = t_e + most > charge.t_limit
        minimum = max(floor, at_min)
        if math.isinf(minimum) and widest > family.stop:
            made.refused = "always_hunts"
            return
        if widest <= minimum:
            is_hunting = self.is_loop and at_min > floor
            made.refused = "above_mop" if is_above else "always_hunts" if is_hunting else "stays_closed"
            return
        self._loads(made, min(minimum, family.stop), min(widest, family.widest))
        made.max_reason = family.widest_reason if widest >= family.widest else "mop" if is_above else "superheat"
        made.min_reason = min_reason if at_min > floor else floor_reason


def min_superheat(limits: Mapping[str, Any], state: State) -> float:
    """SH_mss [K] at the evaporator load of a state."""
    if "minimum_stable" in limits:
        return number(limits["minimum_stable"])
    line = limits["minimum_stable_line"]
    a, b, c = (number(line[key]) for key in ("constant", "linear", "quadratic"))
    q = state.step * state.capacity_ratio
    return a + b * q + c * q * q
