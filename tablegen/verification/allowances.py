"""How far a computed refrigerant state may lie from a published one, rule by rule.

To half the last printed digit comes what model and source may differ by: nothing else.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tablegen.model.registry import RefrigerantRecord
from tablegen.physics.refrigerants import Refrigerant
from tablegen.verification.check import last_digit
from tablegen.verification.published_values import PublishedValue

# Sources: by their words in the data file.
TEQP = "teqp "
TABLE_8 = "Table 8 (CYCLE_D/REFPROP)"
TABLE_5 = "Table 5 (REFPROP 9)"
# Shares of the value by which one equation of state may differ from itself in two programs.
SAME_EQUATION = 1e-4
# The same with the same parameters of pairs, by way of property tables.
SAME_PARAMETERS = 1e-5
# The mixture model of REFPROP 9 and ours have their pairs of hydrofluorocarbons in common, in other publications.
MIXTURE_IN_COMMON = ("R404A", "R407C", "R410A", "R507A")
SAME_MIXTURE = 1e-3
# The inlet of an evaporator as linear in quality is up to 0.12 K too warm (R404A), half of which is the dew point's.
LINEAR_INLET = 2.5e-3
# Atomic weights have five digits.
ATOMIC_WEIGHTS = 1e-4
# Those whose reference equation the sources had too.  R717, R1234yf and R1234ze(E) have a newer one here, so that
# their stated uncertainty counts.
SOURCE_HAS_THE_EQUATION = ("R134a", "R22", "R290", "R32", "R600a", "R744")
# A critical constant is carried by libraries to different figures: R32 differs by 0.011 %.
CRITICAL_CONSTANT = 2e-4
# The evaporating temperatures of Table 8 are 20, 45 and -25 degF printed to 0.01 K: half of that, times 0.036 per
# kelvin for ln p.
TABLE_8_TEMPERATURE = 0.005 * 0.036
# A boiling point of the designation tables is a legacy value: those of R407C, R410A and R507A lie 0.15 to 0.4 K from
# what REFPROP 9 gives for the same composition, so that a tighter test would fail the better model.  It is also the
# range that AHRI 700 gives a blend's bubble point (not checked against the source).
DESIGNATION_K = 0.5
# One equation of state prints its boiling point differently by this at most; the designation tables do not name theirs.
SAME_BOILING_K = 0.02
# Specific heats [J/(kg K)], for enthalpies that the source gives at a printed temperature.
HEAT = {("R134a", "h_superheated"): 1040.0, ("R22", "h_subcooled"): 1290.0}
# v rises by about this share for each kelvin of superheat.
EXPANSION = 0.005

_SAME = "one equation of state in two programs (0.01 %)"
_AT_PRINTED = f"{_SAME}, and the temperature as printed"
_STATED = "the stated uncertainty of"


class Allowance(NamedTuple):
    """A deviation that is allowed [SI], and why; what explains a greater one, and up to which [SI]."""

    si: float
    why: str
    explanation: str = ""
    explained: float = 0.0


def allowance(value: PublishedValue, fluid: Refrigerant, record: RefrigerantRecord) -> Allowance:
    """Half the last printed digit, and what the equation of state or the source is uncertain by."""
    beside, half = _beside(value, fluid, record), 0.5 * value.last_digit
    return beside._replace(si=half + beside.si, explained=half + beside.explained)


def _beside(value: PublishedValue, fluid: Refrigerant, record: RefrigerantRecord) -> Allowance:
    """What model and source may differ by beside the printed digit."""
    stated = record.uncertainty
    has_equation = value.refrigerant in SOURCE_HAS_THE_EQUATION
    if value.source.startswith(TEQP):
        return Allowance(SAME_PARAMETERS * value.si, "equations and parameters alike in two programs (0.001 %)")
    match value.code:
        case "molar_mass":
            return Allowance(ATOMIC_WEIGHTS * value.si, "atomic weights (0.01 %)")
        case "t_bubble" | "t_dew":
            return _boiling(value, fluid, record)
        case "p_critical" if not record.is_blend:
            return Allowance(CRITICAL_CONSTANT * value.si, "a critical constant as libraries carry it (0.02 %)")
        case "p_critical":
            # A mixture's critical point follows from its model; REFPROP's is within the uncertainty of pressure.
            return Allowance(stated.pressure * value.si, f"{_STATED} pressure")
        case "h_superheated" | "h_subcooled":
            heat = HEAT[value.refrigerant, value.code]
            return Allowance(SAME_EQUATION * value.si + _rounding_k(value) * heat, _AT_PRINTED)
        case "v_superheated":
            return Allowance((SAME_EQUATION + EXPANSION * _rounding_k(value)) * value.si, _AT_PRINTED)
        case "p_mean_inlet":
            share = SAME_MIXTURE + LINEAR_INLET
            return Allowance(share * value.si, "one mixture model in two programs, inlet linear in quality (0.35 %)")
        case "effect_inlet" | "p_mean" if TABLE_8 in value.source and value.refrigerant in MIXTURE_IN_COMMON:
            return Allowance(SAME_MIXTURE * value.si, "one mixture model in two programs (0.1 %)")
        case "rho_f" if not has_equation:
            return Allowance(stated.density * value.si, f"{_STATED} density")
        case "h_fg" | "effect" if not has_equation:
            return Allowance(stated.enthalpy * value.si, f"{_STATED} enthalpy differences")
    if record.is_blend or not has_equation:
        return Allowance(stated.pressure * value.si, f"{_STATED} pressure")
    if TABLE_8 in value.source:
        return Allowance((SAME_EQUATION + TABLE_8_TEMPERATURE) * value.si, _AT_PRINTED)
    return Allowance(SAME_EQUATION * value.si, _SAME)


def _boiling(value: PublishedValue, fluid: Refrigerant, record: RefrigerantRecord) -> Allowance:
    """For a boiling point or a dew point at 1 atm, where d(ln p)/dT is 0.039 to 0.051 per kelvin."""
    if value.refrigerant in SOURCE_HAS_THE_EQUATION:
        return Allowance(SAME_BOILING_K, "one equation of state prints its boiling point differently by 0.02 K")
    slope = _slope(fluid, value.code == "t_dew", value.si)
    own = record.uncertainty.pressure / slope
    if TABLE_5 in value.source and value.refrigerant in MIXTURE_IN_COMMON:
        return Allowance(SAME_MIXTURE / slope, "one mixture model in two programs (0.1 %), as a temperature")
    if not record.is_blend:
        return Allowance(own, f"{_STATED} pressure as a temperature")
    # The stated uncertainty of some blends was judged from these very boiling points, so it allows nothing; it says
    # how far the reason goes.
    reason = record.uncertainty.reason.removesuffix(" (judgement)")
    return Allowance(DESIGNATION_K, "a legacy value of the designation tables: 0.5 K", reason, own)


def _slope(fluid: Refrigerant, is_dew: bool, temperature_k: float) -> float:
    """d(ln p)/dT at saturation [1/K]."""
    either = fluid.dew if is_dew else fluid.bubble
    low, high = np.log(either(np.array([temperature_k - 0.1, temperature_k + 0.1])).pressure_pa)
    return float(high - low) / 0.2


def _rounding_k(value: PublishedValue) -> float:
    """Half a unit of the last digit of the temperature that a single-phase state is given at."""
    return 0.5 * last_digit(value.condition.split("/")[1].split()[0])
