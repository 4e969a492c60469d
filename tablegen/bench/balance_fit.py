"""Setting, gradient and port unbalance from the rows with a bulb temperature and an opening."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

import numpy as np

from tablegen.bench.balance_missing import (
    FEWEST,
    OPENINGS_APART,
    BalanceFit,
    opening_missing,
    port_missing,
    static_missing,
)
from tablegen.bench.balance_model import PORT, BalanceModel, gradient_name, spring_name
from tablegen.bench.balance_rows import PART, BalanceRows, balance_rows
from tablegen.bench.charge_fit import ChargeFit, fit_charge
from tablegen.bench.lack_of_fit import Condition, farthest_of, misfits, refits, rows_kept
from tablegen.bench.opening_inferred import NONE_INFERRED, InferredOpenings
from tablegen.bench.result import (
    BalancePicture,
    BalanceResult,
    Estimate,
    Findings,
    InferredOpening,
    MeasuredCharge,
    NotDetermined,
    Outlier,
)
from tablegen.bench.robust import Fit, correlation, quantile
from tablegen.bench.rows import BenchRows
from tablegen.bench.setting import Setting
from tablegen.bench.subject import FitOptions, ValveOnBench
from tablegen.errors import both_scales
from tablegen.physics.arrays import Floats
from tablegen.physics.bulb import BulbCharge

# Rows needed beyond the number of parameters; the port needs drops as far apart, of the maximum.
_SPARE, _DROPS_APART = 4, 0.25
# Where so many rows are outliers, or scatter so wide, it is the model that is wrong.
_MOST_OUTLIERS, _WIDEST_SCATTER_K = 0.2, 3.0
# A trend that moves a bulb by less is no matter [K].
_NO_MATTER_K = 0.1
# The widest bounds that are of use: of static superheat [K], opening superheat as a share, unbalance [1].
_WIDEST_K, _WIDEST_SHARE, _WIDEST_PORT = 2.0, 0.4, 0.03
_LABELS = {
    "static_superheat": "the static superheat",
    "opening_superheat": "the opening superheat",
    "unbalance": PORT,
}
# Of a standard deviation, to see what follows from it.
_SHARE = 0.01
# A quantity of a setting, from a curve and values of spring, gradient and unbalance.
_Quantity = Callable[[BulbCharge, float, float, float], float]


def fit_balance(
    bench: BenchRows, valve: ValveOnBench, options: FitOptions, inferred: InferredOpenings = NONE_INFERRED
) -> tuple[BalanceResult | None, Findings]:
    """Fit the rows with a bulb temperature and an opening, read or `inferred`; None where nothing is told."""
    findings = Findings(notes=list(inferred.notes))
    named = list(dict.fromkeys(map(str, bench.charge[bench.tells_charge])))
    measured = {name: made for name in named if (made := fit_charge(bench, name, findings)) is not None}
    curves = {name: on_bench.charge for name, on_bench in valve.charges.items()} | {
        name: BulbCharge(made.curve, valve.charges[name].charge.limit_temperature_k) for name, made in measured.items()
    }
    rows, left_out = balance_rows(bench, curves, valve.stop, inferred.errors_of)
    findings.left_out.extend(left_out)
    if len(rows) < FEWEST:
        why = f"{len(rows) or 'no'} row{'' if len(rows) == 1 else 's'} with bulb temperature and opening can be used"
        test = "opening over bulb temperature at held evaporator pressure, at two drops"
        findings.not_determined.extend(NotDetermined(key, "", label, why, test) for key, label in _LABELS.items())
        return None, findings
    apart = [c for c in rows.charges if np.ptp(rows.opening[rows.of(c)]) >= OPENINGS_APART]
    drops = rows.pressure_drop_pa
    model = BalanceModel(rows, tuple(apart), bool(np.ptp(drops) >= _DROPS_APART * drops.max()))
    if len(rows) < len(model.names) + _SPARE:
        why = f"{len(rows)} rows are too few for {len(model.names)} unknowns"
        _refuse_all(rows, findings, why, "more openings, at two drops")
        return None, findings
    found = _fitted(rows, model.weighted(), measured)
    residual = found.model.in_kelvin(found.fit.residuals)
    kept = found.far_off & found.fit.is_used
    findings.lack_of_fit.extend(m.result(PART, rows.line, residual, kept) for m in found.misfits)
    if _is_wrong(found, findings):
        return None, findings
    return _Telling(found, curves, measured, valve, options, findings, inferred).result(), findings


def _fitted(rows: BalanceRows, model: BalanceModel, measured: dict[str, ChargeFit]) -> BalanceFit:
    """The fit; where rows lie off the balance on one side under one condition none of these is set aside."""
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
    off = misfits(every, columns, far_off, _conditions(rows, measured), _NO_MATTER_K)
    if off:
        fit = model.fitted(rows_kept(every, far_off, off))
    return BalanceFit(rows, model, fit, far_off, off, refits(model.fitted, fit, off))


def _conditions(rows: BalanceRows, measured: Collection[str]) -> list[Condition]:
    """What rows may lie off the balance under."""
    curves = [
        Condition(
            "bulb_temperature",
            "bulb temperature" + (f" of charge {charge}" if len(rows.charges) > 1 else ""),
            "temperature",
            rows.bulb_temperature_k,
            "the charge curve; measure bulb pressures (column bulb_pressure)",
            rows.of(charge),
        )
        for charge in rows.charges
        if charge not in measured
    ]
    drop, stroke = rows.pressure_drop_pa, rows.opening
    return [
        *curves,
        Condition("opening", "opening", "share", stroke, "the spring: its force is no straight line over opening"),
        Condition("pressure_drop", "pressure drop", "pressure difference", drop, "one unbalance at every drop"),
        Condition("size", "size", "", rows.size, "the settings: the valves are not set alike"),
        Condition("line", "line of the file", "count", rows.line, "the instruments, or a bulb that had not settled"),
    ]


def _refuse(findings: Findings, key: str, charge: str, why: str, test: str) -> None:
    label = _LABELS[key] + (f" of charge {charge}" if charge else "")
    findings.not_determined.append(NotDetermined(key, charge, label, why, test))


def _refuse_all(rows: BalanceRows, findings: Findings, why: str, test: str) -> None:
    for charge in rows.charges:
        _refuse(findings, "static_superheat", charge, why, test)
        _refuse(findings, "opening_superheat", charge, why, test)
    _refuse(findings, "unbalance", "", why, test)


def _measured(charge: str, curve: MeasuredCharge) -> str:
    first, last = curve.points[0].temperature_k, curve.points[-1].temperature_k
    return (
        f"the curve of charge {charge} is measured from {both_scales(first)} to {both_scales(last)}, within "
        f"{100 * curve.widest:.2g} percent of pressure ({curve.rows} rows)"
    )


def _is_wrong(found: BalanceFit, findings: Findings) -> bool:
    """Whether the rows follow no balance with the charges' curves; nothing is told then."""
    share, scatter = float(found.far_off.mean()), found.fit.scatter
    if share <= _MOST_OUTLIERS and scatter <= _WIDEST_SCATTER_K:
        return False
    why = (
        f"the rows do not follow a balance of forces with this charge: {100 * share:.0f} percent of them lie off it, "
        f"the rest scatter by {scatter:.2g} K of bulb temperature"
    )
    test = "a look at units and columns; bulb pressure beside bulb temperature"
    _refuse_all(found.rows, findings, why, test)
    return True


@dataclass(frozen=True, slots=True)
class _Telling:
    """Says what a fit tells."""

    found: BalanceFit
    curves: dict[str, BulbCharge]
    measured: dict[str, ChargeFit]
    valve: ValveOnBench
    options: FitOptions
    findings: Findings
    inferred: InferredOpenings

    def result(self) -> BalanceResult:
        rows, fit = self.found.rows, self.found.fit
        residual = self.found.model.in_kelvin(fit.residuals)
        self._tell_port()
        drops = {charge: self._tell_charge(charge) for charge in rows.charges}
        self.findings.outliers.extend(
            Outlier(int(rows.line[i]), PART, float(residual[i]), float(fit.residuals[i] / fit.scale))
            for i in np.flatnonzero(fit.is_outlier)
        )
        curves = {name: made.result(self.options.confidence) for name, made in self.measured.items()}
        self.findings.notes.extend(_measured(name, curve) for name, curve in curves.items())
        count = int(fit.is_used.sum())
        inferred = tuple(
            InferredOpening(int(line), float(opening), float(error))
            for line, opening, error in zip(*self.inferred.columns, strict=True)
        )
        return BalanceResult(drops, curves, fit.scatter, count, fit.names, correlation(fit), inferred, self._picture())

    def _tell(self, key: str, charge: str, of: Callable[[Fit], float], error: float, widest: float, rows: int) -> None:
        value, wide = of(self.found.fit), quantile(self.options.confidence, self.found.fit.freedom)
        if self.found.misfits:
            error += farthest_of(of, self.found.fit, self.found.refits) / wide
        half = wide * error
        kind = "share" if key == "unbalance" else "temperature difference"
        if not half <= widest:
            shown = f"{100 * half:.1f} percent" if key == "unbalance" else f"{half:.2g} K ({1.8 * half:.2g} degF)"
            why = f"its bound of {shown} is too wide to be of use"
            if not np.isfinite(half):
                why = "the charge curve does not reach from the setting to rated stroke"
            _refuse(self.findings, key, charge, why, "more rows, at openings from nearly shut to rated stroke")
            return
        label = _LABELS[key] + (f" of charge {charge}" if charge else "")
        self.findings.estimates.append(Estimate(key, charge, label, kind, value, half, error, rows))

    def _tell_port(self) -> None:
        if (why := port_missing(self.found)) is not None:
            _refuse(self.findings, "unbalance", "", *why)
            return
        fit = self.found.fit
        at = fit.index(PORT)
        error = float(np.sqrt(fit.covariance[at, at] + self._from_openings(lambda values: float(values[at]))))
        self._tell("unbalance", "", lambda other: other.value(PORT), error, _WIDEST_PORT, int(fit.is_used.sum()))

    def _tell_charge(self, charge: str) -> float:
        """Tell what a charge's rows say; the drop that its setting stands for [Pa]."""
        on_bench, used = self.valve.charges[charge], self.found.used(charge)
        drop = on_bench.setting.pressure_drop_pa
        if port_missing(self.found) is not None and used.any():
            # Nothing says what another drop would do.
            drop = float(np.median(self.found.rows.pressure_drop_pa[used]))
        setting = Setting(on_bench, drop - self.found.model.middle_drop_pa)
        for key, quantity, missing, widest in (
            ("static_superheat", setting.static_superheat, static_missing, lambda _: _WIDEST_K),
            ("opening_superheat", setting.opening_superheat, opening_missing, lambda value: _WIDEST_SHARE * value),
        ):
            if (why := missing(self.found, charge, on_bench.setting)) is not None:
                _refuse(self.findings, key, charge, *why)
                continue
            of, error = self._propagated(charge, quantity)
            self._tell(key, charge, of, error, widest(of(self.found.fit)), int(used.sum()))
        return drop

    def _propagated(self, charge: str, quantity: _Quantity) -> tuple[Callable[[Fit], float], float]:
        """A quantity of a setting in a fit; its standard error from the balance and from a measured charge curve."""
        fit = self.found.fit
        at = [fit.index(spring_name(charge)), fit.index(gradient_name(charge))]
        if port_missing(self.found) is None:
            at.append(fit.index(PORT))

        def of(values: Floats, curve: BulbCharge) -> float:
            port = float(values[at[2]]) if len(at) > 2 else 0.0
            return quantity(curve, float(values[at[0]]), float(values[at[1]]), port)

        gradient = np.zeros(len(fit.values))
        for i in at:
            step = 1e-3 * float(np.sqrt(fit.covariance[i, i]))
            moved = step * np.eye(len(fit.values))[i]
            ends = (of(fit.values + sign * moved, self.curves[charge]) for sign in (1.0, -1.0))
            gradient[i] = (next(ends) - next(ends)) / (2.0 * step)
        variance = fit.standard_error(gradient) ** 2 + self._from_openings(lambda x: of(x, self.curves[charge]))
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
        gradient = np.zeros(len(made.fit.values))
        for i in range(len(gradient)):
            step = 1e-2 * float(np.sqrt(made.fit.covariance[i, i]))
            ends = []
            for sign in (1.0, -1.0):
                curve = made.curve.moved(sign * step * np.eye(len(gradient))[i])
                shift = np.where(rows.of(charge), curve.pressure(rows.bulb_temperature_k) - rows.bulb_pa, 0.0)
                moved = BulbCharge(curve, self.curves[charge].limit_temperature_k)
                ends.append(of(self.found.fit.values + response @ shift, moved))
            gradient[i] = (ends[0] - ends[1]) / (2.0 * step)
        return float(gradient @ made.fit.covariance @ gradient)

    def _picture(self) -> BalancePicture:
        rows, fit, model = self.found.rows, self.found.fit, self.found.model
        port = np.zeros(len(rows))
        if model.has_port:
            port = fit.values[fit.index(PORT)] * (rows.pressure_drop_pa - model.middle_drop_pa)
        return BalancePicture(
            rows.line,
            np.array([rows.charges[i] for i in rows.charge], dtype=object),
            rows.opening,
            rows.size,
            rows.pressure_drop_pa,
            rows.bulb_temperature_k,
            rows.bulb_pa - rows.under_pa - port,
            model.columns() @ fit.values - port,
            model.in_kelvin(fit.residuals),
            fit.is_used,
        )
