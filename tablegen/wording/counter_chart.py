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
    "Large figure: the size to choose; a small figure beside it also fits. Two small figures with “or”: each covers "
    "part of the row; the notes under the chart say which loads. Empty cell: call us."
)
VALIDITY = Message(
    "The chart is valid only for the conditions below. Measure the superheat once the system is running."
)

PART_NUMBERS = Message("Part numbers")
LOSSES = Message("Losses")
SUPERHEAT = Message("Superheat")
CHARGE = Message("Charge")
DATA = Message("Data")
DATA_LINE = Message("{data}, revision {revision}, {date}")

# What the stock covers.
LOADS = Message("Loads in {unit} at the rating point.")
ALL_COVERED = Message(
    "In every column, sizes in stock cover every load from the lowest to the highest filled cell. Where a cell names two "
    "sizes, the SST may decide which one covers the load."
)
BETWEEN_THEM = Message("In these cells each size covers part of the row: {rows}.")
IN_PART = Message("Only partly covered, call us: {rows}.")
OTHER_CELLS = Message("and the other empty cells")
NOT_COVERED = Message("Loads on the chart that no size in stock covers: {loads}.")
ANY_LOAD = Message("any load")
AT = Message("{loads} at {temperatures}")
ROW = Message("{loads}: {sizes}")
SPAN = Message("{low} to {high}")
UP_TO = Message("{size} up to {load}")
FROM = Message("{size} from {load}")
EITHER = Message("between these loads {lower} or {upper}, depending on the SST: call us")


def at_temperatures(loads: str, spans: Sequence[str]) -> str:
    """A range of loads with the suction temperatures it applies to; none stand for all."""
    return AT(loads=loads, temperatures=listed(spans)) if spans else loads
