"""Steps of what a valve offers: its factory setting, the opening at each limit, and every state of a member."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from tablegen.calculation.curve_steps import ChargePiece, SharePiece
from tablegen.calculation.formula import text_of
from tablegen.calculation.loop_steps import bulb_minimum, drive_minimum
from tablegen.calculation.state_steps import (
    discharge_steps,
    functions_of,
    head_calculation,
    needed_calculation,
    rating_calculation,
)
from tablegen.calculation.steps import Calculation
from tablegen.calculation.superheat_steps import maximum_superheat
from tablegen.model.inputs import Catalogue, Family, PowerElement, Size
from tablegen.model.solving import Solved, law_of
from tablegen.physics import connection
from tablegen.physics import equations as eq
from tablegen.physics import valve_equations as veq
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.physics.arrays import Floats
from tablegen.physics.bulb import SaturationCurve
from tablegen.physics.flow import FlowLaw
from tablegen.physics.rating import ValveRating
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import SolvedState
from tablegen.physics.system import Stability, SuperheatLimits, SystemInputs
from tablegen.wording import calculation as wording
from tablegen.wording import trace as trace_wording


def key_in(family: Family, key: str) -> str:
    """Where a figure of a family is looked up: in its sizes' port design first, if they have one."""
    return f"design:{family.port_design}:{key}" if family.port_design else f"family:{key}"


def setting_calculation(family: Family, element: PowerElement, setting_refrigerant: Refrigerant | None) -> Calculation:
    """Spring pressure and gradient that the factory setting leaves behind; empty for a drive."""
    actuator, setting = element.actuator, element.setting
    if setting is None or setting_refrigerant is None or not isinstance(actuator, ThermostaticActuator):
        return Calculation({})
    balance, key = actuator.balance, f"charge:{element.name}:"
    w = Calculation({"p_set": functions_of(setting_refrigerant)["p_dew"], "p_charge": balance.charge.curve.pressure})
    w.curves["p_charge"] = ChargePiece(balance.charge.curve)
    w.given("T_b0", setting.bulb_temperature_k, f"{key}setting.bulb_temperature")
    w.given("SS", setting.static_superheat_k, f"{key}setting.static_superheat")
    w.given("OS", setting.opening_superheat_k, f"{key}setting.opening_superheat")
    w.given("dp_ref", setting.pressure_drop_pa, f"{key}setting.pressure_drop")
    w.given("u", balance.unbalance, key_in(family, "port.unbalance"))
    curve = balance.charge.curve
    of_fluid = trace_wording.CHARGE_OF(fluid=curve.fluid.name) if isinstance(curve, SaturationCurve) else ""
    w.step("p_b0", "p_charge(T_b0)", wording.CHARGE_CURVE, of_fluid)
    w.step("p_e0", "p_set(T_b0 - SS)", wording.EQUATION_OF_STATE)
    w.step(
        "p_spring",
        text_of(veq.spring_pressure),
        wording.FORCE_BALANCE,
        wording.SET_ON(refrigerant=element.setting_refrigerant),
    )
    w.step("p_b1", "p_charge(T_b0 + OS)", wording.CHARGE_CURVE)
    w.step("p_grad", text_of(veq.spring_gradient), wording.FORCE_BALANCE)
    if element.maximum_operating_pressure_pa is not None:
        w.given("p_MOP", element.maximum_operating_pressure_pa, f"{key}maximum_operating_pressure")
        w.functions["T_charge"] = balance.charge.curve.temperature
        w.step("T_m", "T_charge(p_MOP + p_spring)", wording.CHARGE_CURVE, wording.GAS_ONLY())
    return w


def limit_calculation(
    head: Calculation,
    setting: Calculation,
    family: Family,
    element: PowerElement,
    system: SystemInputs,
    item: SolvedState,
    is_max: bool,
) -> Calculation:
    """From the required Kv per kW at a head to the load for each m3/h of rated Kv that one limit allows there."""
    w = head.onwards(**setting.functions)
    w.curves |= setting.curves
    w.known(**setting.values)
    name = "phi_max" if is_max else "phi_min"
    actuator, is_by_loop = element.actuator, not is_max and _is_by_loop(element, system)
    if is_by_loop:
        _loop(w, family, element, system, item)
    elif isinstance(actuator, ThermostaticActuator):
        if is_max:
            maximum_superheat(w, system, item)
        _opening(w, family, actuator, system.superheat, is_max)
    else:
        maximum, minimum = ("control_reserve", "maximum_duty"), ("minimum_steps", "full_steps", "minimum_duty")
        value = getattr(element.actuator, "maximum" if is_max else "minimum")
        w.given(name, value, *(key_in(family, key) for key in (maximum if is_max else minimum)))
    characteristic, ratio = family.characteristic, family.characteristic.connection_ratio
    share = "c" if ratio is None else "c_p"
    if "d_max" in head.values:
        w.step(share, f"{name} / d_max", wording.DEFINITION, wording.OPEN_FLOW())
    elif characteristic.points:
        w.functions["share"] = lambda phi: characteristic.port_share(np.clip(phi, 0.0, characteristic.stop))
        if characteristic.curve is not None:
            w.curves["share"] = SharePiece(characteristic.curve, characteristic.stop)
        w.step(share, f"share({name})", wording.CHARACTERISTIC, wording.MONOTONE())
    else:
        w.step(share, name, wording.DEFINITION)
    if ratio is not None:
        _connections(w, family.sizes[0])
        w.step("r", "Kv_p / Kv_c", wording.DEFINITION)
        w.step("c", text_of(connection.share_with_connections), wording.IEC_PIPING)
    w.step("Q_1", text_of(eq.load_per_kv), wording.DEFINITION)
    return w


def _is_by_loop(element: PowerElement, system: SystemInputs) -> bool:
    """Whether the loop with the coil gives the minimum opening."""
    return (element.actuator.stability or system.superheat.stability.method) is Stability.LOOP


def _loop(w: Calculation, family: Family, element: PowerElement, system: SystemInputs, item: SolvedState) -> None:
    """The minimum opening by the loop."""
    actuator, key = element.actuator, partial(key_in, family)
    if isinstance(actuator, ThermostaticActuator):
        bulb_key = f"charge:{element.name}:bulb_time_constant"
        bulb_minimum(w, system, item, actuator, family.characteristic, bulb_key, key)
    else:
        assert isinstance(actuator, ElectronicActuator)
        keys = tuple(key(own) for own in ("minimum_steps", "full_steps", "minimum_duty"))
        drive_minimum(w, system, item, actuator, family.characteristic, keys, key)


def _connections(w: Calculation, size: Size) -> None:
    """Kv of the port by itself, and of body and connections."""
    assert size.connection_kv_m3h is not None
    w.given("Kv_c", size.connection_kv_m3h, f"loss:{size.name}:kv")
    of_port = float(connection.kv_of_port(size.kv_rated_m3h, size.connection_kv_m3h))
    if size.is_kv_of_port:
        w.given("Kv_p", of_port, f"size:{size.name}:kv")
    else:
        w.known(Kv=size.kv_rated_m3h)
        w.step("Kv_p", text_of(connection.kv_of_port), wording.IEC_PIPING)


def _opening(
    w: Calculation, family: Family, actuator: ThermostaticActuator, limits: SuperheatLimits, is_max: bool
) -> None:
    """The opening at the maximum superheat, or at the minimum stable one."""
    if is_max:
        superheat = "SH_max"
    else:
        a, b, c = limits.min_k
        superheat = "SH_min"
        if b or c:
            for name, value, part in (("a_0", a, "constant"), ("a_1", b, "linear"), ("a_2", c, "quadratic")):
                w.given(name, value, f"superheat.minimum_stable_line.{part}")
            w.step("SH_min", text_of(veq.min_stable_superheat), wording.MSS_WITH_LOAD)
        else:
            w.given("SH_min", a, "superheat.minimum_stable")
    if "T_m" in w.values:
        w.known(T_0=0.0)
        w.step("T_bk", f"T_e + {superheat} + T_0", wording.DEFINITION)
        w.step("p_b", "p_charge(min(T_bk, T_m)) * max(T_bk / T_m, 1)", wording.CHARGE_CURVE, wording.ABOVE_MOP())
    else:
        w.step("T_b", f"T_e + {superheat}", wording.DEFINITION)
        w.step("p_b", "p_charge(T_b)", wording.CHARGE_CURVE)
    is_internal = actuator.is_internally_equalized
    w.step(
        "p_u",
        "p_2" if is_internal else "p_e",
        wording.DEFINITION,
        wording.INTERNAL() if is_internal else wording.EXTERNAL(),
    )
    w.step("phi_sh", text_of(veq.opening), wording.FORCE_BALANCE)
    if is_max:
        w.given("phi_stop", actuator.stop, key_in(family, "opening.stop"))
        w.given("r_lim", actuator.reserve_in_limits, key_in(family, "opening.reserve_in_limits"))
        w.step("phi_size", text_of(veq.sizing_stroke), wording.DEFINITION)
        w.step("phi_max", text_of(veq.max_opening), wording.DEFINITION)
    else:
        w.given("phi_stable", actuator.min_stable, key_in(family, "opening.minimum_stable"))
        w.step("phi_min", text_of(veq.min_opening), wording.DEFINITION)


def size_calculation(size: Size, unit_load: Floats, confident_ratio: float = 1.0) -> Calculation:
    """From the load for each m3/h of rated Kv to that of a size; `confident_ratio` is confident over nominal limit."""
    w = Calculation({})
    if size.is_kv_of_port:
        _connections(w, size)
        w.step("Kv", text_of(connection.kv_with_connections), wording.IEC_PIPING)
    else:
        w.given("Kv", size.kv_rated_m3h, f"size:{size.name}:kv", f"size:{size.name}:capacity")
    w.known(Q_1=unit_load)
    if confident_ratio == 1.0:
        w.step("Q", text_of(eq.load), wording.DEFINITION)
    else:
        w.known(k=confident_ratio)
        why = wording.SCATTER()
        w.step("Q", "k * Kv * Q_1", wording.QUANTILE, why)
    return w


def rated_kv_calculation(rating: ValveRating, family: Family, size: Size) -> Calculation:
    """The Kv that a size's nominal capacity stands for, under the family's own flow law."""
    w = Calculation(functions_of(rating.refrigerant))
    w.given("Q_n", size.nominal_capacity_w, f"size:{size.name}:capacity")
    w.given("T_l", rating.liquid_temperature_k, "family:rating.liquid_temperature")
    w.given("dT_sub", rating.subcooling_k, "family:rating.subcooling")
    w.given("T_e", rating.evaporating_temperature_k, "family:rating.evaporating_temperature")
    w.given("SH_u", rating.superheat_k, "family:rating.useful_superheat")
    w.given("dp", rating.pressure_drop_pa, "family:rating.pressure_drop")
    w.step("p_1", "p_bub(T_l + dT_sub)", wording.EQUATION_OF_STATE)
    w.step("rho", "rho_liq(T_l, p_1)", wording.EQUATION_OF_STATE)
    w.step("h_l", "h_liq(T_l, p_1)", wording.EQUATION_OF_STATE)
    w.step("p_e", "p_dew(T_e)", wording.EQUATION_OF_STATE)
    w.step("h_v", "h_vap(T_e + SH_u, p_e)", wording.EQUATION_OF_STATE)
    w.step("dh_r", text_of(eq.refrigerating_effect), wording.ENERGY_BALANCE)
    w.known(N=eq.FLOW_CONSTANT, E=eq.ENERGY_RATE)
    drop = "dp"
    if family.flow_law is FlowLaw.CHOKED:
        w.known(p_crit=rating.refrigerant.critical_pressure_pa)
        w.given("F_L", family.pressure_recovery, "family:pressure_recovery")
        w.step("p_v", "p_bub(T_l)", wording.EQUATION_OF_STATE)
        w.step("F_F", text_of(eq.critical_pressure_ratio_factor), wording.IEC_RATIO_FACTOR)
        w.step("dp_eff", "min(dp, F_L**2 * (p_1 - F_F * p_v))", wording.IEC_CHOKED)
        drop = "dp_eff"
    if family.discharge is not None:
        w.step("p_v", "p_bub(T_l)", wording.EQUATION_OF_STATE)
        discharge_steps(w, family.discharge, rating.refrigerant.critical_pressure_pa)
        drop = "dp_eff"
    w.step("Kv", f"E * Q_n / (N * dh_r * sqrt(rho * {drop}))", wording.IEC_FLOW)
    return w


@dataclass(frozen=True, slots=True, kw_only=True)
class AtState:
    """The calculations of one state of E: the system's, what its liquid needs upstream, and the valve's for either limit."""

    item: SolvedState
    head: Calculation
    liquid: Calculation
    maximum: Calculation
    minimum: Calculation


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberCalculation:
    """The calculations of one refrigerant and one family along a suction grid."""

    refrigerant: str
    element: PowerElement
    rating: Calculation
    setting: Calculation
    states: tuple[AtState, ...]

    def loads(self, is_max: bool) -> list[tuple[AtState, Floats]]:
        """The states that bear on a limit, and the load for each m3/h of rated Kv [W] that each allows."""
        if is_max:
            share = self.element.actuator.open_share
            own = [s for s in self.states if s.item.side.serves_max and s.item.open_share == share]
            return [(s, s.maximum.values["Q_1"]) for s in own]
        return [(s, s.minimum.values["Q_1"]) for s in self.states if s.item.open_share == 1.0]


def member_calculation(catalogue: Catalogue, solved: Solved, family: Family) -> MemberCalculation | None:
    """The calculations of a member along its suction grid; None where the family has no charge for it.

    The family has sizes of one port design, the first of which is calculated where their connections have a loss.
    """
    application, refrigerant = solved.application, solved.refrigerant
    element = family.element_for(refrigerant.name, application.temperature_range)
    if element is None:
        return None
    system = application.systems[refrigerant.name]
    rating = rating_calculation(refrigerant, system, application.sst_k, solved.rated)
    setting = setting_calculation(family, element, catalogue.settings.get(element.setting_refrigerant))
    states = []
    for item in (*solved.states, *solved.opened(element.actuator.open_share)):
        duty = (key_in(family, "maximum_duty"),)
        head = head_calculation(rating, refrigerant, system, item, law_of(family), duty)
        largest, smallest = (
            limit_calculation(head, setting, family, element, system, item, is_max) for is_max in (True, False)
        )
        liquid = needed_calculation(head, system, item)
        states.append(AtState(item=item, head=head, liquid=liquid, maximum=largest, minimum=smallest))
    return MemberCalculation(
        refrigerant=refrigerant.name, element=element, rating=rating, setting=setting, states=tuple(states)
    )
