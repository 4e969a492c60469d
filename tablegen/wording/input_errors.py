"""What is wrong with a value, a name or a refrigerant, and what is allowed."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

# Keep the order: what was read, what is allowed, the next action.
NOT_ALLOWED = Message("{value} is not allowed; {rule}")
NOT_ALLOWED_WITH_HINT = Message("{value} is not allowed; {rule} ({hint})")
UNKNOWN_NAME = Message("{name} is not allowed; {what} must be one of {known}")
DID_YOU_MEAN = Message("did you mean {name}?")
NO_NAMES = Message("(none)")
AND_MORE = Message("{names}, ...")

# What a name may name, for UNKNOWN_NAME.
A_REFRIGERANT = Message("a refrigerant")
A_REFRIGERANT_OR_GROUP = Message("a refrigerant or group")
AN_APPLICATION = Message("an application")
A_UNIT_SYSTEM = Message("a unit system")
A_FAMILY = Message("a family")
A_SIZE = Message("a size of {family}")

# A number or a temperature in both systems, where no unit system has been chosen yet.
TEMPERATURE = Message("{fahrenheit} degF ({celsius} degC)")
TEMPERATURE_RANGE = Message("{from_fahrenheit} to {to_fahrenheit} degF ({from_celsius} to {to_celsius} degC)")
TEMPERATURE_DIFFERENCE = Message("{fahrenheit} delta_degF ({kelvin} K)")
GAUGE_PRESSURE = Message("{psi} psi_gauge ({kilopascal} kPa_gauge)")

# The property library and what it is given.
OF_REFRIGERANT = Message("{refrigerant}: {text}")
MISSING_PAIRS = Plural(
    "the property library has no parameters for the pair {pairs}",
    "the property library has no parameters for the pairs {pairs}",
)
INCOMPLETE_PAIR = Message(
    "the property library has no parameters for the pair {pair}, so beta_t and gamma_t must both be given (beta_v and "
    "gamma_v may be left to the linear rule)"
)
CRITICAL_TEMPERATURE = Message("{refrigerant}: critical temperature: {text}")
CRITICAL_PRESSURE = Message("{refrigerant}: critical pressure: {text}")
NO_CRITICAL_POINT = Message("no stable critical point found")
TABLES_BEGIN = Message("tables begin at {temperature}; the critical temperature must be well above it")
NOT_THE_LIBRARYS_TEMPERATURE = Message("it must be within {kelvin} K of the property library's {temperature}")
NOT_THE_LIBRARYS_PRESSURE = Message("it must be within 1 percent of the property library's {kilopascal} kPa absolute")
CRITICAL_TOO_LOW = Message(
    "{kelvin} K below it liquid would be {ratio} times as dense as vapor, where 2.1 to 2.4 times is usual, so it "
    "seems too low"
)
CRITICAL_TOO_HIGH = Message(
    "{kelvin} K below it liquid would be {ratio} times as dense as vapor, where 2.1 to 2.4 times is usual, so it "
    "seems too high"
)
EXTRAPOLATED_PRESSURE = Message(
    "saturation pressures extrapolate to about {kilopascal} kPa absolute at the critical temperature of {temperature}"
)
NO_STATE = Message("the property library gives no state at {temperature} and {kilopascal} kPa absolute")
NO_FINITE_STATE = Message("the property library gives no finite state at {temperature}")
NO_BUBBLE_STATE = Message("the property library gives no bubble state at {temperature}")
NO_DEW_STATE = Message("the property library gives no dew state at {temperature}")
SEEMS_TOO_HIGH = Message("{text}, so it seems too high")
LIBRARY_REFUSES = Message("the property library refuses it: {error}")

# Curves and settings of a valve.
CHARGE_POINTS = Message("at least two points, ascending in temperature and in pressure")
CURVE_POINTS = Message("at least two points, ascending in x, and in y ascending or descending throughout")
SETTING_OFF_CURVE = Message("the charge curve does not reach the bulb temperature of the setting")
SETTING_FORCES = Message(
    "the setting gives a spring pressure of {spring} kPa and a spring gradient of {gradient} kPa; both must be positive"
)
MOP_OFF_CURVE = Message("the maximum operating pressure is outside the charge curve")
BALANCE_NEEDS_DIFFERENCE = Message(
    "the balanced suction response needs the difference between box and evaporating temperature at the rating point"
)
