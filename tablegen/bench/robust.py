"""Robust least squares: estimates, their covariance, outliers, and which parameters cannot be determined.

Residuals are fitted under the loss soft_l1, whose scale follows from the median absolute residual; rows that are
farther out than chance allows are set aside and named, and the rest is fitted anew.

References
----------
Huber, P. J., "Robust Statistics" (1981): covariance of an M-estimate with the factor for few rows, eq. (6.5) of
section 7.6; scale and estimate found together, section 7.8.  Schrader, R. M., Hettmansperger, T. P., "Robust
analysis of variance based upon a likelihood ratio criterion", Biometrika 67 (1980): the test of a smaller model.
(Not checked against the source, equation numbers included.)
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats
from scipy.optimize import least_squares

from tablegen.bench.parameters import Parameter
from tablegen.physics.arrays import Bools, Floats

# Where the loss turns from square to straight, in standard deviations: 95 % efficient with normal scatter.
_TURN = 1.345
# Median absolute deviation of a normal distribution over its standard deviation, inverted.
_MAD = 1.4826022185056018
_MIN_SCALE = 1e-7
# A chance of one in a hundred that any good row of a file is called an outlier.
_FALSE_ALARM = 0.01
# Below this share of the maximum singular value the rows do not separate parameters.
_RANK = 0.01
_IN_NULL_SPACE = 0.1
_ROUNDS, _END = 25, 1e-8
# Of a search that only compares starts.
_ROUGH_ROUNDS, _ROUGH_END, _ROUGH_STEPS = 1, 1e-3, 10


@dataclass(frozen=True, slots=True)
class Problem:
    """Residuals (measured less computed) and their derivatives, as functions of the parameters named.

    Attributes
    ----------
    names : tuple of Parameter
    residuals : callable
        Shape (parameters,) to (rows,).
    jacobian : callable
        Shape (parameters,) to (rows, parameters).
    start : Floats, shape (parameters,)
        Where a search begins.
    """

    names: tuple[Parameter, ...]
    residuals: Callable[[Floats], Floats]
    jacobian: Callable[[Floats], Floats]
    start: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A fitted problem.

    Attributes
    ----------
    names, values : tuple of Parameter, Floats of shape (parameters,)
        A value in `undetermined` is arbitrary.
    covariance : Floats, shape (parameters, parameters)
        NaN in rows and columns of parameters that cannot be determined.
    residuals, is_used : Floats, Bools, shape (rows,)
        Of every row; rows not used are outliers.
    scale : float
        Robust standard deviation of a residual.
    scatter : float
        Ordinary standard deviation of the residuals of the rows used.
    weights : Floats, shape (rows,)
        Share of its square loss that the robust loss leaves a row, 0 for one not used.
    freedom : int
        Rows used less parameters determined.
    undetermined : tuple of Parameter
        Parameters that the rows do not separate.
    """

    names: tuple[Parameter, ...]
    values: Floats
    covariance: Floats
    residuals: Floats
    is_used: Bools
    scale: float
    scatter: float
    weights: Floats
    freedom: int
    undetermined: tuple[Parameter, ...]

    @property
    def is_outlier(self) -> Bools:
        """Rows that were set aside."""
        return ~self.is_used

    @property
    def correlation(self) -> Floats:
        """Of the estimates, shape (parameters, parameters); NaN for those that cannot be determined."""
        deviation = np.sqrt(np.diag(self.covariance))
        return np.asarray(self.covariance / np.outer(deviation, deviation))

    def index(self, name: Parameter) -> int:
        """Index of a parameter."""
        return self.names.index(name)

    def value(self, name: Parameter) -> float:
        """A parameter; NaN if the rows do not determine it."""
        is_known = name in self.names and name not in self.undetermined
        return float(self.values[self.index(name)]) if is_known else float("nan")

    def standard_error(self, gradient: Floats) -> float:
        """Of a quantity with this gradient over the parameters, shape (parameters,); NaN if one is undetermined."""
        at = np.flatnonzero(gradient)
        part = self.covariance[np.ix_(at, at)]
        return float(np.sqrt(gradient[at] @ part @ gradient[at]))


def quantile(confidence: float, freedom: int) -> float:
    """Half-width of a two-sided bound over its standard error: Student's t.

    Parameters
    ----------
    confidence : float
        Of the bound [1].
    freedom : int
        Rows less parameters.

    Returns
    -------
    float
        [1].

    Examples
    --------
    >>> f"{quantile(0.95, 30):.3f}"
    '2.042'
    """
    return float(stats.t.ppf(0.5 + 0.5 * confidence, freedom))


def fit(problem: Problem, is_used: Bools | None = None) -> Fit:
    """Fit a problem by robust least squares.

    Parameters
    ----------
    problem : Problem
        With more rows than parameters; its residuals in any one unit.
    is_used : Bools, shape (rows,), optional
        The rows to fit; without it all but outliers, which are found and set aside.

    Returns
    -------
    Fit
        Estimates with covariance; which rows are outliers, and which parameters the rows do not determine.

    References
    ----------
    Huber (1981), section 7.8: estimate and scale together (not checked against the source).

    Examples
    --------
    Twelve rows on a straight line, one of them wrong:

    >>> from tablegen.bench.parameters import Quantity
    >>> names = Parameter(Quantity.SPRING), Parameter(Quantity.GRADIENT)
    >>> x = np.column_stack([np.ones(12), np.arange(12.0)])
    >>> y = x @ [2.0, 0.5] + 0.01 * np.tile([1.0, -1.0, 0.0], 4)
    >>> y[5] += 1.0
    >>> found = fit(Problem(names, lambda v: y - x @ v, lambda v: -x, np.zeros(2)))
    >>> np.flatnonzero(found.is_outlier)
    array([5])
    >>> print(f"{found.value(names[0]):.2f}, {found.value(names[1]):.2f}")
    2.00, 0.50
    """
    count = len(problem.residuals(problem.start))
    if is_used is not None:
        return _fitted(problem, is_used, *_minimized(problem, is_used, problem.start))
    used = np.ones(count, dtype=bool)
    seen: set[bytes] = set()
    values = problem.start
    while True:
        values, scale = _minimized(problem, used, values)
        found = _within(problem, values, scale, used)
        if (found == used).all() or found.tobytes() in seen or found.sum() <= len(values):
            return _fitted(problem, used, values, scale)
        seen.add(used.tobytes())
        used = found


def best_start(problem: Problem, starts: Sequence[Floats]) -> Floats:
    """Of the ends of searches from several starts, the one with the minimum loss on every row."""
    every = np.ones(len(problem.residuals(starts[0])), dtype=bool)
    found = [_minimized(problem, every, start, is_rough=True) for start in starts]
    unit = min(scale for _, scale in found)
    return min((x for x, _ in found), key=lambda x: float(loss(problem.residuals(x) / unit).sum()))


def _minimized(problem: Problem, used: Bools, start: Floats, is_rough: bool = False) -> tuple[Floats, float]:
    """Parameters and scale that belong together.

    The search goes only where the rows at its start determine something, or it would drift along what they do not.
    """
    columns, length = _scaled(problem.jacobian(start), used)
    _, size, right = np.linalg.svd(columns[used], full_matrices=False)
    way = right[size > _RANK * size[0]].T / np.where(length > 0.0, length, 1.0)[:, None]
    count = int(used.sum())
    freedom = max(count - way.shape[1], 1)

    def residuals(z: Floats) -> Floats:
        return problem.residuals(start + way @ z)[used]

    def jacobian(z: Floats) -> Floats:
        return np.asarray(problem.jacobian(start + way @ z)[used] @ way)

    def spread(z: Floats) -> float:
        return max(float(_MAD * np.median(np.abs(residuals(z))) * np.sqrt(count / freedom)), _MIN_SCALE)

    z = np.zeros(way.shape[1])
    scale = spread(z)
    end, steps = (_ROUGH_END, _ROUGH_STEPS) if is_rough else (_END, None)
    for _ in range(_ROUGH_ROUNDS if is_rough else _ROUNDS):
        found = least_squares(
            residuals,
            z,
            jacobian,
            loss="soft_l1",
            f_scale=_TURN * scale,
            x_scale="jac",
            ftol=end,
            xtol=end,
            gtol=_END,
            max_nfev=steps,
        )
        z, before, scale = found.x, scale, spread(found.x)
        if abs(scale - before) <= 1e-3 * before:
            break
    return np.asarray(start + way @ z), scale


def _within(problem: Problem, values: Floats, scale: float, used: Bools) -> Bools:
    """Rows whose residual is no farther out than chance allows, given the leverage of each row."""
    residuals, jacobian = problem.residuals(values), problem.jacobian(values)
    count = int(used.sum())
    columns, _ = _scaled(jacobian, used)
    _, size, right = np.linalg.svd(columns[used], full_matrices=False)
    keep = size > _RANK * size[0]
    leverage = (((columns @ right[keep].T) / size[keep]) ** 2).sum(axis=1)
    freedom = max(count - int(keep.sum()), 1)
    bound = outlier_bound(count, freedom)
    # Steadier than the median's scale alone, and outliers hardly widen it.
    scale *= float(np.sqrt(_variance_factor(residuals[used] / scale, int(keep.sum()), freedom)))
    # A row that alone determines a parameter cannot be judged.
    spread = np.sqrt(np.where(used, np.maximum(1.0 - leverage, 1e-6), 1.0 + leverage))
    return np.asarray((np.abs(residuals) <= bound * scale * spread) | (used & (leverage > 0.999)))


def outlier_bound(count: int, freedom: int) -> float:
    """How far out a row of so many is by chance at most, in standard deviations."""
    return float(stats.t.ppf(1.0 - 0.5 * _FALSE_ALARM / count, freedom))


def _scaled(jacobian: Floats, used: Bools) -> tuple[Floats, Floats]:
    """Columns of unit length over the rows used, and the lengths; a column of zeros stays one."""
    length = np.sqrt((jacobian[used] ** 2).sum(axis=0))
    return jacobian / np.where(length > 0.0, length, 1.0), length


def _fitted(problem: Problem, used: Bools, values: Floats, scale: float) -> Fit:
    residuals = problem.residuals(values)
    columns, length = _scaled(problem.jacobian(values), used)
    _, size, right = np.linalg.svd(columns[used], full_matrices=False)
    keep = size > _RANK * max(size[0], 1e-300)
    undetermined = np.sqrt((right[~keep] ** 2).sum(axis=0)) > _IN_NULL_SPACE
    count, determined = int(used.sum()), int(keep.sum())
    freedom = max(count - determined, 1)
    inverse = (right[keep].T / size[keep] ** 2) @ right[keep]
    factor = _variance_factor(residuals[used] / scale, determined, freedom)
    with np.errstate(divide="ignore", invalid="ignore"):
        covariance = scale**2 * factor * inverse / np.outer(length, length)
    covariance[undetermined, :] = covariance[:, undetermined] = np.nan
    weights = np.where(used, 1.0 / np.sqrt(1.0 + (residuals / (_TURN * scale)) ** 2), 0.0)
    scatter = float(np.sqrt((residuals[used] ** 2).sum() / freedom))
    names = tuple(name for name, is_undetermined in zip(problem.names, undetermined, strict=True) if is_undetermined)
    return Fit(
        names=problem.names,
        values=values,
        covariance=covariance,
        residuals=residuals,
        is_used=used,
        scale=scale,
        scatter=scatter,
        weights=weights,
        freedom=freedom,
        undetermined=names,
    )


def _variance_factor(standard: Floats, parameters: int, freedom: int) -> float:
    """Huber's variance of an M-estimate over that of least squares with the same scale, eq. (6.5) of section 7.6."""
    psi, slope = influence(standard), _slope(standard)
    mean = float(slope.mean())
    correction = 1.0 + parameters / len(standard) * float(slope.var()) / mean**2
    return float(correction**2 * (psi**2).sum() / freedom / mean**2)


def loss(standard: Floats) -> Floats:
    """Loss of residuals in standard deviations: half the square near zero, straight far out."""
    return np.asarray(_TURN**2 * (np.sqrt(1.0 + (standard / _TURN) ** 2) - 1.0))


def influence(standard: Floats) -> Floats:
    """Derivative of the loss: a residual in standard deviations, cut where the loss turns straight."""
    return np.asarray(standard / np.sqrt(1.0 + (standard / _TURN) ** 2))


def _slope(standard: Floats) -> Floats:
    return np.asarray((1.0 + (standard / _TURN) ** 2) ** -1.5)


def differences(of: Callable[[Floats], float], steps: Floats) -> Floats:
    """How far a quantity is apart between a step up and the same step down, for each row of steps."""
    return np.array([of(step) - of(-step) for step in steps], dtype=np.float64)


def chance(smaller: Fit, larger: Fit) -> float:
    """Chance that a smaller model, if it is true, fits as much worse than a larger one that contains it.

    Parameters
    ----------
    smaller, larger : Fit
        On the same rows.

    Returns
    -------
    float
        [1].

    References
    ----------
    Schrader, Hettmansperger (1980) (not checked against the source).
    """
    more = len(larger.values) - len(smaller.values)
    used = larger.is_used
    standard = larger.residuals[used] / larger.scale
    drop = loss(smaller.residuals[used] / larger.scale).sum() - loss(standard).sum()
    unit = (influence(standard) ** 2).sum() / larger.freedom / _slope(standard).mean()
    return float(stats.f.sf(max(2.0 * drop / more / unit, 0.0), more, larger.freedom))
