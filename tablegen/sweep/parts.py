"""Parts of a sweep: what is computed in one go, in this process or another.

A part holds all that it needs and reads no file, so it may be pickled and sent anywhere; what comes of it does not
depend on where it was computed, nor on what other parts there are.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace
from typing import Any

from tablegen.confidence.tables import Scattered
from tablegen.model.inputs import Application, Family
from tablegen.model.solving import Law, Solved, solve
from tablegen.physics.refrigerants import Refrigerant
from tablegen.sweep.frames import Columns, joined, window_columns

# Families of one part: few enough for several parts to share the work, enough for its way there to cost little.
FAMILIES_OF_PART = 16


@dataclass(frozen=True, slots=True)
class SystemPart:
    """One refrigerant in one application, under the flow laws of the families that are offered for it."""

    refrigerant: Refrigerant
    application: Application
    laws: tuple[Law, ...]

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

    def __reduce__(self) -> tuple[Any, ...]:
        # On its way elsewhere it takes of scatter what bears on it.
        own = self.scattered
        if own is not None:
            own = Scattered(*own.about(self.solved.refrigerant.name, self.families))
        return WindowPart, (self.solved, self.families, own)

    def compute(self) -> Columns:
        """Their windows, one below the other."""
        return joined(window_columns(family, self.solved, self.scattered) for family in self.families)


def system_part(refrigerant: Refrigerant, application: Application, laws: tuple[Law, ...]) -> SystemPart:
    """A part without what does not bear on its figures: other refrigerants' applications, and words."""
    name = refrigerant.name
    own = {name: application.systems[name]}
    scatter = {n: replace(s, source="") for n, s in application.scatter.items() if n == name}
    bare = replace(application, title="", note="", sources={}, systems=own, scatter=scatter)
    return SystemPart(refrigerant, bare, laws)


@dataclass(frozen=True, slots=True)
class Payload:
    """A part on its way to where it is computed, or what came of it on its way back.

    It is pickled into one string of bytes, whatever protocol an executor has. Arrays that come over in buffers of
    their own may lie off the boundaries of their numbers, and are then multiplied by other code, in another order.
    """

    value: Any

    def __reduce__(self) -> tuple[Any, ...]:
        return _received, (pickle.dumps(self.value),)


def _received(packed: bytes) -> Payload:
    return Payload(pickle.loads(packed))


def computed(part: Payload) -> Payload:
    """What comes of a part: a function of a module, for executors that send their work by name."""
    return Payload(part.value.compute())


class Inline(Executor):
    """Computes at once, in this thread, what is submitted."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """A future that is done."""
        future: Future[Any] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:
            future.set_exception(error)
        return future
