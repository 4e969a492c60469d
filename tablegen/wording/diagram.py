"""Diagrams: the pressure-enthalpy chart of a refrigerant, a cycle in it, and axes to draw into."""

from __future__ import annotations

from tablegen.wording.message import Message

KINDS = ("pressure-enthalpy", "balance", "superheat")

# The chart.
TEMPERATURE_KEY = Message("temperature, {unit}")
ENTROPY_KEY = Message("entropy, {unit}")
DENSITY_KEY = Message("vapor density, {unit}")
QUALITY_KEY = Message("quality, by mass")
ENTHALPY_FROM = Message("enthalpy, {unit} ({zero})")
CRITICAL_POINT = Message("critical point, {temperature}")
TITLE = Message("{refrigerant} ({group})")
SI_ZERO = Message("200 kJ/kg for saturated liquid at 0 °C")
US_ZERO = Message("0 Btu/lb for saturated liquid at −40 °F")

# The answer.
CHART_HEADING = Message("{refrigerant}: pressure-enthalpy diagram")
CYCLE_HEADING = Message("{refrigerant}: the cycle at low head, rating point and high head")
BALANCE_HEADING = Message("{valve} on {refrigerant}: balance of system and valve")
SUPERHEAT_HEADING = Message("{valve} on {refrigerant}: superheat against load")
AT_SST = Message("{application}, SST {sst}, safety group {group}")
AT_LOAD = Message("{application}, SST {sst}, load {load}")
OF_REFRIGERANT = Message("Safety group {group}. Enthalpy: {zero}.")
CHART_ALT = Message(
    "Pressure-enthalpy diagram of {refrigerant}: saturation dome, lines of constant temperature, entropy, vapor density and quality"
)
BALANCE_ALT = Message("Capacity of system and valve against head pressure, {valve}")
SUPERHEAT_ALT = Message("Superheat against load at low head and at high head, {valve}")
BLANK_BALANCE_ALT = Message("Axes of capacity against head pressure, to draw into")
BLANK_SUPERHEAT_ALT = Message("Axes of superheat against load, to draw into")
BLEND = Message(
    "Inside the dome, the temperature of a blend changes along an evaporator or a condenser, so no line of "
    "constant temperature is drawn there: read it at bubble point and dew point. Quality lines divide the "
    "enthalpy between bubble and dew point evenly; that is close to the vapor mass fraction."
)
ABOUT_CYCLE = Message(
    "Points and dome are from one property model. Compression is isentropic, for shape only: the flow is that of the "
    "compressor in the application."
)
FAR_SETTING = Message(
    "{condition}, {pressure}: with {refrigerant} this pressure condenses (bubble) at {temperature}, with {reference} at "
    "{reference_temperature}. To condense at {reference_temperature}, {refrigerant} needs {needed}: {--overrides} "
    "{key}.head_pressure='{value}'."
)
ABOUT_TOP = Message("The dome is extrapolated for the last {margin} below the critical temperature.")
CONDITION = Message("Condition")
HEAD_PRESSURE = Message("Head pressure, {unit}")
LIQUID = Message("Liquid at the valve, {unit}")
LIQUID_ENTHALPY = Message("Enthalpy of the liquid, {unit}")
VAPOR_ENTHALPY = Message("Enthalpy at the bulb, {unit}")
EFFECT = Message("Refrigerating effect, {unit}")
DROP = Message("Pressure drop of the valve, {unit}")

# The command.
HELP = Message("draw a pressure-enthalpy diagram, or axes to draw into")
DESCRIPTION = Message(
    "Pressure-enthalpy diagram of a refrigerant; with an application the cycle at low head, rating point and high head. "
    "With a family, size and load: balance of system and valve, or superheat against load."
)
EPILOG = Message("Example: tablegen diagram R448A --application walk_in_medium --sst 24F --blank --output diagram.pdf")
REFRIGERANT_HELP = Message("such as R448A")
KIND_HELP = Message("which diagram: {kinds} (default: {usual})")
BLANK_HELP = Message("axes and saturation dome only, on the same scale, to draw into")
SIZE_HELP = Message("the valve's size, for 'balance' and 'superheat'")
OUTPUT_HELP = Message("also write a file: .pdf (landscape), .svg or .png; .html, .txt or .json")
CSV_ROWS = Message("a row for each point of each line")

# What is refused.
NO_RECEIVER_CYCLE = Message(
    "{application}: its liquid comes from an intermediate receiver; only the cycle of a condenser is drawn"
)
NO_CYCLE = Message("{refrigerant}, {condition}: no cycle can be drawn, because {reason}")
NO_CHARGE = Message("{family}: no bulb charge for {refrigerant} in this application")
NEEDS_VALVE = Message("{--kind}: {kind} needs {arguments}")
NO_VALVE = Message("{argument}: only for the kinds 'balance' and 'superheat'")
SST_WITHOUT_APPLICATION = Message("{argument}: only with {--application}")
NO_SUPERHEAT = Message("{--kind}: the controller of {valve} sets superheat, so there is no superheat curve")
NO_WINDOW = Message("{--kind}: {valve} has no load window here; 'tablegen trace' says why")
