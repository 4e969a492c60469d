"""Rows of a valve whose discharge coefficient follows subcooling and drop: what they determine, and when they do not."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tablegen.bench.flow_fit import fit_flow
from tablegen.bench.parameters import Quantity, Why
from tablegen.bench.readings import FitOptions
from tablegen.physics.flow import FlowLaw
from tests.bench.invented import QUIET, Noise, Plan, readings
from tests.bench.valves import FLUID, FLUIDS, VALVE, truth

A, B = Quantity.SUBCOOLING_EXPONENT, Quantity.DROP_EXPONENT
LAW = FlowLaw.DISCHARGE_COEFFICIENT


def of_exponents(a, b):
    return replace(truth(), exponents=(a, b))


def wide(openings=(0.3, 0.6, 1.0, 1.2), liquids=(60.0, 80.0, 92.0, 97.0), outlets=(60.0, 110.0, 170.0)) -> Plan:
    """Liquid from cold to nearly saturated at 250 psi (99 degF), outlet pressures from low to high."""
    rows = [("45", phi, 250.0, outlet, liquid) for phi in openings for liquid in liquids for outlet in outlets]
    return Plan(rows)


def fitted(made_from, plan, noise=None, seed=3, **options):
    rows = readings(made_from, plan, Noise() if noise is None else noise, seed, FLUID)
    part = fit_flow(rows, VALVE, FLUIDS, FitOptions(**options))
    return part.fit, {e.parameter.quantity: e for e in part.findings.estimates}, part.findings


def test_readings_without_scatter_give_the_truth():
    fit, found, _ = fitted(of_exponents(0.06, -0.12), wide(), QUIET)
    assert fit.law is LAW and fit.verdict.discharge.why is Why.EXPONENTS_FIT
    assert found[A].value == pytest.approx(0.06, abs=1e-6) and found[B].value == pytest.approx(-0.12, abs=1e-6)
    # Kv is that at the reference point of the fit, by hand from the truth's.
    s, y = (math.exp(own) for own in fit.model.reference)
    kv = 45.4e-3 * (s / 0.05) ** 0.06 * (y / 0.5) ** -0.12
    assert found[Quantity.KV].value == pytest.approx(kv, rel=1e-6)
    assert fit.verdict.discharge_scatter < 1e-6 < fit.verdict.orifice_scatter


@pytest.mark.slow
def test_bounds_hold_the_truth_as_often_as_they_say():
    inside = np.zeros(2)
    for seed in range(8):
        fit, found, _ = fitted(of_exponents(0.06, -0.12), wide(), seed=seed)
        assert fit.law is LAW
        for i, (quantity, true) in enumerate(((A, 0.06), (B, -0.12))):
            own = found[quantity]
            inside[i] += abs(own.value - true) <= own.half_width
            assert 0.001 < own.half_width < 0.05
    # Of 8 bounds at 95 percent, 6 or more hold in 999 cases of 1000 (binomial).
    assert (inside >= 6).all()


@pytest.mark.parametrize(("recovery", "law"), [(None, FlowLaw.ORIFICE), (0.85, FlowLaw.CHOKED)])
def test_rows_of_the_other_laws_are_not_taken_for_it(recovery, law):
    for seed in range(3):
        fit, _, _ = fitted(truth(recovery=recovery), wide(), seed=seed)
        assert fit.verdict.law is law
        assert fit.verdict.discharge.why is not Why.EXPONENTS_FIT


@pytest.mark.parametrize(
    ("plan", "why"),
    [
        (wide(liquids=(80.0, 84.0)), Why.SUBCOOLING_ALIKE),
        (wide(outlets=(60.0, 80.0)), Why.DROPS_ALIKE),
    ],
)
def test_rows_too_much_alike_support_no_exponents(plan, why):
    fit, found, findings = fitted(of_exponents(0.06, -0.12), plan)
    assert fit.verdict.discharge.why is why
    assert 1.0 < fit.verdict.discharge.value < fit.verdict.discharge.wanted_high
    assert fit.law is not LAW
    fit, found, findings = fitted(of_exponents(0.06, -0.12), plan, law=LAW)
    refused = {own.parameter.quantity: own.reason.why for own in findings.not_determined}
    assert why in refused.values()
    assert not {A, B} <= set(found)


def test_exponents_with_wide_bounds_are_refused():
    few = wide(openings=(1.0,), liquids=(60.0, 97.0))
    fit, _, _ = fitted(of_exponents(0.06, -0.12), few, Noise(flow=0.06), law=LAW)
    assert fit.verdict.discharge.why is Why.EXPONENT_BOUND
    assert fit.verdict.discharge.value > 0.05


def test_an_exponent_that_no_law_may_have_is_refused():
    fit, _, findings = fitted(of_exponents(0.06, 0.2), wide(), law=LAW)
    assert fit.verdict.discharge.why is Why.EXPONENT_BEYOND
    assert fit.verdict.discharge.value == pytest.approx(0.2, abs=0.03)
    assert B in {own.parameter.quantity for own in findings.not_determined}
