"""The subcooling that liquid needs where it leaves condenser or receiver, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from tablegen.model.liquid_supply import USUAL_SUBCOOLING_K, LiquidNeed
from tablegen.report.formatter import DASH, NBSP, Formatter
from tablegen.report.rounding import decimals, decimals_up
from tablegen.units import print_unit
from tablegen.wording import booklet_pages as wording
from tablegen.wording import terms

_QUANTITY = "temperature difference"


def liquid_label(has_receiver: bool) -> str:
    """Where the liquid comes from, as the label of a fact."""
    return (wording.RECEIVER_OUTLET if has_receiver else wording.CONDENSER_OUTLET)()


def liquid_needed(needs: Sequence[LiquidNeed], formatter: Formatter, has_receiver: bool) -> str:
    """The subcooling needed and that assumed at each condition, and what is more than usual."""
    unit, places = print_unit(_QUANTITY, formatter.system), 0 if formatter.system == "IP" else 1
    # Needed is rounded up, and a receiver above the valve needs none.
    needed = [decimals_up(max(unit.of(own.needed_k), 0.0), places) for own in needs if math.isfinite(own.needed_k)]
    assumed = [decimals(unit.of(own.assumed_k), places) for own in needs if math.isfinite(own.assumed_k)]
    message = wording.RECEIVER_SUBCOOLING if has_receiver else wording.CONDENSER_SUBCOOLING
    texts = (f"{' / '.join(own)}{NBSP}{unit.label}" if len(own) == len(needs) else DASH for own in (needed, assumed))
    text = message(**dict(zip(("needed", "assumed"), texts, strict=True)))
    return ". ".join([text, *liquid_warnings(needs, formatter, has_receiver)])


def liquid_warnings(needs: Sequence[LiquidNeed], formatter: Formatter, has_receiver: bool) -> Iterator[str]:
    """The condition that asks for the most subcooling, where that is more than usual."""
    unusual = [own for own in needs if own.is_unusual]
    if not unusual:
        return
    most = max(unusual, key=lambda own: own.asked_k)
    unit = print_unit(_QUANTITY, formatter.system)
    message = wording.RECEIVER_UNUSUAL if has_receiver else wording.CONDENSER_UNUSUAL
    yield message(
        at_condition=terms.at_condition_title(most.condition),
        subcooling=f"{decimals_up(unit.of(most.asked_k), 0)}{NBSP}{unit.label}",
        usual=formatter.step(USUAL_SUBCOOLING_K, 0),
    )
