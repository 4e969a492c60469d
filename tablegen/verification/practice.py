"""A rule of thumb: the capacity that a compressor loses to a higher condensing temperature.

It has no source that we can name, so it counts as no verification.  It is computed for one plain walk-in cooler with a
clearance compressor and without losses, so that no application of a catalogue bears on it.  Freezers are left out:
their pressure ratio is beyond what one stage of clearance describes well.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tablegen.physics.compressor import ClearanceCompressor
from tablegen.physics.conditions import State, solve_conditions
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import (
    Basis,
    DistributorScaling,
    Head,
    HeadCondition,
    LiquidSupply,
    Losses,
    OperatingCondition,
    SuctionResponse,
    SuperheatLimits,
    SystemInputs,
)
from tablegen.verification.check import UNITS, Check
from tablegen.verification.kinds import NO_SOURCE, Kind

_DEGF, _PERCENT = UNITS["F"], UNITS["percent"]
_SST_F, _LOW_F, _RATED_F, _HIGH_F = 25.0, 70.0, 105.0, 115.0
_SUBCOOLING_K = 9.0 * _DEGF.scale
# The band of the rule, and what the reason below covers beyond it [percent].
_MIN, _MOST, _EXPLAINED = 5, 9, 10
# Nearer to its critical temperature than this a refrigerant's enthalpy of liquid rises steeply.
_NEAR_CRITICAL_K = 50.0 * _DEGF.scale
_FREEZING_K = 273.15
_SOURCE = (
    "Rule of thumb, 5 to 9 % of capacity for each 10 degF of condensing temperature; we have no source that we can name"
)
OF_WALK_INS = ("R22", "R134a", "R404A", "R407A", "R407C", "R407F", "R448A", "R449A", "R507A", "R513A")


def practice_checks(refrigerants: Mapping[str, Refrigerant]) -> list[Check]:
    """The rule for each refrigerant that walk-ins are charged with."""
    return [_loss(refrigerants[name]) for name in OF_WALK_INS if name in refrigerants]


def _loss(refrigerant: Refrigerant) -> Check:
    """Capacity lost from 105 to 115 degF condensing."""
    state = _at_high_head(refrigerant)
    capacity, flow = float(state.capacity_ratio[0]), float(state.flow_ratio[0])
    below_k = refrigerant.critical_temperature_k - _DEGF.si(_HIGH_F)
    explanation = ""
    if below_k < _NEAR_CRITICAL_K:
        explanation = (
            f"{1.0 - capacity / flow:.1%} is lost by the enthalpy of warmer liquid alone, for {_HIGH_F:g} degF "
            f"({_DEGF.si(_HIGH_F) - _FREEZING_K:.0f} degC) is only {below_k / _DEGF.scale:.0f} delta_degF "
            f"({below_k:.0f} K) below the critical temperature, and {1.0 - flow:.1%} by flow; the rule names no "
            "refrigerant"
        ).replace("%", " %")
    return Check(
        Kind.RULE_OF_THUMB,
        "facts of the trade",
        refrigerant.name,
        "compressor loss",
        f"SST {_SST_F:g} degF, {_RATED_F:g} to {_HIGH_F:g} degF",
        _SOURCE,
        NO_SOURCE,
        str(_MIN),
        _PERCENT,
        1.0 - capacity,
        0.0,
        "inside the band, the deviation counted from its nearer end",
        str(_MOST),
        explanation,
        (_EXPLAINED - _MOST) * _PERCENT.scale,
    )


def _at_high_head(refrigerant: Refrigerant) -> State:
    _, states = solve_conditions(refrigerant, _application(), np.array([_DEGF.si(_SST_F)]))
    (high,) = (s.state for s in states if s.condition is OperatingCondition.HIGH_HEAD)
    return high


def _application() -> SystemInputs:
    """A walk-in without losses: liquid 9 degF below its bubble point at every head."""

    def at(condition: OperatingCondition, condensing_f: float) -> HeadCondition:
        head = Head(condensing_temperature_k=_DEGF.si(condensing_f), basis=Basis.BUBBLE)
        supply = LiquidSupply(min_subcooling_k=_SUBCOOLING_K, max_subcooling_k=_SUBCOOLING_K)
        return HeadCondition(condition, head, supply)

    return SystemInputs(
        name="a plain walk-in",
        sst_at_compressor=False,
        suction_loss_k=0.0,
        response=SuctionResponse.CONSTANT,
        box_difference_k=None,
        capacity_step=1.0,
        rating=at(OperatingCondition.RATING, _RATED_F),
        low_head=at(OperatingCondition.LOW_HEAD, _LOW_F),
        high_head=at(OperatingCondition.HIGH_HEAD, _HIGH_F),
        losses=Losses(0.0, 0.0, 0.0, 0.0, DistributorScaling.FLASHED_MIXTURE),
        superheat=SuperheatLimits(0.0, 10.0, (0.0, 0.0, 0.0)),
        compressor=ClearanceCompressor(0.04, 1.1),
        return_superheat_k=20.0 * _DEGF.scale,
        discharge_loss_pa=0.0,
    )
