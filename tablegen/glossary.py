"""The glossary as data: every quantity that a public name or a data-set column may carry."""

from __future__ import annotations

from typing import NamedTuple


class Quantity(NamedTuple):
    """One quantity: data-set column stem, SI unit, symbol of the method page, meaning."""

    unit: str
    symbol: str
    meaning: str


COLUMNS: dict[str, Quantity] = {
    "kv_rated_m3h": Quantity("m3/h", "Kv", "flow coefficient at rated stroke (IEC 60534)"),
    "sst_k": Quantity("K", "SST", "saturated suction temperature, dew point"),
    "min_load_w": Quantity("W", "Qmin", "minimum rated capacity, steady at all operating conditions, as printed"),
    "max_load_w": Quantity("W", "Qmax", "maximum rated capacity, passed at all operating conditions, as printed"),
    "load_above_w": Quantity("W", "", "loads of a row of a map or chart begin above this"),
    "load_upto_w": Quantity("W", "", "loads of a row of a map or chart end at this"),
    "lower_upto_w": Quantity("W", "", "maximum load of a row that the size in lower_size covers"),
    "upper_from_w": Quantity("W", "", "minimum load of a row that the size in upper_size covers"),
    "middle_load_w": Quantity("W", "Qmid", "geometric middle of the window"),
    "superheat_low_head_k": Quantity("K", "SH", "operating superheat at the middle load, low head"),
    "superheat_high_head_k": Quantity("K", "SH", "operating superheat at the middle load, high head"),
    "superheat_swing_k": Quantity("K", "dSH", "high-head minus low-head operating superheat"),
    "unbalance_swing_k": Quantity("K", "", "part of the swing that an ideally balanced port would not have"),
    "evaporating_temperature_k": Quantity("K", "Te", "dew temperature at the evaporator outlet"),
    "evaporating_pressure_pa": Quantity("Pa", "pe", "pressure at the evaporator outlet, absolute"),
    "suction_pressure_pa": Quantity("Pa", "ps", "pressure at the compressor inlet, absolute"),
    "head_pressure_pa": Quantity("Pa", "ph", "head pressure, absolute"),
    "head_bubble_temperature_k": Quantity("K", "", "bubble temperature at the head pressure"),
    "head_dew_temperature_k": Quantity("K", "", "dew temperature at the head pressure"),
    "condensing_bubble_pressure_pa": Quantity("Pa", "", "bubble pressure at the stated condensing temperature"),
    "condensing_dew_pressure_pa": Quantity("Pa", "", "dew pressure at the stated condensing temperature"),
    "liquid_temperature_k": Quantity("K", "Tl", "liquid temperature at the valve inlet"),
    "inlet_subcooling_k": Quantity("K", "dTsub", "bubble temperature at the valve inlet minus liquid temperature"),
    "inlet_pressure_pa": Quantity("Pa", "p1", "pressure at the valve inlet, absolute"),
    "outlet_pressure_pa": Quantity("Pa", "p2", "pressure at the port outlet, absolute"),
    "pressure_drop_pa": Quantity("Pa", "dp", "pressure drop left for the port"),
    "effective_pressure_drop_pa": Quantity("Pa", "dp_eff", "pressure drop that drives flow under the flow law"),
    "liquid_bubble_pressure_pa": Quantity("Pa", "pv", "bubble pressure at the liquid temperature"),
    "liquid_density_kg_m3": Quantity("kg/m3", "rho_l", "liquid density at the valve inlet"),
    "liquid_enthalpy_j_kg": Quantity("J/kg", "hl", "liquid enthalpy at the valve inlet"),
    "vapour_enthalpy_j_kg": Quantity("J/kg", "hg", "vapor enthalpy at the end of useful superheat"),
    "mixture_volume_m3_kg": Quantity("m3/kg", "vmix", "specific volume of the flashed mixture at the distributor"),
    "flow_ratio": Quantity("1", "M", "compressor mass flow over that at the rating point"),
    "flow_share": Quantity("1", "f", "refrigerant flow over rated flow, capacity step included"),
    "capacity_ratio": Quantity("1", "Q(e)/Q", "system capacity at the condition over the rated capacity"),
    "required_kv_m3h_per_kw": Quantity("m3/h per kW", "D", "flow coefficient required per kW of rated capacity"),
    "pressure_uncertainty": Quantity("1", "", "share by which saturation pressures may be off"),
    "density_uncertainty": Quantity("1", "", "share by which densities may be off"),
    "enthalpy_uncertainty": Quantity("1", "", "share by which enthalpy differences may be off"),
    "nominal_min_load_w": Quantity("W", "Qmin", "minimum load with nominal figures"),
    "nominal_max_load_w": Quantity("W", "Qmax", "maximum load with nominal figures"),
    "confident_min_load_w": Quantity("W", "Qmin", "minimum load at confidence: for the share of valves installed"),
    "confident_max_load_w": Quantity("W", "Qmax", "maximum load at confidence: for the share of valves installed"),
    "nominal_load_w": Quantity("W", "", "limit with nominal figures"),
    "member_load_w": Quantity("W", "", "nominal limit of the refrigerant that sets the limit at confidence"),
    "installed_load_w": Quantity("W", "", "limit for the share of valves installed, properties as stated"),
    "confident_load_w": Quantity("W", "", "limit at confidence, NaN where no load is covered"),
    "data_low_load_w": Quantity("W", "", "lower end of installed_load_w, as far as properties may be off"),
    "data_high_load_w": Quantity("W", "", "upper end of installed_load_w, as far as properties may be off"),
    "load_at_low_w": Quantity("W", "", "limit with one source alone at its low end"),
    "load_at_high_w": Quantity("W", "", "limit with one source alone at its high end"),
    "unsettled_share": Quantity("1", "", "spread of a limit at confidence from one set of draws to another"),
    "nominal_capacity_w": Quantity("W", "", "capacity at the family's rating"),
    "bulb_pressure_pa": Quantity("Pa", "p_bulb", "pressure of the bulb charge at the temperature, absolute"),
    "spring_pressure_pa": Quantity("Pa", "p_spring", "pressure that the spring stands for, just open"),
    "static_superheat_k": Quantity("K", "SS", "superheat at which the valve just opens"),
    "evaporator_capacity_w": Quantity("W", "", "capacity of the evaporator at the condition, box and conductance held"),
    "opening": Quantity("1", "phi", "opening, share of rated stroke"),
    "condensing_temperature_k": Quantity("K", "Tc", "condensing temperature on the stated basis"),
    "subcooling_k": Quantity("K", "", "liquid below the bubble temperature"),
    "capacity_factor": Quantity("1", "", "capacity at the rating point over capacity at the stated condition"),
    "max_opening": Quantity("1", "phi_max", "maximum opening used, share of rated stroke"),
    "min_opening": Quantity("1", "phi_min", "minimum opening used, share of rated stroke"),
    "compressor_capacity_w": Quantity("W", "", "system capacity at the head pressure for the example load"),
    "valve_max_w": Quantity("W", "", "capacity that the valve passes at its maximum opening at that head"),
    "published_value": Quantity("as the row says", "", "what a source prints or nearer end of a band, in that unit"),
    "computed_value": Quantity("as the row says", "", "what is computed for the same condition, in the row's unit"),
    "deviation": Quantity("as the row says", "", "computed less published value (0 inside a band), in deviation_unit"),
    "allowed_deviation": Quantity("as the row says", "", "how far the two may lie apart, in the row's deviation_unit"),
    "valve_min_w": Quantity("W", "", "capacity below which the valve is not steady at that head"),
}
