"""Checks of what bends a balance: the slope of saturation pressure, the unbalanced port, the column of liquid."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tablegen.catalogue.verification.check import UNITS, Check, last_digit
from tablegen.catalogue.verification.published_values import NOT_PUBLISHED
from tablegen.physics.envelope import GRAVITY_M_S2
from tablegen.physics.refrigerants import Refrigerant

_DEGF, _STEP, _SLOPE, _LIFT = UNITS["F"], UNITS["delta_F"], UNITS["psi/degF"], UNITS["psi/ft"]
_SUBJECT = "force balance"
_ELSEWHERE = "Worked from the same equations of state by another program"
# Slope of R404A's dew pressure, and what an area ratio of 1 % and 100 psi more of drop move the superheat by.
_SLOPES = (("25", "1.402", "0.71"), ("-20", "0.698", "1.43"))
_RATIO, _DROP = 0.01, 100.0
_LIFTS = (("R404A", "0.431"), ("R507A", "0.432"), ("R407C", "0.473"), ("R22", "0.498"), ("R134a", "0.506"))
# Half of it is far above what the step leaves out, and far below what rounding leaves.
_STEP_K = 0.02


def gradient_checks(refrigerants: Mapping[str, Refrigerant]) -> list[Check]:
    """Every check of this module that its refrigerant is there for."""
    found = []
    if "R404A" in refrigerants:
        for sst, slope, moved in _SLOPES:
            found += _of_slope(refrigerants["R404A"], sst, slope, moved)
    found += [_of_lift(refrigerants[name], figure) for name, figure in _LIFTS if name in refrigerants]
    return found


def _of_slope(fluid: Refrigerant, sst: str, slope: str, moved: str) -> list[Check]:
    """The slope at a dew temperature, and the superheat that an unbalanced port takes."""
    at = np.array([_DEGF.si(float(sst)) - 0.5 * _STEP_K, _DEGF.si(float(sst)) + 0.5 * _STEP_K])
    low, high = fluid.dew(at).pressure_pa
    ours = float(high - low) / _STEP_K
    # Force on the port over that on the diaphragm, as a pressure under it.
    superheat_k = _RATIO * _DROP * UNITS["psia"].scale / ours
    return [
        Check(_SUBJECT, "R404A", "slope of dew pressure", f"{sst} degF", _ELSEWHERE, NOT_PUBLISHED,
              slope, _SLOPE, ours, 0.5 * last_digit(slope) * _SLOPE.scale, "half the last digit"),
        Check(_SUBJECT, "R404A", "superheat moved by a port", f"SST {sst} degF, area ratio 1 %, 100 psi",
              _ELSEWHERE, NOT_PUBLISHED, moved, _STEP, superheat_k,
              0.5 * last_digit(moved) * _STEP.scale, "half the last digit"),
    ]  # fmt: skip


def _of_lift(fluid: Refrigerant, figure: str) -> Check:
    """Pressure of a column of liquid at 96 degF under the bubble pressure of 105 degF."""
    pressure = fluid.bubble(np.array([_DEGF.si(105.0)])).pressure_pa
    density = float(fluid.liquid(np.array([_DEGF.si(96.0)]), pressure).density_kg_m3[0])
    return Check(
        _SUBJECT, fluid.name, "static lift", "96 degF liquid, 105 degF bubble", _ELSEWHERE, NOT_PUBLISHED,
        figure, _LIFT, density * GRAVITY_M_S2, 0.5 * last_digit(figure) * _LIFT.scale, "half the last digit",
    )  # fmt: skip
