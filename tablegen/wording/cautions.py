"""Cautions that every answer and publication carries."""

from __future__ import annotations

from tablegen.wording.message import Message

PRESSURE = Message(
    "Refrigerants are under pressure, and some are flammable or toxic: work is for licensed technicians, under local "
    "codes and the equipment manufacturer's instructions."
)
