"""Checks without a data file: worked examples of flow laws, compressors and a cycle, and a rule of thumb.

The rule of thumb, the capacity that a compressor loses to a higher condensing temperature, has no source that we can
name, so it counts as no verification.  It is computed for one walk-in cooler with a clearance compressor and without
losses, so that no application of a catalogue changes it.  Freezers are left out: their pressure ratio is beyond what
one stage of clearance describes well.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tablegen.physics.compressor import ClearanceCompressor, CompressorPoint, PolynomialCompressor
from tablegen.physics.conditions import solve_conditions
from tablegen.physics.equations import critical_pressure_ratio_factor
from tablegen.physics.flow import FlowLaw, effective_pressure_drop, required_flow_coefficient
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import State
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
from tablegen.verification.check import UNITS, Check, CheckKind, Provenance, last_digit
from tablegen.wording import verification as wording

_CYCLE_SOURCE = "ASHRAE Handbook Fundamentals 2021, ch. 2, Example 5"

# IEC counts relative density from water of 999.103 kg/m3, the physics from 1000: its Kv is larger by this factor.
_STANDARD_WATER_KG_M3 = 999.103
_TO_STANDARD = float(np.sqrt(1000.0 / _STANDARD_WATER_KG_M3))
# rho0 is printed to six digits, which is this share of a Kv.
_WATER_SHARE = 5e-7
# Water at 90 degC: density [kg/m3], bubble and critical pressure, inlet and outlet [Pa], flow [m3/s].
_RHO, _P_SAT, _P_C, _P1, _P2, _Q = 965.4, 70.1e3, 22120e3, 680e3, 220e3, 0.1

_DEGF, _PERCENT = UNITS["F"], UNITS["percent"]
_SST_F, _LOW_F, _RATED_F, _HIGH_F = 25.0, 70.0, 105.0, 115.0
_SUBCOOLING_K = 9.0 * _DEGF.scale
# The band of the rule, and what the reason below covers beyond it [percent].
_BAND_FROM, _BAND_TO, _EXPLAINED = 5, 9, 10
# Nearer to its critical temperature than this a refrigerant's enthalpy of liquid rises steeply.
_NEAR_CRITICAL_K = 50.0 * _DEGF.scale
_WALK_IN_REFRIGERANTS = ("R22", "R134a", "R404A", "R407A", "R407C", "R407F", "R448A", "R449A", "R507A", "R513A")


def law_checks() -> list[Check]:
    """Worked cases that need no refrigerant: flow laws and the compressor polynomial."""
    return [*_flow_checks(), *_polynomial_checks()]


def _flow_checks() -> list[Check]:
    """The worked cases of IEC 60534-2-1: one that does not choke and one that does."""
    factor = Check(
        kind=CheckKind.SECOND,
        subject=wording.FLOW_LAWS(),
        quantity=wording.RATIO_FACTOR(),
        condition=wording.RATIO_FACTOR_CONDITION(),
        # The annex of the standard itself was not opened.
        source=wording.WORKED_CASES_OF_IEC(),
        provenance=Provenance.CHECKED,
        published_text="0.94424",
        unit=UNITS["1"],
        computed=float(critical_pressure_ratio_factor(np.array(_P_SAT), _P_C)),
        allowed=5e-6,
        why_allowed=wording.HALF_DIGIT(),
    )
    cases = ((0.9, "164.995", wording.NOT_CHOKED), (0.6, "238.058", wording.CHOKED))
    return [
        factor,
        *(
            Check(
                kind=CheckKind.SECOND,
                subject=wording.FLOW_LAWS(),
                quantity=wording.FLOW_COEFFICIENT(),
                condition=condition(recovery=str(recovery)),
                source=wording.WORKED_CASES_OF_IEC(),
                provenance=Provenance.CHECKED,
                published_text=kv,
                unit=UNITS["m3/h"],
                computed=_kv(recovery),
                allowed=0.5 * last_digit(kv) + _WATER_SHARE * float(kv),
                why_allowed=wording.HALF_DIGIT_AND(also=wording.DENSITY_OF_WATER()),
            )
            for recovery, kv, condition in cases
        ),
    ]


def _kv(recovery: float) -> float:
    """Kv of the standard [m3/h] for the worked flow."""
    at = np.array
    drop = effective_pressure_drop(FlowLaw.CHOKED, at([_P1 - _P2]), at([_P1]), at([_P_SAT]), _P_C, recovery)
    return _TO_STANDARD * float(required_flow_coefficient(at([_Q * _RHO]), at([_RHO]), drop)[0])


def _polynomial_checks() -> list[Check]:
    """Order of terms: all ten, and the three of third order that sources disagree on."""
    cases = [(wording.ALL_TERMS(), tuple(map(float, range(1, 11))), "698")]
    for number, flow in ((8, "12"), (9, "18"), (10, "27")):
        alone = tuple(float(number == term) for term in range(1, 11))
        cases.append((wording.ONE_TERM(number=number), alone, flow))
    return [
        Check(
            kind=CheckKind.SELF,
            subject=wording.COMPRESSORS(),
            quantity=wording.POLYNOMIAL(),
            condition=condition,
            source=wording.WORKED_BY_HAND(),
            provenance=Provenance.NO_SOURCE,
            published_text=flow,
            unit=UNITS["1"],
            computed=_polynomial(coefficients, 2.0, 3.0),
            # Degrees pass through kelvin, which leaves 1e-13 degrees: 1e-11 of the flow.
            allowed=1e-11 * float(flow),
            why_allowed=wording.DEGREES(),
        )
        for condition, coefficients, flow in cases
    ]


def _polynomial(coefficients: tuple[float, ...], suction_f: float, discharge_f: float) -> float:
    """The polynomial at dew temperatures in degF."""
    suction_k, discharge_k = (np.array([_DEGF.si(t)]) for t in (suction_f, discharge_f))
    unused = np.ones(1)
    point = CompressorPoint(
        suction_dew_k=suction_k,
        discharge_dew_k=discharge_k,
        suction_pressure_pa=unused,
        discharge_pressure_pa=unused,
        suction_density_kg_m3=unused,
    )
    return float(PolynomialCompressor(coefficients, is_fahrenheit=True).relative_flow(point)[0])


def cycle_checks(refrigerants: Mapping[str, Refrigerant]) -> list[Check]:
    """The flow of the handbook's valve cycle, for R22 alone.

    Parameters
    ----------
    refrigerants : mapping
        By name.
    """
    fluid = refrigerants.get("R22")
    if fluid is None:
        return []
    gas = fluid.vapor(np.array([263.15]), np.array([310e3])).enthalpy_j_kg
    liquid = fluid.liquid(np.array([306.15]), np.array([1405e3])).enthalpy_j_kg
    flow = "0.04322"
    return [
        Check(
            kind=CheckKind.SECOND,
            subject=wording.CYCLE(),
            refrigerant="R22",
            quantity=wording.CYCLE_FLOW(),
            condition=wording.CYCLE_CONDITION(),
            source=_CYCLE_SOURCE,
            provenance=Provenance.CHECKED,
            published_text=flow,
            unit=UNITS["kg/s"],
            computed=7000.0 / float((gas - liquid)[0]),
            # Temperatures are printed to 0.1 K, which is 0.05 x (0.75 + 1.27) kJ/kg of 162, 0.06 %; as much again for
            # the handbook's property tables, whose equation the example does not name.
            allowed=5e-6 + 0.0012 * float(flow),
            why_allowed=wording.HALF_DIGIT_AND(also=wording.HANDBOOK_TABLES()),
        ),
    ]


def rule_checks(refrigerants: Mapping[str, Refrigerant]) -> list[Check]:
    """The rule of thumb for each refrigerant that walk-ins are charged with.

    Parameters
    ----------
    refrigerants : mapping
        By name.
    """
    return [_loss(refrigerants[name]) for name in _WALK_IN_REFRIGERANTS if name in refrigerants]


def _loss(refrigerant: Refrigerant) -> Check:
    """Capacity lost from 105 to 115 degF condensing."""
    state = _at_high_head(refrigerant)
    capacity, flow = float(state.capacity_ratio[0]), float(state.flow_ratio[0])
    below_k = refrigerant.critical_temperature_k - _DEGF.si(_HIGH_F)
    explanation = ""
    if below_k < _NEAR_CRITICAL_K:
        explanation = wording.LOSS_EXPLAINED(
            liquid=f"{100.0 * (1.0 - capacity / flow):.1f} %",
            high_f=f"{_HIGH_F:g}",
            high_c=f"{UNITS['C'].of(_DEGF.si(_HIGH_F)):.0f}",
            below_f=f"{below_k / _DEGF.scale:.0f}",
            below_k=f"{below_k:.0f}",
            flow=f"{100.0 * (1.0 - flow):.1f} %",
        )
    return Check(
        kind=CheckKind.RULE_OF_THUMB,
        subject=wording.TRADE(),
        refrigerant=refrigerant.name,
        quantity=wording.COMPRESSOR_LOSS(),
        condition=wording.LOSS_CONDITION(sst=f"{_SST_F:g}", low=f"{_RATED_F:g}", high=f"{_HIGH_F:g}"),
        source=wording.RULE_OF_THUMB(),
        provenance=Provenance.NO_SOURCE,
        published_text=str(_BAND_FROM),
        unit=_PERCENT,
        computed=1.0 - capacity,
        allowed=0.0,
        why_allowed=wording.INSIDE_BAND(),
        upper_text=str(_BAND_TO),
        explanation=explanation,
        explained=(_EXPLAINED - _BAND_TO) * _PERCENT.scale,
    )


def _at_high_head(refrigerant: Refrigerant) -> State:
    _, states = solve_conditions(refrigerant, _walk_in(), np.array([_DEGF.si(_SST_F)]))
    (high,) = (s.state for s in states if s.condition is OperatingCondition.HIGH_HEAD)
    return high


def _walk_in() -> SystemInputs:
    """A walk-in without losses: liquid 9 degF below its bubble point at every head."""

    def at(condition: OperatingCondition, condensing_f: float) -> HeadCondition:
        head = Head(condensing_temperature_k=_DEGF.si(condensing_f), basis=Basis.BUBBLE)
        supply = LiquidSupply(min_subcooling_k=_SUBCOOLING_K, max_subcooling_k=_SUBCOOLING_K)
        return HeadCondition(condition, head, supply)

    return SystemInputs(
        name="walk-in",
        sst_at_compressor=False,
        suction_loss_k=0.0,
        response=SuctionResponse.CONSTANT,
        box_difference_k=None,
        capacity_step=1.0,
        rating=at(OperatingCondition.RATING, _RATED_F),
        low_head=at(OperatingCondition.LOW_HEAD, _LOW_F),
        high_head=at(OperatingCondition.HIGH_HEAD, _HIGH_F),
        losses=Losses(
            liquid_line_pa=0.0,
            lift_m=0.0,
            evaporator_pa=0.0,
            distributor_pa=0.0,
            distributor_scaling=DistributorScaling.FLASHED_MIXTURE,
        ),
        superheat=SuperheatLimits(useful_k=0.0, max_k=10.0, min_k=(0.0, 0.0, 0.0)),
        compressor=ClearanceCompressor(0.04, 1.1),
        return_superheat_k=20.0 * _DEGF.scale,
        discharge_loss_pa=0.0,
    )
