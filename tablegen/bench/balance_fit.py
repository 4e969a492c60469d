"""Setting, gradient and port unbalance from the rows with a bulb temperature and an opening."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

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
from tablegen.bench.lack_of_fit import MAX_FAR_OFF, CheckedFit, Condition, misfits, outliers, refits, rows_to_fit
from tablegen.bench.parameters import Parameter, Part, Quantity, Shortfall, Why
from tablegen.bench.readings import BenchRows, ChargeOnBench, FitOptions, ValveOnBench
from tablegen.bench.result import (
    NONE_INFERRED,
    BalanceTable,
    ConditionKey,
    Estimate,
    Findings,
    InferredOpenings,
    MeasuredCharge,
    Reading,
)
from tablegen.bench.robust import Fit, chance, differences
from tablegen.physics.arrays import Bools, Floats
from tablegen.physics.bulb import BulbCharge
from tablegen.physics.valve import FactorySetting

# Rows that a charge needs.
_MIN_ROWS = 5
# A gradient needs openings as far apart, a setting one as small, an opening superheat one as large [1].
_OPENINGS_APART, _NEARLY_SHUT, _NEARLY_RATED = 0.3, 0.4, 0.8
# How far the setting's bulb temperature may be beyond those of the rows [K].
_BEYOND_K = 5.0
# A surer sign is asked of a model that is taken to be wrong than of a row.
_SURELY = 1e-3
# Rows needed beyond the number of parameters; the port needs drops as far apart, of the maximum.
_SPARE, _DROPS_APART = 4, 0.25
# Where scatter is so wide, it is the model that is wrong.
_MAX_SCATTER_K = 3.0
# What is there, yet moves a bulb by less [K], does not count.
_NEGLIGIBLE_K = 0.1
# The widest bounds that are of use: of static superheat [K], opening superheat as a share, unbalance [1].
_MAX_BOUND_K, _MAX_BOUND_SHARE, _MAX_BOUND_PORT = 2.0, 0.4, 0.03
# Of a standard deviation, to see what follows from it.
_SHARE = 0.01
# A superheat of a setting, from a curve and values of spring, gradient and unbalance.
_Superheat = Callable[[BulbCharge, float, float, float], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceFit(CheckedFit):
    """The balance part: a fit with what it was made of.

    Attributes
    ----------
    rows, model
    reference_drop_pa : mapping of str to float [Pa]
        The pressure drop that the setting of each charge is for.
    measured : mapping of str to ChargeFit
        Charge curves that were measured.
    curves : mapping of str to MeasuredCharge
        Their points, with bounds.
    gradients : mapping of Parameter to Floats
        Of each estimate over the parameters of the fit.
    charges : mapping of str to BulbCharge
        The curves that it was made with, stated or measured.
    """

    rows: BalanceRows
    model: BalanceModel
    charges: Mapping[str, BulbCharge] = field(default_factory=dict)
    gradients: Mapping[Parameter, Floats] = field(default_factory=dict)
    reference_drop_pa: Mapping[str, float] = field(default_factory=dict)
    measured: Mapping[str, ChargeFit] = field(default_factory=dict)
    curves: Mapping[str, MeasuredCharge] = field(default_factory=dict)

    @property
    def off_k(self) -> Floats:
        """How far each row is from the fit [K]."""
        return self.model.in_kelvin(self.fit.residuals)

    @property
    def table(self) -> BalanceTable:
        """The rows beside the fit."""
        rows, fit, model = self.rows, self.fit, self.model
        port = model.port_pa(fit.values)
        return BalanceTable(
            line=rows.line,
            charge=np.array([rows.charges[i] for i in rows.charge], dtype=object),
            opening=rows.opening,
            size=rows.size,
            pressure_drop_pa=rows.pressure_drop_pa,
            bulb_temperature_k=rows.bulb_temperature_k,
            spring_pa=rows.bulb_pa - rows.under_pa - port,
            fitted_pa=model.columns() @ fit.values - port,
            residual_k=self.off_k,
            is_used=fit.is_used,
        )

    def used(self, charge: str) -> Bools:
        """The rows of a charge that are no outliers."""
        return self.rows.of(charge) & self.fit.is_used


def fit_balance(
    bench: BenchRows, valve: ValveOnBench, options: FitOptions, inferred: InferredOpenings = NONE_INFERRED
) -> tuple[BalanceFit | None, Findings]:
    """Setting, gradient and port unbalance from the rows with a bulb temperature and an opening.

    Parameters
    ----------
    bench : BenchRows
        Openings that were not read are filled in.
    valve : ValveOnBench
        The family, as its file states it.
    options : FitOptions
    inferred : InferredOpenings, optional
        The openings that were filled in, with their errors.

    Returns
    -------
    found : BalanceFit or None
        None where nothing can be determined.
    findings : Findings
        Parameters with bounds, or why there are none; rows that are outliers, left out, or off the balance.
    """
    findings = Findings()
    named = list(dict.fromkeys(map(str, bench.charge[bench.has_charge])))
    measured = {name: made for name in named if (made := fit_charge(bench, name, findings)) is not None}
    curves = {name: on_bench.charge for name, on_bench in valve.charges.items()} | {
        name: BulbCharge(made.curve, valve.charges[name].charge.limit_temperature_k) for name, made in measured.items()
    }
    rows, left_out = balance_rows(bench, curves, valve.stop, inferred.errors_of)
    findings.left_out.extend(left_out)
    if len(rows) < _MIN_ROWS:
        for quantity in (Quantity.STATIC_SUPERHEAT, Quantity.OPENING_SUPERHEAT, Quantity.UNBALANCE):
            findings.refuse(Parameter(quantity), Shortfall(why=Why.NO_BALANCE_ROWS, rows=len(rows)))
        return None, findings
    apart = [c for c in rows.charges if np.ptp(rows.opening[rows.of(c)]) >= _OPENINGS_APART]
    model = BalanceModel(rows, tuple(apart), _ports(rows, valve))
    if len(rows) < len(model.names) + _SPARE:
        _refuse_all(rows, findings, Shortfall(why=Why.FEW_BALANCE_ROWS, rows=len(rows), needed=len(model.names)))
        return None, findings
    found = _fitted(rows, model.weighted(), measured)
    findings.lack_of_fit.extend(found.lacks(Part.BALANCE, rows.line, found.off_k))
    if found.far_share > MAX_FAR_OFF or found.fit.scatter > _MAX_SCATTER_K:
        # The rows follow no balance with the charges' curves.
        _refuse_all(rows, findings, Shortfall(why=Why.NO_BALANCE, value=found.far_share, scatter=found.fit.scatter))
        return None, findings
    estimator = _Estimator(
        found=found, curves=curves, measured=measured, valve=valve, options=options, findings=findings
    )
    return estimator.result(), findings


def _ports(rows: BalanceRows, valve: ValveOnBench) -> tuple[Parameter, ...]:
    """The ports whose share the rows determine: one of each charge where all have their own, else one for all."""

    def spans(drops: Floats) -> bool:
        return bool(np.ptp(drops) >= _DROPS_APART * drops.max())

    if valve.has_own_ports and all(spans(rows.pressure_drop_pa[rows.of(charge)]) for charge in rows.charges):
        return tuple(Parameter(Quantity.UNBALANCE, charge) for charge in rows.charges)
    return (PORT,) if spans(rows.pressure_drop_pa) else ()


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
    gradients: dict[Parameter, Floats] = field(default_factory=dict)

    def result(self) -> BalanceFit:
        rows, fit = self.found.rows, self.found.fit
        for port in self.found.model.ports or (PORT,):
            self._add_port(port)
        drops = {charge: self._add_charge(charge) for charge in rows.charges}
        self.findings.outliers.extend(outliers(fit, Part.BALANCE, rows.line, self.found.off_k))
        curves = {name: made.result(self.options.confidence) for name, made in self.measured.items()}
        return replace(
            self.found,
            charges=self.curves,
            reference_drop_pa=drops,
            measured=self.measured,
            curves=curves,
            gradients=self.gradients,
        )

    def _add(self, parameter: Parameter, of: Callable[[Fit], float], error: float, max_bound: float, rows: int) -> None:
        """Add a quantity of the fit with its standard error, unless its bound is too wide."""
        half, error = self.found.widened(of, error, self.options.confidence)
        if not np.isfinite(half):
            self.findings.refuse(parameter, Shortfall(why=Why.CURVE_TOO_SHORT))
        elif not half <= max_bound:
            why = Why.UNBALANCE_BOUND if parameter.quantity is Quantity.UNBALANCE else Why.SUPERHEAT_BOUND
            self.findings.refuse(parameter, Shortfall(why=why, value=half))
        else:
            value = of(self.found.fit)
            found = Estimate(parameter=parameter, value=value, half_width=half, standard_error=error, rows=rows)
            self.findings.estimates.append(found)

    def _add_port(self, port: Parameter) -> None:
        if (reason := _port_missing(self.found, port)) is not None:
            self.findings.refuse(port, reason)
            return
        fit = self.found.fit
        at = fit.index(port)
        error = float(np.sqrt(fit.covariance[at, at] + self._from_openings(lambda values: float(values[at]))))
        used = self.found.used(port.of) if port.of else fit.is_used
        self.gradients[port] = np.eye(len(fit.values))[at]
        self._add(port, lambda other: other.value(port), error, _MAX_BOUND_PORT, int(used.sum()))

    def _add_charge(self, charge: str) -> float:
        """Add what a charge's rows determine; the drop that its setting is for [Pa]."""
        on_bench, used = self.valve.charges[charge], self.found.used(charge)
        drop = on_bench.setting.pressure_drop_pa
        if _port_missing(self.found, self.found.model.port_of(charge)) is not None and used.any():
            # Nothing shows what another drop would do; valves that are alike have one setting, at one drop.
            alike = self.found.fit.is_used if self.valve.has_own_ports else used
            drop = float(np.median(self.found.rows.pressure_drop_pa[alike]))
        setting = SettingOnBench(on_bench, drop - self.found.model.middle_drop_pa)
        for quantity, superheat, missing, max_bound in (
            (Quantity.STATIC_SUPERHEAT, setting.static_superheat, _static_missing, lambda _: _MAX_BOUND_K),
            (Quantity.OPENING_SUPERHEAT, setting.opening_superheat, _opening_missing, lambda k: _MAX_BOUND_SHARE * k),
        ):
            parameter = Parameter(quantity, charge)
            if (reason := missing(self.found, charge, on_bench.setting)) is not None:
                self.findings.refuse(parameter, reason)
                continue
            of, error, self.gradients[parameter] = self._propagated(charge, superheat)
            self._add(parameter, of, error, max_bound(of(self.found.fit)), int(used.sum()))
        return drop

    def _propagated(self, charge: str, superheat: _Superheat) -> tuple[Callable[[Fit], float], float, Floats]:
        """A superheat of a setting in a fit; its standard error, from the balance and a measured curve; its gradient."""
        fit = self.found.fit
        at = [fit.index(spring(charge)), fit.index(gradient(charge))]
        port_of = self.found.model.port_of(charge)
        if port_of is not None and _port_missing(self.found, port_of) is None:
            at.append(fit.index(port_of))

        def of(values: Floats, curve: BulbCharge) -> float:
            port = float(values[at[2]]) if len(at) > 2 else 0.0
            return superheat(curve, float(values[at[0]]), float(values[at[1]]), port)

        slope, step = np.zeros(len(fit.values)), 1e-3 * np.sqrt(np.diag(fit.covariance))[at]
        moved = step[:, None] * np.eye(len(fit.values))[at]
        slope[at] = differences(lambda by: of(fit.values + by, self.curves[charge]), moved) / (2.0 * step)
        variance = fit.standard_error(slope) ** 2 + self._from_openings(lambda x: of(x, self.curves[charge]))
        if charge in self.measured:
            variance += self._from_curve(charge, of)
        names = {fit.names[i] for i in at}

        def of_fit(other: Fit) -> float:
            return float("nan") if names & set(other.undetermined) else of(other.values, self.curves[charge])

        return of_fit, float(np.sqrt(variance)), slope

    def _from_openings(self, of: Callable[[Floats], float]) -> float:
        """Variance that Kv, characteristic and F_L bring by way of inferred openings."""
        fit, rows, model = self.found.fit, self.found.rows, self.found.model
        if not rows.opening_shared.any():
            return 0.0
        moved = model.response(fit) @ (-model.gradient_of(fit.values)[:, None] * rows.opening_shared)
        apart = differences(lambda by: of(fit.values + by), _SHARE * moved.T)
        return float(sum((apart / (2.0 * _SHARE)) ** 2))

    def _from_curve(self, charge: str, of: Callable[[Floats, BulbCharge], float]) -> float:
        """Variance that a measured curve brings: its coefficients move the rows' bulb pressures, and the setting's."""
        made, rows = self.measured[charge], self.found.rows
        response = self.found.model.response(self.found.fit)

        def of_moved(by: Floats) -> float:
            curve = made.curve.moved(by)
            shift = np.where(rows.of(charge), curve.pressure(rows.bulb_temperature_k) - rows.bulb_pa, 0.0)
            moved = BulbCharge(curve, self.curves[charge].limit_temperature_k)
            return of(self.found.fit.values + response @ shift, moved)

        step = 1e-2 * np.sqrt(np.diag(made.fit.covariance))
        slope = differences(of_moved, np.diag(step)) / (2.0 * step)
        return float(slope @ made.fit.covariance @ slope)


def _port_missing(found: BalanceFit, port: Parameter | None) -> Shortfall | None:
    """Why the unbalance of a port cannot be determined; None where it can."""
    drops = found.rows.pressure_drop_pa
    if port not in found.model.ports:
        return Shortfall(why=Why.ONE_DROP, low=float(drops.min()), high=float(drops.max()))
    if port in found.fit.undetermined:
        return Shortfall(
            why=Why.PORT_ONLY_WITH, parameters=tuple(name for name in found.fit.undetermined if name != port)
        )
    return None


def _static_missing(found: BalanceFit, charge: str, setting: FactorySetting) -> Shortfall | None:
    """Why the static superheat of a charge cannot be determined; None where it can."""
    if (reason := _setting_missing(found, charge, setting)) is not None:
        return reason
    minimum = float(found.rows.opening[found.used(charge)].min())
    if minimum > _NEARLY_SHUT:
        return Shortfall(why=Why.STATIC_TOO_OPEN, low=minimum)
    return _set_differently(found, charge)


def _opening_missing(found: BalanceFit, charge: str, setting: FactorySetting) -> Shortfall | None:
    """As `_static_missing`, of the opening superheat."""
    if (reason := _setting_missing(found, charge, setting)) is not None:
        return reason
    maximum = float(found.rows.opening[found.used(charge)].max())
    return Shortfall(why=Why.OPENING_BELOW_RATED, high=maximum) if maximum < _NEARLY_RATED else None


def _setting_missing(found: BalanceFit, charge: str, setting: FactorySetting) -> Shortfall | None:
    used = found.used(charge)
    if (count := int(used.sum())) < _MIN_ROWS:
        return Shortfall(why=Why.FEW_OF_CHARGE, rows=count, needed=_MIN_ROWS)
    if charge not in found.model.with_gradient:
        opening = found.rows.opening[used]
        return Shortfall(why=Why.BALANCE_ONE_OPENING, low=float(opening.min()), high=float(opening.max()))
    if {spring(charge), gradient(charge)} & set(found.fit.undetermined):
        return Shortfall(why=Why.ONLY_SUM, parameters=found.fit.undetermined)
    bulb, at = found.rows.bulb_temperature_k[used], setting.bulb_temperature_k
    if not bulb.min() - _BEYOND_K <= at <= bulb.max() + _BEYOND_K:
        return Shortfall(why=Why.SETTING_FAR, low=float(bulb.min()), high=float(bulb.max()), wanted_low=at)
    return None


def _set_differently(found: BalanceFit, charge: str) -> Shortfall | None:
    """Whether the sizes tested with one charge have settings of their own."""
    used = found.used(charge)
    sizes = [str(size) for size in dict.fromkeys(found.rows.size[used]) if size]
    if len(sizes) < 2:
        return None
    # In pascal, as the spring.
    slope = float(np.median(found.rows.slope_pa_k[used]))
    more = {Parameter(Quantity.SPRING, size): slope * (used & (found.rows.size == size)) for size in sizes[1:]}
    if _asked_for(found, more) < _NEGLIGIBLE_K:
        return None
    return Shortfall(why=Why.SET_DIFFERENTLY, sizes=tuple(sizes))


def _asked_for(found: BalanceFit, more: Mapping[Parameter, Floats]) -> float:
    """The maximum of the parameters of more columns [K], if the rows surely ask for them; else 0."""
    wider = found.model.fitted(found.fit.is_used, more)
    if wider.undetermined or chance(found.model.fitted(found.fit.is_used), wider) >= _SURELY:
        return 0.0
    return float(np.abs(wider.values[-len(more) :]).max())
