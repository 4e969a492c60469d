"""What a system asks of its valve in one installation, and with properties that are off.

Solving every draw would take as long as a thousand catalogues.  The states are solved with each source two standard
deviations either way, all of them at once, and every figure that the valve feels is taken between them along a parabola
for each source.  Over such distances the figures are nearly straight, and nearly independent of one another: a test
solves draws anew, and finds most loads within a thousandth and the farthest within half a percent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from tablegen.confidence.draws import OF_SYSTEM, Draws, Scatter, Source
from tablegen.model.inputs import Application, InstallationScatter
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import SolvedState, State, solve_conditions
from tablegen.physics.deviation import DeviatingRefrigerant, InstallationDeviation, PropertyDeviation
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import Head

# Where the parabolas are pinned, in standard deviations.
NODE = 2.0
NO_SCATTER = InstallationScatter()


@dataclass(frozen=True, slots=True)
class Felt:
    """What a valve feels of one state, arrays (1 or draws, suction temperatures); one row where no draw moves it.

    `flow_required_kv` is f / (effect at the rating x root of the liquid's density), from which required Kv per kW follows by the
    drop.
    """

    evaporating_temperature_k: Floats
    evaporating_pressure_pa: Floats
    head_pressure_pa: Floats
    inlet_pressure_pa: Floats
    outlet_pressure_pa: Floats
    liquid_bubble_pressure_pa: Floats
    load_share: Floats
    flow_required_kv: Floats


@dataclass(frozen=True, slots=True)
class Parabolas:
    """The figures of one state as they are, and their slope and bend for each source's standard normal draw.

    `coefficients` is an array (1 + 2 sources, fields of `Felt`, suction temperatures).
    """

    item: SolvedState
    critical_pressure_pa: float
    sources: tuple[Source, ...]
    coefficients: Floats

    def at(self, draws: Draws, terms: Floats) -> Felt:
        """The figures at each draw; `terms` are `terms_of` the draws."""
        is_moved = np.any(self.coefficients[1:] != 0.0, axis=2) & np.any(terms, axis=0)[:, None]
        made = []
        for i, _ in enumerate(fields(Felt)):
            middle, moved, some = self.coefficients[:1, i], self.coefficients[1:, i], np.flatnonzero(is_moved[:, i])
            value = middle + terms[:, some] @ moved[some] if some.size else middle
            for j, source in enumerate(self.sources):
                if source in draws.along:
                    z = draws.along[source]
                    value = value + (moved[j] * z + moved[len(self.sources) + j] * z**2)
            made.append(value)
        return Felt(*made)

    def at_row(self, row: int) -> Parabolas:
        """The same at one suction temperature."""
        item = self.item.at(np.array([row]))
        return replace(self, item=item, coefficients=self.coefficients[:, :, row : row + 1])


def terms_of(draws: Draws, sources: tuple[Source, ...]) -> Floats:
    """What slopes and bends are multiplied by: the sources' draws and their squares, (draws, 2 sources)."""
    one = np.zeros((draws.count, len(sources)))
    for i, source in enumerate(sources):
        one[:, i] = draws.of(source)
    return np.concatenate([one, one**2], axis=1)


def parabolas(
    refrigerant: Refrigerant, application: Application, solved: Sequence[SolvedState], rated: State, scatter: Scatter
) -> tuple[Parabolas, ...]:
    """The figures of every solved state, and how what the system scatters by moves them."""
    sources = tuple(source for source in OF_SYSTEM if source in scatter)
    middle = [_felt(item, rated) for item in solved]
    if not sources:
        return tuple(
            Parabolas(item, refrigerant.critical_pressure_pa, (), own[None])
            for item, own in zip(solved, middle, strict=True)
        )
    ends = _solved_ends(refrigerant, application, scatter, sources)
    made = []
    for item, own, (low, high) in zip(solved, middle, ends, strict=True):
        slope, bend = (high - low) / (2.0 * NODE), (high + low - 2.0 * own) / (2.0 * NODE**2)
        # Where one end lies off the compressor's map or the properties' range, the other's slope stands for both.
        one = np.where(np.isfinite(high), high - own, own - low) / NODE
        is_whole = np.isfinite(slope)
        slope, bend = np.where(is_whole, slope, one), np.where(is_whole, bend, 0.0)
        coefficients = np.concatenate([own[None], slope, bend])
        made.append(Parabolas(item, refrigerant.critical_pressure_pa, sources, coefficients))
    return tuple(made)


def _solved_ends(
    refrigerant: Refrigerant, application: Application, scatter: Scatter, sources: Sequence[Source]
) -> list[tuple[Floats, Floats]]:
    """Figures of every state at the low and the high end of each source, arrays (sources, fields, temperatures)."""
    rows = application.sst_k.size
    # Each source first at its low, then at its high end, the suction temperatures of each in one go.
    apart = np.zeros((len(sources), 2, len(sources)))
    for i in range(len(sources)):
        apart[i, :, i] = -NODE, NODE
    along = np.repeat(apart.reshape(-1, len(sources)), rows, axis=0)

    def off(source: Source) -> Any:
        return scatter[source] * along[:, sources.index(source)] if source in sources else 0.0

    stated, own = application.systems[refrigerant.name], application.scatter.get(refrigerant.name, NO_SCATTER)
    shares = PropertyDeviation(off(Source.PRESSURE), off(Source.DENSITY), off(Source.ENTHALPY))
    heads = (
        _head_off(stated.low_head.head, refrigerant, off(Source.LOW_HEAD), own.low_head_k > 0.0),
        _head_off(stated.high_head.head, refrigerant, off(Source.HIGH_HEAD), own.high_head_k > 0.0),
    )
    installation = InstallationDeviation(
        *heads, off(Source.INLET_SUBCOOLING), off(Source.LIQUID_LINE), off(Source.DISTRIBUTOR), off(Source.FLOW_CHANGE)
    )
    rated, solved = solve_conditions(
        DeviatingRefrigerant(refrigerant, shares), stated, np.tile(application.sst_k, 2 * len(sources)), installation
    )
    found = []
    for item in solved:
        at = _felt(item, rated).reshape(len(fields(Felt)), len(sources), 2, rows)
        found.append((np.moveaxis(at[:, :, 0], 0, 1), np.moveaxis(at[:, :, 1], 0, 1)))
    return found


def _head_off(head: Head, refrigerant: Refrigerant, off: float | Floats, is_temperature: bool) -> float | Floats:
    """What is added to a head [Pa] that is off by a pressure [Pa] or by a temperature [K]."""
    if not is_temperature:
        return off
    return head.pressures(refrigerant, off) - head.pressures(refrigerant)


def _felt(item: SolvedState, rated: State) -> Floats:
    """What a valve feels of a state, (fields of `Felt`, states)."""
    state = item.state
    return np.stack(
        [
            state.evaporating_temperature_k,
            state.evaporating_pressure_pa,
            state.head_pressure_pa,
            state.inlet_pressure_pa,
            state.outlet_pressure_pa,
            state.liquid_bubble_pressure_pa,
            state.capacity_ratio * (state.flow_share / state.flow_ratio),
            state.flow_share / (rated.rating_effect_j_kg * np.sqrt(state.liquid_density_kg_m3)),
        ]
    )
