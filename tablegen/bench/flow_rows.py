"""Bench rows as the flow laws see them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from tablegen.bench.result import LeftOut
from tablegen.bench.rows import BenchRows
from tablegen.bench.subject import ValveOnBench
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.equations import critical_pressure_ratio_factor
from tablegen.physics.flow import required_flow_coefficient
from tablegen.physics.refrigerants import Refrigerant

# Below this opening a stroke is not known well enough to speak of a share of it.
_MIN_OPENING = 0.02
_BEYOND_STOP = 0.02
PART = "flow"


@dataclass(frozen=True, slots=True)
class FlowRows:
    """Rows with a mass flow, arrays of one length.

    Attributes
    ----------
    size : array of int
        Place in `sizes`.
    choking : Floats [1]
        Pressure drop over p_1 - F_F p_v.
    log_coefficient : Floats
        ln of the flow coefficient [m3/h] that the whole drop asks for.
    spread : Floats
        How far `log_coefficient` may be off, relative to other rows; 1 until something is known of it.
    refrigerant : array of str
    subcooling_k : Floats [K]
        Bubble temperature at the inlet pressure less liquid temperature.
    """

    line: Floats
    sizes: tuple[str, ...]
    size: Names
    opening: Floats
    pressure_drop_pa: Floats
    choking: Floats
    log_coefficient: Floats
    spread: Floats
    flow_kg_s: Floats
    refrigerant: Names
    subcooling_k: Floats

    def __len__(self) -> int:
        return len(self.line)

    def where(self, keep: Bools) -> FlowRows:
        """Some of the rows; sizes that are left without any go too."""
        sizes = tuple(name for i, name in enumerate(self.sizes) if (self.size[keep] == i).any())
        place = {self.sizes.index(name): i for i, name in enumerate(sizes)}
        return FlowRows(
            self.line[keep],
            sizes,
            np.array([place[i] for i in self.size[keep]], dtype=int),
            self.opening[keep],
            self.pressure_drop_pa[keep],
            self.choking[keep],
            self.log_coefficient[keep],
            self.spread[keep],
            self.flow_kg_s[keep],
            self.refrigerant[keep],
            self.subcooling_k[keep],
        )


@dataclass(frozen=True, slots=True)
class InletStates:
    """Liquid at the valve inlet in some rows of a file, and the drop over the port; arrays of one length.

    `limit_pa` is p_1 - F_F p_v; `why` says why a row's flow cannot be used, "" where it can.
    """

    drop_pa: Floats
    limit_pa: Floats
    density_kg_m3: Floats
    subcooling_k: Floats
    why: Names

    def choking(self, keep: Bools) -> Floats:
        """Drop over the limit."""
        return np.asarray(self.drop_pa[keep] / self.limit_pa[keep])


def inlet_states(rows: BenchRows, at: Names, refrigerants: Mapping[str, Refrigerant]) -> InletStates:
    """The states of the rows at these places."""
    inlet, liquid, drop = (
        rows.inlet_pressure_pa[at],
        rows.inlet_temperature_k[at],
        (rows.inlet_pressure_pa - rows.outlet_pressure_pa)[at],
    )
    bubble, limit, density, subcooling = np.full((4, len(at)), np.nan)
    for name in dict.fromkeys(rows.refrigerant[at]):
        own = rows.refrigerant[at] == name
        fluid = refrigerants[str(name)]
        bubble[own] = fluid.bubble(liquid[own]).pressure_pa
        factor = critical_pressure_ratio_factor(bubble[own], fluid.critical_pressure_pa)
        limit[own] = inlet[own] - factor * bubble[own]
        density[own] = fluid.liquid(liquid[own], inlet[own]).density_kg_m3
        subcooling[own] = fluid.bubble_temperature(inlet[own]) - liquid[own]
    reasons = (
        (~np.isfinite(bubble), "the refrigerant has no such liquid state"),
        (inlet <= bubble, "the liquid flashes before the valve: its bubble pressure is not below the inlet pressure"),
        (drop <= 0.0, "the inlet pressure is not above the outlet pressure"),
        (~np.isfinite(density), "the refrigerant has no such liquid state"),
    )
    return InletStates(drop, limit, density, subcooling, first_reason(len(at), reasons))


def first_reason(count: int, reasons: Sequence[tuple[Bools, Any]]) -> Names:
    """For each row the first text, or text of an array, that applies; "" where none does."""
    found = np.full(count, "", dtype=object)
    for is_so, why in reasons:
        at = (found == "") & is_so
        found[at] = why[at] if isinstance(why, np.ndarray) else why
    return found


def flow_rows(
    rows: BenchRows, valve: ValveOnBench, refrigerants: Mapping[str, Refrigerant]
) -> tuple[FlowRows, list[LeftOut]]:
    """The rows that tell a flow, and those that would but cannot be used."""
    at = np.flatnonzero(rows.tells_flow)
    states, opening = inlet_states(rows, at, refrigerants), rows.opening[at]
    reasons = first_reason(
        len(at),
        (
            (opening > valve.stop + _BEYOND_STOP, "it is open beyond the stop of the family"),
            (opening < _MIN_OPENING, "it is all but shut"),
            (states.why != "", states.why),
        ),
    )
    keep = reasons == ""
    left_out = [LeftOut(int(rows.line[i]), PART, str(why)) for i, why in zip(at, reasons, strict=True) if why]
    kept = at[keep]
    sizes = tuple(dict.fromkeys(map(str, rows.size[kept])))
    drop = states.drop_pa[keep]
    coefficient = required_flow_coefficient(rows.flow_kg_s[kept], states.density_kg_m3[keep], drop)
    opening = np.minimum(opening[keep], valve.stop)
    found = FlowRows(
        rows.line[kept],
        sizes,
        np.array([sizes.index(str(s)) for s in rows.size[kept]], dtype=int),
        opening,
        drop,
        states.choking(keep),
        np.log(coefficient),
        np.ones(len(kept)),
        rows.flow_kg_s[kept],
        rows.refrigerant[kept],
        states.subcooling_k[keep],
    )
    return found, left_out
