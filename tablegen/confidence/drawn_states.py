"""The states that a valve meets at every draw: in one installation, and with properties that are off.

Solving every draw would take as long as a thousand catalogues.  The states are solved with each source two standard
deviations below and above its nominal value, all of them at once, and every figure that matters to the valve is
interpolated between them along a parabola for each source.  Over such distances the figures are nearly linear, and
nearly independent of one another: a test solves draws one by one, and finds most loads within a thousandth and all
within half a percent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from tablegen.confidence.draws import OF_SYSTEM, Draws, Scatter, Source
from tablegen.model.inputs import Application
from tablegen.model.scatter import InstallationScatter
from tablegen.physics.actuators import coil_delays
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import solve_conditions, solve_open, solve_rating
from tablegen.physics.deviation import DeviatingRefrigerant, InstallationDeviation, PropertyDeviation
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import Head, SystemInputs
from tablegen.physics.windows import load_share

# Where the parabolas meet solved states, in standard deviations.
NODE = 2.0
# Draws that are multiplied in one go.
_BLOCK = 256
NO_SCATTER = InstallationScatter()


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnState:
    """What matters to a valve in one state, arrays (1 or draws, suction temperatures); one row where no draw moves it.

    `flow_required_kv` is f / (effect at the rating point x root of the density at the inlet); the drop turns it into
    required Kv per kW.  `inlet_quality` is the vapor at the inlet, where limits may count with some.  What belongs to the
    coil in the loop with the valve is zero where too little of it is stated.
    """

    evaporating_temperature_k: Floats
    evaporating_pressure_pa: Floats
    head_pressure_pa: Floats
    inlet_pressure_pa: Floats
    outlet_pressure_pa: Floats
    liquid_bubble_pressure_pa: Floats
    inlet_quality: Floats
    load_share: Floats
    flow_required_kv: Floats
    max_superheat_k: Floats
    coil_difference_k: Floats
    dry_transfer_units: Floats
    dead_time_s: Floats
    front_lag_s: Floats
    wall_lag_s: Floats
    wall_lead_s: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class StateResponse:
    """The nominal figures of one state, and how each source's standard normal draw moves them.

    `coefficients` is an array (1 + 2 sources, fields of `DrawnState`, suction temperatures): nominal figures, then the
    slope of each source, then the curvature of each.  `inlet_vapor` is the vapor that limits may count with [1].
    """

    item: SolvedState
    critical_pressure_pa: float
    sources: tuple[Source, ...]
    coefficients: Floats
    inlet_vapor: float = 0.0

    def at(self, draws: Draws) -> DrawnState:
        """The figures at each draw."""
        terms = draws.terms(self.sources)
        is_moved = np.any(self.coefficients[1:] != 0.0, axis=2) & terms.is_drawn[:, None]
        made = {}
        for i, figure in enumerate(fields(DrawnState)):
            middle, moved, some = self.coefficients[:1, i], self.coefficients[1:, i], is_moved[:, i]
            value = middle + _product(terms.of(some), moved[some]) if some.any() else middle
            for j, source in enumerate(self.sources):
                slope, curvature = moved[j], moved[len(self.sources) + j]
                if source in draws.along and (slope.any() or curvature.any()):
                    z = draws.along[source]
                    value = value + (slope * z + curvature * z**2)
            made[figure.name] = value
        return DrawnState(**made)

    def at_row(self, row: int) -> StateResponse:
        """The same at one suction temperature."""
        item = self.item.at(np.array([row]))
        return replace(self, item=item, coefficients=self.coefficients[:, :, row : row + 1])


def _product(terms: Floats, moved: Floats) -> Floats:
    """The product of both, in blocks for which the library of linear algebra starts no threads: these cost more."""
    count, columns = terms.shape
    blocks = terms.reshape(-1, _BLOCK if count % _BLOCK == 0 else count, columns)
    return np.asarray(blocks @ moved).reshape(count, -1)


def state_responses(
    refrigerant: Refrigerant,
    application: Application,
    solved: Sequence[SolvedState],
    rated: State,
    scatter: Scatter,
    open_share: float = 1.0,
) -> tuple[StateResponse, ...]:
    """The figures of every solved state, and how the system's scatter moves them.

    Parameters
    ----------
    refrigerant : Refrigerant
    application : Application
    solved : sequence of SolvedState
        The nominal states, along the application's suction grid: those of `solve_conditions`, or with an open share below 1
        those of `solve_open`.
    rated : State
        The rating point, along the same grid.
    scatter : mapping
        Standard deviations by source, see `system_scatter`.
    open_share : float, optional
        Share of time in which a pulse-modulated valve passes the flow [1].

    Returns
    -------
    tuple of StateResponse
        One for each solved state.
    """
    sources = tuple(source for source in OF_SYSTEM if source in scatter)
    system = application.systems[refrigerant.name]
    vapor = system.feed.inlet_vapor
    middle = [_figures(item, rated, system) for item in solved]
    if not sources:
        return tuple(
            StateResponse(
                item=item,
                critical_pressure_pa=refrigerant.critical_pressure_pa,
                sources=(),
                coefficients=own[None],
                inlet_vapor=vapor,
            )
            for item, own in zip(solved, middle, strict=True)
        )
    ends = _solved_ends(refrigerant, application, scatter, sources, open_share)
    made = []
    for item, own, (low, high) in zip(solved, middle, ends, strict=True):
        slope, curvature = (high - low) / (2.0 * NODE), (high + low - 2.0 * own) / (2.0 * NODE**2)
        # Where one end is outside the compressor's map or the properties' range, the other's slope is used for both.
        one = np.where(np.isfinite(high), high - own, own - low) / NODE
        is_whole = np.isfinite(slope)
        slope, curvature = np.where(is_whole, slope, one), np.where(is_whole, curvature, 0.0)
        coefficients = np.concatenate([own[None], slope, curvature])
        made.append(
            StateResponse(
                item=item,
                critical_pressure_pa=refrigerant.critical_pressure_pa,
                sources=sources,
                coefficients=coefficients,
                inlet_vapor=vapor,
            )
        )
    return tuple(made)


def _solved_ends(
    refrigerant: Refrigerant,
    application: Application,
    scatter: Scatter,
    sources: Sequence[Source],
    open_share: float,
) -> list[tuple[Floats, Floats]]:
    """Figures of every state at the low and the high end of each source, arrays (sources, fields, temperatures)."""
    rows = application.sst_k.size
    # Each source first at its low, then at its high end, all suction temperatures at once.
    apart = np.zeros((len(sources), 2, len(sources)))
    for i in range(len(sources)):
        apart[i, :, i] = -NODE, NODE
    along = np.repeat(apart.reshape(-1, len(sources)), rows, axis=0)

    def off(source: Source) -> float | Floats:
        return scatter[source] * along[:, sources.index(source)] if source in sources else 0.0

    stated, own = application.systems[refrigerant.name], application.scatter.get(refrigerant.name, NO_SCATTER)
    shares = PropertyDeviation(off(Source.PRESSURE), off(Source.DENSITY), off(Source.ENTHALPY))
    installation = InstallationDeviation(
        low_head_pa=_head_off(stated.low_head.head, refrigerant, off(Source.LOW_HEAD), own.low_head_k > 0.0),
        high_head_pa=_head_off(stated.high_head.head, refrigerant, off(Source.HIGH_HEAD), own.high_head_k > 0.0),
        subcooling_k=off(Source.INLET_SUBCOOLING),
        liquid_line_pa=off(Source.LIQUID_LINE),
        distributor_pa=off(Source.DISTRIBUTOR),
        flow_change=off(Source.FLOW_CHANGE),
        conductance_ratio=off(Source.CONDUCTANCE_RATIO),
        dryout_delay=off(Source.DRYOUT_DELAY),
    )
    fluid, sst_k = DeviatingRefrigerant(refrigerant, shares), np.tile(application.sst_k, 2 * len(sources))
    if open_share == 1.0:
        rated, solved = solve_conditions(fluid, stated, sst_k, installation)
    else:
        rated = solve_rating(fluid, stated, sst_k, installation)
        solved = solve_open(fluid, stated, sst_k, rated, open_share, installation)
    found = []
    for item in solved:
        at = _figures(item, rated, stated).reshape(len(fields(DrawnState)), len(sources), 2, rows)
        found.append((np.moveaxis(at[:, :, 0], 0, 1), np.moveaxis(at[:, :, 1], 0, 1)))
    return found


def _head_off(head: Head, refrigerant: Refrigerant, off: float | Floats, is_temperature: bool) -> float | Floats:
    """What is added to a head [Pa] that is off by a pressure [Pa] or a temperature [K]."""
    if not is_temperature:
        return off
    return head.pressures(refrigerant, off) - head.pressures(refrigerant)


def _figures(item: SolvedState, rated: State, system: SystemInputs) -> Floats:
    """What matters to a valve in a state, (fields of `DrawnState`, states)."""
    state, counts_vapor = item.state, system.feed.inlet_vapor > 0.0
    # Where flashing is refused the liquid's own density changes smoothly through the bubble point, as a parabola needs.
    density = state.inlet_density_kg_m3 if counts_vapor else state.liquid_density_kg_m3
    coil = coil_delays(state)
    of_coil: tuple[Floats, ...] = (
        coil.difference_k,
        coil.sensitivity,
        coil.dead_time_s,
        coil.front_lag_s,
        coil.wall_lag_s,
        coil.wall_lead_s,
    )
    if system.circuit is None:
        of_coil = (np.zeros_like(state.flow_share),) * len(of_coil)
    return np.stack(
        [
            state.evaporating_temperature_k,
            state.evaporating_pressure_pa,
            state.head_pressure_pa,
            state.inlet_pressure_pa,
            state.outlet_pressure_pa,
            state.liquid_bubble_pressure_pa,
            state.inlet_quality if counts_vapor else np.zeros_like(state.inlet_quality),
            load_share(item),
            state.flow_share / (rated.rating_effect_j_kg * np.sqrt(density)),
            system.superheat.maximum(state),
            *of_coil,
        ]
    )
