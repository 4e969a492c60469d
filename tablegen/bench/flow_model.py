"""Bench rows as the flow laws see them, and the flow equation as a problem of least squares in logarithms.

    ln K = ln Kv + ln c(phi) + 1/2 min(0, ln(F_L^2 (p_1 - F_F p_v) / dp))
    ln K = ln Kv + ln c(phi) + a ln(s/s_ref) + b ln(y/y_ref)

K is the flow coefficient that the whole drop asks for; its last term is that of the law `choked`, or of the law
`discharge_coefficient`, where Kv is that at the reference point; the law `orifice` has none.  A
residual is a relative deviation of mass flow, as a flow meter's error is one of its reading.

References
----------
IEC 60534-2-1: flow of liquids, F_L and F_F (in `tablegen.physics.flow`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from scipy.interpolate import PchipInterpolator

from tablegen.bench.parameters import LeftOut, Parameter, Part, Quantity, Unusable
from tablegen.bench.readings import BenchRows, ValveOnBench
from tablegen.bench.robust import Fit, Problem, best_start, fit
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.discharge import DischargeCoefficient, drop_ratio, subcooling_ratio
from tablegen.physics.equations import critical_pressure_ratio_factor
from tablegen.physics.flow import FlowLaw, required_flow_coefficient
from tablegen.physics.refrigerants import Refrigerant

# Below this opening a stroke is not known well enough to give a share of it.
_MIN_OPENING = 0.02
_BEYOND_STOP = 0.02
_STEP = 1e-6
_LOG_SHARES = (-12.0, 3.0)
_RECOVERY_STARTS = (0.5, 0.7, 0.9)
# Openings: apart by more they are two settings; a setting is at a round figure if it is as near; a point stays this
# far from the next and has as many rows.
_GAP, _NEAR, _APART, _MIN_ROWS = 0.03, 0.04, 0.07, 3
# Openings within this give one point, not a curve.
_ONE_OPENING = 0.1

RECOVERY = Parameter(Quantity.PRESSURE_RECOVERY)
EXPONENTS = (Parameter(Quantity.SUBCOOLING_EXPONENT), Parameter(Quantity.DROP_EXPONENT))


@dataclass(frozen=True, slots=True)
class Exponents:
    """Exponents of subcooling and drop, and the logarithms of s_ref and y_ref."""

    subcooling: float
    drop: float
    reference: tuple[float, float]

    @classmethod
    def of(cls, discharge: DischargeCoefficient | None) -> Exponents | None:
        """Those of a family's coefficient; None without one."""
        if discharge is None:
            return None
        reference = float(np.log(discharge.reference_subcooling)), float(np.log(discharge.reference_drop))
        return cls(discharge.subcooling_exponent, discharge.drop_exponent, reference)


@dataclass(frozen=True, slots=True)
class PortConditions:
    """What the flow laws make of rows; arrays of one length.

    Attributes
    ----------
    choking : Floats [1]
        Pressure drop over p_1 - F_F p_v.
    log_subcooling, log_drop : Floats
        ln s and ln y of the discharge coefficient.
    """

    choking: Floats
    log_subcooling: Floats
    log_drop: Floats

    def log_correction(self, law: FlowLaw, log_recovery: float, exponents: Exponents | None) -> Floats:
        """What a law adds to ln K of the orifice law, shape (rows,)."""
        if law is FlowLaw.DISCHARGE_COEFFICIENT:
            assert exponents is not None, "the law has exponents"
            s, y = exponents.reference
            by_subcooling = exponents.subcooling * (self.log_subcooling - s)
            return np.asarray(by_subcooling + exponents.drop * (self.log_drop - y))
        return log_choke(law, self.choking, log_recovery)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowRows:
    """Rows with a mass flow, arrays of one length.

    Attributes
    ----------
    sizes : tuple of str
    size : array of int
        Index into `sizes`.
    choking : Floats [1]
        Pressure drop over p_1 - F_F p_v.
    log_subcooling, log_drop : Floats
        ln s and ln y of the discharge coefficient.
    log_coefficient : Floats
        ln of the flow coefficient [m3/h] that the whole drop asks for.
    spread : Floats
        How far `log_coefficient` may be off, relative to other rows; 1 until something is known of it.
    refrigerant : array of str
    subcooling_k : Floats [K]
        Bubble temperature at the inlet pressure less liquid temperature.
    """

    sizes: tuple[str, ...]
    line: Floats
    size: Names
    opening: Floats
    pressure_drop_pa: Floats
    choking: Floats
    log_subcooling: Floats
    log_drop: Floats
    log_coefficient: Floats
    spread: Floats
    flow_kg_s: Floats
    refrigerant: Names
    subcooling_k: Floats

    def __len__(self) -> int:
        return len(self.line)

    @property
    def size_names(self) -> Names:
        """The size of each row by name."""
        return np.array([self.sizes[i] for i in self.size], dtype=object)

    @property
    def conditions(self) -> PortConditions:
        """What the flow laws make of the rows."""
        return PortConditions(self.choking, self.log_subcooling, self.log_drop)

    def where(self, keep: Bools) -> FlowRows:
        """Some of the rows; sizes without any are left out too."""
        sizes, size = indexed(self.size_names[keep])
        columns = {f.name: getattr(self, f.name)[keep] for f in fields(self) if f.name not in ("sizes", "size")}
        return FlowRows(sizes=sizes, size=size, **columns)


@dataclass(frozen=True, slots=True, kw_only=True)
class InletStates:
    """Liquid at the valve inlet in some rows of a file, and the drop over the port; arrays of one length.

    `limit_pa` is p_1 - F_F p_v; `subcooling` and `drop` are s and y [1]; `why` says why a row's flow cannot be used, None where it can.
    """

    drop_pa: Floats
    limit_pa: Floats
    density_kg_m3: Floats
    subcooling_k: Floats
    subcooling: Floats
    drop: Floats
    why: Names

    def conditions(self, keep: Bools) -> PortConditions:
        """What the flow laws make of some rows, which have no reason `why` not."""
        choking = self.drop_pa[keep] / self.limit_pa[keep]
        with np.errstate(invalid="ignore", divide="ignore"):
            return PortConditions(choking, np.log(self.subcooling[keep]), np.log(self.drop[keep]))


def inlet_states(rows: BenchRows, at: Names, refrigerants: Mapping[str, Refrigerant]) -> InletStates:
    """The states of the rows with these indices, shape (at,)."""
    inlet, liquid = rows.inlet_pressure_pa[at], rows.inlet_temperature_k[at]
    drop = (rows.inlet_pressure_pa - rows.outlet_pressure_pa)[at]
    bubble, limit, density, subcooling, critical = np.full((5, len(at)), np.nan)
    for name in dict.fromkeys(rows.refrigerant[at]):
        own = rows.refrigerant[at] == name
        fluid = refrigerants[str(name)]
        bubble[own] = fluid.bubble(liquid[own]).pressure_pa
        factor = critical_pressure_ratio_factor(bubble[own], fluid.critical_pressure_pa)
        limit[own] = inlet[own] - factor * bubble[own]
        critical[own] = fluid.critical_pressure_pa
        density[own] = fluid.liquid(liquid[own], inlet[own]).density_kg_m3
        subcooling[own] = fluid.bubble_temperature(inlet[own]) - liquid[own]
    reasons = (
        (~np.isfinite(bubble), Unusable.NO_LIQUID),
        (inlet <= bubble, Unusable.FLASHES),
        (drop <= 0.0, Unusable.NO_DROP),
        (~np.isfinite(density), Unusable.NO_LIQUID),
    )
    why = first_reason(len(at), reasons)
    return InletStates(
        drop_pa=drop,
        limit_pa=limit,
        density_kg_m3=density,
        subcooling_k=subcooling,
        subcooling=subcooling_ratio(p_1=inlet, p_v=bubble, p_crit=critical),
        drop=drop_ratio(dp=drop, p_1=inlet),
        why=why,
    )


def first_reason(count: int, reasons: Sequence[tuple[Bools, Unusable | Names]]) -> Names:
    """For each row the first reason, or reason of an array, that applies; None where none does."""
    found = np.full(count, None, dtype=object)
    for applies, why in reasons:
        at = without_reason(found) & applies
        found[at] = why[at] if isinstance(why, np.ndarray) else why
    return found


def without_reason(why: Names) -> Bools:
    """The rows that `first_reason` gives no reason for."""
    return np.array([reason is None for reason in why], dtype=bool)


def usable_rows(
    line: Floats, part: Part, reasons: Sequence[tuple[Bools, Unusable | Names]]
) -> tuple[Bools, list[LeftOut]]:
    """Which rows can be used, shape (rows,), and those left out, each with the first reason that applies."""
    why = first_reason(len(line), reasons)
    left_out = [LeftOut(line=int(at), part=part, why=own) for at, own in zip(line, why, strict=True) if own]
    return without_reason(why), left_out


def indexed(names: Names) -> tuple[tuple[str, ...], Names]:
    """Each name once, in the order in which they come, and the index of each row's, shape (rows,)."""
    each = tuple(dict.fromkeys(map(str, names)))
    return each, np.array([each.index(str(name)) for name in names], dtype=int)


def flow_rows(
    rows: BenchRows, valve: ValveOnBench, refrigerants: Mapping[str, Refrigerant]
) -> tuple[FlowRows, list[LeftOut]]:
    """The rows that give a flow, and those that would but cannot be used."""
    at = np.flatnonzero(rows.has_flow)
    states, opening = inlet_states(rows, at, refrigerants), rows.opening[at]
    reasons = (
        (opening > valve.stop + _BEYOND_STOP, Unusable.BEYOND_STOP),
        (opening < _MIN_OPENING, Unusable.NEARLY_SHUT),
        (~without_reason(states.why), states.why),
    )
    keep, left_out = usable_rows(rows.line[at], Part.FLOW, reasons)
    says_nothing = np.isfinite(rows.flow_kg_s) & np.isnan(rows.opening) & ~rows.lacks_opening
    left_out += [LeftOut(line=int(n), part=Part.FLOW, why=Unusable.NO_OPENING) for n in rows.line[says_nothing]]
    used = at[keep]
    sizes, size = indexed(rows.size[used])
    drop, conditions = states.drop_pa[keep], states.conditions(keep)
    coefficient = required_flow_coefficient(rows.flow_kg_s[used], states.density_kg_m3[keep], drop)
    found = FlowRows(
        sizes=sizes,
        line=rows.line[used],
        size=size,
        opening=np.minimum(opening[keep], valve.stop),
        pressure_drop_pa=drop,
        choking=conditions.choking,
        log_subcooling=conditions.log_subcooling,
        log_drop=conditions.log_drop,
        log_coefficient=np.log(coefficient),
        spread=np.ones(len(used)),
        flow_kg_s=rows.flow_kg_s[used],
        refrigerant=rows.refrigerant[used],
        subcooling_k=states.subcooling_k[keep],
    )
    return found, left_out


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowModel:
    """Rows, law, and where the characteristic has free points; none where it is linear.

    `recovery` is F_L where it is not fitted, `reference` ln s_ref and ln y_ref of the discharge coefficient.
    """

    rows: FlowRows
    law: FlowLaw
    nodes: tuple[float, ...] | None = None
    recovery: float | None = None
    reference: tuple[float, float] = (0.0, 0.0)

    @property
    def names(self) -> tuple[Parameter, ...]:
        """Parameters, fitted as logarithms: Kv of every size, shares at the points, F_L; exponents as they are."""
        kv = tuple(Parameter(Quantity.KV, size) for size in self.rows.sizes)
        shares = tuple(Parameter(Quantity.OPENING, opening=node) for node in self.nodes or ())
        last = EXPONENTS if self.law is FlowLaw.DISCHARGE_COEFFICIENT else (RECOVERY,) if self._fits_recovery else ()
        return (*kv, *shares, *last)

    @property
    def _fits_recovery(self) -> bool:
        return self.law is FlowLaw.CHOKED and self.recovery is None

    def start(self, recovery: float = 0.8) -> Floats:
        """Where a search begins: Kv of the median row with a linear characteristic."""
        rows = self.rows
        none = Exponents(0.0, 0.0, self.reference)
        choke = rows.conditions.log_correction(self.law, float(np.log(recovery)), none)
        apart = rows.log_coefficient - np.log(rows.opening) - choke
        kv = [float(np.median(apart[rows.size == i])) for i in range(len(rows.sizes))]
        shares = [float(np.log(node)) for node in self.nodes or ()]
        last = [0.0, 0.0] if self.law is FlowLaw.DISCHARGE_COEFFICIENT else []
        return np.array([*kv, *shares, *([np.log(recovery)] if self._fits_recovery else last)])

    def log_share(self, values: Floats, opening: Floats) -> Floats:
        """ln c at openings, shape (openings,)."""
        if self.nodes is None:
            return np.asarray(np.log(opening))
        return self._log_shares(values[None, :], opening)[:, 0]

    def _log_shares(self, values: Floats, opening: Floats) -> Floats:
        """ln c, a column for each row of parameters; making one curve of many takes no longer than one of one."""
        first, nodes = len(self.rows.sizes), self.nodes or ()
        at = np.array([0.0, 1.0, *nodes])
        ends = np.broadcast_to([0.0, 1.0], (len(values), 2))
        # A search may try what no characteristic can be.
        free = np.exp(np.clip(values[:, first : first + len(nodes)], *_LOG_SHARES))
        share = np.concatenate([ends, free], axis=1)
        order = np.argsort(at)
        return np.asarray(np.log(PchipInterpolator(at[order], share[:, order].T)(opening)))

    def log_recovery(self, values: Floats) -> float:
        """ln F_L; 0 under the other laws, where nothing depends on it."""
        if self.law is not FlowLaw.CHOKED:
            return 0.0
        return float(values[-1]) if self.recovery is None else float(np.log(self.recovery))

    def exponents(self, values: Floats) -> Exponents | None:
        """The exponents; None under the other laws."""
        if self.law is not FlowLaw.DISCHARGE_COEFFICIENT:
            return None
        return Exponents(float(values[-2]), float(values[-1]), self.reference)

    def correction(self, values: Floats) -> Floats:
        """What the law adds to ln K of the orifice law, shape (rows,)."""
        return self.rows.conditions.log_correction(self.law, self.log_recovery(values), self.exponents(values))

    def computed(self, values: Floats) -> Floats:
        """ln K of every row."""
        return np.asarray(values[self.rows.size] + self.log_share(values, self.rows.opening) + self.correction(values))

    def residuals(self, values: Floats) -> Floats:
        """Measured less computed, over the stated spread, shape (rows,)."""
        return np.asarray((self.rows.log_coefficient - self.computed(values)) / self.rows.spread)

    def jacobian(self, values: Floats) -> Floats:
        """Derivatives of the residuals, shape (rows, parameters)."""
        rows, first = self.rows, len(self.rows.sizes)
        found = np.zeros((len(rows), len(values)))
        found[np.arange(len(rows)), rows.size] = 1.0
        if self.nodes is not None:
            free = slice(first, first + len(self.nodes))
            moved = values + _STEP * np.eye(len(values))[free]
            shares = self._log_shares(np.vstack([values, moved]), rows.opening)
            found[:, free] = (shares[:, 1:] - shares[:, :1]) / _STEP
        if self._fits_recovery:
            found[:, -1] = self.correction(values) < 0.0
        if self.law is FlowLaw.DISCHARGE_COEFFICIENT:
            found[:, -2] = rows.log_subcooling - self.reference[0]
            found[:, -1] = rows.log_drop - self.reference[1]
        return np.asarray(-found / rows.spread[:, None])

    def fitted(self, is_used: Bools | None = None, start: Floats | None = None) -> tuple[FlowModel, Fit]:
        """The best fit; F_L stays at 1 where the rows would make it larger, for then none of them chokes.

        Where a row begins to choke the sum of losses has a kink, so without a `start` the search begins from several
        F_L.
        """
        starts = [self.start(f) for f in _RECOVERY_STARTS] if self._fits_recovery else [self.start()]
        problem = Problem(self.names, self.residuals, self.jacobian, starts[0])
        if start is None:
            start = starts[0] if len(starts) == 1 else best_start(problem, starts)
        best = fit(replace(problem, start=start), is_used)
        if self._fits_recovery and best.values[-1] > 0.0:
            return replace(self, recovery=1.0).fitted(is_used)
        return self, best

    def points(self, values: Floats) -> tuple[tuple[float, float], ...]:
        """The characteristic's points with (0, 0) and (1, 1), none where it is linear."""
        if self.nodes is None:
            return ()
        first = len(self.rows.sizes)
        shares = np.exp(values[first : first + len(self.nodes)])
        return tuple(sorted([(0.0, 0.0), (1.0, 1.0), *zip(self.nodes, map(float, shares), strict=True)]))


def log_choke(law: FlowLaw, choking: Floats, log_recovery: float) -> Floats:
    """What choking takes from ln K, 0 or below, at drops over p_1 - F_F p_v, shape (rows,)."""
    if law is FlowLaw.ORIFICE:
        return np.zeros(len(choking))
    return np.asarray(0.5 * np.minimum(0.0, 2.0 * log_recovery - np.log(choking)))


def points_chosen(opening: Floats, stop: float, asked: Sequence[float] | None) -> tuple[float, ...] | None:
    """Openings besides 0 and 100 percent at which the characteristic gets points; None where the rows allow none.

    Rows at settings of the bench give a point to each setting; a sweep gets one at every quarter.
    """
    ordered = np.sort(opening)
    if asked is None and ordered[-1] - ordered[0] < _ONE_OPENING:
        return None
    nodes = _centers(ordered, stop) if asked is None else [node for node in asked if node != 1.0]
    if ordered[-1] > max([1.0, *nodes]):
        # Without it the rows above would be off the curve.
        nodes = [node for node in nodes if stop - node >= _APART] + [stop]
    return tuple(sorted(nodes)) or None


def _centers(ordered: Floats, stop: float) -> list[float]:
    ends = (1.0, stop)
    nodes: list[float] = []
    groups = np.split(ordered, np.flatnonzero(np.diff(ordered) > _GAP) + 1)
    if any(group[-1] - group[0] > 2.0 * _GAP for group in groups):
        groups = [ordered[np.abs(ordered - at) <= 0.125] for at in (0.25, 0.5, 0.75, stop) if at <= ordered[-1] + _GAP]
        centers = [0.25, 0.5, 0.75, stop]
    else:
        centers = [round(float(np.median(group)), 2) for group in groups]
    for center, group in zip(centers, groups, strict=False):
        at = next((end for end in ends if abs(center - end) <= _NEAR), center)
        if len(group) >= _MIN_ROWS and at != 1.0 and all(abs(at - other) >= _APART for other in (0.0, 1.0, *nodes)):
            nodes.append(at)
    return nodes
