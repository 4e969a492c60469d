"""Robust least squares against closed forms: covariance, bounds, outliers, rank.

The closed form is that of linear least squares in any textbook: estimate (X'X)^-1 X'y, covariance s^2 (X'X)^-1, bounds
from Student's t.
"""

import numpy as np
import pytest
from scipy import stats

from tablegen.bench.parameters import Parameter, Quantity
from tablegen.bench.robust import Fit, Problem, chance, fit, quantile

OPENING = np.tile([0.1, 0.3, 0.5, 0.7, 0.9, 1.1], 6)
DROP = np.repeat([-1.0, 0.0, 1.0], 12)
X = np.column_stack([np.ones(36), OPENING, DROP])
TRUE = np.array([2.0, 3.0, -0.5])


def named(*names: str) -> tuple[Parameter, ...]:
    return tuple(Parameter(Quantity.SPRING, name) for name in names)


NAMES = named("spring", "gradient", "port")


def solved(y, x=X, names=NAMES, used=None) -> Fit:
    start = np.zeros(x.shape[1])
    return fit(Problem(names, lambda v: y - x @ v, lambda v: -x, start), used)


def closed_form(y, x=X):
    """Estimate and covariance of linear least squares."""
    inverse = np.linalg.inv(x.T @ x)
    estimate = inverse @ x.T @ y
    residual = y - x @ estimate
    return estimate, residual @ residual / (len(y) - x.shape[1]) * inverse


def test_clean_rows_give_what_linear_min_squares_gives():
    rng = np.random.default_rng(1)
    offs, ratios = [], []
    for _ in range(60):
        y = X @ TRUE + 0.1 * rng.standard_normal(36)
        found, (estimate, covariance) = solved(y, used=np.ones(36, dtype=bool)), closed_form(y)
        error = np.sqrt(np.diag(covariance))
        offs.append((found.values - estimate) / error)
        ratios.append(np.sqrt(np.diag(found.covariance)) / error)
    # A robust estimate wanders about the other by a part of the error that both have: it is 95 percent efficient.
    assert np.sqrt(np.mean(np.square(offs))) < 0.4
    assert np.mean(ratios) == pytest.approx(1.0 / np.sqrt(0.954), abs=0.03)


@pytest.mark.slow
def test_bounds_include_the_truth_as_often_as_they_say():
    rng = np.random.default_rng(2)
    count, confidence = 200, 0.9
    held = np.zeros(3)
    for _ in range(count):
        found = solved(X @ TRUE + 0.1 * rng.standard_normal(36))
        half = quantile(confidence, found.freedom) * np.sqrt(np.diag(found.covariance))
        held += np.abs(found.values - TRUE) <= half
    low, high = stats.binom.interval(0.999, count, confidence)
    assert ((held >= low) & (held <= high)).all()


def test_outliers_pull_min_squares_away_and_not_this():
    rng = np.random.default_rng(12)
    y = X @ TRUE + 0.1 * rng.standard_normal(36)
    y[[5, 17]] += 2.0
    found, (estimate, covariance) = solved(y), closed_form(y)
    assert np.flatnonzero(found.is_outlier).tolist() == [5, 17]
    clean, clean_covariance = closed_form(np.delete(y, [5, 17]), np.delete(X, [5, 17], axis=0))
    assert np.abs(found.values - clean).max() < 0.5 * np.sqrt(np.diag(clean_covariance)).max()
    # The ordinary estimate is off by several times what it would be without the two rows, and its bounds are no use.
    assert abs(estimate[1] - TRUE[1]) > 3.0 * np.sqrt(clean_covariance[1, 1])
    assert np.sqrt(covariance[1, 1]) > 3.0 * np.sqrt(found.covariance[1, 1])


def test_false_alarms_are_as_rare_as_promised():
    rng = np.random.default_rng(4)
    flagged = sum(bool(solved(X @ TRUE + rng.standard_normal(36)).is_outlier.any()) for _ in range(120))
    assert flagged <= stats.binom.ppf(0.999, 120, 0.03)


def test_a_row_that_alone_determines_a_parameter_is_not_judged():
    rng = np.random.default_rng(5)
    lone = np.zeros(36)
    lone[0] = 1.0
    y = X @ TRUE + 0.1 * rng.standard_normal(36)
    y[0] += 50.0
    found = solved(y, np.column_stack([X, lone]), (*NAMES, *named("lone")))
    assert not found.is_outlier.any()
    assert found.undetermined == ()


def test_columns_that_go_up_and_down_as_one_are_named():
    rng = np.random.default_rng(6)
    x = np.column_stack([np.ones(36), OPENING, 2.0 * OPENING + 1.0, DROP])
    y = X @ TRUE + 0.1 * rng.standard_normal(36)
    found = solved(y, x, named("spring", "gradient", "twin", "port"))
    assert found.undetermined == named("spring", "gradient", "twin")
    # What is left to determine has the bounds of the problem without the twin.
    alone = solved(y)
    assert found.freedom == alone.freedom == 33
    assert found.values[3] == pytest.approx(alone.values[2], abs=1e-3)
    assert found.covariance[3, 3] == pytest.approx(alone.covariance[2, 2], rel=0.03)
    assert np.isnan(found.covariance[0, 0]) and np.isnan(found.covariance[3, 0])
    assert np.isnan(found.standard_error(np.array([0.0, 1.0, 0.0, 1.0])))


def test_a_parameter_that_no_row_feels_is_named():
    y = X @ TRUE + 0.1 * np.random.default_rng(7).standard_normal(36)
    found = solved(y, np.column_stack([X, np.zeros(36)]), (*NAMES, *named("nothing")))
    assert found.undetermined == named("nothing")
    assert np.isfinite(np.diag(found.covariance)[:3]).all()


def test_covariance_agrees_with_a_bootstrap_of_residuals():
    rng = np.random.default_rng(8)
    y = X @ TRUE + 0.1 * rng.standard_normal(36)
    every = np.ones(36, dtype=bool)
    found = solved(y, used=every)
    residual = found.residuals * np.sqrt(36 / found.freedom)
    again = [solved(X @ found.values + rng.choice(residual, 36), used=every).values for _ in range(100)]
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(np.std(again, axis=0), rel=0.3)


@pytest.mark.slow
def test_a_smaller_model_that_is_true_is_seldom_refused():
    rng = np.random.default_rng(9)
    wider = np.column_stack([X, OPENING**2])
    every = np.ones(36, dtype=bool)
    chances = []
    for bend in (0.0, 1.0):
        found = []
        for _ in range(60):
            y = X @ TRUE + bend * OPENING**2 + 0.1 * rng.standard_normal(36)
            found.append(chance(solved(y, used=every), solved(y, wider, (*NAMES, *named("bend")), every)))
        chances.append(np.array(found))
    true, false = chances
    assert (true < 0.05).sum() <= stats.binom.ppf(0.999, 60, 0.06)
    assert (true < 0.05).sum() >= 1
    assert np.median(false) < 1e-4


def test_rows_without_scatter_do_not_break_it():
    found = solved(X @ TRUE)
    assert found.values == pytest.approx(TRUE, abs=1e-9)
    assert not found.is_outlier.any()
