"""Why a window is empty, with the calculation that shows it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.answers.pick import Limit
from tablegen.calculation.steps import Calculation
from tablegen.calculation.valve_steps import AtState, MemberCalculation, key_in
from tablegen.model.inputs import Family, PowerElement
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.reasons import Reason
from tablegen.wording import calculation as calculation_wording

# Lines that follow from subcooling and drop within the range of a flow law.
_BY_COEFFICIENT = ("a_d", "b_d", "s_n", "y_n", "C_d", "dp_eff", "D")
_SHUT = (Reason.ABOVE_MOP, Reason.STAYS_CLOSED)


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Why a cell is empty: the member, head and reason, and the calculations as far as they go, by part.

    Parts are "rating", "head", "setting", "valve_at_min_superheat", "valve_at_max_superheat", "valve_ratings" and
    "charge_range".

    `compared` are two quantities of the last calculation of which the first would have to be above the second (one alone:
    above zero); empty where the reason is no comparison.
    """

    limit: Limit
    calculations: tuple[tuple[str, Calculation], ...] = ()
    compared: tuple[str, ...] = ()


def obstacle_of(
    calculation: MemberCalculation | None, limit: Limit, family: Family, site_pressure_pa: float
) -> Obstacle:
    """Why a window is empty by its limit; without a calculation where the family has no charge for the refrigerant."""
    states = [] if calculation is None else [s for s in calculation.states if s.item.condition.value == limit.condition]
    if calculation is None or not states or limit.reason in (Reason.CROSSED, Reason.CONFIDENCE):
        return Obstacle(limit)
    state = next((s for s in states if _is_why(s, limit, family)), states[0])
    parts = [("rating", calculation.rating), ("head", state.head)]
    compared: tuple[str, ...] = ()
    reason = Reason(limit.reason)
    if reason in _SHUT:
        parts += [
            ("setting", calculation.setting),
            ("valve_at_min_superheat", _opening(state.minimum)),
        ]
        maximum = _opening(state.maximum)
        maximum.known(phi_min=state.minimum.values["phi_min"])
        parts.append(("valve_at_max_superheat", maximum))
        compared = ("phi_sh", "phi_min")
    elif reason is Reason.ALWAYS_HUNTS:
        parts += [("setting", calculation.setting), ("valve_at_min_superheat", _opening(state.minimum))]
    elif reason is Reason.FLASHING:
        # Where limits count with vapor and some pressure carries the flow, there is too much vapor.
        has_vapor = any(line.name == "x_1" for line in state.head.lines) and np.isfinite(state.head.values["x_1"][0])
        compared = ("x_max", "x_1") if has_vapor else ("p_1", "p_v")
    elif reason is Reason.NO_PRESSURE_DROP:
        compared = ("dp",)
    elif reason in (Reason.OVER_PRESSURE, Reason.OVER_DIFFERENTIAL):
        part, compared = _borne(state, family, site_pressure_pa, reason)
        parts.append(("valve_ratings", part))
    elif reason is Reason.FLOW_LAW_RANGE and family.discharge is not None:
        part, compared = _flow_range(state, family.discharge)
        parts[-1] = ("head", part)
    elif reason is Reason.CHARGE_RANGE:
        part, compared = _reach(state, calculation.element)
        parts.append(("charge_range", part))
    return Obstacle(limit, tuple((name, part.at(0)) for name, part in parts), compared)


def _is_why(state: AtState, limit: Limit, family: Family) -> bool:
    """Whether a state is the one of its head that empties the window; the sides of a head may differ."""
    if limit.reason in _SHUT:
        return not state.maximum.values["phi_sh"][0] > state.minimum.values["phi_min"][0]
    if limit.reason == Reason.OVER_DIFFERENTIAL:
        return bool(
            _borne(state, family, 0.0, Reason.OVER_DIFFERENTIAL)[0].values["dp_shut"][0]
            > family.allowed_differential_pa
        )
    if limit.reason == Reason.FLOW_LAW_RANGE:
        return family.discharge is not None and bool(_flow_range(state, family.discharge)[1])
    return str(state.item.reason[0]) == limit.reason


def _opening(limit: Calculation) -> Calculation:
    """The part of a limit's calculation that leads to the opening; what follows from one out of reach means nothing."""
    w = Calculation(limit.functions, dict(limit.values), curves=limit.curves)
    w.lines = [
        line for line in limit.lines if line.name not in ("c", "Q_1", "phi_max", "phi_stop", "r_lim", "phi_size")
    ]
    return w


def _flow_range(state: AtState, discharge: DischargeCoefficient) -> tuple[Calculation, tuple[str, ...]]:
    """Subcooling and drop at a head, the range of the flow law, and which end is passed; what follows means nothing."""
    w = Calculation(state.head.functions, dict(state.head.values), curves=state.head.curves)
    w.lines = [line for line in state.head.lines if line.name not in _BY_COEFFICIENT]
    key = "family:discharge_coefficient.valid"
    passed: tuple[str, ...] = ()
    for name, value, of, (low, high) in (
        ("s", "s_c", "subcooling", discharge.subcooling),
        ("y", "y_p", "drop", discharge.drop),
    ):
        own = float(w.values[value][0])
        w.given(f"{name}_min", low, f"{key}.{of}")
        w.given(f"{name}_max", high, f"{key}.{of}")
        if not passed and not low <= own <= high:
            passed = (value, f"{name}_min") if own < low else (f"{name}_max", value)
    return w, passed


def _reach(state: AtState, element: PowerElement) -> tuple[Calculation, tuple[str, ...]]:
    """The evaporating temperatures of the charge, and which end is passed, if it is none of its curve."""
    w, actuator = state.head.onwards(), element.actuator
    assert isinstance(actuator, ThermostaticActuator)
    coldest, warmest = actuator.evaporating_k
    w.given("T_min", coldest, f"charge:{element.name}:evaporating_range.minimum")
    w.given("T_max", warmest, f"charge:{element.name}:evaporating_range.maximum")
    at = float(w.values["T_e"][0])
    return w, ("T_e", "T_min") if at < coldest else ("T_max", "T_e") if at > warmest else ()


def _borne(
    state: AtState, family: Family, site_pressure_pa: float, reason: Reason
) -> tuple[Calculation, tuple[str, ...]]:
    """What the valve bears at a head, and what it may bear."""
    w = state.head.onwards()
    if reason is Reason.OVER_PRESSURE:
        borne = family.working_pressure_gauge_pa + site_pressure_pa
        w.given("p_work", borne, key_in(family, "working_pressure"), "site_pressure")
        return w, ("p_work", "p_h")
    w.given("dp_all", family.allowed_differential_pa, key_in(family, "allowed_differential"))
    w.step("dp_shut", "max(p_h, p_1) - p_e", calculation_wording.NO_FLOW)
    return w, ("dp_all", "dp_shut")
