"""Files of a catalogue that a command writes."""

from __future__ import annotations

from tablegen.wording.message import Message

CHANGED_MEANWHILE = Message("{file}: the file was changed while the command ran; {again}")
FOLDER_NOT_MADE = Message("{folder}: the folder cannot be made: {reason}")
FOLDER_NOT_RENAMED = Message(
    "{folder}: the folder cannot be renamed to {new}: {reason}; the files are written: {again} to finish"
)
