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
