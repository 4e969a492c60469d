"""The drop that counts under each of the three flow laws, and the Kv that a state requires."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from .reading import number

LAW_COLUMNS = (
    "subcooling_exponent",
    "drop_exponent",
    "reference_subcooling",
    "reference_drop",
    "min_valid_subcooling",
    "max_valid_subcooling",
    "min_valid_drop",
    "max_valid_drop",
)


class FlowLaw:
    """The flow law of a family."""

    def __init__(self, config: Mapping[str, Any]) -> None:
        self.name: str = config["flow_law"]
        self.recovery = number(config["pressure_recovery"]) if self.name == "choked" else math.nan
        self.data = config.get("discharge_coefficient")
        # States of families whose law is the same are the same.
        self.key = self.name, str(config.get("pressure_recovery") if self.name == "choked" else self.data)

    def effective(self, p_1: float, p_2: float, p_bubble: float, p_critical: float) -> float:
        """dp_eff [Pa] from inlet and outlet pressure and the bubble pressure of the liquid."""
        drop = p_1 - p_2
        if self.name == "orifice":
            return drop
        if p_bubble > p_critical or not math.isfinite(p_bubble) or not math.isfinite(drop):
            return math.nan
        p_v = min(p_bubble, p_1)
        if self.name == "choked":
            factor = 0.96 - 0.28 * math.sqrt(p_v / p_critical)
            return min(drop, self.recovery**2 * (p_1 - factor * p_v))
        return self.coefficient(p_1, p_2, p_bubble, p_critical) ** 2 * drop

    def coefficient(self, p_1: float, p_2: float, p_bubble: float, p_critical: float) -> float:
        """The discharge coefficient over that at the reference point; NaN out of range and under the other laws."""
        if self.data is None or not self.covers(p_1, p_2, p_bubble, p_critical):
            return math.nan
        s, y = self.groups(p_1, p_2, p_bubble, p_critical)
        a, b, s_reference, y_reference, *_ = self.values().values()
        return (s / s_reference) ** a * (y / y_reference) ** b

    def values(self) -> dict[str, float]:
        """What a discharge coefficient rests on, by column of the data set; NaN under the other laws."""
        if self.data is None:
            return dict.fromkeys(LAW_COLUMNS, math.nan)
        exponents = (float(self.data[key]) for key in ("subcooling_exponent", "drop_exponent"))
        references = (number(self.data["reference"][key]) for key in ("subcooling", "drop"))
        bounds = (bound for key in ("subcooling", "drop") for bound in _bounds(self.data["valid"][key]))
        return dict(zip(LAW_COLUMNS, (*exponents, *references, *bounds), strict=True))

    @staticmethod
    def groups(p_1: float, p_2: float, p_bubble: float, p_critical: float) -> tuple[float, float]:
        """Dimensionless subcooling, and drop over inlet pressure."""
        return (p_1 - min(p_bubble, p_1)) / p_critical, (p_1 - p_2) / p_1

    def covers(self, p_1: float, p_2: float, p_bubble: float, p_critical: float) -> bool:
        """Whether the law may be used at all."""
        if self.data is None:
            return True
        valid = self.data["valid"]
        for figure, key in zip(self.groups(p_1, p_2, p_bubble, p_critical), ("subcooling", "drop"), strict=True):
            low, high = _bounds(valid[key])
            if not low - 1e-9 <= figure <= high + 1e-9:
                return False
        return True

    def at(self, state: Any, p_critical: float) -> float:
        """dp_eff [Pa] of a state."""
        return self.effective(*_pressures(state), p_critical)

    def covers_state(self, state: Any, p_critical: float) -> bool:
        """Whether a state that has no reason of its own lies in the law's range."""
        return self.covers(*_pressures(state), p_critical)

    def row(self, state: Any, p_critical: float) -> dict[str, float]:
        """The columns of a state that its law makes."""
        drop, at = self.at(state, p_critical), (*_pressures(state), p_critical)
        s, y = self.groups(*at)
        return {
            "effective_pressure_drop_pa": drop,
            "subcooling_ratio": s,
            "drop_ratio": y,
            "discharge_ratio": self.coefficient(*at),
            "required_kv_m3h_per_kw": required_kv_per_watt(state, drop, state.rated_effect),
        }


def _pressures(state: Any) -> tuple[float, float, float]:
    return state.inlet_pressure_pa, state.outlet_pressure_pa, state.liquid_bubble_pressure_pa


def _bounds(stated: Any) -> tuple[float, float]:
    if isinstance(stated, Mapping):
        return number(stated["minimum"]), number(stated["maximum"])
    low, high = stated
    return number(low), number(high)


def required_kv_per_watt(state: Any, effective: float, rated_effect: float) -> float:
    """Kv that a state requires [m3/h] per kW of rated capacity, at its share of the rated flow."""
    if state.reason or not effective > 0.0:
        return math.nan
    flow = 1000.0 / rated_effect * state.flow_share
    return float(3600.0 * flow / math.sqrt(1000.0 * state.inlet_density_kg_m3 * effective / 1e5))
