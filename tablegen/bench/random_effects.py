"""A mean over specimens, and how specimens differ beyond what their own fits leave open: a random-effects model.

    value_i = mean of its group + b_i + e_i,   b_i ~ N(0, scatter^2),   e ~ N(0, V) with V from the fit

All groups (sizes, charges) share one scatter.  It is the one at which the generalized sum of squares

    Q(scatter) = r' (V + scatter^2 I)^-1 r

of the residuals r about the generalized least-squares means is as large as its freedom (method of moments); its bounds
are where Q is as large as chi-square allows, so that a few specimens give wide ones.  Bounds of a mean are Student's t
with that freedom.

References
----------
Paule, R. C., Mandel, J., "Consensus values and weighting factors", Journal of Research of the National Bureau of
Standards 87 (1982): the estimate.  Viechtbauer, W., "Confidence intervals for the amount of heterogeneity in
meta-analysis", Statistics in Medicine 26 (2007): the bounds (Q-profile method).  (Not checked against the source.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import stats
from scipy.optimize import brentq

from tablegen.bench.robust import quantile
from tablegen.physics.arrays import Floats, Names

_ROUNDS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class RandomEffects:
    """Means of the groups with their standard errors, and the scatter with its two-sided bound.

    Attributes
    ----------
    means, errors : Floats, shape (groups,)
    deviation, low, high : float
        Standard deviation between members of a group; NaN where no group has two members.
    freedom : int
        Members less groups.
    """

    means: Floats
    errors: Floats
    deviation: float
    low: float
    high: float
    freedom: int


def random_effects(values: Floats, covariance: Floats, group: Names, confidence: float) -> RandomEffects:
    """Means and scatter of members with known errors.

    Parameters
    ----------
    values : Floats, shape (members,)
    covariance : Floats, shape (members, members)
        Of the errors of `values`.
    group : array of int, shape (members,)
        From 0 up, each with a member.
    confidence : float
        Of the two-sided bound of the scatter [1].

    Returns
    -------
    RandomEffects

    References
    ----------
    Paule, Mandel (1982); Viechtbauer (2007) (not checked against the source).

    Examples
    --------
    Members without errors of their own give the ordinary mean and standard deviation:

    >>> found = random_effects(np.array([1.0, 2.0, 3.0]), np.zeros((3, 3)), np.zeros(3, dtype=int), 0.95)
    >>> print(f"{found.means[0]:.3f} {found.deviation:.3f}, {found.low:.3f} to {found.high:.3f}")
    2.000 1.000, 0.521 to 6.285
    """
    member_of = np.equal.outer(group, np.arange(int(group.max()) + 1)).astype(np.float64)
    freedom = len(values) - member_of.shape[1]
    # Keeps members without errors apart from a division by zero.
    smallest = 1e-9 * max(float(np.abs(values).max()), 1e-9)
    covariance = covariance + smallest**2 * np.eye(len(values))

    def solved(deviation: float) -> tuple[Floats, Floats, float]:
        weight = np.asarray(np.linalg.inv(covariance + deviation**2 * np.eye(len(values))), dtype=np.float64)
        of_means = np.asarray(np.linalg.inv(member_of.T @ weight @ member_of), dtype=np.float64)
        means = of_means @ member_of.T @ weight @ values
        residual = values - member_of @ means
        return means, of_means, float(residual @ weight @ residual)

    def deviation_at(wanted: float) -> float:
        """Where Q is as large as wanted; 0 where it is smaller without any scatter."""
        if solved(0.0)[2] <= wanted:
            return 0.0
        high = max(float(np.ptp(values)), smallest)
        for _ in range(_ROUNDS):
            if solved(high)[2] <= wanted:
                break
            high *= 2.0
        return float(brentq(lambda x: solved(x)[2] - wanted, 0.0, high, xtol=1e-6 * high))

    deviation = low = high = float("nan")
    if freedom > 0:
        tail = 0.5 * (1.0 - confidence)
        low, high = (deviation_at(float(stats.chi2.isf(share, freedom))) for share in (tail, 1.0 - tail))
        deviation = deviation_at(float(freedom))
    means, of_means, _ = solved(0.0 if np.isnan(deviation) else deviation)
    return RandomEffects(
        means=means,
        errors=np.sqrt(np.diag(of_means)),
        deviation=deviation,
        low=low,
        high=high,
        freedom=freedom,
    )


def half_width(found: RandomEffects, group: int, confidence: float) -> float:
    """Half-width of the two-sided bound of a group's mean; NaN where no group has two members."""
    if found.freedom < 1:
        return float("nan")
    return quantile(confidence, found.freedom) * float(found.errors[group])
