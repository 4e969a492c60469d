"""Openings that were not read, inferred from mass flow by inverting the flow law and the characteristic.

    c(phi) = K / Kv,   K from the flow, the law and the liquid at the inlet

Kv and the characteristic come from the rows of the same file that have an opening, or else from the family's file.  An
inferred opening goes into the force balance alone, never back into Kv or the characteristic.  Its error has two
parts: the flow meter's, a row at a time, and that of Kv, the characteristic and F_L, which all rows share.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from tablegen.bench.flow_fit import FlowFit, FlowPart
from tablegen.bench.flow_law import Spread
from tablegen.bench.flow_model import (
    EXPONENTS,
    Exponents,
    InletStates,
    PortConditions,
    inlet_states,
    usable_rows,
    without_reason,
)
from tablegen.bench.parameters import LeftOut, Parameter, Part, Quantity, Unusable
from tablegen.bench.readings import BenchRows, FitOptions, StatedFlow, ValveOnBench
from tablegen.bench.result import NONE_INFERRED, InferredFrom, InferredOpenings, KvSource
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.flow import FlowLaw, required_flow_coefficient
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import OpeningCharacteristic

# Of a parameter's standard deviation, and of an opening.
_STEP, _OPENING_STEP = 1e-3, 1e-4
# An opening less certain than this is of no use [1]; one as many deviations from the stop may be on it.
_MAX_ERROR, _FROM_STOP = 0.1, 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Port:
    """What is known of the port of some sizes: law, characteristic, F_L and exponents as functions of parameters.

    `kv` is the index of the logarithm of a size's Kv among the parameters; `covariance` is theirs.
    """

    law: FlowLaw
    kv: Mapping[str, int]
    values: Floats
    covariance: Floats
    characteristic: Callable[[Floats], OpeningCharacteristic]
    log_recovery: Callable[[Floats], float]
    exponents: Callable[[Floats], Exponents | None]
    source: KvSource

    def share(self, values: Floats, size: Names, coefficient: Floats, at: PortConditions) -> Floats:
        """c(phi) that a flow coefficient of the whole drop [m3/h] means."""
        kv = np.array([values[self.kv[str(name)]] for name in size])
        choke = at.log_correction(self.law, self.log_recovery(values), self.exponents(values))
        return np.asarray(np.exp(np.log(coefficient) - choke - kv))


def infer_openings(
    bench: BenchRows, valve: ValveOnBench, refrigerants: Mapping[str, Refrigerant], options: FitOptions, flow: FlowPart
) -> tuple[InferredOpenings, list[LeftOut]]:
    """The openings of rows that have a mass flow in place of one.

    Parameters
    ----------
    bench : BenchRows
    valve : ValveOnBench
        The family, as its file states it.
    refrigerants : mapping of str to Refrigerant
        Those of the rows, by name.
    options : FitOptions
    flow : FlowPart
        The fit of the rows of the same file that have both.

    Returns
    -------
    inferred : InferredOpenings
    left_out : list of LeftOut
        Rows whose opening cannot be inferred.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.

    References
    ----------
    IEC 60534-2-1: flow of liquids, F_L and F_F (in `tablegen.physics.flow`).
    """
    at = np.flatnonzero(bench.lacks_opening)
    if not len(at):
        return NONE_INFERRED, []
    states = inlet_states(bench, at, refrigerants)
    sizes = np.array(list(map(str, bench.size[at])), dtype=object)
    ports = [port for port in (_from_rows(flow), _from_family(valve, flow)) if port is not None]
    port_of = np.array([next((i for i, p in enumerate(ports) if s in p.kv), -1) for s in sizes], dtype=int)
    count = len(at)
    share, opening, slope = np.full((3, count), np.nan)
    shared = np.zeros((count, 0))
    for i, port in enumerate(ports):
        own = (port_of == i) & without_reason(states.why)
        if own.any():
            found = _solved(port, bench, at[own], states, own)
            share[own], opening[own], slope[own] = found.share, found.opening, found.log_slope
            more = np.zeros((count, found.shared.shape[1]))
            more[own] = found.shared
            shared = np.column_stack([shared, more])
    random = _log_error(options, flow.fit, states.drop_pa) / slope
    deviation = np.sqrt(random**2 + (shared**2).sum(axis=1))
    reasons = (
        (~without_reason(states.why), states.why),
        (port_of < 0, _kv_unknown(valve, flow)),
        (~np.isfinite(opening), Unusable.INFERRED_BEYOND_STOP),
        (~(deviation <= _MAX_ERROR), Unusable.INFERRED_UNCERTAIN),
        (opening + _FROM_STOP * deviation > valve.stop, Unusable.INFERRED_NEAR_STOP),
    )
    keep, left_out = usable_rows(bench.line[at], Part.BALANCE, reasons)
    figures = {
        Unusable.INFERRED_BEYOND_STOP: share,
        Unusable.INFERRED_UNCERTAIN: deviation,
        Unusable.INFERRED_NEAR_STOP: opening,
    }
    left_out = [
        replace(row, size=sizes[i], value=float(figures[row.why][i]) if row.why in figures else float("nan"))
        for i, row in zip(np.flatnonzero(~keep), left_out, strict=True)
    ]
    inferred = InferredOpenings(
        line=bench.line[at][keep],
        opening=opening[keep],
        random=random[keep],
        shared=shared[keep],
        sources=_sources(
            ports,
            port_of[keep],
            sizes[keep],
            deviation[keep],
            flow.fit is not None or options.flow_uncertainty is not None,
        ),
    )
    return inferred, left_out


@dataclass(frozen=True, slots=True)
class _Openings:
    """Rows of one port with the share of Kv that their flow takes, opening, d(ln c)/d(phi), and shared errors."""

    share: Floats
    opening: Floats
    log_slope: Floats
    shared: Floats


def _solved(port: _Port, bench: BenchRows, at: Names, states: InletStates, own: Bools) -> _Openings:
    """Solve the rows of one port for their openings."""
    size, conditions = bench.size[at], states.conditions(own)
    coefficient = required_flow_coefficient(bench.flow_kg_s[at], states.density_kg_m3[own], states.drop_pa[own])

    def opening_with(values: Floats) -> Floats:
        return port.characteristic(values).opening(port.share(values, size, coefficient, conditions))

    share = port.share(port.values, size, coefficient, conditions)
    opening = opening_with(port.values)
    curve = port.characteristic(port.values)
    down = np.maximum(opening - _OPENING_STEP, 0.5 * opening)
    log_slope = (np.log(share) - np.log(curve.share(down))) / (opening - down)
    deviation = np.sqrt(np.diag(port.covariance))
    known = np.flatnonzero(deviation > 0.0)
    gradient = np.zeros((len(at), len(known)))
    for j, i in enumerate(known):
        # On one side where the other leaves the travel.
        moved = _STEP * deviation[i] * np.eye(len(port.values))[i]
        ends = np.stack([opening_with(port.values + sign * moved) for sign in (1.0, -1.0)])
        steps = np.stack([ends[0] - opening, opening - ends[1]]) / (_STEP * deviation[i])
        one_sided = np.where(np.isnan(steps[0]), steps[1], steps[0])
        gradient[:, j] = np.where(np.isnan(steps.sum(axis=0)), one_sided, 0.5 * steps.sum(axis=0))
    # Independent errors of one standard deviation.
    size_of, axes = np.linalg.eigh(port.covariance[np.ix_(known, known)])
    return _Openings(share, opening, log_slope, gradient @ (axes * np.sqrt(np.maximum(size_of, 0.0))))


def _from_rows(flow: FlowPart) -> _Port | None:
    """What the rows with an opening determine; None where that cannot be inverted."""
    found = flow.fit
    if found is None or flow.doubt is not None:
        return None
    known = {e.parameter for e in flow.findings.estimates}
    if found.law is FlowLaw.CHOKED and Parameter(Quantity.PRESSURE_RECOVERY) not in known:
        return None
    if found.law is FlowLaw.DISCHARGE_COEFFICIENT and not known.issuperset(EXPONENTS):
        return None
    model, valve, sizes = found.model, found.valve, found.rows.sizes
    stated = valve.stated or StatedFlow(kv_m3h={}, characteristic=OpeningCharacteristic(valve.stop))

    def characteristic(values: Floats) -> OpeningCharacteristic:
        if found.points is None:
            return stated.characteristic
        points = model.points(values)
        return OpeningCharacteristic(min(valve.stop, points[-1][0]) if points else valve.stop, points)

    def log_recovery(values: Floats) -> float:
        # Where no row chokes Kv is known under either law, and beyond these rows the family's own law counts.
        return float(np.log(stated.pressure_recovery)) if found.law is None else model.log_recovery(values)

    return _Port(
        law=found.law or valve.law,
        kv={size: i for i, size in enumerate(sizes) if Parameter(Quantity.KV, size) in known},
        values=found.fit.values,
        covariance=np.nan_to_num(found.fit.covariance),
        characteristic=characteristic,
        log_recovery=log_recovery,
        exponents=lambda values: Exponents.of(stated.discharge) if found.law is None else model.exponents(values),
        source=KvSource.ROWS,
    )


def _from_family(valve: ValveOnBench, flow: FlowPart) -> _Port | None:
    """What the family's file states; None where the rows contradict it."""
    stated, found = valve.stated, flow.fit
    if stated is None or flow.doubt is not None or (found is not None and found.law not in (None, valve.law)):
        return None
    names = list(stated.kv_m3h)
    deviation = np.array([*(stated.kv_deviation.get(name, 0.0) for name in names), stated.recovery_deviation])
    return _Port(
        law=valve.law,
        kv={name: i for i, name in enumerate(names)},
        values=np.log([*stated.kv_m3h.values(), stated.pressure_recovery]),
        covariance=np.diag(deviation**2),
        characteristic=lambda _: stated.characteristic,
        log_recovery=lambda values: float(values[-1]),
        exponents=lambda _: Exponents.of(stated.discharge),
        source=KvSource.FAMILY,
    )


def _log_error(options: FitOptions, found: FlowFit | None, drop_pa: Floats) -> Floats:
    """Standard error of ln K by flow meter and drop; 0 where nothing is known of them."""
    spread, unit = Spread(options.flow_uncertainty or 0.0, 0.0, options.drop_uncertainty_pa or 0.0), 1.0
    if found is not None:
        spread, unit = replace(found.spread, opening=0.0), found.fit.scatter
    return np.asarray(unit * spread.of(np.zeros(len(drop_pa)), drop_pa))


def _kv_unknown(valve: ValveOnBench, flow: FlowPart) -> Unusable:
    """Why the Kv of a size is known neither from the rows nor from the family's file."""
    if flow.doubt is not None:
        return flow.doubt
    if flow.fit is not None and flow.fit.law not in (None, valve.law):
        return Unusable.KV_OF_OTHER_LAW
    return Unusable.KV_UNKNOWN


def _sources(
    ports: list[_Port], port_of: Names, size: Names, deviation: Floats, is_flow_error_known: bool
) -> tuple[InferredFrom, ...]:
    """How many openings were inferred by each source of Kv."""
    found = []
    for i, port in enumerate(ports):
        own = port_of == i
        if own.any():
            sizes = tuple(dict.fromkeys(size[own]))
            found.append(
                InferredFrom(
                    source=port.source,
                    rows=int(own.sum()),
                    sizes=sizes,
                    max_error=float(deviation[own].max()),
                    is_flow_error_known=is_flow_error_known,
                    exact_sizes=tuple(s for s in sizes if not port.covariance[port.kv[s], port.kv[s]] > 0.0),
                )
            )
    return tuple(found)
