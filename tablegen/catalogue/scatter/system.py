"""What a system asks of its valve when the refrigerant's properties are off.

Solving every draw would take as long as a thousand catalogues.  The states are solved at two deviations of each
property either way, and every figure that the valve feels is taken between them along a parabola for each property. 
Properties are uncertain by a few percent, over which the figures are so nearly straight that the error is far below the
scatter itself (a test solves corners anew).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from tablegen.catalogue.inputs import Application
from tablegen.catalogue.registry import PropertyUncertainty
from tablegen.catalogue.scatter.draws import COVERAGE, Draws, Source
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import SolvedState, State, solve_conditions
from tablegen.physics.deviation import DeviatingRefrigerant, PropertyDeviation
from tablegen.physics.refrigerants import Refrigerant

# Where the parabolas are pinned, in standard deviations.
_NODE = 2.0
_PROPERTIES = {Source.PRESSURE: "pressure", Source.DENSITY: "density", Source.ENTHALPY: "enthalpy"}


@dataclass(frozen=True, slots=True)
class Felt:
    """What a valve feels of one state, arrays (suction temperatures) or (draws, suction temperatures).

    `flow_demand` is f / (effect at the rating x root of the liquid's density), from which port demand follows by the
    drop.
    """

    evaporating_temperature_k: Floats
    evaporating_pressure_pa: Floats
    inlet_pressure_pa: Floats
    outlet_pressure_pa: Floats
    liquid_bubble_pressure_pa: Floats
    load_share: Floats
    flow_demand: Floats


@dataclass(frozen=True, slots=True)
class Parabolas:
    """The figures of one state as they are, and their slope and bend for each property's standard normal draw."""

    item: SolvedState
    critical_pressure_pa: float
    middle: Felt
    slopes: dict[Source, Felt]
    bends: dict[Source, Felt]

    def at(self, draws: Draws) -> Felt:
        """The figures at each draw, (n, suction temperatures)."""
        made = {}
        for field in fields(Felt):
            middle = getattr(self.middle, field.name)
            value = np.repeat(middle[None, :], draws.count, axis=0)
            for source in _PROPERTIES:
                z = draws.of(source)[:, None]
                value += getattr(self.slopes[source], field.name) * z + getattr(self.bends[source], field.name) * z**2
            made[field.name] = value
        return Felt(**made)


def parabolas(
    refrigerant: Refrigerant, application: Application, solved: Sequence[SolvedState], rated: State,
    uncertainty: PropertyUncertainty,
) -> tuple[Parabolas, ...]:  # fmt: skip
    """The figures of every solved state, and how the refrigerant's deviations move them."""
    envelope = application.envelopes[refrigerant.name]
    ends: dict[Source, tuple[list[Felt], list[Felt]]] = {}
    for source, name in _PROPERTIES.items():
        share = _NODE * getattr(uncertainty, name) / COVERAGE
        low, high = (
            solve_conditions(
                DeviatingRefrigerant(refrigerant, PropertyDeviation(**{name: sign * share})), envelope,
                application.sst_k
            )
            for sign in (-1.0, 1.0)
        )
        ends[source] = [felt(s, low[0]) for s in low[1]], [felt(s, high[0]) for s in high[1]]
    made = []
    for i, item in enumerate(solved):
        middle = felt(item, rated)
        slopes = {s: _combined(ends[s][1][i], ends[s][0][i], middle, 0.5 / _NODE, -0.5 / _NODE, 0.0) for s in ends}
        bend = 0.5 / _NODE**2
        bends = {s: _combined(ends[s][1][i], ends[s][0][i], middle, bend, bend, -2.0 * bend) for s in ends}
        made.append(Parabolas(item, refrigerant.critical_pressure_pa, middle, slopes, bends))
    return tuple(made)


def felt(item: SolvedState, rated: State) -> Felt:
    """What a valve feels of a state."""
    state = item.state
    return Felt(
        state.evaporating_temperature_k,
        state.evaporating_pressure_pa,
        state.inlet_pressure_pa,
        state.outlet_pressure_pa,
        state.liquid_bubble_pressure_pa,
        state.capacity_ratio * (state.flow_share / state.flow_ratio),
        state.flow_share / (rated.rating_effect_j_kg * np.sqrt(state.liquid_density_kg_m3)),
    )


def _combined(high: Felt, low: Felt, middle: Felt, a: float, b: float, c: float) -> Felt:
    def sum_of(name: str) -> Floats:
        return np.asarray(a * getattr(high, name) + b * getattr(low, name) + c * getattr(middle, name))

    return Felt(*(sum_of(f.name) for f in fields(Felt)))
