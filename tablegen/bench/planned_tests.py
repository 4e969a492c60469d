"""The tests that would halve a bound: conditions that a bench can set, and which of them to measure how often."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import NamedTuple

import numpy as np

from tablegen.bench.balance_fit import BalanceFit
from tablegen.bench.balance_model import BalanceRows, pressure_slope
from tablegen.bench.flow_fit import FlowFit
from tablegen.bench.flow_law import log_slope
from tablegen.bench.flow_model import flow_rows
from tablegen.bench.next_rows import Bound, Design, rows_that_halve
from tablegen.bench.parameters import Part
from tablegen.bench.readings import BenchRows, ValveOnBench
from tablegen.bench.result import Estimate
from tablegen.bench.robust import quantile
from tablegen.bench.specimens import unlabeled
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.refrigerants import Refrigerant

# Readings are settings of the bench if there are no more than so many groups; else the range is divided.
_MAX_SETTINGS, _MAX_OPENINGS, _STEPS = 5, 15, 4
# Of its range, the gap between two settings.
_GAP = 0.03
_MAX_SPECIMENS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedTests:
    """What to measure, and the half-width of the bound before and after, in the unit of the estimate.

    Attributes
    ----------
    estimate : Estimate
        Whose bound it is.
    rows : BenchRows
        Conditions, each once; a bulb temperature is the one to expect.
    times : tuple of int
        How often each is measured.
    specimens : int
        Further valves to test in place of rows, 0 where rows are planned.
    before, after : float
    is_enough : bool
        Whether the bound is halved.
    """

    estimate: Estimate
    rows: BenchRows
    times: tuple[int, ...]
    specimens: int
    before: float
    after: float
    is_enough: bool


def plan_of_specimens(estimate: Estimate, own: Sequence[Estimate], freedom: int, confidence: float) -> PlannedTests:
    """How many further valves halve the bound of a mean; `own` are the estimates of the quantity for each specimen."""
    of = estimate.parameter.of
    alike = sum(not of or unlabeled(one.parameter.of) == of for one in own)

    def after(more: int) -> float:
        wide = quantile(confidence, freedom + more) / quantile(confidence, freedom)
        return float(estimate.half_width * wide * np.sqrt(alike / (alike + more)))

    more = next((n for n in range(1, _MAX_SPECIMENS) if after(n) <= 0.5 * estimate.half_width), _MAX_SPECIMENS)
    return PlannedTests(
        estimate=estimate,
        rows=_conditions([]),
        times=(),
        specimens=more,
        before=estimate.half_width,
        after=after(more),
        is_enough=after(more) <= 0.5 * estimate.half_width,
    )


def plan_of_flow(
    flow: FlowFit, estimate: Estimate, candidates: BenchRows, refrigerants: Mapping[str, Refrigerant]
) -> PlannedTests | None:
    """The rows that halve the bound of Kv, of F_L, of an exponent or of a point of the characteristic; None without a candidate.

    Parameters
    ----------
    flow : FlowFit
        In which no rows are off the law.
    estimate : Estimate
    candidates : BenchRows
        Conditions with an opening.
    refrigerants : mapping of str to Refrigerant
        Those of the candidates, by name.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    """
    sizes = flow.rows.sizes
    # A flow stands for the one that will be read.
    wanted = np.isin(candidates.size, sizes) & np.isfinite(candidates.opening)
    opening = np.minimum(candidates.opening, flow.valve.stop)
    candidates = _where(replace(candidates, opening=opening, flow_kg_s=np.ones(len(opening))), wanted)
    rows, _ = flow_rows(candidates, flow.valve, refrigerants)
    if not len(rows):
        return None
    rows = replace(rows, sizes=sizes, size=np.array([sizes.index(name) for name in rows.size_names], dtype=int))
    model = replace(flow.model, rows=rows)
    slope = log_slope(model, flow.fit)
    rows = replace(rows, spread=flow.spread.of(slope, rows.pressure_drop_pa))
    at = flow.fit.index(estimate.parameter)
    # Most parameters are fitted as logarithms.
    unit = 1.0 if estimate.parameter.quantity.is_exponent else estimate.value
    gradient = np.eye(len(flow.fit.values))[at]
    bound = Bound(
        fit=flow.fit,
        jacobian=flow.model.jacobian(flow.fit.values),
        gradient=gradient,
        other_variance=_rest(estimate.standard_error / unit, flow.fit.standard_error(gradient)),
        confidence=flow.options.confidence,
    )
    design = rows_that_halve(bound, replace(model, rows=rows).jacobian(flow.fit.values))
    usable = np.isin(candidates.line, rows.line)
    return _planned(estimate, design, _where(candidates, usable), unit)


def plan_of_balance(
    balance: BalanceFit, estimate: Estimate, candidates: BenchRows, valve: ValveOnBench, confidence: float
) -> PlannedTests | None:
    """The rows that halve the bound of a setting or of the unbalance; None without a candidate.

    Parameters
    ----------
    balance : BalanceFit
        In which no rows are off the law.
    estimate : Estimate
    candidates : BenchRows
        Conditions with a charge, an opening and an evaporator pressure; bulb temperatures follow.
    valve : ValveOnBench
        The family, as its file states it.
    confidence : float
        [1].
    """
    charges, model = balance.rows.charges, balance.model
    bulb, slope = np.full((2, len(candidates.line)), np.nan)
    names = [charges.index(name) if name in charges else -1 for name in candidates.charge]
    rows = BalanceRows(
        charges=charges,
        line=candidates.line,
        charge=np.array(names, dtype=int),
        size=candidates.size,
        opening=candidates.opening,
        pressure_drop_pa=candidates.inlet_pressure_pa - candidates.outlet_pressure_pa,
        bulb_temperature_k=bulb,
        under_pa=candidates.evaporator_pressure_pa,
        bulb_pa=bulb,
        slope_pa_k=slope,
        opening_random=bulb,
        opening_shared=bulb[:, None],
    )
    columns = model.columns(rows)
    pressure = candidates.evaporator_pressure_pa + columns @ balance.fit.values
    for name in charges:
        own = rows.of(name)
        charge = balance.charges[name]
        bulb[own] = charge.temperature(pressure[own])
        slope[own] = pressure_slope(charge, bulb[own])
        bulb[own & charge.is_above_limit(bulb)] = np.nan
    usable = np.isfinite(bulb) & (rows.pressure_drop_pa > 0.0) & (rows.opening < valve.stop - 0.01)
    if not usable.any():
        return None
    gradient = balance.gradients[estimate.parameter]
    bound = Bound(
        fit=balance.fit,
        jacobian=-model.columns() / model.unit_pa[:, None],
        gradient=gradient,
        other_variance=_rest(estimate.standard_error, balance.fit.standard_error(gradient)),
        confidence=confidence,
    )
    design = rows_that_halve(bound, -columns[usable] / slope[usable][:, None])
    return _planned(estimate, design, _where(replace(candidates, bulb_temperature_k=bulb), usable), 1.0)


def _rest(error: float, of_rows: float) -> float:
    return max(error**2 - of_rows**2, 0.0)


def _planned(estimate: Estimate, design: Design, candidates: BenchRows, unit: float) -> PlannedTests:
    at, times = np.unique(design.rows, return_counts=True)
    return PlannedTests(
        estimate=estimate,
        rows=_where(candidates, at),
        times=tuple(map(int, times)),
        specimens=0,
        before=design.before * unit,
        after=design.after * unit,
        is_enough=design.after <= 0.5 * design.before,
    )


def _where(rows: BenchRows, keep: Bools) -> BenchRows:
    """Some of the rows, by truth or by index."""
    return BenchRows(**{field.name: getattr(rows, field.name)[keep] for field in fields(rows)})


def grid(rows: BenchRows, part: Part) -> BenchRows:
    """Every combination of the settings at which the rows of a part were taken.

    What differs from row to row is divided into steps over its range.  A force balance keeps the drop from valve to
    evaporator and the liquid of its rows.
    """
    own = _where(rows, rows.has_flow if part is Part.FLOW else rows.has_balance)
    axes = [_settings(own.opening, _MAX_OPENINGS), _settings(own.inlet_pressure_pa)]
    kinds = zip(own.refrigerant, own.size, own.charge, strict=True)
    if part is Part.FLOW:
        axes += [_settings(own.inlet_temperature_k), _settings(own.outlet_pressure_pa)]
        without_charge = dict.fromkeys((refrigerant, size, "") for refrigerant, size, _ in kinds)
        each = itertools.product(without_charge, itertools.product(*axes))
        return _conditions([_Condition(of, size, "", p1, t1, p2, phi) for (of, size, _), (phi, p1, t1, p2) in each])
    after_valve = float(np.median(own.outlet_pressure_pa - own.evaporator_pressure_pa))
    liquid = float(np.median(own.inlet_temperature_k))
    axes.append(_settings(own.evaporator_pressure_pa))
    each = itertools.product(dict.fromkeys(kinds), itertools.product(*axes))
    return _conditions(
        [
            _Condition(of, size, charge, p1, liquid, pe + after_valve, phi, pe)
            for (of, size, charge), (phi, p1, pe) in each
        ]
    )


def _settings(values: Floats, most: int = _MAX_SETTINGS) -> list[float]:
    """The settings of a reading: the medians of its groups, or steps over its range where groups are many."""
    ordered = np.sort(values[np.isfinite(values)])
    gap = _GAP * float(np.ptp(ordered))
    groups = np.split(ordered, np.flatnonzero(np.diff(ordered) > gap) + 1)
    if len(groups) <= most and all(np.ptp(group) <= 2.0 * gap for group in groups):
        return [float(np.median(group)) for group in groups]
    return [float(value) for value in np.linspace(ordered[0], ordered[-1], _STEPS)]


class _Condition(NamedTuple):
    """A row of a bench file without readings."""

    refrigerant: str
    size: str
    charge: str
    inlet_pressure_pa: float
    inlet_temperature_k: float
    outlet_pressure_pa: float
    opening: float
    evaporator_pressure_pa: float = float("nan")


def _conditions(rows: Sequence[_Condition]) -> BenchRows:
    """Conditions as rows of a bench file."""

    def column(name: str) -> Names:
        given = [getattr(row, name, "" if name == "specimen" else float("nan")) for row in rows]
        return np.array(given, dtype=object if name in ("refrigerant", "size", "charge", "specimen") else np.float64)

    columns = {field.name: column(field.name) for field in fields(BenchRows)}
    return BenchRows(**{**columns, "line": np.arange(len(rows), dtype=np.float64)})
