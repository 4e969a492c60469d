"""The handout's page on both limits of a load window: two pictures of one valve, its superheat, questions and answers."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

TITLE = Message("One valve at both limits")
ABOUT = Message(
    "Size {size} on {refrigerant}, SST {sst}. One valve, two days of the year. Left: the minimum load, set {min_at}. Right: "
    "the maximum load, set {max_at}. Loads are those at the rating point, for {refrigerant} alone. The diaphragm moves the pin: "
    "above it is the pressure of the bulb, below it {under}."
)
# What is under the diaphragm, by whether the equalizer is internal.
UNDER: Mapping[bool, Message] = {
    False: Message("the evaporator pressure, through the equalizer"),
    True: Message("the pressure at the valve outlet"),
}
MINIMUM = Message("Minimum load")
MAXIMUM = Message("Maximum load")
# On the ruler of superheats, by limit.
SUPERHEAT_AT: Mapping[str, Message] = {
    "min": Message("Superheat at minimum load"),
    "max": Message("Superheat at maximum load"),
}
PICTURE = Message(
    "{limit}: the valve {opening} open, bulb {bulb}, bulb pressure {bulb_pressure}, evaporator pressure {evaporator}, "
    "spring {spring}"
)
TO_COMPRESSOR = Message("to compressor")
BULB_AT = Message("bulb {temperature}")
EVAPORATOR = Message("evaporator")
EQUALIZER = Message("equalizer")
LIQUID_AT = Message("liquid {temperature}")
FORCES = Message("pressures, {unit}")
OPENS = Message("bulb\nopens")
CLOSES = Message("evaporator\ncloses")
SPRING = Message("spring")
PIN_OPEN = Message("pin {opening} open")
HEAD = Message("head {pressure}")
DROP = Message("drop {pressure}")
LOAD = Message("load {load}")

RULER = Message("Superheat at the bulb, {unit}")
MARKED = Message("{limit} {superheat}")
FLOODS_BACK = Message("floods back")
STARVES = Message("starves")
RULER_ALT = Message(
    "Superheat: floods back below {minimum}, starves above {maximum}; at the minimum load {low}, at the maximum load {high}"
)
NOTE = Message(
    "Pressures are absolute. 'Spring' is the spring at this opening plus the effect of inlet pressure on the port."
)

BALANCE = Message(
    "Bulb pressure opens, evaporator and spring close. Left: _____ = _____ + _____ Right: _____ = _____ + _____"
)
# By whether the loop of valve, coil and bulb sets the limit.
WHICH: Mapping[bool, Message] = {
    False: Message("What sets the limit on the left: the minimum stable opening, or the minimum stable superheat?"),
    True: Message("What sets the limit on the left: hunting of valve and coil, or liquid that floods back?"),
}
WHY_WARM = Message("Why is the minimum load set {min_at}?")
WHY_COLD = Message("Why is the maximum load set {max_at}, although the valve is open so far?")
TAPPED = Message("Why is the equalizer connected downstream of the bulb, and not at the valve outlet?")
COVERED = Message("A system is rated {load}. Does size {size} cover it at low head and at high head?")

ANSWERS = Message("Page {page}")
BALANCE_ANSWER = Message(
    "Left: {min_bulb} = {min_evaporator} + {min_spring}; right: {max_bulb} = {max_evaporator} + {max_spring} ({unit})."
)
BECAUSE = Message("{reason}.")
WHY_COLD_ANSWER = Message(
    "Only {max_drop} of pressure drop is left for the port, {min_drop} on the left: the valve passes less, and {reason}."
)
WHY_WARM_ANSWER = Message(
    "With {min_drop} of pressure drop, a small opening passes a lot of liquid; with {max_drop}, on the right, "
    "the same load needs more opening. At this load {reason}."
)
WHY_WARM_BY_LOOP = Message(
    "Of the three head pressures, this is the one where hunting begins at the highest load: below {load} valve and coil hunt "
    "{min_at} (page 2)."
)
TAPPED_ANSWERS: Mapping[bool, Message] = {
    # By whether the equalizer is internal.
    False: Message(
        "So that the pressure under the diaphragm is that at the bulb: distributor and evaporator lose pressure, and at the "
        "valve outlet it would close the valve too far. Leakage past the rod must not cool the bulb."
    ),
    True: Message(
        "This valve has an internal equalizer: the pressure under the diaphragm is that of the valve outlet."
    ),
}
COVERED_ANSWER = Message("Yes: its window is {minimum} to {maximum}.")
