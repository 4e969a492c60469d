"""What a step of flow says of a coil, from readings made with a known truth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tablegen.physics.step_response import StepResponse, mean_delay, measured_sensitivity, simulated_step
from tests.physics.loop_cases import DEGF, LoopCase
from tests.physics.test_valve_in_time import parts

CASE = LoopCase()


@pytest.mark.parametrize("ratio", [0.97, 1.05])
def test_sensitivity_is_found_whatever_the_size_of_the_step(ratio):
    coil, _ = parts(CASE)
    response = simulated_step(coil, 6.0 * DEGF, ratio, 240.0)
    assert measured_sensitivity(response, coil.difference_k) == pytest.approx(
        float(CASE.coil().sensitivity[0]), rel=0.01
    )
    # More flow, less superheat.
    assert (response.ends_k[1] < response.ends_k[0]) == (ratio > 1.0)


def test_delay_follows_the_liquid_in_the_coil():
    """Wall and liquid delay it; twice the liquid adds the delay of the loop once more, but for what vapor brings at once."""
    coil, _ = parts(CASE)
    one, two = (
        mean_delay(simulated_step(replace(coil, liquid_holdup_factor=k), 6.0 * DEGF, 1.03, 400.0)) for k in (1.0, 2.0)
    )
    assert two - one == pytest.approx(float(CASE.coil().delay_s[0]), rel=0.15)
    assert one > float(CASE.coil().delay_s[0])


@pytest.mark.parametrize("ratio", [1.03, 1.0 / 1.03])
def test_the_wall_delays_to_both_sides_as_its_energy_balance_has_it(ratio):
    """With little liquid in the tube the wall delays: (1 + s t_f)/(1 + s t_w) where it gets wet or dry, then the dry wall.

    Vapor that has evaporated follows flow at once there, E of B + E; along the dry wall, with that wall's heat
    exp(-E r a/(1 - r a) s t_w/(1 + s t_w)), each passes.  With the wall's lag but without its factor a it would be 5.2 s.
    """
    own, r, a, share = CASE.coil(), CASE.ratio, 0.75, 0.1
    coil = replace(parts(CASE)[0], liquid_holdup_factor=share)
    lag, lead, liquid, b = (
        float(t[0]) for t in (own.wall_lag_s, own.wall_lead_s, share * own.delay_s, own.sensitivity)
    )
    before = 7.0 * DEGF
    exponent = -np.log1p(-before / coil.difference_k)
    along = exponent * r * a / (1.0 - r * a) * lag
    known = b / (b + exponent) * (lag - lead + liquid) + along
    assert mean_delay(simulated_step(coil, before, ratio, 90.0)) == pytest.approx(known, rel=0.04)
    assert known < 0.9 * (b / (b + exponent) * ((lag - lead) / a + liquid) + along)


def test_mean_delay_of_a_dead_time_and_a_lag():
    time = np.arange(-2.0, 400.0, 0.25)
    left = np.where(time < 7.0, 1.0, np.exp(-(time - 7.0) / 12.0))
    response = StepResponse(time_s=time, superheat_k=2.0 + 3.0 * left, flow_ratio=1.05)
    assert mean_delay(response) == pytest.approx(19.0, abs=0.05)


@pytest.mark.parametrize(
    ("ends", "ratio"), [((3.0, 3.5), 1.05), ((3.0, 0.0), 1.05), ((3.0, 6.0), 0.9), ((3.0, 2.0), 1.0)]
)
def test_readings_of_no_such_coil_give_nothing(ends, ratio):
    time = np.array([0.0, 100.0, 200.0])
    response = StepResponse(time_s=time, superheat_k=np.array([ends[0], ends[1], ends[1]]), flow_ratio=ratio)
    assert np.isnan(measured_sensitivity(response, 10.0 * DEGF))


@pytest.mark.parametrize(("before", "ratio", "sensitivity"), [(0.4, 1.01, 4.0), (3.0, 1.1, 0.6), (2.0, 0.7, 0.3)])
def test_sensitivity_of_any_size_is_that_of_two_steady_states(before: float, ratio: float, sensitivity: float):
    """SH = TD (1 - exp(-B (1 - z)/z)), the wetted share z in proportion to the flow."""
    td = 6.0
    first = -np.log1p(-before / td)
    wetted = ratio * sensitivity / (sensitivity + first)
    after = td * -np.expm1(-sensitivity * (1.0 - wetted) / wetted)
    response = StepResponse(
        time_s=np.array([0.0, 1.0, 2.0]), superheat_k=np.array([before, after, after]), flow_ratio=ratio
    )
    assert measured_sensitivity(response, td) == pytest.approx(sensitivity, rel=1e-9)


def test_a_superheat_of_the_whole_difference_gives_nothing():
    response = StepResponse(time_s=np.array([0.0, 1.0]), superheat_k=np.array([6.0, 3.0]), flow_ratio=1.05)
    assert np.isnan(measured_sensitivity(response, 6.0))


def test_a_simulated_step_is_read_from_the_step_to_the_end():
    coil, _ = parts(CASE)
    response = simulated_step(coil, 6.0 * DEGF, 1.05, 3.0)
    assert response.time_s.tolist() == [0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0]
    assert response.flow_ratio == 1.05
