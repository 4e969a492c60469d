"""Kv of sizes that were tested without an opening, where the force balance says how far the superheat opened them.

    phi = (p_bulb - p_under - spring - u (dp - middle drop)) / gradient,   Kv = K / c(phi)

Spring, gradient and u come from rows of the same charge with an opening, K from the flow, the flow law and the liquid at
the inlet.  An error of Kv has two parts: that of each row, by flow meter and bulb, and that of the balance, which all
rows share.  Rows that give a Kv give no opening to the balance.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tablegen.bench.balance_fit import BalanceFit, fit_balance
from tablegen.bench.balance_model import pressure_slope
from tablegen.bench.flow_fit import FlowPart
from tablegen.bench.flow_law import Spread
from tablegen.bench.flow_model import Exponents, inlet_states, without_reason
from tablegen.bench.parameters import Parameter, Quantity
from tablegen.bench.readings import BenchRows, FitOptions, ValveOnBench
from tablegen.bench.result import Estimate
from tablegen.bench.robust import Problem, fit, quantile
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.flow import FlowLaw, required_flow_coefficient
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import OpeningCharacteristic

_MIN_ROWS = 5
# An opening counts where it is as many of its standard errors from closed, and from the stop.
_FROM_CLOSED, _FROM_STOP = 8.0, 2.0
_MAX_BOUND = 0.2
_STEP = 1e-4
# A flow meter of which nothing is known.
_FLOW_ERROR = 0.01


@dataclass(frozen=True, slots=True)
class KvBySuperheat:
    """Estimates of Kv, and which rows gave them, shape (rows,)."""

    estimates: tuple[Estimate, ...]
    is_used: Bools


NONE_BY_SUPERHEAT = KvBySuperheat((), np.zeros(0, dtype=bool))


def kv_by_superheat(
    bench: BenchRows, valve: ValveOnBench, refrigerants: Mapping[str, Refrigerant], options: FitOptions, flow: FlowPart
) -> KvBySuperheat:
    """Kv of the sizes whose rows have a flow and a bulb temperature, and none an opening.

    Parameters
    ----------
    bench : BenchRows
    valve : ValveOnBench
        The family, as its file states it.
    refrigerants : mapping of str to Refrigerant
        Those of the rows, by name.
    options : FitOptions
    flow : FlowPart
        The fit of the rows that have an opening.

    Returns
    -------
    KvBySuperheat
        Without estimates where the balance of the charge cannot be determined from rows with an opening.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    """
    nothing = KvBySuperheat((), np.zeros(len(bench.line), dtype=bool))
    wanted = bench.lacks_opening & ~np.isin(bench.size, bench.size[bench.has_flow])
    if not wanted.any() or flow.doubt is not None or not bench.has_balance.any():
        return nothing
    balance, findings = fit_balance(bench, valve, options)
    known = {e.parameter for e in findings.estimates}
    settings = (Quantity.STATIC_SUPERHEAT, Quantity.OPENING_SUPERHEAT)
    charges = [c for c in valve.charges if all(Parameter(q, c) in known for q in settings)]
    if balance is None or balance.misfits:
        return nothing
    at = np.flatnonzero(wanted & np.isin(bench.charge, charges))
    at = at[without_reason(inlet_states(bench, at, refrigerants).why)]
    opening, error, shared = _openings(bench, at, valve, balance)
    keep = (opening > _FROM_CLOSED * error) & (opening < valve.stop - _FROM_STOP * error)
    at, opening, error, shared = at[keep], opening[keep], error[keep], shared[keep]
    estimates, is_used = [], nothing.is_used
    log_kv, slope = _log_kv(bench, at, opening, valve, refrigerants, flow)
    spread = np.hypot(_flow_error(options, flow, bench, at), slope * error)
    for size in dict.fromkeys(map(str, bench.size[at])):
        own = np.flatnonzero(bench.size[at] == size)
        if len(own) < _MIN_ROWS:
            continue
        estimate = _mean(size, log_kv[own], spread[own], slope[own, None] * shared[own], options.confidence)
        if estimate.half_width <= _MAX_BOUND * estimate.value:
            estimates.append(estimate)
            is_used[bench.size == size] |= wanted[bench.size == size]
    return KvBySuperheat(tuple(estimates), is_used)


def _openings(bench: BenchRows, at: Names, valve: ValveOnBench, balance: BalanceFit) -> tuple[Floats, Floats, Floats]:
    """Opening by the balance, its standard error by the bulb, and how it follows the errors that rows share."""
    model, fit_of = balance.model, balance.fit
    bulb, charge = bench.bulb_temperature_k[at], bench.charge[at]
    pressure, slope = np.full((2, len(at)), np.nan)
    for name in dict.fromkeys(charge):
        own, curve = charge == name, balance.charges[str(name)]
        is_liquid = ~curve.is_above_limit(bulb[own])
        pressure[own] = np.where(is_liquid, curve.pressure(bulb[own]), np.nan)
        slope[own] = pressure_slope(curve, bulb[own])
    force = pressure - bench.evaporator_pressure_pa[at]
    drop = (bench.inlet_pressure_pa - bench.outlet_pressure_pa)[at] - model.middle_drop_pa
    index = {name: i for i, name in enumerate(fit_of.names)}

    def column(quantity: Quantity, by: Floats) -> Floats:
        """A parameter's place in the sum of forces, for the charge of each row."""
        found = np.zeros((len(at), len(index)))
        for i, name in enumerate(charge):
            port = model.port_of(str(name)) if quantity is Quantity.UNBALANCE else Parameter(quantity, str(name))
            if port is not None and port not in fit_of.undetermined:
                found[i, index[port]] = by[i]
        return found

    rest = column(Quantity.SPRING, np.ones(len(at))) + column(Quantity.UNBALANCE, drop)
    gradient = column(Quantity.GRADIENT, np.ones(len(at))) @ fit_of.values
    opening = (force - rest @ fit_of.values) / gradient
    by_value = -(rest + column(Quantity.GRADIENT, opening)) / gradient[:, None]
    size, axes = np.linalg.eigh(np.nan_to_num(fit_of.covariance))
    shared = by_value @ (axes * np.sqrt(np.maximum(size, 0.0)))
    return opening, np.abs(fit_of.scatter * slope / gradient), shared


def _log_kv(
    bench: BenchRows,
    at: Names,
    opening: Floats,
    valve: ValveOnBench,
    refrigerants: Mapping[str, Refrigerant],
    flow: FlowPart,
) -> tuple[Floats, Floats]:
    """ln Kv of each row under the fitted or else the family's law and characteristic; d(ln c)/d(phi)."""
    found, stated = flow.fit, valve.stated
    law, points, recovery = valve.law, None, 1.0 if stated is None else stated.pressure_recovery
    exponents = Exponents.of(None if stated is None else stated.discharge)
    if found is not None:
        points = found.points
        if found.law is not None:
            law, recovery = found.law, float(np.exp(found.model.log_recovery(found.fit.values)))
            exponents = found.model.exponents(found.fit.values)
    curve = OpeningCharacteristic(valve.stop, points or ())
    if points is None and stated is not None:
        curve = stated.characteristic
    states = inlet_states(bench, at, refrigerants)
    every = np.ones(len(at), dtype=bool)
    log_recovery = float(np.log(recovery)) if law is FlowLaw.CHOKED else 0.0
    choke = states.conditions(every).log_correction(law, log_recovery, exponents)
    coefficient = required_flow_coefficient(bench.flow_kg_s[at], states.density_kg_m3, states.drop_pa)
    log_share = np.log(curve.share(opening))
    slope = (log_share - np.log(curve.share(opening - _STEP))) / _STEP
    return np.log(coefficient) - choke - log_share, slope


def _flow_error(options: FitOptions, flow: FlowPart, bench: BenchRows, at: Names) -> Floats:
    """Standard error of ln K by flow meter and drop."""
    drop = (bench.inlet_pressure_pa - bench.outlet_pressure_pa)[at]
    if flow.fit is not None:
        shown = flow.fit.shown
        return Spread(shown.flow, 0.0, shown.drop_pa).of(np.zeros(len(at)), drop)
    spread = Spread(options.flow_uncertainty or _FLOW_ERROR, 0.0, options.drop_uncertainty_pa or 0.0)
    return spread.of(np.zeros(len(at)), drop)


def _mean(size: str, log_kv: Floats, spread: Floats, shared: Floats, confidence: float) -> Estimate:
    """Kv of one size: the robust mean of its rows, with what they share."""
    name = Parameter(Quantity.KV, size)
    start = np.array([float(np.median(log_kv))])
    found = fit(Problem((name,), lambda x: (log_kv - x[0]) / spread, lambda x: -1.0 / spread[:, None], start))
    weight = found.weights / spread**2
    moved = (weight[:, None] * shared).sum(axis=0) / weight.sum()
    error = float(np.sqrt(found.covariance[0, 0] + (moved**2).sum()))
    value = float(np.exp(found.values[0]))
    return Estimate(
        parameter=name,
        value=value,
        half_width=quantile(confidence, found.freedom) * error * value,
        standard_error=error * value,
        rows=int(found.is_used.sum()),
    )
