"""The classroom handout: its teaching pages, its glossary, and what frames exercises and answers."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

# The documents.
SUBJECT = Message("Classroom handout on thermostatic expansion valves")
ANSWERS_TITLE = Message("{title}: answers")
SCHOOL = Message("{school} – {label}")
NAME_AND_DATE = Message("Name ______________________________      Date ________________")
DATE = Message("Date ________________")
FOR_THE_TEACHER = Message("For the teacher.")
EXERCISES = Message("Exercises")
ABOUT_EXERCISES = Message(
    "Exercises for {label}, drawn with seed {seed}. Write the units at each step. The answers are in the teacher's answer key."
)
ABOUT_SHEET = Plural(
    "Exercises for {label}: {count} point, one for each figure and each choice. Write the units at each step.",
    "Exercises for {label}: {count} points, one for each figure and each choice. Write the units at each step.",
)
WITH_POINTS = Plural("{title} ({count} point)", "{title} ({count} points)")
ANSWERS = Message("Answers")
TOLERANCE = Message(
    "Each line is calculated from the figures that are printed above it, as with a calculator. Accept answers within 1 %; "
    "a calculated superheat or bulb temperature within two tenths of a degree, and a superheat read from the graph within half "
    "a degree. Rounded limits and figures read from a table must be exact."
)
NUMBERED = Message("{number}  {title}")
WORKED_PAGE = Message("Page {page}")
ANSWER = Message("Answer: {answer}")
NO_EXAMPLE = Message(
    "{name}: {group} has no window of {family} in the example row of {application}; the handout has nothing to explain"
)

NO_CHARGE = Message("{family}: no bulb charge for the table that the handout explains")

BALANCE_GRAPH = Message("Graph: what the system needs and what size {size} passes, against head pressure")

# The forces on the diaphragm.
FORCES = Message("The forces on the diaphragm")
BALANCE = Message(
    "Bulb pressure opens the valve; the pressure under the diaphragm and the spring close it. The valve opens until "
    "they balance: p_bulb = p_under + p_spring + φ p_grad + u (Δp − Δp_ref). p_spring is {spring} and p_grad "
    "{gradient}; u is the port's net unbalanced area divided by the diaphragm area, positive where inlet pressure "
    "closes the valve. {port}"
)
FORCE_DRAWING = Message(
    "Drawing: a thermostatic valve in section, the forces on its diaphragm, the bulb on the suction line"
)
CHARGE_GRAPH = Message("Bulb and evaporator: {charge}, on {refrigerant}")
SUPERHEAT_GRAPH = Message("Superheat graph: size {size}, {refrigerant}, {sst}")
ABOUT_SUPERHEAT = Message(
    "The more load, the further the valve must open, and the more superheat the bulb needs. The graph is for "
    "{refrigerant} alone: the window of a group is the part that its refrigerants' windows have in common."
)
# The rating point's superheat with its unit.
SUPERHEATS = Message(
    "Operating superheat, measured at the bulb (evaporator outlet), is static superheat, at which the valve just opens, plus opening "
    "superheat, which grows with the opening: here {operating} at the rating point. Useful superheat, {useful}, is part of the "
    "rating: superheat up to this value counts as capacity (h_v is the vapor there). It is not a valve setting. Superheat at the "
    "compressor is larger, because the suction line picks up heat and its pressure drop lowers the dew temperature. Check a valve by "
    "its superheat at the bulb."
)
# What inlet pressure does; net area as a share of the diaphragm's.
BALANCED = Message("The port is balanced: inlet pressure on pin and piston cancels out.")
# By whether liquid enters below the port.
ALMOST_BALANCED: Mapping[bool, Message] = {
    True: Message(
        "The port is balanced except for a net area of {share} of the diaphragm area: liquid enters below the port, "
        "and inlet pressure on that net area closes the valve."
    ),
    False: Message(
        "The port is balanced except for a net area of {share} of the diaphragm area: liquid enters above the port, "
        "and inlet pressure on that net area opens the valve."
    ),
}
UNBALANCED: Mapping[bool, Message] = {
    True: Message(
        "Liquid enters below the port, so inlet pressure closes the valve; the port's net unbalanced area is {share} "
        "of the diaphragm area."
    ),
    False: Message(
        "Liquid enters above the port, so inlet pressure opens the valve; the port's net unbalanced area is {share} "
        "of the diaphragm area."
    ),
}

# The flow equation.
FLOW_EQUATION = Message("The flow equation, step by step")
ABOUT_FLOW = Message(
    "Refrigerant absorbs heat by evaporating: ṁ = Q ÷ Δh_r, where Δh_r = h_v − h_l is the heat that one unit of mass "
    "absorbs, from the liquid upstream of the valve to the vapor at the end of useful superheat. (Enthalpies use a different zero "
    "from most tables; differences are the same.) The port passes ṁ = "
    "N {name} √(ρ Δp), ρ the density of the liquid, Δp the pressure drop that drives the flow. {coefficient}"
)
# By the unit system.
COEFFICIENT: Mapping[str, Message] = {
    "SI": Message(
        "Kv is the flow of water, in m³/h, at a pressure drop of 1 bar (100 kPa): {constant}, which is √(1000 ÷ 100). A Cv, in "
        "US gal/min at 1 psi, is {cv} Kv."
    ),
    "IP": Message(
        "Cv is the flow of water, in US gal/min, at a pressure drop of 1 psi: {constant}. The Kv of the tables, in m³/h at a "
        "pressure drop of 1 bar, is Cv ÷ {cv}."
    ),
}
EXAMPLE = Message(
    "{refrigerant}, {sst}, rated load Q = {load}, size {size} ({name} {kv}). f is the compressor's mass flow divided by "
    "that at the rating point. Each line is calculated from the figures that are printed above it."
)
REQUIRED = Message("Required {name}")
# In the table of the cycle.
REQUIRED_CV = Message("Required Cv for {load}")
# Headings of the steps.
AT_CONDITION: Mapping[str, Message] = {
    "rating": Message("At the rating point"),
    "low_head": Message("At low head, in winter: rated flow (steps 1 to 3) times f"),
}
CHANGES = Message("What changes")
FLOW_RATIO = Message("Flow ratio f")
PORT_DROP = Message("Pressure drop at the port")
KV_SHARE = Message("Share of size {size}")

# The size range.
STRIPS = Message("Size range, to read with a ruler")
ABOUT_STRIPS = Message(
    "{family}; {group}; {application}. One bar for each size, from its minimum to its maximum load in {unit}, at the "
    "rating point."
)
STRIP_STEPS = (
    Message(
        "Find the strip of your suction temperature. If it is between two strips, read both: a size must cover the "
        "load in both."
    ),
    Message(
        "Find the load on the scale and lay a ruler vertically through it. The scale is logarithmic: each thin line "
        "is a preferred number, about 1.26 times the one before, so equal distances are equal ratios."
    ),
    Message(
        "Every bar that the ruler crosses is a size that covers the load. Choose the bar that the ruler crosses "
        "nearest its middle."
    ),
    Message(
        "Near the end of a bar trust the figures, not the ruler: minimum loads are rounded up, maximum loads down."
    ),
)
STRIP_FIGURE = Message("Size range: the window of each size at {title}")
STRIP_PART = Message("{title}, sizes {first} to {last}")
LOAD_AXIS = Message("load at the rating point, {unit}")

# The last page.
TERMS = Message("Terms, symbols and units")
TERM = Message("Term")
SYMBOL = Message("Symbol")
UNIT = Message("Unit")
MEANING = Message("Meaning")
CONDITIONS = Message("Conditions of every figure")
CHARGE = Message("Charge")
DATA = Message("Data")
DATA_LINE = Message("{data} (of the data shown in this handout), {date}")
CAUTIONS_TITLE = Message("Cautions")
# Where no page has the cautions.
ADJUSTING = Message("Adjusting a valve is work for a licensed technician who measures superheat.")
BEFORE_OPENING = Message("Isolate, recover the refrigerant and relieve the pressure before opening a circuit.")
CAUTIONS = (
    BEFORE_OPENING,
    Message(
        "Refrigerants are under pressure, freeze skin and displace air, and some are flammable or toxic. Work on "
        "them only with the license that your country requires, and with gloves, goggles and good ventilation."
    ),
    Message("Local codes and the equipment manufacturer's instructions come before any table."),
    Message("After installing a valve, measure the superheat of the running system; measure it again in cold weather."),
)
CV_UNIT = Message("US gal/min")
# Term and meaning of the glossary, by what they are about.
GLOSSARY: Mapping[str, tuple[Message, Message]] = {
    "load": (Message("Load, rated capacity"), Message("capacity of the system at its rating point")),
    "sst": (Message("Suction temperature"), Message("dew temperature at the evaporator outlet pressure")),
    "head": (Message("Head pressure"), Message("gauge pressure at the condenser, low in winter")),
    "port": (Message("Inlet and outlet pressure"), Message("upstream and downstream of the port")),
    "drop": (Message("Pressure drop"), Message("p₁ − p₂, what drives liquid through the port")),
    "flow": (Message("Mass flow"), Message("refrigerant that passes in an hour")),
    "ratio": (Message("Flow ratio"), Message("compressor's mass flow divided by that at the rating point")),
    "enthalpy": (
        Message("Enthalpy"),
        Message("heat content of liquid and of vapor; only differences matter"),
    ),
    "density": (Message("Density"), Message("of the liquid at the valve")),
    "kv": (Message("Flow coefficient"), Message("flow of water at a pressure drop of {drop}")),
    "opening": (Message("Opening"), Message("share of rated stroke")),
    "superheat": (
        Message("Superheat"),
        Message("vapor temperature at the bulb minus dew temperature: static plus opening superheat"),
    ),
    "static": (Message("Static superheat"), Message("superheat at which the valve just opens")),
    "useful": (
        Message("Useful superheat"),
        Message("superheat that the rated capacity includes; not a valve setting"),
    ),
    "bulb": (Message("Bulb pressure"), Message("pressure of the charge in the bulb; opens the valve")),
    "evaporator": (Message("Evaporator pressure"), Message("dew pressure at the evaporator outlet")),
    "under": (Message("Under the diaphragm"), Message("pressure at the equalizer; closes the valve")),
    "spring": (
        Message("Spring"),
        Message("closing pressure of the spring: at the opening point, and added by rated stroke"),
    ),
    "unbalance": (
        Message("Unbalance"),
        Message("net port area divided by diaphragm area, positive where inlet pressure closes"),
    ),
    "window": (
        Message("Load window"),
        Message("the loads, minimum to maximum, that a size covers from low to high head"),
    ),
    "glide": (Message("Glide"), Message("dew minus bubble temperature of a blend at one pressure")),
    "subcooling": (Message("Subcooling"), Message("how far the liquid is below its bubble temperature")),
    "starves": (Message("Starves"), Message("the evaporator gets too little liquid")),
    "floods_back": (Message("Floods back"), Message("too little superheat: liquid may reach the compressor")),
    "hunts": (Message("Hunts"), Message("superheat swings up and down; happens below the minimum stable opening")),
}

# Labels of the drawing of a valve.
BULB_OPENS = Message("bulb pressure:\nopens")
EVAPORATOR_CLOSES = Message("evaporator pressure:\ncloses")
SPRING_CLOSES = Message("spring:\ncloses")
# By whether inlet pressure closes.
ON_PIN: Mapping[bool, Message] = {
    True: Message("inlet pressure on\nthe pin: closes"),
    False: Message("inlet pressure on\nthe pin: opens"),
}
# By whether it closes, and whether it pushes as hard as on the pin.
ON_PISTON: Mapping[tuple[bool, bool], Message] = {
    (True, True): Message("on the piston: closes\nas much"),
    (False, True): Message("on the piston: opens\nas much"),
    (True, False): Message("on the piston: closes\nalmost as much"),
    (False, False): Message("on the piston: opens\nalmost as much"),
}
DIAPHRAGM = Message("diaphragm")
LIQUID_IN = Message("liquid in, p₁")
OUTLET = Message("to distributor and\nevaporator, p₂")
PISTON = Message("balance piston, other side at p₂")
PORT_AND_PIN = Message("port and pin")
ADJUSTING_STEM = Message("adjusting stem")
BULB = Message("bulb")
VAPOR = Message("vapor, superheated")
EVAPORATOR_OUTLET = Message("evaporator outlet")
TO_COMPRESSOR = Message("to compressor")
ROD_SEAL = Message("rod seal")
EXTERNAL_EQUALIZER = Message("external equalizer")
INTERNAL_EQUALIZER = Message("internal equalizer")
OUTLET_PRESSURE = Message("(outlet pressure p₂)")
