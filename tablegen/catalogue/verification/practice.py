"""Facts of the trade as bands: what every walk-in does when its head moves, and which refrigerants share a table.

They are held on one plain walk-in with clearance compressor, without losses, at the rating points of coolers and
freezers, so that nothing in a catalogue's own envelopes bears on them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from tablegen.catalogue.verification.check import UNITS, Check
from tablegen.physics.arrays import Floats
from tablegen.physics.compressor import ClearanceCompressor
from tablegen.physics.conditions import SolvedState, solve_conditions
from tablegen.physics.demand import port_demand
from tablegen.physics.envelope import (
    Basis,
    DistributorScaling,
    Envelope,
    Extreme,
    Head,
    HeadCondition,
    LiquidSupply,
    Losses,
    SuctionResponse,
    SuperheatLimits,
)
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant

COMMON_PRACTICE = "common practice"
_SUBJECT = "facts of the trade"
_DEGF = UNITS["F"]
_SST_F = (25.0, -20.0)
_LOW_F, _RATED_F, _HIGH_F = 70.0, 105.0, 115.0
_SUBCOOLING_K = 9.0 * _DEGF.scale
# The articles say 5 to 9 %; a published table of R134a at -10 degC reaches 9.1 %.
_LOSS_SOURCE = "Capacity lost to 10 degF more of condensing temperature, trade articles"
_FLOATING_SOURCE = "Floating head pressure: what compressor capacity gains valve capacity loses"
_GROUP_SOURCE = "Refrigerants that share tables, by the spread of port demand at 70, 105 and 115 degF condensing"
_BAND = "a band, counted from its middle"
# Groups that tables of the trade have in common, and the most that their members' ports may differ by [percent]:
# about a tenth, the least reserve that sizing leaves; for the second group about twice that.
GROUPS = ((("R404A", "R507A"), 10), (("R407A", "R407F", "R448A", "R449A"), 20))
OF_WALK_INS = ("R22", "R134a", "R404A", "R407A", "R407C", "R407F", "R448A", "R449A", "R507A", "R513A")


@dataclass(frozen=True, slots=True)
class _Walkin:
    """One refrigerant at both suction temperatures: states and port demand by condition."""

    states: Mapping[Extreme, SolvedState]
    demands: Mapping[Extreme, Floats]


def practice_checks(refrigerants: Mapping[str, Refrigerant]) -> list[Check]:
    """Every band for the refrigerants that walk-ins are filled with, and for the groups that are whole."""
    solved = {name: _walkin(refrigerants[name]) for name in OF_WALK_INS if name in refrigerants}
    found = [check for name, walkin in solved.items() for check in _of_one(name, walkin)]
    whole = [(names, most) for names, most in GROUPS if set(names) <= set(solved)]
    return [*found, *(check for names, most in whole for check in _of_group(names, most, solved))]


def _of_one(name: str, walkin: _Walkin) -> Iterator[Check]:
    # Of a freezer the bands are not known to hold: its pressure ratio is beyond what one stage of clearance tells well.
    at = f"SST {_SST_F[0]:g} degF"
    capacity = {extreme: float(solved.state.capacity_ratio[0]) for extreme, solved in walkin.states.items()}
    higher = f"{at}, {_RATED_F:g} to {_HIGH_F:g} degF"
    lost = 1.0 - capacity[Extreme.HIGH_HEAD]
    yield _band(name, "compressor loss", higher, _LOSS_SOURCE, (5, 10), lost)
    floated = f"{at}, {_RATED_F:g} to {_LOW_F:g} degF"
    gained = capacity[Extreme.LOW_HEAD] - 1.0
    yield _band(name, "compressor gain", floated, _FLOATING_SOURCE, (0, 50), gained)
    for i, sst in enumerate(_SST_F):
        # Demand is Kv for each watt, so what a port passes goes by its reciprocal.
        passed = float(walkin.demands[Extreme.RATING][i] / walkin.demands[Extreme.LOW_HEAD][i])
        floated = f"SST {sst:g} degF, {_RATED_F:g} to {_LOW_F:g} degF"
        yield _band(name, "valve loss", floated, _FLOATING_SOURCE, (0, 60), 1.0 - passed)


def _of_group(names: tuple[str, ...], most: int, solved: Mapping[str, _Walkin]) -> Iterator[Check]:
    """The greatest spread of port demand among members at any condition."""
    for i, sst in enumerate(_SST_F):
        demands = [[float(solved[name].demands[extreme][i]) for name in names] for extreme in Extreme]
        spread = max(max(own) / min(own) - 1.0 for own in demands)
        condition = f"{', '.join(names)}, SST {sst:g} degF"
        yield _band("", "group spread", condition, _GROUP_SOURCE, (0, most), spread)


def _band(
    name: str, quantity: str, condition: str, source: str, percent: tuple[int, int], value: float
) -> Check:
    least, most = percent
    return Check(
        _SUBJECT, name, quantity, condition, source, COMMON_PRACTICE, str(least), UNITS["percent"], value,
        0.5 * (most - least) * UNITS["percent"].scale, _BAND, str(most),
    )  # fmt: skip


def _walkin(refrigerant: Refrigerant) -> _Walkin:
    sst_k = np.array([_DEGF.si(sst) for sst in _SST_F])
    rated, states = solve_conditions(refrigerant, _envelope(), sst_k)
    demands = [port_demand(s, rated, refrigerant, FlowLaw.ORIFICE, np.nan) for s in states]
    return _Walkin({s.extreme: s for s in states}, {s.extreme: d for s, d in zip(states, demands, strict=True)})


def _envelope() -> Envelope:
    """A walk-in without losses: liquid 9 degF below its bubble point at every head."""

    def at(extreme: Extreme, condensing_f: float) -> HeadCondition:
        head = Head(condensing_temperature_k=_DEGF.si(condensing_f), basis=Basis.BUBBLE)
        supply = LiquidSupply(least_subcooling_k=_SUBCOOLING_K, greatest_subcooling_k=_SUBCOOLING_K)
        return HeadCondition(extreme, head, supply)

    return Envelope(
        name="a plain walk-in",
        sst_at_compressor=False,
        suction_loss_k=0.0,
        response=SuctionResponse.HELD,
        box_difference_k=None,
        capacity_step=1.0,
        rating=at(Extreme.RATING, _RATED_F),
        low_head=at(Extreme.LOW_HEAD, _LOW_F),
        high_head=at(Extreme.HIGH_HEAD, _HIGH_F),
        losses=Losses(0.0, 0.0, 0.0, 0.0, DistributorScaling.FLASHED_MIXTURE),
        superheat=SuperheatLimits(0.0, 10.0, (0.0, 0.0, 0.0)),
        compressor=ClearanceCompressor(0.04, 1.1),
        return_superheat_k=20.0 * _DEGF.scale,
        discharge_loss_pa=0.0,
    )
