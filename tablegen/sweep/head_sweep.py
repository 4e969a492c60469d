"""A system at every head pressure between its operating conditions, and what limits the load of a valve there.

Balance graphs, the check of an existing valve and the audit between the conditions all walk the head pressure here.

Assumption: between two operating conditions the subcooling is linear in head pressure: at the valve inlet, or at the
outlet of condenser or receiver where an application states it there or counts with vapor at the inlet.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tablegen.model.solving import Law, Solved
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import solve_along, solve_settings
from tablegen.physics.operating import OperatingPoint, operating_point
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import LiquidSupply, Side, SuctionResponse
from tablegen.physics.windows import Valve, Window, limits

HEADS = 25
Rows = NDArray[np.int64]
# Of a side for which an operating condition has no state of its own, the sides whose state stands in for it.
_STANDS_IN = {
    Side.BOTH: (Side.BOTH,),
    Side.MAX: (Side.MAX, Side.BOTH),
    Side.MIN: (Side.MIN, Side.BOTH),
    Side.MIN_FULL_FLOW: (Side.MIN_FULL_FLOW, Side.BOTH, Side.MAX),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadLine:
    """One side of the window under one suction response, at every head pressure and every SST of a solved system.

    Attributes
    ----------
    side : Side
    response : SuctionResponse
    step : float
        Share of the compressor's flow [1].
    heads_pa : ndarray (conditions,)
        Head pressures of the operating conditions [Pa], ascending.
    subcooling_k : ndarray (conditions, suction temperatures)
        Subcooling at each [K].
    is_at_condenser : bool
        Whether it counts at the outlet of condenser or receiver.
    """

    side: Side
    response: SuctionResponse
    step: float
    heads_pa: Floats
    subcooling_k: Floats
    is_at_condenser: bool = False

    @property
    def grid_pa(self) -> Floats:
        """Head pressures for a curve [Pa], those of the operating conditions among them."""
        return np.union1d(np.linspace(self.heads_pa[0], self.heads_pa[-1], HEADS), self.heads_pa)

    def subcooling(self, heads_pa: Floats, rows: Rows) -> Floats:
        """Subcooling [K] at head pressures [Pa], each with its row of the suction grid: `np.interp` of each."""
        known = self.heads_pa
        if known.size == 1:
            return np.asarray(self.subcooling_k[0, rows])
        heads = np.clip(heads_pa, known[0], known[-1])
        place = np.clip(np.searchsorted(known, heads, side="right") - 1, 0, known.size - 2)
        low, high = self.subcooling_k[place, rows], self.subcooling_k[place + 1, rows]
        slope = (high - low) / (known[place + 1] - known[place])
        between = slope * (heads - known[place]) + low
        # At a condition its own figure, also where the next condition has none.
        return np.asarray(np.where(heads == known[place], low, np.where(heads == known[-1], high, between)))


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadStates:
    """States of a system along head pressures, and what follows for a valve of Kv 1 m3/h.

    Attributes
    ----------
    solved : Solved
        The system.
    rated : State
        The rating point beside each head pressure.
    items : tuple of SolvedState
        One for each line or corner, arrays along the head pressures.
    open_items : callable
        From a maximum duty [1] to the items of the maximum load at the open flow of a pulse-modulated valve.
    """

    solved: Solved
    rated: State
    items: tuple[SolvedState, ...]
    open_items: Callable[[float], tuple[SolvedState, ...]]
    _opened: dict[float, tuple[SolvedState, ...]] = field(default_factory=dict, init=False, repr=False, compare=False)

    def opened(self, valve: Valve) -> tuple[SolvedState, ...]:
        """The items at the open flow of a pulse-modulated valve; none for another valve."""
        if valve.open_share == 1.0:
            return ()
        if valve.open_share not in self._opened:
            self._opened[valve.open_share] = self.open_items(valve.open_share)
        return self._opened[valve.open_share]

    def limits(self, valve: Valve, law: Law) -> Window:
        """Minimum and maximum load [W] at each head pressure by itself, also where they cross.

        Returns
        -------
        Window
            NaN, with the reason, where the valve cannot operate.
        """
        superheat, items = self.solved.system.superheat, self.items + self.opened(valve)
        return limits(valve, items, [self._required_kv(item, law) for item in items], superheat)

    def operating_point(self, valve: Valve, law: Law, load_w: float) -> OperatingPoint:
        """Opening, superheat and zone at a load [W], in the first of the states."""
        return self.operating_points(valve, law, np.array([load_w]))

    def operating_points(self, valve: Valve, law: Law, loads_w: Floats) -> OperatingPoint:
        """The same at several loads [W], one below the other; arrays (loads x head pressures,)."""
        item, count = self.items[0], loads_w.size
        required_kv = self._required_kv(item, law)
        loads = np.repeat(loads_w, required_kv.size)
        opened = next(((own, self._required_kv(own, law)) for own in self.opened(valve)), None)
        if count > 1:
            along = np.tile(np.arange(required_kv.size), count)
            item, required_kv = item.at(along), required_kv[along]
            opened = None if opened is None else (opened[0].at(along), opened[1][along])
        return operating_point(valve, item, required_kv, loads, self.solved.system.superheat, opened)

    def _required_kv(self, item: SolvedState, law: Law) -> Floats:
        return law.required_kv(item, self.rated, self.solved.refrigerant)


def head_lines(solved: Solved, open_share: float = 1.0) -> tuple[HeadLine, ...]:
    """Every line along the head pressure; at the operating conditions it meets the states solved there.

    The first is that of full flow under the first suction response. With an open share below 1 they meet the states at the
    open flow of a pulse-modulated valve.
    """
    system, states = solved.system, solved.states if open_share == 1.0 else solved.opened(open_share)
    is_at_condenser = system.feed.inlet_vapor > 0.0 or any(c.liquid.is_at_condenser for c in system.conditions)
    lines = []
    for response in system.responses:
        own = [s for s in states if s.response is response]
        sides = {s.side for s in own}
        # A condition without a range has one state for both sides, whatever the others have.
        for side in [s for s in Side if s in sides - {Side.BOTH}] or list(sides):
            known: dict[float, Floats] = {}
            for condition in system.conditions:
                of_condition = {s.side: s.state for s in own if s.condition is condition.condition}
                state = next(of_condition[s] for s in _STANDS_IN[side] if s in of_condition)
                known[float(state.head_pressure_pa[0])] = _subcooling(state, condition.liquid, side, is_at_condenser)
            heads = sorted(known)
            lines.append(
                HeadLine(
                    side=side,
                    response=response,
                    step=system.capacity_step if side is Side.MIN else 1.0,
                    heads_pa=np.array(heads),
                    subcooling_k=np.array([known[head] for head in heads]),
                    is_at_condenser=is_at_condenser,
                )
            )
    return tuple(lines)


def states_along(solved: Solved, lines: Sequence[HeadLine], heads_pa: Floats, rows: Rows | int = 0) -> HeadStates:
    """States of some lines at head pressures [Pa], each with its row of the suction grid.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    """
    rows = np.broadcast_to(rows, heads_pa.shape)
    rated = solved.rated.at(rows)

    def along(line: HeadLine, open_share: float) -> SolvedState:
        return solve_along(
            solved.refrigerant,
            solved.system,
            heads_pa,
            line.subcooling(heads_pa, rows),
            line.side,
            line.step,
            rated,
            line.response,
            line.is_at_condenser,
            open_share,
        )

    def opened(open_share: float) -> tuple[SolvedState, ...]:
        responses = {line.response for line in lines if line.side.serves_max}
        own = solved.once(("open lines", open_share), lambda: head_lines(solved, open_share))
        return tuple(along(line, open_share) for line in own if line.response in responses)

    return HeadStates(solved=solved, rated=rated, items=tuple(along(line, 1.0) for line in lines), open_items=opened)


def states_at_settings(solved: Solved, heads_pa: Floats) -> HeadStates:
    """States of the low head at other settings of it [Pa], with its liquid as stated, in the first row.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    """
    rated = solved.rated.at(np.zeros(heads_pa.size, dtype=np.int64))
    system = solved.system

    def items(open_share: float) -> tuple[SolvedState, ...]:
        return tuple(
            item
            for response in system.responses
            for item in solve_settings(
                solved.refrigerant, system, system.low_head, heads_pa, rated, response, open_share
            )
        )

    return HeadStates(solved=solved, rated=rated, items=items(1.0), open_items=items)


def _subcooling(state: State, liquid: LiquidSupply, side: Side, is_at_condenser: bool) -> Floats:
    """Subcooling of an operating condition [K]; as stated where its state could not be solved."""
    own = state.condenser_subcooling_k if is_at_condenser else state.inlet_subcooling_k
    if liquid.temperature_k is not None or liquid.is_at_condenser != is_at_condenser:
        return own
    stated = liquid.min_subcooling_k if side in (Side.BOTH, Side.MAX) else liquid.max_subcooling_k
    return np.where(np.isfinite(own), own, stated)
