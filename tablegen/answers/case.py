"""One case: a refrigerant or a group, one suction temperature, one load, one application of a catalogue."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace

import numpy as np

from tablegen.confidence.confident_limits import Scattered, printed_window, scattered_in
from tablegen.errors import RequestError, unknown
from tablegen.model.head_settings import head_faults
from tablegen.model.inputs import Application, Catalogue, Family, PowerElement, Size
from tablegen.model.offer import check_covered, unknown_refrigerant
from tablegen.model.solving import Solved, laws_of, solve, unit_window
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.windows import Window
from tablegen.wording import input_errors, offers, terms


@dataclass(frozen=True, slots=True)
class Case:
    """What is asked: `refrigerant` names one, or a group of the catalogue; suction temperature [K, dew]; load [W].

    The load is the gross capacity of the system at the application's rating point.
    """

    refrigerant: str
    sst_k: float
    load_w: float
    application: str


@dataclass(frozen=True, slots=True)
class SolvedCase:
    """A case with the states of every member at its suction temperature.

    `scattered` is what the catalogue says of scatter, where its tables are made at a confidence; None where they are
    nominal.
    """

    case: Case
    application: Application
    members: tuple[Solved, ...]
    scattered: Scattered | None = None

    def windows(
        self, family: Family, member: Solved, unit: Window, fitted: PowerElement | None = None
    ) -> dict[str, Window]:
        """The window of each size by its name, for each m3/h of rated Kv, as the tables of the catalogue have it.

        `family` is a part of one port design, `unit` its window.
        """
        if self.scattered is None:
            return {size.name: unit for size in family.sizes}
        limits = self.scattered.limits(family, member, fitted)
        return {size.name: printed_window(unit, limits.get(size.name), True) for size in family.sizes}

    def narrowing(
        self, family: Family, member: Solved, size: Size, fitted: PowerElement | None = None
    ) -> tuple[float, float]:
        """Minimum and maximum limit as the tables have them, over the nominal ones; 1 where these are nominal."""
        if self.scattered is None:
            return 1.0, 1.0
        family = family.with_design_of(size.name)
        limits = self.scattered.limits(family, member, fitted).get(size.name)
        _, _, unit = unit_window(family, member, fitted)
        if limits is None or not unit.is_open[0]:
            return 1.0, 1.0
        return float(limits.min_load[0] / unit.min_load_w[0]), float(limits.max_load[0] / unit.max_load_w[0])


class SolvedStates:
    """The solved states of the last cases, for questions that differ in the load alone; for one thread at a time."""

    def __init__(self, most: int = 0) -> None:
        self._most = most
        # With their catalogue, so that no other has its identity.
        self._found: dict[tuple[int, str, str, float], tuple[Catalogue, tuple[Solved, ...]]] = {}

    def members(
        self, catalogue: Catalogue, key: tuple[str, str, float], solved: Callable[[], tuple[Solved, ...]]
    ) -> tuple[Solved, ...]:
        """The states of a case's members, solved unless they are here."""
        if not self._most:
            return solved()
        whole = (id(catalogue), *key)
        found = self._found.pop(whole, None) or (catalogue, solved())
        self._found[whole] = found
        if len(self._found) > self._most:
            del self._found[next(iter(self._found))]
        return found[1]


_SHARED: ContextVar[SolvedStates] = ContextVar("solved", default=SolvedStates())  # noqa: B039 - it remembers nothing


@contextmanager
def sharing(states: SolvedStates) -> Iterator[None]:
    """Cases within the block find what earlier ones have solved."""
    token = _SHARED.set(states)
    try:
        yield
    finally:
        _SHARED.reset(token)


def solve_case(catalogue: Catalogue, case: Case) -> SolvedCase:
    """Solve the states of a case, exactly at its suction temperature.

    Raises
    ------
    RequestError
        If the refrigerant or the application is not in the catalogue, the load is not above zero, the suction
        temperature lies outside the application's, or a head cannot be.
    """
    names = members_of(catalogue, case.refrigerant)
    if case.application not in catalogue.applications:
        raise RequestError(unknown(input_errors.AN_APPLICATION(), case.application, catalogue.applications))
    check_covered(catalogue, case.refrigerant, case.application, case.sst_k)
    if not (np.isfinite(case.load_w) and case.load_w > 0.0):
        raise RequestError(offers.LOAD_NOT_ABOVE_ZERO(load=f"{case.load_w:g}"))
    base = catalogue.applications[case.application]
    refuse_heads(base, [catalogue.refrigerants[name] for name in names])
    application = replace(base, sst_k=np.array([case.sst_k]), example_sst_k=case.sst_k)
    laws = laws_of(catalogue.families.values())
    key = (case.refrigerant, case.application, case.sst_k)
    members = _SHARED.get().members(
        catalogue, key, lambda: tuple(solve(catalogue.refrigerants[name], application, laws) for name in names)
    )
    scattered = scattered_in(catalogue)
    return SolvedCase(case, application, members, scattered if scattered and scattered.is_printed else None)


def refuse_heads(application: Application, refrigerants: Sequence[Refrigerant]) -> None:
    """Refuse heads that a catalogue would not be allowed; the search for a setting ends where both heads are level.

    Raises
    ------
    RequestError
        If there is one.
    """
    for fault in head_faults(application, refrigerants, is_level_allowed=True):
        condition = terms.condition(fault.condition)
        if not fault.refrigerant:
            raise RequestError(
                offers.HEAD_NOT_ALLOWED(application=application.name, condition=condition, reason=fault.text)
            )
        raise RequestError(
            offers.HEAD_OF_REFRIGERANT_NOT_ALLOWED(
                application=application.name,
                condition=condition,
                refrigerant=fault.refrigerant,
                reason=fault.text,
            )
        )


def members_of(catalogue: Catalogue, name: str) -> tuple[str, ...]:
    """The refrigerants that a name stands for: one by itself, those of a group by the group's name.

    Raises
    ------
    RequestError
        If the catalogue has neither.
    """
    if name in catalogue.groups:
        return catalogue.groups[name].members
    if name in catalogue.refrigerants:
        return (name,)
    raise unknown_refrigerant(catalogue, name)
