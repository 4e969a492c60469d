"""The packaged refrigerants, for tests that need one by name."""

from __future__ import annotations

import functools

from tablegen.config.refrigerant_files import load_registry
from tablegen.model.registry import Registry
from tablegen.physics.refrigerants import Refrigerant


@functools.cache
def registry() -> Registry:
    """All of them; tables are made as they are looked up."""
    return load_registry()


def refrigerant(name: str) -> Refrigerant:
    """One of them, with its states."""
    return registry()[name]
