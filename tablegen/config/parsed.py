"""What a config file says, as plain data with the line of every key, and how that is cached between runs.

Reading YAML takes ten milliseconds a file, so what was read is cached as JSON, by the hash of the file's bytes.
"""

from __future__ import annotations

import functools
import hashlib
import importlib.metadata
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

from tablegen.cache import Cache, default_folder
from tablegen.wording import storage as wording

KeyPath: TypeAlias = tuple[str | int, ...]

# Raised whenever what is cached, or how a file is read, changes.
LAYOUT = 1


@dataclass(frozen=True, slots=True)
class Parsed:
    """Plain data of one file, and the line of every key and list item; not to be changed by who gets it."""

    data: dict[str, Any]
    lines: dict[KeyPath, int]


def read_cached(content: bytes) -> Parsed | None:
    """What was cached of a file with these bytes; None if nothing was, or nothing that can be used."""
    body = _cache(default_folder()).read(_key(content))
    if body is None:
        return None
    cached = json.loads(body)
    return Parsed(cached["data"], {tuple(path): line for path, line in cached["lines"]})


def cache_parsed(content: bytes, parsed: Parsed) -> None:
    """Cache what was read of a file with these bytes."""
    cached = {"data": parsed.data, "lines": [[list(path), line] for path, line in parsed.lines.items()]}
    body = json.dumps(cached, separators=(",", ":")).encode("ascii")
    # NaN, or halves of a sign written apart, do not come back from JSON as they were.
    if json.loads(body) == cached:
        _cache(default_folder()).write(_key(content), body)


@functools.cache
def _cache(folder: Path) -> Cache:
    return Cache(folder / "configs", wording.CONFIGS_NOT_CACHED)


@functools.cache
def _version() -> str:
    return importlib.metadata.version("ruamel.yaml")


def _key(content: bytes) -> str:
    return f"layout {LAYOUT}, ruamel.yaml {_version()}, {hashlib.sha256(content).hexdigest()}"
