"""Parts of a sweep: what is computed in one go, in this process or another, and cached.

A part contains all that it needs and reads no file, so it may be pickled and sent anywhere; its result does not depend
on where it was computed, nor on what other parts there are.
"""

from __future__ import annotations

import io
import pickle
from collections.abc import Callable, Mapping
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Generic, ParamSpec, TypeAlias, TypeVar

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tablegen.cache import Cache, default_folder
from tablegen.confidence.confident_limits import Scattered
from tablegen.model.inputs import Application, Family
from tablegen.model.solving import Law, Solved, solve
from tablegen.physics.refrigerants import Refrigerant
from tablegen.sweep.frames import Columns, joined, window_columns
from tablegen.sweep.identity import code_identity, identity, versions
from tablegen.wording import command_line as wording

# Families of one part: few enough for several parts to share the work, enough for its way there to cost little.
FAMILIES_OF_PART = 16
P = ParamSpec("P")
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class SystemPart:
    """One refrigerant in one application, under the flow laws of the families that are offered for it."""

    refrigerant: Refrigerant
    application: Application
    laws: tuple[Law, ...]

    @classmethod
    def of(cls, refrigerant: Refrigerant, application: Application, laws: tuple[Law, ...]) -> SystemPart:
        """A part without what does not bear on its figures: the systems of other refrigerants, and words."""
        name = refrigerant.name
        own = {name: application.systems[name]}
        scatter = {n: replace(s, source="") for n, s in application.scatter.items() if n == name}
        return cls(refrigerant, replace(application, title="", note="", sources={}, systems=own, scatter=scatter), laws)

    def compute(self) -> Solved:
        """Solve it.

        Raises
        ------
        PropertyError
            If the property library fails where it should not.
        """
        return solve(self.refrigerant, self.application, self.laws)


@dataclass(frozen=True, slots=True)
class WindowPart:
    """Some families in a solved system."""

    solved: Solved
    families: tuple[Family, ...]
    scattered: Scattered | None

    def __reduce__(self) -> tuple[type[WindowPart], tuple[Solved, tuple[Family, ...], Scattered | None]]:
        # Of scatter it takes with it what bears on it.
        own = self.scattered
        if own is not None:
            own = Scattered(*own.about(self.solved.refrigerant.name, self.families))
        return WindowPart, (self.solved, self.families, own)

    def compute(self) -> Columns:
        """Their windows, one below the other."""
        return joined(window_columns(family, self.solved, self.scattered) for family in self.families)


Part: TypeAlias = SystemPart | WindowPart
Result: TypeAlias = Solved | Columns


class WindowCache:
    """Windows of computed parts, cached so that a sweep which was interrupted goes on where it ended; drivers of examples, too.

    A part is cached under all that its figures depend on: inputs in SI, property tables, code, libraries.  In a
    catalogue of which one family has changed, only the parts with that family are computed again.

    Parameters
    ----------
    folder : Path, optional
        Cache folder; without it that of the user.
    """

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
        return self.key_of(refrigerant, system.application, families, scattered)

    def key_of(self, *inputs: object) -> str:
        """The identity of what follows from some inputs."""
        return identity([code_identity(), self._versions, *inputs])

    def read(self, key: str) -> Columns | None:
        """The columns under a key; None where they are not cached."""
        payload = self._cache.read(key)
        if payload is None:
            return None
        with np.load(io.BytesIO(payload), allow_pickle=False) as arrays:
            return {str(name): _column(arrays, i) for i, name in enumerate(arrays["columns"])}

    def write(self, key: str, columns: Columns) -> None:
        """Cache columns under a key."""
        arrays = {"columns": np.array(list(columns), dtype=np.str_)}
        for i, values in enumerate(columns.values()):
            if values.dtype.hasobject:
                # Few different texts in many rows.
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


@dataclass(frozen=True, slots=True)
class Payload(Generic[T]):
    """A part on its way to where it is computed, or its result on its way back.

    It is pickled into one string of bytes, whatever protocol an executor has; reading it can run any code, so an executor
    must be trusted. Arrays that come over in buffers of
    their own may lie off the boundaries of their numbers, and are then multiplied by other code, in another order.
    """

    value: T

    def __reduce__(self) -> tuple[Callable[[bytes], Payload[T]], tuple[bytes]]:
        return _received, (pickle.dumps(self.value),)


def _received(packed: bytes) -> Payload[T]:
    return Payload(pickle.loads(packed))


def computed(part: Payload[Part]) -> Payload[Result]:
    """The result of a part: a function of a module, for executors that send their work by name."""
    return Payload(part.value.compute())


class Inline(Executor):
    """Computes at once, in this thread, what is submitted."""

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """A future that is done."""
        future: Future[T] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:
            future.set_exception(error)
        return future
