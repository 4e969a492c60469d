"""Help of options that several commands have."""

from __future__ import annotations

from tablegen.wording.message import Message

SST = Message("saturated suction temperature (dew), as '24 degF'")
APPLICATION = Message("an application of the catalogue (default: the only one that covers the suction temperature)")
SET = Message("change a key of the application for this case, as losses.lift='20 ft'; repeatable")
REFRIGERANT_OR_GROUP = Message("one refrigerant, or a group of the catalogue")
SITE_PRESSURE = Message("atmospheric pressure at the gauges, as '14.7 psia' (default: {default})")
OF_THE_FILE = Message("that of the file")
CATALOGUE_UNITS = Message("the catalogue's")

CATALOGUE = Message("catalogue file, or the folder of a catalogue.yaml (default: {default})")
DEMO = Message("use the demo catalogue that comes with the package")
CONFIGS = Message("folder with a folder 'refrigerants' of your own (default: configs, if it exists)")
NO_CATALOGUE = Message(
    "the file does not exist; start a catalogue with 'tablegen init DIR', or try 'tablegen build --demo'"
)
NO_REFRIGERANTS = Message("--configs: {folder} contains no folder 'refrigerants'")
OPTION_ERROR = Message("{option}: {error}")
ABOVE_ZERO = Message("{option}: {value} is not allowed; it must be above zero")
OUT_OF_BOUNDS = Message("{option}: {value} is not allowed; it must be at least {minimum} and at most {maximum}")
