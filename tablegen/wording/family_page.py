"""The page of one valve family."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

KIND = Message("Kind")
KINDS: Mapping[str, Message] = {
    "thermostatic": Message("thermostatic, by bulb charge and spring"),
    "stepper": Message("electronic, stepper-driven"),
    "pulse_modulated": Message(
        "electronic, pulse-modulated: open or closed; the share of time open sets the mean flow"
    ),
}
FLOW_LAW = Message("Flow law")
ORIFICE = Message("square root of the whole pressure drop. {reason}")
CHOKED = Message("square root of the pressure drop, choked, recovery factor {factor}. {reason}")
OPENING = Message("Opening")
PRESSURES = Message("Pressures")
NOMINAL_CAPACITY = Message("Nominal capacity")
RATING = Message(
    "{refrigerant}, liquid {liquid}, {subcooling} subcooled, evaporating {evaporating} (dew), {superheat} superheat, drop "
    "{drop}. {source}"
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
ACTS_TO_CLOSE = Message("inlet pressure pushes the port closed on a net area of {share} of the diaphragm's")
ACTS_TO_OPEN = Message("inlet pressure pushes the port open on a net area of {share} of the diaphragm's")

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
BOTH_NOTE = Message("For {refrigerant} alone; a group's table is tighter. Right: a system rated {load}. {swing}")
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
