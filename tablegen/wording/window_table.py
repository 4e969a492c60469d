"""The page of a window table and of the selection map beside it."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

SST_COLUMN = Message("SST (dew), {unit}")
SIZE_KV = Message("Kv {kv}")
SIZES_OF_TABLE = Plural("{title}, size {first}", "{title}, sizes {first} to {last}")
CONDITIONS_ON_FIRST = Message("{title} (conditions on the first page of this table)")

UNITS = Message("Loads in {unit} at the rating point, minimum rounded up, maximum rounded down; Kv in m³/h.")
READ_EXAMPLE = Message(
    "Read: at SST {sst} (dew) size {size} covers a system rated from {minimum} to {maximum}. Between two rows the load "
    "must be inside both windows."
)
DO_NOT_EXTRAPOLATE = Message("Do not extrapolate.")
REASON = Message("{mark}: {reason}")
NO_WINDOW = Message("No size has a load window in this table.")
SET_AT = Message("Minimum loads are set {minimum}. Maximum loads are set {maximum}.")
SET_BY = Message("{conditions}, by {reasons}")
ONE_MEMBER = Message("Of the members {member} sets the minimum loads, {others} the maximum.")
MEMBERS = Message("Of the members {members} set the minimum loads, {others} the maximum.")
PULSE_CAVEAT = Message(
    "Pulse-modulated valve: losses are taken at the mean flow; in the open phase they are greater, so the maximum "
    "loads are on the high side."
)

SIZE_FOR_LOAD = Message("Size for a load – {table}")
HOW_TO_READ_MAP = Message(
    "Find the row that contains the load (system capacity at the rating point): over its first figure, up to its "
    "second. Find the column of the suction temperature (SST, dew point; on an edge use either column). Large: the "
    "size that covers the whole cell with the largest margin; small: the next. An empty cell: no size covers all of "
    "it; see the table on the previous page, which also states the conditions. Shading only separates the sizes."
)
ALL_SIZES = Message("Windows of every size, {unit}: maximum load solid, minimum dashed; other sizes in gray")
ALL_SIZES_ALT = Message("Minimum and maximum load of every size against suction temperature: {table}")
