"""How much more, or less, than its rated flow a compressor pumps at low and high head."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.model.solving import Solved
from tablegen.physics.system import OperatingCondition


@dataclass(frozen=True, slots=True)
class FlowRatio:
    """Compressor flow over rated flow at one operating condition [1]: the smallest and the largest of some refrigerants."""

    condition: str
    least: float
    most: float


def flow_ratios(members: Sequence[Solved]) -> tuple[FlowRatio, ...]:
    """The flow ratio at low and at high head, at the suction temperature nearest to the application's example.

    Parameters
    ----------
    members : sequence of Solved
        Refrigerants of one application.

    Returns
    -------
    tuple of FlowRatio
        At low head, then at high head; NaN where no flow can be computed.
    """
    found = []
    for condition in (OperatingCondition.LOW_HEAD, OperatingCondition.HIGH_HEAD):
        ratios = []
        for member in members:
            own = member.application
            row = int(abs(own.sst_k - own.example_sst_k).argmin())
            ratios.append(float(member.states[member.at_full_flow()[condition]].state.flow_ratio[row]))
        found.append(FlowRatio(condition.value, min(ratios), max(ratios)))
    return tuple(found)
