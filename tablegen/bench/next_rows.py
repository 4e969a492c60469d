"""Which further rows would halve the bound of a parameter: a c-optimal design over candidate conditions.

The variance of a parameter with the gradient c over those of a fit is c' M^-1 c, where M is the information of the rows;
a row with derivatives j of its residual adds j j' over the variance of a residual.  Rows are added one at a time, each
the one that lowers the variance most, until the bound is half as wide; then each is exchanged for a better one, and
taken away again where it is not needed.

References
----------
Atkinson, A. C., Donev, A. N., "Optimum Experimental Designs" (1992): c-optimality, sequential construction and exchange
algorithms (not checked against the source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.bench.robust import Fit, quantile
from tablegen.physics.arrays import Floats, Names

# More rows are no plan for a bench.
MAX_ROWS = 200
_SWEEPS = 5
# Keeps the information of parameters that the rows leave open from being none.
_RIDGE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """What the bound of a parameter is made of.

    Attributes
    ----------
    fit : Fit
        Without rows off the law.
    jacobian : Floats, shape (rows, parameters)
        Derivatives of its residuals.
    gradient : Floats, shape (parameters,)
        Of the parameter over those of the fit.
    other_variance : float
        What no further row takes away.
    confidence : float
        [1].
    """

    fit: Fit
    jacobian: Floats
    gradient: Floats
    other_variance: float
    confidence: float

    @property
    def length(self) -> Floats:
        """By which parameters are divided to be of one order, shape (parameters,)."""
        found = np.sqrt((self.jacobian[self.fit.is_used] ** 2).sum(axis=0))
        return np.asarray(np.where(found > 0.0, found, 1.0))

    @property
    def information(self) -> Floats:
        """Of the rows used, shape (parameters, parameters), in units of one row's residual variance."""
        used = self.jacobian[self.fit.is_used] / self.length
        return np.asarray(used.T @ used + _RIDGE * np.eye(used.shape[1]))

    @property
    def variance(self) -> float:
        """The variance of a residual, as the covariance of the fit has it."""
        known = np.flatnonzero(np.isfinite(np.diag(self.fit.covariance)))
        inverse = np.diag(np.linalg.inv(self.information)) / self.length**2
        return float(np.median(np.diag(self.fit.covariance)[known] / inverse[known]))

    def half_width(self, information: Floats, rows: int) -> float:
        """Of the bound with this information after so many further rows."""
        gradient = self.gradient / self.length
        variance = self.variance * float(gradient @ np.linalg.solve(information, gradient))
        return quantile(self.confidence, self.fit.freedom + rows) * float(np.sqrt(variance + self.other_variance))


@dataclass(frozen=True, slots=True)
class Design:
    """Candidates by index, each as often as it is to be measured, and the bound before and after."""

    rows: Names
    before: float
    after: float


def rows_that_halve(bound: Bound, candidates: Floats) -> Design:
    """The further rows that halve a bound; as many as may be where no number of them does.

    Parameters
    ----------
    bound : Bound
    candidates : Floats, shape (candidates, parameters)
        Derivatives of the residual of a row at each condition that can be set.

    References
    ----------
    Atkinson, Donev (1992) (not checked against the source).
    """
    first, gradient, candidates = bound.information, bound.gradient / bound.length, candidates / bound.length
    before = bound.half_width(first, 0)

    def is_enough(chosen: list[int]) -> bool:
        return bound.half_width(_with(first, candidates[chosen]), len(chosen)) <= 0.5 * before

    chosen: list[int] = []
    while not is_enough(chosen) and len(chosen) < MAX_ROWS:
        chosen.append(_best(gradient, _with(first, candidates[chosen]), candidates))
    chosen = _exchanged(gradient, first, candidates, chosen)
    while chosen and is_enough(fewer := _exchanged(gradient, first, candidates, chosen[:-1])):
        chosen = fewer
    after = bound.half_width(_with(first, candidates[chosen]), len(chosen))
    return Design(np.array(sorted(chosen), dtype=int), before, after)


def _with(information: Floats, rows: Floats) -> Floats:
    return np.asarray(information + rows.T @ rows)


def _best(gradient: Floats, information: Floats, candidates: Floats) -> int:
    """The candidate that lowers the variance most (the rank-one update of an inverse)."""
    inverse = np.linalg.inv(information)
    gain = (candidates @ inverse @ gradient) ** 2 / (1.0 + np.einsum("ij,jk,ik->i", candidates, inverse, candidates))
    return int(np.argmax(gain))


def _exchanged(gradient: Floats, information: Floats, candidates: Floats, chosen: list[int]) -> list[int]:
    """As many rows, each the best beside the others."""
    chosen = list(chosen)
    for _ in range(_SWEEPS):
        before = list(chosen)
        for i in range(len(chosen)):
            others = [*chosen[:i], *chosen[i + 1 :]]
            chosen[i] = _best(gradient, _with(information, candidates[others]), candidates)
        if chosen == before:
            break
    return chosen
