"""The columns of a data set: unit and meaning of each."""

from __future__ import annotations

from tablegen.wording.columns_explained import MEANINGS

# SI unit of each column of the data set; "" where each row names its own.
UNITS: dict[str, str] = {
    "kv_rated_m3h": "m3/h",
    "sst_k": "K",
    "min_load_w": "W",
    "max_load_w": "W",
    "load_above_w": "W",
    "load_upto_w": "W",
    "lower_upto_w": "W",
    "upper_from_w": "W",
    "middle_load_w": "W",
    "superheat_low_head_k": "K",
    "superheat_high_head_k": "K",
    "superheat_swing_k": "K",
    "unbalance_swing_k": "K",
    "evaporating_temperature_k": "K",
    "evaporating_pressure_pa": "Pa",
    "suction_pressure_pa": "Pa",
    "head_pressure_pa": "Pa",
    "head_bubble_temperature_k": "K",
    "head_dew_temperature_k": "K",
    "condensing_bubble_pressure_pa": "Pa",
    "condensing_dew_pressure_pa": "Pa",
    "liquid_temperature_k": "K",
    "inlet_subcooling_k": "K",
    "inlet_pressure_pa": "Pa",
    "outlet_pressure_pa": "Pa",
    "pressure_drop_pa": "Pa",
    "effective_pressure_drop_pa": "Pa",
    "liquid_bubble_pressure_pa": "Pa",
    "liquid_density_kg_m3": "kg/m3",
    "liquid_enthalpy_j_kg": "J/kg",
    "vapour_enthalpy_j_kg": "J/kg",
    "mixture_volume_m3_kg": "m3/kg",
    "flow_ratio": "1",
    "flow_share": "1",
    "capacity_ratio": "1",
    "required_kv_m3h_per_kw": "m3/h per kW",
    "pressure_uncertainty": "1",
    "density_uncertainty": "1",
    "enthalpy_uncertainty": "1",
    "nominal_min_load_w": "W",
    "nominal_max_load_w": "W",
    "confident_min_load_w": "W",
    "confident_max_load_w": "W",
    "nominal_load_w": "W",
    "member_load_w": "W",
    "installed_load_w": "W",
    "confident_load_w": "W",
    "data_low_load_w": "W",
    "data_high_load_w": "W",
    "load_at_low_w": "W",
    "load_at_high_w": "W",
    "spread_between_draws": "1",
    "nominal_capacity_w": "W",
    "bulb_pressure_pa": "Pa",
    "spring_pressure_pa": "Pa",
    "static_superheat_k": "K",
    "evaporator_capacity_w": "W",
    "opening": "1",
    "condensing_temperature_k": "K",
    "subcooling_k": "K",
    "capacity_factor": "1",
    "max_opening": "1",
    "min_opening": "1",
    "compressor_capacity_w": "W",
    "valve_max_w": "W",
    "published_value": "",
    "computed_value": "",
    "deviation": "",
    "allowed_deviation": "",
    "valve_min_w": "W",
}


def meaning(column: str) -> str:
    """What a column means, in the current language.

    >>> meaning("sst_k")
    'saturated suction temperature, dew point'
    """
    return MEANINGS[column]()
