"""Checks against published values: what is checked, why a deviation is allowed, and what a failed check reads."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

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
BAND = Message("{low} to {high}")

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
# Sources; titles and names stay as they are, what connects them is said in each language.
WORKED_CASES_OF_IEC = Message(
    "Documentation of the library fluids, after the worked examples of IEC 60534-2-1 (water of 90 degC)"
)
WORKED_BY_HAND = Message("Worked by hand in the order of terms of AHRI 540")
RULE_OF_THUMB = Message(
    "Rule of thumb, 5 to 9 % of capacity for each 10 degF of condensing temperature; we have no source that we can name"
)
SOURCE_TEXTS = (
    Message("ASHRAE Handbook Fundamentals ch. {chapter} (edition inferred: {year}), Table {table}"),
    Message("ASHRAE Handbook Fundamentals ch. {chapter} (edition inferred: {year}), Examples {examples}"),
    Message("ASHRAE Handbook Fundamentals {year}, ch. {chapter}, Example {example}"),
    Message("ASHRAE Handbook Fundamentals, thermophysical properties of refrigerants, {refrigerant} saturation table"),
    Message(
        "ASHRAE Handbook Fundamentals, comparative performance of refrigerants at 5 and 86 degF (editions before 1995)"
    ),
    Message("ASHRAE 34 designation tables"),
    Message("ASHRAE 34, relative molar masses of the blend designations"),
    Message("teqp {version} from the same equations of state and pair parameters; the tests run it again"),
    Message("{authors} and {last} {year}, equation of state of {substance}"),
    Message("carbon dioxide"),
    Message("propane"),
    Message("isobutane"),
    WORKED_CASES_OF_IEC,
    WORKED_BY_HAND,
    RULE_OF_THUMB,
)
# What a check states of its quantity, its condition and its allowance.
STATED = (
    *PROPERTIES.values(),
    NOMINAL_COMPOSITION,
    CRITICAL_POINT,
    CYCLE_FLOW,
    CYCLE_CONDITION,
    RATIO_FACTOR,
    RATIO_FACTOR_CONDITION,
    FLOW_COEFFICIENT,
    NOT_CHOKED,
    CHOKED,
    POLYNOMIAL,
    ALL_TERMS,
    ONE_TERM,
    COMPRESSOR_LOSS,
    LOSS_CONDITION,
    HALF_DIGIT,
    HALF_DIGIT_AND,
    SAME_EQUATION,
    SAME_EQUATION_AS_PRINTED,
    SAME_PARAMETERS,
    SAME_MIXTURE,
    SAME_MIXTURE_K,
    LINEAR_INLET,
    ATOMIC_WEIGHTS,
    CRITICAL_CONSTANT,
    BOILING_POINT,
    DESIGNATION,
    STATED_PRESSURE,
    STATED_PRESSURE_K,
    STATED_DENSITY,
    STATED_ENTHALPY,
    HANDBOOK_TABLES,
    DENSITY_OF_WATER,
    DEGREES,
    INSIDE_BAND,
    LOSS_EXPLAINED,
)
FAILURE = Message(
    "verification: {quantity}, {condition}: {published} {unit} {kind} ({source}), {computed} computed, a deviation of "
    "{allowed} {difference} is allowed"
)


HEADING = Message("Verification")
ABOUT = Message(
    "A line for each quantity and source: how many values, of which refrigerants; of these the one nearest to its limit, "
    "with the figure as its source prints it, ours, and the deviation (of a temperature in °C: in K; of a band: from its "
    "nearer end). A mid-point is the mean of bubble and dew temperature at one pressure. A † marks a figure that was not "
    "checked against the source."
)
ATTACHED = Message(
    "Every check is a row of verification.csv, which is attached to this file, with its kind, condition, both "
    "values, deviation and allowance."
)
ALLOWED_BECAUSE = Message("Reasons for the allowed deviations: {reasons}.")
REASON = Message("({letter})\N{NO-BREAK SPACE}{reason}")
CHECKS: Mapping[str, Message] = {
    "published": Message("Published ({count} checks): {meaning}"),
    "rule_of_thumb": Message("Rule of thumb ({count} checks): {meaning}"),
    "second_implementation": Message("Second implementation ({count} checks): {meaning}"),
    "self_check": Message("Self-check ({count} checks): {meaning}"),
}
SOURCE_LINE = Message("[{number}]\N{NO-BREAK SPACE}{source}")
# By how the figures came here.
PROVENANCES: Mapping[str, Message] = {
    "checked": Message("Checked against the source ({count} checks): {sources}."),
    "not_checked": Message("Not checked against the source\N{NO-BREAK SPACE}† ({count} checks): {sources}."),
    "no_source": Message("No outside source ({count} checks): {sources}."),
}

# Columns of lines and of single checks.
QUANTITY = Message("Quantity [source]")
CHECKS_OF = Message("Checks")
NEAREST = Message("Nearest to its limit")
SOURCE_VALUE = Message("Source")
OURS = Message("Ours")
UNIT = Message("Unit")
OFF_BY = Message("Off by")
ALLOWED = Message("Allowed")
WHY = Message("Why")
OF = Message("Of")
CONDITION = Message("Condition")
VERDICT = Message("Verdict")
# What a check is called by its verdict; those that do not pass must be seen.
VERDICTS: Mapping[str, Message] = {
    "passes": Message("passes"),
    "outside_explained": Message("OUTSIDE"),
    "fails": Message("FAILS"),
}
NO_VALUE = Message("none")
COUNT_OF_ALL = Message("{count} (all)")
COUNT_OF_ALL_BUT = Message("{count} (all but {names})")
COUNT_OF = Message("{count} ({names})")
COUNT_WITH = Message("{counted}: {failing}")
FAILING = Message("{count}\N{NO-BREAK SPACE}{verdict}")
AT = Message("{refrigerant}, {condition}")

# Checks that do not pass, in a sentence.
CHECK = Message("{subject}, {condition}: {kind} {published}, ours {ours}")
OFF = Message("off by {off} where {allowed} is allowed")
ABOVE = Message("{off} above the band")
BELOW = Message("{off} below the band")
FAILS = Message("FAILS: {check}, {off} ({source}).")
OUTSIDE = Message("OUTSIDE ITS BAND, EXPLAINED: {check}, {off} ({source}). Why: {why}.")

# What all checks amount to.
HEADLINE = Message("Published values: {outcome}; {checked} of the {count} were checked against the source.")
NOT_COUNTED = Message("Not counted: {others}.")
OTHER_KIND = Message("{kind} ({outcome})")
ALL_PASS = Message("all {count} pass")
SOME_PASS = Message("{passed} of {count} pass")
EXPLAINED_COUNT = Message("{count} outside the band, explained")
FAILED_COUNT = Plural("{count} FAILS", "{count} FAIL")

# Documents.
BOOK_SUBJECT = Message("Computed values beside those of sources")

# Flow laws beside published correlations.
FLOW_LAW_PARITY = Message("Flow laws compared with published correlations")
DEVICE = Message("Device")
POINTS = Message("Points")
LAW = Message("Law")
KV = Message("Kv, m³/h")
ROOT_MEAN_SQUARE = Message("Root mean square")
MAXIMUM = Message("Max")
DEVICES: Mapping[str, Message] = {
    "short tube": Message("short tube"),
    "electronic valve": Message("electronic valve"),
}
LAWS: Mapping[str, Message] = {"orifice": Message("orifice"), "choked": Message("choked")}
FLOW_SOURCES: Mapping[str, Message] = {
    "short tube": Message("Short tube: {source} ({provenance}), for {refrigerants}."),
    "electronic valve": Message("Electronic valve: {source} ({provenance}), for {refrigerants}."),
}
FLOW_MEANING = Message(
    "We found no table of measured flows that we may cite, so both laws are compared with published correlations, "
    "each law with the single Kv that best fits all points of a device. The remaining deviation shows how well a law "
    "follows head pressure and subcooling. Only the coefficients are taken from the papers named. The choked law has "
    "a recovery factor of {recovery}. Head pressures are those of summer; the correlations do not cover floating "
    "head pressure in winter. A family names its law with a reason, and there is no default: if nothing is known "
    "about a port, the law with the lower flow is the safer choice."
)
FLOW_GRAPH = Message("Correlated against computed flow of the {device}")
FLOW_CAPTION = Message(
    "{device}. Open circles: orifice law; filled squares: choked law. The line is parity; dotted, 10 % to either side."
)
FLOW_CAPTION_BOTH = Message(
    "Left: {left}. Right: {right}. Open circles: orifice law; filled squares: choked law. The line is parity; dotted, 10 % "
    "to either side."
)
LAW_AXIS = Message("by the law with one Kv, kg/h ({device})")
CORRELATION_AXIS = Message("by the correlation, kg/h")


VERIFY_HEADING = Message("Computed values compared with those of sources")
NOTICE = Message("Computed values beside those of sources; not for the selection of real equipment.")
SOURCES = Message("Sources")
SOURCE_NUMBER = Message("[{number}]")
SOURCE = Message("{source} ({provenance})")
REASONS = Message("Reasons for the allowed deviations")
REASON_LETTER = Message("({letter})")
EVERY = Message("{quantity}: {source} ({provenance})")
COUNT_OF_SEVERAL = Message("{count} ({number} refrigerants)")

HELP = Message("check refrigerant properties and flow laws against published values")
DESCRIPTION = Message(
    "Check refrigerant states, molar masses, flow laws and capacity loss against published values, second "
    "implementations and a rule of thumb: which source, at which condition, both values, what is allowed and why. "
    "Only values that were measured or computed from a different equation than ours are counted."
)
EPILOG = Message(
    "Exit codes: 0 no check fails without an explanation, 1 some do, 2 bad input. A check outside its band for a "
    "known reason is printed with the reason and counted separately. Example: tablegen verify R448A R404A --every "
    "--output verification.pdf"
)
REFRIGERANTS_HELP = Message("such as R448A (default: all)")
EVERY_HELP = Message("print every check, not only a line for each quantity and source")
CSV_ROWS = Message("a row for each check")
