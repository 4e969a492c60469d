"""What a fit of bench data can and cannot determine, and which test would; keys are the values of the closed lists.

The choking limit is p_1 - F_F p_v, the drop at which a valve with F_L = 1 begins to choke."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

SPAN = Message("{low} to {high}")
MORE_LINES = Message("{count} more")

# Parameters, as they are named within a sentence.
KV = Message("Kv of size {size}")
KV_OF_ANY = Message("Kv")
SHARE = Message("share of Kv at {opening} opening")
OF_CHARGE: Mapping[str, Message] = {
    "static_superheat": Message("static superheat of charge {charge}"),
    "opening_superheat": Message("opening superheat of charge {charge}"),
    "charge_curve": Message("curve of charge {charge}"),
    "spring": Message("spring force of charge {charge}"),
    "gradient": Message("spring gradient of charge {charge}"),
    "unbalance": Message("unbalance of the port under charge {charge}"),
}
# What scatters from one valve to the next.
SCATTERS: Mapping[str, Message] = {
    "kv": Message("Kv"),
    "static_superheat": Message("static superheat"),
    "opening_superheat": Message("opening superheat"),
    "unbalance": Message("unbalance of the port"),
    "charge_curve": Message("bulb pressure of the charge"),
}
PARAMETERS: Mapping[str, Message] = {
    "flow_law": Message("flow law"),
    "pressure_recovery": Message("pressure recovery factor"),
    "subcooling_exponent": Message("exponent of subcooling"),
    "drop_exponent": Message("exponent of pressure drop"),
    "opening": Message("opening characteristic"),
    "static_superheat": Message("static superheat"),
    "opening_superheat": Message("opening superheat"),
    "unbalance": Message("unbalance of the port"),
}

# What decides the flow law, or why a parameter cannot be determined from these rows.
REASONS: Mapping[str, Message | Plural] = {
    "no_flow_rows": Message("no row has both a mass flow and an opening"),
    "few_flow_rows": Message("{rows} rows are too few for {needed} unknowns"),
    "few_of_size": Plural("{count} row can be used", "{count} rows can be used"),
    "no_flow_law": Message(
        "the rows do not follow the {law} law with one Kv for each size: {value} of them are outliers, and the "
        "others scatter by {scatter}"
    ),
    "only_product": Message(
        "every row is choked, so the rows give only the product of Kv and pressure recovery factor"
    ),
    "law_undecided": Message("it depends on the flow law, and these rows do not show which law applies"),
    "kv_below_rated": Message("Kv is for rated stroke, and no row opens more than {high}"),
    "kv_only_with": Message("these rows do not separate it from {parameters}"),
    "kv_bound": Message("its bound of ±{value} is too wide to be of use"),
    "no_choking": Message("no row shows choking; the largest drop is {high} of the choking limit"),
    "recovery_bound": Plural(
        "its bound of ±{value}, from {count} choked row, is too wide to be of use",
        "its bound of ±{value}, from {count} choked rows, is too wide to be of use",
    ),
    "shares_open": Message("these rows do not determine {parameters}"),
    "not_ascending": Message("its points do not rise with the opening"),
    "flow_one_opening": Message("all rows are at nearly the same opening, {span}"),
    "travel_low": Message("no row opens less than {low}, and the valve operates from {wanted_low} up"),
    "travel_high": Message("no row opens more than {high}, and the stop is at {wanted_high}"),
    "flow_levels_off": Plural(
        "the flow levels off as the drop increases in {count} row",
        "the flow levels off as the drop increases in {count} rows",
    ),
    "flow_grows": Plural(
        "the flow increases with the drop in {count} row beyond the choking limit",
        "the flow increases with the drop in {count} rows beyond the choking limit",
    ),
    "none_beyond": Message(
        "no row has a drop beyond the choking limit, where any valve chokes whatever its pressure recovery factor is (the "
        "largest drop, in line {line}, is {high} of the limit)"
    ),
    "few_beyond": Plural(
        "only {count} row has a drop beyond the choking limit, and {needed} are needed",
        "only {count} rows have a drop beyond the choking limit, and {needed} are needed",
    ),
    "all_may_choke": Message(
        "every row may be choked, and then the rows give only the product of Kv and pressure recovery factor"
    ),
    "laws_alike": Message("both laws fit the rows equally well"),
    "exponents_fit": Message(
        "a discharge coefficient that follows subcooling and pressure drop describes the rows better than the two other laws"
    ),
    "exponents_needless": Message("not needed: two exponents more describe no more than scatter"),
    "exponents_lack_fit": Message(
        "nearer to the rows than the two other laws, and off under some conditions all the same"
    ),
    "subcooling_alike": Message(
        "subcooling varies too little to show its exponent: from {low} to {high} of the critical pressure, a factor of "
        "{value}; {wanted_high} is needed"
    ),
    "drops_alike": Message(
        "pressure drop varies too little to show its exponent: from {low} to {high} of the inlet pressure, a factor of "
        "{value}; {wanted_high} is needed"
    ),
    "exponent_bound": Message("the bound of an exponent, ±{value}, is too wide to be of use"),
    "exponent_beyond": Message(
        "an exponent of {value} is outside {low} to {high}, the values that a flow law may have"
    ),
    "no_balance_rows": Plural(
        "{count} row with bulb temperature and opening can be used",
        "{count} rows with bulb temperature and opening can be used",
    ),
    "few_balance_rows": Message("{rows} rows are too few for {needed} unknowns"),
    "no_balance": Message(
        "the rows do not follow a force balance with this charge: {value} of them are outliers, and the others "
        "scatter by {scatter} of bulb temperature"
    ),
    "unbalance_bound": Message("its bound of ±{value} is too wide to be of use"),
    "superheat_bound": Message("its bound of ±{value} is too wide to be of use"),
    "curve_too_short": Message("the charge curve does not reach from the setting to rated stroke"),
    "one_drop": Message("all rows are at nearly the same pressure drop, {span}"),
    "port_only_with": Message(
        "these rows do not separate it from {parameters}: opening and pressure drop rose and fell together"
    ),
    "static_too_open": Message("at static superheat the valve just opens, and no row opens less than {low}"),
    "opening_below_rated": Message("it is defined at rated stroke, and no row opens more than {high}"),
    "few_of_charge": Plural("{count} row can be used", "{count} rows can be used"),
    "balance_one_opening": Message("all rows are at nearly the same opening, {span}"),
    "only_sum": Message("these rows give only a sum of {parameters}"),
    "setting_far": Message("the factory setting is at a bulb temperature of {wanted_low}, and the rows are at {span}"),
    "set_differently": Message("the valves of sizes {sizes} do not have the same setting"),
    "few_temperatures": Message("{rows} rows at {temperatures} bulb temperatures are too few"),
    "not_rising": Message("the measured pressures do not rise with temperature"),
}

_OTHER_DROP = Message("the same openings at another inlet pressure, for half or twice the drop")
_OVER_STROKE = Message("more rows, at openings from nearly closed to rated stroke")
_RATED_STROKE = Message("rows at {full} opening")
_SMALL_DROP = Message("rows with a small drop: a higher outlet pressure, or colder liquid")
_LARGE_DROP = Message("rows with a lower outlet pressure or warmer liquid")
# The test that is missing, by the reason.
TESTS: Mapping[str, Message] = {
    "no_flow_rows": Message("mass flow at several drops and openings, one size at a time"),
    "few_flow_rows": Message("more rows, at several drops and openings"),
    "few_of_size": Message("{needed} or more rows of it, near rated stroke"),
    "no_flow_law": Message("check units, columns and sizes of the file; then take rows at steady state"),
    "only_product": _SMALL_DROP,
    "law_undecided": Message("as for the flow law; or state the law with {--law=}"),
    "kv_below_rated": _RATED_STROKE,
    "kv_only_with": _RATED_STROKE,
    "kv_bound": Message("more rows of it at rated stroke"),
    "no_choking": _LARGE_DROP,
    "recovery_bound": Message("more rows well beyond choking"),
    "shares_open": _RATED_STROKE,
    "not_ascending": Message("more rows at each opening; or fewer points ({--openings=})"),
    "flow_one_opening": Message("rows at several openings from {wanted_low} to {wanted_high}"),
    "travel_low": Message("rows at {wanted_low} opening"),
    "travel_high": Message("rows at {wanted_high} opening"),
    "none_beyond": _LARGE_DROP,
    "few_beyond": Message("more rows with a lower outlet pressure or warmer liquid"),
    "all_may_choke": _SMALL_DROP,
    "laws_alike": Message("rows at one opening, with drops from a third of the choking limit to twice the limit"),
    "exponents_lack_fit": Message("rows of one refrigerant, with subcooling and pressure drop varied one at a time"),
    "subcooling_alike": Message("rows at one drop, with liquid from nearly saturated to cold"),
    "drops_alike": Message("rows at one inlet condition, with outlet pressures from high to low"),
    "exponent_bound": Message("more rows at the ends of subcooling and pressure drop"),
    "exponent_beyond": Message("rows of one refrigerant, with subcooling and pressure drop varied one at a time"),
    "no_balance_rows": Message("opening against bulb temperature at constant evaporator pressure, at two drops"),
    "few_balance_rows": Message("more openings, at two drops"),
    "no_balance": Message("check units and columns of the file; measure bulb pressure with bulb temperature"),
    "unbalance_bound": _OVER_STROKE,
    "superheat_bound": _OVER_STROKE,
    "curve_too_short": _OVER_STROKE,
    "one_drop": _OTHER_DROP,
    "port_only_with": _OTHER_DROP,
    "static_too_open": Message("rows at 10 to 30 % opening"),
    "opening_below_rated": Message("rows with a warmer bulb, up to {full} opening"),
    "few_of_charge": Message("{needed} or more rows, at openings from nearly closed to rated stroke"),
    "balance_one_opening": Message("opening against bulb temperature at constant evaporator pressure and drop"),
    "only_sum": Message("several openings at constant drop, and several drops at constant opening"),
    "setting_far": Message("rows with the bulb near {wanted_low}"),
    "set_differently": Message("one setting for all valves, or a file for each"),
    "few_temperatures": Message("bulb pressure at {min_temperatures} or more temperatures, {min_rows} rows or more"),
    "not_rising": Message("check the rows with a bulb pressure"),
}

# Why a row cannot be used.
UNUSABLE: Mapping[str, Message] = {
    "no_liquid": Message("the refrigerant has no liquid state at these readings"),
    "flashes": Message("the liquid flashes upstream of the valve: its bubble pressure is not below the inlet pressure"),
    "no_opening": Message(
        "it has no opening, and no bulb temperature and evaporator pressure that would make it of use in the force balance"
    ),
    "no_opening_no_flow": Message("it has no opening, and no mass flow from which the opening could be inferred"),
    "no_drop": Message("the inlet pressure is not above the outlet pressure"),
    "beyond_stop": Message("the opening is beyond the stop of the family"),
    "nearly_shut": Message("the valve is nearly closed"),
    "shut": Message("the valve is closed, so the forces need not be in balance"),
    "on_stop": Message("the valve is on its stop, so the forces are not in balance"),
    "off_charge_curve": Message("the charge curve does not reach the bulb temperature"),
    "above_mop": Message("the bulb is above its MOP: no liquid is left in it"),
    "kv_unknown": Message(
        "it has no opening, and Kv of size {size} is known neither from rows with an opening nor from the family's file"
    ),
    "kv_of_other_law": Message(
        "it has no opening, no row with an opening gives Kv of size {size}, and the family's Kv is for the {family_law} "
        "law, not {law}"
    ),
    "flow_lacks_fit": Message(
        "it has no opening, and the rows with an opening are off the flow law, so no flow can be converted to an "
        "opening"
    ),
    "flow_follows_no_law": Message(
        "it has no opening, and the rows with an opening follow no flow law, so no flow can be converted to an opening"
    ),
    "inferred_beyond_stop": Message(
        "the opening inferred from its flow is beyond the stop at {stop}: the flow needs {value} of Kv"
    ),
    "inferred_near_stop": Message(
        "the opening inferred from its flow, {value}, is too near the stop at {stop} to say whether the valve is on it"
    ),
    "inferred_uncertain": Message(
        "the opening inferred from its flow has a standard uncertainty of {value} of rated stroke, too wide to be of use"
    ),
}

# What rows differ by.
READINGS: Mapping[str, Message] = {
    "inlet_subcooling": Message("inlet subcooling"),
    "choking": Message("drop relative to the choking limit"),
    "pressure_drop": Message("pressure drop"),
    "opening": Message("opening"),
    "bulb_temperature": Message("bulb temperature"),
    "size": Message("size"),
    "refrigerant": Message("refrigerant"),
    "line": Message("line of the file"),
}
BULB_OF_CHARGE = Message("bulb temperature of charge {charge}")

# Some rows by what they were taken under; by name, by line, or by the third of a reading.
OF_NAME: Mapping[str, Message] = {
    "size": Message("of size {name}"),
    "refrigerant": Message("of refrigerant {name}"),
}
AT_LINES = Message("at lines {span}")
WITH_LEVEL: Mapping[str, Message] = {
    "lowest": Message("with low {reading} ({span})"),
    "middle": Message("with medium {reading} ({span})"),
    "highest": Message("with high {reading} ({span})"),
}

# What the rows off the fit are, in a sentence: the first is followed by what is off, and by the suspect.
FOLLOWS = Message("The deviation of {what} follows {condition}: suspect {suspect}, not single rows.")
SINGLE_ROWS = Plural(
    "The row in line {lines} is an outlier: it is off by itself, whatever the condition; suspect its readings.",
    "The rows in lines {lines} are outliers: each is off by itself, whatever the condition; suspect their readings.",
)
# Rows off the law on one side, by the part of the fit.
ABOVE: Mapping[str, Message] = {
    "flow": Message("{rows} rows {which} are above the flow law, {average} on average and up to {maximum}"),
    "balance": Message(
        "{rows} rows {which} have a warmer bulb than the force balance gives, {average} on average and up to {maximum}"
    ),
}
BELOW: Mapping[str, Message] = {
    "flow": Message("{rows} rows {which} are below the flow law, {average} on average and up to {maximum}"),
    "balance": Message(
        "{rows} rows {which} have a colder bulb than the force balance gives, {average} on average and up to {maximum}"
    ),
}
NOT_SEPARATED = Message("These rows do not separate it from {others}.")
STAY = Plural("Line {lines} is far off but stays in the fit.", "Lines {lines} are far off but stay in the fit.")

# What is probably wrong where rows are off the law under a reading.
FLOW_SUSPECTS: Mapping[str, Message] = {
    "inlet_subcooling": Message("the flow law"),
    "choking": Message("the flow law"),
    "pressure_drop": Message("the flow law"),
    "opening": Message("the opening characteristic"),
    "size": Message("its Kv, or the size noted in some of its rows"),
    "refrigerant": Message("the refrigerant's data, or the refrigerant actually charged"),
    "line": Message("instruments that drifted during the test"),
}
BALANCE_SUSPECTS: Mapping[str, Message] = {
    "bulb_temperature": Message("the charge curve; measure bulb pressures (column bulb_pressure)"),
    "opening": Message("the spring: its force is not linear in the opening"),
    "pressure_drop": Message("the port's unbalance: it is not the same at every drop"),
    "size": Message("the settings: the valves are not set the same"),
    "line": Message("the instruments, or a bulb that had not settled"),
}

# What an outlier is off by.
OUTLIERS: Mapping[str, Message] = {
    "flow": Message("mass flow"),
    "balance": Message("bulb temperature"),
    "charge": Message("bulb pressure"),
}
PARTS: Mapping[str, Message] = {
    "flow": Message("flow"),
    "balance": Message("force balance"),
    "charge": Message("charge curve"),
}


READINGS_ARE_FEW = Message("give one row for each steady state")
TOO_MANY_ROWS = Message(
    "more than {count} rows; give one row for each steady state, not every logged reading: the readings of one "
    "steady state are not independent, and every bound would be too narrow"
)
NO_HEADER = Message(
    "none found; the first row must name the columns, such as 'refrigerant, size, inlet_pressure [psi_absolute], "
    "inlet_temperature [degF], ...'"
)
NO_ROWS = Message("the file has no rows below its header")
MORE_ERRORS = Plural("{count} more error in this line and below", "{count} more errors in this line and below")
WIDTH = Message("{count} cells, but the header has {width} (is there a decimal comma in the line?)")
WIDTH_OF_ONE = Message("{count} cell, but the header has {width} (separate cells with commas)")

# The header.
COLUMN = Message("column {number}")
NAME_AND_UNIT = Message("write a column's heading as 'name [unit]'")
COLUMN_TWICE = Message("the column appears twice, as column {first} and column {second}")
NO_UNIT = Message("this column has no unit")
UNIT_MISSING = Message("{quantity} needs its unit in the header, such as '{example}'")
NO_STEPS = Message("the family is not a stepper; give opening [percent]")
STEPS_AND_OPENING = Message("opening and steps are both given; give only one of them")
ELECTRONIC = Message("the family is electronic: it has no bulb and no force balance")
ATMOSPHERE_MISSING = Message(
    "a gauge reading needs the atmospheric pressure: a column site_pressure [kPa_absolute], a line '# site_pressure: "
    "101.3 kPa_absolute' above the header, or {--site_pressure=}"
)

# Cells.
PRESSURE_RANGE = Message("must be at least 0.01 and at most 200 bar absolute (0.15 to 2900 psi)")
TEMPERATURE_RANGE = Message("must be at least -100 and at most 150 degC (-148 to 302 degF)")
FLOW_RANGE = Message("must be above 0 and at most 100 kg/s; leave the cell empty where there was no flow")
OPENING_RANGE = Message("must be at least 0 and at most 300 percent of rated stroke")
STEPS_RANGE = Message("steps are a count from 0 up")
ATMOSPHERE_RANGE = Message("an atmospheric pressure is between 50 and 110 kPa (7.3 and 16 psi)")
NUMBER = Message("must be a number; leave the cell empty where there was no reading")
NUMBER_ALONE = Message("must be a number alone; its unit is in the header ({unit})")
COUNT_ALONE = Message("must be a number alone, without a unit")
NUMBER_WITH_POINT = Message("must be a number with a decimal point and no separator of thousands")
NUMBER_WITH_MINUS = Message("must be a number; write its minus as '-'")
STEPS = Message("steps are a whole number of at most {count}, the full travel")
NO_ATMOSPHERE = Message("the cell is empty, but the row has gauge readings, which need it")
A_CHARGE = Message("a charge of the family")
A_SIZE = Message("a size of the family")
SPECIMEN = Message("a specimen has 1 to 40 letters, digits and '_-.'")
NO_SPECIMEN = Message("the cell is empty, but other rows name a specimen; name it in every row")
ONE_VALVE = Message(
    "this row has {kind} {own}, and line {line} has {before}; a specimen is one valve, with one size and one charge"
)
NO_READING = Message("the row has neither a mass flow nor a bulb temperature, so it cannot be used")
ROW_LACKS = Message("the cell is empty, and the row lacks {columns}")
ROW_LACKS_CHARGE = Message("the cell is empty, and the row lacks {columns}; name it in the column, or with {--charge=}")
OPENING_OR_STEPS = Message("opening (or steps)")

# Remarks.
REMARK_KEYS = Message("a line above the header may give {keys}")
GIVEN_TWICE = Message("{key} is given twice")
ATMOSPHERE_ABSOLUTE = Message("an atmospheric pressure is absolute, between 50 and 110 kPa (7.3 and 16 psi)")
UNCERTAINTY = Message("a standard uncertainty is above 0 and at most 20 percent")
DROP_UNCERTAINTY = Message("a standard uncertainty of a pressure drop is above 0 and at most 1 bar (14.5 psi)")
TRUTH = Message("truth is 1 to 300 printable characters")
