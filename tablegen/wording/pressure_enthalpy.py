"""The pressure-enthalpy diagram and its page."""

from __future__ import annotations

from tablegen.wording.message import Message

# The diagram.
DIAGRAM = Message("pressure-enthalpy diagram")
ENTHALPY = Message("enthalpy, {unit}")
PRESSURE = Message("pressure, {unit}")
HEAD = Message("{condition} {pressure} ({gauge})")
EVAPORATOR = Message("evaporator")
COMPRESSOR = Message("compressor")
BULB = Message("bulb")
EFFECT = Message("refrigerating effect, {unit}")
VALVE_BAR = Message("pressure drop of the valve, {unit}")
REST_BAR = Message("distributor and evaporator")
ALT = Message("Pressure-enthalpy diagram of {refrigerant}. {cycles}")
CYCLE_ALT = Message("{condition}: pressure drop of the valve {drop}, refrigerating effect {effect}")
BLANK_ALT = Message("Pressure-enthalpy diagram of {refrigerant}: saturated liquid and saturated vapor")

# The page.
TITLE = Message("The cycle at low head, rating point and high head")
SUBTITLE = Message("{refrigerant} in {application}, SST {sst}")
SEE = Message(
    "At low head the valve has {low} of pressure drop, at the rating point {rating}. Colder liquid makes the refrigerating "
    "effect larger ({low_effect} instead of {rating_effect}), but the required {name} is {ratio} times that of the rating "
    "point: the valve opens to {low_opening} instead of {rating_opening} of its rated stroke."
)
SEE_LESS = Message(
    "At low head the valve has {low} of pressure drop, at the rating point {rating}; the refrigerating effect is "
    "{low_effect} instead of {rating_effect}."
)
COMPARED = Message("At one suction temperature")
HEAD_PRESSURE = Message("Head pressure, {unit}")
LIQUID = Message("Liquid at the valve, {unit}")
DROP = Message("Pressure drop of the valve, {unit}")
REFRIGERATING_EFFECT = Message("Refrigerating effect, {unit}")
MASS_FLOW = Message("Mass flow, share of rated")
CAPACITY = Message("System capacity, share of rated")
REQUIRED_KV = Message("Required Kv for {load}, m³/h")
OPENING = Message("Opening of size {size}")
SUPERHEAT = Message("Operating superheat, {unit}")
ABOUT = Message(
    "Points and lines are from the data set, all from one property model; the zero of enthalpy has no meaning, "
    "differences have. Compression is isentropic, for shape only: the flow is that of the compressor in the application."
)
