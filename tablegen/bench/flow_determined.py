"""What a fit of flow rows tells: every estimate with its bound, or why it is not told and which test is missing."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from tablegen.bench.flow_model import RECOVERY, FlowModel, kv_name, share_name
from tablegen.bench.flow_rows import PART, FlowRows
from tablegen.bench.flow_spread import Spread
from tablegen.bench.lack_of_fit import Misfit, farthest_of
from tablegen.bench.result import Estimate, Findings, LawVerdict, NotDetermined, Outlier
from tablegen.bench.robust import Fit, quantile
from tablegen.bench.subject import FitOptions, ValveOnBench
from tablegen.physics.arrays import Bools
from tablegen.physics.flow import FlowLaw

# Openings as far from stop or minimum opening as this still speak for them; rated stroke is reached from here on [1].
_REACH, _RATED, _ONE_OPENING = 0.05, 0.9, 0.1
# Choked rows that F_L needs, and the widest bound that is of use, as a share of the value.
_FEWEST, _WIDEST = 3, 0.2
_PRODUCT = "every row is choked, so that only the product of Kv and F_L shows"
_UNCHOKED_TEST = "rows with a small drop: a higher outlet pressure, or colder liquid"

Why = tuple[str, str]


@dataclass(frozen=True, slots=True)
class FlowFit:
    """A fit with what it was made of.

    `law` is None where neither the rows nor the options name one; `bend` says how far from linear the characteristic
    may be, NaN where it is not taken as linear on trial; `parted` are the sizes whose Kv hangs on an undecided law.
    """

    rows: FlowRows
    spread: Spread
    model: FlowModel
    fit: Fit
    law: FlowLaw | None
    verdict: LawVerdict
    bend: float
    parted: frozenset[str]
    valve: ValveOnBench
    options: FitOptions
    far_off: Bools
    misfits: list[Misfit]
    refits: list[Fit]

    @property
    def scatter(self) -> float:
        """Standard deviation of mass flow about the fit, as a share."""
        return float(np.median(self.rows.spread)) * self.fit.scatter

    @property
    def is_linear(self) -> bool:
        """Whether the characteristic has no points."""
        return self.model.nodes is None

    def bound(self, i: int) -> tuple[float, float, float]:
        """Value of a parameter, half-width of its bound and standard error, the latter as shares of the value."""
        wide, error = quantile(self.options.confidence, self.fit.freedom), float(np.sqrt(self.fit.covariance[i, i]))
        if self.misfits:
            name = self.fit.names[i]
            error += farthest_of(lambda other: other.value(name), self.fit, self.refits) / wide
        return float(np.exp(self.fit.values[i])), wide * error, error

    def estimate(self, i: int, key: str, of: str, label: str, kind: str, rows: int) -> Estimate:
        """One parameter as an estimate."""
        value, half, error = self.bound(i)
        return Estimate(key, of, label, kind, value, half * value, error * value, rows)


def tell(found: FlowFit, findings: Findings) -> tuple[tuple[float, float], ...] | None:
    """Add what is told, and what is not, to the findings; the characteristic's points as in `FlowResult`."""
    for i, size in enumerate(found.rows.sizes):
        if (why := _kv_missing(found, i)) is not None:
            findings.not_determined.append(NotDetermined("kv", size, kv_name(size), *why))
            continue
        count = int((found.fit.is_used & (found.rows.size == i)).sum())
        findings.estimates.append(found.estimate(i, "kv", size, kv_name(size), "flow coefficient", count))
    if found.law is FlowLaw.CHOKED:
        _tell_recovery(found, findings)
    points = _tell_characteristic(found, findings) if found.valve.has_characteristic else ()
    share = np.expm1(found.fit.residuals * found.rows.spread)
    findings.outliers.extend(
        Outlier(int(found.rows.line[i]), PART, float(share[i]), float(found.fit.residuals[i] / found.fit.scale))
        for i in np.flatnonzero(found.fit.is_outlier)
    )
    return points


def _kv_missing(found: FlowFit, i: int) -> Why | None:
    """Why the Kv of a size is not told, and the missing test; None where it is."""
    fit, name = found.fit, found.fit.names[i]
    if name in fit.undetermined and RECOVERY in fit.undetermined:
        return _PRODUCT, _UNCHOKED_TEST
    if found.rows.sizes[i] in found.parted:
        return "it hangs on the flow law, which is not told", "as for the flow law; or state the law (--law)"
    most = float(found.rows.opening[fit.is_used].max())
    if most < _RATED:
        why = f"Kv counts at rated stroke, and no row opens more than {100.0 * most:.0f} percent"
        return why, "rows at 100 percent opening"
    if name in fit.undetermined:
        others = ", ".join(other for other in fit.undetermined if other != name)
        return f"the rows tell it only together with {others}", "rows at 100 percent opening"
    if not (half := found.bound(i)[1]) <= _WIDEST:
        return f"its bound of {100 * half:.0f} percent is too wide to be of use", "more rows of it at rated stroke"
    return None


def _tell_recovery(found: FlowFit, findings: Findings) -> None:
    label = "the pressure recovery factor"
    choked = int((found.fit.is_used & (found.model.choke(found.fit.values) < 0.0)).sum())
    why: Why | None = None
    if found.model.recovery is not None or not choked:
        most = 100.0 * found.verdict.max_drop
        text = f"no row shows choking; the maximum drop is {most:.0f} percent of p1 - F_F pv"
        why = text, "rows with a lower outlet pressure or warmer liquid"
    elif RECOVERY in found.fit.undetermined:
        why = _PRODUCT, _UNCHOKED_TEST
    elif not (half := found.bound(-1)[1]) <= _WIDEST or choked < _FEWEST:
        text = f"its bound of {100 * half:.0f} percent, from {choked} choked rows, is too wide to be of use"
        why = text, "more rows well beyond choking"
    if why is not None:
        findings.not_determined.append(NotDetermined("pressure_recovery", "", label, *why))
        return
    findings.estimates.append(found.estimate(-1, "pressure_recovery", "", label, "share", choked))


def _tell_characteristic(found: FlowFit, findings: Findings) -> tuple[tuple[float, float], ...] | None:
    """The points, none for a linear characteristic; None where it is not told."""
    points = found.model.points(found.fit.values)
    missing = _unreached(found)
    if missing is None and not found.is_linear:
        undetermined = [name for name in found.fit.undetermined if name != RECOVERY]
        if undetermined:
            missing = f"the rows do not tell {', '.join(undetermined)}", "rows at 100 percent opening"
        elif any(b[1] <= a[1] for a, b in itertools.pairwise(points)):
            missing = "its points do not ascend", "more rows at each opening; or fewer openings (--openings)"
    if missing is not None:
        findings.not_determined.append(NotDetermined("opening", "", "the opening characteristic", *missing))
        return None
    used = found.rows.opening[found.fit.is_used]
    if found.is_linear:
        low, high = 100 * used.min(), 100 * used.max()
        text = f"the opening characteristic is linear from {low:.0f} to {high:.0f} percent opening"
        if np.isfinite(found.bend):
            text += f"; points in its place would lie within {100 * found.bend:.2g} percent of it"
        findings.notes.append(text)
        return points
    nodes = found.model.nodes or ()
    places = np.array([0.0, 1.0, *nodes])
    closest = places[np.abs(used[:, None] - places).argmin(axis=1)]
    for i, node in enumerate(nodes, start=len(found.rows.sizes)):
        of, count = f"{100 * node:.4g} percent", int((closest == node).sum())
        findings.estimates.append(found.estimate(i, "opening", of, share_name(node), "share", count))
    return points


def _unreached(found: FlowFit) -> Why | None:
    """What part of the travel no row speaks for, and the missing test; None where all of it is covered."""
    used, valve = found.rows.opening[found.fit.is_used], found.valve
    low, high = float(used.min()), float(used.max())
    minimum, stop = 100 * valve.min_opening, 100 * valve.stop
    if high - low < _ONE_OPENING:
        about = f"{100 * low:.0f} percent" + (f" to {100 * high:.0f} percent" if high - low >= 0.01 else "")
        test = f"rows at several openings from {minimum:.0f} to {stop:.0f} percent"
        return f"all rows have about one opening, {about}", test
    if low > valve.min_opening + _REACH:
        why = f"no row opens less than {100 * low:.0f} percent, and the valve works from {minimum:.0f} percent up"
        return why, f"rows at {minimum:.0f} percent opening"
    if high < valve.stop - _REACH:
        return f"no row opens more than {100 * high:.0f} percent, and the stop lies at {stop:.0f} percent", (
            f"rows at {stop:.0f} percent opening"
        )
    return None
