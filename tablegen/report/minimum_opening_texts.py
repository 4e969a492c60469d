"""Minimum openings by statement and by the loop, in words: for the method chapter, an application's page and the audit."""

from __future__ import annotations

import math

from tablegen.report.formatter import DASH, percent
from tablegen.report.rounding import round_half_even
from tablegen.tables.minimum_openings import SLOWEST_BULB_S
from tablegen.wording import minimum_openings as wording


def seconds(value: float) -> str:
    """A time constant or period, two figures."""
    return wording.SECONDS(seconds=round_half_even(value, 2))


def opening(share: float) -> str:
    """An opening, or that it always hunts."""
    return wording.ALWAYS() if math.isinf(share) else percent(round(share, 2))


def bulb_text(bulb_s: float, needed_s: float) -> str:
    """Time constant of the bulb, and what the stated opening would need."""
    if math.isnan(bulb_s):
        return DASH
    if math.isnan(needed_s):
        return seconds(bulb_s)
    if math.isinf(needed_s):
        return wording.NEEDED_NONE(bulb=seconds(bulb_s), slowest=seconds(SLOWEST_BULB_S))
    return wording.NEEDED(bulb=seconds(bulb_s), needed=seconds(needed_s))
