"""Steps of the minimum opening by the loop of valve, coil and bulb or sensor: the coil, its delays, the gains, the root."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from tablegen.calculation.formula import text_of
from tablegen.calculation.steps import Calculation
from tablegen.physics import equations as eq
from tablegen.physics import loop_equations as leq
from tablegen.physics import valve_equations as veq
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator, coil_delays
from tablegen.physics.loop import Circuit, Controller, bulb_ultimate, controller_ultimate
from tablegen.physics.state import SolvedState
from tablegen.physics.system import SystemInputs
from tablegen.physics.valve import OpeningCharacteristic
from tablegen.wording import calculation as wording

# Names a key of the family.
KeyIn = Callable[[str], str]


def bulb_minimum(
    w: Calculation,
    system: SystemInputs,
    item: SolvedState,
    actuator: ThermostaticActuator,
    characteristic: OpeningCharacteristic,
    bulb_key: str,
    key_in: KeyIn,
) -> None:
    """The minimum opening of a thermostatic valve at a state, under the name of phi_min."""
    lag = actuator.bulb_time_constant_s
    assert lag is not None
    _coil(w, system)
    w.given("t_b", lag, bulb_key)
    w.functions["phase_root"] = lambda *_: bulb_ultimate(coil_delays(item.state), lag, 1.0).frequency
    w.step("w_u", "phase_root(d_0, t_1, t_w, t_f, t_b)", wording.HALF_A_PERIOD, wording.PHASE_OF_BULB())
    _ultimate(w, system, text_of(leq.ultimate_gain))
    root = actuator.steady(item.state, system.superheat, characteristic)
    w.known(SH_s=root.superheat_k)
    if "T_m" in w.values:
        w.known(T_0=0.0)
        w.step("T_bk", "T_e + SH_s + T_0", wording.DEFINITION, wording.ROOT_BELOW())
        w.step("p_b", "p_charge(min(T_bk, T_m)) * max(T_bk / T_m, 1)", wording.CHARGE_CURVE, wording.ABOVE_MOP())
        bulb = "T_bk"
    else:
        w.step("T_b", "T_e + SH_s", wording.DEFINITION, wording.ROOT_BELOW())
        w.step("p_b", "p_charge(T_b)", wording.CHARGE_CURVE)
        bulb = "T_b"
    is_internal = actuator.is_internally_equalized
    note = wording.INTERNAL() if is_internal else wording.EXTERNAL()
    w.step("p_u", "p_2" if is_internal else "p_e", wording.DEFINITION, note)
    w.step("phi_sh", text_of(veq.opening), wording.FORCE_BALANCE)
    w.functions |= {"slope_charge": actuator.balance.charge.slope, "slope_share": characteristic.relative_slope}
    w.step("dp_b", f"slope_charge({bulb})", wording.CHARGE_CURVE)
    w.step("l_c", "slope_share(phi_sh)", wording.CHARACTERISTIC)
    w.step("K_0", text_of(leq.loop_gain, SH="SH_s"), wording.LOOP_OF_COIL, wording.IS_ALLOWED())
    w.step("k_s", "SH_s / TD", wording.DEFINITION)
    w.given("phi_seat", actuator.smallest_controlled, key_in("opening.smallest_controlled"))
    w.step("phi_min", text_of(veq.min_opening, phi_stable="phi_seat"), wording.DEFINITION)


def drive_minimum(
    w: Calculation,
    system: SystemInputs,
    item: SolvedState,
    actuator: ElectronicActuator,
    characteristic: OpeningCharacteristic,
    minimum_keys: tuple[str, ...],
    key_in: KeyIn,
) -> None:
    """The minimum opening or duty of an electronic valve at a state, under the name of phi_min."""
    controller = actuator.controller
    assert controller is not None
    _coil(w, system)
    _controller(w, controller, key_in)
    w.functions["phase_root"] = lambda *_: controller_ultimate(coil_delays(item.state), controller, 1.0).frequency
    w.step(
        "w_u", "phase_root(d_0 + d_c, t_1, t_w, t_f, t_b, T_i)", wording.HALF_A_PERIOD, wording.PHASE_OF_CONTROLLER()
    )
    w.known(k_K=1.0)
    w.step("K_b", text_of(leq.ultimate_gain), wording.HALF_A_PERIOD)
    _ultimate(w, system, f"k_K * {text_of(leq.with_integral_action)}")
    travel = actuator.travel(item.state, system.superheat, np.ones_like(item.state.flow_share))
    minimum = actuator.steady_travel(item.state, system.superheat, travel, characteristic).minimum
    w.known(phi_sh=minimum)
    w.functions["slope_share"] = characteristic.relative_slope
    w.step("l_c", "slope_share(phi_sh)", wording.CHARACTERISTIC, wording.ROOT_OF_OPENING())
    gain = "K_p * phi_sh" if controller.is_scheduled else "K_p"
    w.step("K_0", text_of(leq.controller_gain, K_p=gain), wording.LOOP_OF_COIL, wording.IS_ALLOWED())
    w.given("phi_seat", actuator.minimum, *minimum_keys)
    w.step("phi_min", text_of(veq.min_opening, phi_stable="phi_seat"), wording.DEFINITION)


def _controller(w: Calculation, controller: Controller, key_in: KeyIn) -> None:
    for name, value, key in (
        ("K_p", controller.gain_per_k, "gain"),
        ("T_i", controller.integral_time_s, "integral_time"),
        ("t_b", controller.sensor_lag_s, "sensor_lag"),
        ("d_c", controller.delay_s, "delay"),
        ("SH_set", controller.superheat_k, "superheat"),
    ):
        w.given(name, value, key_in(f"controller.{key}"))


def _ultimate(w: Calculation, system: SystemInputs, formula: str) -> None:
    """Period and ultimate gain, and the gain that the margin allows."""
    rule = system.superheat.stability
    w.step("P_u", f"{2.0 * np.pi!r} / w_u", wording.DEFINITION)
    w.given("k_K", rule.calibration, "coil.calibration")
    w.step("K_u", formula, wording.HALF_A_PERIOD)
    w.given("GM", rule.gain_margin, "stability.gain_margin")
    w.step("K_all", "K_u / GM", wording.DEFINITION)


def _coil(w: Calculation, system: SystemInputs) -> None:
    """The coil's conductance at the rating point, and its transfer units and delays at the state; constant SST."""
    assert system.coil is not None
    circuit = system.circuit
    assert circuit is not None
    w.known(E=eq.ENERGY_RATE, N_t=leq.TIME_SCALE)
    w.given("DT", system.box_difference_k or np.nan, "suction.box_difference", "coil_temperature_difference")
    w.step("TD", "DT", wording.DEFINITION)
    w.given("r_c", system.coil.conductance_ratio, "coil.conductance_ratio")
    steps: tuple[tuple[str, str], ...] = (
        ("T_b2", "T_bub(p_e)"),
        ("h_b", "h_bubble(T_b2)"),
        ("h_d", "h_dew(T_e)"),
        ("rho_b", "rho_bub(T_b2)"),
        ("rho_d", "rho_dew(T_e)"),
    )
    for name, formula in steps:
        if name not in w.values:
            w.step(name, formula, wording.EQUATION_OF_STATE)
    if "x" not in w.values:
        w.step("x", text_of(eq.vapor_quality), wording.THROTTLING)
    w.step("h_a", "h_vap(T_e + TD, p_e)", wording.EQUATION_OF_STATE)
    w.step("a", text_of(eq.vapor_heat_ratio, h_s="h_d"), wording.ENERGY_BALANCE)
    w.step("B", text_of(eq.dry_transfer_units), wording.TWO_ZONES)
    w.step("dh_w", "dh_r - (h_v - h_d)", wording.ENERGY_BALANCE)
    w.step("B_r", "r_c * dh_w / (h_a - h_d)", wording.TWO_ZONES)
    w.step("E_d", text_of(leq.dry_exponent), wording.TWO_ZONES)
    w.step("zeta", text_of(leq.rated_wetted_share), wording.TWO_ZONES)
    _circuit(w, circuit)


def _circuit(w: Calculation, circuit: Circuit) -> None:
    w.given("Q_c", circuit.load_w, "coil.circuit_load")
    w.step("m_1", text_of(leq.circuit_flow), wording.ENERGY_BALANCE)
    w.given("L_c", circuit.length_m, "coil.circuit_length")
    w.step("k_w", text_of(leq.wetted_conductance), wording.ENERGY_BALANCE)
    w.step("s_Z", text_of(leq.slip_density_ratio), wording.ZIVI)
    w.given("k_h", circuit.liquid_holdup_factor, "coil.liquid_holdup_factor")
    w.step("w_l", text_of(leq.liquid_share), wording.ZIVI, wording.MEAN_OF_LENGTH())
    w.given("d_i", circuit.tube_inner_diameter_m, "coil.tube_inner_diameter")
    w.step("A_i", f"{np.pi / 4.0!r} * d_i**2", wording.DEFINITION)
    w.step("h_fg", "h_d - h_b", wording.DEFINITION)
    w.step("t_d", text_of(leq.dryout_delay), wording.MASS_BALANCE)
    w.given("b_p", circuit.plug_share, "coil.plug_share")
    w.step("d_0", text_of(leq.dead_time), wording.DEFINITION)
    w.step("t_1", text_of(leq.front_lag), wording.DEFINITION)
    w.given("C_w", circuit.wall_heat_capacity_j_mk, "coil.wall_heat_capacity")
    w.given("a_w", circuit.air_side_share, "coil.air_side_share")
    w.step("t_w", text_of(leq.wall_lag), wording.ENERGY_BALANCE)
    w.step("t_f", text_of(leq.wall_lead), wording.ENERGY_BALANCE, wording.HOT_WALL())
