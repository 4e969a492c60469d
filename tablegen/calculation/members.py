"""The calculations of one refrigerant with one family: every state of E, and what the valve allows there."""

from __future__ import annotations

from dataclasses import dataclass

from tablegen.calculation.state_steps import head_calculation, rating_calculation
from tablegen.calculation.steps import Calculation
from tablegen.calculation.valve_steps import limit_calculation, setting_calculation
from tablegen.model.inputs import Catalogue, Family, PowerElement
from tablegen.model.solving import Solved, law_of
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import SolvedState


@dataclass(frozen=True, slots=True)
class AtState:
    """The calculations of one state of E: the system's, and the valve's for either limit."""

    item: SolvedState
    head: Calculation
    maximum: Calculation
    minimum: Calculation


@dataclass(frozen=True, slots=True)
class MemberCalculation:
    """The calculations of one refrigerant and one family along a suction grid."""

    refrigerant: str
    element: PowerElement
    rating: Calculation
    setting: Calculation
    states: tuple[AtState, ...]

    def loads(self, is_max: bool) -> list[tuple[AtState, Floats]]:
        """The states that bear on a limit, and the load for each m3/h of rated Kv [W] that each allows."""
        if is_max:
            return [(s, s.maximum.values["Q_1"]) for s in self.states if s.item.side.serves_max]
        return [(s, s.minimum.values["Q_1"]) for s in self.states]


def member_calculation(catalogue: Catalogue, solved: Solved, family: Family) -> MemberCalculation | None:
    """The calculations of a member along its suction grid; None where the family has no charge for it."""
    application, refrigerant = solved.application, solved.refrigerant
    element = family.element_for(refrigerant.name, application.temperature_range)
    if element is None:
        return None
    system = application.systems[refrigerant.name]
    rating = rating_calculation(refrigerant, system, application.sst_k, solved.rated)
    setting = setting_calculation(element, catalogue.settings.get(element.setting_refrigerant))
    states = []
    for item in solved.states:
        head = head_calculation(rating, refrigerant, system, item, law_of(family))
        limits = [
            limit_calculation(head, setting, family, element, system.superheat, is_max) for is_max in (True, False)
        ]
        states.append(AtState(item, head, *limits))
    return MemberCalculation(refrigerant.name, element, rating, setting, tuple(states))
