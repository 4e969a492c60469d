"""What a system needs of its valve at a state, and what the valve then does: required Kv, opening, superheat, zone."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.arrays import Floats, Names
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw, effective_pressure_drop, required_flow_coefficient
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import SuperheatLimits
from tablegen.physics.windows import Valve, load_share
from tablegen.wording import input_errors as wording


class Zone(StrEnum):
    """What a load means to a valve at a head."""

    STEADY = "steady"
    STARVED = "starved"
    FLOODING = "flooding"
    HUNTS = "hunts"
    NOT_WORKING = "not_working"


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """Arrays of one shape: opening [1] (NaN beyond the stop), superheat [K] (NaN for a drive), zone."""

    opening: Floats
    superheat_k: Floats
    zone: Names


def operating_superheat(valve: Valve, item: SolvedState, required_kv: Floats, load_w: Floats) -> Floats:
    """Superheat at which a valve of Kv 1 m3/h covers a load at a state.

    Parameters
    ----------
    valve : Valve
    item : SolvedState
        Arrays (states,).
    required_kv : array (states,)
        D of the states [m3/h per W].
    load_w : array (states,)
        Load at the rating point [W].

    Returns
    -------
    array (states,)
        [K]; NaN where the state forbids the valve, the load is beyond the stop, or the valve is not thermostatic.
    """
    return _superheat(valve, item, valve.characteristic.opening(load_w * required_kv))


def operating_point(
    valve: Valve,
    item: SolvedState,
    required_kv: Floats,
    load_w: Floats,
    limits: SuperheatLimits,
    opened: tuple[SolvedState, Floats] | None = None,
) -> OperatingPoint:
    """Opening, superheat and zone of a valve of Kv 1 m3/h at a load and a state.

    Parameters
    ----------
    valve : Valve
    item : SolvedState
        Arrays (states,).
    required_kv : array (states,)
        D of the states [m3/h per W].
    load_w : array (states,)
        Load at the rating point [W].
    limits : SuperheatLimits
    opened : tuple of SolvedState and array (states,), optional
        Of a pulse-modulated valve the same states at its open flow, with their D [m3/h per W].

    Returns
    -------
    OperatingPoint
        Arrays (states,): opening [1], of a pulse-modulated valve the duty with the losses of its open flow at maximum
        duty; superheat [K]; zone.

    Raises
    ------
    ValueError
        If a pulse-modulated valve is asked for without the states at its open flow.
    """
    mean = valve.characteristic.opening(load_w * required_kv)
    opening, reasons = mean, item.reason
    if valve.open_share != 1.0:
        if opened is None:
            raise ValueError(wording.NO_OPEN_FLOW())
        opening = valve.characteristic.opening(load_w * opened[1] * opened[0].open_share)
        reasons = np.where(reasons == None, opened[0].reason, reasons)  # noqa: E711 - elementwise over an object array
    superheat = _superheat(valve, item, opening)
    travel = valve.travel(item.state, limits, load_share(item))
    zone = np.full(opening.shape, Zone.STEADY, dtype=object)
    is_floodback = travel.min_reason == Reason.FLOODBACK
    # Limits are met to the last digit by the loads that they set.
    slack = 1e-9
    low = mean < travel.minimum * (1.0 - slack)
    zone[low & is_floodback] = Zone.FLOODING
    zone[low & ~is_floodback] = Zone.HUNTS
    zone[~(opening <= travel.maximum * (1.0 + slack))] = Zone.STARVED
    demanded = required_kv if opened is None else required_kv + opened[1]
    forbidden = (reasons != None) | ~np.isfinite(demanded)  # noqa: E711 - elementwise over an object array
    zone[forbidden] = Zone.NOT_WORKING
    return OperatingPoint(opening, superheat, zone)


def _superheat(valve: Valve, item: SolvedState, opening: Floats) -> Floats:
    actuator = valve.actuator
    if not isinstance(actuator, ThermostaticActuator):
        return np.full(opening.shape, np.nan)
    state = item.state
    return actuator.balance.superheat(
        opening, state.evaporating_temperature_k, actuator.under(state), state.pressure_drop_pa
    )


def effective_drop(
    state: State,
    refrigerant: Refrigerant,
    law: FlowLaw,
    pressure_recovery: float,
    discharge: DischargeCoefficient | None = None,
) -> Floats:
    """Pressure drop that drives the flow at each state.

    Parameters
    ----------
    state : State
        Arrays (states,).
    refrigerant : Refrigerant
    law : FlowLaw
    pressure_recovery : float
        F_L [1]; used by the choked law alone.
    discharge : DischargeCoefficient, optional
        Used by the law of its name alone.

    Returns
    -------
    array (states,)
        [Pa]; NaN outside the range of the law.
    """
    return effective_pressure_drop(
        law,
        state.pressure_drop_pa,
        state.inlet_pressure_pa,
        # Where vapor has formed upstream of the port, the liquid boils at the pressure that it has there.
        np.minimum(state.liquid_bubble_pressure_pa, state.inlet_pressure_pa),
        refrigerant.critical_pressure_pa,
        pressure_recovery,
        discharge,
    )


def flow_per_watt(state: State, rated: State) -> Floats:
    """Mass flow of refrigerant for each watt of rated capacity.

    Parameters
    ----------
    state : State
        Arrays (states,).
    rated : State
        The rating point of each state.

    Returns
    -------
    array (states,)
        [kg/s per W].
    """
    return state.flow_share / rated.rating_effect_j_kg


def required_kv_per_watt(
    solved: SolvedState,
    rated: State,
    refrigerant: Refrigerant,
    law: FlowLaw,
    pressure_recovery: float,
    discharge: DischargeCoefficient | None = None,
) -> Floats:
    """Kv required per watt of rated capacity.

    It depends on no size: with m_rated = Q / (h_v - h_l,rated) and m = f m_rated, Kv is linear in Q.

    Parameters
    ----------
    solved : SolvedState
        Arrays (states,).
    rated : State
        The rating point of each state.
    refrigerant : Refrigerant
    law : FlowLaw
    pressure_recovery : float
        F_L [1]; used by the choked law alone.
    discharge : DischargeCoefficient, optional
        Used by the law of its name alone.

    Returns
    -------
    array (states,)
        D [m3/h per W]; NaN where the state has a reason, or is outside the range of the law.
    """
    state = solved.state
    drop = effective_drop(state, refrigerant, law, pressure_recovery, discharge)
    required_kv = required_flow_coefficient(flow_per_watt(state, rated), state.inlet_density_kg_m3, drop)
    return np.where(solved.reason == None, required_kv, np.nan)  # noqa: E711 - elementwise over an object array
