"""What is wrong with the arguments of a function of the package."""

from __future__ import annotations

from tablegen.wording.message import Message

A_BASIS = Message("the basis of a condensing temperature")
SPREAD_RULE = Message("spread: {value} is not allowed; it must be above 0 and at most 1")
ONE_OF_TWO = Message("give either {first} or {second}")
