"""What is ordered, clause by clause, on an answer and on the page for a phone."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

# Clauses of one line, joined by semicolons.
ORDERED_VALVE = Message("{company} {family} size {size}")
CHARGE_WITH_MOP = Message("{charge}, MOP {pressure}")
CHARGE_WITH_SETTING = Message("{charge}, set for {refrigerant} at {superheat} static superheat")
# Refrigerants of a safety group to be careful of.
CAUTION = Message("for {refrigerants} ({hazard})")
EQUALIZER: Mapping[str, Message] = {
    "internal": Message("internal equalizer"),
    "external": Message("external equalizer"),
}
CONNECTIONS = Message("connections {connections}")
CHOOSE_CONNECTIONS = Message("connections: choose {choices}")
CAPILLARY = Message("capillary {length}")
CHOOSE_CAPILLARY = Message("capillary: choose {choices}")
DRIVER = Message("driver: {driver}")
UNKNOWN_DRIVER = Message("driver: not described in the catalogue; ask the manufacturer")
PART_NUMBER = Message("part number {number}")
NO_PART_NUMBER = Message("part number: none in the list for this valve")
PART_NUMBER_OPEN = Message("part number: depends on the choices above")
QUANTITY = Message("quantity {quantity}")
NO_QUANTITY = Message("quantity: not stated")
JOB = Message("job {job}")
NO_JOB = Message("job: not stated")
DATA = Message("revision {revision} of {date}, data {data}")


def charge_clause(charge: str, pressure: str, refrigerant: str, superheat: str) -> str:
    """A bulb charge or drive; maximum operating pressure and setting are empty where it has none."""
    if pressure:
        charge = CHARGE_WITH_MOP(charge=charge, pressure=pressure)
    return CHARGE_WITH_SETTING(charge=charge, refrigerant=refrigerant, superheat=superheat) if superheat else charge
