"""An application otherwise: the other ends of its ranges, the other suction response, rows between its own."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tablegen.model.inputs import Application
from tablegen.physics.system import HeadCondition, SuctionResponse, SystemInputs

# Steps into which the distance of two suction temperatures is cut.
BETWEEN = 4


def other_corners(application: Application, refrigerant: str) -> Application | None:
    """The maximum load judged at the maximum subcooling, the minimum at the minimum; None where nothing is a range."""
    own = application.systems[refrigerant]
    if not any(condition.liquid.is_range for condition in own.conditions):
        return None
    turned = replace(own, low_head=_turned(own.low_head), rating=_turned(own.rating), high_head=_turned(own.high_head))
    return _with(application, refrigerant, turned)


def _turned(condition: HeadCondition) -> HeadCondition:
    liquid = condition.liquid
    ends = {"min_subcooling_k": liquid.max_subcooling_k, "max_subcooling_k": liquid.min_subcooling_k}
    return replace(condition, liquid=replace(liquid, **ends)) if liquid.is_range else condition


def is_other_response_missing(application: Application, refrigerant: str, box_difference_k: float | None) -> bool:
    """Whether the response is held and the balanced one has no difference of box and evaporator to start from."""
    own = application.systems[refrigerant]
    return own.response is SuctionResponse.CONSTANT and own.box_difference_k is None and box_difference_k is None


def other_response(
    application: Application, refrigerant: str, box_difference_k: float | None = None
) -> Application | None:
    """The balanced response in place of the held, or the reverse.

    None where both are computed anyhow, or where no difference of box and evaporator is known; `box_difference_k` [K]
    stands in for one that the application does not give.
    """
    own = application.systems[refrigerant]
    is_missing = is_other_response_missing(application, refrigerant, box_difference_k)
    if own.response is SuctionResponse.STRICTER or is_missing:
        return None
    if own.response is SuctionResponse.BALANCED:
        return _with(application, refrigerant, replace(own, response=SuctionResponse.CONSTANT))
    box = own.box_difference_k if own.box_difference_k is not None else box_difference_k
    balanced = replace(own, response=SuctionResponse.BALANCED, box_difference_k=box)
    return _with(application, refrigerant, balanced)


def between_rows(application: Application) -> Application:
    """The suction temperatures between the rows, without the rows themselves."""
    rows = application.sst_k
    shares = np.arange(1, BETWEEN) / BETWEEN
    between = rows[:-1, None] + shares * np.diff(rows)[:, None]
    return replace(application, sst_k=between.ravel())


def _with(application: Application, refrigerant: str, system: SystemInputs) -> Application:
    return replace(application, systems={**application.systems, refrigerant: system})
