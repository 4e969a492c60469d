"""Checks against published values: what is checked, why a deviation is allowed, and what a failed check reads."""

from collections.abc import Mapping

from tablegen.wording.message import Message

STATES = Message("refrigerant states")
CYCLE = Message("cycle")
FLOW_LAWS = Message("flow laws")
COMPRESSORS = Message("compressors")
TRADE = Message("facts of the trade")

# By the property codes of the file of published values.
PROPERTIES: Mapping[str, Message] = {
    "p_critical": Message("critical pressure"),
    "p_sat": Message("saturation pressure"),
    "p_bubble": Message("bubble pressure"),
    "p_dew": Message("dew pressure"),
    "p_mean": Message("mid-point pressure"),
    "rho_f": Message("density, saturated liquid"),
    "h_fg": Message("latent heat"),
    "h_f": Message("enthalpy, saturated liquid"),
    "h_g": Message("enthalpy, saturated vapor"),
    "h_superheated": Message("enthalpy, superheated vapor"),
    "v_superheated": Message("volume, superheated vapor"),
    "h_subcooled": Message("enthalpy, subcooled liquid"),
    "effect": Message("refrigerating effect"),
    "p_mean_inlet": Message("evaporator pressure"),
    "effect_inlet": Message("refrigerating effect, glide"),
    "t_bubble": Message("bubble temperature"),
    "t_dew": Message("dew temperature"),
    "rho_subcooled": Message("density, subcooled liquid"),
    "molar_mass": Message("molar mass"),
}
NOMINAL_COMPOSITION = Message("nominal composition")
CRITICAL_POINT = Message("critical point")
CYCLE_FLOW = Message("refrigerant flow of 7 kW")
CYCLE_CONDITION = Message("liquid 1405 kPa, 33.0 degC; vapor 310 kPa, -10.0 degC")
RATIO_FACTOR = Message("critical pressure ratio factor")
RATIO_FACTOR_CONDITION = Message("bubble pressure 70.1 kPa, critical pressure 22120 kPa")
FLOW_COEFFICIENT = Message("flow coefficient Kv")
NOT_CHOKED = Message("recovery factor {recovery}, 680 kPa to 220 kPa, not choked")
CHOKED = Message("recovery factor {recovery}, 680 kPa to 220 kPa, choked")
POLYNOMIAL = Message("polynomial of ten terms")
ALL_TERMS = Message("C1 to C10 = 1 to 10, S 2 degF, D 3 degF")
ONE_TERM = Message("C{number} alone, S 2 degF, D 3 degF")
COMPRESSOR_LOSS = Message("compressor loss")
LOSS_CONDITION = Message("SST {sst} degF, {low} to {high} degF")

# Why a deviation is allowed.
HALF_DIGIT = Message("half of the last printed digit")
HALF_DIGIT_AND = Message("half of the last printed digit; {also}")
SAME_EQUATION = Message("one equation of state in two programs (0.01 %)")
SAME_EQUATION_AS_PRINTED = Message("one equation of state in two programs (0.01 %), and the temperature as printed")
SAME_PARAMETERS = Message("same equations and parameters in two programs (0.001 %)")
SAME_MIXTURE = Message("one mixture model in two programs (0.1 %)")
SAME_MIXTURE_K = Message("one mixture model in two programs (0.1 %), as a temperature")
LINEAR_INLET = Message("one mixture model in two programs, inlet temperature linear in quality (0.35 %)")
ATOMIC_WEIGHTS = Message("atomic weights (0.01 %)")
CRITICAL_CONSTANT = Message("a critical constant, which differs between property libraries (0.02 %)")
BOILING_POINT = Message("one equation of state, of which printed boiling points differ by 0.02 K")
DESIGNATION = Message("older boiling points of the designation tables, off by up to 0.5 K")
STATED_PRESSURE = Message("the stated uncertainty of pressure")
STATED_PRESSURE_K = Message("the stated uncertainty of pressure, as a temperature")
STATED_DENSITY = Message("the stated uncertainty of density")
STATED_ENTHALPY = Message("the stated uncertainty of enthalpy differences")
HANDBOOK_TABLES = Message("temperatures as printed, and the property tables of the source (0.12 %)")
DENSITY_OF_WATER = Message("the density of water as printed")
DEGREES = Message("rounding: degrees to kelvin and back")
INSIDE_BAND = Message("inside the band; the deviation counts from its nearer end")

LOSS_EXPLAINED = Message(
    "{liquid} is lost by the enthalpy of warmer liquid alone, because {high_f} degF ({high_c} degC) is only {below_f} "
    "delta_degF ({below_k} K) below the critical temperature, and {flow} by flow; the rule names no refrigerant"
)
FAILURE = Message(
    "verification: {quantity}, {condition}: {published} {unit} {kind} ({source}), {computed} computed, a deviation of "
    "{allowed} {difference} is allowed"
)
