"""Heads between the conditions: arrays in place of the one head and the one liquid of a condition.

They take the place of `Head` and `LiquidSupply` where a state is solved, one element for each grid position.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant


@dataclass(frozen=True, slots=True)
class HeadsAlong:
    """Absolute head pressures [Pa], one for each grid position."""

    pressure_pa: Floats

    def pressure(self, refrigerant: Refrigerant) -> Floats:
        """The pressures themselves [Pa]."""
        return self.pressure_pa

    def saturation_pressures(self, refrigerant: Refrigerant) -> tuple[float, float]:
        """NaN: no condensing temperature is stated."""
        return np.nan, np.nan

    def at(self, index: NDArray[Any]) -> HeadsAlong:
        """The heads at some grid positions."""
        return replace(self, pressure_pa=self.pressure_pa[index])


@dataclass(frozen=True, slots=True)
class LiquidAlong:
    """Subcooling at the valve inlet [K], one for each grid position."""

    least_subcooling_k: Floats
    temperature_k: None = None

    def at(self, index: NDArray[Any]) -> LiquidAlong:
        """The liquid at some grid positions."""
        return replace(self, least_subcooling_k=self.least_subcooling_k[index])
