"""Exercises of a classroom handout: questions, the calculation step by step, answers."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

SST = Message("SST {temperature}")
GIVEN = Message("{refrigerant}, {sst}, rated load Q = {load}")
WINDOW = Message("{minimum} to {maximum}")
ENERGY = Message("1\N{NO-BREAK SPACE}{load} is {heat}")
SIZE = Message("Size")
MINIMUM = Message("Min")
MAXIMUM = Message("Max")

# Steps of a calculation that several exercises share.
EFFECT = Message("Δh_r = h_v − h_l = {vapor} − {liquid} = {effect}")
HEAT = Message("Q = {load} = {heat} ({energy})")
RATED_FLOW = Message("ṁ at the rating point = Q ÷ Δh_r = {heat} ÷ {effect} = {flow}")
FLOW = Message("ṁ {at_condition} = f × ṁ at the rating point = {ratio} × {rated} = {flow}")
DROP = Message("Δp at the port = p₁ − p₂ = {inlet} − {outlet} = {drop}")
BY_COEFFICIENT = Message("By the discharge coefficient, a pressure drop of {drop} drives the flow")
CHOKES = Message("The flow chokes: only {drop} of the pressure drop drives it")
# What the flow coefficient is called.
KV_NAME = Message("Kv")
CV = Message("Cv")
CONSTANT = Message("N\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{constant} with {flow}, {density} and {drop}")
KV = Message("{name} = ṁ ÷ (N √(ρ Δp)) = {flow} ÷ ({constant} × √({density} × {drop})) = {kv}")
KV_SHARE = Message("share of the rated {name} = {kv} ÷ {rated} = {share}")
KV_ANSWER = Message("{name} {kv}, {share} of size {size}")
MASS_FLOW_ASKED = Message("Mass flow {at_condition}")
REQUIRED_ASKED = Message("Required {name}")
SHARE_ASKED = Message("Share of the rated {name} of size {size}")
VERDICT_ASKED = Message("What the valve does")
STEADY = Message("it covers the load")
# By the zone of the data set.
ZONE_WORDS: Mapping[str, Message] = {
    "steady": STEADY,
    "starved": Message("it starves the evaporator"),
    "flooding": Message("it floods back"),
    "hunts": Message("it hunts"),
}

# The worked example at the operating condition that is left to the student.
WORKED_TITLE = Message("Your turn: {at_condition}")
WORKED = Message(
    "The same system, {given}, size {size} ({name} {rated}), {at_condition}: f = {ratio}, p₁\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{inlet}, "
    "p₂\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{outlet}, ρ\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{density}. Calculate ṁ, Δp "
    "and {name} as above. Which condition needs the largest port?"
)
WORKED_CHOKED = Message(
    "The same system, {given}, size {size} ({name} {rated}), {at_condition}: f = {ratio}, "
    "p₁\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{inlet}, p₂\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{outlet}, "
    "ρ\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{density}; the flow chokes, and only {drop} of the pressure drop drives "
    "it. Calculate ṁ, Δp and {name} as above. Which condition needs the largest port?"
)
WORKED_BY_COEFFICIENT = Message(
    "The same system, {given}, size {size} ({name} {rated}), {at_condition}: f = {ratio}, "
    "p₁\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{inlet}, p₂\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{outlet}, "
    "ρ\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{density}; by the discharge coefficient, a pressure drop of {drop} drives the flow. Calculate "
    "ṁ, Δp and {name} as above. Which condition needs the largest port?"
)
WORKED_ANSWER = Message(
    "{name} {kv}, {share} of size {size}; of the three conditions, {condition} needs the largest port"
)

PICK_TITLE = Message("Pick a size")
PICK = Message(
    "A system is rated {load}; {sst}. The row of the table is below, in {unit}. Which sizes cover the load? Choose "
    "the one with the largest margin; the margin is the smaller of load ÷ minimum and maximum ÷ load."
)
PICK_STEP = Message(
    "Size {size} covers the load: load ÷ minimum = {load} ÷ {minimum} = {over_minimum}, maximum ÷ load = {maximum} ÷ {load} = "
    "{under_maximum}; the smaller of the two is its margin"
)
PICK_FIRST = Message("Of the sizes that cover the load, the first has the largest margin")
PICK_ONLY = Message("No other size covers the load")
PICK_ANSWER = Message("Size {size}, {window}, margin {margin}")
PICK_ASKED = Message("Size with the largest margin")
MARGIN_ASKED = Message("Its margin")

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

MINIMUM_ASKED = Message("Minimum load")
MAXIMUM_ASKED = Message("Maximum load")

MASS_FLOW_TITLE = Message("Mass flow {at_condition}")
MASS_FLOW = Message(
    "{given}. At the rating point h_v = {vapor} and h_l = {liquid}; {at_condition} the compressor pumps f = {ratio} times "
    "as much. What mass flow passes through the valve at the rating point, and {at_condition}? {energy}."
)
MASS_FLOW_ANSWER = Message("{rated} at the rating point, {flow} {at_condition}")

REQUIRED_KV_TITLE = Message("Required {name} {at_condition}")
REQUIRED_KV = Message(
    "{given}. {at_condition} the mass flow is {flow}, the density of the liquid {density}, and the pressure drop that "
    "drives the flow {drop}. What {name} is required, and what share of the {rated} of size {size} is that? {constant}."
)

BOTH_LIMITS_TITLE = Message("Both limits of a window")
BOTH_LIMITS = Message(
    "Size {size} on {refrigerant}, {sst}; rated {name} {rated}. A rated load of {load} requires {name} "
    "{max_required} {max_at} and {name} {min_required} {min_at}; twice the load requires twice the {name}. "
    "{max_at_title} the valve can reach {max_share} times its rated {name}. {min_at_title} it needs at least "
    "{min_share} times, or it hunts or floods back. What are the maximum load, set {max_at}, and the minimum "
    "load, set {min_at}? Does the valve cover {asked}?"
)
BOTH_LIMITS_STEP = Message("{limit}, set {at_condition} = {load} × {share} × {rated} ÷ {required} = {result}")
# By the verdict of the data set.
BOTH_LIMITS_VERDICT: Mapping[str, Message] = {
    "covers": Message("{load} is between the two"),
    "too_small": Message("{load} is above the maximum load"),
    "too_large": Message("{load} is below the minimum load"),
}
BOTH_LIMITS_ANSWER: Mapping[str, Message] = {
    "covers": Message("{window}; yes, it covers the load"),
    "too_small": Message("{window}; no, the valve is too small"),
    "too_large": Message("{window}; no, the valve is too large"),
}
COVERS_ASKED = Message("Does the valve cover {load}?")
COVERS: Mapping[str, Message] = {
    "covers": Message("yes"),
    "too_small": Message("no, it is too small"),
    "too_large": Message("no, it is too large"),
}

ZONE_TITLE = Message("Superheat from the graph")
ZONE = Message(
    "Size {size} on {refrigerant}, {condition}; the system is rated {load}. Read the superheat from the superheat graph. "
    "It must stay between {min_superheat} and {max_superheat}: how far is it from the nearer limit? If the curve ends before that "
    "load, what does the valve do?"
)
ZONE_SUPERHEAT = Message("Superheat from the curve: {superheat}; it must be at least {minimum} and at most {maximum}")
ZONE_BEYOND = Message("The curve ends before {load}: the valve is open to its stop and cannot pass more")
ZONE_DISTANCE = Message("From the nearer limit: {larger} − {smaller} = {distance}")
# A superheat and its distance to the nearer limit: by whether that is the minimum, and whether it is within both.
ZONE_DISTANCES: Mapping[tuple[bool, bool], Message] = {
    (True, True): Message("{superheat}; {distance} above the minimum"),
    (False, True): Message("{superheat}; {distance} below the maximum"),
    (True, False): Message("{superheat}; {distance} below the minimum: {zone}"),
    (False, False): Message("{superheat}; {distance} above the maximum: {zone}"),
}
DISTANCE_ASKED = Message("Distance from the nearer limit")
ZONE_ANSWER = Message("{superheat}; {zone}")
SUPERHEAT_ASKED = Message("Superheat")

BINDING_TITLE = Message("Which refrigerant limits the group")
BINDING = Message(
    "Size {size}, {sst}: a group of these refrigerants has the windows below, in {unit}. Which window is valid for all of "
    "them, and which refrigerant sets each limit?"
)
BINDING_HEADER = Message("Refrigerant")
BINDING_MINIMUM = Message("The largest of the minimum loads is {load}, that of {refrigerant}")
BINDING_MAXIMUM = Message("The smallest of the maximum loads is {load}, that of {refrigerant}")
MIN_MEMBER_ASKED = Message("Refrigerant that sets the minimum load")
MAX_MEMBER_ASKED = Message("Refrigerant that sets the maximum load")
BINDING_ANSWER = Message("{window}; minimum set by {min_refrigerant}, maximum by {max_refrigerant}")

BETWEEN_TITLE = Message("Between two rows")
BETWEEN = Message(
    "A system rated {load} operates at {sst}, between two rows of the table of size {size}, in {unit}. Does the valve cover "
    "the load? The windows of both rows must contain it."
)
BETWEEN_HEADER = Message("SST")
BETWEEN_COMMON = Message("Both rows cover loads from {minimum} (the larger minimum) to {maximum} (the smaller maximum)")
# By the verdict of the data set.
BETWEEN_STEP: Mapping[str, Message] = {
    "yes": Message("{load} is within that"),
    "above": Message("{load} is above that"),
    "below": Message("{load} is below that"),
}
BETWEEN_ANSWER: Mapping[str, Message] = {
    "yes": Message("Yes, both rows cover it"),
    "above": Message("No, one of the two rows does not cover it"),
    "below": Message("No, one of the two rows does not cover it"),
}

STATIC_TITLE = Message("Static superheat")
STATIC = Message(
    "{refrigerant} evaporates at {temperature} (dew), where its pressure is {pressure}; the adjusting stem is "
    "set so that the spring adds {spring}. At which bulb temperature does the valve just open, and what is the "
    "static superheat? Interpolate between the columns."
)
STATIC_HEADER = Message("Bulb temperature")
STATIC_PRESSURE = Message("Bulb pressure, {unit}")
STATIC_OPENS = Message("The valve just opens where p_bulb = p_e + p_spring = {pressure} + {spring} = {closing}")
BULB = Message(
    "The bulb has that pressure at {colder} + ({closing} − {lower}) ÷ ({upper} − {lower}) × {between} = {bulb}"
)
STATIC_STEP = Message("static superheat = {bulb} − {temperature} = {superheat}")
STATIC_ANSWER = Message("bulb {bulb}, static superheat {superheat}")
BULB_ASKED = Message("Bulb temperature")
STATIC_ASKED = Message("Static superheat")

SPRING_TITLE = Message("After turning the adjusting stem")
SPRING = Message(
    "{refrigerant} evaporates at {temperature} (dew), where its pressure is {pressure}. After the adjusting "
    "stem was turned, the spring adds {spring} with the valve closed, and {gradient} more at rated stroke. "
    "{port}At this load the valve is {opening} open (of rated stroke). What is the superheat at the bulb? "
    "Interpolate between the columns. The manufacturer states a minimum stable opening of {min_opening}; the maximum opening is "
    "{max_opening}, and superheat must stay between {min_superheat} and {max_superheat}: does the valve cover the load, hunt, "
    "flood back, or starve the evaporator?"
)
# What inlet pressure does to the port.
PORT_CLOSES = Message(
    "The pressure drop differs from that of the factory setting, so inlet pressure on the port adds {pressure} to the closing "
    "pressure. "
)
PORT_OPENS = Message(
    "The pressure drop differs from that of the factory setting, so inlet pressure on the port takes {pressure} off the closing "
    "pressure. "
)
SPRING_BALANCE = Message(
    "p_bulb = p_e + p_spring + opening × p_grad {sign} p_port = {pressure} + {spring} + {opening} × {gradient} {sign} {port} = "
    "{closing}"
)
SPRING_SUPERHEAT = Message("superheat = {bulb} − {temperature} = {superheat}")
SPRING_LIMITS = Message(
    "Superheat {superheat} (allowed {min_superheat} to {max_superheat}), opening {opening} (allowed {min_opening} to {max_opening})"
)

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
HEADS_ASKED = Message("How many times as much load")
