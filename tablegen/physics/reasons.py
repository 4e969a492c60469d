"""The closed list of what sets or empties a limit."""

from __future__ import annotations

from enum import StrEnum


class Reason(StrEnum):
    """What sets a limit, or why a window is empty."""

    STOP = "stop"
    RATED_STROKE = "rated_stroke"
    SUPERHEAT = "superheat"
    MOP = "mop"
    CONTROL_RESERVE = "control_reserve"
    STABILITY = "stability"
    FLOODBACK = "floodback"
    HUNTS = "hunts"
    MIN_STEP = "min_step"
    MAX_DUTY = "max_duty"
    MIN_DUTY = "min_duty"

    FLASHING = "flashing"
    NO_PRESSURE_DROP = "no_pressure_drop"
    OVER_DIFFERENTIAL = "over_differential"
    OVER_PRESSURE = "over_pressure"
    ABOVE_MOP = "above_mop"
    STAYS_CLOSED = "stays_closed"
    ALWAYS_HUNTS = "always_hunts"
    CHARGE_RANGE = "charge_range"
    NO_CHARGE = "no_charge"
    COMPRESSOR_MAP = "compressor_map"
    PROPERTY_RANGE = "property_range"
    NO_BALANCE = "no_balance"
    FLOW_LAW_RANGE = "flow_law_range"
    CROSSED = "crossed"
    CONFIDENCE = "confidence"


# Reasons that set a limit of an open window; every other reason empties it.
LIMITING = frozenset(
    {
        Reason.STOP,
        Reason.RATED_STROKE,
        Reason.SUPERHEAT,
        Reason.MOP,
        Reason.CONTROL_RESERVE,
        Reason.STABILITY,
        Reason.FLOODBACK,
        Reason.HUNTS,
        Reason.MIN_STEP,
        Reason.MAX_DUTY,
        Reason.MIN_DUTY,
    }
)
EMPTYING = frozenset(Reason) - LIMITING
