"""Windows of finished parts kept on disk, so that a sweep which was interrupted goes on where it ended.

A part is called by the identity of all that its figures depend on: inputs in SI, property tables, code, libraries.
A catalogue of which one family has changed is computed anew for the part with that family alone.  A file that cannot
be read, or that says another identity, is computed anew and replaced in one move.
"""

from __future__ import annotations

import contextlib
import io
import os
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tablegen.cache import default_folder, keep
from tablegen.model.inputs import Family
from tablegen.model.property_store import UNREADABLE
from tablegen.sweep.frames import Columns
from tablegen.sweep.identity import code_identity, identity, versions
from tablegen.sweep.parts import SystemPart, WindowPart

# A part that no sweep has asked for in so many days is thrown away.
_DAYS_KEPT = 30


class PartStore:
    """Windows of parts in a folder; processes may share it."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = (default_folder() if folder is None else folder) / "windows"
        self._versions = versions()
        self._families: dict[int, tuple[Family, str]] = {}

    def key(self, system: SystemPart, part: WindowPart) -> str:
        """The identity of the windows of a part; its solved states follow from the `system`."""
        refrigerant, scattered = system.refrigerant, None
        if part.scattered is not None:
            scattered = part.scattered.about(refrigerant.name, part.families)
        # Not the laws: those of other families have no say in these windows.
        families = [self._identity(family) for family in part.families]
        return identity([code_identity(), self._versions, refrigerant, system.application, families, scattered])

    def read(self, key: str) -> Columns | None:
        """The windows of a part, None where they are not kept."""
        path = self._path(key)
        try:
            with path.open("rb") as stream, np.load(stream, allow_pickle=False) as kept:
                if str(kept["key"]) != key:
                    return None
                found = {str(name): _column(kept, i) for i, name in enumerate(kept["columns"])}
        except (*UNREADABLE, IndexError):
            return None
        with contextlib.suppress(OSError):  # a folder that is read-only forgets when it was last asked
            os.utime(path)
        return found

    def keep(self, key: str, windows: Columns) -> None:
        """Keep the windows of a part; a folder that cannot be written costs time at the next run, no more."""
        arrays = {"key": np.array(key), "columns": np.array(list(windows), dtype=np.str_)}
        for i, values in enumerate(windows.values()):
            if values.dtype.hasobject:
                # Few texts stand in many rows.
                codes, texts = pd.factorize(values)
                arrays |= {f"{i} codes": codes.astype(np.int32), f"{i} texts": texts.astype(np.str_)}
            else:
                arrays[f"{i}"] = values
        stream = io.BytesIO()
        np.savez(stream, allow_pickle=False, **arrays)
        keep(self._path(key), stream.getvalue(), "windows of finished parts", "computed")

    def forget_old(self) -> None:
        """Throw away what no sweep has asked for in a long time; another process may have been quicker."""
        oldest = time.time() - _DAYS_KEPT * 86400.0
        for path in self.folder.glob("*.npz"):
            with contextlib.suppress(OSError):
                if path.stat().st_mtime < oldest:
                    path.unlink()

    def _identity(self, family: Family) -> str:
        """A family's identity, found once for all systems; kept with it, so that another has not the same place."""
        if id(family) not in self._families:
            self._families[id(family)] = family, identity(family)
        return self._families[id(family)][1]

    def _path(self, key: str) -> Path:
        return self.folder / f"{key[:32]}.npz"


def _column(kept: Mapping[str, NDArray[Any]], i: int) -> NDArray[Any]:
    if f"{i}" in kept:
        return kept[f"{i}"]
    texts: NDArray[Any] = kept[f"{i} texts"].astype(object)
    return np.asarray(texts[kept[f"{i} codes"]])
