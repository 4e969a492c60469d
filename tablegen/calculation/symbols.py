"""The quantities of the method: the sign that each is written with, its kind, its meaning.

The method page, the handout and `trace` take their signs from here. A quantity of the rating point ends in `_r` where
one of a head stands beside it.
"""

from __future__ import annotations

from dataclasses import dataclass

from tablegen.wording.calculation import AHRI_540_COEFFICIENT, MEANINGS
from tablegen.wording.trace import OF_CURVES


@dataclass(frozen=True, slots=True)
class Symbol:
    """One quantity: its name in formulas, the sign that is printed, and its kind, which settles its unit."""

    name: str
    sign: str
    kind: str

    @property
    def meaning(self) -> str:
        """What it stands for, in the reader's language."""
        if self.name in MEANINGS:
            return MEANINGS[self.name]()
        if self.name in OF_CURVES:
            return OF_CURVES[self.name]()
        return AHRI_540_COEFFICIENT(number=self.name.removeprefix("C"))


_T, _DT, _P, _DP = "temperature", "temperature difference", "pressure", "pressure difference"
_RHO, _H, _V = "density", "enthalpy", "specific volume"

_SIGNS = {
    "SST": ("SST", _T),
    "dT_s": ("ΔT_s", _DT),
    "T_e": ("T_e", _T),
    "T_er": ("T_e,r", _T),
    "p_e": ("p_e", _P),
    "SH_u": ("SH_u", _DT),
    "h_v": ("h_v", _H),
    "T_c": ("T_c", _T),
    "p_h": ("p_h", _P),
    "dT_sub": ("ΔT_sub", _DT),
    "T_l": ("T_l", _T),
    "dp_line": ("Δp_line", _DP),
    "H": ("H", "length"),
    "g": ("g", "acceleration"),
    "dp_lift": ("Δp_lift", _DP),
    "rho": ("ρ", _RHO),
    "rho_r": ("ρ_r", _RHO),
    "p_1": ("p₁", _P),
    "SC_c": ("SC_c", _DT),
    "T_h": ("T_bub,h", _T),
    "T_o": ("T_out", _T),
    "g_1": ("g_line", "line heat"),
    "L_g": ("L_line", "length"),
    "Q_g": ("Q_line", "load"),
    "sigma": ("σ", "share"),
    "dT_1": ("ΔT₁", _DT),
    "T_oc": ("T_cold", _T),
    "h_w": ("h_warm", _H),
    "h_c": ("h_cold", _H),
    "c_l": ("c_l", "heat capacity"),
    "dT_g": ("ΔT_g", _DT),
    "T_n": ("T_n", _T),
    "rho_n": ("ρ_n", _RHO),
    "p_n": ("p_n", _P),
    "SC_n": ("SC_need", _DT),
    "p_1l": ("p_1,liq", _P),
    "p_bl": ("p_bub,l", _P),
    "dp_sh": ("Δp_short", _DP),
    "dp_f": ("Δp_flash", _DP),
    **{f"r_{i}": (f"r{sign}", "share") for i, sign in enumerate("₁₂₃₄", start=1)},
    "dp_fl": ("Δp_liq", _DP),
    "T_b1": ("T_bub,1", _T),
    "T_d1": ("T_dew,1", _T),
    "h_b1": ("h_bub,1", _H),
    "h_d1": ("h_dew,1", _H),
    "rho_b1": ("ρ_bub,1", _RHO),
    "rho_d1": ("ρ_dew,1", _RHO),
    "x_1": ("x₁", "share"),
    "x_max": ("x_max", "share"),
    "rho_1": ("ρ₁", _RHO),
    "h_l": ("h_l", _H),
    "dh_r": ("Δh_r", _H),
    "T_s": ("T_s", _T),
    "p_s": ("p_s", _P),
    "SH_c": ("SH_c", _DT),
    "rho_s": ("ρ_s", _RHO),
    "dp_d": ("Δp_d", _DP),
    "p_d": ("p_d", _P),
    "T_d": ("T_d", _T),
    "C": ("C", "share"),
    "n": ("n", "share"),
    "eta": ("η_v", "share"),
    "S": ("S", "plain"),
    "D_c": ("D_c", "plain"),
    "m_c": ("m_c", _RHO),
    "m_cr": ("m_c,r", _RHO),
    # Of a polynomial or a table, in the unit of its coefficients.
    "m_x": ("m_c", "plain"),
    "m_xr": ("m_c,r", "plain"),
    "s": ("s", "share"),
    "d_max": ("d_max", "share"),
    "f": ("f", "share"),
    "m": ("ṁ", "mass flow"),
    "T_b2": ("T_bub,e", _T),
    "h_b": ("h_bub", _H),
    "h_d": ("h_dew", _H),
    "rho_b": ("ρ_bub", _RHO),
    "rho_d": ("ρ_dew", _RHO),
    "x": ("x", "share"),
    "v": ("v", _V),
    "v_r": ("v_r", _V),
    "dp_evap": ("Δp_evap", _DP),
    "dp_dist": ("Δp_dist", _DP),
    "p_2": ("p₂", _P),
    "dp": ("Δp", _DP),
    "p_v": ("p_v", _P),
    "p_crit": ("p_c", _P),
    "F_F": ("F_F", "share"),
    "F_L": ("F_L", "share"),
    "dp_ch": ("Δp_ch", _DP),
    "dp_eff": ("Δp_eff", _DP),
    # Of the discharge coefficient.
    "s_c": ("s_sub", "share"),
    "s_n": ("s_ref", "share"),
    "a_d": ("a", "share"),
    "y_p": ("y_drop", "share"),
    "y_n": ("y_ref", "share"),
    "b_d": ("b", "share"),
    "C_d": ("C_d", "share"),
    **{f"{name}_{end}": (f"{name}_{end}", "share") for name in "sy" for end in ("min", "max")},
    "N": ("N", "flow constant"),
    "E": ("E", "energy rate"),
    # What Kv is of: water of this density, passing at this drop.
    "rho_0": ("ρ₀", _RHO),
    "dp_0": ("Δp₀", _DP),
    "V": ("V", "volume"),
    "D": ("D", "required_kv"),
    "q": ("q", "share"),
    "q_e": ("q_e", "share"),
    "DT": ("ΔT_box", _DT),
    "TD": ("TD", _DT),
    "k_SH": ("k_SH", "share"),
    "q_loss": ("q_loss", "share"),
    "r_c": ("r_coil", "share"),
    "h_a": ("h_box", _H),
    "a": ("a", "share"),
    "B": ("B", "share"),
    "z_w": ("z_wet", "share"),
    "q_w": ("q_coil", "share"),
    # Of the loop of valve, coil and bulb or sensor.
    "dh_w": ("Δh_wet", _H),
    "B_r": ("B_r", "share"),
    "E_d": ("E_dry", "share"),
    "zeta": ("ζ", "share"),
    "Q_c": ("Q_circuit", "load"),
    "m_1": ("ṁ_circuit", "mass flow"),
    "L_c": ("L", "length"),
    "k_w": ("k_wet", "conductance"),
    "s_Z": ("s_slip", "share"),
    "k_h": ("k_hold", "share"),
    "w_l": ("w_liquid", "share"),
    "d_i": ("d_tube", "length"),
    "A_i": ("A_tube", "area"),
    "h_fg": ("h_fg", _H),
    "N_t": ("N_t", "time scale"),
    "t_d": ("t_dry", "time"),
    "b_p": ("b", "share"),
    "d_0": ("d", "time"),
    "t_1": ("t_front", "time"),
    "C_w": ("C_wall", "wall heat"),
    "a_w": ("a_air", "share"),
    "t_w": ("t_wall", "time"),
    "t_f": ("t_wet", "time"),
    "t_b": ("t_bulb", "time"),
    "w_u": ("ω_u", "frequency"),
    "P_u": ("P_u", "time"),
    "k_K": ("k_cal", "share"),
    "K_b": ("K_b", "share"),
    "K_u": ("K_u", "share"),
    "GM": ("GM", "share"),
    "K_all": ("K_allowed", "share"),
    "SH_s": ("MSS", _DT),
    "k_s": ("k_MSS", "share"),
    "dp_b": ("p′_bulb", "pressure slope"),
    "l_c": ("c′/c", "share"),
    "K_0": ("K", "share"),
    "phi_seat": ("φ_seat", "share"),
    "K_p": ("K_p", "controller gain"),
    "T_i": ("T_i", "time"),
    "d_c": ("d_c", "time"),
    "SH_set": ("SH_set", _DT),
    "T_b0": ("T_b0", _T),
    "SS": ("SS", _DT),
    "OS": ("OS", _DT),
    "dp_ref": ("Δp_ref", _DP),
    "p_b0": ("p_b0", _P),
    "p_b1": ("p_b1", _P),
    "p_e0": ("p_e0", _P),
    "p_spring": ("p_spring", _DP),
    "p_grad": ("p_grad", _DP),
    "p_MOP": ("p_MOP", _P),
    "T_m": ("T_m", "kelvin"),
    # Zero of the printed scale above absolute zero: none in kelvin, in which all is computed.
    "T_0": ("T₀", "scale zero"),
    "u": ("u", "share"),
    "SH_max": ("SH_max", _DT),
    "SH_min": ("SH_min", _DT),
    "a_0": ("a₀", _DT),
    "a_1": ("a₁", _DT),
    "a_2": ("a₂", _DT),
    "T_b": ("T_b", _T),
    "T_bk": ("T_b", "kelvin"),
    "p_b": ("p_bulb", _P),
    "p_u": ("p_under", _P),
    "SH": ("SH", _DT),
    "phi": ("φ", "share"),
    "phi_sh": ("φ_SH", "share"),
    "phi_stop": ("φ_stop", "share"),
    "r_lim": ("r_lim", "share"),
    "phi_size": ("φ_size", "share"),
    "phi_stable": ("φ_stable", "share"),
    "phi_max": ("φ_max", "share"),
    "phi_min": ("φ_min", "share"),
    "c": ("c", "share"),
    "Q_1": ("Q₁", "load_per_kv"),
    "c_p": ("c_port", "share"),
    "Kv": ("Kv", "flow coefficient"),
    "Kv_p": ("Kv_port", "flow coefficient"),
    "Kv_c": ("Kv_conn", "flow coefficient"),
    "r": ("r", "share"),
    "Q_n": ("Q_n", "load"),
    "k": ("k", "share"),
    "Q": ("Q", "load"),
    "T_min": ("T_min", _T),
    "T_max": ("T_max", _T),
    "dp_shut": ("Δp_shut", _DP),
    "p_work": ("p_work", _P),
    "dp_all": ("Δp_allowed", _DP),
    # Of a curve of a config file, between two of its points.
    "z": ("z", "share"),
    "y": ("y", "share"),
    "T_p": ("T_p", _T),
    "p_p": ("p_p", _P),
    "phi_p": ("φ_p", "share"),
    "c_pt": ("c_p", "share"),
    **{f"b_{i}": (f"b{sign}", "share") for i, sign in enumerate("₁₂₃", start=1)},
    "t": ("t", "plain"),
    "T_1": ("T₁", "kelvin"),
    "p_a": ("p_a", _P),
    **{f"{name}_c": (f"{name}_c", "plain") for name in "ABC"},
    **{f"T_{end}": (f"T_{end}", _T) for end in ("s1", "s2", "d1", "d2")},
    **{f"m_{place}": (f"m_{place}", "plain") for place in ("11", "12", "21", "22")},
    # Terms of the polynomial of AHRI 540.
    **{f"C{i}": (f"C{i}", "plain") for i in range(1, 11)},
}
SYMBOLS = {name: Symbol(name, sign, kind) for name, (sign, kind) in _SIGNS.items()}

# Kind of what a function gives: a property, or a figure of a curve of the config.
FUNCTION_KINDS = {
    **dict.fromkeys(("p_dew", "p_bub", "p_mid", "p_set", "p_charge"), _P),
    **dict.fromkeys(("T_bub", "T_dew"), _T),
    **dict.fromkeys(("rho_liq", "rho_vap", "rho_bub", "rho_dew", "rho_mix"), _RHO),
    **dict.fromkeys(("h_liq", "h_vap", "h_bubble", "h_dew"), _H),
    "T_charge": "kelvin",
    "share": "share",
    "flow_table": "plain",
    "phase_root": "frequency",
    "slope_charge": "pressure slope",
    "slope_share": "share",
}

FUNCTIONS = {
    "p_dew": "p_dew",
    "p_bub": "p_bub",
    "p_mid": "p_mid",
    "T_bub": "T_bub",
    "T_dew": "T_dew",
    "rho_liq": "ρ_liquid",
    "h_liq": "h_liquid",
    "h_vap": "h_vapor",
    "rho_vap": "ρ_vapor",
    "h_bubble": "h_bub",
    "h_dew": "h_dew",
    "rho_bub": "ρ_bub",
    "rho_dew": "ρ_dew",
    "rho_mix": "ρ_mixture",
    "p_set": "p_dew,setting",
    "p_charge": "p_charge",
    "T_charge": "T_charge",
    "share": "c",
    "flow_table": "flow",
    "degrees": "degrees",
    "exp": "exp",
    "log": "ln",
    "phase_root": "ω",
    "slope_charge": "p′_charge",
    "slope_share": "c′/c",
    "min": "min",
    "max": "max",
}


def symbol(name: str) -> Symbol:
    """The symbol of a quantity.

    Raises
    ------
    KeyError
        If there is none of the name.
    """
    return SYMBOLS[name]
