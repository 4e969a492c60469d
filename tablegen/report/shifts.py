"""How far limits moved, as text."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tablegen.report.formatter import DASH, NBSP
from tablegen.report.rounding import MINUS, decimals


def span(shifts: Sequence[float]) -> str:
    """From the lowest to the highest shift in percent; a dash where windows opened or closed alone."""
    known = [100.0 * s for s in shifts if not math.isnan(s)]
    if not known:
        return DASH
    low, high = (signed(f(known)) for f in (min, max))
    return f"{low}{NBSP}%" if low == high else f"{low} to {high}{NBSP}%"


def signed(value: float) -> str:
    """To a tenth, with its sign unless it is zero."""
    text = decimals(value, 1)
    return text if text.startswith(MINUS) or not float(text) else f"+{text}"
