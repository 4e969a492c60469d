"""Exercises of a classroom handout: questions, the calculation step by step, answers."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

SST = Message("SST {temperature}")
GIVEN = Message("{refrigerant}, {sst}, rated load Q = {load}")
WINDOW = Message("{minimum} to {maximum}")
ENERGY = Message("1\N{NO-BREAK SPACE}{load} is {figure}\N{NO-BREAK SPACE}{energy}/h")
ABSOLUTE = Message("{pressure} absolute")
SIZE = Message("Size")
MINIMUM = Message("Min")
MAXIMUM = Message("Max")

# Steps of a calculation that several exercises share.
EFFECT = Message("Δh_r = h_g − h_l = {vapor} − {liquid} = {effect}")
RATED_FLOW = Message("ṁ at the rating point = Q ÷ Δh_r = {load} ÷ {effect} = {flow} ({energy})")
FLOW = Message("ṁ {at_condition} = f × ṁ at the rating point = {ratio} × {rated} = {flow}")
DROP = Message("Δp at the port = p₁ − p₂ = {inlet} − {outlet} = {drop}")
CHOKES = Message("The flow chokes: only {drop} of the pressure drop drives it")
KV = Message("Kv = ṁ ÷ (N √(ρ Δp)) = {flow} ÷ ({constant} × √({density} × {drop})) = {kv}")
KV_SHARE = Message("share of the rated Kv = {kv} ÷ {rated} = {share}")
KV_ANSWER = Message("Kv {kv}, {share} of size {size}")

# The worked example at the operating condition that is left to the pupil.
WORKED_TITLE = Message("Your turn: {at_condition}")
WORKED = Message(
    "The same system, {given}, size {size}, {at_condition}: f = {ratio}, p₁\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{inlet}, "
    "p₂\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{outlet}, ρ\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{density}. Calculate ṁ, Δp "
    "and Kv as above. Which condition needs the largest port?"
)
WORKED_CHOKED = Message(
    "The same system, {given}, size {size}, {at_condition}: f = {ratio}, "
    "p₁\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{inlet}, p₂\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{outlet}, "
    "ρ\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{density}; the flow chokes, and only {drop} of the pressure drop drives "
    "it. Calculate ṁ, Δp and Kv as above. Which condition needs the largest port?"
)
WORKED_ANSWER = Message("Kv {kv}, {share} of size {size}; of the three conditions, {condition} needs the largest port")

PICK_TITLE = Message("Pick a size")
PICK = Message(
    "A system is rated {load}; {sst}. The row of the table is below, in {unit}. Which sizes cover the load? Choose "
    "the one with the largest margin; the margin is the smaller of load ÷ minimum and maximum ÷ load."
)
PICK_STEP = Message(
    "Size {size} covers the load: load ÷ minimum = {over_minimum}, maximum ÷ load = {under_maximum}; the smaller of the "
    "two is its margin"
)
PICK_FIRST = Message("Of the sizes that cover the load, the first has the largest margin")
PICK_ONLY = Message("No other size covers the load")
PICK_ANSWER = Message("Size {size}, {window}")

ROUNDING_TITLE = Message("Round a window")
ROUNDING = Message(
    "Size {size} at {sst} was calculated to cover loads from {minimum} to {maximum}\N{NO-BREAK SPACE}{unit}. Print both "
    "limits to three significant figures so that the table never promises more than was calculated. Which way is each "
    "rounded, and why not to the nearest figure?"
)
ROUNDING_MINIMUM = Message(
    "Minimum load, always up: {exact} becomes {printed}; rounding to nearest gives {near}, outside the window"
)
ROUNDING_MAXIMUM = Message(
    "Maximum load, always down: {exact} becomes {printed}; rounding to nearest gives {near}, outside the window"
)

MASS_FLOW_TITLE = Message("Mass flow {at_condition}")
MASS_FLOW = Message(
    "{given}. At the rating point h_g = {vapor} and h_l = {liquid}; {at_condition} the compressor pumps f = {ratio} times "
    "as much. What mass flow passes through the valve at the rating point, and {at_condition}? {energy}."
)
MASS_FLOW_ANSWER = Message("{rated} at the rating point, {flow} {at_condition}")

REQUIRED_KV_TITLE = Message("Required Kv {at_condition}")
REQUIRED_KV = Message(
    "{given}. {at_condition} the mass flow is {flow}, the density of the liquid {density}, and the pressure drop that "
    "drives the flow {drop}. What Kv is required, and what share of the {rated} of size {size} is that? N = {constant}."
)

ZONE_TITLE = Message("Superheat, and what the valve does")
ZONE = Message(
    "Size {size} on {refrigerant}, {sst}, {condition}; the system is rated {load}. Read the superheat from the superheat "
    "graph. The valve is then open to {opening} of rated stroke; its minimum stable opening is {min_opening}, its stop is "
    "at {stop}, and superheat must stay between {min_superheat} and {max_superheat}. Does the valve cover the load, hunt, "
    "flood back, or starve the evaporator?"
)
ZONE_SUPERHEAT = Message("Superheat from the curve: {superheat}; it must be at least {minimum} and at most {maximum}")
ZONE_OPENING = Message("Opening: {opening}; it must be at least {minimum} and at most {maximum}")
ZONE_ANSWER = Message("{superheat}; {zone}")

BINDING_TITLE = Message("Which refrigerant limits the group")
BINDING = Message(
    "Size {size}, {sst}: the windows of the group's refrigerants are below, in {unit}. Which window is valid for all of "
    "them, and which refrigerant sets each limit?"
)
BINDING_HEADER = Message("Refrigerant")
BINDING_MINIMUM = Message("The largest of the minimum loads is {load}, that of {refrigerant}")
BINDING_MAXIMUM = Message("The smallest of the maximum loads is {load}, that of {refrigerant}")
BINDING_ANSWER = Message("{window}; minimum set by {min_refrigerant}, maximum by {max_refrigerant}")

BETWEEN_TITLE = Message("Between two rows")
BETWEEN = Message(
    "A system rated {load} operates at {sst}, between two rows of the table of size {size}, in {unit}. Does the valve cover "
    "the load? The windows of both rows must contain it."
)
BETWEEN_HEADER = Message("SST")
BETWEEN_COMMON = Message("Both rows cover loads from {minimum} (the larger minimum) to {maximum} (the smaller maximum)")
# By the verdict of the data set.
BETWEEN_STEP: Mapping[str, Message] = {"yes": Message("{load} is within that"), "no": Message("{load} is above that")}
BETWEEN_ANSWER: Mapping[str, Message] = {
    "yes": Message("Yes, both rows cover it"),
    "no": Message("No, one of the two rows does not cover it"),
}

STATIC_TITLE = Message("Static superheat")
STATIC = Message(
    "{refrigerant} evaporates at {temperature} (dew), where its pressure is {pressure}; the spring adds {spring}. At which "
    "bulb temperature does the valve just open, and what is the static superheat? Interpolate between the columns."
)
STATIC_HEADER = Message("Bulb temperature")
STATIC_PRESSURE = Message("Bulb pressure")
STATIC_OPENS = Message("The valve just opens where p_bulb = p_e + p_spring = {pressure} + {spring} = {closing}")
STATIC_BULB = Message("The bulb has that pressure at {bulb}")
STATIC_STEP = Message("static superheat = {bulb} − {temperature}")

HEADS_TITLE = Message("What a low head pressure costs")
HEADS = Message(
    "Size {size}, {sst}. {own}: lowest head pressure {own_head} ({refrigerant}), maximum load {own_load}. {other}: lowest "
    "head pressure {other_head}, maximum load {other_load}. How many times as much load does the same valve cover where "
    "the head pressure stays high, and why?"
)
HEADS_RATIO = Message("{other} ÷ {own} = {times}")
HEADS_WHY = Message(
    "A lower head pressure leaves less pressure drop for the port, so the same port passes less in winter: the system "
    "with the lower head pressure needs the larger valve"
)
HEADS_ANSWER = Message("{times} times as much")
