"""The method in words and equations; the formulas are those that the calculations evaluate."""

from __future__ import annotations

from tablegen.calculation.formula import text_of, written
from tablegen.calculation.symbols import FUNCTIONS, symbol
from tablegen.physics import equations as eq
from tablegen.physics.system import GRAVITY_M_S2
from tablegen.report.calculation_units import CalculationUnits
from tablegen.report.formatter import NBSP, PULSE_CAVEAT

_CONSTANTS = {"N": eq.FLOW_CONSTANT, "E": eq.ENERGY_RATE}
# Quantities of the equations below, in the order of the symbol table.
SIGNS = (
    "T_e",
    "p_e",
    "h_g",
    "p_h",
    "dT_sub",
    "dp_line",
    "H",
    "g",
    "dp_lift",
    "rho",
    "rho_r",
    "p_1",
    "h_l",
    "dh_r",
    "p_s",
    "dp_d",
    "p_d",
    "rho_s",
    "C",
    "n",
    "eta",
    "m_c",
    "m_cr",
    "f",
    "m",
    "N",
    "E",
    "T_b2",
    "h_b",
    "h_d",
    "rho_b",
    "rho_d",
    "x",
    "v",
    "v_r",
    "dp_evap",
    "dp_dist",
    "p_2",
    "dp",
    "p_v",
    "p_crit",
    "F_F",
    "F_L",
    "dp_ch",
    "dp_eff",
    "D",
    "T_b0",
    "SS",
    "OS",
    "dp_ref",
    "p_b0",
    "p_b1",
    "p_e0",
    "p_spring",
    "p_grad",
    "u",
    "SH_max",
    "SH_min",
    "p_b",
    "p_u",
    "phi",
    "phi_sh",
    "phi_stop",
    "phi_stable",
    "phi_max",
    "phi_min",
    "c",
    "Q_1",
    "Kv",
    "Q_n",
    "Q",
)
LIMITS = (
    (
        "Square root of the drop",
        "Evidence on choking of a flashing port is split: short tubes choke (Kim and O’Neal 1995), sharp-edged orifices need not. A Kv rated under one law is never used under the other: limits would move by a factor of 1.3 to 2.",
    ),
    (
        "Choked flow",
        "IEC 60534-2-1 for liquid alone: no vapor before the port, no correction for viscosity or fittings.",
    ),
    (
        "Compressor",
        "Only ratios of mass flow count. An AHRI 540 polynomial holds inside its map, clearance efficiency for reciprocating machines; suction superheat is the same at every head.",
    ),
    (
        "Force balance",
        "Steady state. Hunting is not modeled; limits keep clear of it by the minimum stable opening and the minimum stable superheat.",
    ),
    ("Pulse modulation", PULSE_CAVEAT),
)


def equations(units: CalculationUnits) -> list[tuple[str, str]]:
    """The equations in the signs of the symbol table, by name."""
    constants = [f"{n} = {units.number(n, v, True)}{NBSP}{units.label(n)}" for n, v in _CONSTANTS.items()]
    return [
        (
            "Refrigerating effect",
            f"{_line('dh_r', text_of(eq.refrigerating_effect))}, of vapor after useful superheat and of liquid at the rating point.",
        ),
        ("Mass flow", "ṁ = f E Q/Δh_r; f is the flow over that at the rating point, where f = 1."),
        (
            "Compressor",
            f"{_line('f', text_of(eq.flow_ratio))}. Clearance: {_line('eta', text_of(eq.volumetric_efficiency))}, {_line('m_c', text_of(eq.flow_per_swept_volume))}; with a discharge loss p_d = p_h + Δp_d takes the place of p_h. Otherwise m_c is the AHRI 540 polynomial or a table.",
        ),
        (
            "Inlet of the valve",
            f"{_line('p_1', f'{text_of(eq.inlet_pressure)} - dp_lift')}, {_line('dp_lift', text_of(eq.lift_pressure))}; the liquid is ΔT_sub below its bubble temperature at p₁.",
        ),
        (
            "Outlet of the port",
            f"{_line('p_2', text_of(eq.outlet_pressure))}; {_line('v', text_of(eq.mixture_volume))}, {_line('x', text_of(eq.vapor_quality))}; {_line('dp', text_of(eq.pressure_drop))}.",
        ),
        (
            "Square-root law",
            f"{_line('D', text_of(eq.required_kv))} (the form of IEC 60534-2-1): the Kv that a unit of load needs. It depends on no size.",
        ),
        (
            "Choked law",
            f"{_line('F_F', text_of(eq.critical_pressure_ratio_factor))}, {_line('dp_ch', text_of(eq.choked_pressure_drop))}; {_line('dp_eff', text_of(eq.effective_pressure_drop))} takes the place of Δp in D.",
        ),
        (
            "Constants",
            f"{' and '.join(constants)}: a Kv of 1 m³/h passes {units.number('N', eq.FLOW_CONSTANT, True)} {units.label('m')} of liquid of 1 {units.label('rho')} at a drop of 1 {units.label('dp')}. g = {units.number('g', GRAVITY_M_S2, True)} {units.label('g')}.",
        ),
        (
            "Factory setting",
            f"{_line('p_spring', text_of(eq.spring_pressure))}, {_line('p_grad', text_of(eq.spring_gradient))}; constant thereafter.",
        ),
        (
            "Force balance",
            "p_bulb = p_under + p_spring + φ p_grad + u (Δp − Δp_ref). u is positive where inlet pressure closes the valve and negative where it opens it.",
        ),
        (
            "Opening",
            f"{_line('phi_sh', text_of(eq.opening))}, with p_bulb at the bulb temperature T_e plus the superheat.",
        ),
        (
            "Maximum load",
            f"{_line('phi_max', text_of(eq.max_opening))} at SH_max; {_line('Q', text_of(eq.load))}, {_line('Q_1', text_of(eq.load_per_kv))}, c the share of rated Kv at that opening; the smallest Q of all operating conditions.",
        ),
        (
            "Minimum load",
            f"{_line('phi_min', text_of(eq.min_opening))} at SH_min; Q as above; the largest Q of all operating conditions.",
        ),
        (
            "Electronic valves",
            "φ_max is the maximum travel or duty that control may use, φ_min the minimum steps or duty; no force balance.",
        ),
        ("Nominal capacity", "Q_n = N Kv Δh_r √(ρ Δp)/E at the family's rating, under its own flow law."),
        ("Group", "largest of its members' minimum loads to smallest of their maximum loads."),
        (
            "Rounding",
            "three figures, minimum loads up and maximum loads down, so that a printed limit never promises more than the computed one.",
        ),
    ]


def _line(name: str, formula: str) -> str:
    return f"{symbol(name).sign} = {equation(formula)}"


def equation(formula: str) -> str:
    """A formula in the signs of the symbol table."""
    return written(formula, lambda name: symbol(name).sign, " ", "/", lambda name: FUNCTIONS[name])
