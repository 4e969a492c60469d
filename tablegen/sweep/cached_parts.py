"""Windows of computed parts, cached so that a sweep which was interrupted goes on where it ended.

A part is cached under all that its figures depend on: inputs in SI, property tables, code, libraries.  In a catalogue
of which one family has changed, only the parts with that family are computed anew.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tablegen.cache import Cache, default_folder
from tablegen.model.inputs import Family
from tablegen.sweep.frames import Columns
from tablegen.sweep.identity import code_identity, identity, versions
from tablegen.sweep.parts import SystemPart, WindowPart
from tablegen.wording import storage as wording


class WindowCache:
    """Windows of parts, cached below `folder` (the user's cache)."""

    def __init__(self, folder: Path | None = None) -> None:
        self._cache = Cache((folder or default_folder()) / "windows", wording.WINDOWS_NOT_CACHED)
        self._versions = versions()
        self._families: dict[int, tuple[Family, str]] = {}

    def key(self, system: SystemPart, part: WindowPart) -> str:
        """The identity of the windows of a part; its solved states follow from the `system`."""
        refrigerant, scattered = system.refrigerant, None
        if part.scattered is not None:
            scattered = part.scattered.about(refrigerant.name, part.families)
        # Not the flow laws: those of other families do not bear on these windows.
        families = [self._identity(family) for family in part.families]
        return identity([code_identity(), self._versions, refrigerant, system.application, families, scattered])

    def read(self, key: str) -> Columns | None:
        """The windows of a part; None where they are not cached."""
        payload = self._cache.read(key)
        if payload is None:
            return None
        with np.load(io.BytesIO(payload), allow_pickle=False) as arrays:
            return {str(name): _column(arrays, i) for i, name in enumerate(arrays["columns"])}

    def write(self, key: str, windows: Columns) -> None:
        """Cache the windows of a part."""
        arrays = {"columns": np.array(list(windows), dtype=np.str_)}
        for i, values in enumerate(windows.values()):
            if values.dtype.hasobject:
                # Few texts stand in many rows.
                codes, texts = pd.factorize(values)
                arrays |= {f"{i} codes": codes.astype(np.int32), f"{i} texts": texts.astype(np.str_)}
            else:
                arrays[f"{i}"] = values
        stream = io.BytesIO()
        np.savez(stream, allow_pickle=False, **arrays)
        self._cache.write(key, stream.getvalue())

    def _identity(self, family: Family) -> str:
        """A family's identity, found once for all systems; the family beside it, so that its id is not used again."""
        if id(family) not in self._families:
            self._families[id(family)] = family, identity(family)
        return self._families[id(family)][1]


def _column(arrays: Mapping[str, NDArray[Any]], i: int) -> NDArray[Any]:
    if f"{i}" in arrays:
        return arrays[f"{i}"]
    texts: NDArray[Any] = arrays[f"{i} texts"].astype(object)
    return np.asarray(texts[arrays[f"{i} codes"]])
