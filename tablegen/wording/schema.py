"""What JSON Schema says of config files as a whole and of their values, and the command that writes it."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

HELP = Message("write the JSON Schema of the config files, for editors")
EPILOG = Message(
    "Exit codes: 0 written, 2 bad input. Examples: tablegen schema family; tablegen schema my-valves/schemas"
)
WHAT_HELP = Message("a kind of file to print ({kinds}), or a folder to write a schema of each kind into")
WRITTEN = Message("{folder}: {files}")
A_KIND = Message("a kind of config file")

# By kind of file.
FILES: Mapping[str, Message] = {
    "catalogue": Message("catalogue.yaml: what is computed and what every publication says of it."),
    "groups": Message("groups.yaml: refrigerants that share a table."),
    "company": Message("company.yaml: what the company states on every publication."),
    "family": Message("families/*.yaml: a valve family."),
    "application": Message("applications/*.yaml: an application."),
    "publication": Message("publications/*.yaml: a booklet, a counter chart, shelf labels or a handout."),
    "refrigerant": Message("refrigerants/*.yaml: a refrigerant."),
    "language": Message("languages/*.yaml: the catalogue's own texts in another language."),
    "part": Message("parts/*.yaml: a distributor nozzle or a solenoid valve of the liquid line."),
}
NOT_ALL = Message("'tablegen check' knows more rules than this schema can state.")

QUANTITY = Message("A number and a unit, {units}.")
BOUNDS = Message("At least {minimum} and at most {maximum}.")
REFERENCE: Mapping[str, Message] = {
    "gauge": Message("A gauge pressure."),
    "absolute": Message("An absolute pressure."),
    "": Message("A gauge or an absolute pressure; the unit says which."),
}
# By kind of quantity.
KIND: Mapping[str, Message] = {
    "temperature": Message("A temperature."),
    "temperature difference": Message("A temperature difference, not a temperature."),
    "pressure difference": Message("A pressure difference, neither gauge nor absolute."),
    "load": Message("A load."),
    "flow coefficient": Message("A flow coefficient."),
    "length": Message("A length."),
    "share": Message("A share."),
    "line heat": Message("A heat flow per length."),
    "time": Message("A time."),
    "wall heat": Message("A heat capacity per length."),
    "controller gain": Message("A controller gain."),
}
NAME = Message("1 to 40 letters, digits and _ - . ( ), beginning with a letter or digit.")
TEXT = Message("At most {count} characters.")
DAY = Message("A date as YYYY-MM-DD.")
VALUE = Message("{value}: {meaning}")
VALUES = Message("{values}.")
