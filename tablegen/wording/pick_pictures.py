"""The pictures beside the valves that fit one case: axes, captions, and what each shows for who does not see it."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

LOAD_AXIS = Message("load, {unit}")
OPENING_AXIS = Message("opening, %")
SUPERHEAT_AXIS = Message("superheat, {unit}")

WITH_VERDICT = Message("{valve}, {verdict}")

NOT_IN_STOCK = Message("{valve}, not in stock")

STRIP = Message("Load windows.")
STRIP_NONE = Message("Load windows of the nearest sizes.")
SOLID = Message("Solid: first choice.")
SHADED = Message("Shaded: also covers the load.")
IN_STOCK = Message("Shaded: in stock. White: not in stock.")
DASHED = Message("Dashed: does not cover the load.")
NOT_SHOWN = Plural("One more valve covers the load.", "{count} more valves cover the load.")
STRIP_ALT = Message("Load windows on a scale of loads. The load, {load}, lies within those of {valves}.")
STRIP_NONE_ALT = Message("Load windows on a scale of loads. The load, {load}, lies outside those of {valves}.")

HEADS = Message("{valve}: diamond = operating point; bar = range allowed at that head pressure.")
HEADS_ALT = Message("{valve}: {heads}.")
AT_HEAD = Message("{condition} {values}")
OPEN = Message("{opening} open")
SUPERHEAT = Message("{superheat} superheat")

BALANCE = Message(
    "{valve} against the system at full capacity: the valve covers the load where the system line is between "
    "the valve's two lines."
)
BALANCE_ALT = Message(
    "Capacity of the system and of {valve}, at maximum and at minimum opening, against head pressure."
)
