"""The sweep: states per refrigerant and application, windows per family, size, refrigerant and application.

Required Kv is computed once per refrigerant, application and flow law; sizes follow by multiplication.  The work is
cut into parts that any executor of `concurrent.futures` may compute, in any order.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from dataclasses import dataclass, field, replace

import pandas as pd

from tablegen.confidence.confident_limits import Scattered
from tablegen.errors import WorkerError
from tablegen.model.inputs import Application, Catalogue, Family
from tablegen.model.solving import Solved, laws_of
from tablegen.physics.refrigerants import Refrigerant
from tablegen.sweep.compact import Filled
from tablegen.sweep.frames import Columns, joined, state_columns
from tablegen.sweep.parts import (
    FAMILIES_OF_PART,
    Inline,
    Part,
    Payload,
    Result,
    SystemPart,
    WindowCache,
    WindowPart,
    computed,
)
from tablegen.wording import command_line as wording

# Parts that an executor is given at one time: each lies in its memory until it is computed.
_MOST_PENDING = 256


@dataclass(frozen=True, slots=True)
class SweepOptions:
    """How a sweep is computed.

    Attributes
    ----------
    executor : Executor
        Any of `concurrent.futures` or one like it, on machines that are trusted, because parts and results are pickled; it
        is not shut down.
    cache : WindowCache or None
        Where the windows of finished parts are cached; None for nowhere.
    advance : callable
        Called with the name of each part when it is done.
    """

    executor: Executor = field(default_factory=Inline)
    cache: WindowCache | None = None
    advance: Callable[[str], None] = lambda _: None


@dataclass(frozen=True, slots=True)
class OfferedSystem:
    """One refrigerant in one application, and the families that are offered for it."""

    refrigerant: Refrigerant
    application: Application
    families: tuple[Family, ...]

    @property
    def name(self) -> str:
        """As a progress display shows it."""
        return f"{self.refrigerant.name} in {self.application.name}"

    @property
    def shares(self) -> list[tuple[Family, ...]]:
        """The families by parts."""
        step = FAMILIES_OF_PART
        return [self.families[i : i + step] for i in range(0, len(self.families), step)]


@dataclass(frozen=True, slots=True)
class _Task:
    """A part to compute: of which system, and for windows which share of the families, and its key in the cache."""

    part: Part
    system: int
    share: int = 0
    key: str = ""


def sweep(
    catalogue: Catalogue, options: SweepOptions, scattered: Scattered | None = None
) -> tuple[pd.DataFrame, pd.DataFrame, dict[tuple[str, str], Solved]]:
    """States and windows of the whole catalogue, whatever computes them, in the order of the catalogue.

    Parameters
    ----------
    catalogue : Catalogue
    options : SweepOptions
    scattered : Scattered, optional
        With it the limits at its confidence are given beside the nominal ones, or in their place.

    Returns
    -------
    states, windows : DataFrame
    solved : dict
        The solved systems by the names of refrigerant and application.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    WorkerError
        If a process of the executor died; what was finished is cached.
    """
    systems = systems_of(catalogue)
    found = _Found(options, scattered, systems, list(catalogue.families))
    found.complete()
    solved = found.solved()
    states = [
        state_columns(own, law, catalogue.records[system.refrigerant.name].uncertainty)
        for system, own in zip(systems, solved, strict=True)
        for law in laws_of(system.families)
    ]
    named = {(s.refrigerant.name, s.application.name): own for s, own in zip(systems, solved, strict=True)}
    return pd.DataFrame(joined(states)), found.windows(), named


class _Found:
    """The results of the parts of some systems, as far as they are done."""

    def __init__(
        self,
        options: SweepOptions,
        scattered: Scattered | None,
        systems: Sequence[OfferedSystem],
        families: Sequence[str],
    ) -> None:
        self._options, self._scattered, self._systems = options, scattered, systems
        self._parts = [SystemPart.of(s.refrigerant, s.application, tuple(laws_of(s.families))) for s in systems]
        self._solved: dict[int, Solved] = {}
        self._places, count = _places(systems, families)
        self._windows = Filled(count)

    def complete(self) -> None:
        """Compute every part; whatever was finished before an interruption is cached."""
        waiting = deque(_Task(part, i) for i, part in enumerate(self._parts))
        pending: dict[Future[Payload[Result]], _Task] = {}
        try:
            while waiting or pending:
                while waiting and len(pending) < _MOST_PENDING:
                    task = waiting.popleft()
                    future = self._options.executor.submit(computed, Payload(task.part))
                    pending[future] = task
                    if future.done():
                        break
                wait(pending, return_when=FIRST_COMPLETED)
                for future in [f for f in pending if f.done()]:
                    # Windows before other systems, so that what is solved is not in memory for long.
                    waiting.extendleft(reversed(self._take(pending.pop(future), future.result().value)))
        except BrokenExecutor as error:
            raise WorkerError(wording.PART_ENDED()) from error
        finally:
            for future in pending:
                future.cancel()

    def solved(self) -> list[Solved]:
        """Solved states of every system, in the order of the systems."""
        return [self._solved[i] for i in sorted(self._solved)]

    def windows(self) -> pd.DataFrame:
        """The windows of every part, which are used up, by family, those of one in the order of the systems."""
        return self._windows.frame()

    def _take(self, task: _Task, result: Result) -> list[_Task]:
        """Note a result; return the parts that may begin now."""
        if isinstance(result, Solved):
            return self._take_solved(task.system, result)
        if self._options.cache is not None:
            self._options.cache.write(task.key, result)
        self._have(task.system, task.share, result)
        return []

    def _take_solved(self, i: int, solved: Solved) -> list[_Task]:
        system, cache = self._systems[i], self._options.cache
        # The catalogue's own refrigerant and application, not the copies that came back.
        own = replace(solved, refrigerant=system.refrigerant, application=system.application)
        self._solved[i] = own
        tasks = []
        for j, families in enumerate(system.shares):
            part = WindowPart(own, families, self._scattered)
            key = "" if cache is None else cache.key(self._parts[i], part)
            windows = None if cache is None else cache.read(key)
            if windows is None:
                tasks.append(_Task(part, i, j, key))
            else:
                self._have(i, j, windows)
        return tasks

    def _have(self, i: int, j: int, windows: Columns) -> None:
        start = 0
        for family in self._systems[i].shares[j]:
            place = self._places[i, family.name]
            stop = start + place.stop - place.start
            self._windows.put(place, {name: values[start:stop] for name, values in windows.items()})
            start = stop
        self._options.advance(self._systems[i].name)


def _places(systems: Sequence[OfferedSystem], families: Sequence[str]) -> tuple[dict[tuple[int, str], slice], int]:
    """Where the windows of each family in each system lie in the frame, and how many rows that has."""
    offered: dict[str, list[tuple[int, int]]] = {name: [] for name in families}
    for i, system in enumerate(systems):
        for family in system.families:
            offered[family.name].append((i, len(family.sizes) * len(system.application.sst_k)))
    found, start = {}, 0
    for name, own in offered.items():
        for i, rows in own:
            found[i, name] = slice(start, start + rows)
            start += rows
    return found, start


def count_parts(catalogue: Catalogue) -> int:
    """How many times `sweep` will call `advance`."""
    return sum(len(system.shares) for system in systems_of(catalogue))


def count_systems(catalogue: Catalogue) -> int:
    """How many refrigerants there are in how many applications."""
    return len(systems_of(catalogue))


def systems_of(catalogue: Catalogue) -> list[OfferedSystem]:
    """Refrigerants by application with the families offered for each, in the order of the catalogue."""
    offered: dict[tuple[str, str], dict[str, None]] = {}
    for c in catalogue.combinations:
        for refrigerant in catalogue.groups[c.group].members:
            offered.setdefault((c.application, refrigerant), {})[c.family] = None
    applications = {name: i for i, name in enumerate(catalogue.applications)}
    return [
        OfferedSystem(
            catalogue.refrigerants[refrigerant],
            catalogue.applications[application],
            tuple(catalogue.families[name] for name in families),
        )
        for (application, refrigerant), families in sorted(offered.items(), key=lambda item: applications[item[0][0]])
    ]
