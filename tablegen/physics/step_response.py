"""A coil measured: superheat at its outlet after a step of flow, and what it says of sensitivity and delay.

In steady operation SH = TD (1 - exp(-E)) with E = B (1 - z)/z, and the wetted share z follows the flow.  Two steady superheats
and the ratio of the flows so give B in closed form.  On the way from one to the other the area over the curve is the mean
delay of the answer, whatever its shape; over that of the same step in the simulated coil it says how much slower the coil is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.coil_cells import CELLS, Cells, CoilInTime

# Share of the readings at the end whose mean is the new superheat.
_END = 0.1
# Before a simulated step [s], and its readings [s].
_SETTLES_S, _SAMPLE_S = 300.0, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class StepResponse:
    """Superheat at the coil's outlet in time; arrays (readings,).

    Attributes
    ----------
    time_s : array
        From the step, ascending; readings at or before zero are those before it [s].
    superheat_k : array
        [K]
    flow_ratio : float
        Flow after the step over that before it [1].
    """

    time_s: Floats
    superheat_k: Floats
    flow_ratio: float

    @property
    def ends_k(self) -> tuple[float, float]:
        """Superheat before the step and at the end [K]."""
        last = max(int(_END * len(self.time_s)), 1)
        return float(self.superheat_k[self.time_s <= 0.0].mean()), float(self.superheat_k[-last:].mean())


def measured_sensitivity(response: StepResponse, difference_k: float) -> float:
    """Sensitivity B of a coil: E_2 = B (1/z_2 - 1) with z_2 = ratio z_1 and z_1 = B/(B + E_1).

    Parameters
    ----------
    response : StepResponse
    difference_k : float
        TD, box minus evaporating temperature [K].

    Returns
    -------
    float
        [1]; NaN where the readings are not those of a coil with a dry end before and after the step.
    """
    ends, ratio = response.ends_k, response.flow_ratio
    if not (min(ends) > 0.0 and max(ends) < difference_k and ratio > 0.0 and ratio != 1.0):
        return float("nan")
    first, last = (-np.log1p(-own / difference_k) for own in ends)
    found = float((ratio * last - first) / (1.0 - ratio))
    return found if found > 0.0 else float("nan")


def mean_delay(response: StepResponse) -> float:
    """Mean delay of the answer: the area between it and its end, over its height.

    Parameters
    ----------
    response : StepResponse

    Returns
    -------
    float
        [s]
    """
    before, after = response.ends_k
    is_after = response.time_s >= 0.0
    left = (response.superheat_k[is_after] - after) / (before - after)
    return float(np.sum(0.5 * (left[1:] + left[:-1]) * np.diff(response.time_s[is_after])))


def simulated_step(coil: CoilInTime, superheat_k: float, flow_ratio: float, duration_s: float) -> StepResponse:
    """The same step of a simulated coil.

    Parameters
    ----------
    coil : CoilInTime
    superheat_k : float
        Before the step [K].
    flow_ratio, duration_s : float
        Of the flow [1], and after the step [s].

    Returns
    -------
    StepResponse
    """
    before = coil.steady_flow(np.array([superheat_k]))
    cells = Cells(coil, before, CELLS)
    times, readings = [], []
    for number in range(-round(_SETTLES_S / _SAMPLE_S), round(duration_s / _SAMPLE_S) + 1):
        if number >= 0:
            times.append(_SAMPLE_S * number)
            readings.append(float(cells.superheat_k[0]))
        feed = before if number < 0 else before * flow_ratio
        count = cells.steps(feed, _SAMPLE_S)
        for _ in range(count):
            cells.step(feed, _SAMPLE_S / count)
    return StepResponse(time_s=np.array(times), superheat_k=np.array(readings), flow_ratio=flow_ratio)
