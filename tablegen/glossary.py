"""The glossary as data: every quantity that a public name or a data-set column may carry."""

from __future__ import annotations

from typing import NamedTuple

from tablegen.wording.columns_explained import MEANINGS


class Quantity(NamedTuple):
    """SI unit of a data-set column ("" where each row names its own), and symbol of the method page."""

    unit: str
    symbol: str


COLUMNS: dict[str, Quantity] = {
    "kv_rated_m3h": Quantity("m3/h", "Kv"),
    "sst_k": Quantity("K", "SST"),
    "min_load_w": Quantity("W", "Qmin"),
    "max_load_w": Quantity("W", "Qmax"),
    "load_above_w": Quantity("W", ""),
    "load_upto_w": Quantity("W", ""),
    "lower_upto_w": Quantity("W", ""),
    "upper_from_w": Quantity("W", ""),
    "middle_load_w": Quantity("W", "Qmid"),
    "superheat_low_head_k": Quantity("K", "SH"),
    "superheat_high_head_k": Quantity("K", "SH"),
    "superheat_swing_k": Quantity("K", "dSH"),
    "unbalance_swing_k": Quantity("K", ""),
    "evaporating_temperature_k": Quantity("K", "Te"),
    "evaporating_pressure_pa": Quantity("Pa", "pe"),
    "suction_pressure_pa": Quantity("Pa", "ps"),
    "head_pressure_pa": Quantity("Pa", "ph"),
    "head_bubble_temperature_k": Quantity("K", ""),
    "head_dew_temperature_k": Quantity("K", ""),
    "condensing_bubble_pressure_pa": Quantity("Pa", ""),
    "condensing_dew_pressure_pa": Quantity("Pa", ""),
    "liquid_temperature_k": Quantity("K", "Tl"),
    "inlet_subcooling_k": Quantity("K", "dTsub"),
    "inlet_pressure_pa": Quantity("Pa", "p1"),
    "outlet_pressure_pa": Quantity("Pa", "p2"),
    "pressure_drop_pa": Quantity("Pa", "dp"),
    "effective_pressure_drop_pa": Quantity("Pa", "dp_eff"),
    "liquid_bubble_pressure_pa": Quantity("Pa", "pv"),
    "liquid_density_kg_m3": Quantity("kg/m3", "rho_l"),
    "liquid_enthalpy_j_kg": Quantity("J/kg", "hl"),
    "vapour_enthalpy_j_kg": Quantity("J/kg", "hg"),
    "mixture_volume_m3_kg": Quantity("m3/kg", "vmix"),
    "flow_ratio": Quantity("1", "M"),
    "flow_share": Quantity("1", "f"),
    "capacity_ratio": Quantity("1", "Q(e)/Q"),
    "required_kv_m3h_per_kw": Quantity("m3/h per kW", "D"),
    "pressure_uncertainty": Quantity("1", ""),
    "density_uncertainty": Quantity("1", ""),
    "enthalpy_uncertainty": Quantity("1", ""),
    "nominal_min_load_w": Quantity("W", "Qmin"),
    "nominal_max_load_w": Quantity("W", "Qmax"),
    "confident_min_load_w": Quantity("W", "Qmin"),
    "confident_max_load_w": Quantity("W", "Qmax"),
    "nominal_load_w": Quantity("W", ""),
    "member_load_w": Quantity("W", ""),
    "installed_load_w": Quantity("W", ""),
    "confident_load_w": Quantity("W", ""),
    "data_low_load_w": Quantity("W", ""),
    "data_high_load_w": Quantity("W", ""),
    "load_at_low_w": Quantity("W", ""),
    "load_at_high_w": Quantity("W", ""),
    "unsettled_share": Quantity("1", ""),
    "nominal_capacity_w": Quantity("W", ""),
    "bulb_pressure_pa": Quantity("Pa", "p_bulb"),
    "spring_pressure_pa": Quantity("Pa", "p_spring"),
    "static_superheat_k": Quantity("K", "SS"),
    "evaporator_capacity_w": Quantity("W", ""),
    "opening": Quantity("1", "phi"),
    "condensing_temperature_k": Quantity("K", "Tc"),
    "subcooling_k": Quantity("K", ""),
    "capacity_factor": Quantity("1", ""),
    "max_opening": Quantity("1", "phi_max"),
    "min_opening": Quantity("1", "phi_min"),
    "compressor_capacity_w": Quantity("W", ""),
    "valve_max_w": Quantity("W", ""),
    "published_value": Quantity("", ""),
    "computed_value": Quantity("", ""),
    "deviation": Quantity("", ""),
    "allowed_deviation": Quantity("", ""),
    "valve_min_w": Quantity("W", ""),
}


def meaning(column: str) -> str:
    """What a column means, in the current language.

    >>> meaning("sst_k")
    'saturated suction temperature, dew point'
    """
    return MEANINGS[column]()
