"""Names of what a table assumes, and the chapter that weighs it."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

NO_WINDOW = Message("none")
ASSUMPTION = Message("Assumption")
STEP = Message("Step")
MINIMUM = Message("Minimum load (%)")
MAXIMUM = Message("Maximum load (%)")
STATED_IN = Message("Stated in")
SOURCES = Message("Where these inputs come from")
SOURCE = Message("Source")
# Changes with the step taken down and up.
DOWN_UP = Message("{down} / {up}")
OTHER = Message("other choice")
PLUS_MINUS = Message("±{step}")
POINTS = Message("{value} percentage points")
IN_CONFIG = Message("Stated in the application's file, without a source.")
IN_FAMILY = Message("Data of {family}, and how far one valve differs from the next: {source}")
NO_SOURCE = Message("Data of {family}.")
ORIGINS: Mapping[str, Message] = {
    "rating": Message("rating point"),
    "low_head": Message("low head"),
    "high_head": Message("high head"),
    "losses": Message("losses"),
    "superheat": Message("superheat limits"),
    "coil": Message("coil"),
    "compressor": Message("compressor"),
    "suction": Message("suction side"),
    "family": Message("valve family"),
    "flow_law": Message("flow law"),
    "refrigerant": Message("refrigerant properties"),
}

# A page of a booklet.
CHAPTER = Message("What the tables assume")
ABOUT = Message(
    "Every limit follows exactly from its inputs; what decides whether it is true is how well the inputs are known. Each "
    "line changes one input by the step, down and up, computes both limits again, and gives their change in percent. An "
    "input that you know better than its source can be stated for your case."
)
ABOUT_EMPTY = Message("{none}: with this step an operating condition rules the valve out.")
CAPTION = Message("{table}: limits of {size} at {sst} SST")
LESS = Message("Less than {percent} for their step: {names}.")

NAMES: Mapping[str, Message] = {
    "coil_difference": Message("coil temperature difference (TD)"),
    "maximum_superheat": Message("maximum superheat"),
    "minimum_stable_superheat": Message("minimum stable superheat (MSS)"),
    "useful_superheat": Message("useful superheat of the rating"),
    "low_head": Message("low head, condensing temperature"),
    "high_head": Message("high head, condensing temperature"),
    "low_head_subcooling": Message("subcooling at low head"),
    "high_head_subcooling": Message("subcooling at high head"),
    "rated_liquid": Message("subcooling at the rating point"),
    "liquid_line": Message("pressure loss of the liquid line"),
    "lift": Message("lift of the liquid"),
    "evaporator": Message("pressure loss of the evaporator"),
    "distributor": Message("pressure loss of the distributor"),
    "suction_line": Message("loss of the suction line"),
    "suction_response": Message("SST that follows the box and the compressor, not constant"),
    "compressor_flow": Message("change of the compressor's flow with head pressure"),
    "minimum_opening": Message("minimum opening"),
    "maximum_opening": Message("maximum opening of control"),
    "reserve": Message("share of the valve's reserve in the limits"),
    "stability": Message("minimum opening from the loop of valve, coil and bulb, not stated"),
    "conductance_ratio": Message("conductance of the dry coil"),
    "bulb_time_constant": Message("time constant of the bulb"),
    "static_superheat": Message("static superheat of the setting"),
    "opening_superheat": Message("opening superheat of the setting"),
    "unbalance": Message("unbalance of the port"),
    "flow_law": Message("another flow law, with the same nominal capacity"),
    "kv": Message("flow coefficient Kv"),
    "saturation_pressure": Message("saturation pressures of the refrigerants"),
    "liquid_density": Message("liquid densities"),
    "enthalpy": Message("enthalpy differences"),
}
