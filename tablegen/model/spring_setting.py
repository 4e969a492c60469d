"""A thermostatic valve whose spring is set otherwise than at the factory: by turns of its stem, or to a static superheat.

The spring is linear, and the sealed bulb knows nothing of it: a turn adds the same pressure whatever refrigerant
follows, and the bulb keeps its charge, so a maximum operating pressure falls by what the spring gains.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tablegen.errors import RequestError, both_steps
from tablegen.model.inputs import PowerElement
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import Stem, spring_at, spring_per_turn, static_superheat_with
from tablegen.wording import retrofit as wording
from tablegen.wording.message import argument

# A setting that is computed may miss the end of the stem's travel by less.
_NEAR_TURNS = 1e-6


@dataclass(frozen=True, slots=True)
class AskedSetting:
    """How the spring is to be set: turns of the stem from the factory setting [1], or static superheat [K] there."""

    turns: float | None = None
    static_superheat_k: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringSetting:
    """A power element as it is set now, beside its factory setting.

    Attributes
    ----------
    element : PowerElement
        With the spring as it is now, and what follows for its maximum operating pressure.
    turns : float or None
        Of the stem from the factory setting, clockwise above zero [1]; None where the family says nothing of it.
    turn_pa : float or None
        Spring pressure that a turn adds [Pa].
    spring_pa, factory_spring_pa : float
        Spring pressure as the valve just opens [Pa], now and at the factory setting.
    gradient_pa : float
        What it gains up to rated stroke [Pa], the same in both.
    factory_superheat_k, static_superheat_k : float
        Static superheat on the setting refrigerant at the bulb temperature of the factory setting [K], then and now.
    bulb_temperature_k : float
        That temperature [K].
    """

    element: PowerElement
    turns: float | None
    turn_pa: float | None
    spring_pa: float
    factory_spring_pa: float
    gradient_pa: float
    factory_superheat_k: float
    static_superheat_k: float
    bulb_temperature_k: float


def set_spring(element: PowerElement, on: Refrigerant | None, asked: AskedSetting, family: str) -> SpringSetting:
    """A power element with its spring set otherwise.

    Parameters
    ----------
    element : PowerElement
    on : Refrigerant or None
        The setting refrigerant; None for a drive.
    asked : AskedSetting
        One of both.
    family : str
        Its name in messages.

    Raises
    ------
    RequestError
        If there is no spring, nothing is known of a turn of the stem, or it would have to turn too far.
    """
    actuator, setting = element.actuator, element.setting
    name = argument("turns" if asked.turns is not None else "static_superheat")
    if not isinstance(actuator, ThermostaticActuator) or setting is None or on is None:
        raise RequestError(wording.NO_SPRING(argument=name, family=family))
    balance, stem = actuator.balance, element.stem
    turn_pa = None if stem is None else spring_per_turn(setting, stem, on)
    turns: float | None = None
    if asked.turns is not None:
        if stem is None or turn_pa is None:
            raise RequestError(wording.NO_STEM(argument=name, family=family, charge=element.name))
        turns = asked.turns
        _check_travel(name, turns, stem, family)
        spring = balance.spring_pa + turns * turn_pa
        static = static_superheat_with(balance.charge.curve, setting, on, spring)
    else:
        assert asked.static_superheat_k is not None
        static = asked.static_superheat_k
        spring = spring_at(balance.charge.curve, setting, on, static)
        if stem is not None and turn_pa is not None:
            turns = (spring - balance.spring_pa) / turn_pa
            _check_travel(name, turns, stem, family)
    if not (np.isfinite(static) and spring > 0.0):
        raise RequestError(wording.SPRING_WOULD_PULL(argument=name, family=family))
    limit = element.maximum_operating_pressure_pa
    limit = None if limit is None else limit + balance.spring_pa - spring
    made = replace(
        element,
        actuator=replace(actuator, balance=replace(balance, spring_pa=spring)),
        setting=replace(setting, static_superheat_k=static),
        maximum_operating_pressure_pa=limit,
        mop_evaporating_k=None if limit is None else float(on.dew_temperature(np.asarray(limit))),
    )
    return SpringSetting(
        element=made,
        turns=turns,
        turn_pa=turn_pa,
        spring_pa=spring,
        factory_spring_pa=balance.spring_pa,
        gradient_pa=balance.gradient_pa,
        factory_superheat_k=setting.static_superheat_k,
        static_superheat_k=static,
        bulb_temperature_k=setting.bulb_temperature_k,
    )


def _check_travel(name: str, turns: float, stem: Stem, family: str) -> None:
    """Refuse turns beyond the travel of the stem; both ends of it may be reached."""
    if not stem.min_turns - _NEAR_TURNS <= turns <= stem.max_turns + _NEAR_TURNS:
        raise RequestError(
            wording.BEYOND_TRAVEL(
                argument=name,
                turns=f"{turns:+.3g}",
                family=family,
                minimum=f"{stem.min_turns:+g}",
                maximum=f"{stem.max_turns:+g}",
                superheat=both_steps(stem.superheat_per_turn_k),
            )
        )
