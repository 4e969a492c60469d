"""Labels of units, and what is wrong with a quantity that a person wrote."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

# Kinds of quantity as they begin a sentence about one.
A_QUANTITY: Mapping[str, Message] = {
    "temperature": Message("a temperature"),
    "temperature difference": Message("a temperature difference"),
    "line heat": Message("a heat flow per length"),
    "pressure": Message("a pressure"),
    "pressure difference": Message("a pressure difference"),
    "load": Message("a load"),
    "time": Message("a time"),
    "wall heat": Message("a heat capacity per length"),
    "controller gain": Message("a controller gain"),
    "flow coefficient": Message("a flow coefficient"),
    "length": Message("a length"),
    "share": Message("a share"),
    "mass flow": Message("a mass flow"),
    "density": Message("a density"),
    "enthalpy": Message("an enthalpy"),
    "entropy": Message("an entropy"),
}
# Units that are not printed by their config name.
UNIT_LABELS: Mapping[str, Message] = {
    "ton_refrigeration": Message("tons of refrigeration"),
    "psi_absolute": Message("psia"),
    "psi_gauge": Message("psig"),
    "bar_gauge": Message("bar gauge"),
    "kPa_absolute": Message("kPa absolute"),
}

TAKES_UNIT = Message("{quantity} takes the unit {units}")
TAKES_UNITS = Message("{quantity} takes one of the units {units}")
NO_UNIT = Message("it has no unit; {rule}")
NOT_FINITE = Message("the number must be finite")
COMMA = Message("the comma could be a decimal comma; write the number with a decimal point")
ABSOLUTE_ZERO = Message("a temperature must be above absolute zero")
ABSOLUTE_PRESSURE = Message("an absolute pressure must be positive")

EXAMPLE = Message("for example '{example}'")
NUMBER_AND_UNIT = Message("write a number and a unit, for example '{example}'")
IF_MEANT = Message("write '{text}' if that is meant")
DID_YOU_MEAN = Message("did you mean {name}?")
GAUGE_OR_ABSOLUTE = Message("did you mean {gauge} or {absolute}?")
READ_TWO_WAYS = Message("this unit has two meanings; write {units}")
MOTOR_RATING = Message("hp is a motor's rating; give the system capacity in tons, Btu/h or kW")
