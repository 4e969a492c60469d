"""Lists of jobs: what is wrong with one, its answer on a sheet, and what is to be ordered for all jobs."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

# Reading a list.
MOST_JOBS = Message("a list of jobs has at most {count} rows, the headings among them")
LIST_TOO_LARGE = Message("that is too large for a list of jobs")
MOST_COLUMNS = Message("a list of jobs has at most {count} columns; leave out those that no answer needs")
NO_JOBS = Message("the list has no jobs below its headings")
NO_COLUMN = Message("no column is called {names}; every job needs it")
NEAREST_HEADING = Message("{text} (is it {heading}?)")
LIKE_A_COLUMN = Message("unknown column; correct the heading, or rename it if the column is your own")
TOO_MANY_DIFFERENCES = Message(
    "{--coil_difference}: {count} different values; limits are recomputed for each TD, and a list may have at most "
    "{most}: round the TDs, or split the list"
)
ALONE = Message("{--jobs}: it cannot be used with {other}; answer such a case by itself")
IS_THE_LIST = Message("it is a list that this command reads; name another file")
OR_ORDER_IS_THE_LIST = Message(
    "the order list would be written to {name}, a list that this command reads; name another file"
)

SAME_IN_ROWS = Message("{text} (the same in {count} rows, lines {lines}, ...)")

# The answer.
HEADING = Plural("{count} job of {file}", "{count} jobs of {file}")
WITH_VALVE = Plural("{count} job has a valve.", "{count} jobs have a valve.")
WITHOUT_VALVE = Plural(
    "{count} job has no valve that covers its load.", "{count} jobs have no valve that covers their load."
)
NOT_IN_STOCK = Plural(
    "{count} job: valves cover the load, but none is in stock; the best one is on the order list.",
    "{count} jobs: valves cover the load, but none is in stock; the best ones are on the order list.",
)
NOT_ANSWERED = Plural("{count} row cannot be answered.", "{count} rows cannot be answered.")
JOBS = Message("Jobs")
ORDER_LIST = Message("Order list")
MORE_JOBS = Plural("{count} more job is in the files.", "{count} more jobs are in the files.")
OWN_DIFFERENCE = Plural(
    "The limits of {count} job are computed with its own TD, not with the application's.",
    "The limits of {count} jobs are computed with their own TD, not with the application's.",
)
ONE_EACH = Message("A job without a quantity counts as one valve.")
TO_ORDER_OF = Plural(
    '{count} order line needs more valves than are in stock: see "to order".',
    '{count} order lines need more valves than are in stock: see "to order".',
)
NEAREST = Message("No valve covers this load; the closest is {valve}, {minimum} to {maximum} {unit}.")

# Columns of the sheet and of the order list, and the first cell of its last row.
LINE_TOTAL = Message("line total")
SUM = Message("sum")
LINE = Message("line")
JOB = Message("job")
REFRIGERANT = Message("refrigerant")
LOAD = Message("load")
VALVE = Message("valve")
SIZE = Message("valve size")
CHARGE = Message("charge")
MARGIN = Message("margin")
LIMITS: Mapping[str, Message] = {"min": Message("minimum load"), "max": Message("maximum load")}
WINDOW = Message("load window")
APPLICATION = Message("application used")
SST = Message("at SST")
SST_ALONE = Message("SST")
BOX = Message("at box temperature")
PART_NUMBER = Message("part number")
ORDER_LINE = Message("order line")
REASON = Message("reason")
WITH_UNIT = Message("{name} [{unit}]")
QUANTITY = Message("quantity")
FAMILY = Message("family")
EQUALIZER = Message("equalizer")
CONNECTIONS = Message("connections")
CAPILLARY = Message("capillary")
CHOOSE = Message("choose {choices}")
AND_MORE = Plural("{names} and {count} more", "{names} and {count} more")
IN_STOCK = Message("in stock")
TO_ORDER = Message("to order")
LOCATION = Message("location")
PRICE = Message("price")
FOR_JOBS = Message("for jobs")
LINE_OF = Message("line {line}")

JOBS_HELP = Message(
    "list of jobs (CSV or XLSX), one a row: refrigerant, load, SST or box temperature, and any of application, family, "
    "valve kind, quantity, job, connections, capillary; --output FILE.xlsx or FILE.csv is the list with its answers"
)

# Rows that ask nothing.
NO_REFRIGERANT = Message("no refrigerant, and no SST or box temperature; is it a row of totals?")
ONE_OF = Message("no temperature; fill in {headings}")
