"""What refrigerants are, and the cautions that every answer and publication carries."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

# ISO 817 and ASHRAE 34: the letter is toxicity, the rest flammability.
SAFETY: Mapping[str, Message] = {
    "A1": Message("A1 (lower toxicity, no flame propagation)"),
    "A2L": Message("A2L (lower toxicity, lower flammability)"),
    "A2": Message("A2 (lower toxicity, flammable)"),
    "A3": Message("A3 (lower toxicity, higher flammability)"),
    "B1": Message("B1 (higher toxicity, no flame propagation)"),
    "B2L": Message("B2L (higher toxicity, lower flammability)"),
    "B2": Message("B2 (higher toxicity, flammable)"),
    "B3": Message("B3 (higher toxicity, higher flammability)"),
}
# A safety group to be careful of in a word or two, by whether it is flammable, and whether it is toxic.
HAZARDS: Mapping[tuple[bool, bool], Message] = {
    (True, False): Message("{group}: flammable"),
    (False, True): Message("{group}: toxic"),
    (True, True): Message("{group}: flammable, toxic"),
}
SINGLE_COMPONENT = Message("single component")
GWP_OF_REPORT = Message("{value} ({report})")
UNCERTAINTIES = Message("pressure {pressure}, density {density}, enthalpy differences {enthalpy}")
CAUTION = Message(
    "Under pressure: isolate, recover the refrigerant and relieve the pressure before opening a circuit. Liquid "
    "freezes skin and eyes; vapor displaces air. Work is for licensed technicians, under local codes and the "
    "equipment manufacturer's instructions."
)
FLAMMABLE = Message(
    "Flammable (safety group {group}): charge limits, ventilation, detection and sources of ignition follow ASHRAE 15 or "
    "the code in force at the site."
)
TOXIC = Message("Toxic (safety group {group}): leak detection and breathing protection follow the code in force.")
# Common practice, as in ASHRAE 15 and EN 378; not checked against the source.
AMMONIA = Message("Ammonia attacks copper and brass: use only parts approved for ammonia.")
CARBON_DIOXIDE = Message(
    "R744 works at high pressure: a circuit at standstill can rise to its relief setting; use only parts rated for it, and "
    "never close off cold liquid. It is heavier than air and can asphyxiate without warning: ventilate and use a CO2 "
    "detector."
)
LICENSED = Message("Licensed technicians only; follow codes and the equipment manufacturer.")

# The chapter on refrigerants.
REFRIGERANTS = Message("Refrigerants")
ABOUT = Message(
    "The three right-hand columns state how far computed and true values may differ: saturation pressure, liquid density, "
    "differences of enthalpy. The limits in the tables are computed with the nominal values. GWP: global warming potential "
    "over 100 years, by assessment report of the IPCC (sources in the data set)."
)
REFRIGERANT = Message("Refrigerant")
SAFETY_GROUP = Message("Safety group")
GWP = Message("GWP {report}")
COMPOSITION = Message("Composition, mass %")
PRESSURE = Message("Pressure")
DENSITY = Message("Density")
ENTHALPY = Message("Enthalpy")
PRESSURES = Message("Pressures at saturation, bubble/dew point, {unit}; negative values are below atmospheric pressure")
AT = Message("at {temperature}")
GLIDE_AT = Message("Glide at {temperature}")
REASONS = Message("Why these uncertainties")
PAIRS = Message("Binary pairs with parameters that are not the property library’s")
PAIR = Message("{refrigerant}: {first}/{second}")

# Similarity within each group.
SIMILARITY = Message("Similarity within each group")
GROUP = Message("Group")
APPLICATION = Message("Application")
SPREAD = Message("Spread of required Kv per kW")
NARROWEST = Message("Group’s narrowest window, % of its members’ median")
NARROWEST_IN = Message("Narrowest in")
TREES = Message("Groups by required Kv per kW")
ABOUT_TREES = Message(
    "Each fork is at the spread of required Kv per kW that one table for all refrigerants on its branches would "
    "have; left of the dashed line that spread is at most {cut} (thick). Flow alone does not decide: the members of "
    "a group must also share one spring setting and belong in equipment of one safety group. The groups of the "
    "booklet are the usual ones of the trade; where their spread is beyond the line, their windows are narrower, as "
    "the table “{table}” shows (0 %: a row is empty)."
)
TREES_ALT = Message("Trees: {titles}")
TREE = Message("{application}, {law}")
LAWS: Mapping[str, Message] = {
    "orifice": Message("square-root flow"),
    "choked": Message("choked flow"),
    "discharge_coefficient": Message("flow by discharge coefficient"),
}
TOO_MANY = Message(
    "Trees of more than {count} refrigerants do not fit on a page: see the command 'tablegen suggest groups'."
)
SPREAD_AXIS = Message("spread of required Kv per kW, %")


PRESSURE_CAUTION = Message(
    "Refrigerants are under pressure, and some are flammable or toxic: work is for licensed technicians, under local "
    "codes and the equipment manufacturer's instructions."
)
