"""Least and greatest load of a valve for every draw of what scatters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.catalogue.inputs import Family, Trim
from tablegen.catalogue.scatter.draws import Draws, Scatter, Source
from tablegen.catalogue.scatter.system import Felt, Parabolas
from tablegen.physics.arrays import Bools, Floats
from tablegen.physics.envelope import SuperheatLimits
from tablegen.physics.flow import effective_pressure_drop
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.windows import ElectronicActuator, ThermostaticActuator

_SECONDS_PER_HOUR, _WATER_KG_M3, _BAR_PA = 3600.0, 1000.0, 1.0e5


@dataclass(frozen=True, slots=True)
class Element:
    """A set thermostatic element for every draw, arrays (n, 1).

    Spring and gradient [Pa], unbalance [1], charge pressure over its curve [1], temperature of the MOP [K], infinite
    without one.
    """

    spring_pa: Floats
    gradient_pa: Floats
    unbalance: Floats
    charge_share: Floats
    limit_k: Floats


def drawn_element(
    trim: Trim, actuator: ThermostaticActuator, setting_refrigerant: Refrigerant, is_own: bool, scatter: Scatter, draws:
    Draws
) -> Element:
    """The element that each draw leaves the factory with.

    p_spring0 = p_bulb(T_b0) - p_dew(T_b0 - SS) and p_grad = p_bulb(T_b0 + OS) - p_bulb(T_b0), with the drawn charge,
    static and opening superheat, and dew pressure of the setting refrigerant; on the refrigerant that it is set with
    (`is_own`) that pressure is off by the same share in the evaporator.
    """
    setting, balance = trim.setting, actuator.balance
    assert setting is not None
    curve, bulb_k = balance.charge.curve, np.asarray(setting.bulb_temperature_k)
    charge = 1.0 + scatter.charge_pressure * draws.of(Source.CHARGE_PRESSURE)
    static = setting.static_superheat_k + scatter.static_superheat_k * draws.of(Source.STATIC_SUPERHEAT)
    opening = setting.opening_superheat_k + scatter.opening_superheat_k * draws.of(Source.OPENING_SUPERHEAT)
    if is_own:
        dew_share = 1.0 + scatter.pressure * draws.of(Source.PRESSURE)
    else:
        dew_share = 1.0 + scatter.setting_pressure * draws.of(Source.SETTING_PRESSURE)
    at_setting = curve.pressure(bulb_k)
    spring = at_setting * charge - setting_refrigerant.dew(bulb_k - static).pressure_pa * dew_share
    # A gradient of nothing would open the valve at once; what is drawn that far out is held at a tenth.
    opening = np.maximum(opening, 0.1 * setting.opening_superheat_k)
    gradient = (curve.pressure(bulb_k + opening) - at_setting) * charge
    limit = np.full(draws.count, np.inf)
    if trim.maximum_operating_pressure_pa is not None:
        limit = curve.temperature((trim.maximum_operating_pressure_pa + spring) / charge)
    unbalance = balance.unbalance + scatter.unbalance * draws.of(Source.UNBALANCE)
    return Element(*(array[:, None] for array in (spring, gradient, unbalance, charge, limit)))


@dataclass(frozen=True, slots=True)
class DrawnLoads:
    """Loads for each m3/h of true Kv [W], (n, suction temperatures); a draw that shuts the valve holds none.

    That is a least load of infinity and a greatest one of zero.
    """

    least: Floats
    greatest: Floats


def drawn_loads(
    family: Family,
    actuator: ThermostaticActuator | ElectronicActuator,
    element: Element | None,
    states: Sequence[tuple[Parabolas, Felt]],
    limits: SuperheatLimits,
    scatter: Scatter,
    draws: Draws,
) -> DrawnLoads:
    """The load limits of every draw over the given states, each with its figures at the draws."""
    shape = states[0][1].flow_demand.shape
    least, greatest = np.zeros(shape), np.full(shape, np.inf)
    recovery = np.full((draws.count, 1), family.pressure_recovery)
    recovery = recovery + scatter.pressure_recovery * draws.of(Source.PRESSURE_RECOVERY)[:, None]
    # F_L of 1 is a port that recovers nothing.
    recovery = np.minimum(recovery, 1.0)
    for state, at in states:
        demand = _demand(family, state, at, recovery, draws, scatter)
        widest, narrowest, is_shut = _openings(actuator, element, at, limits)
        high, low = (
            family.characteristic.share(np.clip(phi, 0.0, family.characteristic.stop)) / demand
            for phi in (widest, narrowest)
        )
        is_none = is_shut | ~np.isfinite(high) | ~np.isfinite(low)
        if state.item.side.serves_greatest:
            greatest = np.minimum(greatest, np.where(is_none, 0.0, high))
        least = np.maximum(least, np.where(is_none, np.inf, low))
    return DrawnLoads(least, greatest)


def _demand(
    family: Family, state: Parabolas, at: Felt, recovery: Floats, draws: Draws, scatter: Scatter
) -> Floats:
    """D [m3/h per W] of every draw."""
    critical = state.critical_pressure_pa * (1.0 + scatter.pressure * draws.of(Source.PRESSURE)[:, None])
    drop = effective_pressure_drop(
        family.flow_law, at.inlet_pressure_pa - at.outlet_pressure_pa, at.inlet_pressure_pa,
        at.liquid_bubble_pressure_pa, critical, recovery,
    )  # fmt: skip
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(_SECONDS_PER_HOUR * at.flow_demand / np.sqrt(_WATER_KG_M3 * drop / _BAR_PA))


def _openings(
    actuator: ThermostaticActuator | ElectronicActuator, element: Element | None, at: Felt, limits: SuperheatLimits
) -> tuple[Floats, Floats, Bools]:
    """Greatest and least opening of every draw, and whether the valve stays shut."""
    shape = at.flow_demand.shape
    if element is None or isinstance(actuator, ElectronicActuator):
        assert isinstance(actuator, ElectronicActuator)
        return np.full(shape, actuator.greatest), np.full(shape, actuator.least), np.zeros(shape, dtype=np.bool_)
    opened = _opening(actuator, element, at, at.evaporating_temperature_k + limits.greatest_k)
    floor = _opening(actuator, element, at, at.evaporating_temperature_k + limits.least(at.load_share))
    widest, narrowest = np.minimum(opened, actuator.stop), np.maximum(floor, actuator.least_stable)
    return widest, narrowest, ~(opened > narrowest)


def _opening(actuator: ThermostaticActuator, element: Element, at: Felt, bulb_k: Floats) -> Floats:
    """The force balance of every draw, stops left aside."""
    curve, reference = actuator.balance.charge.curve, actuator.balance.reference_drop_pa
    pressure = curve.pressure(np.minimum(bulb_k, element.limit_k)) * element.charge_share
    pressure = pressure * np.maximum(bulb_k / element.limit_k, 1.0)
    under = at.outlet_pressure_pa if actuator.is_internally_equalized else at.evaporating_pressure_pa
    drop = at.inlet_pressure_pa - at.outlet_pressure_pa
    closing = under + element.spring_pa + element.unbalance * (drop - reference)
    return np.asarray((pressure - closing) / element.gradient_pa)
