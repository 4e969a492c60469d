"""Groups of refrigerants that may share a table."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

HEADING = Message("Refrigerants that may share a table")
SUMMARY = Message("Within each group required Kv per kW differs by at most {spread}.")
SECTION = Message("{application}: {law}")
LAWS: Mapping[str, Message] = {
    "orifice": Message("square-root flow"),
    "choked": Message("choked flow"),
    "discharge_coefficient": Message("flow by discharge coefficient"),
}

GROUP = Message("Group")
REFRIGERANTS = Message("Refrigerants")
SPREAD = Message("Spread")
REMARKS = Message("Remarks")
ALONE = Message("alone")
MIXED_SAFETY = Message("mixes safety groups {groups}")
FLOODS = Message("{refrigerants} would flood back with the setting of {settings}")
SHUT = Message("{refrigerants} would stay closed with the setting of {settings}")
PRESSURES = Message(
    "grouped by required Kv only: dew pressures at {temperature} differ by a factor of {ratio} ({pressures}); check "
    "working pressure and settings"
)

SETTINGS = Message("Minimum static superheat with the valve set for one member")
FAMILY = Message("Family")
CHARGE = Message("Charge")
SET_FOR = Message("Set for")
SUPERHEATS = Message("Minimum static superheat")
OF_REFRIGERANT = Message("{refrigerant} {value}")

PRESENT = Message("Groups of the catalogue")
LEFT_OUT = Message("Left out")
REFRIGERANT = Message("Refrigerant")
REASON = Message("Reason")

NOTE = Message(
    "A group shares one valve: its members must also work with one spring setting (static superheat above zero, and "
    "stable), in equipment of one safety group, and with one working pressure."
)

HELP = Message("suggest refrigerant groups, by the spread of required Kv per kW")
GROUPS_HELP = Message("which refrigerants may share a table")
DESCRIPTION = Message("Group refrigerants by the spread of required Kv per kW that they would have in one table.")
EPILOG = Message(
    "For a refrigerant outside the catalogue's groups, head pressure settings are converted to condensing "
    "temperatures with the first refrigerant of the first group. Example: tablegen suggest groups --demo "
    "--refrigerants R22,R290 --spread '5 percent'"
)
REFRIGERANTS_HELP = Message("refrigerants besides those of the catalogue's groups: 'R22,R290', or 'all' known ones")
APPLICATION_HELP = Message("an application of the catalogue (default: every one)")
SPREAD_HELP = Message("maximum spread of required Kv per kW within a group (default: 10 percent)")
CSV_ROWS = Message("a row for each group")
NAMES_RULE = Message(
    "{--refrigerants}: {value} is not allowed; it takes names separated by commas, such as R22,R290, or 'all'"
)
SPREAD_RULE = Message("{--spread}: {value} is not allowed; it must be above 0 and at most 100 percent")
