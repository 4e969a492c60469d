"""The columns of a data set: SI unit and meaning of each. A new column goes here, with its heading if it has one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tablegen.wording.message import Message


@dataclass(frozen=True)
class DataColumn:
    """What a column of the data set contains.

    Attributes
    ----------
    unit
        SI unit; "1" for a share, ratio or count, "" where each row names its own, None for text.
    meaning
        What it means, in the current language when called.
    """

    unit: str | None
    meaning: Message


COLUMNS: Mapping[str, DataColumn] = {
    "kv_rated_m3h": DataColumn("m3/h", Message("flow coefficient at rated stroke (IEC 60534)")),
    "sst_k": DataColumn("K", Message("saturated suction temperature, dew point")),
    "min_load_w": DataColumn(
        "W",
        Message(
            "minimum load (rated capacity) at which the valve neither hunts nor floods back at any operating "
            "condition, as printed"
        ),
    ),
    "max_load_w": DataColumn(
        "W", Message("maximum load (rated capacity) that the valve passes at all operating conditions, as printed")
    ),
    "load_above_w": DataColumn("W", Message("loads of a row of a map or chart are above this")),
    "load_upto_w": DataColumn("W", Message("loads of a row of a map or chart are at most this")),
    "lower_upto_w": DataColumn("W", Message("largest load of the row that the size in lower_size covers")),
    "upper_from_w": DataColumn("W", Message("smallest load of the row that the size in upper_size covers")),
    "middle_load_w": DataColumn("W", Message("geometric mean of minimum and maximum load")),
    "superheat_low_head_k": DataColumn("K", Message("operating superheat at the middle load, low head")),
    "superheat_high_head_k": DataColumn("K", Message("operating superheat at the middle load, high head")),
    "superheat_swing_k": DataColumn("K", Message("operating superheat at high head minus that at low head")),
    "unbalance_swing_k": DataColumn("K", Message("part of the swing that an ideally balanced port would not have")),
    "evaporating_temperature_k": DataColumn("K", Message("dew temperature at the evaporator outlet")),
    "evaporating_pressure_pa": DataColumn("Pa", Message("pressure at the evaporator outlet, absolute")),
    "suction_pressure_pa": DataColumn("Pa", Message("pressure at the compressor inlet, absolute")),
    "head_pressure_pa": DataColumn("Pa", Message("head pressure, absolute")),
    "head_bubble_temperature_k": DataColumn("K", Message("bubble temperature at the head pressure")),
    "head_dew_temperature_k": DataColumn("K", Message("dew temperature at the head pressure")),
    "condensing_bubble_pressure_pa": DataColumn("Pa", Message("bubble pressure at the stated condensing temperature")),
    "condensing_dew_pressure_pa": DataColumn("Pa", Message("dew pressure at the stated condensing temperature")),
    "liquid_temperature_k": DataColumn("K", Message("liquid temperature at the valve inlet")),
    "inlet_subcooling_k": DataColumn("K", Message("bubble temperature at the valve inlet minus liquid temperature")),
    "condenser_subcooling_k": DataColumn("K", Message("subcooling at the outlet of condenser or receiver")),
    "needed_subcooling_k": DataColumn(
        "K", Message("subcooling there with which the liquid just reaches the valve without vapor")
    ),
    "inlet_quality": DataColumn("1", Message("vapor at the valve inlet, by mass")),
    "assumed_opening": DataColumn("1", Message("minimum opening as it is stated, share of rated stroke or travel")),
    "loop_opening": DataColumn(
        "1", Message("minimum opening by the loop with the coil, infinite where it always hunts")
    ),
    "loop_superheat_k": DataColumn("K", Message("superheat at that opening, the minimum stable superheat")),
    "loop_superheat_share": DataColumn("1", Message("that superheat over the coil's temperature difference")),
    "loop_period_s": DataColumn("s", Message("period at which the loop hunts")),
    "bulb_time_s": DataColumn("s", Message("time constant of the bulb as stated")),
    "needed_bulb_time_s": DataColumn(
        "s", Message("time constant of the bulb that the stated minimum opening needs, infinite for none")
    ),
    "dead_time_s": DataColumn("s", Message("dead time of dry-out in the coil")),
    "front_lag_s": DataColumn("s", Message("lag of dry-out in the coil")),
    "wall_lag_s": DataColumn("s", Message("lag of tube and fins of the coil")),
    "wall_lead_s": DataColumn("s", Message("lead of tube and fins of the coil")),
    "inlet_pressure_pa": DataColumn("Pa", Message("pressure at the valve inlet, absolute")),
    "outlet_pressure_pa": DataColumn("Pa", Message("pressure at the port outlet, absolute")),
    "pressure_drop_pa": DataColumn("Pa", Message("pressure drop left for the port")),
    "effective_pressure_drop_pa": DataColumn("Pa", Message("pressure drop that drives flow under the flow law")),
    "liquid_bubble_pressure_pa": DataColumn("Pa", Message("bubble pressure at the liquid temperature")),
    "liquid_density_kg_m3": DataColumn("kg/m3", Message("liquid density at the valve inlet")),
    "inlet_density_kg_m3": DataColumn("kg/m3", Message("density of liquid and vapor at the valve inlet")),
    "liquid_enthalpy_j_kg": DataColumn("J/kg", Message("liquid enthalpy at the valve inlet")),
    "vapor_enthalpy_j_kg": DataColumn("J/kg", Message("vapor enthalpy at the end of useful superheat")),
    "mixture_volume_m3_kg": DataColumn("m3/kg", Message("specific volume of the flashed mixture at the distributor")),
    "coil_difference_k": DataColumn(
        "K", Message("temperature difference of the coil: box minus evaporating temperature; NaN where not stated")
    ),
    "flow_ratio": DataColumn("1", Message("compressor mass flow divided by that at the rating point")),
    "flow_share": DataColumn("1", Message("refrigerant flow divided by rated flow, capacity step included")),
    "capacity_ratio": DataColumn("1", Message("system capacity at the condition divided by the rated capacity")),
    "required_kv_m3h_per_kw": DataColumn("m3/h per kW", Message("flow coefficient required per kW of rated capacity")),
    "pressure_uncertainty": DataColumn("1", Message("uncertainty of saturation pressures, as a share")),
    "density_uncertainty": DataColumn("1", Message("uncertainty of densities, as a share")),
    "enthalpy_uncertainty": DataColumn("1", Message("uncertainty of enthalpy differences, as a share")),
    "nominal_min_load_w": DataColumn("W", Message("minimum load with nominal figures")),
    "nominal_max_load_w": DataColumn("W", Message("maximum load with nominal figures")),
    "confident_min_load_w": DataColumn("W", Message("minimum load at confidence: for the share of valves installed")),
    "confident_max_load_w": DataColumn("W", Message("maximum load at confidence: for the share of valves installed")),
    "nominal_load_w": DataColumn("W", Message("limit with nominal figures")),
    "member_load_w": DataColumn("W", Message("nominal limit of the refrigerant that sets the limit at confidence")),
    "installed_load_w": DataColumn("W", Message("limit for the share of valves installed, properties as stated")),
    "confident_load_w": DataColumn("W", Message("limit at confidence; NaN where no load is covered")),
    "data_low_load_w": DataColumn("W", Message("lower end of installed_load_w within the uncertainty of properties")),
    "data_high_load_w": DataColumn("W", Message("upper end of installed_load_w within the uncertainty of properties")),
    "load_at_low_w": DataColumn("W", Message("limit with one source alone at its low end")),
    "load_at_high_w": DataColumn("W", Message("limit with one source alone at its high end")),
    "spread_between_draws": DataColumn("1", Message("spread of a limit at confidence between sets of draws")),
    "step": DataColumn("1", Message("step of an assumption, in the SI unit of its measure")),
    "min_at_step_down": DataColumn(
        "1", Message("change of the minimum load with the step down; inf for no limit left")
    ),
    "min_at_step_up": DataColumn("1", Message("change of the minimum load with the step up; inf for no limit left")),
    "max_at_step_down": DataColumn(
        "1", Message("change of the maximum load with the step down; inf for no limit left")
    ),
    "max_at_step_up": DataColumn("1", Message("change of the maximum load with the step up; inf for no limit left")),
    "nominal_capacity_w": DataColumn("W", Message("capacity at the rating of the family")),
    "bulb_pressure_pa": DataColumn("Pa", Message("pressure of the bulb charge at the temperature, absolute")),
    "spring_pressure_pa": DataColumn("Pa", Message("pressure that the spring balances when the valve just opens")),
    "static_superheat_k": DataColumn("K", Message("superheat at which the valve just opens")),
    "evaporator_capacity_w": DataColumn(
        "W", Message("capacity of the evaporator at the condition, with constant box temperature and conductance")
    ),
    "opening": DataColumn("1", Message("opening, share of rated stroke")),
    "condensing_temperature_k": DataColumn("K", Message("condensing temperature on the stated basis")),
    "subcooling_k": DataColumn("K", Message("bubble temperature minus liquid temperature")),
    "capacity_factor": DataColumn(
        "1", Message("capacity at the rating point divided by capacity at the stated condition")
    ),
    "max_opening": DataColumn("1", Message("maximum opening used, share of rated stroke")),
    "min_opening": DataColumn("1", Message("minimum opening used, share of rated stroke")),
    "compressor_capacity_w": DataColumn("W", Message("system capacity at the head pressure for the example load")),
    "valve_max_w": DataColumn(
        "W", Message("capacity that the valve passes at its maximum opening at that head pressure")
    ),
    "published_value": DataColumn(
        "", Message("value that a source prints, or the nearer end of a band, in the unit of the row")
    ),
    "computed_value": DataColumn("", Message("value computed for the same condition, in the unit of the row")),
    "deviation": DataColumn("", Message("computed minus published value (0 inside a band), in deviation_unit")),
    "allowed_deviation": DataColumn("", Message("how far the two may differ, in deviation_unit")),
    "valve_min_w": DataColumn(
        "W", Message("capacity below which the valve hunts or floods back at that head pressure")
    ),
    # Which table, row and condition.
    "group": DataColumn(None, Message("refrigerant group: one refrigerant, or several that share a table")),
    "family": DataColumn(None, Message("valve family")),
    "size": DataColumn(None, Message("size of the family")),
    "refrigerant": DataColumn(None, Message("refrigerant (ASHRAE 34 designation)")),
    "application": DataColumn(None, Message("application: head pressures, losses, compressor and superheat")),
    "condition": DataColumn(None, Message("operating condition: low_head, rating or high_head")),
    "limit": DataColumn(None, Message("limit of the load: min, max or both")),
    "open_share": DataColumn(
        "1", Message("share of time in which the flow passes: below 1 at the maximum duty of a pulse-modulated valve")
    ),
    "charge": DataColumn(None, Message("bulb charge; empty for an electronic valve")),
    "publication": DataColumn(None, Message("publication that prints the row")),
    "zone": DataColumn(None, Message("what the valve does at the load")),
    # What sets or empties a limit.
    "reason": DataColumn(None, Message("why no load is covered or no state exists; empty if there is one")),
    "min_condition": DataColumn(None, Message("operating condition that sets the minimum load")),
    "max_condition": DataColumn(None, Message("operating condition that sets the maximum load")),
    "min_reason": DataColumn(None, Message("what sets the minimum load")),
    "max_reason": DataColumn(None, Message("what sets the maximum load")),
    "confident_reason": DataColumn(None, Message("why no load is covered at confidence; empty if some are")),
    "min_member": DataColumn(None, Message("refrigerant of the group that sets the minimum load")),
    "max_member": DataColumn(None, Message("refrigerant of the group that sets the maximum load")),
    "confident_min_member": DataColumn(
        None, Message("refrigerant of the group that sets the minimum load at confidence")
    ),
    "confident_max_member": DataColumn(
        None, Message("refrigerant of the group that sets the maximum load at confidence")
    ),
    # States.
    "flow_law": DataColumn(None, Message("flow law of the family: orifice, choked or discharge_coefficient")),
    "suction_response": DataColumn(
        None, Message("what the SST does when the head pressure changes: constant or balanced")
    ),
    "f_l": DataColumn("1", Message("liquid pressure recovery factor of the choked flow law (IEC 60534)")),
    "subcooling_exponent": DataColumn("1", Message("exponent of the subcooling in the discharge coefficient")),
    "drop_exponent": DataColumn("1", Message("exponent of the pressure drop in the discharge coefficient")),
    "reference_subcooling": DataColumn("1", Message("subcooling that the Kv of the discharge coefficient is rated at")),
    "reference_drop": DataColumn("1", Message("pressure drop that the Kv of the discharge coefficient is rated at")),
    "min_valid_subcooling": DataColumn(
        "1", Message("smallest subcooling for which the discharge coefficient is valid")
    ),
    "max_valid_subcooling": DataColumn("1", Message("largest subcooling for which the discharge coefficient is valid")),
    "min_valid_drop": DataColumn("1", Message("smallest pressure drop for which the discharge coefficient is valid")),
    "max_valid_drop": DataColumn("1", Message("largest pressure drop for which the discharge coefficient is valid")),
    "subcooling_ratio": DataColumn(
        "1", Message("subcooling at the inlet: inlet minus bubble pressure, over critical pressure")
    ),
    "drop_ratio": DataColumn("1", Message("pressure drop of the port over inlet pressure, absolute")),
    "discharge_ratio": DataColumn("1", Message("discharge coefficient over that at its reference point")),
    "flow_source": DataColumn(None, Message("flow law, or published correlation of another device")),
    "relative_mass_flow": DataColumn("1", Message("flow of one port over that at the rating point")),
    "is_published_range": DataColumn(
        "yes or no", Message("whether the condensing temperature is one that the correlation was published for")
    ),
    "is_above_mop": DataColumn("yes or no", Message("whether the bulb charge is above its maximum operating pressure")),
    # Saturation and conversion.
    "temperature_k": DataColumn("K", Message("temperature")),
    "limit_reason": DataColumn(None, Message("what sets the limit")),
    "under_pressure_pa": DataColumn("Pa", Message("pressure under the diaphragm, absolute: it closes the valve")),
    "spring_closing_pa": DataColumn(
        "Pa", Message("what the spring adds to it at the opening, with the share of an unbalanced port")
    ),
    "curve": DataColumn(None, Message("line of a pressure-enthalpy diagram: bubble, dew or compression (isentropic)")),
    "pressure_pa": DataColumn("Pa", Message("pressure of a point of the line, absolute")),
    "enthalpy_j_kg": DataColumn("J/kg", Message("enthalpy of a point of the line; only differences have a meaning")),
    "bubble_pressure_pa": DataColumn("Pa", Message("bubble pressure, absolute")),
    "dew_pressure_pa": DataColumn("Pa", Message("dew pressure, absolute")),
    "glide_k": DataColumn("K", Message("dew minus bubble temperature at the bubble pressure")),
    "vapor_density_kg_m3": DataColumn("kg/m3", Message("density of saturated vapor")),
    "latent_heat_j_kg": DataColumn("J/kg", Message("enthalpy of saturated vapor minus that of saturated liquid")),
    "basis": DataColumn(None, Message("what the condensing temperature is: bubble, dew or mid-point")),
    # Balance of valve and system, worked example.
    "load_w": DataColumn("W", Message("load: rated capacity of the system")),
    "superheat_k": DataColumn("K", Message("operating superheat")),
    "smaller_size": DataColumn(None, Message("next smaller size")),
    "smaller_max_w": DataColumn("W", Message("capacity that the next smaller size passes at that head pressure")),
    "smaller_crossing_pa": DataColumn(
        "Pa", Message("head pressure below which the next smaller size starves the evaporator")
    ),
    "capacity_w": DataColumn("W", Message("system capacity at the condition")),
    "mass_flow_kg_s": DataColumn("kg/s", Message("mass flow through the valve")),
    "required_kv_m3h": DataColumn("m3/h", Message("required Kv")),
    # Maps and charts.
    "sst_from_k": DataColumn("K", Message("lowest SST of a column of a map or chart")),
    "sst_to_k": DataColumn("K", Message("highest SST of a column of a map or chart")),
    "first_size": DataColumn(None, Message("size with the largest margin over the cell, or in an exercise")),
    "second_size": DataColumn(None, Message("size with the next largest margin")),
    "coverage": DataColumn(None, Message("whether the size covers all of the cell or a part")),
    "lower_size": DataColumn(None, Message("size that covers the lower part of the row")),
    "upper_size": DataColumn(None, Message("size that covers the upper part of the row")),
    "load_unit": DataColumn(None, Message("unit of the loads as printed")),
    # Sources of uncertainty, calculation of limits.
    "driver": DataColumn(None, Message("source of scatter or uncertainty")),
    "assumption": DataColumn(None, Message("input that is changed by a step, all others as stated")),
    "origin": DataColumn(None, Message("part of the inputs that states an assumption")),
    "measure": DataColumn(
        None, Message("kind of the step: share, points, step (K), loss (Pa), length (m), other_choice")
    ),
    "is_shared": DataColumn(
        "yes or no", Message("whether all valves share the deviation, such as an uncertainty of properties")
    ),
    "block": DataColumn(None, Message("block of the calculation that the step belongs to")),
    "symbol": DataColumn(None, Message("symbol of the quantity")),
    "formula": DataColumn(None, Message("equation; empty for a given value")),
    "value_si": DataColumn("", Message("value in the SI unit of the symbol")),
    # Exercises.
    "exercise": DataColumn("1", Message("number of the exercise; 0 for the worked example")),
    "exercise_kind": DataColumn(None, Message("what the exercise asks for")),
    "first_min_margin": DataColumn("1", Message("load divided by the minimum load of the first size")),
    "first_max_margin": DataColumn("1", Message("maximum load of the first size divided by the load")),
    "second_min_margin": DataColumn("1", Message("load divided by the minimum load of the second size")),
    "second_max_margin": DataColumn("1", Message("maximum load of the second size divided by the load")),
    "rating_effect_j_kg": DataColumn("J/kg", Message("refrigerating effect at the rating point")),
    "rated_mass_flow_kg_s": DataColumn("kg/s", Message("mass flow at the rating point")),
    "kv_share": DataColumn("1", Message("required Kv divided by rated Kv")),
    "min_superheat_k": DataColumn("K", Message("minimum stable superheat")),
    "max_superheat_k": DataColumn("K", Message("maximum superheat")),
    "warmer_sst_k": DataColumn("K", Message("SST of the next warmer row")),
    "actual_sst_k": DataColumn("K", Message("SST of the system, between two rows")),
    "warmer_min_load_w": DataColumn("W", Message("minimum load at the warmer row")),
    "warmer_max_load_w": DataColumn("W", Message("maximum load at the warmer row")),
    "common_min_load_w": DataColumn("W", Message("minimum load of the window that both rows share")),
    "common_max_load_w": DataColumn("W", Message("maximum load of the window that both rows share")),
    "closing_pressure_pa": DataColumn("Pa", Message("pressure that closes the valve: evaporator and spring")),
    "gradient_pa": DataColumn("Pa", Message("what the spring adds from closed to rated stroke")),
    "port_closing_pa": DataColumn(
        "Pa", Message("what inlet pressure adds at an unbalanced port; negative if it opens")
    ),
    "max_kv_share": DataColumn("1", Message("Kv at the largest opening used, divided by rated Kv")),
    "min_kv_share": DataColumn("1", Message("Kv at the smallest opening used, divided by rated Kv")),
    "max_required_kv_m3h": DataColumn("m3/h", Message("required Kv at the condition that sets the maximum load")),
    "min_required_kv_m3h": DataColumn("m3/h", Message("required Kv at the condition that sets the minimum load")),
    "asked_load_w": DataColumn("W", Message("load that the exercise asks about")),
    "bulb_temperature_k": DataColumn("K", Message("bulb temperature")),
    "compared_application": DataColumn(None, Message("application to compare with")),
    "compared_head_pressure_pa": DataColumn("Pa", Message("head pressure to compare with, absolute")),
    "compared_max_load_w": DataColumn("W", Message("maximum load in the application to compare with")),
    "load_ratio": DataColumn("1", Message("maximum load divided by that in the application to compare with")),
    # Verification.
    "verdict": DataColumn(None, Message("answer of an exercise, or whether a value is within its allowed deviation")),
    "kind": DataColumn(None, Message("kind of check")),
    "subject": DataColumn(None, Message("what is checked")),
    "quantity": DataColumn(None, Message("quantity that is checked")),
    "source": DataColumn(None, Message("source of the published value")),
    "provenance": DataColumn(None, Message("whether the value was checked against the source")),
    "published_text": DataColumn(None, Message("published value as the source prints it")),
    "unit": DataColumn(None, Message("unit of the published and the computed value")),
    "deviation_unit": DataColumn(None, Message("unit of the deviation")),
    "why_allowed": DataColumn(None, Message("reason for the allowed deviation")),
    "explanation": DataColumn(None, Message("why a value is outside its allowed deviation")),
    # Changes since an earlier release.
    "change_kind": DataColumn(None, Message("changed, added or removed")),
}
# Of tables and views that the database has beside the files.
DATABASE_COLUMNS: Mapping[str, DataColumn] = {
    "family_name": DataColumn(None, Message("name of the family in print")),
    "size_name": DataColumn(None, Message("name of the size in print")),
    "valve_kind": DataColumn(None, Message("kind of the family: thermostatic, stepper or pulse_modulated")),
    "title": DataColumn(None, Message("title in print")),
    "part_number": DataColumn(None, Message("part number")),
    "part_numbers": DataColumn(None, Message("part numbers of the size, with commas between them")),
    "equalizer": DataColumn(None, Message("equalizer that the part number is for; empty for any")),
    "connections": DataColumn(None, Message("connections that the part number is for; empty for any")),
    "capillary_m": DataColumn("m", Message("length of the capillary tube that the part number is for")),
    "sst_degc": DataColumn("degC", Message("saturated suction temperature, dew point")),
    "sst_degf": DataColumn("degF", Message("saturated suction temperature, dew point")),
    "min_load_kw": DataColumn("kW", Message("minimum load (rated capacity), as printed")),
    "max_load_kw": DataColumn("kW", Message("maximum load (rated capacity), as printed")),
    "min_load_kbtu_h": DataColumn("kBtu/h", Message("minimum load (rated capacity), as printed")),
    "max_load_kbtu_h": DataColumn("kBtu/h", Message("maximum load (rated capacity), as printed")),
}


def is_text(column: str) -> bool:
    """Whether a column contains text, even where a value looks like a number; "earlier_" is one of an older release.

    >>> is_text("size"), is_text("sst_k")
    (True, False)
    """
    described = COLUMNS.get(column.removeprefix("earlier_"))
    return described is not None and described.unit is None
