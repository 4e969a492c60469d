"""Help of options that several commands have."""

from __future__ import annotations

from tablegen.wording.message import Message

SST = Message("saturated suction temperature (dew), as '24 degF'")
APPLICATION = Message("an application of the catalogue (default: the only one that covers the suction temperature)")
SET = Message("another value for a key of the application, as losses.lift='20 ft'; repeatable")
REFRIGERANT_OR_GROUP = Message("one refrigerant, or a group of the catalogue")
CATALOGUE_UNITS = Message("the catalogue's")
