"""Solve one refrigerant in one application, and the window of a family in it: what sweeps and single cases share."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from tablegen.model.inputs import Application, Family, PowerElement
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import solve_conditions, solve_open
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw
from tablegen.physics.operating import effective_drop, required_kv_per_watt
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import OperatingCondition, SystemInputs
from tablegen.physics.windows import Valve, Window, no_window, stricter, window

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Law:
    """A flow law with what it needs: pressure recovery factor of the choked law (else NaN), discharge coefficient.

    `duties` are the maximum duties [1] of the pulse-modulated valves that it is asked for.
    """

    law: FlowLaw
    pressure_recovery: float
    discharge: DischargeCoefficient | None = None
    duties: tuple[float, ...] = ()

    @property
    def key(self) -> tuple[str, str, str]:
        """A hashable key; NaN is not equal to itself."""
        return self.law.value, repr(self.pressure_recovery), repr(self.discharge)

    def effective_drop(self, state: State, refrigerant: Refrigerant) -> Floats:
        """Pressure drop that drives the flow at each state [Pa]; NaN outside the law's range."""
        return effective_drop(state, refrigerant, self.law, self.pressure_recovery, self.discharge)

    def required_kv(self, item: SolvedState, rated: State, refrigerant: Refrigerant) -> Floats:
        """D of each state [m3/h per W]; NaN where it has a reason, or is outside the law's range."""
        return required_kv_per_watt(item, rated, refrigerant, self.law, self.pressure_recovery, self.discharge)


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The solved states of one refrigerant in one application, and the required Kv under each flow law asked for."""

    refrigerant: Refrigerant
    application: Application
    rated: State
    states: tuple[SolvedState, ...]
    required_kvs: dict[tuple[str, str, str], tuple[Floats, ...]]
    _made: dict[Hashable, Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """What was made under a key, made the first time: families whose valves are equal share what follows."""
        if key not in self._made:
            self._made[key] = make()
        found: T = self._made[key]
        return found

    def opened(self, open_share: float) -> tuple[SolvedState, ...]:
        """The states at the open flow of a pulse-modulated valve of a maximum duty [1]; none at 1."""
        if open_share == 1.0:
            return ()
        sst_k = self.application.sst_k
        return self.once(
            ("open", open_share),
            lambda: tuple(solve_open(self.refrigerant, self.system, sst_k, self.rated, open_share)),
        )

    def states_of(self, valve: Valve, law: Law) -> list[tuple[SolvedState, Floats]]:
        """Every state that limits a valve's load, with D [m3/h per W]: those at its open flow come last."""
        return list(zip(self.states, self.required_kvs[law.key], strict=True)) + self.opened_of(valve.open_share, law)

    def opened_of(self, open_share: float, law: Law) -> list[tuple[SolvedState, Floats]]:
        """The states of `opened`, with D [m3/h per W]."""
        states = self.opened(open_share)
        required_kvs = self.once(
            ("open", open_share, law.key),
            lambda: [law.required_kv(s, self.rated, self.refrigerant) for s in states],
        )
        return list(zip(states, required_kvs, strict=True))

    def opened_at(self, condition: OperatingCondition, valve: Valve, law: Law) -> tuple[SolvedState, Floats] | None:
        """Of a pulse-modulated valve the state at its open flow that belongs to one of `at_full_flow`, with D [m3/h per W]."""
        first = self.states[0].response
        found = self.opened_of(valve.open_share, law)
        return next((own for own in found if own[0].condition is condition and own[0].response is first), None)

    @property
    def system(self) -> SystemInputs:
        """What the application states for the refrigerant."""
        return self.application.systems[self.refrigerant.name]

    def smallest_maximum_k(self, row: int) -> float:
        """The smallest maximum superheat [K] of the operating conditions at full flow, at a suction temperature."""
        states = (self.states[index].state for index in self.at_full_flow().values())
        return min(float(self.system.superheat.maximum(state)[row]) for state in states)

    def under(self, application: Application) -> Solved | None:
        """The same states in an application that differs in superheat limits alone, at the same suction temperatures.

        None where its states are others: the useful superheat bears on them, the limits on openings only.
        """
        other = application.systems[self.refrigerant.name]
        limits = replace(self.system.superheat, useful_k=other.superheat.useful_k)
        is_same = replace(other, superheat=limits) == self.system
        return replace(self, application=application) if is_same else None

    def at_full_flow(self) -> dict[OperatingCondition, int]:
        """Indices in `states` of full flow under the first suction response, constant SST where it was solved."""
        first = self.states[0].response
        return {s.condition: i for i, s in enumerate(self.states) if s.side.serves_max and s.response is first}


def solve(refrigerant: Refrigerant, application: Application, laws: Iterable[Law]) -> Solved:
    """Solve one refrigerant in one application."""
    system = application.systems[refrigerant.name]
    rated, states = solve_conditions(refrigerant, system, application.sst_k)
    required_kvs = {law.key: tuple(law.required_kv(s, rated, refrigerant) for s in states) for law in laws}
    return Solved(
        refrigerant=refrigerant, application=application, rated=rated, states=tuple(states), required_kvs=required_kvs
    )


def law_of(family: Family) -> Law:
    """The flow law of a family."""
    shares = {element.actuator.open_share for part in family.by_design() for element in part.elements}
    return Law(family.flow_law, family.pressure_recovery, family.discharge, tuple(sorted(shares - {1.0})))


def laws_of(families: Iterable[Family]) -> list[Law]:
    """The flow laws of some families, each once."""
    found: dict[tuple[str, str, str], Law] = {}
    for law in map(law_of, families):
        known = found.get(law.key, law)
        found[law.key] = replace(known, duties=tuple(sorted({*known.duties, *law.duties})))
    return list(found.values())


def unit_window(family: Family, solved: Solved, fitted: PowerElement | None = None) -> tuple[str, Valve | None, Window]:
    """Charge name, valve and the window per m3/h of rated Kv; one narrowed window where the stricter is wanted.

    `fitted` is the power element of an existing valve, whatever it is meant for; without it the family's for the refrigerant.
    """
    application = solved.application
    element = fitted or family.element_for(solved.refrigerant.name, application.temperature_range)
    if element is None:
        return "", None, no_window(application.sst_k.shape, Reason.NO_CHARGE)
    valve = family.valve(element, application.site_pressure_pa)
    law = law_of(family)
    return element.name, valve, solved.once((valve, law.key), lambda: _window(valve, law, solved))


def _window(valve: Valve, law: Law, solved: Solved) -> Window:
    superheat, windows = solved.system.superheat, []
    for response in solved.system.responses:
        own = [(item, required_kv) for item, required_kv in solved.states_of(valve, law) if item.response is response]
        windows.append(window(valve, [item for item, _ in own], [required_kv for _, required_kv in own], superheat))
    return windows[0] if len(windows) == 1 else stricter(windows[0], windows[1])
