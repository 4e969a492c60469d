"""How far a computed refrigerant state may be from a published one, rule by rule.

Half of the last printed digit is allowed, plus what model and source may differ by, and nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tablegen.model.registry import RefrigerantRecord
from tablegen.physics.refrigerants import Refrigerant
from tablegen.verification.check import last_digit
from tablegen.verification.published_values import PublishedValue
from tablegen.wording import verification as wording

# Sources as the data file spells them.
TEQP = "teqp "
TABLE_8 = "Table 8 (CYCLE_D/REFPROP)"
TABLE_5 = "Table 5 (REFPROP 9)"
# Shares of the value by which one equation of state may differ from itself in two programs.
SAME_EQUATION = 1e-4
# The same, with the same pair parameters, read from property tables.
SAME_PARAMETERS = 1e-5
# REFPROP 9 and our mixture model share the parameters of hydrofluorocarbon pairs, published in different places.
MIXTURE_IN_COMMON = ("R404A", "R407C", "R410A", "R507A")
SAME_MIXTURE = 1e-3
# The inlet of an evaporator as linear in quality is up to 0.12 K too warm (R404A), half of which is the dew point's.
LINEAR_INLET = 2.5e-3
# Atomic weights have five digits.
ATOMIC_WEIGHTS = 1e-4
# Refrigerants for which the sources used the same reference equation.  R717, R1234yf and R1234ze(E) have a newer one
# here, so their stated uncertainty counts.
SOURCE_HAS_THE_EQUATION = ("R134a", "R22", "R290", "R32", "R600a", "R744")
# Property libraries give a critical constant with different figures: R32 differs by 0.011 %.
CRITICAL_CONSTANT = 2e-4
# The evaporating temperatures of Table 8 are 20, 45 and -25 degF printed to 0.01 K: half of that, times 0.036 per
# kelvin for ln p.
TABLE_8_TEMPERATURE = 0.005 * 0.036
# Boiling points of the designation tables are older values: those of R407C, R410A and R507A are 0.15 to 0.4 K from
# what REFPROP 9 gives for the same composition, so a tighter test would fail the better model.  It is also the range
# that AHRI 700 gives a blend's bubble point (not checked against the source).
DESIGNATION_K = 0.5
# Printed boiling points of one equation of state differ by this at most; the designation tables do not name theirs.
SAME_BOILING_K = 0.02
# Specific heats [J/(kg K)], for enthalpies that the source gives at a printed temperature.
HEAT = {("R134a", "h_superheated"): 1040.0, ("R22", "h_subcooled"): 1290.0}
# v rises by about this share for each kelvin of superheat.
EXPANSION = 0.005


@dataclass(frozen=True, slots=True)
class Allowance:
    """A deviation that is allowed [SI], and why; what explains a larger one, and the maximum that it covers [SI]."""

    si: float
    why: str
    explanation: str = ""
    explained: float = 0.0


def allowance(value: PublishedValue, fluid: Refrigerant, record: RefrigerantRecord) -> Allowance:
    """How far ours may be from a published value.

    Parameters
    ----------
    value : PublishedValue
    fluid : Refrigerant
    record : RefrigerantRecord
        States how uncertain the refrigerant's properties are.

    Returns
    -------
    Allowance
        [SI]: half of the last printed digit, plus the uncertainty of the equation of state or of the source.
    """
    own, half = _without_rounding(value, fluid, record), 0.5 * value.last_digit
    return replace(own, si=half + own.si, explained=half + own.explained)


def _without_rounding(value: PublishedValue, fluid: Refrigerant, record: RefrigerantRecord) -> Allowance:
    """What model and source may differ by, the printed digit left out."""
    stated = record.uncertainty
    has_equation = value.refrigerant in SOURCE_HAS_THE_EQUATION
    if value.source.startswith(TEQP):
        return Allowance(SAME_PARAMETERS * value.si, wording.SAME_PARAMETERS())
    match value.code:
        case "molar_mass":
            return Allowance(ATOMIC_WEIGHTS * value.si, wording.ATOMIC_WEIGHTS())
        case "t_bubble" | "t_dew":
            return _boiling(value, fluid, record)
        case "p_critical" if not record.is_blend:
            return Allowance(CRITICAL_CONSTANT * value.si, wording.CRITICAL_CONSTANT())
        case "p_critical":
            # A mixture's critical point follows from its model; REFPROP's is within the uncertainty of pressure.
            return Allowance(stated.pressure * value.si, wording.STATED_PRESSURE())
        case "h_superheated" | "h_subcooled":
            heat = HEAT[value.refrigerant, value.code]
            return Allowance(SAME_EQUATION * value.si + _rounding_k(value) * heat, wording.SAME_EQUATION_AS_PRINTED())
        case "v_superheated":
            return Allowance(
                (SAME_EQUATION + EXPANSION * _rounding_k(value)) * value.si, wording.SAME_EQUATION_AS_PRINTED()
            )
        case "p_mean_inlet":
            share = SAME_MIXTURE + LINEAR_INLET
            return Allowance(share * value.si, wording.LINEAR_INLET())
        case "effect_inlet" | "p_mean" if TABLE_8 in value.source and value.refrigerant in MIXTURE_IN_COMMON:
            return Allowance(SAME_MIXTURE * value.si, wording.SAME_MIXTURE())
        case "rho_f" if not has_equation:
            return Allowance(stated.density * value.si, wording.STATED_DENSITY())
        case "h_fg" | "effect" if not has_equation:
            return Allowance(stated.enthalpy * value.si, wording.STATED_ENTHALPY())
    if record.is_blend or not has_equation:
        return Allowance(stated.pressure * value.si, wording.STATED_PRESSURE())
    if TABLE_8 in value.source:
        return Allowance((SAME_EQUATION + TABLE_8_TEMPERATURE) * value.si, wording.SAME_EQUATION_AS_PRINTED())
    return Allowance(SAME_EQUATION * value.si, wording.SAME_EQUATION())


def _boiling(value: PublishedValue, fluid: Refrigerant, record: RefrigerantRecord) -> Allowance:
    """For a boiling point or a dew point at 1 atm, where d(ln p)/dT is 0.039 to 0.051 per kelvin."""
    if value.refrigerant in SOURCE_HAS_THE_EQUATION:
        return Allowance(SAME_BOILING_K, wording.BOILING_POINT())
    slope = _slope(fluid, value.code == "t_dew", value.si)
    own = record.uncertainty.pressure / slope
    if TABLE_5 in value.source and value.refrigerant in MIXTURE_IN_COMMON:
        return Allowance(SAME_MIXTURE / slope, wording.SAME_MIXTURE_K())
    if not record.is_blend:
        return Allowance(own, wording.STATED_PRESSURE_K())
    # The stated uncertainty of some blends was judged from these same boiling points, so it allows nothing; it limits
    # what the reason explains.
    reason = record.uncertainty.reason.removesuffix(" (our estimate)")
    return Allowance(DESIGNATION_K, wording.DESIGNATION(), reason, own)


def _slope(fluid: Refrigerant, is_dew: bool, temperature_k: float) -> float:
    """d(ln p)/dT at saturation [1/K]."""
    either = fluid.dew if is_dew else fluid.bubble
    low, high = np.log(either(np.array([temperature_k - 0.1, temperature_k + 0.1])).pressure_pa)
    return float(high - low) / 0.2


def _rounding_k(value: PublishedValue) -> float:
    """Half a unit of the last digit of the temperature that a single-phase state is given at."""
    return 0.5 * last_digit(value.condition.split("/")[1].split()[0])
