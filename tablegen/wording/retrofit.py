"""An existing valve on another system: what it does at each head pressure, what changes, what would cover the load."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

HEADING = Message("{valve} on {refrigerant}")
OTHER_REFRIGERANT = Message("{valve}, from {old} to {new}")
SUBJECT = Message("An existing expansion valve on a new system")

COVERS = Message("{valve} covers {load} at every head pressure from {low} to {high}.")
DOES_NOT_COVER = Message("{valve} does not cover {load}: it {ranges}.")
PARTLY_COVERS = Message("{valve} does not cover {load}: it {ranges}. It {covered}.")
OLD_COVERS = Message("In the old system it covers {load} at every head pressure from {low} to {high}.")
OLD_DOES_NOT_COVER = Message("In the old system it does not cover {load}: it {ranges}.")
OLD_PARTLY_COVERS = Message("In the old system it does not cover {load}: it {ranges}. It {covered}.")
FACTORY_COVERS = Message("As set at the factory it covers {load} at every head pressure from {low} to {high}.")
FACTORY_DOES_NOT_COVER = Message("As set at the factory it does not cover {load}: it {ranges}.")
FACTORY_PARTLY_COVERS = Message("As set at the factory it does not cover {load}: it {ranges}. It {covered}.")
IN_RANGE = Message("{zone} from {low} to {high}")
WITH_UNIT = Message("{text} {unit}")

# What the valve does, after "it".
ZONES: Mapping[str, Message] = {
    "steady": Message("covers the load"),
    "starved": Message("starves the evaporator"),
    "flooding": Message("floods back"),
    "hunts": Message("hunts"),
    "not_working": Message("cannot operate"),
}
MEANINGS: Mapping[str, Message] = {
    "starved": Message("Starves the evaporator: it needs more than the maximum superheat, or cannot pass the flow."),
    "flooding": Message("Floods back: superheat falls so low that liquid may leave the evaporator."),
    "hunts": Message("Hunts: the load needs less than the minimum stable opening."),
    "not_working": Message("Cannot operate: no load is possible at that head pressure."),
}

STATED_STABILITY = Message(
    "As in the tables, hunting is judged by the stated minimum opening and minimum stable superheat. 'tablegen hunt' "
    "calculates the loop of valve, coil and bulb, and may report hunting at a load that is covered here."
)

VALVE = Message("Valve")
VALVE_WITH_DRIVE = Message("Kv {kv} m³/h, {charge}")
VALVE_WITH_CHARGE = Message("Kv {kv} m³/h, {charge}, set for {refrigerant} at {superheat} static superheat")
UNCHANGED = Message("Unchanged")
SPRING = Message("charge and setting; the spring exerts {spring} as the valve opens, {gradient} more at rated stroke")
STEM_TURNS = Message("Turns of the stem")
TURNS_CLOCKWISE = Message("{turns} clockwise from the factory setting")
TURNS_BACK = Message("{turns} counterclockwise from the factory setting")
SPRING_SET = Message("Spring")
SPRING_SET_TO = Message(
    "{spring} as the valve opens, {factory_spring} at the factory setting; {gradient} more at rated stroke, as before"
)
SUPERHEAT_SET = Message("Static superheat set")
SUPERHEAT_SET_TO = Message("{superheat}, {factory_superheat} at the factory setting (bulb at {bulb}, {refrigerant})")
LIMIT_SET = Message("Maximum operating pressure")
LIMIT_SET_TO = Message("{pressure}, {factory_pressure} at the factory setting")

# Both systems beside each other.
SYSTEMS = Message("The systems")
ITEM = Message("System")
OLD = Message("Old")
NEW = Message("New")
FACTORY_SETTING = Message("Factory setting")
NEW_SETTING = Message("New setting")
REFRIGERANT = Message("Refrigerant")
AS_STATED = Message("{condition}, as stated")
WINDOW = Message("Load window")
POSITION = Message("Load in the window")
MINIMUM_SET_BY = Message("Minimum load set by")
MAXIMUM_SET_BY = Message("Maximum load set by")
STATIC_SUPERHEAT = Message("Static superheat")
NONE = Message("none")
NONE_AT = Message("none {condition}")
NONE_AT_CONFIDENCE = Message("none at the stated confidence")
NONE_CROSSED = Message("none: the minimum load is not below the maximum load")
IN_WINDOW = Message("at {position} of the window")
ABOVE_MAXIMUM = Message("above the maximum")
BELOW_MINIMUM = Message("below the minimum")
LIMIT = Message("{condition}, {reason}")
OFF_CURVE_CELL = Message("outside the charge's curve")
AT_HEAD = Message("{pressure}: {zone}, {opening}")
AT_HEAD_SUPERHEAT = Message("{pressure}: {zone}, {opening}, {superheat} superheat")
AT_HEAD_NO_SUPERHEAT = Message("{pressure}: {zone}, {opening}, no superheat")
NEEDS_SUPERHEAT = Message(
    "{pressure}: {zone}; it would need {superheat} superheat, {opening}; at the maximum of {maximum} it passes {share} "
    "of the load"
)
OPEN = Message("{share} open")
BEYOND_STOP = Message("beyond its stop")
BEYOND_FULL = Message("beyond its full opening")
PASSES = Message("{text}; it passes {share} of the load")

# The ranges of head pressure.
RANGES = Message("Ranges of head pressure")
HEAD_PRESSURE = Message("Head pressure, {unit}")
WHAT_IT_DOES = Message("What the valve does")
ZONE_BECAUSE = Message("{zone}: {reason}")
PASSES_AT = Message("{text}; at {pressure} it passes {share} of the load")
SHARE_OF_MINIMUM = Message("{text}; at {pressure} the load is {share} of the minimum load")
SMALLEST_MARGIN = Message("{text}; the smallest margin is {margin}, at {pressure}")

# Sizes that would cover the load.
SIZES = Message("Sizes of {family} that would cover the load, largest margin first")
SIZE = Message("Size")
CHARGE = Message("Charge")
MARGIN = Message("Margin")
LOAD_WINDOW = Message("Load window, {unit}")
SAME_CHARGE = Message("{charge} (fitted)")
NO_SIZE = Message("No size of {family} would cover the load.")
NO_SIZE_WITH_CHARGE = Message("No size of {family} with the fitted charge would cover the load.")
NO_SIZE_WITH_OTHER = Message(
    "No size of {family} with the charge offered for {refrigerant} ({charge}) would cover the load."
)
NO_CHARGE = Message("No bulb charge of {family} is offered for {refrigerant}, {range}.")
NOT_LISTED = Message("{refrigerant} is in no group of this catalogue, which offers no other size or charge for it.")

LOWER_DEW = Message(
    "At SST {sst} the dew pressure of {new} is {pressure}, that of {old} {old_pressure}: the pressure that closes "
    "the valve is {difference} lower, so it opens at less superheat."
)
HIGHER_DEW = Message(
    "At SST {sst} the dew pressure of {new} is {pressure}, that of {old} {old_pressure}: the pressure that closes "
    "the valve is {difference} higher, so it needs more superheat to open."
)
STATIC_CHANGES = Message("Static superheat is {superheat} instead of {old_superheat}.")
SPRING_TIGHTER = Message(
    "The spring exerts {difference} more than at the factory setting. At SST {sst} with {refrigerant} that changes static "
    "superheat from {factory_superheat} to {superheat}; at another SST the same spring means another superheat."
)
SPRING_LOOSER = Message(
    "The spring exerts {difference} less than at the factory setting. At SST {sst} with {refrigerant} that changes static "
    "superheat from {factory_superheat} to {superheat}; at another SST the same spring means another superheat."
)
CHARGE_FOR = Message("The charge is meant for {refrigerants}, not for {refrigerant}.")
CHARGE_FOR_RANGE = Message("The charge is meant for {ranges}, not for {range}.")
OFF_CURVE = Message(
    "The charge's curve does not reach {refrigerant} at SST {sst}: static superheat cannot be determined."
)
STAYS_OPEN = Message(
    "Static superheat with {refrigerant} at SST {sst} is {superheat}, below the minimum of {minimum} for this charge: "
    "the valve stays open without any superheat."
)
MAY_OPEN = Message(
    "Static superheat with {refrigerant} at SST {sst} is {superheat}, below the minimum of {minimum} for this charge: "
    "the valve may open without superheat."
)
INTERNAL_EQUALIZER = Message(
    "Its internal equalizer senses the distributor's pressure drop, which pushes the valve closed."
)
RATING_OUTSIDE = Message("The head pressure of the rating point is not between low head and high head.")
BOTH_RESPONSES = Message("Computed for constant and for balanced suction; the graph shows constant suction.")
CAPACITY_STEP = Message("Computed down to the compressor's minimum step of {share}; the graph shows full flow.")
MOVED_HEADS = Message(
    "{refrigerant} has no head pressure settings in the catalogue: its {conditions} is taken at the condensing "
    "temperature of the first refrigerant of the first group."
)
OLD_NOT_OFFERED = Message("The catalogue does not offer the valve for the old system today: {reason}")

COVERED = Message("Over this whole range of head pressure it covers {low} to {high}.")
COVERED_AT_CONFIDENCE = Message(
    "Over this whole range of head pressure it covers {low} to {high}, at {confidence} confidence."
)
LESS_THAN_AT_CONDITIONS = Message("That is less than the three operating conditions alone allow.")
NOTHING_COVERED = Message("It covers no load over this whole range of head pressure.")
NO_SETTING = Message("Raising the low head, up to the head pressure of the rating point, does not help.")
SETTING = Message(
    "With the low head set to {setting} or more it covers the load at every head pressure ({liquid} at that low head)."
)
NOT_THE_BORDER = Message(
    "This differs from the {border} above: between the operating conditions subcooling is interpolated, but a new "
    "setting is computed with the subcooling of the low head and rounded up."
)
RESETTING = Message(
    "Adjusting the superheat spring in the field changes all of this. That is a job for a licensed technician who "
    "measures superheat, and not part of this answer."
)
SETTING_SPRING = Message(
    "Turning the stem clockwise compresses the spring and raises superheat on most valves; the valve manufacturer's "
    "instructions say how and how far. That is a job for a licensed technician who measures superheat before and after."
)
OTHERS_AT_FACTORY = Message("The sizes that would cover the load are as the factory sets them.")
NO_SPRING = Message("{argument}: {family} is not a thermostatic valve and has no spring to set")
NO_STEM = Message(
    "{argument}: the file of {family} does not say what a turn of the stem does (charge {charge}: setting.stem); give "
    "{--static-superheat} instead"
)
BEYOND_TRAVEL = Message(
    "{argument}: {turns} turns from the factory setting is not allowed; the stem of {family} turns from {minimum} to "
    "{maximum}, about {superheat} a turn"
)
SPRING_WOULD_PULL = Message("{argument}: {family} cannot be set so; the spring would have to pull the valve open")
LOAD_OF_NEW = Message("The load is that of the new system at its rating point.")
OTHER_CAPACITY = Message(
    "The load is that of the new system at its rating point; the same compressor has a different capacity with "
    "another refrigerant. The equipment manufacturer and the code say whether {refrigerant} is allowed with this "
    "equipment, its oil and its seals."
)
FLAMMABLE = Message(
    "{refrigerant} is flammable (safety group {group}): do not charge it into equipment that was not made for it "
    "unless the manufacturer and the code allow it."
)
TOXIC = Message(
    "{refrigerant} is toxic (safety group {group}): do not charge it into equipment that was not made for it unless the "
    "manufacturer and the code allow it."
)

GRAPH_ALT = Message("Graph: capacity of system and valve against head pressure. {verdict}")
GRAPH = Message(
    "The evaporator line is the evaporator's capacity at the suction temperature. Between the three operating "
    "conditions subcooling is interpolated."
)
GRAPH_HATCHED = Message(
    "Hatched: where the system needs more than the valve passes at its stop or maximum superheat, or less than its "
    "minimum load. The evaporator line is the evaporator's capacity at the suction temperature. Between the three "
    "operating conditions subcooling is interpolated."
)
GRAPH_CAPACITY = Message("capacity, {unit}")

NO_CHARGE_OFFERED = Message(
    "no bulb charge of {family} is offered for {refrigerant} in {range}; name the charge that the valve has: {charges}"
)
OUTSIDE_COMPRESSOR_DATA = Message(
    "{refrigerant}: the {condition} cannot be computed; it is outside the compressor data of {application}"
)
NO_PROPERTIES = Message(
    "{refrigerant}: the {condition} cannot be computed; check its liquid temperature, its lift and the suction "
    "temperature of {sst}"
)
HELP = Message("check an existing valve on a new condensing unit or refrigerant")
DESCRIPTION = Message(
    "Check an existing valve against the head pressures of a new condensing unit: where it starves the evaporator, "
    "hunts or floods back, and what changes. With another refrigerant, bulb charge and spring setting stay as they are."
)
EPILOG = Message(
    "Exit codes: 0 the valve covers the load at all head pressures, 1 it does not, 2 bad input.  Example: tablegen "
    "retrofit alder 63 --refrigerant R404A --sst '24 degF' --load '14 kBtu/h' --was-application walk_in_medium_fixed "
    "--application walk_in_medium --set low_head.head_pressure='120 psi_gauge' --demo"
)
FAMILY_HELP = Message("family of the existing valve; or its part number, then leave out SIZE")
SIZE_HELP = Message("its size")
FAMILY_AND_SIZE = Message(
    "{--family}: {text} is not a part number of the catalogue; give one, or family and size of the existing valve"
)
REFRIGERANT_HELP = Message("refrigerant of the new system")
LOAD_HELP = Message("gross capacity at the rating point, such as '20 kBtu/h' or '5.9 kW'")
WAS_HELP = Message("refrigerant that the valve was bought for (default: the same)")
WAS_APPLICATION_HELP = Message("application that the valve was bought for (default: the new one, without --set)")
WAS_SET_HELP = Message("change a key of the application that the valve was bought for; repeatable")
WAS_LOAD_HELP = Message("capacity of the old system (default: the new one's)")
CHARGE_HELP = Message("bulb charge in the valve (default: the one offered for the old refrigerant and application)")
STATIC_SUPERHEAT_HELP = Message(
    "static superheat to which the spring is set, at the factory's bulb temperature and on its refrigerant, such as "
    "'5 delta_degF'"
)
TURNS_HELP = Message("turns of the stem from the factory setting, clockwise above zero, such as +1.5 or -1")
CSV_ROWS = Message("a row for each range of head pressure")
