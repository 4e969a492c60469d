"""The sweep: states per refrigerant and application, windows per family, size, refrigerant and application.

Port demand is computed once per refrigerant, application and flow law; sizes follow by multiplication.  The work is cut
into parts that any executor of `concurrent.futures` may compute, in any order.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

import pandas as pd

from tablegen.confidence.tables import Scattered
from tablegen.errors import WorkerError
from tablegen.model.inputs import Application, Catalogue, Family
from tablegen.model.solving import Solved, laws_of
from tablegen.physics.refrigerants import Refrigerant
from tablegen.sweep.cached_parts import WindowCache
from tablegen.sweep.frames import Columns, joined, states_frame
from tablegen.sweep.parts import FAMILIES_OF_PART, Inline, Payload, SystemPart, WindowPart, computed, system_part
from tablegen.wording import processes as wording

# Parts that an executor is given at one time: each lies in its memory until it is computed.
_MOST_PENDING = 256
# A part, and what takes what comes of it and says which parts may begin then.
_Task = tuple[SystemPart | WindowPart, Callable[[Any], "list[_Task]"]]


@dataclass(frozen=True, slots=True)
class SweepOptions:
    """What a sweep is computed with.

    `executor` is any of `concurrent.futures` or one like it; it is not shut down. Without `cache` nothing is cached.
    `advance` is told each part as it is done.
    """

    executor: Executor = field(default_factory=Inline)
    cache: WindowCache | None = None
    advance: Callable[[str], None] = lambda _: None


@dataclass(frozen=True, slots=True)
class System:
    """One refrigerant in one application, and the families that are offered for it."""

    refrigerant: Refrigerant
    application: Application
    families: tuple[Family, ...]

    @property
    def name(self) -> str:
        """As a progress display tells it."""
        return f"{self.refrigerant.name} in {self.application.name}"

    @property
    def shares(self) -> list[tuple[Family, ...]]:
        """The families by parts."""
        step = FAMILIES_OF_PART
        return [self.families[i : i + step] for i in range(0, len(self.families), step)]


def sweep(
    catalogue: Catalogue, means: SweepOptions, scattered: Scattered | None = None
) -> tuple[pd.DataFrame, pd.DataFrame, dict[Any, Solved]]:
    """States and windows of the whole catalogue, whatever computes them, in the order of the catalogue.

    With `scattered` the limits at its confidence stand beside the nominal ones, or in their place.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    WorkerError
        If a process of the executor died; what was finished is cached.
    """
    systems = systems_of(catalogue)
    found = _Found(means, scattered, systems)
    found.complete()
    solved, windows = found.in_order()
    states = [
        states_frame(own, law, catalogue.records[system.refrigerant.name].uncertainty)
        for system, own in zip(systems, solved, strict=True)
        for law in laws_of(system.families)
    ]
    frame = pd.DataFrame(joined(windows))
    order = {name: i for i, name in enumerate(catalogue.families)}
    frame = frame.sort_values("family", key=lambda column: column.map(order), kind="stable", ignore_index=True)
    named = {(s.refrigerant.name, s.application.name): own for s, own in zip(systems, solved, strict=True)}
    return pd.concat(states, ignore_index=True), frame, named


class _Found:
    """What comes of the parts of some systems, as far as they are done."""

    def __init__(self, means: SweepOptions, scattered: Scattered | None, systems: Sequence[System]) -> None:
        self._means, self._scattered, self._systems = means, scattered, systems
        self._solved: dict[int, Solved] = {}
        self._windows: dict[tuple[int, int], Columns] = {}

    def complete(self) -> None:
        """Compute every part; whatever was finished before an interruption is cached."""
        parts = [system_part(s.refrigerant, s.application, tuple(laws_of(s.families))) for s in self._systems]
        waiting: deque[_Task] = deque((part, partial(self._take_solved, i, part)) for i, part in enumerate(parts))
        pending: dict[Future[Any], Callable[[Any], list[_Task]]] = {}
        try:
            while waiting or pending:
                while waiting and len(pending) < _MOST_PENDING:
                    part, take = waiting.popleft()
                    future = self._means.executor.submit(computed, Payload(part))
                    pending[future] = take
                    if future.done():
                        break
                wait(pending, return_when=FIRST_COMPLETED)
                for future in [f for f in pending if f.done()]:
                    # Windows before other systems, so that what is solved need not lie about.
                    waiting.extendleft(reversed(pending.pop(future)(future.result().value)))
        except BrokenExecutor as error:
            raise WorkerError(wording.PART_ENDED()) from error
        finally:
            for future in pending:
                future.cancel()

    def in_order(self) -> tuple[list[Solved], list[Columns]]:
        """Solved states of every system, and the windows of every part, in the order of the systems."""
        return [self._solved[i] for i in sorted(self._solved)], [self._windows[ij] for ij in sorted(self._windows)]

    def _take_solved(self, i: int, part: SystemPart, solved: Solved) -> list[_Task]:
        """A system is solved: the parts that may begin."""
        system = self._systems[i]
        # The catalogue's own refrigerant and application, not the copies that came back.
        own = replace(solved, refrigerant=system.refrigerant, application=system.application)
        self._solved[i] = own
        tasks: list[_Task] = []
        cache = self._means.cache
        for j, families in enumerate(system.shares):
            share = WindowPart(own, families, self._scattered)
            key = "" if cache is None else cache.key(part, share)
            windows = None if cache is None else cache.read(key)
            if windows is None:
                tasks.append((share, partial(self._take_windows, i, j, key)))
            else:
                self._have(i, j, windows)
        return tasks

    def _take_windows(self, i: int, j: int, key: str, windows: Columns) -> list[_Task]:
        if self._means.cache is not None:
            self._means.cache.write(key, windows)
        self._have(i, j, windows)
        return []

    def _have(self, i: int, j: int, windows: Columns) -> None:
        self._windows[i, j] = windows
        self._means.advance(self._systems[i].name)


def count_parts(catalogue: Catalogue) -> int:
    """How many times `sweep` will call `advance`."""
    return sum(len(system.shares) for system in systems_of(catalogue))


def count_systems(catalogue: Catalogue) -> int:
    """How many refrigerants there are in how many applications."""
    return len(systems_of(catalogue))


def systems_of(catalogue: Catalogue) -> list[System]:
    """Refrigerants by application with the families offered for each, in the order of the catalogue."""
    offered: dict[tuple[str, str], dict[str, None]] = {}
    for c in catalogue.combinations:
        for refrigerant in catalogue.groups[c.group].members:
            offered.setdefault((c.application, refrigerant), {})[c.family] = None
    applications = {name: i for i, name in enumerate(catalogue.applications)}
    return [
        System(
            catalogue.refrigerants[refrigerant],
            catalogue.applications[application],
            tuple(catalogue.families[name] for name in families),
        )
        for (application, refrigerant), families in sorted(offered.items(), key=lambda item: applications[item[0][0]])
    ]
