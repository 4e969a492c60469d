"""What is wrong with a case that was asked for, with an order, or with a split; and with prints that would show nothing."""

from __future__ import annotations

from tablegen.wording.message import Message

AN_APPLICATION = Message("an application (application)")
A_REFRIGERANT_OR_GROUP = Message("a refrigerant or group")
A_CHARGE_OF = Message("a charge of {family}")
LOAD_NOT_ABOVE_ZERO = Message("a load of {load} W is not allowed; it must be above zero")
HEAD_NOT_ALLOWED = Message("{application}: the {condition} is not allowed; {reason}")
HEAD_OF_REFRIGERANT_NOT_ALLOWED = Message("{application}: the {condition} of {refrigerant} is not allowed; {reason}")
MIXED_CHARGES = Message(
    "{family} fits the members of {group} with different bulb charges ({charges}); ask for one refrigerant"
)

CONNECTIONS_OF = Message("the connections of {valve}")
CAPILLARY_NOT_OFFERED = Message("--capillary: {length} is not allowed; {family} is offered with {offered}")
NONE_OFFERED = Message("none")

TOO_FEW_PARTS = Message("a split needs at least two evaporators")
PART_NOT_ABOVE_ZERO = Message("every part of a split must be above zero")
SHARES_DO_NOT_ADD_UP = Message(
    "the shares add up to {percent} percent of the unit's capacity; they must add up to 100 percent"
)
LOADS_DO_NOT_ADD_UP = Message(
    "the loads add up to {percent} percent of the unit's capacity; they must add up to 100 percent"
)

EXAMPLE_WITHOUT_WINDOW = Message(
    "its example, size {size} at {sst} ({application}: suction.example_sst), has no window, because {reason}"
)
NO_ROW_COVERED = Message("no size covers a whole row of its loads in any column")
EVERY_WINDOW_EMPTY = Message("every window is empty, most because {reason}")
