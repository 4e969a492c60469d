"""Whether rows are off the law on one side under one condition: lack of fit, not outliers.

Two tests, for each condition under which the rows were taken:

- trend, over every row: do the residuals, each cut at the turn of the robust loss, follow a slope and a bend over
  the condition (or a level for each name) beyond what the parameters could take up?  An F test of the score.
- cluster, over the rows that are far off on one side, three at minimum: are they those of small or of large values (rank
  sum of Wilcoxon, Mann and Whitney) or of one name (Fisher's exact test)?  It takes the sides as they are, so outliers
  that merely share a side are no lack of fit.

All of them share one error rate (Holm): of files whose rows do follow the law, no more than that share is reported.

References
----------
Score test of an M-estimate: Markatou, M., Hettmansperger, T. P., "Robust bounded-influence tests in linear models",
Journal of the American Statistical Association 85 (1990).  Holm, S., "A simple sequentially rejective multiple test
procedure", Scandinavian Journal of Statistics 6 (1979).  (Not checked against the source.)
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy import stats

from tablegen.bench.parameters import Part
from tablegen.bench.result import ConditionKey, LackOfFit, Outlier, Reading, Third
from tablegen.bench.robust import Fit, influence, outlier_bound, quantile
from tablegen.physics.arrays import Bools, Floats, Names

# The share of sound files, for each part of a fit, in which lack of fit is reported by chance.
ERROR_RATE = 0.01
# Rows of a name that make a level, and rows far off that make a cluster.
_MIN_ROWS = 3
# Of a condition's columns, what the parameters take up may not be nearly all.
_LEFT = 0.1
_MAX_CONDITIONS = 3
# Where more of the rows are far off, it is the model that is wrong.
MAX_FAR_OFF = 0.2


@dataclass(frozen=True, slots=True)
class Condition:
    """A reading under which rows may be off the law, one for each row.

    Attributes
    ----------
    key : ConditionKey
    values : Floats or Names, shape (rows,)
        Numbers in SI.
    among : Bools, shape (rows,), or None
        The rows that it is about; None for all of them.
    """

    key: ConditionKey
    values: Floats | Names
    among: Bools | None = None

    @property
    def rows(self) -> Bools:
        """The rows that it is about."""
        return np.ones(len(self.values), dtype=bool) if self.among is None else self.among

    @property
    def numbers(self) -> Floats:
        """The values of a condition that is no name."""
        return np.asarray(self.values, dtype=np.float64)

    def groups(self) -> dict[str, Bools]:
        """Thirds of the rows by value, or the rows of each name."""
        if self.key.reading.is_name:
            return {str(name): np.asarray(self.values == name) for name in dict.fromkeys(map(str, self.values))}
        values, rows = self.numbers, self.rows
        low, high = np.quantile(values[rows], (1.0 / 3.0, 2.0 / 3.0))
        found = (values <= low, (values > low) & (values < high), values >= high)
        return {name: own & rows for name, own in zip(Third, found, strict=True) if (own & rows).any()}

    def columns(self) -> Floats:
        """What a trend over it would look like, shape (rows, columns); no column where all rows are alike."""
        if not self.key.reading.is_name:
            values, rows = self.numbers, self.rows
            reach = np.ptp(values[rows])
            if reach == 0.0:
                return np.empty((len(values), 0))
            # By value, not by rank: that would spread rows at one setting by the errors of its reading.
            place = np.where(rows, 2.0 * (values - values[rows].min()) / reach - 1.0, 0.0)
            return np.stack([place, place**2], axis=1)
        levels = [own for own in self.groups().values() if own.sum() >= _MIN_ROWS]
        return np.stack(levels, axis=1).astype(np.float64) if len(levels) > 1 else np.empty((len(self.values), 0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """A condition under which the rows are off the law: the rows of the third or name where they are, on which side.

    `also` are conditions that varied along with it, so that the rows do not decide between them.
    """

    condition: Condition
    group: str
    side: float
    chance: float
    also: tuple[ConditionKey, ...] = ()

    @property
    def is_in_group(self) -> Bools:
        """The rows of the third or name."""
        return self.condition.groups()[self.group]

    def result(self, part: Part, line: Floats, residual: Floats, far_off: Bools) -> LackOfFit:
        """What is reported; `residual` in the unit of its part, `far_off` rows that stay in the fit all the same."""
        own, condition = self.is_in_group, self.condition
        low = high = float("nan")
        if not condition.key.reading.is_name:
            values = condition.numbers[own]
            low, high = float(values.min()), float(values.max())
        signed = self.side * residual
        named = own & far_off & (signed > 0.0)
        farthest = int(np.flatnonzero(own)[np.argmax(signed[own])])
        return LackOfFit(
            part=part,
            condition=condition.key,
            group=self.group,
            low=low,
            high=high,
            rows=int(own.sum()),
            residual=float(np.mean(residual[own])),
            farthest=float(residual[farthest]),
            lines=tuple(map(int, line[named])),
            chance=self.chance,
            error_rate=ERROR_RATE,
            also=self.also,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedFit:
    """A fit, and where its rows are off the law.

    Attributes
    ----------
    fit : Fit
    far_off : Bools, shape (rows,)
        Rows farther off than chance allows; those that belong to a misfit stay in the fit.
    misfits : list of Misfit
    refits : list of Fit
        Fits without each third or name of their conditions in turn; every bound covers what these give as well.
    """

    fit: Fit
    far_off: Bools
    misfits: list[Misfit]
    refits: list[Fit]

    @property
    def count(self) -> int:
        """How many rows are used."""
        return int(self.fit.is_used.sum())

    @property
    def far_share(self) -> float:
        """The share of rows that are far off."""
        return float(self.far_off.mean())

    def widened(self, quantity: Callable[[Fit], float], error: float, confidence: float) -> tuple[float, float]:
        """Half-width of the bound of a quantity with a standard error, and that error; NaN if no refit determines it."""
        wide = quantile(confidence, self.fit.freedom)
        if self.misfits:
            moved = np.abs([quantity(other) - quantity(self.fit) for other in self.refits])
            error += (float(np.nanmax(moved)) if np.isfinite(moved).any() else float("nan")) / wide
        return wide * error, error

    def lacks(self, part: Part, line: Floats, residual: Floats) -> list[LackOfFit]:
        """What is reported of the misfits; `residual` in the unit of the part."""
        in_fit = self.far_off & self.fit.is_used
        return [misfit.result(part, line, residual, in_fit) for misfit in self.misfits]


def outliers(found: Fit, part: Part, line: Floats, residual: Floats) -> list[Outlier]:
    """The rows that a fit sets aside; `residual` in the unit of the part."""
    return [
        Outlier(int(line[i]), part, float(residual[i]), float(found.residuals[i] / found.scale))
        for i in np.flatnonzero(found.is_outlier)
    ]


def misfits(
    every: Fit, jacobian: Floats, far_off: Bools, conditions: Sequence[Condition], minimum: float
) -> list[Misfit]:
    """The conditions under which rows are off the law, most certain first; none where they follow it.

    Parameters
    ----------
    every : Fit
        The law fitted to every row.
    jacobian : Floats, shape (rows, columns)
        Derivatives of its residuals, with further columns for what else the residuals may depend on.
    far_off : Bools, shape (rows,)
        Rows that are farther off than chance allows.
    conditions : sequence of Condition
    minimum : float
        A trend that moves residuals by less, or a row off by less, does not count [the unit of residuals].

    Returns
    -------
    list of Misfit

    References
    ----------
    Score test: Markatou, Hettmansperger (1990); error rate of several tests: Holm (1979) (not checked against the
    source).
    """
    standard = every.residuals / every.scale
    score, taken_up = influence(standard), jacobian
    matters = np.abs(every.residuals) >= minimum
    found: list[Misfit] = []
    suspects: list[set[ConditionKey]] = []
    left = list(conditions)
    while left and len(found) < _MAX_CONDITIONS:
        trends = [_trend(condition.columns(), taken_up, score) for condition in left]
        clusters = [_cluster(condition, far_off & matters, standard) for condition in left]
        chances = np.array(
            [
                [1.0 if t is None or np.ptp(t.fitted) * every.scale < minimum else t.chance for t in trends],
                [1.0 if c is None else c[0] for c in clusters],
            ]
        )
        # The first of Holm's steps, taken anew for what is left with each condition that is found.
        asked = sum(t is not None for t in trends) + sum(c is not None for c in clusters)
        certain = [i for i, chance in enumerate(chances.min(axis=0)) if chance * asked < ERROR_RATE]
        if not certain:
            break
        # Time does not count where a reading explains as much: what is set on a bench is set in some order.
        best = min(certain, key=lambda i: (_is_time(left[i]), chances[:, i].min()))
        suspects.append({left[i].key for i in certain if not _is_time(left[i])})
        condition, trend, cluster = left.pop(best), trends[best], clusters[best]
        chance = min(1.0, float(chances[:, best].min()) * asked)
        if cluster is not None and chances[1, best] < chances[0, best]:
            group, side = cluster[1:]
        else:
            group, side = _farthest(condition, influence(standard))
        found.append(Misfit(condition=condition, group=group, side=side, chance=chance))
        far_off = far_off & ~found[-1].is_in_group
        if trend is not None:
            taken_up = np.column_stack([taken_up, condition.columns()])
            score = score - trend.fitted
    named = {misfit.condition.key for misfit in found}
    return [replace(m, also=tuple(sorted(keys - named))) for m, keys in zip(found, suspects, strict=True)]


def _is_time(condition: Condition) -> bool:
    return condition.key.reading is Reading.LINE


@dataclass(frozen=True, slots=True)
class _Trend:
    """What a score shows of a condition's columns, and the chance of as much in rows that follow the law."""

    chance: float
    fitted: Floats


def _trend(columns: Floats, taken_up: Floats, score: Floats) -> _Trend | None:
    """None where the parameters take up what the columns could show."""
    if not columns.shape[1]:
        return None
    columns = columns - columns.mean(axis=0)
    before = np.maximum(np.linalg.norm(columns, axis=0), 1e-9)
    basis = _basis(taken_up)
    own = columns - basis @ (basis.T @ columns)
    own = _basis((own / before)[:, np.linalg.norm(own, axis=0) > _LEFT * before], _LEFT)
    count, freedom = own.shape[1], len(score) - basis.shape[1] - own.shape[1]
    if not count or freedom < 1:
        return None
    fitted = own @ (own.T @ score)
    # Each row stands for its own variance: how residuals widen over a condition is known only roughly.
    rows = _basis(own * score[:, None])
    share = min(float((rows.sum(axis=0) ** 2).sum()) / len(score), 1.0 - 1e-15)
    return _Trend(float(stats.f.sf(share / count / ((1.0 - share) / freedom), count, freedom)), fitted)


def _basis(columns: Floats, minimum: float = 1e-6) -> Floats:
    """Orthonormal columns that span the same."""
    length = np.linalg.norm(columns, axis=0)
    left, size, _ = np.linalg.svd(columns / np.where(length > 0.0, length, 1.0), full_matrices=False)
    return np.asarray(left[:, size > minimum * max(float(size.max(initial=0.0)), 1e-300)])


def _cluster(condition: Condition, far_off: Bools, standard: Floats) -> tuple[float, str, float] | None:
    """Chance that rows far off on one side are where they are, the third or name where they are, and the side."""
    found: list[tuple[float, str, float]] = []
    for side in (1.0, -1.0):
        among = condition.rows
        own = far_off & (side * standard > 0.0) & among
        count = int(own.sum())
        if count < _MIN_ROWS or count == among.sum():
            continue
        if not condition.key.reading.is_name:
            values = condition.numbers
            if np.ptp(values[among]) == 0.0:
                continue
            chance = float(stats.mannwhitneyu(values[own], values[among & ~own]).pvalue)
            is_low = np.median(values[own]) < np.median(values[among])
            found.append((chance, Third.LOWEST if is_low else Third.HIGHEST, side))
        elif len(groups := condition.groups()) > 1:
            for name, rows in groups.items():
                chance = float(stats.hypergeom.sf((own & rows).sum() - 1, len(own), rows.sum(), count))
                found.append((min(1.0, len(groups) * chance), name, side))
    if not found:
        return None
    chance, group, side = min(found)
    # One of two sides, as a rule.
    return min(1.0, 2.0 * chance), group, side


def rows_to_fit(every: Fit, far_off: Bools, found: Sequence[Misfit]) -> Bools:
    """The rows to fit where some are off the law, shape (rows,).

    Rows far off that belong to a misfit, two or more, stay. Any other is set aside only if it is outside a scatter that
    has the misfit in it, for a law that does not describe the rows is no measure of a single one.
    """
    alone = far_off.copy()
    for misfit in found:
        belongs = far_off & misfit.is_in_group & (misfit.side * every.residuals > 0.0)
        if belongs.sum() > 1:
            alone &= ~belongs
    kept = every.residuals[~alone]
    scatter = float(np.sqrt((kept**2).sum() / max(len(kept) - len(every.values), 1)))
    bound = outlier_bound(len(every.residuals), every.freedom)
    return np.asarray(~(alone & (np.abs(every.residuals) > bound * scatter)))


def refits(fitted: Callable[[Bools], Fit], found: Fit, misfits: Sequence[Misfit]) -> list[Fit]:
    """Fits without each third or name of the conditions in turn: how far a parameter depends on them."""
    used = [found.is_used & ~own for misfit in misfits for own in misfit.condition.groups().values()]
    return [fitted(rows) for rows in used if rows.sum() > len(found.values) + 1]


def _farthest(condition: Condition, residual: Floats) -> tuple[str, float]:
    """The third or name whose residuals are farthest off, and their side."""
    middles = {name: float(np.mean(residual[own])) for name, own in condition.groups().items()}
    group = max(middles, key=lambda name: abs(middles[name]))
    return group, float(np.sign(middles[group]) or 1.0)
