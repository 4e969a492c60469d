"""Setting, gradient and port unbalance from the rows with a bulb temperature and an opening."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

import numpy as np

from tablegen.bench.balance_missing import (
    MIN_ROWS,
    OPENINGS_APART,
    BalanceFit,
    opening_missing,
    port_missing,
    static_missing,
)
from tablegen.bench.balance_model import (
    PORT,
    BalanceModel,
    BalanceRows,
    ChargeFit,
    balance_rows,
    fit_charge,
    gradient,
    spring,
)
from tablegen.bench.lack_of_fit import Condition, farthest_of, misfits, refits, rows_to_fit
from tablegen.bench.opening_inferred import NONE_INFERRED, InferredOpenings
from tablegen.bench.parameters import Parameter, Part, Quantity, Shortfall, Why
from tablegen.bench.readings import BenchRows, ChargeOnBench, FitOptions, ValveOnBench
from tablegen.bench.result import BalanceResult, BalanceTable, ConditionKey, Estimate, Findings, Outlier, Reading
from tablegen.bench.robust import Fit, correlation, quantile
from tablegen.physics.arrays import Floats
from tablegen.physics.bulb import BulbCharge

# Rows needed beyond the number of parameters; the port needs drops as far apart, of the maximum.
_SPARE, _DROPS_APART = 4, 0.25
# Where so many rows are outliers, or scatter is so wide, it is the model that is wrong.
_MAX_OUTLIERS, _MAX_SCATTER_K = 0.2, 3.0
# A trend that moves a bulb by less does not count [K].
_NEGLIGIBLE_K = 0.1
# The widest bounds that are of use: of static superheat [K], opening superheat as a share, unbalance [1].
_MAX_BOUND_K, _MAX_BOUND_SHARE, _MAX_BOUND_PORT = 2.0, 0.4, 0.03
# Of a standard deviation, to see what follows from it.
_SHARE = 0.01
# A superheat of a setting, from a curve and values of spring, gradient and unbalance.
_Superheat = Callable[[BulbCharge, float, float, float], float]


def fit_balance(
    bench: BenchRows, valve: ValveOnBench, options: FitOptions, inferred: InferredOpenings = NONE_INFERRED
) -> tuple[BalanceResult | None, Findings]:
    """Fit the rows with a bulb temperature and an opening, read or `inferred`; None where nothing can be determined."""
    findings = Findings()
    named = list(dict.fromkeys(map(str, bench.charge[bench.has_charge])))
    measured = {name: made for name in named if (made := fit_charge(bench, name, findings)) is not None}
    curves = {name: on_bench.charge for name, on_bench in valve.charges.items()} | {
        name: BulbCharge(made.curve, valve.charges[name].charge.limit_temperature_k) for name, made in measured.items()
    }
    rows, left_out = balance_rows(bench, curves, valve.stop, inferred.errors_of)
    findings.left_out.extend(left_out)
    if len(rows) < MIN_ROWS:
        for quantity in (Quantity.STATIC_SUPERHEAT, Quantity.OPENING_SUPERHEAT, Quantity.UNBALANCE):
            findings.refuse(Parameter(quantity), Shortfall(Why.NO_BALANCE_ROWS, rows=len(rows)))
        return None, findings
    apart = [c for c in rows.charges if np.ptp(rows.opening[rows.of(c)]) >= OPENINGS_APART]
    drops = rows.pressure_drop_pa
    model = BalanceModel(rows, tuple(apart), bool(np.ptp(drops) >= _DROPS_APART * drops.max()))
    if len(rows) < len(model.names) + _SPARE:
        _refuse_all(rows, findings, Shortfall(Why.FEW_BALANCE_ROWS, rows=len(rows), needed=len(model.names)))
        return None, findings
    found = _fitted(rows, model.weighted(), measured)
    residual = found.model.in_kelvin(found.fit.residuals)
    in_fit = found.far_off & found.fit.is_used
    findings.lack_of_fit.extend(m.result(Part.BALANCE, rows.line, residual, in_fit) for m in found.misfits)
    share, scatter = float(found.far_off.mean()), found.fit.scatter
    if share > _MAX_OUTLIERS or scatter > _MAX_SCATTER_K:
        # The rows follow no balance with the charges' curves.
        _refuse_all(rows, findings, Shortfall(Why.NO_BALANCE, value=share, scatter=scatter))
        return None, findings
    estimator = _Estimator(
        found=found, curves=curves, measured=measured, valve=valve, options=options, findings=findings
    )
    return estimator.result(), findings


def _refuse_all(rows: BalanceRows, findings: Findings, reason: Shortfall) -> None:
    for charge in rows.charges:
        findings.refuse(Parameter(Quantity.STATIC_SUPERHEAT, charge), reason)
        findings.refuse(Parameter(Quantity.OPENING_SUPERHEAT, charge), reason)
    findings.refuse(PORT, reason)


def _fitted(rows: BalanceRows, model: BalanceModel, measured: Mapping[str, ChargeFit]) -> BalanceFit:
    """The fit; where rows are off the balance on one side under one condition none of these is set aside."""
    fit, every = model.fitted(), model.fitted(np.ones(len(rows), dtype=bool))
    # What a measured curve or a shared error of inferred openings may be off by moves the rows as well.
    curves = [
        made.pressures_off(rows.bulb_temperature_k) * rows.of(name)[:, None]
        for name, made in measured.items()
        if name in rows.charges
    ]
    openings = model.gradient_of(every.values)[:, None] * rows.opening_shared
    columns = np.column_stack([-model.columns(), *curves, openings]) / model.unit_pa[:, None]
    far_off = fit.is_outlier
    off = misfits(every, columns, far_off, _conditions(rows, measured), _NEGLIGIBLE_K)
    if off:
        fit = model.fitted(rows_to_fit(every, far_off, off))
    others = refits(model.fitted, fit, off)
    return BalanceFit(rows=rows, model=model, fit=fit, far_off=far_off, misfits=off, refits=others)


def _conditions(rows: BalanceRows, measured: Collection[str]) -> list[Condition]:
    """What rows may be off the balance under; a measured curve is right by its bounds."""
    is_one = len(rows.charges) == 1
    curves = [
        Condition(
            ConditionKey(Reading.BULB_TEMPERATURE, "" if is_one else charge),
            rows.bulb_temperature_k,
            rows.of(charge),
        )
        for charge in rows.charges
        if charge not in measured
    ]
    values = {
        Reading.OPENING: rows.opening,
        Reading.PRESSURE_DROP: rows.pressure_drop_pa,
        Reading.SIZE: rows.size,
        Reading.LINE: rows.line,
    }
    return [*curves, *(Condition(ConditionKey(reading), own) for reading, own in values.items())]


@dataclass(frozen=True, slots=True)
class SettingOnBench:
    """One charge's setting, and its pressure drop less that from which the fit counts the port's share [Pa]."""

    on_bench: ChargeOnBench
    drop_from_middle_pa: float

    def static_superheat(self, curve: BulbCharge, spring_pa: float, gradient_pa: float, unbalance: float) -> float:
        """Static superheat [K] on the setting refrigerant: p_dew(T_b0 - SS) = p_bulb(T_b0) - p_spring0."""
        at = self.on_bench.setting.bulb_temperature_k
        under = curve.pressure(np.asarray(at)) - (spring_pa + unbalance * self.drop_from_middle_pa)
        return at - float(self.on_bench.refrigerant.dew_temperature(_positive(under)))

    def opening_superheat(self, curve: BulbCharge, spring_pa: float, gradient_pa: float, unbalance: float) -> float:
        """Opening superheat [K]: p_bulb(T_b0 + OS) = p_bulb(T_b0) + p_grad."""
        at = self.on_bench.setting.bulb_temperature_k
        opened = curve.pressure(np.asarray(at)) + gradient_pa
        return float(curve.temperature(_positive(opened))) - at


def _positive(pressure_pa: Floats) -> Floats:
    """A pressure that can be one [Pa], else NaN."""
    return np.where(pressure_pa > 0.0, pressure_pa, np.nan)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Estimator:
    """Turns a fit into estimates with their bounds, or reasons why there are none."""

    found: BalanceFit
    curves: Mapping[str, BulbCharge]
    measured: Mapping[str, ChargeFit]
    valve: ValveOnBench
    options: FitOptions
    findings: Findings

    def result(self) -> BalanceResult:
        rows, fit = self.found.rows, self.found.fit
        residual = self.found.model.in_kelvin(fit.residuals)
        self._add_port()
        drops = {charge: self._add_charge(charge) for charge in rows.charges}
        self.findings.outliers.extend(
            Outlier(int(rows.line[i]), Part.BALANCE, float(residual[i]), float(fit.residuals[i] / fit.scale))
            for i in np.flatnonzero(fit.is_outlier)
        )
        return BalanceResult(
            reference_drop_pa=drops,
            curves={name: made.result(self.options.confidence) for name, made in self.measured.items()},
            scatter_k=fit.scatter,
            rows=int(fit.is_used.sum()),
            names=fit.names,
            correlation=correlation(fit),
            table=self._table(),
        )

    def _add(self, parameter: Parameter, of: Callable[[Fit], float], error: float, max_bound: float, rows: int) -> None:
        """Add a quantity of the fit with its standard error, unless its bound is too wide."""
        value, wide = of(self.found.fit), quantile(self.options.confidence, self.found.fit.freedom)
        if self.found.misfits:
            error += farthest_of(of, self.found.fit, self.found.refits) / wide
        half = wide * error
        if not np.isfinite(half):
            self.findings.refuse(parameter, Shortfall(Why.CURVE_TOO_SHORT))
        elif not half <= max_bound:
            why = Why.UNBALANCE_BOUND if parameter == PORT else Why.SUPERHEAT_BOUND
            self.findings.refuse(parameter, Shortfall(why, value=half))
        else:
            found = Estimate(parameter=parameter, value=value, half_width=half, standard_error=error, rows=rows)
            self.findings.estimates.append(found)

    def _add_port(self) -> None:
        if (reason := port_missing(self.found)) is not None:
            self.findings.refuse(PORT, reason)
            return
        fit = self.found.fit
        at = fit.index(PORT)
        error = float(np.sqrt(fit.covariance[at, at] + self._from_openings(lambda values: float(values[at]))))
        self._add(PORT, lambda other: other.value(PORT), error, _MAX_BOUND_PORT, int(fit.is_used.sum()))

    def _add_charge(self, charge: str) -> float:
        """Add what a charge's rows determine; the drop that its setting is for [Pa]."""
        on_bench, used = self.valve.charges[charge], self.found.used(charge)
        drop = on_bench.setting.pressure_drop_pa
        if port_missing(self.found) is not None and used.any():
            # Nothing shows what another drop would do.
            drop = float(np.median(self.found.rows.pressure_drop_pa[used]))
        setting = SettingOnBench(on_bench, drop - self.found.model.middle_drop_pa)
        for quantity, superheat, missing, max_bound in (
            (Quantity.STATIC_SUPERHEAT, setting.static_superheat, static_missing, lambda _: _MAX_BOUND_K),
            (Quantity.OPENING_SUPERHEAT, setting.opening_superheat, opening_missing, lambda k: _MAX_BOUND_SHARE * k),
        ):
            parameter = Parameter(quantity, charge)
            if (reason := missing(self.found, charge, on_bench.setting)) is not None:
                self.findings.refuse(parameter, reason)
                continue
            of, error = self._propagated(charge, superheat)
            self._add(parameter, of, error, max_bound(of(self.found.fit)), int(used.sum()))
        return drop

    def _propagated(self, charge: str, superheat: _Superheat) -> tuple[Callable[[Fit], float], float]:
        """A superheat of a setting in a fit; its standard error from the balance and from a measured charge curve."""
        fit = self.found.fit
        at = [fit.index(spring(charge)), fit.index(gradient(charge))]
        if port_missing(self.found) is None:
            at.append(fit.index(PORT))

        def of(values: Floats, curve: BulbCharge) -> float:
            port = float(values[at[2]]) if len(at) > 2 else 0.0
            return superheat(curve, float(values[at[0]]), float(values[at[1]]), port)

        slope = np.zeros(len(fit.values))
        for i in at:
            step = 1e-3 * float(np.sqrt(fit.covariance[i, i]))
            moved = step * np.eye(len(fit.values))[i]
            ends = (of(fit.values + sign * moved, self.curves[charge]) for sign in (1.0, -1.0))
            slope[i] = (next(ends) - next(ends)) / (2.0 * step)
        variance = fit.standard_error(slope) ** 2 + self._from_openings(lambda x: of(x, self.curves[charge]))
        if charge in self.measured:
            variance += self._from_curve(charge, of)
        names = {fit.names[i] for i in at}

        def of_fit(other: Fit) -> float:
            return float("nan") if names & set(other.undetermined) else of(other.values, self.curves[charge])

        return of_fit, float(np.sqrt(variance))

    def _from_openings(self, of: Callable[[Floats], float]) -> float:
        """Variance that Kv, characteristic and F_L bring by way of inferred openings."""
        fit, rows, model = self.found.fit, self.found.rows, self.found.model
        if not rows.opening_shared.any():
            return 0.0
        moved = model.response(fit) @ (-model.gradient_of(fit.values)[:, None] * rows.opening_shared)
        ends = [[of(fit.values + sign * _SHARE * step) for sign in (1.0, -1.0)] for step in moved.T]
        return float(sum(((up - down) / (2.0 * _SHARE)) ** 2 for up, down in ends))

    def _from_curve(self, charge: str, of: Callable[[Floats, BulbCharge], float]) -> float:
        """Variance that a measured curve brings: its coefficients move the rows' bulb pressures, and the setting's."""
        made, rows = self.measured[charge], self.found.rows
        response = self.found.model.response(self.found.fit)
        slope = np.zeros(len(made.fit.values))
        for i in range(len(slope)):
            step = 1e-2 * float(np.sqrt(made.fit.covariance[i, i]))
            ends = []
            for sign in (1.0, -1.0):
                curve = made.curve.moved(sign * step * np.eye(len(slope))[i])
                shift = np.where(rows.of(charge), curve.pressure(rows.bulb_temperature_k) - rows.bulb_pa, 0.0)
                moved = BulbCharge(curve, self.curves[charge].limit_temperature_k)
                ends.append(of(self.found.fit.values + response @ shift, moved))
            slope[i] = (ends[0] - ends[1]) / (2.0 * step)
        return float(slope @ made.fit.covariance @ slope)

    def _table(self) -> BalanceTable:
        rows, fit, model = self.found.rows, self.found.fit, self.found.model
        port = np.zeros(len(rows))
        if model.has_port:
            port = fit.values[fit.index(PORT)] * (rows.pressure_drop_pa - model.middle_drop_pa)
        return BalanceTable(
            line=rows.line,
            charge=np.array([rows.charges[i] for i in rows.charge], dtype=object),
            opening=rows.opening,
            size=rows.size,
            pressure_drop_pa=rows.pressure_drop_pa,
            bulb_temperature_k=rows.bulb_temperature_k,
            spring_pa=rows.bulb_pa - rows.under_pa - port,
            fitted_pa=model.columns() @ fit.values - port,
            residual_k=model.in_kelvin(fit.residuals),
            is_used=fit.is_used,
        )
