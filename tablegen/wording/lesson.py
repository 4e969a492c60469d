"""The handout's lesson: what a system asks of its valve at each head pressure, and why that gives two limits."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

TITLE = Message("What a system asks of its expansion valve")
WORDS = Message("The words, and the system that this handout is about")
BOX = Message("Box, evaporator")
BOX_MEANING = Message(
    "The box is a cold room. In its coil, the evaporator, liquid refrigerant (here {refrigerant}) evaporates and takes up heat."
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
        "The pressure that the condensing unit gives the liquid. In summer the air is hot and it rises to {high}, the high "
        "head. In winter it falls with the air temperature, down to {low}, the low head: it floats."
    ),
    False: Message(
        "The pressure that the condensing unit gives the liquid. In summer the air is hot and it rises to {high}, the high "
        "head. In winter a control does not let it fall below {low}, the low head."
    ),
}
LOAD = Message("Load, rating point")
LOAD_MEANING = Message(
    "The load is how much heat a system is to take out of the box. What a system can do, its capacity, changes with the head "
    "pressure, so its load is stated at one of them, the rating point, {rating}: here {load}."
)
VALVE = Message("Valve, opening")
VALVE_MEANING = Message(
    "The expansion valve lets liquid into the evaporator through a hole, the port. A pin on its seat closes the port. Opening is "
    "how far the pin has moved off its seat, in percent of its rated travel; fully open, at its stop, is {stop}."
)
DROP = Message("Pressure drop")
DROP_MEANING = Message(
    "Pressure upstream minus pressure downstream of the port. More of it pushes more liquid through one opening."
)
SUPERHEAT = Message("Superheat, bulb")
SUPERHEAT_MEANING = Message(
    "How much warmer than the SST the vapor is that leaves the evaporator. The valve senses it with a bulb on the pipe, and opens "
    "further when it grows. With too little liquid it is too high: the valve starves the evaporator. With too much liquid it is "
    "too low, and liquid may reach the compressor."
)

LINES = Message("The lines of the graph")
SYSTEM_LINE = Message("System's line")
# By whether the condensing unit's capacity falls as the head pressure rises.
SYSTEM_LINE_MEANING: Mapping[bool, Message] = {
    True: Message(
        "What the condensing unit can do at each head pressure, {at_sst}: the lower the head pressure, the more. It is {high} "
        "at high head, {rating} at the rating point, {low} at low head. The valve must pass it."
    ),
    False: Message(
        "What the condensing unit can do at each head pressure, {at_sst}: {high} at high head, {rating} at the rating "
        "point, {low} at low head. The valve must pass it."
    ),
}
EVAPORATOR_LINE = Message("Evaporator's line")
# By whether the SST is constant.
EVAPORATOR_LINE_MEANING: Mapping[bool, Message] = {
    True: Message(
        "What the evaporator can evaporate at the same SST. That depends on how much warmer than the SST the box is, not on "
        "the head pressure: {rating} on all days. Where the system's line is higher, a real SST falls a little, until both "
        "do the same; lower, it rises. We leave that out, and check the valve against the system's line."
    ),
    False: Message(
        "What the evaporator can evaporate: {low} at low head, {rating} at the rating point, {high} at high head. That "
        "depends on how much warmer than the SST the box is. The valve is checked against the system's line."
    ),
}
VALVE_LINES = Message("Valve's lines")
VALVE_LINES_MEANING = Message(
    "What a valve of size {size} passes fully open, and at its minimum stable opening: with the pin nearer to its seat it hunts, as "
    "the next page explains. A valve fits where the system's line is between its two lines."
)
SMALLER = Message("Size {size}")
# What the smaller size cannot pass: by whether it is too small at low head, and at high head.
SMALLER_MEANING: Mapping[tuple[bool, bool], Message] = {
    (True, False): Message(
        "A smaller valve. Fully open it passes {low} at low head, where the system's line is at {low_system}: too small in winter (hatched). At "
        "high head it passes {high}, more than the {high_system} there: large enough in summer."
    ),
    (True, True): Message(
        "A smaller valve. Fully open it passes {low} at low head and {high} at high head, where the system's line is at {low_system} and "
        "{high_system}: too small in winter and in summer (hatched)."
    ),
    (False, True): Message(
        "A smaller valve. Fully open it passes {high} at high head, where the system's line is at {high_system}: too small in summer (hatched). "
        "At low head it passes {low}, more than the {low_system} there."
    ),
    (False, False): Message(
        "A smaller valve. Fully open it passes {low} at low head, more than the {low_system} there, and {high} at high head, more than the "
        "{high_system} there: large enough for {refrigerant}, but not for every refrigerant of its group."
    ),
}

LIMITS_TITLE = Message("Why a valve has two limits")
TABLE = Message("A system rated {load} with size {size} (rated Kv {kv})")
PRESSURE_DROP = Message("Pressure drop at the port")
MASS_FLOW = Message("Refrigerant to be passed")
REQUIRED_KV = Message("Required Kv")
OPENING = Message("Opening of size {size}")
OPENING_NEEDED = Message("Opening")
KV = Message(
    "Kv is how much a port passes at a fixed pressure drop: a larger port has a higher Kv. The required Kv is what the system "
    "needs, the rated Kv what the valve has at 100 % open."
)
# By whether there is more refrigerant to pass in winter.
SEASONS: Mapping[bool, Message] = {
    True: Message(
        "In winter the condensing unit pumps more, {low_flow} compared with {high_flow} in summer, but {low_drop} instead of "
        "{high_drop} pushes it through the valve: more opening for the same load, {low_opening} compared with {high_opening}."
    ),
    False: Message(
        "In winter the condensing unit pumps {low_flow}, in summer {high_flow}, but {low_drop} instead of {high_drop} pushes "
        "it through the valve: more opening for the same load, {low_opening} compared with {high_opening}."
    ),
}
OPENING_GRAPH = Message(
    "How far size {size} must open for each load at the rating point; between its two limits is its load window"
)
OPENING_GRAPH_ALT = Message(
    "Graph: opening against load. Low head reaches {max_opening} at {maximum}, high head {min_opening} at {minimum}"
)
MAXIMUM = Message("Maximum load")
MINIMUM = Message("Minimum load")
# Where a limit is set by the opening, and at the head that the lesson expects.
AT_STOP = Message(
    "More load needs more opening, up to the stop, {opening} open. In winter {drop} pushes the liquid, in summer {other_drop}: "
    "winter needs more opening for each load, so the line of low head is steeper. It meets the stop at {load}, the line of high "
    "head at {other_load}. Between these loads the valve would do in summer but starve the evaporator in winter. It must do for "
    "both: the maximum load is set at low head."
)
AT_MINIMUM_OPENING = Message(
    "Less load needs less opening, down to the minimum stable opening, {opening}. In summer {drop} pushes the liquid, in winter "
    "{other_drop}: summer needs less opening for each load, so the line of high head is flatter. It meets {opening} at {load}, the "
    "line of low head at {other_load}. Between these loads the valve would be steady in winter but hunt in summer. It must do for "
    "both: the minimum load is set at high head."
)
# Any other limit; a load with its unit, where it is set, and why.
OTHER_LIMIT: Mapping[str, Message] = {
    "max": Message(
        "{load}, set {at_condition} at {opening} open: {reason}. The smaller of all maximum loads counts, for the valve must do "
        "for winter and for summer."
    ),
    "min": Message(
        "{load}, set {at_condition} at {opening} open: {reason}. The larger of all minimum loads counts, for the valve must do "
        "for winter and for summer."
    ),
}
HUNTING = Message("Hunting")
# By whether the flow changes more near the seat.
HUNTING_MEANING: Mapping[bool, Message] = {
    True: Message(
        "Near its seat a small movement of the pin is a large change of flow: from 10 % to 20 % open it is {near} times as much, "
        "from 70 % to 80 % only {far} times. The bulb senses a change late, when the refrigerant is through the evaporator: by then "
        "the valve has opened too far, and the superheat falls; then it closes too far, and the superheat rises. It hunts."
    ),
    False: Message(
        "The bulb senses a change of flow late, when the refrigerant is through the evaporator. With the pin near its seat the valve "
        "has opened too far by then, and the superheat falls; then it closes too far, and the superheat rises. It hunts."
    ),
}
SKETCH = Message("Superheat in the course of time (a sketch, not a measurement)")
SKETCH_NAME = Message("superheat in time")
STEADY_PANEL = Message("well open: steady")
HUNTING_PANEL = Message("near its seat: hunts")
SKETCH_ALT = Message(
    "Sketch: superheat settles with the valve well open, and swings up and down with the pin near its seat"
)
MINIMUM_STABLE = Message("too low")
MAXIMUM_SUPERHEAT = Message("too high")
TIME = Message("time")
SUPERHEAT_AXIS = Message("superheat")
OPENING_AXIS = Message("opening, %")
LOAD_AXIS = Message("load at the rating point, {unit}")
STOP = Message("stop {opening}")
MINIMUM_OPENING = Message("minimum stable opening {opening}")
LIMIT_OPENING = Message("{opening} open")
STARVES = Message("starves the evaporator")
HUNTS = Message("hunts")
ON_HEAD = Message("{condition}, {drop}")
WINDOW = Message("load window")

CALCULATION = Message("Both limits, calculated from the figures of this page")
# How a limit is printed.
CALCULATED: Mapping[str, Message] = {
    "max": Message(
        "rated load × {share_name} × rated Kv ÷ required Kv {at_condition} = {load} × {share} × {kv} ÷ {required} = {result}, "
        "printed as {printed}: a maximum is rounded down, so that the valve covers every load that is printed."
    ),
    "min": Message(
        "rated load × {share_name} × rated Kv ÷ required Kv {at_condition} = {load} × {share} × {kv} ÷ {required} = {result}, "
        "printed as {printed}: a minimum is rounded up, for the same reason."
    ),
}
# What is multiplied with, by whether Kv is in proportion to the opening.
SHARE_NAME: Mapping[bool, Message] = {True: Message("opening"), False: Message("share of rated Kv at that opening")}
