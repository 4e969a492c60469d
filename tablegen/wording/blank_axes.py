"""Axes to draw into, at the end of a handout."""

from __future__ import annotations

from tablegen.wording.message import Message

TITLE = Message("Axes to draw into")
ABOUT = Message(
    "The axes have the ranges of the graphs in this handout, so that your drawing can be compared with them."
)
DIAGRAM = Message("Pressure-enthalpy diagram of {refrigerant}: axes and saturation dome")
ZERO = Message(
    "Enthalpies count from the zero of the property model, as everywhere in this handout. The pressure-temperature tables and "
    "diagrams of 'tablegen states' and 'tablegen diagram' use a different zero, {zero}. Do not plot values from one on the axes "
    "of the other; differences are the same."
)
BALANCE = Message("Capacity of system and valve against head pressure: axes and operating conditions")
SUPERHEAT = Message("Superheat against load: axes")
