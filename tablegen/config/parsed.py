"""What a config file says, as plain data with the line of every key, and how that is kept between runs.

Reading YAML takes ten milliseconds a file, so what was read is kept as JSON, by the hash of the file's bytes.  The
first line of a kept file names all that it depends on and the hash of the rest; a file that is cut, changed or
another's is not used.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

from tablegen.cache import default_folder, keep

KeyPath: TypeAlias = tuple[str | int, ...]

# Raised whenever what is kept, or how a file is read, changes.
LAYOUT = 1
_refusing: set[Path] = set()


@dataclass(frozen=True, slots=True)
class Parsed:
    """Plain data of one file, and the line of every key and list item; not to be changed by who gets it."""

    data: dict[str, Any]
    lines: dict[KeyPath, int]


def read_kept(content: bytes) -> Parsed | None:
    """What was kept of a file with these bytes; None if nothing was, or nothing that can be used."""
    try:
        first, _, body = _path(content).read_bytes().partition(b"\n")
        if first != _first_line(content, body):
            return None
        kept = json.loads(body)
        return Parsed(kept["data"], {tuple(path): line for path, line in kept["lines"]})
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None


def keep_parsed(content: bytes, parsed: Parsed) -> None:
    """Keep what was read of a file with these bytes."""
    folder = default_folder() / "configs"
    if folder in _refusing:
        return
    kept = {"data": parsed.data, "lines": [[list(path), line] for path, line in parsed.lines.items()]}
    body = json.dumps(kept, separators=(",", ":")).encode("ascii")
    # NaN, or halves of a sign written apart, do not come back from JSON as they were.
    if json.loads(body) != kept:
        return
    whole = _first_line(content, body) + b"\n" + body
    if not keep(_path(content), whole, "parsed configs", "parsed"):
        _refusing.add(folder)


def _path(content: bytes) -> Path:
    return default_folder() / "configs" / f"{hashlib.sha256(content).hexdigest()}.json"


def _first_line(content: bytes, body: bytes) -> bytes:
    version = importlib.metadata.version("ruamel.yaml")
    parts = f"layout {LAYOUT}", f"ruamel.yaml {version}", hashlib.sha256(content).hexdigest()
    return " ".join([*parts, hashlib.sha256(body).hexdigest()]).encode("ascii")
