"""The counter chart: its heads and cells, what to ask the caller, what it is valid for."""

from __future__ import annotations

from tablegen.wording.message import Message

SUBJECT = Message("Counter chart of expansion valve sizes")
EMPTY_CHART = Message("{name}: no size in stock covers any load of {group}; the chart would be empty")

# In the band, of a group on several sheets.
SHEET = Message("sheet {sheet} of {sheets}")
SHEET_OF_LOADS = Message("sheet {sheet} of {sheets}: {low} to {high} {unit}")

# The heads. Figures are set large, the words between them small.
BOX_HEAD = Message("box {unit}")
SST_HEAD = Message("SST {unit}")
DIFFERENCE = Message("TD {difference}")
SST_OF_BOX = Message("SST = box \N{MINUS SIGN} TD")
ONE_TON = Message("12 kBtu/h = 1 ton")
LOAD_LEGEND = Message("load at the rating point, {unit}")
# What the limits are, beside the loads.
NOMINAL = Message("{loads} \N{MIDDLE DOT} limits nominal")
AT_CONFIDENCE = Message("{loads} \N{MIDDLE DOT} limits at {level} confidence")
SIZE_LEGEND = Message(
    "large: first choice for the whole row \N{MIDDLE DOT} small: also fits \N{MIDDLE DOT} {family}, sizes in stock"
)
ROW = Message("over {above} up to {upto}")

# A cell that no size in stock covers whole.
ASK = Message("ask")
ASK_ONE = Message("{size}? ask")
ASK_EITHER = Message("{lower} or {upper}: ask")
ORDER = Message("order")
ONLY_TO = Message("only to {load}")
ONLY_OVER = Message("only over {load}")
TO_AND_OVER = Message("{lower} to {upto}, {upper} over {above}")
LOOK_UP_BETWEEN = Message("{upto} to {above}: look up")

# The foot.
RATED_WITHOUT_RISER = Message("Rated at {head}; no liquid riser")
RATED_WITH_RISER = Message("Rated at {head}; liquid riser {lift}")
LOSSES = Message("Losses: line {liquid_line}, evaporator {evaporator}, distributor {distributor}")
SUPERHEAT = Message("Superheat {useful} rated, {minimum} to {maximum} at the bulb")
CHARGE = Message("Charge: {charge}")
SUPERHEAT_BY_CONTROLLER = Message("Superheat {useful}, set by the controller")
ASK_CALLER = Message(
    "{title}? Ask for refrigerant, {temperature}, load at the rating point, head pressures, liquid riser. Between two columns use "
    "either one. Other conditions or loads: ask."
)
BOX_OR_SST = Message("box temperature or SST")
SST = Message("SST")
ASKED_CELLS = Message("Framed: call before selling; small figures: the loads that each size covers.")
NEAR_END = Message("Near a row's end, see the phone page.")
NOMINAL_LIMITS = Message("Nominal limits are those of a valve exactly as designed.")
PART_NUMBERS = Message("Part number of size {part_numbers}.")
VALIDITY = Message("Valid only for these conditions. Measure the superheat once the system is running.")
DATA_LINE = Message("Data shown here {data}, revision {revision}, {date}.")
