"""Refrigerants with their property tables, cached between runs.

A table is cached under everything that it depends on: composition, pair parameters, critical point, version of the
property library, layout of the table.
"""

from __future__ import annotations

import importlib.metadata
import json
import threading
from pathlib import Path

import numpy as np

from tablegen.cache import Cache, default_folder
from tablegen.physics import property_table as tables
from tablegen.physics.definition import RefrigerantDefinition
from tablegen.physics.property_table import PropertyTable, Range
from tablegen.physics.refrigerants import Refrigerant
from tablegen.wording import command_line as wording

# Of the numbers of a cached table, in their order.
_SHAPES = (
    (3,),
    (2, 3, tables.SATURATION_ORDER),
    (2, tables.SATURATION_ORDER),
    (2, *tables.LIQUID_ORDER),
    (2, *tables.VAPOR_ORDER),
)
_SIZES = [int(np.prod(shape)) for shape in _SHAPES]
# The property library is not made for several threads.
_TABULATING = threading.Lock()


def library_version() -> str:
    """The property library and its version, without loading it."""
    return f"CoolProp {importlib.metadata.version('CoolProp')}"


class PropertyStore:
    """Refrigerants by definition; a table is computed at most once, and cached below `folder` (the user's cache)."""

    def __init__(self, folder: Path | None = None) -> None:
        self._cache = Cache((folder or default_folder()) / "property_tables", wording.TABLES_NOT_CACHED)
        self._made: dict[RefrigerantDefinition, Refrigerant] = {}
        self._tables: dict[str, PropertyTable] = {}

    def refrigerant(self, definition: RefrigerantDefinition) -> Refrigerant:
        """A refrigerant with its property table, from the cache or from the equation of state.

        Raises
        ------
        PropertyError
            If the table cannot be computed.
        """
        if definition in self._made:
            return self._made[definition]
        key = _key(definition)
        if key not in self._tables:
            table = _unpacked(self._cache.read(key))
            if table is None:
                # Here, not above: loading the property library takes two seconds.
                from tablegen.physics.equation_of_state import tabulate

                with _TABULATING:
                    table = tabulate(definition)
                self._cache.write(key, _packed(table))
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


def _packed(table: PropertyTable) -> bytes:
    """The numbers of a table, one after the other."""
    place = table.range
    edges = np.array([place.critical_temperature_k, place.critical_pressure_pa, place.coldest_k])
    arrays = edges, table.saturation, table.entropy, table.liquid, table.vapor
    return np.concatenate([array.ravel() for array in arrays]).astype("<f8").tobytes()


def _unpacked(content: bytes | None) -> PropertyTable | None:
    """The table of what `_packed` made; None for anything else."""
    if content is None or len(content) != 8 * sum(_SIZES):
        return None
    numbers = np.frombuffer(content, "<f8")
    if not np.isfinite(numbers).all():
        return None
    # Copied, for arrays off the boundaries of their numbers are multiplied by other code, in another order.
    edges, saturation, entropy, liquid, vapor = (
        part.reshape(shape).astype(np.float64)
        for part, shape in zip(np.split(numbers, np.cumsum(_SIZES)[:-1]), _SHAPES, strict=True)
    )
    return PropertyTable(
        range=Range(*map(float, edges)), saturation=saturation, entropy=entropy, liquid=liquid, vapor=vapor
    )
