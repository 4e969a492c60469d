"""A box temperature in place of an SST: what is wrong with one, and how an answer shows both."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

BOX_HELP = Message(
    "box (room) temperature instead of --sst, such as '35 degF': SST is the box temperature minus the coil temperature "
    "difference"
)
DIFFERENCE_HELP = Message(
    "coil temperature difference (TD) of that box, box temperature minus SST, such as 10F (default: the "
    "application's); limits that depend on the TD use this value"
)
SST_MISSING = Message("{--sst}: missing; give it, or give the box temperature as {--box}")
SST_IS_PRESSURE = Message(
    "{--sst}: {value} is a pressure; give the refrigerant's dew temperature at it, from 'tablegen states' or the desk's "
    "pressure-temperature page"
)
SST_AND_BOX = Message("{--box}: give either {--sst} or {--box}, not both")
DIFFERENCE_ALONE = Message("{--coil_difference}: used only with {--box}")
EITHER = Message("{first} or {second}")

NO_DIFFERENCE = Message(
    "{--box}: {application} states no coil_temperature_difference, so the SST is not known; give the coil temperature "
    "difference (TD) as {--coil_difference}"
)
OTHER_BALANCE = Message(
    "{--coil_difference}: {given} does not match {application}, which is computed with a TD of {balanced}; use "
    "that, or change suction.box_difference"
)
DIFFERENCE_TOO_SMALL = Message(
    "{--coil_difference}: a TD of {difference} gives a maximum superheat of {maximum} in {application}; it must be above the "
    "minimum stable superheat, {minimum}"
)
DIFFERENCE_BELOW_USEFUL = Message(
    "{--coil_difference}: {difference} must be above the useful superheat of {application}, {useful}"
)
NOT_COVERED = Message("{--box}: the SST at a TD of {difference} is not covered: {problem}")
DIFFERENCE_CHANGED = Message(
    "{--box}: coil_temperature_difference is changed, but no application is named; name it with {--application=}, or give "
    "the coil temperature difference as {--coil_difference}"
)
SEVERAL_APPLICATIONS = Message(
    "several applications cover a box temperature of {box} for {refrigerant}: {applications}; name one with "
    "{--application=}"
)
NO_APPLICATION = Message("no application with a valve for {refrigerant} covers a box temperature of {box}; {details}")
SST_OUTSIDE = Message("in {applications} that box temperature gives an SST of {sst}, outside {range}")
WITHOUT_DIFFERENCE = Plural(
    "{applications} states no coil_temperature_difference; give one as {--coil_difference}",
    "{applications} state no coil_temperature_difference; give one as {--coil_difference}",
)

BOX = Message("Box")
SST = Message("SST")
DEFAULT_DIFFERENCE = Message("{box}, TD {difference} (the application's default)")
GIVEN_DIFFERENCE = Message("{box}, TD {difference} (as given)")
LIMITS_AT_DIFFERENCE = Message(
    "{box}, TD {difference} (as given; limits are computed with it, not with the application's TD of {stated})"
)
ONLY_APPLICATION = Message("{title}: the only application with a valve for this refrigerant at this box temperature")
MAXIMUM_SUPERHEAT = Message("Maximum superheat")
