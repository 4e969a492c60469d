"""Hold a bulb charge to what it must be: rising, and never below its minimum static superheat."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tablegen.config import convert
from tablegen.config.charge_model import ChargeModel
from tablegen.config.family_model import ThermostaticModel
from tablegen.config.parsed import KeyPath
from tablegen.config.source import Document
from tablegen.errors import Problem, PropertyError, both_scales, unknown
from tablegen.model.inputs import PowerElement
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import static_superheat
from tablegen.physics.windows import ThermostaticActuator

_STEPS = 41


def check_charge(
    document: Document,
    path: KeyPath,
    family: ThermostaticModel,
    charge: ChargeModel,
    refrigerants: Mapping[str, Refrigerant],
) -> tuple[list[Problem], PowerElement | None]:
    """Problems in one charge, and the power element it makes if there are none."""
    found = [
        document.problem((*path, "refrigerants", i), unknown("a refrigerant", name, refrigerants))
        for i, name in enumerate(charge.refrigerants)
        if name not in refrigerants
    ]
    for key, name in (("setting", charge.setting.refrigerant), ("fluid", charge.fluid)):
        if name is not None and name not in refrigerants:
            place = (*path, key, "refrigerant") if key == "setting" else (*path, key)
            found.append(document.problem(place, unknown("a refrigerant", name, refrigerants)))
    if found:
        return found, None
    try:
        element = convert.element(family, charge, refrigerants)
    except (ValueError, PropertyError) as error:
        return [document.problem((*path, "setting"), str(error))], None
    found += _check_curve(document, path, charge, element, refrigerants)
    return found, element


def _check_curve(
    document: Document,
    path: KeyPath,
    charge: ChargeModel,
    element: PowerElement,
    refrigerants: Mapping[str, Refrigerant],
) -> list[Problem]:
    actuator = element.actuator
    assert isinstance(actuator, ThermostaticActuator)
    balance = actuator.balance
    te = np.linspace(charge.evaporating_range.minimum, charge.evaporating_range.maximum, _STEPS)
    curve = balance.charge.curve
    inside = np.linspace(max(te[0], curve.range_k[0]), min(te[-1] + 15.0, curve.range_k[1]), 4 * _STEPS)
    falling = np.flatnonzero(~(np.diff(curve.pressure(inside)) > 0.0))
    if falling.size:
        at = both_scales(inside[falling[0]])
        return [document.problem(path, f"the bulb pressure does not rise with temperature at {at}")]
    found = []
    for name in charge.refrigerants:
        # Below the MOP only: above it the valve closes on purpose.
        superheat = static_superheat(balance, refrigerants[name], te)
        known = np.isfinite(superheat) & ~balance.charge.is_above_limit(te + superheat)
        low = np.flatnonzero(known & (superheat < charge.minimum_static_superheat))
        if low.size:
            worst = low[np.argmin(superheat[low])]
            text = (
                f"with {name} the static superheat falls to {superheat[worst] * 1.8:.2f} delta_degF "
                f"({superheat[worst]:.2f} K) at an evaporating (dew) temperature of {both_scales(te[worst])}; "
                f"must be at least {charge.minimum_static_superheat * 1.8:.2f} delta_degF"
            )
            found.append(document.problem((*path, "minimum_static_superheat"), text))
    return found
