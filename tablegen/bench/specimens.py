"""Several specimens of a family on the bench: each fitted as a size and a charge of its own, then pooled.

A specimen has its own Kv, setting, unbalance and, where it was measured, charge curve; flow law, pressure recovery and
opening characteristic are those of all.  What is pooled is the mean valve and how specimens differ from it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from tablegen.bench.balance_fit import BalanceFit
from tablegen.bench.balance_model import ChargeFit
from tablegen.bench.flow_fit import FlowFit
from tablegen.bench.parameters import NotDetermined, Parameter, Quantity
from tablegen.bench.random_effects import RandomEffects, half_width, random_effects
from tablegen.bench.readings import BenchRows, ValveOnBench
from tablegen.bench.result import CurvePoint, Estimate, Findings, MeasuredCharge, Scatter
from tablegen.physics.arrays import Names

# Between the name of a size or charge and a specimen of it; no name has it.
_MARK = "\N{NO-BREAK SPACE}("
_POOLED = (Quantity.KV, Quantity.STATIC_SUPERHEAT, Quantity.OPENING_SUPERHEAT, Quantity.UNBALANCE)
_POINTS = 9


def label(name: str, specimen: str) -> str:
    """The name of a specimen of a size or charge: "45 (A)"."""
    return f"{name}{_MARK}{specimen})"


def unlabeled(name: str) -> str:
    """The size or charge of which a name is that of a specimen, or the name itself."""
    return name.partition(_MARK)[0]


def each_specimen(rows: BenchRows, valve: ValveOnBench) -> tuple[BenchRows, ValveOnBench]:
    """Rows and valve as if each specimen were a size and a charge of its own, with a port of its own."""

    def labeled(names: Names) -> Names:
        made = [label(name, own) if name else "" for name, own in zip(names, rows.specimen, strict=True)]
        return np.array(made, dtype=object)

    size, charge = labeled(rows.size), labeled(rows.charge)
    charges = {name: valve.charges[unlabeled(name)] for name in dict.fromkeys(charge) if name}
    stated = valve.stated
    if stated is not None:
        names = [name for name in dict.fromkeys(size) if unlabeled(name) in stated.kv_m3h]
        deviation = {name: stated.kv_deviation.get(unlabeled(name), 0.0) for name in names}
        kv = {name: stated.kv_m3h[unlabeled(name)] for name in names}
        stated = replace(stated, kv_m3h=kv, kv_deviation=deviation)
    own_rows = replace(rows, size=size, charge=charge)
    return own_rows, replace(valve, charges=charges, stated=stated, has_own_ports=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pooled:
    """What specimens come to: nominal values in place of their own, and how they differ.

    `own` are the estimates of each specimen; `lone` are the quantities of which no two specimens are alike, so that
    their scatter stays unknown.
    """

    findings: Findings
    balance: BalanceFit | None
    scatter: tuple[Scatter, ...]
    own: tuple[Estimate, ...]
    lone: tuple[Quantity, ...]


def pooled(findings: Findings, flow: FlowFit | None, balance: BalanceFit | None, confidence: float) -> Pooled:
    """Nominal values and scatter from the fits of all specimens.

    Parameters
    ----------
    findings : Findings
        Of rows by `each_specimen`.
    flow, balance : FlowFit, BalanceFit or None
    confidence : float
        Of the two-sided bounds [1].

    Returns
    -------
    Pooled

    References
    ----------
    In `tablegen.bench.random_effects`.
    """
    estimates: list[Estimate] = []
    scatter: list[Scatter] = []
    own: list[Estimate] = []
    lone: list[Quantity] = []

    def add_scatter(quantity: Quantity, found: RandomEffects, specimens: int) -> None:
        if found.freedom < 1:
            lone.append(quantity)
            return
        scatter.append(
            Scatter(
                quantity=quantity,
                deviation=found.deviation,
                low=found.low,
                high=found.high,
                specimens=specimens,
                freedom=found.freedom,
            )
        )

    for quantity, members in _by_quantity(findings.estimates):
        is_of_specimens = quantity in _POOLED and all(unlabeled(e.parameter.of) != e.parameter.of for e in members)
        if not is_of_specimens:
            estimates += members
            continue
        own += members
        means, found = _means(quantity, members, flow, confidence)
        estimates += means
        add_scatter(quantity, found, len(members))
    curves: dict[str, MeasuredCharge] = {}
    if balance is not None and balance.measured:
        curves, found = _curves(balance.measured, confidence)
        add_scatter(Quantity.CHARGE_CURVE, found, len(balance.measured))
    if balance is not None:
        drops = {unlabeled(charge): drop for charge, drop in balance.reference_drop_pa.items()}
        balance = replace(balance, reference_drop_pa=drops, curves=curves)
    known = {estimate.parameter for estimate in estimates}
    missing = tuple(_missing(findings.not_determined, known))
    return Pooled(
        findings=replace(findings, estimates=estimates, not_determined=[*missing]),
        balance=balance,
        scatter=tuple(scatter),
        own=tuple(own),
        lone=tuple(lone),
    )


def _by_quantity(estimates: list[Estimate]) -> Iterator[tuple[Quantity, list[Estimate]]]:
    for quantity in dict.fromkeys(e.parameter.quantity for e in estimates):
        yield quantity, [e for e in estimates if e.parameter.quantity is quantity]


def _means(
    quantity: Quantity, members: list[Estimate], flow: FlowFit | None, confidence: float
) -> tuple[list[Estimate], RandomEffects]:
    """The mean of each size or charge; Kv by logarithms, as its scatter is a share of it."""
    is_kv = quantity is Quantity.KV
    values, errors = (np.array([getattr(e, name) for e in members]) for name in ("value", "standard_error"))
    covariance = np.diag((errors / values) ** 2 if is_kv else errors**2)
    if is_kv:
        values = np.log(values)
    if is_kv and flow is not None:
        # Kv of all specimens share the errors of characteristic and F_L; what a lack of fit adds is each one's own.
        own = np.array([i for i, e in enumerate(members) if e.parameter in flow.fit.names], dtype=int)
        at = [flow.fit.index(members[i].parameter) for i in own]
        shared = flow.fit.covariance[np.ix_(at, at)]
        rest = np.maximum(np.diag(covariance)[own] - np.diag(shared), 0.0)
        covariance[np.ix_(own, own)] = shared + np.diag(rest)
    names, group = _groups([_base(e.parameter).of for e in members])
    found = random_effects(values, covariance, group, confidence)
    estimates = []
    for i, name in enumerate(names):
        alike = [e for e, at in zip(members, group, strict=True) if at == i]
        parameter = Parameter(quantity, name)
        if found.freedom < 1:
            # One specimen of each: its own value stands for all, and nothing is known of others.
            estimates.append(replace(alike[0], parameter=parameter))
            continue
        mean, error, half = float(found.means[i]), float(found.errors[i]), half_width(found, i, confidence)
        value, unit = (float(np.exp(mean)), float(np.exp(mean))) if is_kv else (mean, 1.0)
        estimates.append(
            Estimate(
                parameter=parameter,
                value=value,
                half_width=half * unit,
                standard_error=error * unit,
                rows=sum(e.rows for e in alike),
            )
        )
    return estimates, found


def _base(parameter: Parameter) -> Parameter:
    """The parameter of all specimens of which one is of a single specimen; a port's unbalance is of the family."""
    of = "" if parameter.quantity is Quantity.UNBALANCE else unlabeled(parameter.of)
    return replace(parameter, of=of)


def _groups(names: list[str]) -> tuple[list[str], Names]:
    each = list(dict.fromkeys(names))
    return each, np.array([each.index(name) for name in names], dtype=int)


def _missing(every: list[NotDetermined], known: set[Parameter]) -> Iterator[NotDetermined]:
    """A parameter that no specimen determines once, with the first reason; that of a single one by its name."""
    seen = set()
    for one in every:
        base = _base(one.parameter)
        if base in known:
            yield one
        elif base not in seen:
            seen.add(base)
            yield replace(one, parameter=base)


def _curves(measured: Mapping[str, ChargeFit], confidence: float) -> tuple[dict[str, MeasuredCharge], RandomEffects]:
    """The mean curve of each charge, over the range in which all its specimens were measured; their scatter there."""
    names, group = _groups([unlabeled(name) for name in measured])
    fits = list(measured.values())
    ranges = []
    for i in range(len(names)):
        low, high = zip(*(f.curve.range_k for f, at in zip(fits, group, strict=True) if at == i), strict=True)
        ranges.append((max(low), min(high)))

    def pooled_at(temperature_of: Callable[[tuple[float, float]], float]) -> RandomEffects:
        at = np.array([temperature_of(ranges[i]) for i in group])
        values = np.array([float(np.log(f.curve.pressure(t))) for f, t in zip(fits, at, strict=True)])
        errors = np.array([f.relative_error(np.array([t]))[0] for f, t in zip(fits, at, strict=True)])
        return random_effects(values, np.diag(errors**2), group, confidence)

    along = [
        (share, pooled_at(lambda ends, by=share: (1.0 - by) * ends[0] + by * ends[1]))  # type: ignore[misc]
        for share in np.linspace(0.0, 1.0, _POINTS)
    ]
    curves = {}
    for i, name in enumerate(names):
        alike = [f for f, at in zip(fits, group, strict=True) if at == i]
        if ranges[i][0] >= ranges[i][1] or (len(alike) == 1 and along[0][1].freedom < 1):
            curves[name] = alike[0].result(confidence)
            continue
        points, widest = [], 0.0
        for share, found in along:
            at = float((1.0 - share) * ranges[i][0] + share * ranges[i][1])
            relative = half_width(found, i, confidence)
            pressure = float(np.exp(found.means[i]))
            points.append(CurvePoint(at, pressure, pressure * relative))
            widest = max(widest, relative)
        curves[name] = MeasuredCharge(tuple(points), widest, sum(int(f.fit.is_used.sum()) for f in alike))
    return curves, along[_POINTS // 2][1]
