"""The equations of the method, each written once: the sweep computes with them and a calculation prints them.

A parameter is called by its symbol (``tablegen.calculation.symbols`` gives meaning and unit), so that the text of an
equation is read from its own return expression.  All take SI floats or arrays of one shape and return the same.

References
----------
IEC 60534-2-1:2011, flow capacity of control valves (equation numbers not checked against the source).
AHRI 540, performance rating of positive displacement refrigerant compressors.
"""

from __future__ import annotations

from numpy import maximum, minimum, sqrt

from tablegen.physics.arrays import Floats

# Kv is the water, 1000 kg/m3, that passes in m3/h at 1 bar: N = sqrt(1000 / 1e5) / 3600.
FLOW_CONSTANT = (1000.0 / 1e5) ** 0.5 / 3600.0
# N and E make one equation fit any units: in SI they are `FLOW_CONSTANT` and 1.
ENERGY_RATE = 1.0


def refrigerating_effect(h_g: Floats, h_l: Floats) -> Floats:
    """Refrigerating effect [J/kg]: energy balance of the evaporator."""
    return h_g - h_l


def volumetric_efficiency(C: float, p_h: Floats, p_s: float | Floats, n: float) -> Floats:
    """Clearance volumetric efficiency [1] of a reciprocating compressor (any refrigeration textbook)."""
    return 1 + C - C * (p_h / p_s) ** (1 / n)


def flow_per_swept_volume(eta: Floats, rho_s: Floats) -> Floats:
    """Mass flow of a compressor for each m3 swept [kg/m3]."""
    return eta * rho_s


def compressor_polynomial(
    S: Floats,
    D_c: Floats,
    C1: float,
    C2: float,
    C3: float,
    C4: float,
    C5: float,
    C6: float,
    C7: float,
    C8: float,
    C9: float,
    C10: float,
) -> Floats:
    """Mass flow by the ten-coefficient polynomial of AHRI 540, in the unit of its coefficients."""
    return (
        C1
        + C2 * S
        + C3 * D_c
        + C4 * S**2
        + C5 * (S * D_c)
        + C6 * D_c**2
        + C7 * S**3
        + C8 * (D_c * S**2)
        + C9 * (S * D_c**2)
        + C10 * D_c**3
    )


def flow_ratio(m_c: Floats, m_cr: Floats) -> Floats:
    """Compressor flow over that at the rating point [1]."""
    return m_c / m_cr


def lift_pressure(rho: Floats, g: float, H: float) -> Floats:
    """Pressure of a column of liquid [Pa]: hydrostatics."""
    return rho * (g * H)


def line_loss(dp_line: float | Floats, f: Floats) -> Floats:
    """Loss of the liquid line [Pa] at a share of rated flow and the density of the rating point."""
    return dp_line * f**2


def inlet_pressure(p_h: Floats, dp_line: float | Floats, f: Floats, rho_r: Floats, rho: Floats) -> Floats:
    """Pressure at the valve inlet [Pa] before lift: friction follows flow squared over density."""
    return p_h - dp_line * f**2 * (rho_r / rho)


def vapor_quality(h_l: Floats, h_b: Floats, h_d: Floats) -> Floats:
    """Quality downstream of the port [1]: throttling; liquid colder than the bubble point does not flash."""
    return maximum((h_l - h_b) / (h_d - h_b), 0)


def mixture_volume(x: Floats, rho_d: Floats, rho_b: Floats) -> Floats:
    """Specific volume of the flashed mixture [m3/kg].  Assumption: homogeneous."""
    return x / rho_d + (1 - x) / rho_b


def outlet_pressure(p_e: Floats, f: Floats, dp_evap: float, dp_dist: float | Floats, v: Floats, v_r: Floats) -> Floats:
    """Pressure at the port outlet [Pa]: losses follow flow squared, the distributor's also the flashed volume."""
    return p_e + f**2 * (dp_evap + dp_dist * (v / v_r))


def pressure_drop(p_1: Floats, p_2: Floats) -> Floats:
    """Pressure drop left for the port [Pa]."""
    return p_1 - p_2


def critical_pressure_ratio_factor(p_v: Floats, p_crit: float | Floats) -> Floats:
    """F_F [1], the liquid critical pressure ratio factor of IEC 60534-2-1."""
    return 0.96 - 0.28 * sqrt(p_v / p_crit)


def choked_pressure_drop(F_L: float | Floats, p_1: Floats, F_F: Floats, p_v: Floats) -> Floats:
    """Pressure drop at which the flow chokes [Pa]: IEC 60534-2-1, choked flow."""
    return F_L**2 * (p_1 - F_F * p_v)


def effective_pressure_drop(dp: Floats, dp_ch: Floats) -> Floats:
    """Pressure drop that drives the flow [Pa] under the choked law."""
    return minimum(dp, dp_ch)


def required_kv(E: float, f: Floats, N: float, dh_r: Floats, rho: Floats, dp: Floats) -> Floats:
    """Kv required per unit of rated capacity, D: the flow equation of IEC 60534-2-1 solved for Kv.

    For print: the sweep takes the same equation by `tablegen.physics.flow`, which also bounds the drop.
    """
    return E * f / (N * dh_r * sqrt(rho * dp))


def spring_pressure(p_b0: float, p_e0: float) -> float:
    """Pressure that the spring stands for, just open [Pa]: force balance at the factory setting."""
    return p_b0 - p_e0


def spring_gradient(p_b1: float, p_b0: float) -> float:
    """Pressure that opens the valve from just open to rated stroke [Pa]."""
    return p_b1 - p_b0


def opening(p_b: Floats, p_u: Floats, p_spring: float, u: float, dp: Floats, dp_ref: float, p_grad: float) -> Floats:
    """Opening, share of rated stroke [1], not bounded by the stops: force balance of the diaphragm."""
    return (p_b - (p_u + p_spring + u * (dp - dp_ref))) / p_grad


def min_stable_superheat(a_0: float, a_1: float, a_2: float, q: Floats) -> Floats:
    """Minimum stable superheat [K] as it grows with the evaporator's load share."""
    return a_0 + a_1 * q + a_2 * q**2


def max_opening(phi_sh: Floats, phi_stop: float) -> Floats:
    """Maximum opening used [1]: that at maximum superheat, at most the stop."""
    return minimum(phi_sh, phi_stop)


def min_opening(phi_sh: Floats, phi_stable: float) -> Floats:
    """Minimum opening used [1]: that at the minimum stable superheat, at least the minimum stable one."""
    return maximum(phi_sh, phi_stable)


def load_per_kv(c: Floats, D: Floats) -> Floats:
    """Load for each m3/h of rated Kv: share of Kv used over required Kv per unit of load."""
    return c / D


def load(Kv: float | Floats, Q_1: Floats) -> Floats:
    """Load of a size at the rating point."""
    return Kv * Q_1
