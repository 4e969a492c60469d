"""What a company states on its publications, and how a caller is helped."""

from __future__ import annotations

from tablegen.wording.message import Message

REVISION = Message("Revision {revision}")
DATA = Message("Data {fingerprint}")
DOCUMENT = Message("{number}, revision {revision}")
NEXT_REVIEW = Message("Next review")
LOGO_ALT = Message("Logo of {company}")

# The last page.
CONTACT = Message("Contact")
READY = Message("Have this ready when you call")
READY_VALVE = Message("Family and size of the valve, or its part number, and the bulb charge or drive it has.")
READY_REFRIGERANT = Message("Refrigerant and saturated suction temperature (SST, dew point).")
READY_LOAD = Message("Gross capacity at the rating point, or the compressor's model and conditions.")
READY_HEADS = Message(
    "Lowest and highest head pressure, liquid temperature at the valve, distributor, liquid riser and long lines."
)
READY_SUPERHEAT = Message(
    "For a valve that is installed: superheat measured at the evaporator outlet, and the head pressure."
)
READY_BOOKLET = Message("This booklet: {document}, data {fingerprint}.")
READY_DATA = Message("This booklet: revision {revision}, data {fingerprint}.")
