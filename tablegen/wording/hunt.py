"""A valve that hunts, in time."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

# The command.
HELP = Message("simulate a thermostatic valve that hunts")
DESCRIPTION = Message(
    "Simulate valve, evaporator circuit and bulb over time: opening, superheat and wetted share of the coil at a load 25 % above "
    "the one at which hunting begins, and 10 % below it, or at a load of your own."
)
EPILOG = Message(
    "Example: tablegen hunt alder 45 R448A --sst 24F --application walk_in_medium --output hunting.pdf --demo. Exit codes: 0 "
    "steady at the load, or no load given, 1 hunts at the load, 2 bad input."
)
CONDITION_HELP = Message("operating condition: low_head, rating (default) or high_head")
BULB_HELP = Message("time constant of the bulb, such as '60 s'; without it, that of the charge, else 30 s")
OBSERVED_HELP = Message("load at which hunting was seen to begin: calibrates the coil")
STEP_HELP = Message("CSV file with time and superheat after a step of opening: calibrates the coil")
APPLY_HELP = Message("write the calibration into the application's file and show what changed")
CSV_ROWS = Message("a row for each half second of each load")
OUTPUT_HELP = Message("also write a file: .pdf, .html, .txt or .json; .svg or .png for the figure alone")

# What is refused.
NO_CHARGE = Message("{family}: no bulb charge for {refrigerant} in this application")
NOT_THERMOSTATIC = Message(
    "{valve} has a controller; only a thermostatic valve with a bulb can be simulated. For this valve run 'tablegen trace' with "
    "{--overrides} stability.method=loop: the minimum load then comes from the loop of valve, coil and controller"
)
NOT_CONSTANT = Message(
    "{application}: the suction follows the evaporator; hunting can only be calculated with a constant SST. "
    "Use {--overrides} suction.response=constant to see that case"
)
NO_STATE = Message("{refrigerant}, {condition}: no hunting can be calculated, because {reason}")
USEFUL_BEYOND_DIFFERENCE = Message(
    "superheat.useful must be smaller than the coil temperature difference: no coil is warmer at its outlet than the air"
)
LIMIT_UNKNOWN = Message(
    "the bulb charge does not cover the superheats between zero and the coil temperature difference"
)
BEYOND_STOP = Message("{--load}: the valve is too small for this load, even against its stop")
STARVES = Message(
    "{--load}: the valve needs a superheat close to the coil temperature difference: it starves the evaporator"
)
FLOODS_BACK = Message("{--load}: the valve opens as far as this load needs without superheat: it floods back")
NOTHING_OBSERVED = Message("{--observed_load}: with this valve and coil, hunting cannot begin at this load")
NO_STEP = Message(
    "{--step_response}: the readings are not those of a coil with a dry end: superheat must fall when the valve opens, and stay "
    "above zero and below the coil temperature difference"
)
ONE_OBSERVATION = Message("{--observed_load} and {--step_response}: give one of them")
NOTHING_TO_APPLY = Message("{--apply}: needs {--observed_load} or {--step_response}")
NO_COIL_SECTION = Message(
    "{--apply}: {file} has no section coil, which the calibration belongs to; write it first, with conductance_ratio and source"
)
STEP_FILES_ARE_SMALL = Message("no step response needs that")
STEP_NEEDS_OPENINGS = Message("is missing; write a line such as '# opening_before: 60 percent'")
STEP_NEEDS_BOTH_SIDES = Message(
    "needs at least 6 readings, some before the step (time 0 s or less) and the others after it"
)
STEP_OPENING_RANGE = Message("must be above 0 percent and at most 300 percent of the stroke")
STEP_HEADER = Message("the header must be 'time [s],superheat [delta_degF]', or with another unit of superheat")
STEP_ROW = Message("must be two numbers with decimal points, time and superheat, with a comma between")
STEP_ASCENDS = Message("must be later than the row before")

# The answer.
HEADING = Message("{valve} on {refrigerant}: does it hunt?")
LIMIT = Message("It hunts below {load}, an opening of {opening} of the stroke ({condition}).")
ALWAYS = Message("It hunts at every opening ({condition}).")
STEADY = Message("At {load} it is steady at a superheat of {superheat}.")
STILL_STEADY = Message("At {load}, below that limit, the simulation is still steady, at a superheat of {superheat}.")
SWINGS = Message(
    "At {load} superheat swings from {low} to {high} every {period}, with liquid at the coil outlet {share} of the time."
)
CALIBRATED = Message("Hunting seen to begin at {load}: coil.calibration {calibration}.")
FROM_STEP = Message(
    "{file}: sensitivity {sensitivity} of the calculated one, delay {delay} times the calculated one; coil.calibration {calibration}."
)
BY_BULB = Message("The bulb's time constant is assumed, and the limit depends on it: {limits}.")
WITH_BULB = Message("{seconds}: {limit}")
EVERY_LOAD = Message("hunts at every load")
BELOW_LOAD = Message("hunts below {load}")
TABLES = Message(
    "By the rules of the published tables, this valve has a load window of {low} to {high} here, at all three head pressures."
)
TABLES_EMPTY = Message("By the rules of the published tables, this valve has no load window here.")
TABLES_STATED = Message(
    "Why the two differ: the tables use a stated minimum opening of {opening} and a stated minimum stable superheat of {superheat}; "
    "this answer calculates the loop of valve, coil and bulb."
)
TABLES_LOOP = Message(
    "Their minimum comes from the loop of valve, coil and bulb too, at the strictest of the three head pressures and with a gain "
    "margin of {margin}; this answer has one condition and no margin."
)
SUBJECT = Message("Hunting of a thermostatic valve")

LIMIT_FACT = Message("Hunting begins")
LIMIT_TEXT = Message("{load}, opening {opening}, superheat {superheat}, period {period}")
ALWAYS_TEXT = Message("not reached: the valve hunts up to its stop; opening {opening} would be needed")
DELAY = Message("Liquid takes through the coil")
CONDITION = Message("Operating condition")
SECONDS = Message("{seconds} s")

RUNS = Message("What the simulation does")
LOAD = Message("Load, {unit}")
VERDICT = Message("Verdict")
IS_STEADY = Message("steady")
HUNTS = Message("hunts")
OPENING = Message("Opening, %")
SUPERHEAT = Message("Superheat, {unit}")
WETTED = Message("Wetted share of the coil, %")
PERIOD = Message("Period, s")
LIQUID = Message("Liquid at the outlet, % of the time")

BULBS = Message("Where hunting begins with other bulbs")
TIME_CONSTANT = Message("Time constant of the bulb, s")
BEGINS = Message("Hunting begins at a load of, {unit}")
AT_OPENING = Message("At an opening of, %")
ALWAYS_CELL = Message("every load")
TABLES_FACT = Message("Load window of the tables")
TABLES_TEXT = Message("{low}–{high}; stability: {method}")
NO_WINDOW = Message("none; stability: {method}")

INPUTS = Message("Coil and bulb")
INPUT = Message("Input")
VALUE = Message("Value")
SOURCE = Message("Source")
STATED = Message("catalogue or command")
INPUT_NAMES: Mapping[str, Message] = {
    "coil_temperature_difference": Message("Coil temperature difference (TD)"),
    "conductance_ratio": Message("Conductance of a dry tube over that of a wet one"),
    "circuit_load": Message("Load of one circuit"),
    "circuit_length": Message("Length of one circuit"),
    "tube_inner_diameter": Message("Inner diameter of the tube"),
    "wall_heat_capacity": Message("Heat capacity of tube and fins"),
    "air_side_share": Message("Air side's share of the resistance"),
    "plug_share": Message("Share of the delay without mixing (limit only)"),
    "liquid_holdup_factor": Message("Liquid in the coil, over that of Zivi's slip"),
    "calibration": Message("Calibration"),
    "bulb_time_constant": Message("Time constant of the bulb"),
}
ASSUMED = Message("assumed; {low} to {high} is usual ({source})")
ASSUMED_SOURCES: Mapping[str, Message] = {
    "coil_temperature_difference": Message("common practice of walk-ins"),
    "conductance_ratio": Message("estimate, not checked against a source"),
    "circuit_load": Message("coil data: load over circuits"),
    "circuit_length": Message("coil data"),
    "tube_inner_diameter": Message("coil data"),
    "wall_heat_capacity": Message("mass of tube and fins"),
    "air_side_share": Message("estimate, not checked against a source"),
    "plug_share": Message("simulations of a coil"),
    "liquid_holdup_factor": Message("Zivi 1964, not checked against the source"),
    "bulb_time_constant": Message("estimate; longer in a well or under insulation"),
}
MILLIMETERS = Message("{figure} mm")
INCHES = Message("{figure} in")
HEAT_CAPACITY = Message("{figure} J/(m K)")
HEAT_CAPACITY_IP = Message("{figure} Btu/(ft °F)")

ABOUT = Message(
    "The limit comes from the delays of coil, wall and bulb; the simulation does not use it. Both assume a constant SST. In "
    "comparisons the simulation began to hunt at openings from 6 % below to 9 % above the limit; a gain margin covers that."
)
NOT_MODELED = Message(
    "Not modeled: circuits that get unequal shares, friction in the valve, oil, defrost, other valves on the same suction line."
)
TO_DO = Message(
    "What to do: on a running system, log the superheat. If the valve is steady below this limit, the coil is more stable than "
    "the model: give the load at which hunting really begins, and the coil is calibrated with it. If it hunts, use this limit as the "
    "minimum load, or choose a smaller valve."
)
USE_LOOP = Message(
    "To print tables whose minimum load comes from the loop, write stability: method: loop in the application's file, or "
    "stability: loop in the family's; pick and trace show it for one case with the key stability.method=loop."
)
PERIOD_IS = Message(
    "The period is that of the model: one circuit of {length}, and a bulb with one time constant. A longer circuit, a slower bulb or "
    "more liquid in the coil lengthens the period."
)
PLAIN_WORDS = Message(
    "Why it hunts: the valve feels the bulb, and the bulb feels a change of flow only after the liquid has passed through the coil. "
    "The farther the valve is closed, the more a small movement changes its flow."
)
CALIBRATION_USE = Message("Put it in the application's file: coil: calibration: {calibration}")

# The figure.
FIGURE_ALT = Message("Opening, superheat at the coil outlet and wetted share of the coil over time: {panels}")
PANEL_STEADY = Message("{load}: steady")
PANEL_HUNTS = Message("{load}: hunts")
CAPTION = Message("After a disturbance: for the first 20 s, the valve passes 10 % more.")
OPENING_AXIS = Message("opening, %")
SUPERHEAT_AXIS = Message("superheat, {unit}")
WETTED_AXIS = Message("wetted, %")
TIME_AXIS = Message("time, s")
STOP = Message("stop")
DIFFERENCE = Message("TD")
