"""The case that an answer is about: application, load, operating conditions, and what was given other values."""

from __future__ import annotations

from tablegen.wording.message import Message

APPLICATION = Message("Application")
ONLY_APPLICATION = Message("{title}: the only application with a valve for this refrigerant at this SST")
CHANGED = Message("Changed")
LOAD = Message("Load")
GROSS_LOAD = Message("{load}, gross capacity at the rating point")
DATA = Message("{title}, revision {revision} of {date}; computed with {version}.")
