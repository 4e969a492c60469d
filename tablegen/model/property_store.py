"""Property tables kept on disk between runs.

A table is keyed by everything that it depends on: composition, pair parameters, critical point, version of
the property library, layout of the table.  The key stands in the file as well as in its name; a file that
cannot be read, or that says another key, is built anew and replaced in one move, so that processes may
share the folder.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import io
import json
import tokenize
import zipfile
import zlib
from pathlib import Path
from typing import Any

import numpy as np

from tablegen.cache import default_folder, keep
from tablegen.physics import property_table as tables
from tablegen.physics.definition import RefrigerantDefinition
from tablegen.physics.property_table import PropertyTable, Range
from tablegen.physics.refrigerants import Refrigerant

# What numpy and zipfile raise for a file that is cut, changed or no archive at all.
UNREADABLE = (
    OSError,
    ValueError,
    KeyError,
    EOFError,
    RuntimeError,
    NotImplementedError,
    SyntaxError,
    tokenize.TokenError,
    zipfile.BadZipFile,
    zlib.error,
)
_SHAPES = {
    "range": (3,),
    "saturation": (2, 3, tables.SATURATION_ORDER),
    "liquid": (2, *tables.LIQUID_ORDER),
    "vapour": (2, *tables.VAPOUR_ORDER),
}


def library_version() -> str:
    """The property library and its version, without loading it."""
    return f"CoolProp {importlib.metadata.version('CoolProp')}"


class PropertyStore:
    """Refrigerants by definition; a table is built at most once and kept in `folder`."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = default_folder() if folder is None else folder
        self._made: dict[RefrigerantDefinition, Refrigerant] = {}
        self._tables: dict[str, PropertyTable] = {}

    def refrigerant(self, definition: RefrigerantDefinition) -> Refrigerant:
        """A refrigerant with its property table, from disk or from the equation of state.

        Raises
        ------
        PropertyError
            If the table cannot be computed.
        """
        if definition in self._made:
            return self._made[definition]
        key = _key(definition)
        if key not in self._tables:
            path = self.folder / f"{_safe(definition.name)}-{hashlib.sha256(key.encode()).hexdigest()[:20]}.npz"
            table = _read(path, key)
            if table is None:
                # Here, not above: loading the property library takes two seconds.
                from tablegen.physics.equation_of_state import tabulate

                table = tabulate(definition)
                _write(path, key, table)
            self._tables[key] = table
        return self._made.setdefault(definition, Refrigerant(definition, self._tables[key]))


def _key(definition: RefrigerantDefinition) -> str:
    return json.dumps(
        {
            "layout": tables.LAYOUT,
            "library": library_version(),
            "components": definition.components,
            "mass_fractions": [repr(share) for share in definition.mass_fractions],
            "pairs": [
                [p.first, p.second, *map(repr, (p.beta_t, p.gamma_t, p.beta_v, p.gamma_v))] for p in definition.pairs
            ],
            "critical": [repr(definition.critical_temperature_k), repr(definition.critical_pressure_pa)],
        }
    )


def _safe(name: str) -> str:
    return "".join(c if c.isalnum() else "_" for c in name)


def _read(path: Path, key: str) -> PropertyTable | None:
    """The table in a file, or None if it is not there, not whole, or another one's."""
    try:
        with path.open("rb") as stream, zipfile.ZipFile(stream) as archive:
            if str(_member(archive, "key")) != key:
                return None
            arrays = {name: _member(archive, name) for name in _SHAPES}
    except UNREADABLE:
        return None
    for name, shape in _SHAPES.items():
        array = arrays[name]
        if array.shape != shape or array.dtype != np.float64 or not np.isfinite(array).all():
            return None
    critical_k, critical_pa, coldest_k = map(float, arrays["range"])
    found = Range(critical_k, critical_pa, coldest_k)
    return PropertyTable(found, arrays["saturation"], arrays["liquid"], arrays["vapour"])


def _member(archive: zipfile.ZipFile, name: str) -> Any:
    """One array; its member is read whole, for only then is its checksum looked at."""
    return np.lib.format.read_array(io.BytesIO(archive.read(f"{name}.npy")), allow_pickle=False)


def _write(path: Path, key: str, table: PropertyTable) -> None:
    place = table.range
    stream = io.BytesIO()
    np.savez(
        stream,
        key=np.array(key),
        range=np.array([place.critical_temperature_k, place.critical_pressure_pa, place.coldest_k]),
        saturation=table.saturation,
        liquid=table.liquid,
        vapour=table.vapour,
    )
    keep(path, stream.getvalue(), "property tables", "computed")
