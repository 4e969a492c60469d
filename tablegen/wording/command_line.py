"""What the program says of itself, and messages that every command has."""

from __future__ import annotations

from tablegen.wording.message import Message

DESCRIPTION = Message("Load windows of refrigerant expansion valves with floating head pressure.")
EPILOG = Message(
    "Exit codes: 0 done; 1 the answer is no, or something was found (see each command); 2 bad input (one line for each "
    "error) or output that cannot be written; 70 unexpected error (a report is written, please send it); 130 "
    "interrupted; 143 ended by the system."
)
NOTE = Message("note: {text}")
INTERRUPTED = Message("interrupted; the last complete output is untouched")
STANDARD_OUTPUT = Message("standard output: cannot be written: {reason}")
