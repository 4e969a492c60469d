"""A thermostatic valve at a state of a system: which load needs which opening, at which superheat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.errors import RequestError
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import Solved, law_of, unit_window
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import OperatingCondition, SuctionResponse
from tablegen.physics.valve import OpeningCharacteristic
from tablegen.physics.windows import Valve
from tablegen.wording import hunt as wording
from tablegen.wording import terms


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveAtState:
    """A valve at a state of a system; `load_per_share_w` is the load [W] for each unit of rated Kv's share."""

    member: Solved
    valve: Valve
    actuator: ThermostaticActuator
    item: SolvedState
    load_per_share_w: float

    @property
    def state(self) -> State:
        """Arrays of one state."""
        return self.item.state

    @property
    def characteristic(self) -> OpeningCharacteristic:
        """Of the valve."""
        return self.valve.characteristic

    def opening(self, load_w: float) -> float:
        """The opening [1] that a load [W] needs; NaN beyond the stop."""
        return float(self.characteristic.opening(np.asarray(load_w / self.load_per_share_w)))

    def load_w(self, opening: float) -> float:
        """The load [W] that an opening [1] covers."""
        return float(self.characteristic.share(np.asarray(opening))) * self.load_per_share_w

    def superheat(self, opening: float) -> float:
        """Superheat [K] at an opening [1]."""
        state = self.state
        under = self.actuator.under(state)
        found = self.actuator.balance.superheat(
            np.asarray([opening]), state.evaporating_temperature_k, under, state.pressure_drop_pa
        )
        return float(found[0])

    def opening_at(self, superheat_k: float) -> float:
        """The opening [1] at a superheat [K], not bounded by the stop."""
        state = self.state
        bulb = state.evaporating_temperature_k + superheat_k
        return float(self.actuator.balance.opening(bulb, self.actuator.under(state), state.pressure_drop_pa)[0])


def valve_at(
    catalogue: Catalogue, member: Solved, family: str, size: str, condition: OperatingCondition
) -> tuple[ValveAtState, str]:
    """A valve at an operating condition, and the name of its charge.

    Raises
    ------
    RequestError
        If it is not thermostatic or has no charge, the suction is not constant, or the state cannot be used.
    """
    own = catalogue.families[family]
    part, refrigerant = own.with_design_of(size), member.refrigerant.name
    charge, valve, _ = unit_window(part, member)
    if valve is None:
        raise RequestError(wording.NO_CHARGE(family=own.display_name, refrigerant=refrigerant))
    if not isinstance(valve.actuator, ThermostaticActuator):
        raise RequestError(wording.NOT_THERMOSTATIC(valve=catalogue.valve_name(family, size)))
    if member.system.response is SuctionResponse.BALANCED:
        raise RequestError(wording.NOT_CONSTANT(application=member.application.name))
    index = member.at_full_flow()[condition]
    item = member.states[index]
    if item.reason[0] is not None:
        at_condition, why = terms.condition(condition.value), terms.reason(str(item.reason[0]))
        raise RequestError(wording.NO_STATE(refrigerant=refrigerant, condition=at_condition, reason=why))
    kv_m3h = next(s.kv_rated_m3h for s in part.sizes if s.name == size)
    required = float(member.required_kvs[law_of(part).key][index][0])
    at = ValveAtState(
        member=member, valve=valve, actuator=valve.actuator, item=item, load_per_share_w=kv_m3h / required
    )
    return at, charge
