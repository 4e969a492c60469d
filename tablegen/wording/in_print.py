"""Which booklet prints a window, or why none does."""

from __future__ import annotations

from tablegen.wording.message import Message

PRINTED_IN = Message("Printed in {file}: {table}.")
NOT_PRINTED = Message("Computed, not printed in a booklet ({reason}).")
SEE_TABLE = Message("See {file}: {table}.")

# Why no booklet prints a window.
OTHER_VALUES = Message("this case changes values of the application")
NO_ROW = Message("the tables have no row at this suction temperature")
NOT_CHOSEN = Message("this suction temperature is not among the rows chosen for the booklet")
GROUPS_ONLY = Message("tables are printed for groups; this refrigerant is in the table of {groups}")
NO_BOOKLET = Message("no booklet of the catalogue prints this table")
SHOWN_IN = Message("this table is in {files}")
