"""Pages of a booklet for one application, one family and one table; its graphs."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

HEADS_CAPTION = Message("Head pressures and liquid of each refrigerant, at SST {sst} (dew)")
CONDITIONS_CAPTION = Message("Conditions of the tables")
OF_TABLES = Message("{tables}: {text}")
SOURCES_CAPTION = Message("Sources of the conditions")

COLUMN_TAKES = Message("With {refrigerant}, the {lift} liquid column costs {pressures}.")
COLUMN_ADDS = Message("With {refrigerant}, the {lift} liquid column adds {pressures}.")
COLUMN_PRESSURE = Message("{pressure} {condition} ({share} of the absolute head pressure)")
OTHER_LIFT = Message(
    "The tables are for this lift and these liquid temperatures only. For a lower riser or other liquid have the valve "
    "sized for your case, even where a size fits both here and without a riser."
)
COLUMN_UNKNOWN = Message("The pressure of the liquid column cannot be computed for {refrigerant}.")

BALANCE = Message(
    "System and valve in balance, {refrigerant} at SST {sst} (dew): a system rated {load}, and the valve's limits"
)
LINES_EXPLAINED = Message(
    "The evaporator line is the evaporator's capacity at the SST. Where the system line is higher, the compressor "
    "pumps more and the SST falls until the two match; where it is lower, the SST rises. Size {size} fits where the "
    "system line is between that size's two curves."
)
LINES_OF_RACK = Message(
    "The pressures are those of the receiver. The rack has a constant SST, so that system and evaporator are one line. Size "
    "{size} fits where it is between that size's two curves."
)
HEAD_FALLS = Message("As the head pressure falls, the valve passes less.")
HEAD_FALLS_MORE = Message("As the head pressure falls, the system needs more and the valve passes less.")
BELOW_HEAD = Message("As the head pressure falls below about {head}, the valve passes less.")
BELOW_HEAD_MORE = Message(
    "As the head pressure falls below about {head}, the system needs more and the valve passes less."
)
AS_FAR_OPEN_THERMOSTATIC = Message(
    "For {refrigerant} alone, with each valve open as far as its stop and the maximum superheat allow; a "
    "group's window may be narrower. Between the operating conditions, subcooling is assumed to change "
    "linearly with head pressure."
)
AS_FAR_OPEN_ELECTRONIC = Message(
    "For {refrigerant} alone, with each valve open as far as its control may open it; a group's window "
    "may be narrower. Between the operating conditions, subcooling is assumed to change linearly with "
    "head pressure."
)

REFRIGERANT = Message("Refrigerant")
PRESSURES_COLUMN = Message("bubble/dew, {unit}")
HEAD_COLUMN = Message("head, {unit}")
TEMPERATURES_COLUMN = Message("bubble/dew, {unit}")
LIQUID_COLUMN = Message("liquid, {unit}")

LOSSES = Message("Losses")
COMPRESSOR = Message("Compressor")
COMPRESSOR_SOURCE = Message("{source}: {compressor}")
# How its flow follows the head pressure, at the example's SST; then what that rests on.
COMPRESSOR_PUMPS = Message("pumps {low} times its rated flow at low head, {high} times at high head; {source}")


KIND = Message("Kind")
KINDS: Mapping[str, Message] = {
    "thermostatic": Message("thermostatic, with bulb charge and spring"),
    "stepper": Message("electronic, stepper-driven"),
    "pulse_modulated": Message(
        "electronic, pulse-modulated: open or closed; the share of time open sets the mean flow"
    ),
}
FLOW_LAW = Message("Flow law")
ORIFICE = Message("square root of the whole pressure drop. {reason}")
CHOKED = Message("square root of the pressure drop, up to choking; pressure recovery factor {factor}. {reason}")
DISCHARGE = Message(
    "discharge coefficient that follows subcooling with exponent {subcooling} and pressure drop with exponent {drop}. Kv is rated "
    "at a subcooling of {rated_subcooling} of the critical pressure and a pressure drop of {rated_drop} of the inlet "
    "pressure; valid from {least_subcooling} to {most_subcooling} and from {least_drop} to {most_drop}. {reason} {source}"
)
OPENING = Message("Opening")
PRESSURES = Message("Pressures")
NOMINAL_CAPACITY = Message("Nominal capacity")
RATING = Message(
    "{refrigerant}, liquid {liquid}, {subcooling} subcooled, evaporating {evaporating} (dew), {superheat} superheat, "
    "pressure drop {drop}. {source}"
)

BALANCED_INTERNAL = Message(
    "stop at {stop} of rated stroke, minimum stable opening {minimum}; balanced port; internal equalizer"
)
BALANCED_EXTERNAL = Message(
    "stop at {stop} of rated stroke, minimum stable opening {minimum}; balanced port; external equalizer"
)
UNBALANCED_INTERNAL = Message(
    "stop at {stop} of rated stroke, minimum stable opening {minimum}; {port}; internal equalizer"
)
UNBALANCED_EXTERNAL = Message(
    "stop at {stop} of rated stroke, minimum stable opening {minimum}; {port}; external equalizer"
)
# What maximum loads use of the travel between rated stroke and the stop.
RESERVE = Message("Reserve")
RESERVE_UNUSED = Message("Maximum loads end at rated stroke; the reserve up to the stop is for pull-down.")
RESERVE_IN_PART = Message(
    "Maximum loads use {share} of the reserve between rated stroke and the stop; the rest is for pull-down."
)
RESERVE_USED = Message(
    "Maximum loads use the whole reserve between rated stroke and the stop; none is left for pull-down."
)
RESERVE_OF_SIZES = Plural("Size {sizes}: {reserve}", "Sizes {sizes}: {reserve}")
ACTS_TO_CLOSE = Message("inlet pressure pushes the valve closed, on a net port area of {share} of the diaphragm area")
ACTS_TO_OPEN = Message("inlet pressure pushes the valve open, on a net port area of {share} of the diaphragm area")

BY_DESIGN_EXTERNAL = Message("by port design, in the table below; external equalizer")
BY_DESIGN_INTERNAL = Message("by port design, in the table below; internal equalizer")
BY_DESIGN = Message("by port design, in the table below")

# Port designs of a family: a row for each figure, a column for each design.
PORT_DESIGN = Message("Port design")
OF_FAMILY = Message("standard")
OF_DESIGN = Message("Sizes of the design")
STOP_ROW = Message("Mechanical stop, share of rated stroke")
NO_RESERVE = Message("no reserve")
RESERVE_ROW = Message("Share of the reserve up to the stop that maximum loads use")
MAXIMUM_ROW = Message("Maximum opening, share of full travel")
MAXIMUM_DUTY_ROW = Message("Maximum share of time open")
STABLE_ROW = Message("Minimum stable opening, share of rated stroke")
MINIMUM_ROW = Message("Minimum opening, share of full travel")
MINIMUM_DUTY_ROW = Message("Minimum share of time open")
UNBALANCE_ROW = Message("Net unbalanced port area, share of diaphragm area")
CHARACTERISTIC_ROW = Message("Kv over opening")
LINEAR = Message("linear")
BY_POINTS = Message("by points")
WORKING_PRESSURE_ROW = Message("Working pressure")
DIFFERENTIAL_ROW = Message("Allowed differential")
CONNECTIONS_ROW = Message("Kv of body and connections, m³/h")
NO_LOSS = Message("not stated")
ABOUT_UNBALANCE = Message("A positive area: inlet pressure pushes the valve closed; a negative one: open.")

SIZE = Message("Size")
KV_ROW = Message("Kv, m³/h")
CV_ROW = Message("Cv, US gal/min")
NOMINAL_ROW = Message("Nominal, {unit}")

EXAMPLE = Message("Size {size}, {refrigerant}, SST {sst} (dew), {application}")
OPENING_CAPTION = Message("Opening against head pressure: {example}")
OPENING_ALT = Message("Graph of opening against head pressure: {example}")
SUPERHEAT_ALT = Message("Graph of superheat against load: {example}")
BOTH_CAPTION = Message("Superheat and opening: {example}")
ELECTRONIC_NOTE = Message(
    "For a system rated {load}. The controller sets the opening and the superheat, so the load window "
    "depends only on the opening."
)
BOTH_NOTE = Message("For {refrigerant} alone; a group's windows are narrower. Right: a system rated {load}. {swing}")
BULB_CAPTION = Message("Bulb and evaporator: {charge}, on {refrigerant}")
BULB_NOTE = Message(
    "Hatched: spring pressure. The horizontal line shows the static superheat at the factory setting: the "
    "valve starts to open when the bulb is that much warmer than the evaporator."
)

SWING_SAME = Message("At mid-window, superheat is the same at high head as at low head (median of this application).")
SWING_LOWER = Message(
    "At mid-window, superheat is {change} lower at high head than at low head (median of this application)."
)
SWING_HIGHER = Message(
    "At mid-window, superheat is {change} higher at high head than at low head (median of this application)."
)
OF_PORT = Message("{change} of that comes from the unbalanced port.")
BALANCED_LOWER = Message("With a fully balanced port, superheat would be {change} lower at high head than at low head.")
BALANCED_HIGHER = Message(
    "With a fully balanced port, superheat would be {change} higher at high head than at low head."
)


SST_COLUMN = Message("SST (dew), {unit}")
SST_OF_TABLE = Message("SST, {unit}")
BOX_COLUMN = Message("Box, {unit}")

TABLE_CAPTION = Message("Minimum–maximum load at the rating point, {unit}; under sizes: {under}. SST: dew point.")
TABLE_CAPTION_BOX = Message(
    "Minimum–maximum load at the rating point, {unit}; under sizes: {under}. SST: dew point. "
    "Box: SST + {difference} (TD)."
)
UNDER_NOMINAL = Message("nominal with {refrigerant}, not for selection")
UNDER_KV = Message("Kv, m³/h")
READ_FRAMED = Message(
    "Framed row: at SST {sst}, size {size} covers systems rated from {minimum} to {maximum}. Between two rows, the load "
    "must be inside both windows. Do not extrapolate."
)
CHANGE_BARS = Message("A bar on the left of a window: it differs in print from revision {revision} of {date}.")
CONFIDENT_NOT_COMPARED = Message("Limits at confidence are not compared.")
READ_ROWS = Message("Between two rows, the load must be inside both windows. Do not extrapolate.")

HEAD_ROW = Message("head, {unit}")
RECEIVER_ROW = Message("receiver, {unit}")
BUBBLE_ROW = Message("bubble point, {unit}")
SATURATED_ROW = Message("saturated, {unit}")
LIQUID_ROW = Message("liquid, {unit}")
STATION_ALT = Message("{condition}: {head} {pressure}, {bubble_label} {bubble}, {liquid_label} {liquid}")
STRIP_ALT = Message("Head pressures of the table. {stations}")
LIQUID_FACT = Message("Liquid")
SHORT_SUPERHEAT = Message("stable from {minimum}, at most {maximum} at the bulb; rated with {useful} useful")
SHORT_SUPERHEAT_RISING = Message(
    "{minimum}, rising with load, to {maximum} at the bulb; capacity rated with {useful} useful"
)
SHORT_SUPERHEAT_CONTROLLER = Message("set by controller; capacity rated with {useful} useful")
SHORT_LOSSES = Message("at rated flow: line {liquid_line}, evaporator {evaporator}, distributor {distributor}")
SHORT_LOSSES_LIFT = Message(
    "at rated flow: line {liquid_line}, evaporator {evaporator}, distributor {distributor}; lift {lift}"
)
SHORT_SST_AT_BULB = Message("SST at the bulb; {loss} lower at the compressor")
SHORT_SST_AT_OUTLET = Message("SST at the evaporator outlet; {loss} lower at the compressor")
SHORT_SST_AT_COMPRESSOR = Message("SST at the compressor; {loss} higher at the evaporator outlet")
SHORT_RESPONSES: Mapping[str, Message] = {
    "balanced": Message("it follows evaporator and compressor"),
    "stricter": Message("constant or balanced, the narrower window"),
}
SHORT_UNLOADING = Message("unloading to {share}")
LIQUID_AS_STATED = Message("at the temperatures stated for each head")
SHORT_SUBCOOLING = Message("subcooled {subcooling} at the valve ({conditions})")
SHORT_UPSTREAM = Message("subcooled {subcooling} at condenser or receiver ({conditions})")
SIZE_KV = Message("Kv {kv}")
SIZES_OF_TABLE = Plural("{title}, size {first}", "{title}, sizes {first} to {last}")
CONDITIONS_ON_FIRST = Message("{title} (conditions on the first page of this table)")

UNITS = Message("Loads in {unit} at the rating point, minimum rounded up, maximum rounded down.")
NOMINAL_UNDER = Message("Under each size is its nominal capacity.")
KV_UNDER = Message("Under each size is its Kv in m³/h.")
READ_EXAMPLE = Message(
    "Example: at SST {sst} (dew), size {size} covers systems rated from {minimum} to {maximum}. Between two rows, "
    "the load must be inside both windows."
)
EMPTY_AT_CONFIDENCE = Plural(
    "Limits are nominal; with scatter, at {level} confidence, {count} of the {total} windows of these sizes is "
    "empty. Have the valve sized for your case{see}.",
    "Limits are nominal; with scatter, at {level} confidence, {count} of the {total} windows of these sizes are "
    "empty. Have the valve sized for your case{see}.",
)
ALL_EMPTY_AT_CONFIDENCE = Message(
    "Limits are nominal; with scatter, at {level} confidence, all windows of these sizes are empty. Have the valve sized "
    "for your case{see}."
)
LAST_ROW = Message("Last row: the framed row at {level} confidence.")
LAST_ROW_AT_CONFIDENCE = Message(
    "Limits are nominal; last row: the framed row at {level} confidence, to choose inside if you can{see}."
)
# Over a table, of refrigerants of a safety group to be careful of.
SAFETY_NOTE = Message("{refrigerants} ({hazard}). Charge limits, ventilation and detection by the code at the site.")
RULER = Message("The framed row as a ruler: loads that each size covers, {unit}")
# Over the conditions of two tables on a page.
FOR_BOTH_TABLES = Message("For both tables")
DO_NOT_EXTRAPOLATE = Message("Do not extrapolate.")
REASON = Message("{mark}: {reason}")
NO_WINDOW = Message("No size has a load window in this table.")
SET_AT = Message("Minimum loads are set {minimum}. Maximum loads are set {maximum}.")
SET_BY = Message("{conditions} by {reasons}")
ONE_MEMBER = Message("{member} sets the minimum loads of this group, {others} the maximum loads.")
MEMBERS = Message("{members} set the minimum loads of this group, {others} the maximum loads.")
GROUP_COSTS_MAXIMUM = Message(
    "Sharing this table costs {refrigerant} up to {share} of the maximum load that it has by itself."
)
GROUP_RAISES_MINIMUM = Message("Sharing this table raises the minimum load of {refrigerant} by up to {share}.")
PULSE_CAVEAT = Message(
    "Pulse-modulated valve: losses are taken at the mean flow; in the open phase they are larger, so the maximum "
    "loads are on the high side."
)

SIZE_FOR_LOAD = Message("Size for a load – {table}")
HOW_TO_READ_MAP = Message(
    "Find the row that contains the load (system capacity at the rating point): over its first figure, up to its "
    "second. Find the column that contains the suction temperature (SST, dew point); on the line between two "
    "columns, use either one. Large figure: the size that covers the whole cell with the largest margin; small "
    "figure: the next best. Near the end of a cell's loads, another size may have the larger margin for your own load: "
    "compare both in the window table. Empty cell: no size covers all of it; see the window table, which also states "
    "the conditions. Shading only separates the sizes."
)
COLUMNS_WITHOUT_SIZE = Message(
    "Columns without a size: windows are open there, but none covers a whole cell; choose in the window table."
)
ALL_SIZES = Message("Windows of every size, {unit}: maximum load solid, minimum dashed; other sizes dotted")
ALL_SIZES_ALT = Message("Minimum and maximum load of every size against suction temperature: {table}")


RATING_POINT = Message("Rating point")
SUCTION = Message("Suction")
LOSSES_LABEL = Message("Losses at rated flow")
SUPERHEAT = Message("Superheat")
BULB_CHARGE = Message("Bulb charge")
DRIVE = Message("Drive")
VALVE = Message("Valve")

HEAD_SET = Message("setting {pressure}: saturated at {temperature}; {liquid}")
HEAD_SET_WITH_GLIDE = Message("setting {pressure}: bubble point {bubble}, dew point {dew}; {liquid}")
HEAD_STATED = Message("{temperature} {basis}: {pressure}; {liquid}")
HEAD_AT_BUBBLE = Message("{temperature} {basis}: {pressure} (dew pressure at {temperature}: {dew}); {liquid}")
HEAD_AT_DEW = Message("{temperature} {basis}: {pressure} (bubble pressure at {temperature}: {bubble}); {liquid}")
HEAD_AT_MID = Message(
    "{temperature} {basis}: {pressure} (at {temperature}: bubble pressure {bubble}, dew pressure {dew}); {liquid}"
)

LIQUID_AT = Message("liquid at the valve {temperature}")
LIQUID_SUBCOOLED = Message("liquid at the valve subcooled {subcooling} after the line loss, about {temperature}")
LIQUID_UPSTREAM = Message("liquid subcooled {subcooling} at condenser or receiver, about {temperature} at the valve")
CONDENSER_OUTLET = Message("Condenser outlet")
RECEIVER_OUTLET = Message("Receiver outlet")
CONDENSER_SUBCOOLING = Message(
    "{needed} of subcooling needed to reach the valve without flash gas, {assumed} assumed (low head / rating point / "
    "high head)"
)
RECEIVER_SUBCOOLING = Message(
    "{needed} of subcooling needed to reach the valve without flash gas, {assumed} assumed (low receiver pressure / "
    "rating point / high receiver pressure)"
)
CONDENSER_UNUSUAL = Message(
    "{at_condition} the liquid must leave the condenser {subcooling} subcooled; more than {usual} takes a subcooler"
)
RECEIVER_UNUSUAL = Message(
    "{at_condition} the liquid must leave the receiver {subcooling} subcooled; more than {usual} takes a subcooler"
)
LIQUID_UNKNOWN = Message(
    "liquid at the valve subcooled {subcooling} after the line loss, at a temperature that cannot be computed"
)

LOSSES_WITHOUT_LIFT = Message("liquid line {liquid_line}, evaporator {evaporator}, distributor {distributor}, no lift")
LOSSES_WITH_LIFT = Message(
    "liquid line {liquid_line}, evaporator {evaporator}, distributor {distributor}, liquid lift {lift}"
)

SUPERHEAT_AT_BULB = Message(
    "capacity rated with {useful} useful superheat; operating superheat {minimum} to {maximum} at the bulb"
)
SUPERHEAT_RISING = Message(
    "capacity rated with {useful} useful superheat; operating superheat from {minimum}, rising with load, to "
    "{maximum} at the bulb"
)
SUPERHEAT_BY_CONTROLLER = Message(
    "capacity rated with {useful} useful superheat at the evaporator outlet; operating superheat set by controller"
)

SST_AT_BULB = Message(
    "SST is the dew point at the evaporator outlet (the bulb); at the compressor it is {loss} lower; {response}"
)
SST_AT_OUTLET = Message(
    "SST is the dew point at the evaporator outlet; at the compressor it is {loss} lower; {response}"
)
SST_AT_COMPRESSOR_BULB = Message(
    "SST is the dew point at the compressor; at the evaporator outlet (the bulb) it is {loss} higher; {response}"
)
SST_AT_COMPRESSOR = Message(
    "SST is the dew point at the compressor; at the evaporator outlet it is {loss} higher; {response}"
)
UNLOADING = Message("{suction}; compressor unloading to {share}")

NO_CHARGE = Message("none offered")
CHARGE_SET = Message(
    "{charge}, set for {refrigerant}: {static} static superheat at a bulb temperature of {bulb}, {opening} opening "
    "superheat to rated stroke"
)
WITH_MOP = Message("{charge}, MOP {absolute} ({gauge})")
MOP_ACTS = Message("{charge}: it limits above a bulb temperature of {bulb}, {refrigerant} evaporating at {evaporating}")

INTERNAL_EQUALIZER = Message("internal equalizer; {pressures}")
EXTERNAL_EQUALIZER = Message("external equalizer; {pressures}")
WORKING_PRESSURES = Message("working pressure {working}, allowed differential {differential}")
PRESSURES_OF_SIZES = Plural("size {sizes}: {pressures}", "sizes {sizes}: {pressures}")

CLEARANCE_COMPRESSOR = Message("clearance {clearance}, re-expansion exponent {exponent}")
RACK = Message("a rack with constant SST; the evaporator capacity stays constant")
TABLE_COMPRESSOR = Message("table of relative mass flows")
POLYNOMIAL_COMPRESSOR = Message("ten-coefficient mass-flow polynomial (AHRI 540)")


LOAD = Message("load, {unit}")
RATED_LOAD = Message("load at the rating point, {unit}")
SST = Message("saturated suction temperature, {unit}")
HEAD_PRESSURE = Message("head pressure, {unit}")
CAPACITY = Message("refrigerating capacity, {unit}")
SUPERHEAT_AXIS = Message("superheat, {unit}")
TEMPERATURE_AXIS = Message("temperature (dew point, bulb), {unit}")
GAUGE_PRESSURE = Message("gauge pressure, {unit}")
PRESSURE_AXIS = Message("pressure, {unit}")
OPENINGS: Mapping[str, Message] = {
    "thermostatic": Message("opening, share of rated stroke, %"),
    "stepper": Message("share of travel, %"),
    "pulse_modulated": Message("duty cycle, %"),
}

# What a valve is for a load, over the zones of a superheat graph.
TOO_LARGE = Message("too large")
FITS = Message("fits")
TOO_SMALL = Message("too small")
TO_STOP = Message("{condition}, to the stop")
MAXIMUM = Message("maximum")
MINIMUM = Message("minimum")
MINIMUM_STABLE = Message("minimum stable")
FOR_LOAD = Message("for the load")

STATIC_SUPERHEAT = Message("static superheat")
EVAPORATOR = Message("evaporator")
EVAPORATOR_AND_SPRING = Message("evaporator and spring")
BULB = Message("bulb")

SYSTEM = Message("system")
FULLY_OPEN = Message("fully open")
MINIMUM_OPENING = Message("minimum stable opening")
SIZE_AT = Message("size {size}, {opening}")
BOTH_OPENINGS = Message("{maximum} = {minimum}")
HEAD_AT = Message("{condition} {pressure}")
STARVES = Message("size {size} too small")

# Selection map.
MAP_SST = Message("SST, {unit}")
MAP_FROM = Message("{low} to")
