"""Messages about output files and the cache."""

from __future__ import annotations

from tablegen.wording.message import Message

IS_A_FOLDER = Message("{place}: cannot be written: it is a folder; name a file")
NO_FOLDER = Message("{place}: cannot be written: the folder {folder} does not exist")
NOT_WRITTEN = Message("{place}: cannot be written: {reason}; nothing was replaced")
IS_A_LINK = Message("{place}: not replaced, because it is a link; name the folder it points to")
NOT_OURS = Message("{place}: not replaced, because it contains no {mark}, so it is not an output of this program")
BEING_WRITTEN = Message("{place}: another build is writing there; wait for it to end")

TABLES_NOT_CACHED = Message(
    "property tables cannot be cached in {folder}: {reason}; they are computed again in every run"
)
WINDOWS_NOT_CACHED = Message(
    "load windows cannot be cached in {folder}: {reason}; they are computed again in every run"
)
CONFIGS_NOT_CACHED = Message(
    "parsed config files cannot be cached in {folder}: {reason}; they are parsed again in every run"
)
