"""Pressure-temperature tables."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

# What may be printed beside a temperature, and what is if nothing is chosen.
COLUMNS = ("pressure", "absolute", "glide", "density", "latent_heat", "enthalpy", "entropy")
USUAL_COLUMNS = ("pressure", "glide", "density", "latent_heat")

HEADING = Message("{refrigerant}: pressure and temperature at saturation")
HEADING_OF_SEVERAL = Message("Pressure and temperature at saturation")
LIST_HEADING = Plural("{count} refrigerant is known", "{count} refrigerants are known")
NOTICE = Message("Computed from equations of state; check against the equipment manufacturer's data before use.")
ORIGIN = Message("Computed with {version}.")

GWP = Message("GWP, 100 years")
COMPOSITION = Message("Mass %")
CRITICAL_POINT = Message("Critical point")
CRITICAL = Message("{temperature}, {pressure}")
CRITICAL_CUT_SHORT = Message("{temperature}, {pressure}; the table ends {margin} below it")
LOWEST_TEMPERATURE = Message("Lowest temperature")
NOT_BELOW = Message("saturation is not computed below {temperature}")
UNCERTAINTY = Message("Uncertainty")
UNCERTAINTY_BECAUSE = Message("{uncertainty}: {reason}")
PAIRS = Message("Estimated pairs")
PAIR = Message("{first}/{second}")
PAIRS_OF_SOURCE = Message("{pairs}: {source}")
SECOND = Message("the second")
PRESSURES = Message("Pressures")
ABSOLUTE = Message("absolute")
GAUGE = Message("gauge, at an atmospheric pressure of {pressure}; negative below it")
GAUGE_WITH_MERCURY = Message("gauge, at an atmospheric pressure of {pressure}; * vacuum, in. Hg")

WITH_UNIT = Message("{name}, {unit}")
TEMPERATURE = Message("Temperature")
SATURATION_PRESSURE = Message("Saturation pressure")
BUBBLE_PRESSURE = Message("Bubble pressure")
DEW_PRESSURE = Message("Dew pressure")
GLIDE = Message("Glide")
LIQUID_DENSITY = Message("Liquid density")
VAPOR_DENSITY = Message("Vapor density")
LATENT_HEAT = Message("Latent heat")
LIQUID_ENTHALPY = Message("Liquid enthalpy")
VAPOR_ENTHALPY = Message("Vapor enthalpy")
LIQUID_ENTROPY = Message("Liquid entropy")
VAPOR_ENTROPY = Message("Vapor entropy")
SI_ZERO = Message(
    "Enthalpy and entropy: 200 kJ/kg and 1 kJ/(kg K) for saturated liquid at 0 °C. Tables with another zero differ by a "
    "constant; differences are the same."
)
US_ZERO = Message(
    "Enthalpy and entropy are zero for saturated liquid at −40 °F. Tables with another zero differ by a constant; differences "
    "are the same."
)
VACUUM = Message("*: inches of mercury vacuum (in. Hg).")

# How columns of a blend are read, by what is printed.
READING: Mapping[str, Message] = {
    "pressure": Message("For superheat, use the dew column; for subcooling, the bubble column."),
    "density": Message(
        "Liquid density is at the bubble point, vapor density at the dew point of the row's temperature."
    ),
    "glide": Message("Glide: dew temperature minus bubble temperature at the bubble pressure of the row."),
    "latent_heat": Message("Latent heat is at the bubble pressure of the row."),
}
NOT_COMPUTED = Message(
    "–: not computed, because the dew point at the bubble pressure of the row is too close to the critical point."
)

HELP = Message("print the pressure-temperature table of a refrigerant")
DESCRIPTION = Message(
    "Pressure-temperature table: bubble and dew pressure, glide, densities, latent heat; enthalpy and entropy on request."
)
EPILOG = Message(
    "Example: tablegen states R448A R404A --coldest -40F --warmest 120F --pressure psia --output table.pdf"
)
REFRIGERANTS_HELP = Message("such as R448A; without one, a list of all")
COLDEST_HELP = Message("first temperature (default: -60 degF or -50 degC)")
WARMEST_HELP = Message("last temperature (default: 150 degF or 65 degC)")
STEP_HELP = Message("step between rows (default: 5 delta_degF or 2.5 K)")
COLUMNS_HELP = Message("columns to print, such as 'pressure, absolute, enthalpy': of {columns} (default: {usual})")
UNIT_HELP = Message("unit of this quantity, such as {example}")
CSV_ROWS = Message("a row for each refrigerant and temperature")

NO_REFRIGERANT = Message("{name} is not a known refrigerant{hint}; 'tablegen states' lists them")
NO_STATES = Message("{--coldest}/{--warmest}: {error}")
STEP_ABOVE_ZERO = Message("{--step}: {value} is not allowed; it must be above 0")
TOO_MANY_ROWS = Message(
    "{--step}: {value} is not allowed; it gives {count} rows, and a table has at most {maximum} (take a larger step)"
)
WRONG_RANGE = Message(
    "{--coldest}/{--warmest}: {coldest} to {warmest} is not allowed; the coldest temperature must not be above the warmest"
)
