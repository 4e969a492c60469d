"""Processes that share the work, its progress, and errors that nobody foresaw."""

from __future__ import annotations

from tablegen.wording.message import Message

WORKERS = Message("{option}: {text} is not allowed; it must be a whole number from 1 to {maximum}")
PART_ENDED = Message(
    "a process that computed a part ended early (was it killed, or is memory short?); build again, with fewer "
    "workers if needed: finished parts are cached"
)
PRINT_ENDED = Message(
    "a process that printed a publication ended early (was it killed, or is memory short?); build again, with fewer "
    "workers if needed"
)
PART = Message("part")

CRASH_WITH_REPORT = Message(
    "unexpected error, a fault of tablegen: {error}: {message}; the report {file} says where, please send it to the "
    "maintainers of tablegen"
)
CRASH = Message("unexpected error, a fault of tablegen: {error}: {message}; no report of it could be written")
