"""The equations of the method as formulas of `formula.py`, which the calculations evaluate and the method page prints.

Quantities are those of `symbols.py`.  N and E make one equation fit any units: in SI they are `FLOW_CONSTANT` and 1.
"""

from __future__ import annotations

from tablegen.physics.system import GRAVITY_M_S2

GRAVITY = GRAVITY_M_S2
# Kv is the water, 1000 kg/m3, that passes in m3/h at 1 bar: N = sqrt(1000 / 1e5) / 3600.
FLOW_CONSTANT = (1000.0 / 1e5) ** 0.5 / 3600.0
ENERGY_RATE = 1.0

EFFECT = "h_g - h_l"
CLEARANCE = "1 + C - C * (p_h / p_s)**(1 / n)"
COMPRESSOR = "eta * rho_s"
FLOW = "m_c / m_cr"
LIFT = "rho * g * H"
INLET = "p_h - dp_line * f**2 * rho_r / rho"
QUALITY = "max((h_l - h_b) / (h_d - h_b), 0)"
MIXTURE = "x / rho_d + (1 - x) / rho_b"
OUTLET = "p_e + f**2 * (dp_evap + dp_dist * v / v_r)"
DROP = "p_1 - p_2"
CRITICAL_RATIO = "0.96 - 0.28 * sqrt(p_v / p_crit)"
CHOKED = "F_L**2 * (p_1 - F_F * p_v)"
EFFECTIVE = "min(dp, dp_ch)"
REQUIRED_KV = "E * f / (N * dh_r * sqrt(rho * dp))"
SPRING = "p_b0 - p_e0"
GRADIENT = "p_b1 - p_b0"
OPENING = "(p_b - p_u - p_spring - u * (dp - dp_ref)) / p_grad"
MIN_SUPERHEAT = "a_0 + a_1 * q + a_2 * q**2"
MAX_OPENING = "min(phi_sh, phi_stop)"
MIN_OPENING = "max(phi_sh, phi_stable)"
UNIT_LOAD = "c / D"
LOAD = "Kv * Q_1"
