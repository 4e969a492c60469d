"""How far a measured value may be off, and what valves and installations differ from each other by."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a measured value may be off: a standard deviation in the value's own SI unit, and its source."""

    standard_deviation: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProductionScatter:
    """What one valve of a family differs from the next by, standard deviations.

    Of Kv and of the charge's pressure as shares of the value, of unbalance and pressure recovery in their own unit [1],
    superheats [K]; zero where nothing is said.  `hysteresis_k` [K] is half the superheat between opening and closing
    strokes: where within it a valve rests is as likely at one place as at another.
    """

    kv: float = 0.0
    pressure_recovery: float = 0.0
    static_superheat_k: float = 0.0
    opening_superheat_k: float = 0.0
    unbalance: float = 0.0
    charge_pressure: float = 0.0
    hysteresis_k: float = 0.0
    source: str = ""

    @property
    def setting_k(self) -> float:
        """Standard deviation [K] of the static superheat with hysteresis, which is uniform over +-h: h / sqrt(3)."""
        return math.hypot(self.static_superheat_k, self.hysteresis_k / math.sqrt(3.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class InstallationScatter:
    """What one installation differs from the next by in the inputs of an application, standard deviations.

    Either head as a pressure [Pa] or a temperature [K], inlet subcooling [K], losses at rated flow in liquid line and
    distributor [Pa], and the compressor's change of flow from the rating point as a share of itself [1], conductance ratio and
    dry-out delay of the coil as shares of them [1]; zero where nothing is stated.
    """

    low_head_pa: float = 0.0
    low_head_k: float = 0.0
    high_head_pa: float = 0.0
    high_head_k: float = 0.0
    inlet_subcooling_k: float = 0.0
    liquid_line_pa: float = 0.0
    distributor_pa: float = 0.0
    flow_change: float = 0.0
    conductance_ratio: float = 0.0
    dryout_delay: float = 0.0
    source: str = ""
