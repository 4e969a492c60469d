"""Bench rows as the force balance sees them, the curve of a charge that was measured, and both as least squares.

    p_bulb - p_under = spring + phi gradient + u (dp - middle drop)

for each charge, with one u for all, or one for each charge that was tested in a port of its own.  A residual is divided by the slope of the charge curve, so that it counts in
kelvin of bulb temperature; where the opening was inferred from flow it weighs less, as its error adds to the bulb's.

    ln p = b0 + b1 z + b2 z^2,   z = 1000/T less its mean

is the curve of a charge, as ln p of a charge is nearly straight over 1/T; its residuals are relative deviations of
pressure.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from tablegen.bench.flow_model import indexed, usable_rows
from tablegen.bench.lack_of_fit import outliers
from tablegen.bench.parameters import LeftOut, Parameter, Part, Quantity, Shortfall, Unusable, Why
from tablegen.bench.readings import BenchRows
from tablegen.bench.result import CurvePoint, Findings, MeasuredCharge
from tablegen.bench.robust import Fit, Problem, fit, quantile
from tablegen.physics.arrays import Bools, Floats, Names, snapped
from tablegen.physics.bulb import BulbCharge

PORT = Parameter(Quantity.UNBALANCE)
# As near to shut or to the stop the pin rests on its seat or stop, and the forces on it are not in balance.
_AT_REST = 0.01
_SLOPE_STEP_K = 0.02
# Rows and temperatures that a charge curve needs; bulb temperatures nearer than this count as one.
MIN_CURVE_ROWS, MIN_TEMPERATURES, _APART_K = 6, 4, 2.0
_POINTS = 9
# The errors of inferred openings, of rows by their lines.
OpeningErrors = Callable[[Floats], tuple[Floats, Floats]]


def spring(charge: str) -> Parameter:
    """The parameter of a charge's spring."""
    return Parameter(Quantity.SPRING, charge)


def gradient(charge: str) -> Parameter:
    """The parameter of a charge's gradient."""
    return Parameter(Quantity.GRADIENT, charge)


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceRows:
    """Rows with a bulb temperature and an opening, arrays of one length.

    Attributes
    ----------
    charges : tuple of str
    charge : array of int
        Index into `charges`.
    under_pa, bulb_pa : Floats [Pa]
        Pressure under the diaphragm, and of the charge at the bulb's temperature.
    slope_pa_k : Floats [Pa/K]
        Of the charge curve there: it turns a deviation of pressure into one of bulb temperature, the reading that is
        known least well.
    opening_random, opening_shared : Floats [1], shape (rows,) and (rows, errors)
        Standard error of an inferred opening by its own flow, and how it follows each error that rows share; 0 where
        the opening was read.
    """

    charges: tuple[str, ...]
    line: Floats
    charge: Names
    size: Names
    opening: Floats
    pressure_drop_pa: Floats
    bulb_temperature_k: Floats
    under_pa: Floats
    bulb_pa: Floats
    slope_pa_k: Floats
    opening_random: Floats
    opening_shared: Floats

    def __len__(self) -> int:
        return len(self.line)

    def of(self, charge: str) -> Bools:
        """Whether a row is of a charge."""
        return np.asarray(self.charge == self.charges.index(charge))


def pressure_slope(charge: BulbCharge, temperature_k: Floats) -> Floats:
    """Slope of a charge curve [Pa/K]; within a step of its ends it is that of one side."""
    up, down = (charge.pressure(temperature_k + step) for step in (_SLOPE_STEP_K, -_SLOPE_STEP_K))
    here = charge.pressure(temperature_k)
    both = (up - down) / (2.0 * _SLOPE_STEP_K)
    one = np.where(np.isnan(up), here - down, up - here) / _SLOPE_STEP_K
    return np.where(np.isnan(both), one, both)


def balance_rows(
    rows: BenchRows, charges: Mapping[str, BulbCharge], stop: float, errors: OpeningErrors | None = None
) -> tuple[BalanceRows, list[LeftOut]]:
    """The rows that give a force balance, and those that would but cannot be used."""
    at = np.flatnonzero(rows.has_balance)
    bulb = rows.bulb_temperature_k[at]
    pressure, slope = np.full((2, len(at)), np.nan)
    is_gas = np.zeros(len(at), dtype=bool)
    for name in dict.fromkeys(map(str, rows.charge[at])):
        own = rows.charge[at] == name
        pressure[own] = charges[name].pressure(bulb[own])
        slope[own] = pressure_slope(charges[name], bulb[own])
        is_gas[own] = charges[name].is_above_limit(bulb[own])
    drop = (rows.inlet_pressure_pa - rows.outlet_pressure_pa)[at]
    reasons = (
        (rows.opening[at] < _AT_REST, Unusable.SHUT),
        (rows.opening[at] > stop - _AT_REST, Unusable.ON_STOP),
        (~np.isfinite(pressure), Unusable.OFF_CHARGE_CURVE),
        (is_gas, Unusable.ABOVE_MOP),
        (drop <= 0.0, Unusable.NO_DROP),
    )
    keep, left_out = usable_rows(rows.line[at], Part.BALANCE, reasons)
    readings = (rows.bulb_temperature_k, rows.evaporator_pressure_pa)
    says_nothing = np.isfinite(readings).all(axis=0) & np.isnan(
        [rows.opening, rows.flow_kg_s, rows.bulb_pressure_pa]
    ).all(axis=0)
    why = Unusable.NO_OPENING_NO_FLOW
    left_out += [LeftOut(line=int(number), part=Part.BALANCE, why=why) for number in rows.line[says_nothing]]
    used = at[keep]
    names, charge = indexed(rows.charge[used])
    random, shared = (np.zeros(len(used)), np.zeros((len(used), 0))) if errors is None else errors(rows.line[used])
    found = BalanceRows(
        charges=names,
        line=rows.line[used],
        charge=charge,
        size=rows.size[used],
        opening=rows.opening[used],
        pressure_drop_pa=drop[keep],
        bulb_temperature_k=bulb[keep],
        under_pa=rows.evaporator_pressure_pa[used],
        bulb_pa=pressure[keep],
        slope_pa_k=slope[keep],
        opening_random=random,
        opening_shared=shared,
    )
    return found, left_out


@dataclass(frozen=True, slots=True)
class BalanceModel:
    """Rows, the charges whose gradient they determine, and the ports whose share they determine: one, or of charges."""

    rows: BalanceRows
    with_gradient: tuple[str, ...]
    ports: tuple[Parameter, ...] = ()
    spread: Floats | None = None

    @property
    def unit_pa(self) -> Floats:
        """What turns a deviation of pressure [Pa] into a residual."""
        return self.rows.slope_pa_k if self.spread is None else self.rows.slope_pa_k * self.spread

    def in_kelvin(self, residuals: Floats) -> Floats:
        """Residuals in kelvin of bulb temperature."""
        return residuals if self.spread is None else residuals * self.spread

    def gradient_of(self, values: Floats) -> Floats:
        """The gradient [Pa per rated stroke] of each row's charge, 0 where the rows have none."""
        found = np.zeros(len(self.rows))
        for charge in self.with_gradient:
            found[self.rows.of(charge)] = values[self.names.index(gradient(charge))]
        return found

    def weighted(self) -> BalanceModel:
        """The model with the errors of inferred openings in its weights."""
        if not self.rows.opening_random.any():
            return self
        found = self.fitted()
        off_k = self.gradient_of(found.values) * self.rows.opening_random / self.rows.slope_pa_k
        return replace(self, spread=np.sqrt(1.0 + (off_k / found.scale) ** 2))

    @property
    def middle_drop_pa(self) -> float:
        """The drop from which the port's share is counted, so that spring and port are separated as well as can be."""
        return float(np.median(self.rows.pressure_drop_pa))

    @property
    def names(self) -> tuple[Parameter, ...]:
        """Springs [Pa], gradients [Pa per rated stroke], unbalance of the port [1]."""
        springs = tuple(spring(charge) for charge in self.rows.charges)
        gradients = tuple(gradient(charge) for charge in self.with_gradient)
        return (*springs, *gradients, *self.ports)

    def port_of(self, charge: str) -> Parameter | None:
        """The port in which a charge was tested; None where its share cannot be determined."""
        return next((port for port in self.ports if port.of in ("", charge)), None)

    def port_pa(self, values: Floats) -> Floats:
        """The port's share of each row [Pa], counted from the middle drop."""
        first = len(self.names) - len(self.ports)
        return np.asarray(self.columns()[:, first:] @ values[first : first + len(self.ports)])

    def columns(self, other: BalanceRows | None = None) -> Floats:
        """What each parameter is multiplied with [Pa], shape (rows, parameters); in `other` rows of the same charges."""
        rows = other or self.rows
        own = {charge: rows.of(charge).astype(np.float64) for charge in rows.charges}
        found = [*own.values(), *(own[charge] * rows.opening for charge in self.with_gradient)]
        drop = rows.pressure_drop_pa - self.middle_drop_pa
        found += [own.get(port.of, 1.0) * drop for port in self.ports]
        return np.stack(found, axis=1)

    def fitted(self, is_used: Bools | None = None, more: Mapping[Parameter, Floats] | None = None) -> Fit:
        """The best fit; `more` are further columns by name, to see whether the rows ask for them."""
        more = more or {}
        columns = np.column_stack([self.columns(), *more.values()]) / self.unit_pa[:, None]
        target = (self.rows.bulb_pa - self.rows.under_pa) / self.unit_pa
        start = np.asarray(np.linalg.lstsq(columns, target, rcond=None)[0], dtype=np.float64)
        problem = Problem((*self.names, *more), lambda x: target - columns @ x, lambda x: -columns, start)
        return fit(problem, is_used)

    def response(self, found: Fit) -> Floats:
        """How the parameters follow the bulb pressure of each row, weighted as in a fit, shape (parameters, rows)."""
        columns = self.columns() / self.unit_pa[:, None]
        weighted = columns.T * found.weights
        return np.asarray(np.linalg.pinv(weighted @ columns) @ weighted / self.unit_pa)


@dataclass(frozen=True, slots=True)
class MeasuredCurve:
    """A fitted charge curve; as a `ChargeCurve` it is NaN outside the measured range."""

    coefficients: Floats
    center: float
    range_k: tuple[float, float]

    def pressure(self, temperature_k: Floats) -> Floats:
        """Absolute bulb pressure [Pa] at bulb temperature [K]."""
        temperature_k = snapped(temperature_k, self.range_k)
        inside = (temperature_k >= self.range_k[0]) & (temperature_k <= self.range_k[1])
        return np.where(inside, np.exp(_curve_columns(temperature_k, self.center) @ self.coefficients), np.nan)

    def temperature(self, pressure_pa: Floats) -> Floats:
        """Bulb temperature [K] at absolute bulb pressure [Pa]: the square equation's root that is near its line."""
        constant, slope, bend = self.coefficients
        rest = constant - np.log(pressure_pa)
        with np.errstate(invalid="ignore"):
            z = -2.0 * rest / (slope + np.copysign(np.sqrt(slope**2 - 4.0 * bend * rest), slope))
        found = snapped(1000.0 / (z + self.center), self.range_k)
        return np.where((found >= self.range_k[0]) & (found <= self.range_k[1]), found, np.nan)

    def slope(self, temperature_k: Floats) -> Floats:
        """Derivative of `pressure` [Pa/K] at bulb temperature [K]."""
        inside = snapped(temperature_k, self.range_k)
        _, first, second = self.coefficients
        per_z = first + 2.0 * second * (1000.0 / inside - self.center)
        return np.asarray(-self.pressure(inside) * per_z * 1000.0 / inside**2)

    def moved(self, step: Floats) -> MeasuredCurve:
        """The curve with other coefficients."""
        return MeasuredCurve(self.coefficients + step, self.center, self.range_k)


def _curve_columns(temperature_k: Floats, center: float) -> Floats:
    z = 1000.0 / temperature_k - center
    return np.stack([np.ones_like(z), z, z**2], axis=-1)


@dataclass(frozen=True, slots=True)
class ChargeFit:
    """A measured curve with the covariance of its coefficients."""

    curve: MeasuredCurve
    fit: Fit

    def pressures_off(self, temperature_k: Floats) -> Floats:
        """How bulb pressures [Pa] follow each coefficient, shape (rows, 3); 0 outside the measured range."""
        pressure = np.nan_to_num(self.curve.pressure(temperature_k))
        return np.asarray(pressure[:, None] * _curve_columns(temperature_k, self.curve.center))

    def relative_error(self, temperature_k: Floats) -> Floats:
        """Standard error of the bulb pressure, as a share of it."""
        columns = _curve_columns(temperature_k, self.curve.center)
        return np.asarray(np.sqrt(np.einsum("ij,jk,ik->i", columns, self.fit.covariance, columns)))

    def result(self, confidence: float) -> MeasuredCharge:
        """Points along the curve with their bounds."""
        at = np.linspace(*self.curve.range_k, _POINTS)
        relative = quantile(confidence, self.fit.freedom) * self.relative_error(at)
        pressure = self.curve.pressure(at)
        found = zip(at, pressure, relative, strict=True)
        points = tuple(CurvePoint(float(t), float(p), float(p * r)) for t, p, r in found)
        return MeasuredCharge(points, float(relative.max()), int(self.fit.is_used.sum()))


def fit_charge(rows: BenchRows, name: str, findings: Findings) -> ChargeFit | None:
    """The curve of one charge, from rows with temperature and pressure of the bulb.

    Parameters
    ----------
    rows : BenchRows
    name : str
        Of the charge.
    findings : Findings
        To which outliers are added, or why there is no curve.

    Returns
    -------
    ChargeFit or None
        None where the charge is not measured, or its rows do not determine a curve.
    """
    own = rows.has_charge & (rows.charge == name)
    if not own.any():
        return None
    parameter = Parameter(Quantity.CHARGE_CURVE, name)
    temperature, pressure = rows.bulb_temperature_k[own], rows.bulb_pressure_pa[own]
    distinct = len(np.unique(np.floor((temperature - temperature.min()) / _APART_K)))
    if own.sum() < MIN_CURVE_ROWS or distinct < MIN_TEMPERATURES:
        findings.refuse(parameter, Shortfall(why=Why.FEW_TEMPERATURES, rows=int(own.sum()), temperatures=distinct))
        return None
    center = float(np.mean(1000.0 / temperature))
    columns, target = _curve_columns(temperature, center), np.log(pressure)
    names = tuple(Parameter(Quantity.CHARGE_CURVE, f"{name}:{i}") for i in range(3))
    start = np.linalg.lstsq(columns, target, rcond=None)[0]
    found = fit(Problem(names, lambda b: target - columns @ b, lambda b: -columns, start))
    curve = MeasuredCurve(found.values, center, (float(temperature.min()), float(temperature.max())))
    if not (np.diff(curve.pressure(np.linspace(*curve.range_k, 50))) > 0.0).all():
        findings.refuse(parameter, Shortfall(why=Why.NOT_RISING))
        return None
    findings.outliers.extend(outliers(found, Part.CHARGE, rows.line[own], np.expm1(found.residuals)))
    return ChargeFit(curve, found)
