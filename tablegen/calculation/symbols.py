"""The quantities of the method: the sign that each is written with, its kind, its meaning.

The method page, the handout and `trace` take their signs from here. A quantity of the rating point ends in `_r` where
one of a head stands beside it.
"""

from __future__ import annotations

from typing import NamedTuple

from tablegen.errors import unknown


class Symbol(NamedTuple):
    """One quantity: sign, kind (which settles its unit), meaning."""

    sign: str
    kind: str
    meaning: str


_T, _DT, _P, _DP = "temperature", "temperature difference", "pressure", "pressure difference"
_RHO, _H, _V = "density", "enthalpy", "specific volume"

SYMBOLS: dict[str, Symbol] = {
    "SST": Symbol("SST", _T, "saturated suction temperature, dew"),
    "dT_s": Symbol("ΔT_s", _DT, "loss of the suction line"),
    "T_e": Symbol("T_e", _T, "evaporating temperature, dew"),
    "T_er": Symbol("T_e,r", _T, "evaporating temperature at the rating point"),
    "p_e": Symbol("p_e", _P, "evaporating pressure"),
    "SH_u": Symbol("SH_u", _DT, "useful superheat"),
    "h_g": Symbol("h_g", _H, "vapor after useful superheat"),
    "T_c": Symbol("T_c", _T, "condensing temperature"),
    "p_h": Symbol("p_h", _P, "head pressure"),
    "dT_sub": Symbol("ΔT_sub", _DT, "subcooling at the valve inlet"),
    "T_l": Symbol("T_l", _T, "liquid temperature"),
    "dp_line": Symbol("Δp_line", _DP, "loss of the liquid line, rated flow"),
    "H": Symbol("H", "length", "lift of the liquid"),
    "g": Symbol("g", "acceleration", "standard gravity"),
    "dp_lift": Symbol("Δp_lift", _DP, "head of the lifted liquid"),
    "rho": Symbol("ρ", _RHO, "liquid density at the inlet"),
    "rho_r": Symbol("ρ_r", _RHO, "liquid density, rating point"),
    "p_1": Symbol("p₁", _P, "inlet pressure of the valve"),
    "h_l": Symbol("h_l", _H, "liquid enthalpy at the inlet"),
    "dh_r": Symbol("Δh_r", _H, "refrigerating effect"),
    "T_s": Symbol("T_s", _T, "dew temperature, compressor"),
    "p_s": Symbol("p_s", _P, "pressure at the compressor"),
    "SH_c": Symbol("SH_c", _DT, "superheat of the returning gas"),
    "rho_s": Symbol("ρ_s", _RHO, "density of the suction gas"),
    "dp_d": Symbol("Δp_d", _DP, "discharge loss"),
    "p_d": Symbol("p_d", _P, "discharge pressure"),
    "T_d": Symbol("T_d", _T, "discharge dew temperature"),
    "C": Symbol("C", "share", "clearance over swept volume"),
    "n": Symbol("n", "share", "exponent of re-expansion"),
    "eta": Symbol("η_v", "share", "volumetric efficiency"),
    "S": Symbol("S", "plain", "suction dew temperature, number"),
    "D_c": Symbol("D_c", "plain", "discharge dew temperature, number"),
    "m_c": Symbol("m_c", _RHO, "compressor flow per swept volume"),
    "m_cr": Symbol("m_c,r", _RHO, "the same, rating point"),
    # Of a polynomial or a table, in the unit of its coefficients.
    "m_x": Symbol("m_c", "plain", "compressor flow, relative"),
    "m_xr": Symbol("m_c,r", "plain", "the same, rating point"),
    "s": Symbol("s", "share", "minimum capacity step of the compressor"),
    "f": Symbol("f", "share", "flow over rated flow"),
    "m": Symbol("ṁ", "mass flow", "mass flow of the refrigerant"),
    "T_b2": Symbol("T_bub,e", _T, "bubble point, evaporator"),
    "h_b": Symbol("h_bub", _H, "saturated liquid, evaporator"),
    "h_d": Symbol("h_dew", _H, "saturated vapor, evaporator"),
    "rho_b": Symbol("ρ_bub", _RHO, "liquid density, evaporator"),
    "rho_d": Symbol("ρ_dew", _RHO, "vapor density, evaporator"),
    "x": Symbol("x", "share", "quality downstream of the port"),
    "v": Symbol("v", _V, "flashed mixture, volume"),
    "v_r": Symbol("v_r", _V, "the same, rating point"),
    "dp_evap": Symbol("Δp_evap", _DP, "loss of the evaporator, rated flow"),
    "dp_dist": Symbol("Δp_dist", _DP, "loss of the distributor, rated flow"),
    "p_2": Symbol("p₂", _P, "outlet pressure of the port"),
    "dp": Symbol("Δp", _DP, "drop left for the port"),
    "p_v": Symbol("p_v", _P, "bubble pressure of the liquid"),
    "p_crit": Symbol("p_c", _P, "critical pressure"),
    "F_F": Symbol("F_F", "share", "critical pressure ratio"),
    "F_L": Symbol("F_L", "share", "pressure recovery factor"),
    "dp_ch": Symbol("Δp_ch", _DP, "drop at which the flow chokes"),
    "dp_eff": Symbol("Δp_eff", _DP, "drop that drives the flow"),
    "N": Symbol("N", "flow constant", "flow per Kv, at density 1 and drop 1"),
    "E": Symbol("E", "energy rate", "energy per hour in a unit of load"),
    "D": Symbol("D", "required_kv", "required Kv per unit of load"),
    "q": Symbol("q", "share", "evaporator load"),
    "q_e": Symbol("q_e", "share", "what the evaporator takes up"),
    "DT": Symbol("ΔT_box", _DT, "box less evaporating temperature"),
    "T_b0": Symbol("T_b0", _T, "bulb temperature of the setting"),
    "SS": Symbol("SS", _DT, "static superheat of the setting"),
    "OS": Symbol("OS", _DT, "opening superheat of the setting"),
    "dp_ref": Symbol("Δp_ref", _DP, "pressure drop of the setting"),
    "p_b0": Symbol("p_b0", _P, "bulb pressure of the setting"),
    "p_b1": Symbol("p_b1", _P, "bulb pressure, rated stroke"),
    "p_e0": Symbol("p_e0", _P, "dew pressure of the setting"),
    "p_spring": Symbol("p_spring", _DP, "spring pressure, just open"),
    "p_grad": Symbol("p_grad", _DP, "spring to rated stroke"),
    "p_MOP": Symbol("p_MOP", _P, "maximum operating pressure"),
    "T_m": Symbol("T_m", "kelvin", "bulb temperature of the MOP"),
    "u": Symbol("u", "share", "net unbalanced port area over diaphragm area, positive where inlet pressure closes"),
    "SH_max": Symbol("SH_max", _DT, "maximum superheat"),
    "SH_min": Symbol("SH_min", _DT, "minimum stable superheat"),
    "a_0": Symbol("a₀", _DT, "minimum stable superheat, constant"),
    "a_1": Symbol("a₁", _DT, "the same, with load"),
    "a_2": Symbol("a₂", _DT, "the same, with load squared"),
    "T_b": Symbol("T_b", _T, "bulb temperature"),
    "T_bk": Symbol("T_b", "kelvin", "bulb temperature"),
    "p_b": Symbol("p_bulb", _P, "bulb pressure"),
    "p_u": Symbol("p_under", _P, "under the diaphragm"),
    "SH": Symbol("SH", _DT, "superheat at the evaporator outlet"),
    "phi": Symbol("φ", "share", "opening, share of rated stroke"),
    "phi_sh": Symbol("φ_SH", "share", "opening at that superheat"),
    "phi_stop": Symbol("φ_stop", "share", "opening at the mechanical stop"),
    "phi_stable": Symbol("φ_stable", "share", "minimum stable opening"),
    "phi_max": Symbol("φ_max", "share", "maximum opening used"),
    "phi_min": Symbol("φ_min", "share", "minimum opening used"),
    "c": Symbol("c", "share", "share of rated Kv"),
    "Q_1": Symbol("Q₁", "load per Kv", "load per m³/h of rated Kv"),
    "Kv": Symbol("Kv", "flow coefficient", "rated flow coefficient"),
    "Q_n": Symbol("Q_n", "load", "nominal capacity of the size"),
    "k": Symbol("k", "share", "confident limit over the nominal one"),
    "Q": Symbol("Q", "load", "load at the rating point"),
    "T_min": Symbol("T_min", _T, "coldest evaporation of the charge"),
    "T_max": Symbol("T_max", _T, "warmest evaporation of the charge"),
    "dp_shut": Symbol("Δp_shut", _DP, "what the shut valve bears"),
    "p_work": Symbol("p_work", _P, "working pressure of the valve"),
    "dp_all": Symbol("Δp_allowed", _DP, "allowed differential"),
}
# Terms of the polynomial of AHRI 540.
SYMBOLS |= {f"C{i}": Symbol(f"C{i}", "plain", f"coefficient {i} of AHRI 540") for i in range(1, 11)}

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
    "p_set": "p_dew,setting",
    "p_charge": "p_charge",
    "T_charge": "T_charge",
    "share": "c",
    "flow_table": "flow",
    "degrees": "degrees",
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
    if name not in SYMBOLS:
        raise KeyError(unknown("a quantity of a working", name, SYMBOLS))
    return SYMBOLS[name]
