"""What figures depend on, as hashes and versions: the same for equal inputs in every process.

Unlike in the manifest, no two different values have one hash: floats count bit by bit, and a refrigerant by the table of
its states.
"""

from __future__ import annotations

import datetime
import functools
import hashlib
import importlib.metadata
import json
import sys
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from pathlib import Path

import numpy as np

from tablegen import __version__
from tablegen.model.property_store import library_version
from tablegen.physics.refrigerants import Refrigerant

_PACKAGE = Path(__file__).resolve().parents[1]
# Packages with the code that figures depend on.
_CODE = ("physics", "model", "confidence", "calculation", "verification", "sweep", "tables", "dataset")
_LIBRARIES = ("numpy", "scipy", "pandas")
# Libraries that outputs follow from.
_WRITERS = (*_LIBRARIES, "babel", "CoolProp", "fonttools", "openpyxl", "pillow", "pint", "reportlab")


def identity(value: object) -> str:
    """The SHA-256 of a value's content.

    Raises
    ------
    TypeError
        For a kind of value that is not foreseen, of which different contents might have one hash.
    """
    return hashlib.sha256(json.dumps(_as_json(value)).encode()).hexdigest()


@functools.cache
def code_identity(*places: str) -> str:
    """The SHA-256 of code, so that no code uses what other code has computed.

    Parameters
    ----------
    *places : str
        Folders and modules of the package; without any those that figures depend on.
    """
    found = [_PACKAGE / place for place in places or _CODE]
    return _hashed(path for own in found for path in ([own] if own.is_file() else sorted(own.rglob("*.py"))))


@functools.cache
def program_identity() -> str:
    """The SHA-256 of all that outputs follow from beside their inputs.

    That is every file of the package, with its wording, page design and fonts, and the versions of Python, of SQLite and
    of the libraries that compute, draw and write.
    """
    import sqlite3  # here, for a single answer does without

    files = _hashed(path for path in sorted(_PACKAGE.rglob("*")) if path.is_file() and path.suffix != ".pyc")
    libraries = map(importlib.metadata.version, _WRITERS)
    return hashlib.sha256(json.dumps([sys.version, sqlite3.sqlite_version, files, *libraries]).encode()).hexdigest()


def _hashed(files: Iterable[Path]) -> str:
    """The SHA-256 of files of the package with their names."""
    found = hashlib.sha256()
    for path in files:
        found.update(path.relative_to(_PACKAGE).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return found.hexdigest()


def fingerprint(files: Mapping[str, str]) -> str:
    """Twelve characters of a hash over all that a catalogue's data follow from.

    That is the config files, the code, and the version of the property library, so that one case has the fingerprint
    of the whole build.

    Parameters
    ----------
    files : mapping of str to str
        The SHA-256 of each config file by its name.
    """
    content = json.dumps([sorted(files.items()), code_identity(), library_version()])
    return hashlib.sha256(content.encode()).hexdigest()[:12]


def _as_json(value: object) -> object:
    """A value as JSON that names its kind."""
    if value is None or (isinstance(value, (bool, int, str)) and not isinstance(value, Enum)):
        return value
    if isinstance(value, float):
        return {"float": float(value).hex()}
    if isinstance(value, Decimal):
        return {"decimal": str(value)}
    if isinstance(value, Enum):
        return {type(value).__name__: value.name}
    if isinstance(value, np.ndarray):
        if value.dtype.hasobject:
            raise TypeError(f"array: {value.dtype}")
        content = hashlib.sha256(np.ascontiguousarray(value).tobytes()).hexdigest()
        return {"array": [value.dtype.str, list(value.shape), content]}
    if isinstance(value, bytes):
        return {"bytes": hashlib.sha256(value).hexdigest()}
    if isinstance(value, datetime.date):
        return {"date": value.isoformat()}
    if isinstance(value, Mapping):
        return {"mapping": [[_as_json(k), _as_json(v)] for k, v in value.items()]}
    if isinstance(value, (list, tuple)):
        return [_as_json(v) for v in value]
    if isinstance(value, Refrigerant):
        return {"Refrigerant": [_as_json(value.definition), _as_json(value.table)]}
    if is_dataclass(value) and not isinstance(value, type):
        # What is derived from the rest says nothing more.
        return {type(value).__name__: {f.name: _as_json(getattr(value, f.name)) for f in fields(value) if f.init}}
    raise TypeError(type(value).__name__)


def versions() -> dict[str, str]:
    """Versions of this package and of the libraries that its figures depend on."""
    found = {name: importlib.metadata.version(name) for name in _LIBRARIES}
    return {"tablegen": __version__, "properties": library_version(), **found}
