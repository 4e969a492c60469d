"""The closed list of what sets or empties a limit."""

from __future__ import annotations

from enum import StrEnum


class Reason(StrEnum):
    """Why a limit stands where it does, or why a window is empty."""

    STOP = "stop"
    SUPERHEAT = "superheat"
    MOP = "mop"
    CONTROL_RESERVE = "control_reserve"
    STABILITY = "stability"
    FLOODBACK = "floodback"
    MIN_STEP = "min_step"
    MAX_DUTY = "max_duty"
    MIN_DUTY = "min_duty"

    FLASHING = "flashing"
    NO_PRESSURE_DROP = "no_pressure_drop"
    OVER_DIFFERENTIAL = "over_differential"
    OVER_PRESSURE = "over_pressure"
    ABOVE_MOP = "above_mop"
    STAYS_SHUT = "stays_shut"
    CHARGE_RANGE = "charge_range"
    NO_CHARGE = "no_charge"
    COMPRESSOR_MAP = "compressor_map"
    PROPERTY_RANGE = "property_range"
    NO_BALANCE = "no_balance"
    CROSSED = "crossed"
    CONFIDENCE = "confidence"


EXPLAINED: dict[Reason, str] = {
    Reason.STOP: "the valve is open to its mechanical stop",
    Reason.SUPERHEAT: "the maximum superheat allowed opens the valve no further",
    Reason.MOP: "the bulb is above its maximum operating pressure and opens the valve no further",
    Reason.CONTROL_RESERVE: "the travel that it is sized for is reached, the rest is in reserve",
    Reason.STABILITY: "the valve is at its minimum stable opening",
    Reason.FLOODBACK: "less opening would mean less than the minimum stable superheat",
    Reason.MIN_STEP: "the drive is at its minimum opening",
    Reason.MAX_DUTY: "the valve is open for the maximum share of its cycle that control may use",
    Reason.MIN_DUTY: "the valve is open for the minimum share of its cycle that it works with",
    Reason.FLASHING: "liquid flashes before it reaches the port",
    Reason.NO_PRESSURE_DROP: "no pressure drop is left for the port",
    Reason.OVER_DIFFERENTIAL: "head less evaporator pressure, borne by a shut valve, is above the allowed differential",
    Reason.OVER_PRESSURE: "the head pressure is above the valve's working pressure",
    Reason.ABOVE_MOP: "above its maximum operating pressure the valve opens no further than its minimum opening",
    Reason.STAYS_SHUT: "the maximum superheat allowed opens the valve no further than its minimum opening",
    Reason.CHARGE_RANGE: "outside the evaporating temperatures of the bulb charge",
    Reason.NO_CHARGE: "the family offers no bulb charge for this refrigerant and application",
    Reason.COMPRESSOR_MAP: "outside what the compressor description covers",
    Reason.PROPERTY_RANGE: "outside the range in which the refrigerant's states can be computed",
    Reason.NO_BALANCE: "no evaporating temperature balances evaporator and compressor",
    Reason.CONFIDENCE: "no load fits all operating conditions at the confidence, though one does with nominal figures",
    Reason.CROSSED: "no load fits all operating conditions: the minimum load is not below the maximum",
}
# Reasons that set a limit of an open window; every other reason empties it.
LIMITING = frozenset(
    {
        Reason.STOP,
        Reason.SUPERHEAT,
        Reason.MOP,
        Reason.CONTROL_RESERVE,
        Reason.STABILITY,
        Reason.FLOODBACK,
        Reason.MIN_STEP,
        Reason.MAX_DUTY,
        Reason.MIN_DUTY,
    }
)
EMPTYING = frozenset(Reason) - LIMITING
