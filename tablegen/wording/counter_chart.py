"""The counter chart: how to read it, what the stock covers, what it is valid for."""

from __future__ import annotations

from collections.abc import Sequence

from tablegen.wording.message import Message, listed

SUBJECT = Message("Counter chart of expansion valve sizes")
COMPANY = Message("{company} – telephone {telephone}")
SUBTITLE = Message("{title}: {family}, {application}")
CONTINUED = Message("{title}, continued")
EMPTY_CHART = Message("{name}: no size in stock covers any load of {group}; the chart would be empty")

LOAD_STEP = Message(
    "Load: capacity of the system at its rating point ({liquid}). Find the row that contains it: over the first "
    "figure, up to and including the second."
)
SST_STEP = Message(
    "Temperature: saturated suction temperature (SST, dew point) in {unit}. Find the column that contains it; on the line "
    "between two columns, use either one."
)
SIZE_STEP = Message(
    "The large figure is the size; the small one beside it also fits. Two small figures with “or” cover the row between "
    "them: the lines under the chart say which one covers which loads. Empty cell: ask."
)
VALIDITY = Message(
    "The chart is valid only for the conditions below. Measure the superheat once the system is running."
)

ARTICLES = Message("Articles")
LOSSES = Message("Losses")
SUPERHEAT = Message("Superheat")
CHARGE = Message("Charge")
DATA = Message("Data")
DATA_LINE = Message("{data}, revision {revision}, {date}")

# What the stock covers.
LOADS = Message("Loads in {unit} at the rating point.")
ALL_COVERED = Message(
    "Every load between the ends of the chart is covered from stock; where a cell names two sizes, the SST can decide "
    "which one covers the load."
)
BETWEEN_THEM = Message("Two sizes cover these rows between them: {rows}.")
IN_PART = Message("Covered only in part, so ask: {rows}.")
OTHER_CELLS = Message("and the other empty cells")
NOT_COVERED = Message("Not covered from stock between the ends of the chart: {loads}.")
ANY_LOAD = Message("any load")
AT = Message("{loads} at {temperatures}")
ROW = Message("{loads}: {sizes}")
SPAN = Message("{low} to {high}")
UP_TO = Message("{size} up to {load}")
FROM = Message("{size} from {load}")
EITHER = Message("in between, {lower} or {upper} covers it, depending on the SST: ask")


def at_temperatures(loads: str, spans: Sequence[str]) -> str:
    """A range of loads with the suction temperatures it applies to; none stand for all."""
    return AT(loads=loads, temperatures=listed(spans)) if spans else loads
