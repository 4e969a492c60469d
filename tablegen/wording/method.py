"""The method chapter: its equations in words, their limits, symbols, and the limits calculated step by step."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

METHOD = Message("Method")
WHERE_LAWS_END = Message("Limits of the laws")
ABOUT_STATES = Message(
    "Refrigerant states come from the equations of state of the property library, with ASHRAE 34 nominal "
    "compositions; superheat is measured from the dew point, subcooling from the bubble point. Computed with {versions}. "
    "Data fingerprint {data}, of the data shown here; a chart or handout carries that of the part of the data that it shows. "
    "The tables as data are attached to this PDF file."
)
VERSION = Message("{program} {version}")
SYMBOLS = Message("Symbols of the method and of the calculated limits, with their units; pressures are absolute")
SYMBOL = Message("Symbol")
MEANING = Message("Meaning")
UNIT = Message("Unit")
EQUATION = Message("Equation")

# Units of what is made of other quantities.
GRAVITY_UNIT = Message("{drop} per {density} and {length}")
REQUIRED_KV_UNIT = Message("m³/h per {load}")
LOAD_PER_KV_UNIT = Message("{load} per m³/h")
FLOW_CONSTANT_UNIT = Message("{flow} per m³/h")
ENERGY_RATE_UNIT = Message("{energy}/h per {load}")

# Equations: their names, and what is written of each.
NAMES: Mapping[str, Message] = {
    "effect": Message("Refrigerating effect"),
    "flow": Message("Mass flow"),
    "compressor": Message("Compressor"),
    "inlet": Message("Valve inlet"),
    "outlet": Message("Port outlet"),
    "orifice": Message("Square-root law"),
    "choked": Message("Choked law"),
    "discharge": Message("Discharge coefficient"),
    "constants": Message("Constants"),
    "setting": Message("Factory setting"),
    "balance": Message("Force balance"),
    "opening": Message("Opening"),
    "maximum": Message("Maximum load"),
    "minimum": Message("Minimum load"),
    "connections": Message("Connections"),
    "electronic": Message("Electronic valves"),
    "nominal": Message("Nominal capacity"),
    "group": Message("Group"),
    "rounding": Message("Rounding"),
}
EFFECT = Message("{effect}, of vapor after useful superheat and of liquid at the rating point.")
FLOW = Message("ṁ = f E Q/Δh_r; f is the flow divided by the flow at the rating point, where f = 1.")
COMPRESSOR = Message(
    "{flow}. Clearance: {efficiency}, {swept}; with a discharge loss, p_d = p_h + Δp_d replaces p_h. Otherwise m_c is the "
    "AHRI 540 polynomial or a table."
)
INLET = Message("{inlet}, {lift}; the liquid is ΔT_sub below its bubble temperature at p₁.")
OUTLET = Message("{outlet}; {mixture}, {quality}; {drop}.")
ORIFICE = Message(
    "{required} (the form of IEC 60534-2-1): the Kv required for one unit of load. It is the same for every size."
)
CHOKED = Message("{factor}, {choked}; {effective} replaces Δp in D.")
DISCHARGE = Message(
    "{subcooling}, {drop}; {coefficient}; {effective} replaces Δp in D. It applies only within the range of s_sub and y_drop that the family states."
)
CONSTANTS = Message(
    "{constants}: a Kv of 1 m³/h passes {flow} of liquid of 1 {density} at a pressure drop of 1 {drop}. g = {gravity}."
)
SETTING = Message("{spring}, {gradient}; constant from then on.")
BALANCE = Message(
    "p_bulb = p_under + p_spring + φ p_grad + u (Δp − Δp_ref). u is positive where inlet pressure closes the valve and "
    "negative where it opens it."
)
OPENING = Message("{opening}, with p_bulb at the bulb temperature T_e plus the superheat.")
MAXIMUM = Message(
    "{opening} at SH_max, {size}; {load}, {per_kv}, c the share of rated Kv at that opening; the smallest Q of all operating "
    "conditions."
)
CONNECTIONS = Message(
    "{share}, c_port the share of the port's own Kv; {ratio}, {port}; F_L is that of the valve with its connections, and "
    "the drop of the force balance that over both."
)
MINIMUM = Message("{opening} at SH_min; Q as above; the largest Q of all operating conditions.")
ELECTRONIC = Message(
    "φ_max is the maximum travel or duty that control may use, φ_min the minimum steps or duty; no force balance. A "
    "pulse-modulated valve passes the flow of the whole cycle while it is open: at its maximum load f is divided by the "
    "maximum duty in every loss, and c is 1. Its minimum load has the losses of the mean flow; with those of the open flow "
    "it would be smaller."
)
NOMINAL = Message("Q_n = N Kv Δh_r √(ρ Δp)/E at the family's rating, under its own flow law.")
GROUP = Message("largest of its members' minimum loads to smallest of their maximum loads.")
ROUNDING = Message(
    "three significant figures, minimum loads up and maximum loads down, so that a printed limit never promises more than the computed "
    "one."
)

# Limits of the laws: what is limited, and how.
LIMITS = (
    (
        Message("Square root of the drop"),
        Message(
            "Evidence on whether a flashing port chokes is mixed: short tubes choke (Kim and O’Neal 1995), "
            "sharp-edged orifices need not. A Kv rated under one law is never used under another: limits would "
            "change by a factor of 1.3 to 2."
        ),
    ),
    (
        Message("Choked flow"),
        Message(
            "IEC 60534-2-1 for liquid alone: no vapor upstream of the port, no correction for viscosity or fittings."
        ),
    ),
    (
        Message("Compressor"),
        Message(
            "Only ratios of mass flow count. An AHRI 540 polynomial is valid inside its map, clearance efficiency "
            "for reciprocating compressors; suction superheat is the same at every head pressure."
        ),
    ),
    (
        Message("Force balance"),
        Message(
            "Steady state. Limits keep clear of hunting by a stated minimum stable opening and minimum stable superheat, an "
            "assumption, or by the loop of valve and coil."
        ),
    ),
    (
        Message("Maximum operating pressure"),
        Message(
            "Above the bulb temperature of its MOP the charge is gas alone and hardly opens the valve further. It controls only "
            "while the bulb is the coldest part: the diaphragm case and the capillary must stay warmer, or the charge moves "
            "there and the valve follows their temperature."
        ),
    ),
    (
        Message("Pulse modulation"),
        Message(
            "Maximum loads count with the losses of the flow while the valve is open; minimum loads with those of the mean "
            "flow, which is the safe side."
        ),
    ),
)

# Suction that follows the box.
SUCTION_FOLLOWS = Message("If suction followed the box")
BALANCED_WOULD = Message(
    "Limits are for a constant SST. At constant box temperature ({refrigerant}, SST {sst}, TD {difference} at the rating "
    "point) maximum loads change by {maximum}, minimum loads by {minimum}."
)

# Flow of one port over condensing temperature.
FLOW_LAWS = Message(
    "One port from a cold to a hot day: flow over that at the rating point, {subcooling} subcooled, SST {sst} (dew), without losses "
    "upstream or downstream"
)
FLOW_AXIS = Message("flow over rated flow")
CONDENSING_AXIS = Message("condensing temperature (saturated liquid), {unit}")
FLOW_SOURCES: Mapping[str, Message] = {
    "orifice": Message("square root"),
    "choked": Message("choked"),
    "discharge_coefficient": Message("discharge coefficient"),
    "payne_oneal_2004": Message("short tube, 2004"),
    "wile_1935": Message("orifice, 1935"),
}
FLOW_LAWS_ALT = Message(
    "Flow of one port over condensing temperature for {refrigerants}, under three laws and two correlations"
)
ABOUT_FLOW_LAWS = Message(
    "Thick lines are the three flow laws, each with a Kv that passes the same flow at the rating point; the choked law has a "
    "recovery factor of {recovery}, the discharge coefficient {exponents}. Thin lines are correlations of other devices: short tubes "
    "(Payne and O’Neal 2004, not checked against the source), solid where condensing temperatures were measured, between the "
    "marks, with other refrigerants; and the discharge coefficient of Wile (1935, not checked against the source), dotted because its range is "
    "not known to us. We found no measured flows of expansion valves that may be cited; rows of a test bench decide for a "
    "family ('tablegen fit')."
)
EXPONENTS_OF_FAMILY = Message("the exponents of a family of this catalogue")
EXPONENTS_INVENTED = Message(
    "invented exponents of the usual size, {subcooling} for subcooling and {drop} for pressure drop"
)

# Limits calculated step by step.
CALCULATED_LIMITS = Message(
    "Calculation of both limits: {family} size {size}, {group}, SST {sst} (dew), {application}; {law}"
)
LAWS: Mapping[str, Message] = {
    "orifice": Message("square-root law"),
    "choked": Message("choked law"),
    "discharge_coefficient": Message("discharge coefficient"),
}
COLUMN_RATING = Message("{refrigerant}\n{condition}")
COLUMN = Message("{refrigerant}\n{condition}\n{limit}")
GIVEN = Message("given\N{NO-BREAK SPACE}{figure}")
# By whether the booklet prints the table.
PRINTED: Mapping[bool, Message] = {
    True: Message(
        "Minimum load Q = {min}, printed as {min_printed}; maximum load Q = {max}, printed as {max_printed}."
    ),
    False: Message(
        "Minimum load Q = {min}, computed as {min_printed}; maximum load Q = {max}, computed as {max_printed}; the "
        "booklet does not print them."
    ),
}
ABOUT_CALCULATION = Message(
    "Each equation uses the printed figures of its column, and those of the rating point (index r). p₁, T_l and ρ "
    "depend on each other and were solved together, as were T_e and the load with balanced suction. An empty cell "
    "has the value of the rating point; T_c is also empty where the head pressure is a setting. A line without an "
    "equation, and a figure marked “given”, is an input. Properties with a temperature in parentheses, such as p_dew "
    "and h_vapor, come from refrigerant tables of the column's refrigerant, p_charge from the curve of the bulb "
    "charge."
)
SETTING_REFRIGERANT = Message("p_dew,setting is that of the setting refrigerant, {refrigerant}.")
OTHER_REFRIGERANTS = Message("The other refrigerants and operating conditions set no stricter limit.")
