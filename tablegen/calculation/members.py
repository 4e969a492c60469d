"""The workings of one refrigerant with one family: every state of E, and what the valve allows there."""

from __future__ import annotations

from dataclasses import dataclass

from tablegen.calculation.states import head_working, rating_working
from tablegen.calculation.steps import Working
from tablegen.calculation.valves import limit_working, setting_working
from tablegen.model.inputs import Catalogue, Family, Trim
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import SolvedState
from tablegen.sweep.solving import Solved, law_of


@dataclass(frozen=True, slots=True)
class AtState:
    """The workings of one state of E: the system's, and the valve's for either limit."""

    item: SolvedState
    head: Working
    greatest: Working
    least: Working


@dataclass(frozen=True, slots=True)
class MemberWorking:
    """The workings of one refrigerant and one family along a suction grid."""

    refrigerant: str
    trim: Trim
    rating: Working
    setting: Working
    states: tuple[AtState, ...]

    def loads(self, is_greatest: bool) -> list[tuple[AtState, Floats]]:
        """The states that bear on a limit, and the load for each m3/h of rated Kv [W] that each allows."""
        if is_greatest:
            return [(s, s.greatest.values["Q_1"]) for s in self.states if s.item.side.serves_greatest]
        return [(s, s.least.values["Q_1"]) for s in self.states]


def member_working(catalogue: Catalogue, solved: Solved, family: Family) -> MemberWorking | None:
    """The workings of a member along its suction grid; None where the family has no charge for it."""
    application, refrigerant = solved.application, solved.refrigerant
    trim = family.trim_for(refrigerant.name, application.temperature_range)
    if trim is None:
        return None
    envelope = application.envelopes[refrigerant.name]
    rating = rating_working(refrigerant, envelope, application.sst_k, solved.rated)
    setting = setting_working(trim, catalogue.settings.get(trim.setting_refrigerant))
    states = []
    for item in solved.states:
        head = head_working(rating, refrigerant, envelope, item, law_of(family))
        limits = [
            limit_working(head, setting, family, trim, envelope.superheat, is_greatest) for is_greatest in (True, False)
        ]
        states.append(AtState(item, head, *limits))
    return MemberWorking(refrigerant.name, trim, rating, setting, tuple(states))
