"""Axes to draw into, at the end of a handout."""

from __future__ import annotations

from tablegen.wording.message import Message

TITLE = Message("Axes to draw into")
ABOUT = Message("Scales are those of the graphs in this handout: lay your drawing beside them to compare.")
DIAGRAM = Message("Pressure-enthalpy diagram of {refrigerant}: axes and saturation dome")
BALANCE = Message("Capacity of system and valve against head pressure: axes and operating conditions")
SUPERHEAT = Message("Superheat against load: axes")
