"""One condensing unit on several evaporators: each takes its share of the unit's capacity and flow."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tablegen.answers.case import Case
from tablegen.answers.in_stock import StockRule
from tablegen.answers.pick import Picked, pick_loads
from tablegen.errors import RequestError
from tablegen.model.inputs import Catalogue
from tablegen.wording import offers

# Loads of the evaporators and the capacity of the unit are rounded figures of a data sheet.
CLOSE = 0.005


def loads_of(unit_w: float, parts: Sequence[float], are_shares: bool) -> tuple[float, ...]:
    """The load of each evaporator [W], from shares of the unit's capacity [1] or loads [W], which must add up to it.

    Raises
    ------
    RequestError
        If there are fewer than two parts, one is not above zero, or they do not add up.
    """
    if len(parts) < 2:
        raise RequestError(offers.TOO_FEW_PARTS())
    if not all(math.isfinite(part) and part > 0.0 for part in parts):
        raise RequestError(offers.PART_NOT_ABOVE_ZERO())
    whole = 1.0 if are_shares else unit_w
    total = sum(parts)
    if abs(total / whole - 1.0) > CLOSE:
        message = offers.SHARES_DO_NOT_ADD_UP if are_shares else offers.LOADS_DO_NOT_ADD_UP
        raise RequestError(message(percent=f"{100.0 * total / whole:.1f}"))
    # In proportion, so that no capacity is lost to rounding.
    return tuple(unit_w * part / total for part in parts)


def pick_each(
    catalogue: Catalogue,
    case: Case,
    loads_w: Sequence[float],
    family: str | None = None,
    stock_rule: StockRule | None = None,
    valve_kind: str | None = None,
) -> tuple[Picked, ...]:
    """Pick for each evaporator of a unit; all see the heads, liquid and suction of the one unit.

    Assumption: losses of line and distributor at rated flow are those of the application for each evaporator, and all work
    at once; with evaporators that shut off the others see the unit's surplus, which is a case of its own.

    Raises
    ------
    RequestError
        As `pick`.
    """
    # One unit, one set of states: only the loads differ.
    return pick_loads(catalogue, case, loads_w, family, stock_rule, valve_kind)
