"""Limits at confidence where tables and picks take them: beside the nominal windows, or in their place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from tablegen.confidence.confidence import (
    Limits,
    ScatteredValve,
    Uncertain,
    confident_limits,
    scattered_valve,
    system_of,
    two_level_draws,
)
from tablegen.confidence.draws import Source
from tablegen.confidence.system import Felt, Parabolas
from tablegen.model.inputs import Catalogue, Confidence, Family, PowerElement
from tablegen.model.solving import Solved
from tablegen.physics.reasons import Reason
from tablegen.physics.windows import Window


@dataclass(slots=True)
class Scattered:
    """What a catalogue says of scatter; states are solved once for all families."""

    confidence: Confidence
    known: Uncertain
    _systems: dict[int, tuple[Solved, tuple[Parabolas, ...]]] = field(default_factory=dict)
    # Figures at the draws, by what its valves share, of the system last asked for alone, for they take space.
    _felt: tuple[Solved, dict[tuple[Source, ...], tuple[Felt, ...]]] | None = None

    @property
    def is_printed(self) -> bool:
        """Whether the tables hold at the confidence."""
        return self.confidence.is_printed

    def __reduce__(self) -> tuple[Any, ...]:
        # What is solved once for all families is large and soon had again: it does not go with it elsewhere.
        return Scattered, (self.confidence, self.known)

    def about(self, refrigerant: str, families: Iterable[Family]) -> tuple[Confidence, Uncertain]:
        """What of it bears on the limits of some families on a refrigerant."""
        names = {refrigerant, *(element.setting_refrigerant for family in families for element in family.elements)}
        known = self.known
        return self.confidence, Uncertain(
            {name: known.uncertainty[name] for name in sorted(names) if name in known.uncertainty},
            {name: known.settings[name] for name in sorted(names) if name in known.settings},
        )

    def valve(self, family: Family, solved: Solved, fitted: PowerElement | None = None) -> ScatteredValve | None:
        """A family on a refrigerant, ready to be drawn; None where it has no charge for it.

        `fitted` is the power element of an existing valve, as in `unit_window`.
        """
        element = fitted or family.element_for(solved.refrigerant.name, solved.application.temperature_range)
        if element is None:
            return None
        # By identity, and kept with it, so that another may not come to have the same one.
        if id(solved) not in self._systems:
            self._systems[id(solved)] = solved, system_of(self.known, solved)
        return scattered_valve(self.known, family, element, solved, self._systems[id(solved)][1])

    def limits(self, family: Family, solved: Solved, fitted: PowerElement | None = None) -> Mapping[str, Limits]:
        """The limits at confidence by size, for each m3/h of rated Kv; empty where the family has no charge."""
        valve = self.valve(family, solved, fitted)
        if valve is None:
            return {}
        spreads = confident_limits(valve, self.confidence, self._felt_at(valve))
        return {name: spread.confident for name, spread in spreads.items()}

    def _felt_at(self, valve: ScatteredValve) -> tuple[Felt, ...]:
        """The figures of the states at the draws of the confidence."""
        # In one name: another thread may put another system in its place meanwhile.
        last = self._felt
        if last is None or last[0] is not valve.solved:
            last = self._felt = valve.solved, {}
        if valve.shared not in last[1]:
            draws = two_level_draws(self.confidence.samples, self.confidence.seed, valve.shared)
            last[1][valve.shared] = valve.felt(draws)
        return last[1][valve.shared]


def scattered_in(catalogue: Catalogue) -> Scattered | None:
    """What a catalogue says of scatter; None where it says nothing."""
    if catalogue.confidence is None:
        return None
    return Scattered(catalogue.confidence, Uncertain(catalogue.uncertainty, catalogue.settings))


def printed_window(unit: Window, limits: Limits | None, is_confident: bool) -> Window:
    """The window for each m3/h of rated Kv that a table prints: nominal, or narrowed to its confident limits.

    Where these cross or a draw in the tail covers no load at all, the window is empty by `Reason.CONFIDENCE`.
    """
    if limits is None or not is_confident:
        return unit
    is_open = unit.is_open & (limits.min_load < limits.max_load)
    lost = unit.is_open & ~is_open
    return replace(
        unit,
        min_load_w=np.where(is_open, limits.min_load, np.nan),
        max_load_w=np.where(is_open, limits.max_load, np.nan),
        min_reason=_where(lost, unit.min_reason),
        max_reason=_where(lost, unit.max_reason),
    )


def _where(lost: Any, reasons: Any) -> Any:
    found = reasons.copy()
    found[lost] = Reason.CONFIDENCE
    return found
