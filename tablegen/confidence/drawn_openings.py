"""The openings that a valve may use at every draw: stated limits, or the loop with the coil."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.confidence.drawn_states import DrawnState
from tablegen.physics import loop_equations as leq
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.physics.arrays import Bools, Floats
from tablegen.physics.loop import CoilDelays
from tablegen.physics.loop_travel import steady_at_gain, steady_with_controller
from tablegen.physics.system import SuperheatLimits
from tablegen.physics.windows import Valve

# Superheats looked at in the search for the smallest steady opening, and bisections between two: to a millionth of a kelvin.
_LOOKS, _HALVINGS = 12, 20


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnElement:
    """A thermostatic element as set, for every draw: arrays (draws, 1), or (1, 1) where no draw moves a value.

    Spring and gradient [Pa], unbalance [1], charge pressure over its curve [1], temperature of the MOP [K], None
    without one.
    """

    spring_pa: Floats
    gradient_pa: Floats
    unbalance: Floats
    charge_share: Floats
    limit_k: Floats | None


def openings(
    valve: Valve, element: DrawnElement | None, at: DrawnState, limits: SuperheatLimits
) -> tuple[Floats, Floats, Bools]:
    """Widest and narrowest opening of every draw, and whether the valve can use none.

    Parameters
    ----------
    valve : Valve
    element : DrawnElement or None
        None for a drive.
    at : DrawnState
    limits : SuperheatLimits

    Returns
    -------
    array, array, array
        (draws or 1, suction temperatures or 1): openings [1], and whether there is none.
    """
    widest, narrowest, is_shut = _stated_openings(valve, element, at, limits)
    if not valve.is_by_loop(limits):
        return widest, narrowest, is_shut
    actuator = valve.actuator
    # A parabola through the ends of a wide scatter may dip below nothing.
    coil = CoilDelays(
        difference_k=at.coil_difference_k,
        sensitivity=np.maximum(at.dry_transfer_units, 0.0),
        dead_time_s=np.maximum(at.dead_time_s, 0.0),
        front_lag_s=np.maximum(at.front_lag_s, 0.0),
        wall_lag_s=np.maximum(at.wall_lag_s, 0.0),
        wall_lead_s=np.maximum(at.wall_lead_s, 0.0),
    )
    rule = limits.stability
    if isinstance(actuator, ElectronicActuator):
        assert actuator.controller is not None
        root = steady_with_controller(
            coil, rule, actuator.controller, valve.characteristic, actuator.minimum, actuator.maximum
        )
        return widest, np.fmin(root, actuator.maximum), ~(root <= actuator.maximum)
    assert isinstance(actuator, ThermostaticActuator)
    assert element is not None
    assert actuator.bulb_time_constant_s is not None
    closing = _closing(actuator, element, at)

    def gain_at(superheat_k: Floats) -> tuple[Floats, Floats]:
        bulb_k = at.evaporating_temperature_k + superheat_k
        opening = _opening(actuator, element, closing, bulb_k)
        gain = leq.loop_gain(
            TD=coil.difference_k,
            SH=superheat_k,
            B=coil.sensitivity,
            l_c=valve.characteristic.relative_slope(opening),
            dp_b=_slope(actuator, element, bulb_k),
            p_grad=element.gradient_pa,
        )
        return opening, gain

    found = steady_at_gain(coil, rule, actuator.bulb_time_constant_s, gain_at, _LOOKS, _HALVINGS)
    opened = _opening(actuator, element, closing, at.evaporating_temperature_k + at.max_superheat_k)
    narrowest = np.maximum(found.opening, actuator.smallest_controlled)
    return widest, narrowest, ~(opened > narrowest) | ~(found.opening <= actuator.stop)


def _stated_openings(
    valve: Valve, element: DrawnElement | None, at: DrawnState, limits: SuperheatLimits
) -> tuple[Floats, Floats, Bools]:
    """Widest and narrowest opening of every draw, and whether the valve stays shut."""
    actuator = valve.actuator
    if isinstance(actuator, ElectronicActuator):
        return np.array([[actuator.maximum]]), np.array([[actuator.minimum]]), np.zeros((1, 1), dtype=np.bool_)
    assert isinstance(actuator, ThermostaticActuator)
    assert element is not None
    closing = _closing(actuator, element, at)
    opened = _opening(actuator, element, closing, at.evaporating_temperature_k + at.max_superheat_k)
    constant, *growing = limits.min_k
    min_k = limits.minimum(at.load_share) if any(growing) else constant
    floor = _opening(actuator, element, closing, at.evaporating_temperature_k + min_k)
    widest, narrowest = np.minimum(opened, actuator.widest), np.maximum(floor, actuator.min_stable)
    return widest, narrowest, ~(opened > narrowest)


def _opening(actuator: ThermostaticActuator, element: DrawnElement, closing_pa: Floats, bulb_k: Floats) -> Floats:
    """The force balance of every draw, without stops, against the pressure that closes."""
    curve = actuator.balance.charge.curve
    if element.limit_k is None:
        pressure = curve.pressure(bulb_k) * element.charge_share
    else:
        pressure = curve.pressure(np.minimum(bulb_k, element.limit_k)) * element.charge_share
        pressure = pressure * np.maximum(bulb_k / element.limit_k, 1.0)
    return np.asarray((pressure - closing_pa) / element.gradient_pa)


def _closing(actuator: ThermostaticActuator, element: DrawnElement, at: DrawnState) -> Floats:
    """What closes the valve but for its stroke, at every draw [Pa]."""
    under = at.outlet_pressure_pa if actuator.is_internally_equalized else at.evaporating_pressure_pa
    drop = at.inlet_pressure_pa - at.outlet_pressure_pa
    return np.asarray(under + element.spring_pa + element.unbalance * (drop - actuator.balance.reference_drop_pa))


def _slope(actuator: ThermostaticActuator, element: DrawnElement, bulb_k: Floats) -> Floats:
    """Slope of the bulb's pressure [Pa/K] at every draw."""
    curve = actuator.balance.charge.curve
    if element.limit_k is None:
        return np.asarray(curve.slope(bulb_k) * element.charge_share)
    of_gas = curve.pressure(element.limit_k) / element.limit_k
    of_curve = curve.slope(np.minimum(bulb_k, element.limit_k))
    return np.asarray(np.where(bulb_k > element.limit_k, of_gas, of_curve) * element.charge_share)
