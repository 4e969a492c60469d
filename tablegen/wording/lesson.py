"""The handout's lesson: what a system asks of its valve at each head pressure, and why that gives two limits."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

TITLE = Message("What a system asks of its expansion valve")
WORDS = Message("The words, and the system that this handout is about")
BOX = Message("Box, evaporator")
BOX_MEANING = Message(
    "A cold room, and the coil of pipe in it, in which liquid refrigerant (here {refrigerant}) evaporates and takes up heat."
)
UNIT = Message("Condensing unit")
UNIT_MEANING = Message(
    "Compressor and condenser: pumps the vapor out of the evaporator and makes it liquid again, outdoors."
)
# By whether the SST is constant.
SST: Mapping[bool, Message] = {True: Message("SST, constant SST"), False: Message("SST, balanced SST")}
SST_MEANING: Mapping[bool, Message] = {
    True: Message(
        "Saturated suction temperature: the temperature at which the refrigerant evaporates, here {sst}. Constant SST means that "
        "we use this one temperature on all days of the year."
    ),
    False: Message(
        "Saturated suction temperature: the temperature at which the refrigerant evaporates, here {sst} at the rating point. "
        "Balanced SST means that on other days it is as high as evaporator and condensing unit make it."
    ),
}
AT_SST: Mapping[bool, Message] = {True: Message("at constant SST"), False: Message("at balanced SST")}
HEAD = Message("Head pressure")
# By whether the head pressure floats.
HEAD_MEANING: Mapping[bool, Message] = {
    True: Message(
        "The pressure of the liquid from the condensing unit, in {gauge} (above that of the air). In summer it rises to {high}, the "
        "high head. In winter it falls with the outdoor air (it floats) to {low}, the low head."
    ),
    False: Message(
        "The pressure of the liquid from the condensing unit, in {gauge} (above that of the air). In summer it rises to {high}, the "
        "high head. In winter a control does not let it fall below {low}, the low head."
    ),
}
LOAD = Message("Load, rating point")
LOAD_MEANING = Message(
    "How fast a system is to take heat out of the box, in {unit}. What it can do, its capacity, changes with the head pressure. A load is always the capacity at one head pressure, the rating point, {rating}: here {load}. So it is a name for the "
    "system's size, the same all year."
)
VALVE = Message("Valve, opening")
# By whether maximum loads leave travel beyond them.
VALVE_MEANING: Mapping[bool, Message] = {
    False: Message(
        "The valve lets liquid into the evaporator through a hole, the port, which a pin on its seat closes. Opening is how far the "
        "pin is off its seat, in percent of rated travel. At {stop} the valve is fully open, at its stop."
    ),
    True: Message(
        "The valve lets liquid into the evaporator through a hole, the port, which a pin on its seat closes. Opening is how far the "
        "pin is off its seat, in percent of rated travel. At {opening} the valve counts as fully open; the travel from there to "
        "the stop, {stop}, is reserve."
    ),
}
DROP = Message("Pressure drop")
DROP_MEANING = Message(
    "Pressure upstream minus pressure downstream of the port, in {unit}. More of it pushes more liquid through one opening. The rest of the "
    "head pressure is the evaporator's pressure and losses in the piping."
)
SUPERHEAT = Message("Superheat, bulb")
SUPERHEAT_MEANING = Message(
    "How much warmer than the SST the vapor is that leaves the evaporator. The valve senses it with a bulb on the pipe, and opens "
    "further when it grows. With too little liquid it is too high: the valve starves the evaporator. With too much liquid it is "
    "too low, and liquid may reach the compressor."
)

LINES = Message("The lines of the graph")
SYSTEM_LINE = Message("System's line")
# By whether the condensing unit's capacity falls as the head pressure rises, with the flow and with the heat in each pound.
SYSTEM_LINE_MEANING: Mapping[bool, Message] = {
    True: Message(
        "What the condensing unit can do, {at_sst}: {high} at high head, {rating} at the rating point, {low} at low head, "
        "where it pumps more, and each {mass} of the colder liquid takes up more heat."
    ),
    False: Message(
        "What the condensing unit can do, {at_sst}: {high} at high head, {rating} at the rating "
        "point, {low} at low head."
    ),
}
EVAPORATOR_LINE = Message("Evaporator's line")
# By whether the SST is constant.
EVAPORATOR_LINE_MEANING: Mapping[bool, Message] = {
    True: Message(
        "What the evaporator can evaporate at the same SST: {rating} on all days, because it depends on how much warmer than the SST "
        "the box is, not on the head pressure. A valve is checked against the system's line: if it passes less than the condensing "
        "unit pumps, the evaporator is starved, and the SST falls below {sst}. Where the SST may change, the flow is between both "
        "lines: the system's line is the safe side."
    ),
    False: Message(
        "What the evaporator can evaporate: {low} at low head, {rating} at the rating point, {high} at high head. That "
        "depends on how much warmer than the SST the box is. The valve is checked against the system's line."
    ),
}
VALVE_LINES = Message("Valve's lines")
VALVE_LINES_MEANING = Message(
    "What a valve of size {size} passes fully open, and at its minimum stable opening: with the pin nearer to its seat it "
    "hunts, its superheat swings up and down (next page). A valve fits where the system's line is between its two lines."
)
# Where they bend.
VALVE_LINES_FALL = Message("{meaning} Above the rating point they fall, because warmer liquid takes up less heat.")
SMALLER = Message("Size {size}")
# What the smaller size cannot pass: by whether it is too small at low head, and at high head.
SMALLER_MEANING: Mapping[tuple[bool, bool], Message] = {
    (True, False): Message(
        "A smaller valve. Fully open it passes {low} at low head, less than the system's {low_system}: too small in winter "
        "({hatched}). At high head it passes {high}, more than the {high_system}: enough."
    ),
    (True, True): Message(
        "A smaller valve. Fully open it passes {low} at low head and {high} at high head, less than the system's {low_system} and "
        "{high_system}: too small in winter and in summer ({hatched})."
    ),
    (False, True): Message(
        "A smaller valve. Fully open it passes {high} at high head, less than the system's {high_system}: too small in summer "
        "({hatched}). At low head it passes {low}, more than the {low_system}: enough."
    ),
    (False, False): Message(
        "A smaller valve. Fully open it passes {low} at low head, more than the {low_system} there, and {high} at high head, more than the "
        "{high_system} there: large enough for {refrigerant}, but not for every refrigerant of its group."
    ),
}
# By whether the smaller size crosses the system.
HATCHED: Mapping[bool, Message] = {True: Message("hatched, to the circle at {crossing}"), False: Message("hatched")}

LIMITS_TITLE = Message("Why a valve has two limits")
TABLE = Message("A system with a load of {load}, and size {size} (rated {name} {kv})")
TABLE_ROUNDED = Message("A system with a load of {load} ({rounded} on page 1), and size {size} (rated {name} {kv})")
PRESSURE_DROP = Message("Pressure drop at the port")
MASS_FLOW = Message("Refrigerant to be passed")
REQUIRED_KV = Message("Required {name}")
OPENING = Message("Opening of size {size}")
OPENING_NEEDED = Message("Opening")
KV = Message(
    "{name} is how much a port passes at a fixed pressure drop: a larger port has a higher {name}. The required {name} is what the "
    "system needs, the rated {name} what the valve has at 100 % open. {size_name}"
)
# Where the number of a size is that of its rated Kv, the second where Cv is printed; and where it is not.
SIZE_NAMED = Message("Size {size} has its name from it.")
SIZE_NAMED_BY_KV = Message("Size {size} has its name from its Kv, {kv} (Cv is {cv} Kv).")
SIZE_IS_A_NAME = Message("A size is only a name.")
# By whether there is more refrigerant to pass in winter.
SEASONS: Mapping[bool, Message] = {
    True: Message(
        "In winter the condensing unit pumps more, {low_flow} compared with {high_flow} in summer (and each {mass} takes up more "
        "heat), but only {low_drop} pushes it through the valve instead of {high_drop}: {low_opening} open compared with {high_opening}."
    ),
    False: Message(
        "In winter the condensing unit pumps {low_flow}, in summer {high_flow}, but only {low_drop} pushes it through the valve "
        "instead of {high_drop}: {low_opening} open compared with {high_opening}."
    ),
}
OPENING_GRAPH = Message(
    "How far size {size} must open: each load is another system; between the limits is the load window"
)
OPENING_GRAPH_ALT = Message(
    "Graph: opening against load. Maximum load {maximum} with {max_opening} open {max_at}, minimum load {minimum} with "
    "{min_opening} open {min_at}"
)
MAXIMUM = Message("Maximum load")
MINIMUM = Message("Minimum load")
# Where a limit is set by the opening, and at the head that the lesson expects.
AT_STOP = Message(
    "More load needs more opening, up to the stop, {opening}. Winter, with {drop}, needs more opening for each load than summer with "
    "{other_drop}: the line of low head is steeper. It meets the stop at {load}, the line of high head at {other_load}. At {example} the "
    "valve would be fine in summer but starve the evaporator in winter. A valve must work in both seasons: the maximum load is set at "
    "low head."
)
AT_RATED_STROKE = Message(
    "More load needs more opening, up to {opening}; the travel from there to the stop is reserve for pull-down. Winter, with {drop}, "
    "needs more opening for each load than summer with {other_drop}: the line of low head is steeper. It meets {opening} at {load}, the "
    "line of high head at {other_load}. At {example} the valve would have its reserve in summer but use it in winter. A valve must work "
    "in both seasons: the maximum load is set at low head."
)
AT_MINIMUM_OPENING = Message(
    "Less load needs less opening, down to the minimum stable opening, {opening} (stated by the manufacturer). Summer, with {drop}, needs "
    "less opening for each load: the line of high head is flatter. It meets {opening} at {load}, the line of low head at {other_load}. By "
    "the rule that the tables use, the valve would be steady at {example} in winter but hunt in summer. A valve must work in both "
    "seasons: the minimum load is set at high head."
)
# Where the loop of valve, coil and bulb sets it, by opening and load at each head.
BY_LOOP = Message(
    "Where hunting begins is calculated from the loop of valve, coil and bulb, separately at each head pressure: at {low} open at low head "
    "({low_load}), {rating} at the rating point ({rating_load}), {high} at high head ({high_load}). With less load the valve hunts "
    "there. A valve must work at every head, so the largest of these loads counts: {load}, set {at_condition}."
)
# After the minimum load, where the first page shows it.
ON_FIRST_PAGE = Message("{meaning} (On page 1 it is drawn at {capacity}, the capacity at high head.)")
# Any other limit; a load with its unit, where it is set, and why.
OTHER_LIMIT: Mapping[str, Message] = {
    "max": Message(
        "{load}, set {at_condition} at {opening} open: {reason}. The smaller of all maximum loads counts, because a valve must "
        "work in both seasons."
    ),
    "min": Message(
        "{load}, set {at_condition} at {opening} open: {reason}. The larger of all minimum loads counts, because a valve must "
        "work in both seasons."
    ),
}
HUNTING = Message("Hunting")
# By whether the flow changes more near the seat.
HUNTING_MEANING: Mapping[bool, Message] = {
    True: Message(
        "Near its seat a movement of the pin is large in proportion: opening from 10\N{NO-BREAK SPACE}% to 20\N{NO-BREAK SPACE}% "
        "multiplies the flow by {near}, from 70\N{NO-BREAK SPACE}% to 80\N{NO-BREAK SPACE}% by {far}. The bulb always senses late, "
        "when the refrigerant is through the evaporator. Near the seat the valve has then opened much too far: the superheat falls, "
        "the valve closes too far, the superheat rises. It hunts."
    ),
    False: Message(
        "The bulb always senses late, when the refrigerant is through the evaporator. With the pin near its seat the valve has opened "
        "too far by then: the superheat falls, the valve closes too far, the superheat rises. It hunts."
    ),
}
HUNTING_BY_LOOP = Message(
    "The bulb always senses late, when the refrigerant is through the evaporator. By then a valve that is not open far enough has "
    "opened too far: the superheat falls, the valve closes too far, the superheat rises. It hunts. How far is enough depends on valve, "
    "coil and bulb, and on the head: here {low} at low head and {high} at high head."
)
SKETCH = Message("Superheat over time (a sketch, not a measurement)")
SKETCH_NAME = Message("superheat in time")
# By whether the loop of valve, coil and bulb says where hunting begins.
STEADY_PANEL: Mapping[bool, Message] = {
    False: Message("well open: steady"),
    True: Message("open far enough: steady"),
}
HUNTING_PANEL: Mapping[bool, Message] = {
    False: Message("near its seat: hunts"),
    True: Message("not open far enough: hunts"),
}
SKETCH_ALT: Mapping[bool, Message] = {
    False: Message(
        "Sketch: superheat settles with the valve well open, and swings up and down with the pin near its seat"
    ),
    True: Message("Sketch: superheat settles with the valve open far enough, and swings up and down with less opening"),
}
MINIMUM_STABLE = Message("too low")
MAXIMUM_SUPERHEAT = Message("too high")
TIME = Message("time")
SUPERHEAT_AXIS = Message("superheat")
OPENING_AXIS = Message("opening, %")
LOAD_AXIS = Message("load at the rating point, {unit}")
MINIMUM_OPENING = Message("minimum stable opening {opening}")
LIMIT_OPENING = Message("{opening} open")
STARVES_OPENING = Message("would need more than {opening}: starves the evaporator")
BEYOND_STOP = Message("would need more than {opening}, the stop: starves the evaporator")
BEYOND_RATED_STROKE = Message("would need more than {opening}: uses the reserve")
HUNTS = Message("hunts")
ON_HEAD: Mapping[str, Message] = {
    "low_head": Message("low head (winter), {drop}"),
    "rating": Message("rating point, {drop}"),
    "high_head": Message("high head (summer), {drop}"),
}
HUNTS_BELOW = Message("{head}\nhunts below {opening}")
WINDOW = Message("load window")

CALCULATION = Message("Both limits, calculated from the figures of this page")
# How a limit is printed.
CALCULATED: Mapping[str, Message] = {
    "max": Message(
        "load × {share_name} × rated {name} ÷ required {name} {at_condition} = {load} × {share} × {kv} ÷ {required} = {result}, "
        "printed as {printed}: a maximum is rounded down, never past the limit."
    ),
    "min": Message(
        "load × {share_name} × rated {name} ÷ required {name} {at_condition} = {load} × {share} × {kv} ÷ {required} = {result}, "
        "printed as {printed}: a minimum is rounded up, never below the limit."
    ),
}
# What is multiplied with, by whether Kv is in proportion to the opening.
SHARE_NAME: Mapping[bool, Message] = {
    True: Message("opening ({opening} is {share})"),
    False: Message("share of rated {name} at that opening"),
}
