"""Kinds of valves: what each is called in an answer and on the desk, and what is said where none is there."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

# Before "valve"; a family's name may be there too.
NAMES: Mapping[str, Message] = {
    "thermostatic": Message("thermostatic"),
    "electronic": Message("electronic"),
    "stepper": Message("stepper-driven electronic"),
    "pulse_modulated": Message("pulse-modulated electronic"),
}
# As choices of a list.
CHOICES: Mapping[str, Message] = {
    "thermostatic": Message("thermostatic (TXV)"),
    "electronic": Message("electronic (EEV)"),
    "stepper": Message("electronic, stepper"),
    "pulse_modulated": Message("electronic, pulse-modulated"),
}
VALVE_KIND = Message("Valve kind")
A_VALVE_KIND = Message("a kind of valve")
FAMILY_OF_KIND = Message("{family} ({kind})")
NOT_OFFERED = Message("no {kind} valve is offered for {refrigerant} in {application}; offered: {families}")
OTHER_KIND = Message("the valve kind asked for is {asked}, but {family} is {kind}")
NONE_COVERS = Message("No {kind} valve in the catalogue covers this load.")
NONE_IN_STOCK = Message("No {kind} valve in stock covers this load.")
HELP = Message("valves of one kind: thermostatic (TXV), electronic (EEV), stepper or pulse_modulated (default: all)")
