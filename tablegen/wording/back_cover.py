"""The back cover of a booklet: cautions, who computed what, how to reach the company and what to tell it."""

from __future__ import annotations

from tablegen.wording.message import Message

TITLE = Message("Before you install the valve")
WHO_COMPUTED = Message("Who computed what")
COMPUTED = Message(
    "{company} computed every limit from the valve data, head pressures, losses and superheats printed in the "
    "booklet. If one of them is different on your system, the limit is different: ask for a table of your own conditions."
)
READY = Message("Have ready")
READY_NEW = Message(
    "family and size, or part number, and bulb charge or drive; refrigerant and SST (dew point); gross capacity at the "
    "rating point, or compressor model and conditions; lowest and highest head pressure, liquid temperature at the "
    "valve, distributor, liquid riser, long lines"
)
READY_INSTALLED = Message("For an installed valve")
READY_MEASURED = Message("superheat at the evaporator outlet, and head pressure, measured at the same time")
QUOTE = Message("Quote")
QUOTE_DOCUMENT = Message("{document}, data {fingerprint}, and the page")
QUOTE_DATA = Message("revision {revision}, data {fingerprint}, and the page")
NEXT_REVIEW = Message("Next review: {date}.")
