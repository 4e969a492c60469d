"""Sweep the head between its operating conditions: the curves of the balance graph, and limits set inside.

Between two conditions the inlet subcooling is taken as linear in head pressure (assumption).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.model.solving import Solved, law_of
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import Side, SolvedState, State, solve_along
from tablegen.physics.operating import operating_point
from tablegen.physics.reasons import Reason
from tablegen.physics.required_kv import required_kv_per_kw
from tablegen.physics.system import LiquidSupply, SuctionResponse, SystemInputs
from tablegen.physics.windows import limits
from tablegen.tables.example import Example

HEADS = 25
# Of a side that a condition has no state of its own for, whose state stands for it.
_STANDS_FOR = {
    Side.BOTH: (Side.BOTH,),
    Side.MAX: (Side.MAX, Side.BOTH),
    Side.MIN: (Side.MIN, Side.BOTH),
    Side.MIN_FULL_FLOW: (Side.MIN_FULL_FLOW, Side.BOTH, Side.MAX),
}


@dataclass(frozen=True, slots=True)
class HeadLine:
    """One side of the window under one suction response, at every head between the operating conditions.

    `heads_pa` are the heads of the conditions [Pa], ascending, `subcooling_k` the inlet subcooling at each [K],
    `step` the share of the compressor's flow [1].
    """

    side: Side
    response: SuctionResponse
    step: float
    heads_pa: tuple[float, ...]
    subcooling_k: tuple[float, ...]

    @property
    def grid_pa(self) -> Floats:
        """Heads for a curve [Pa], those of the conditions among them."""
        return np.union1d(np.linspace(self.heads_pa[0], self.heads_pa[-1], HEADS), self.heads_pa)


def head_lines(solved: Solved, row: int) -> list[HeadLine]:
    """Every line along the head at one suction temperature; at the conditions it meets the states solved there.

    The first is that of full flow under the first suction response.
    """
    system = solved.application.systems[solved.refrigerant.name]
    lines = []
    for response in system.responses:
        own = [s for s in solved.states if s.response is response]
        sides = {s.side for s in own}
        # A condition without a range has one state for both sides, whatever the others have.
        for side in [s for s in Side if s in sides - {Side.BOTH}] or list(sides):
            known: dict[float, float] = {}
            for condition in system.conditions:
                of_condition = {s.side: s.state for s in own if s.condition is condition.condition}
                state = next(of_condition[s] for s in _STANDS_FOR[side] if s in of_condition)
                known[float(state.head_pressure_pa[row])] = _subcooling(state, condition.liquid, side, row)
            heads = tuple(sorted(known))
            step = system.capacity_step if side is Side.MIN else 1.0
            lines.append(HeadLine(side, response, step, heads, tuple(known[p] for p in heads)))
    return lines


def along(solved: Solved, row: int, line: HeadLine, heads_pa: Floats) -> tuple[SolvedState, State]:
    """One suction temperature at some heads [Pa] of a line, as one state along them, and the rating beside each."""
    system = solved.application.systems[solved.refrigerant.name]
    rated = solved.rated.at(np.full(len(heads_pa), row))
    subcooling = np.interp(heads_pa, line.heads_pa, line.subcooling_k)
    item = solve_along(solved.refrigerant, system, heads_pa, subcooling, line.side, line.step, rated, line.response)
    return item, rated


def _subcooling(state: State, liquid: LiquidSupply, side: Side, row: int) -> float:
    """Inlet subcooling of a condition [K]; as stated where its state could not be solved."""
    solved = float(state.inlet_subcooling_k[row])
    if np.isfinite(solved) or liquid.temperature_k is not None:
        return solved
    return liquid.min_subcooling_k if side in (Side.BOTH, Side.MAX) else liquid.max_subcooling_k


def balance_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """Capacity of system and valve against head pressure, for the example of each printed combination.

    Beside the example's own size stands the largest that is too small, with the head below which it starves.
    """
    parts = [balance_curve(example) for example in examples]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def balance_curve(example: Example) -> pd.DataFrame:
    """The rows of one example; limits that cross at a head are kept, with the reason beside them."""
    solved, row = example.solved, example.row
    refrigerant = solved.refrigerant
    system = solved.application.systems[refrigerant.name]
    law = law_of(example.family)
    line = head_lines(solved, row)[0]
    heads = line.grid_pa
    item, own_rated = along(solved, row, line, heads)
    required_kv = required_kv_per_kw(item, own_rated, refrigerant, law.law, law.pressure_recovery)
    here = limits(example.valve, [item], [required_kv], system.superheat)
    state, kv = item.state, example.size.kv_rated_m3h
    point = operating_point(
        example.valve, item, required_kv, np.full(heads.size, example.load_w / kv), system.superheat
    )
    travel = example.valve.actuator.travel(state, system.superheat, state.capacity_ratio)
    maximum = here.max_load_w * state.capacity_ratio
    frame = pd.DataFrame(
        {
            "group": example.combination.group,
            "family": example.family.name,
            "size": example.size.name,
            "refrigerant": refrigerant.name,
            "application": solved.application.name,
            "sst_k": float(solved.application.sst_k[row]),
            "head_pressure_pa": heads,
            "head_bubble_temperature_k": state.head_bubble_temperature_k,
            "inlet_subcooling_k": np.interp(heads, line.heads_pa, line.subcooling_k),
            "flow_ratio": state.flow_ratio,
            "capacity_ratio": state.capacity_ratio,
            "load_w": example.load_w,
            "compressor_capacity_w": example.load_w * state.capacity_ratio,
            "evaporator_capacity_w": example.load_w * _evaporator(system, state, own_rated),
            "valve_max_w": maximum * kv,
            "valve_min_w": here.min_load_w * state.capacity_ratio * kv,
            "smaller_size": example.smaller.name if example.smaller else "",
            "smaller_max_w": maximum * example.smaller.kv_rated_m3h if example.smaller else np.nan,
            "opening": point.opening,
            "max_opening": travel.maximum,
            "min_opening": travel.minimum,
            "superheat_k": point.superheat_k,
            "reason": [_reason(*pair) for pair in zip(here.min_load_w, here.max_load_w, here.max_reason, strict=True)],
        }
    )
    frame["smaller_crossing_pa"] = _crossing(
        frame["head_pressure_pa"].to_numpy(),
        (frame["smaller_max_w"] - frame["compressor_capacity_w"]).to_numpy(),
    )
    return frame


def _reason(min_w: float, max_w: float, why: object) -> str:
    """Why no load suits a head, or nothing."""
    if np.isnan(max_w):
        return str(why)
    return str(Reason.CROSSED) if min_w >= max_w else ""


def _evaporator(system: SystemInputs, state: State, rated: State) -> Floats:
    """Capacity of the evaporator over the rated one: 1 where the suction is held, else by its colder surface."""
    if system.box_difference_k is None:
        return np.ones_like(state.evaporating_temperature_k)
    fallen = rated.evaporating_temperature_k - state.evaporating_temperature_k
    return np.asarray((system.box_difference_k + fallen) / system.box_difference_k)


def _crossing(head_pa: Floats, surplus_w: Floats) -> float:
    """The head [Pa] at which a surplus that grows with head passes zero, by linear interpolation; NaN if nowhere."""
    below = np.flatnonzero((surplus_w[:-1] < 0.0) & (surplus_w[1:] >= 0.0))
    if not below.size:
        return float("nan")
    i = int(below[-1])
    share = surplus_w[i] / (surplus_w[i] - surplus_w[i + 1])
    return float(head_pa[i] + share * (head_pa[i + 1] - head_pa[i]))
