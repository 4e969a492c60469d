"""The command that compares computed values with those of sources."""

from __future__ import annotations

from tablegen.wording.message import Message

HEADING = Message("Computed values compared with those of sources")
NOTICE = Message("Computed values beside those of sources; not for the selection of real equipment.")
SOURCES = Message("Sources")
SOURCE_NUMBER = Message("[{number}]")
SOURCE = Message("{source} ({provenance})")
REASONS = Message("Reasons for the allowed deviations")
REASON_LETTER = Message("({letter})")
EVERY = Message("{quantity}: {source} ({provenance})")
COUNT_OF_SEVERAL = Message("{count} of {number} refrigerants")

HELP = Message("check refrigerant properties and flow laws against published values")
DESCRIPTION = Message(
    "Check refrigerant states, molar masses, flow laws and capacity loss against published values, second "
    "implementations and a rule of thumb: which source, at which condition, both values, what is allowed and why. "
    "Only values that were measured or computed from a different equation than ours are counted."
)
EPILOG = Message(
    "Exit codes: 0 no check fails without an explanation, 1 some do, 2 bad input. A check outside its band for a "
    "known reason is printed with the reason and counted separately. Example: tablegen verify R448A R404A --every "
    "--output verification.pdf"
)
REFRIGERANTS_HELP = Message("such as R448A (default: all)")
EVERY_HELP = Message("print every check, not only a line for each quantity and source")
CSV_ROWS = Message("a row for each check")
