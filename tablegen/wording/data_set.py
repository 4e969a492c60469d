"""Warnings of a data set, and tables that cannot be computed."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

WARNING = Message("{place}: {warning}")
HIGH_HEAD_NOT_ABOVE = Message(
    "the high head ({high} kPa absolute) is not above the head pressure of the rating point ({rating} kPa absolute)"
)
NARROW_GROUP = Message("at its narrowest the group's window is {share} of its members' median")
PORT_SWING = Message(
    "superheat at mid-window changes by {swing} from the low to the high head, {port} of it because of the unbalanced "
    "port; minimum stable and maximum superheat are only {span} apart, so the family does not fit this range of head "
    "pressures"
)
EMPTY_WINDOWS = Plural("{count} empty window, because {reason}", "{count} empty windows, because {reason}")

NO_SATURATION = Message(
    "{refrigerant}: no saturation state can be computed between these temperatures, only from {coldest} to {warmest} "
    "(critical point {critical})"
)
NO_PREFERRED_NUMBERS = Message("there are no preferred numbers from {minimum} to {maximum}")
