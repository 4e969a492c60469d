"""The calculation of a system's states: the rating point, and each head stated on it.

The equations are those of `tablegen.physics.conditions`, written out one by one; what the solver has to search for (the
liquid's density, which depends on the inlet pressure that it sets, and a balanced evaporating temperature) is taken from
it and shown to fulfill its equation.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import numpy as np

from tablegen.calculation.curve_steps import TablePiece
from tablegen.calculation.formula import text_of
from tablegen.calculation.steps import Calculation
from tablegen.model.solving import Law
from tablegen.physics import discharge
from tablegen.physics import equations as eq
from tablegen.physics import liquid_equations as lineq
from tablegen.physics._corner import CAPACITY_STEP_K
from tablegen.physics._flashing_line import mixture
from tablegen.physics.arrays import Floats
from tablegen.physics.compressor import ClearanceCompressor, CompressorPoint, PolynomialCompressor, TableCompressor
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import (
    GRAVITY_M_S2,
    Basis,
    DistributorScaling,
    HeadCondition,
    LiquidSupply,
    OperatingCondition,
    Side,
    SuctionResponse,
    SystemInputs,
)
from tablegen.wording import calculation as wording

_SATURATION = {Basis.BUBBLE: "p_bub(T_c)", Basis.DEW: "p_dew(T_c)", Basis.MID: "p_mid(T_c)"}


def functions_of(refrigerant: Refrigerant) -> dict[str, Callable[..., Any]]:
    """The properties of a refrigerant as functions of a formula."""

    def liquid(temperature_k: Floats, pressure_pa: Floats) -> Any:
        # Of saturated liquid where the pressure would let it flash, which the pressures show.
        return refrigerant.liquid(temperature_k, np.fmax(pressure_pa, refrigerant.bubble(temperature_k).pressure_pa))

    return {
        "p_dew": lambda t: refrigerant.dew(t).pressure_pa,
        "p_bub": lambda t: refrigerant.bubble(t).pressure_pa,
        "p_mid": refrigerant.midpoint_pressure,
        "T_bub": refrigerant.bubble_temperature,
        "T_dew": refrigerant.dew_temperature,
        "rho_liq": lambda t, p: liquid(t, p).density_kg_m3,
        "h_liq": lambda t, p: liquid(t, p).enthalpy_j_kg,
        "rho_vap": lambda t, p: refrigerant.vapor(t, p).density_kg_m3,
        "h_vap": lambda t, p: refrigerant.vapor(t, p).enthalpy_j_kg,
        "h_bubble": lambda t: refrigerant.bubble(t).enthalpy_j_kg,
        "h_dew": lambda t: refrigerant.dew(t).enthalpy_j_kg,
        "rho_bub": lambda t: refrigerant.bubble(t).density_kg_m3,
        "rho_dew": lambda t: refrigerant.dew(t).density_kg_m3,
        "rho_mix": lambda h, p: mixture(refrigerant, p, h)[1],
    }


def rating_calculation(refrigerant: Refrigerant, system: SystemInputs, sst_k: Floats, rated: State) -> Calculation:
    """The rating point along a suction grid [K], with every input that the heads use too."""
    w = Calculation(functions_of(refrigerant))
    losses = system.losses
    w.given("SST", sst_k, "cell")
    w.given("dT_s", system.suction_loss_k, "suction.line_loss")
    if system.sst_at_compressor:
        w.step("T_e", "SST + dT_s", wording.DEFINITION, wording.SST_AT_COMPRESSOR())
    else:
        w.step("T_e", "SST", wording.DEFINITION, wording.SST_AT_EVAPORATOR())
    w.step("p_e", "p_dew(T_e)", wording.EQUATION_OF_STATE)
    w.given("SH_u", system.superheat.useful_k, "superheat.useful")
    w.step("h_v", "h_vap(T_e + SH_u, p_e)", wording.EQUATION_OF_STATE)
    _head(w, system.rating)
    _compressor(w, system, is_held=False)
    w.given("dp_line", losses.liquid_line_pa, "losses.liquid_line")
    w.known(rho=rated.liquid_density_kg_m3)
    liquid = ("rating.liquid_temperature", "rating.subcooling")
    _inlet(w, system, rated, "p_h - dp_line", system.rating.liquid, liquid)
    w.step("dh_r", text_of(eq.refrigerating_effect), wording.ENERGY_BALANCE)
    w.given("dp_evap", losses.evaporator_pa, "losses.evaporator")
    w.given("dp_dist", losses.distributor_pa, "losses.distributor")
    _mixture(w, system, is_held=False)
    return w


def head_calculation(
    rating: Calculation,
    refrigerant: Refrigerant,
    system: SystemInputs,
    item: SolvedState,
    law: Law,
    duty_keys: tuple[str, ...] = (),
) -> Calculation:
    """One state of E, down to the required Kv per kW, stated on the rating point.

    `duty_keys` say where the maximum duty is written of a pulse-modulated valve, for a state at its open flow.
    """
    condition = {c.condition: c for c in system.conditions}[item.condition]
    w = rating.onwards()
    r = rating.values
    w.known(rho_r=r["rho"], T_er=r["T_e"], rho=item.state.liquid_density_kg_m3)
    flow = "m_c" if "m_c" in r else "m_x"
    if not system.keeps_capacity:
        w.known(**{f"{flow}r": r[flow]})
    if "v" in r:
        w.known(v_r=r["v"])
    is_held = item.response is not SuctionResponse.BALANCED
    if not is_held:
        w.known(T_e=item.state.evaporating_temperature_k)
        w.step("p_e", "p_dew(T_e)", wording.EQUATION_OF_STATE, wording.BALANCED_BELOW())
        w.step("h_v", "h_vap(T_e + SH_u, p_e)", wording.EQUATION_OF_STATE)
    if item.condition is not OperatingCondition.RATING:
        _head(w, condition)
    if item.condition is not OperatingCondition.RATING or not is_held:
        _compressor(w, system, is_held)
    ratio, source, note = text_of(eq.flow_ratio, m_c=flow, m_cr=f"{flow}r"), wording.COMPRESSOR_FLOW, ""
    if system.keeps_capacity:
        # That of the mean flow, also for a state at the open flow of a pulse-modulated valve.
        w.known(h_l=w.values["h_v"] - w.values["dh_r"] / item.state.flow_ratio)
        ratio, source, note = text_of(eq.capacity_flow_ratio), wording.KEPT_CAPACITY, wording.ENTHALPY_THERE()
    if item.open_share != 1.0:
        w.given("d_max", item.open_share, *duty_keys)
        w.step("f", f"{ratio} / d_max", source, wording.OPEN_FLOW())
    elif system.capacity_step < 1.0 and item.side is Side.MIN:
        w.given("s", system.capacity_step, "compressor.minimum_capacity")
        w.step("f", f"s * {ratio}", source, note)
    else:
        w.step("f", ratio, source, note)
    if condition.liquid.temperature_k is None:
        is_min = item.side in (Side.MIN, Side.MIN_FULL_FLOW)
        chosen = condition.liquid.max_subcooling_k if is_min else condition.liquid.min_subcooling_k
        name, key = ("SC_c", "condenser") if condition.liquid.is_at_condenser else ("dT_sub", "inlet")
        keys = f"{item.condition}.{key}_subcooling", f"{item.condition}.{key}_subcooling_range"
        w.given(name, chosen, *keys)
    keys = (f"{item.condition}.liquid_temperature", f"{item.condition}.subcooling")
    _inlet(w, system, item.state, text_of(lineq.inlet_pressure), condition.liquid, keys)
    if not is_held or any(system.superheat.min_k[1:]):
        mean = "f" if item.open_share == 1.0 else "f * d_max"
        w.step("q", f"{mean} * (h_v - h_l) / dh_r", wording.ENERGY_BALANCE)
    if not is_held:
        w.given("DT", system.box_difference_k or np.nan, "suction.box_difference", "coil_temperature_difference")
        w.step(
            "q_e",
            "(DT + T_er - T_e) / DT",
            wording.CONDUCTANCE,
            wording.BALANCED(),
        )
    _outlet(w, system, is_held)
    if law.law is not FlowLaw.ORIFICE or (item.reason == Reason.FLASHING).any():
        p_v = "min(p_bub(T_l), p_1)" if _has_vapor(system, item.state) else "p_bub(T_l)"
        w.step("p_v", p_v, wording.EQUATION_OF_STATE)
    _required_kv(w, refrigerant, law, _has_vapor(system, item.state))
    return w


def _head(w: Calculation, condition: HeadCondition) -> None:
    """Head pressure, from a setting or from a condensing temperature."""
    key = condition.condition.value
    if condition.head.pressure_pa is not None:
        w.given("p_h", condition.head.pressure_pa, f"{key}.head_pressure", "site_pressure")
        return
    w.given("T_c", condition.head.condensing_temperature_k or np.nan, f"{key}.condensing_temperature")
    w.step("p_h", _SATURATION[condition.head.basis], wording.EQUATION_OF_STATE)


def _inlet(
    w: Calculation, system: SystemInputs, state: State, formula: str, liquid: LiquidSupply, keys: tuple[str, ...]
) -> None:
    """Inlet pressure, and the liquid there, whose temperature is stated or follows from its subcooling."""
    note, lift_m, flashes = wording.DENSITY_THERE(), system.losses.lift_m, _has_vapor(system, state)
    if liquid.is_at_condenser:
        w.step("T_h", "T_bub(p_h)", wording.EQUATION_OF_STATE)
        w.step("T_o", "T_h - SC_c", wording.DEFINITION)
        _heat_gain(w, system, "T_o")
        w.step("T_l", "T_o + dT_g" if system.feed.heat else "T_o", wording.DEFINITION)
    arriving = "p_1l" if flashes else "p_1"
    if flashes and lift_m < 0.0:
        note = wording.DENSITIES_THERE()
        w.known(rho_1=state.inlet_density_kg_m3)
    if lift_m:
        if "H" not in w.values:
            w.given("H", lift_m, "losses.lift")
            w.known(g=GRAVITY_M_S2)
        column = "rho_1" if flashes and lift_m < 0.0 else "rho"
        w.step("dp_lift", text_of(lineq.lift_pressure, rho=column), wording.HYDROSTATICS)
        w.step(arriving, f"{formula} - dp_lift", wording.LOSS_LAW, note)
    else:
        w.step(arriving, formula, wording.LOSS_LAW, note if "rho" in formula else "")
    if liquid.temperature_k is not None:
        w.given("T_l", np.float64(liquid.temperature_k), *keys)
    elif not liquid.is_at_condenser:
        w.step("T_l", f"T_bub({arriving}) - dT_sub", wording.EQUATION_OF_STATE)
    w.step("rho", f"rho_liq(T_l, {arriving})", wording.EQUATION_OF_STATE)
    w.step("h_l", f"h_liq(T_l, {arriving})", wording.EQUATION_OF_STATE)
    if flashes:
        _flashing_line(w, state)
        if "x_max" not in w.values:
            w.given("x_max", system.feed.inlet_vapor, "liquid.inlet_vapor")
        _inlet_mixture(w)
        # Of a grid the states without vapor keep the density of liquid.
        w.known(rho_1=np.where(state.inlet_quality == 0.0, w.values["rho"], w.values["rho_1"]))


def _has_vapor(system: SystemInputs, state: State) -> bool:
    """Whether limits count with vapor at the inlet, and there is some in one of the states."""
    return system.feed.inlet_vapor > 0.0 and bool((state.inlet_quality > 0.0).any())


def _heat_gain(w: Calculation, system: SystemInputs, liquid: str) -> None:
    """Rise of the liquid's temperature along the line, with the heat capacity of the liquid of a quantity."""
    heat = system.feed.heat
    if heat is None:
        return
    if "sigma" not in w.values:
        w.given("g_1", heat.per_length_w_m, "liquid.heat_gain.per_length")
        w.given("L_g", heat.length_m, "liquid.heat_gain.length")
        w.given("Q_g", heat.capacity_w, "liquid.heat_gain.capacity")
        w.known(dT_1=CAPACITY_STEP_K)
        w.step("sigma", text_of(lineq.line_heat_share), wording.DEFINITION)
    w.step("T_oc", f"{liquid} - dT_1", wording.DEFINITION)
    w.step("h_w", f"h_liq({liquid}, p_h)", wording.EQUATION_OF_STATE)
    w.step("h_c", "h_liq(T_oc, p_h)", wording.EQUATION_OF_STATE)
    w.step("c_l", text_of(lineq.liquid_heat_capacity), wording.DEFINITION)
    rise, note = text_of(lineq.line_temperature_rise), ""
    if "d_max" in w.values:
        rise, note = re.sub(r"\bf\b", "f * d_max", rise), wording.MEAN_FLOW()
    w.step("dT_g", rise, wording.ENERGY_BALANCE, note)


def _flashing_line(w: Calculation, state: State) -> None:
    """Friction downstream of the point where the liquid reaches its bubble pressure; none in a state without vapor."""
    w.step("p_bl", "p_bub(T_l)", wording.EQUATION_OF_STATE)
    w.step("dp_sh", f"max({text_of(lineq.flash_shortfall)}, 0)", wording.DEFINITION)
    w.known(dp_f=np.where(state.inlet_quality == 0.0, 0.0, w.values["p_bl"] - state.inlet_pressure_pa))
    for quarter, share in enumerate(("0.25 * ", "0.5 * ", "0.75 * ", ""), start=1):
        w.step(f"r_{quarter}", f"rho_mix(h_l, p_bl - {share}dp_f) / rho", wording.HOMOGENEOUS)
    w.step("dp_fl", text_of(lineq.flashing_fall), wording.SIMPSON, wording.FALL_THERE())
    w.step("p_1", "max(p_1l, p_bl) - dp_f", wording.DEFINITION)


def _inlet_mixture(w: Calculation) -> None:
    """Vapor that has formed upstream of the port, and the density of liquid and vapor."""
    w.step("T_b1", "T_bub(p_1)", wording.EQUATION_OF_STATE)
    w.step("T_d1", "T_dew(p_1)", wording.EQUATION_OF_STATE)
    w.step("h_b1", "h_bubble(T_b1)", wording.EQUATION_OF_STATE)
    w.step("h_d1", "h_dew(T_d1)", wording.EQUATION_OF_STATE)
    w.step("rho_b1", "rho_bub(T_b1)", wording.EQUATION_OF_STATE)
    w.step("rho_d1", "rho_dew(T_d1)", wording.EQUATION_OF_STATE)
    w.step("x_1", text_of(eq.vapor_quality, h_b="h_b1", h_d="h_d1"), wording.THROTTLING)
    w.step("rho_1", text_of(lineq.inlet_density), wording.HOMOGENEOUS)


def needed_calculation(head: Calculation, system: SystemInputs, item: SolvedState) -> Calculation:
    """Subcooling at the outlet of condenser or receiver: what the state has, and what keeps the valve inlet free of vapor."""
    w, state = head.onwards(), item.state
    liquid = {c.condition: c for c in system.conditions}[item.condition].liquid
    if not liquid.is_at_condenser:
        w.step("T_h", "T_bub(p_h)", wording.EQUATION_OF_STATE)
        _heat_gain(w, system, "T_l")
        w.step("T_o", "T_l - dT_g" if system.feed.heat else "T_l", wording.DEFINITION)
        w.step("SC_c", "T_h - T_o", wording.DEFINITION)
    rise = w.values["dT_g"] if system.feed.heat else 0.0
    w.known(rho_n=w.functions["rho_bub"](state.head_bubble_temperature_k + rise - state.needed_subcooling_k))
    inlet = text_of(lineq.inlet_pressure, rho="rho_n")
    lift = f" - {text_of(lineq.lift_pressure, rho='rho_n')}" if system.losses.lift_m else ""
    w.step("p_n", f"{inlet}{lift}", wording.LOSS_LAW, wording.NEEDED_THERE())
    w.step("T_n", "T_bub(p_n)", wording.EQUATION_OF_STATE)
    w.step("rho_n", "rho_bub(T_n)", wording.EQUATION_OF_STATE)
    needed = text_of(lineq.needed_subcooling, T_hb="T_h") if system.feed.heat else "T_h - T_n"
    w.step("SC_n", needed, wording.DEFINITION)
    return w


def _compressor(w: Calculation, system: SystemInputs, is_held: bool) -> None:
    """Mass flow of the compressor, to a constant factor; of constant suction its side stays as it was."""
    if system.keeps_capacity:
        return
    if not is_held:
        w.step("T_s", "T_e - dT_s", wording.DEFINITION)
        w.step("p_s", "p_dew(T_s)", wording.EQUATION_OF_STATE)
    discharge = "p_h"
    if system.discharge_loss_pa:
        if "dp_d" not in w.values:
            w.given("dp_d", system.discharge_loss_pa, "compressor.discharge_line_loss")
        w.step("p_d", "p_h + dp_d", wording.DEFINITION)
        discharge = "p_d"
    machine = system.compressor
    if isinstance(machine, ClearanceCompressor):
        if "C" not in w.values:
            w.given("C", machine.clearance, "compressor.clearance")
            w.given("n", machine.exponent, "compressor.re_expansion_exponent")
            w.given("SH_c", system.return_superheat_k, "compressor.return_gas_superheat")
        if not is_held:
            w.step("rho_s", "rho_vap(T_s + SH_c, p_s)", wording.EQUATION_OF_STATE)
        w.step("eta", text_of(eq.volumetric_efficiency, p_h=discharge), wording.CLEARANCE)
        w.step("m_c", text_of(eq.flow_per_swept_volume), wording.CLEARANCE, wording.PER_SWEPT_VOLUME())
        return
    w.step("T_d", f"T_dew({discharge})", wording.EQUATION_OF_STATE)
    if isinstance(machine, PolynomialCompressor):
        w.functions["degrees"] = lambda t: 1.8 * (t - 273.15) + 32.0 if machine.is_fahrenheit else t - 273.15
        if "C1" not in w.values:
            for i, coefficient in enumerate(machine.coefficients, start=1):
                w.given(f"C{i}", coefficient, "compressor.coefficients")
        unit = "degF" if machine.is_fahrenheit else "degC"
        w.step("S", "degrees(T_s)", wording.AHRI_540, wording.IN_UNIT(unit=unit))
        w.step("D_c", "degrees(T_d)", wording.AHRI_540, wording.IN_UNIT(unit=unit))
        w.step("m_x", text_of(eq.compressor_polynomial), wording.AHRI_540_POLYNOMIAL)
        return

    def flow_table(suction_k: Floats, discharge_k: Floats) -> Floats:
        # The table needs temperatures alone.
        none = np.zeros_like(suction_k)
        return machine.relative_flow(
            CompressorPoint(
                suction_dew_k=suction_k,
                discharge_dew_k=discharge_k,
                suction_pressure_pa=none,
                discharge_pressure_pa=none,
                suction_density_kg_m3=none,
            )
        )

    w.functions["flow_table"] = flow_table
    if isinstance(machine, TableCompressor):
        w.curves["flow_table"] = TablePiece(machine)
    w.step("m_x", "flow_table(T_s, T_d)", wording.TABLE, "compressor.flows")


def _mixture(w: Calculation, system: SystemInputs, is_held: bool) -> None:
    """Specific volume behind the port, if the distributor's loss follows it."""
    if not system.losses.distributor_pa:
        return
    if system.losses.distributor_scaling is not DistributorScaling.FLASHED_MIXTURE:
        return
    if not is_held:
        w.step("T_b2", "T_bub(p_e)", wording.EQUATION_OF_STATE)
        w.step("h_b", "h_bubble(T_b2)", wording.EQUATION_OF_STATE)
        w.step("h_d", "h_dew(T_e)", wording.EQUATION_OF_STATE)
        w.step("rho_b", "rho_bub(T_b2)", wording.EQUATION_OF_STATE)
        w.step("rho_d", "rho_dew(T_e)", wording.EQUATION_OF_STATE)
    w.step("x", text_of(eq.vapor_quality), wording.THROTTLING)
    w.step("v", text_of(eq.mixture_volume), wording.HOMOGENEOUS)


def _outlet(w: Calculation, system: SystemInputs, is_held: bool) -> None:
    losses, source = system.losses, wording.LOSS_LAW
    _mixture(w, system, is_held)
    if "v_r" in w.values:
        w.step("p_2", text_of(eq.outlet_pressure), source)
    elif losses.distributor_pa:
        w.step("p_2", "p_e + f**2 * (dp_evap + dp_dist)", wording.LOSS_LAW)
    else:
        w.step("p_2", "p_e + f**2 * dp_evap", wording.LOSS_LAW)
    w.step("dp", text_of(eq.pressure_drop), wording.DEFINITION)


def _required_kv(w: Calculation, refrigerant: Refrigerant, law: Law, has_vapor: bool) -> None:
    """Kv for each watt of rated capacity."""
    w.known(N=eq.FLOW_CONSTANT, E=eq.ENERGY_RATE)
    rho = "rho_1" if has_vapor else "rho"
    formula = text_of(eq.required_kv, rho=rho)
    if law.law is FlowLaw.CHOKED:
        w.known(p_crit=refrigerant.critical_pressure_pa)
        w.given("F_L", law.pressure_recovery, "family:pressure_recovery")
        w.step("F_F", text_of(eq.critical_pressure_ratio_factor), wording.IEC_RATIO_FACTOR)
        w.step("dp_ch", text_of(eq.choked_pressure_drop), wording.IEC_CHOKED)
        w.step("dp_eff", text_of(eq.effective_pressure_drop), wording.IEC_CHOKED)
        formula = text_of(eq.required_kv, rho=rho, dp="dp_eff")
    if law.discharge is not None:
        discharge_steps(w, law.discharge, refrigerant.critical_pressure_pa)
        formula = text_of(eq.required_kv, rho=rho, dp="dp_eff")
    w.step("D", formula, wording.IEC_FLOW)


def discharge_steps(w: Calculation, own: DischargeCoefficient, critical_pa: float) -> None:
    """From subcooling and drop at the port to the drop that drives the flow under a discharge coefficient."""
    key = "family:discharge_coefficient"
    w.known(p_crit=critical_pa)
    w.given("s_n", own.reference_subcooling, f"{key}.reference.subcooling")
    w.given("y_n", own.reference_drop, f"{key}.reference.drop")
    w.given("a_d", own.subcooling_exponent, f"{key}.subcooling_exponent")
    w.given("b_d", own.drop_exponent, f"{key}.drop_exponent")
    w.step("s_c", text_of(discharge.subcooling_ratio), wording.DEFINITION)
    w.step("y_p", text_of(discharge.drop_ratio), wording.DEFINITION)
    w.step("C_d", text_of(discharge.discharge_ratio), wording.DISCHARGE)
    w.step("dp_eff", text_of(discharge.discharge_drop), wording.DISCHARGE)
