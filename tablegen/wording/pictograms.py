"""What the pictograms stand for, in words."""

from __future__ import annotations

from tablegen.wording.message import Message

COOLER = Message("cooler")
FREEZER = Message("freezer")
FLOATING_HEAD = Message("floating head pressure")
FIXED_HEAD = Message("fixed head pressure")
LIQUID_RISER = Message("liquid riser")
LONG_LINE = Message("long liquid line")
ALT = Message("Pictograms for {meanings}")
LEGEND = Message("Pictograms of applications")
