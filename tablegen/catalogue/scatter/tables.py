"""Confident limits where tables and picks take them: beside the nominal windows, or in their place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from tablegen.catalogue.inputs import Catalogue, Confidence, Family, Trim
from tablegen.catalogue.scatter.confidence import (
    Limits,
    ScatteredValve,
    Uncertain,
    confident_limits,
    scattered_valve,
    system_of,
)
from tablegen.catalogue.scatter.draws import normal_draws
from tablegen.catalogue.scatter.system import Felt, Parabolas
from tablegen.catalogue.solving import Solved
from tablegen.physics.reasons import Reason
from tablegen.physics.windows import Window


@dataclass(slots=True)
class Scattered:
    """What a catalogue says of scatter; states are solved once for all families."""

    confidence: Confidence
    known: Uncertain
    _systems: dict[int, tuple[Solved, tuple[Parabolas, ...], tuple[Felt, ...]]] = field(default_factory=dict)

    @property
    def is_printed(self) -> bool:
        """Whether the tables hold at the confidence."""
        return self.confidence.is_printed

    def __reduce__(self) -> tuple[Any, ...]:
        # What is solved once for all families is large and soon had again: it does not go with it elsewhere.
        return Scattered, (self.confidence, self.known)

    def about(self, refrigerant: str, families: Iterable[Family]) -> tuple[Confidence, Uncertain]:
        """What of it bears on the limits of some families on a refrigerant."""
        names = {refrigerant, *(trim.setting_refrigerant for family in families for trim in family.trims)}
        known = self.known
        return self.confidence, Uncertain(
            {name: known.uncertainty[name] for name in sorted(names) if name in known.uncertainty},
            {name: known.settings[name] for name in sorted(names) if name in known.settings},
        )

    def valve(self, family: Family, solved: Solved, fitted: Trim | None = None) -> ScatteredValve | None:
        """A family on a refrigerant, ready to be drawn; None where it has no charge for it.

        `fitted` is the trim of an existing valve, as in `unit_window`.
        """
        trim = fitted or family.trim_for(solved.refrigerant.name, solved.application.application)
        if trim is None:
            return None
        return scattered_valve(self.known, family, trim, solved, self._system(solved)[0])

    def limits(self, family: Family, solved: Solved, fitted: Trim | None = None) -> Mapping[str, Limits]:
        """The limits at the confidence by size, for each m3/h of rated Kv; empty where the family has no charge."""
        valve = self.valve(family, solved, fitted)
        return {} if valve is None else confident_limits(valve, self.confidence, self._system(solved)[1])

    def _system(self, solved: Solved) -> tuple[tuple[Parabolas, ...], tuple[Felt, ...]]:
        """The states' parabolas, and their figures at the draws of the confidence."""
        # By identity, and kept with it, so that another may not come to have the same one.
        if id(solved) not in self._systems:
            system = system_of(self.known, solved)
            draws = normal_draws(self.confidence.samples, self.confidence.seed)
            self._systems[id(solved)] = solved, system, tuple(state.at(draws) for state in system)
        _, system, felt = self._systems[id(solved)]
        return system, felt


def scattered_in(catalogue: Catalogue) -> Scattered | None:
    """What a catalogue says of scatter; None where it says nothing."""
    if catalogue.confidence is None:
        return None
    return Scattered(catalogue.confidence, Uncertain(catalogue.uncertainty, catalogue.settings))


def printed_window(unit: Window, limits: Limits | None, is_confident: bool) -> Window:
    """The window for each m3/h of rated Kv that a table prints: nominal, or narrowed to its confident limits.

    Where these cross or a draw in the tail holds no load at all, the window is empty by `Reason.CONFIDENCE`.
    """
    if limits is None or not is_confident:
        return unit
    is_open = unit.is_open & (limits.least < limits.greatest)
    lost = unit.is_open & ~is_open
    return replace(
        unit,
        min_load_w=np.where(is_open, limits.least, np.nan),
        max_load_w=np.where(is_open, limits.greatest, np.nan),
        min_reason=_where(lost, unit.min_reason),
        max_reason=_where(lost, unit.max_reason),
    )


def _where(lost: Any, reasons: Any) -> Any:
    found = reasons.copy()
    found[lost] = Reason.CONFIDENCE
    return found
