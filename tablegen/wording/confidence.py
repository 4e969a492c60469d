"""The chapter on scatter and confidence: what the limits at confidence mean, how narrow they are, what drives them."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

HEADING = Message("Scatter and confidence")
TABLE = Message("Windows of each group at its example row")
TABLE_CAPTION = Message("{table}, {unit}")
# By whether the tables give limits at confidence.
ABOUT: Mapping[bool, Message] = {
    True: Message(
        "The limits in the tables of the booklet are at confidence. With {level} confidence in the data that all "
        "valves share, at least {share} installed valves cover the minimum load, and at least {share} cover the "
        "maximum load, each limit taken separately. Both limits together are then covered by at least {both}. Two "
        "kinds of uncertainty are separated:"
    ),
    False: Message(
        "The tables of the booklet are nominal. The last column of the table “{table}” in this chapter is at "
        "confidence. With {level} confidence in the data that all valves share, at least {share} installed valves "
        "cover the minimum load, and at least {share} cover the maximum load, each limit taken separately. Both "
        "limits together are then covered by at least {both}. Two kinds of uncertainty are separated:"
    ),
}
# What to do with nominal limits, where a file of the data set has the others.
CHOOSE = Message(
    "Choose a size whose limits at confidence contain your load, if there is one; they are in the last row of each window "
    "table, for its framed row. If your load is only inside nominal limits, or near one of them, have the valve sized for "
    "your case. Limits at confidence of every size and SST are in {file}, attached to this file (columns {columns}). "
    "Counter charts made from the same data have nominal limits too."
)
SCATTER = Message(
    "Valves differ from one to the next, and so do installations: head pressure controls, subcooling, losses and "
    "compressor are never exactly as stated. So {share} refers to valves that are each installed in a different "
    "system."
)
SHARED = Message(
    "An error in the property data, or in a family's measured figures, is the same for all valves. It does not "
    "average out over many valves, so it is stated separately, as a range. A property's standard deviation is half "
    "of its stated uncertainty{see}."
)
SETTING = Message(
    "A charge is set at the factory for one refrigerant, its setting refrigerant (named above each table). An error "
    "in that refrigerant's dew pressure moves the static superheat of every valve with the charge, whatever "
    "refrigerant the valve is then used with."
)
GROUPS = Message(
    "Limits at confidence are computed for each refrigerant of a group separately; the group's window is what all of "
    "them have in common. Limits are counted over {samples} quasi-random draws of valves and installations (seed "
    "{seed}); from one set of draws to another, the standard deviation of a limit is at most {spread}."
)
OF_100 = Message("{count} of 100")
OF_1000 = Message("{count} of 1,000")

# What scatters.
NO_SCATTER = Message("no scatter is stated")
INSTALLATIONS = Message("Installations")
DEVIATIONS = Message("standard deviations: {parts}. {source}")
WHOSE = Message("{names}: {text}")
OF_VALVE: Mapping[str, Message] = {
    "kv": Message("Kv {value}"),
    "pressure_recovery": Message("pressure recovery factor {value}"),
    "static_superheat_k": Message("static superheat {value}"),
    "hysteresis_k": Message("hysteresis ±{value}, a deviation of {deviation} of the static superheat"),
    "opening_superheat_k": Message("opening superheat {value}"),
    "unbalance": Message("unbalance {value} of diaphragm area"),
    "charge_pressure": Message("charge pressure {value}"),
}
OF_INSTALLATION: Mapping[str, Message] = {
    "low_head_pa": Message("low head {value}"),
    "low_head_k": Message("low head {value}"),
    "high_head_pa": Message("high head {value}"),
    "high_head_k": Message("high head {value}"),
    "inlet_subcooling_k": Message("inlet subcooling {value}"),
    "liquid_line_pa": Message("liquid line {value}"),
    "distributor_pa": Message("distributor {value}"),
    "flow_change": Message("compressor flow {value} of its change from the rating point"),
}

# The label of the last row of a window table, the framed row at confidence; on one column or on two.
LEVEL_AT = Message("{level} at {sst}")
AT_SST = Message("at {sst}")

# The table of examples.
TABLE_HEADER = Message("Table")
SIZE_HEADER = Message("Size, SST (dew)")
SIZE_AT = Message("{size}, {sst}")
NOMINAL = Message("Nominal")
VALVES = Message("{share} valves")
SHARED_MINIMUM = Message("Shared, minimum")
SHARED_MAXIMUM = Message("Shared, maximum")
AT_CONFIDENCE = Message("At confidence ({level})")
NO_WINDOW = Message("none")
TABLE_NOTE = Message(
    "{share} valves: this many cover the load at each limit, if everything that all valves share is exactly as "
    "stated. Shared: how far what all valves share, property data and the family's measured figures, may move that limit, with "
    "{level} one-sided confidence in each direction (at most {rest} lie beyond either end). At confidence: both "
    "together. None: no load is covered."
)

# The graphs of drivers.
DRIVERS = Message("What moves the limits most: {table}, size {size} at SST {sst} (dew)")
DRIVERS_SEEN = Message(
    "Strongest source for the minimum load, set by {min_member}: {minimum}; for the maximum load, set by {max_member}: "
    "{maximum}. {together}"
)
DRIVER_MOVES = Message("{driver} ({change})")
TOGETHER = Message("All sources together: minimum load {minimum}, maximum load {maximum}.")
DRIVERS_NOTE = Message(
    "How to read the graphs: each bar shows how far one source alone moves the limit, as a change of the nominal limit of "
    "the refrigerant that sets it. Beyond each end of a bar lie {rest_share} valves, each in its own system. The sources "
    "below the dotted line are the same for all valves: the chance that the limit lies beyond an end is {rest_level}. "
    "Dashed: the limit at confidence, with all sources."
)
SHARED_BASES = Message(
    "Where another limit takes over, such as the mechanical stop or the minimum stable superheat, a bar ends, or several "
    "sources together move a limit further than their bars do. So may shared errors in the table above, which states them as "
    "a change of the limits of {share} valves."
)
CROSSED = Message("All sources together leave no load that is covered: the table above says “none”.")
DRIVERS_ALT = Message("{title}. {minimum}; {maximum}")
STRONGEST: Mapping[str, Message] = {
    "min": Message("minimum load mostly by {driver}, {change} either way"),
    "max": Message("maximum load mostly by {driver}, {change} either way"),
}
CHANGE_AXES: Mapping[str, Message] = {
    "min": Message("change of the minimum load, %"),
    "max": Message("change of the maximum load, %"),
}
# Under the names of the sources.
ALL_SOURCES = Message("all sources, at confidence")
# Over the two sides of a panel.
NARROWER = Message("narrower window")
WIDER = Message("wider")
