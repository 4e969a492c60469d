"""Catalogues cached between runs, so that a single case need not read and check the same files again.

A catalogue is cached under the bytes of every file that it was read from and under the code that read them; it is
plain data, and nothing but the package's own data types is made of what a cache file contains.
"""

from __future__ import annotations

import io
import json
import pickle
from collections.abc import Callable
from dataclasses import is_dataclass
from enum import Enum
from pathlib import Path

from tablegen.cache import Cache, default_folder
from tablegen.config.input_state import files_state, input_state, other_inputs
from tablegen.model.inputs import Catalogue
from tablegen.model.offered_choices import ConnectionChoices
from tablegen.model.property_store import library_version
from tablegen.physics.refrigerants import Refrigerant
from tablegen.sweep.identity import code_identity
from tablegen.wording import command_line as wording

# What reads files into a catalogue, and the types that it consists of; reasons in it are sentences.
_CODE = ("config", "model", "physics", "wording", "units.py", "unit_table.py", "errors.py")
_PACKAGE = __name__.split(".", 1)[0]
# What arrays, dates and read-only mappings are made of, beside the data types of the package.
_OTHERS = {
    ("numpy._core.multiarray", "_reconstruct"),
    ("numpy._core.numeric", "_frombuffer"),
    ("numpy", "ndarray"),
    ("numpy", "dtype"),
    ("datetime", "date"),
}


def cached_catalogue(path: Path, asked: tuple[object, ...], load: Callable[[], Catalogue]) -> Catalogue:
    """A catalogue as `load` reads it, from the cache if no file that it was read from has changed.

    Parameters
    ----------
    path : Path
        The catalogue file.
    asked : tuple
        All that the catalogue follows from beside its files, such as overrides.
    load : callable
        Reads it.
    """
    files = input_state(path)
    if files is None:
        return load()
    cache = Cache(default_folder() / "catalogues", wording.CATALOGUE_NOT_CACHED)
    key = json.dumps([str(path.resolve()), files, repr(asked), code_identity(*_CODE), library_version()])
    found = _read(path, cache.read(key))
    if found is not None:
        return found
    catalogue = load()
    others = other_inputs(catalogue.files)
    state = files_state(path.parent / name for name in others)
    # Files that were changed while they were read belong to no one state.
    if state is not None and input_state(path) == files:
        head = json.dumps([others, state]).encode()
        cache.write(key, head + b"\n" + pickle.dumps(catalogue, protocol=5))
    return catalogue


def _read(path: Path, content: bytes | None) -> Catalogue | None:
    """The cached catalogue, if the files outside the folders of configs are as they were too."""
    if content is None:
        return None
    head, _, body = content.partition(b"\n")
    others, state = json.loads(head)
    if files_state(path.parent / name for name in others) != state:
        return None
    try:
        found = _DataOnly(io.BytesIO(body)).load()
    except pickle.UnpicklingError:
        # Somebody else's file: the catalogue is read again.
        return None
    return found if isinstance(found, Catalogue) else None


class _DataOnly(pickle.Unpickler):
    """Makes values of the package's data types and arrays, and of nothing else."""

    def find_class(self, module: str, name: str) -> object:
        """A type that may be made.

        Raises
        ------
        UnpicklingError
            If it may not.
        """
        if (module, name) in _OTHERS:
            return super().find_class(module, name)
        if module.split(".", 1)[0] == _PACKAGE:
            found = super().find_class(module, name)
            if isinstance(found, type) and (
                is_dataclass(found) or issubclass(found, (Enum, Refrigerant, ConnectionChoices))
            ):
                return found
        raise pickle.UnpicklingError(f"{module}.{name}")
