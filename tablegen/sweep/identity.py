"""What a value is, as a hash: the same for equal inputs in every process, another for any other input.

Unlike what the manifest prints, no two values are taken for one: floats go in bit by bit, and a refrigerant by the
table of its states.
"""

from __future__ import annotations

import datetime
import functools
import hashlib
import importlib.metadata
import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from pathlib import Path
from typing import Any

import numpy as np

from tablegen import __version__
from tablegen.model.property_store import library_version
from tablegen.physics.refrigerants import Refrigerant

# Code that windows depend on.
_CODE = ("physics", "model", "confidence", "calculation", "verification", "sweep", "tables", "dataset")
_LIBRARIES = ("numpy", "scipy", "pandas")


def identity(value: Any) -> str:
    """The SHA-256 of a value's content.

    Raises
    ------
    TypeError
        For a kind of value that is not foreseen: its content would not be told apart.
    """
    return hashlib.sha256(json.dumps(_told(value)).encode()).hexdigest()


@functools.cache
def code_identity() -> str:
    """The SHA-256 of the code that windows depend on, so that what other code has computed is not taken for its own."""
    package = Path(__file__).resolve().parents[1]
    told = hashlib.sha256()
    for name in _CODE:
        for path in sorted((package / name).rglob("*.py")):
            told.update(path.relative_to(package).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return told.hexdigest()


def fingerprint(files: Mapping[str, str]) -> str:
    """Twelve characters that stand for a catalogue's data: for all that they follow from.

    Of the hash over the config files (`files` holds the SHA-256 of each by its name), the code that windows depend on,
    and the version of the property library, so that one case has the fingerprint of the whole build.
    """
    told = json.dumps([sorted(files.items()), code_identity(), library_version()])
    return hashlib.sha256(told.encode()).hexdigest()[:12]


def _told(value: Any) -> Any:
    """A value as JSON in which every kind stands by its name."""
    if value is None or (isinstance(value, (bool, int, str)) and not isinstance(value, Enum)):
        return value
    if isinstance(value, float):
        return {"float": float(value).hex()}
    if isinstance(value, Enum):
        return {type(value).__name__: value.name}
    if isinstance(value, np.ndarray):
        if value.dtype.hasobject:
            raise TypeError(f"an array of {value.dtype} has no identity")
        content = hashlib.sha256(np.ascontiguousarray(value).tobytes()).hexdigest()
        return {"array": [value.dtype.str, list(value.shape), content]}
    if isinstance(value, datetime.date):
        return {"date": value.isoformat()}
    if isinstance(value, Mapping):
        return {"mapping": [[_told(k), _told(v)] for k, v in value.items()]}
    if isinstance(value, (list, tuple)):
        return [_told(v) for v in value]
    if isinstance(value, Refrigerant):
        return {"Refrigerant": [_told(value.definition), _told(value.table)]}
    if is_dataclass(value) and not isinstance(value, type):
        # What is derived from the rest says nothing more.
        return {type(value).__name__: {f.name: _told(getattr(value, f.name)) for f in fields(value) if f.init}}
    raise TypeError(f"a {type(value).__name__} has no identity")


def versions() -> dict[str, str]:
    """Versions of this package and of the libraries that its figures depend on."""
    found = {name: importlib.metadata.version(name) for name in _LIBRARIES}
    return {"tablegen": __version__, "properties": library_version(), **found}
