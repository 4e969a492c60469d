"""Names of enumeration values, each in one place; keys are the values as data sets and configs spell them."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

CONDITIONS: Mapping[str, Message] = {
    "low_head": Message("low head"),
    "rating": Message("rating point"),
    "high_head": Message("high head"),
}
CONDITION_TITLES: Mapping[str, Message] = {
    "low_head": Message("Low head"),
    "rating": Message("Rating point"),
    "high_head": Message("High head"),
}
# Where heads are pressures of an intermediate receiver.
RECEIVER_TITLES: Mapping[str, Message] = {
    "low_head": Message("Low receiver pressure"),
    "rating": Message("Rating point"),
    "high_head": Message("High receiver pressure"),
}
AT_CONDITIONS: Mapping[str, Message] = {
    "low_head": Message("at low head"),
    "rating": Message("at the rating point"),
    "high_head": Message("at high head"),
}
AT_CONDITION_TITLES: Mapping[str, Message] = {
    "low_head": Message("At low head"),
    "rating": Message("At the rating point"),
    "high_head": Message("At high head"),
}

# What sets a limit of a load window, after "set by".
LIMIT_REASONS: Mapping[str, Message] = {
    "stop": Message("the mechanical stop"),
    "rated_stroke": Message("the rated stroke"),
    "superheat": Message("the maximum superheat"),
    "mop": Message("the MOP"),
    "control_reserve": Message("the control reserve"),
    "stability": Message("the minimum stable opening"),
    "floodback": Message("the minimum stable superheat"),
    "hunts": Message("hunting"),
    "min_step": Message("the drive's minimum opening"),
    "max_duty": Message("the maximum duty cycle"),
    "min_duty": Message("the minimum duty cycle"),
}
# What sets a limit, or why there is no window, after "because".
REASONS: Mapping[str, Message] = {
    "stop": Message("the valve is open to its mechanical stop"),
    "rated_stroke": Message(
        "the valve is open as far as it is sized for; the rest of its travel up to the stop is reserve for pull-down"
    ),
    "superheat": Message("at maximum superheat the valve opens no further"),
    "mop": Message("the bulb charge is above its MOP and opens the valve no further"),
    "control_reserve": Message(
        "the valve is open as far as it is sized for; the rest of its travel is control reserve"
    ),
    "stability": Message("the valve is at its minimum stable opening"),
    "floodback": Message("closing further would drop superheat below the minimum stable superheat (MSS)"),
    "hunts": Message("closing further would make valve and coil hunt"),
    "min_step": Message("the drive is at its minimum opening"),
    "max_duty": Message("the valve is at the maximum duty cycle that control may use"),
    "min_duty": Message("the valve is at its minimum duty cycle"),
    "flashing": Message("liquid flashes upstream of the port"),
    "no_pressure_drop": Message("no pressure drop is left for the port"),
    "over_differential": Message(
        "with the valve closed, head pressure minus evaporator pressure is above the allowed differential"
    ),
    "over_pressure": Message("the head pressure is above the valve's working pressure"),
    "above_mop": Message("above its MOP the valve opens no further than its minimum opening"),
    "stays_closed": Message("at maximum superheat the valve opens no further than its minimum opening"),
    "always_hunts": Message("valve and coil hunt at every opening that the valve reaches"),
    "charge_range": Message("the evaporating temperature is outside the range of the bulb charge"),
    "no_charge": Message("the family offers no bulb charge for this refrigerant and application"),
    "compressor_map": Message("the operating point is outside the range of the compressor data"),
    "property_range": Message("refrigerant properties cannot be computed at this operating point"),
    "no_balance": Message("no evaporating temperature balances evaporator and compressor"),
    "flow_law_range": Message("subcooling or pressure drop is outside the range of the valve's flow data"),
    "confidence": Message(
        "at the stated confidence there is no load that the valve covers at every operating condition; with "
        "nominal limits there is"
    ),
    "crossed": Message(
        "there is no load that the valve covers at every operating condition: the minimum load is not below "
        "the maximum load"
    ),
}

LIMIT_CLAUSE = Message("{at_condition}, {reason}")
# Why a window that is open is not printed.
NARROW = Message("rounded to three significant figures, the minimum load is not below the maximum load")

# What a load means to a valve at one head pressure.
ZONES_EXPLAINED: Mapping[str, Message] = {
    "steady": Message("the valve covers the load"),
    "starved": Message(
        "the valve starves the evaporator: it needs more than the maximum superheat, or cannot pass the flow"
    ),
    "flooding": Message("the valve floods back: superheat falls below the minimum stable superheat"),
    "hunts": Message("the valve hunts: it operates below its minimum stable opening"),
    "not_working": Message("the valve cannot operate at this condition"),
}

LIMITS: Mapping[str, Message] = {"min": Message("minimum load"), "max": Message("maximum load")}

TEMPERATURE_RANGES: Mapping[str, Message] = {
    "medium_temperature": Message("medium temperature"),
    "low_temperature": Message("low temperature"),
}

# What a stated condensing temperature means.
BASES: Mapping[str, Message] = {
    "bubble": Message("saturated liquid"),
    "dew": Message("saturated vapor"),
    "mid": Message("mid-point"),
}
BASES_EXPLAINED: Mapping[str, Message] = {
    "bubble": Message("saturated liquid (bubble point)"),
    "dew": Message("saturated vapor (dew point)"),
    "mid": Message("mid-point (mean of bubble and dew point)"),
}

SUCTION_RESPONSES: Mapping[str, Message] = {
    "constant": Message("constant when the head pressure changes"),
    "balanced": Message("balanced: it follows evaporator and compressor when the head pressure changes"),
    "stricter": Message("constant or balanced, whichever leaves the narrower window"),
}


# What differs from one valve or installation to the next, or is uncertain for all of them.
DRIVERS: Mapping[str, Message] = {
    "kv": Message("flow coefficient"),
    "static_superheat": Message("static superheat setting"),
    "opening_superheat": Message("spring gradient"),
    "unbalance": Message("unbalance of the port"),
    "charge_pressure": Message("pressure of the bulb charge"),
    "pressure_recovery": Message("pressure recovery (choking)"),
    "low_head": Message("low head pressure"),
    "high_head": Message("high head pressure"),
    "inlet_subcooling": Message("subcooling at the valve inlet"),
    "liquid_line": Message("pressure loss of the liquid line"),
    "distributor": Message("pressure loss of the distributor"),
    "conductance_ratio": Message("conductance of the dry end of the coil"),
    "dryout_delay": Message("delay of dry-out in the coil"),
    "flow_change": Message("compressor flow at each head pressure"),
    "pressure": Message("saturation pressure, all valves"),
    "density": Message("liquid density, all valves"),
    "enthalpy": Message("enthalpies, all valves"),
    "setting_pressure": Message("setting refrigerant, all valves"),
    "kv_measured": Message("measured Kv, all valves"),
    "static_superheat_measured": Message("measured static superheat, all valves"),
    "opening_superheat_measured": Message("measured spring gradient, all valves"),
    "unbalance_measured": Message("measured unbalance, all valves"),
    "charge_pressure_measured": Message("measured charge pressure, all valves"),
    "pressure_recovery_measured": Message("measured pressure recovery, all valves"),
}

FINDINGS: Mapping[str, Message] = {
    "gap": Message("loads inside the size range that no size covers"),
    "not_rising": Message("a limit does not rise with size"),
    "between_heads": Message("a head pressure between the operating conditions sets a stricter limit than the table"),
    "shut_between_heads": Message("at a head pressure between the operating conditions the valve cannot operate"),
    "subcooling_corner": Message("the other end of the subcooling range sets a stricter limit"),
    "between_rows": Message("between two suction temperatures a limit is stricter than at either"),
    "all_empty": Message("a table without any window"),
    "unexplained": Message("an empty window without a listed reason"),
    "empty_at_confidence": Message("a window exists with nominal figures, but none at the stated confidence"),
    "overpromise": Message("a printed figure promises more than was computed"),
    "misprint": Message("a printed figure is not the rounded computed figure"),
    "failed_check": Message("a check of the verification table fails without an explanation"),
    "altered_file": Message("a file was changed since its manifest was written"),
    "other_inputs": Message("the release was made from other config files"),
    "thin_overlap": Message("neighboring sizes barely overlap"),
    "rounding_gap": Message("neighboring sizes leave a gap in print that the computed windows do not have"),
    "turn": Message("a limit changes direction as suction temperature rises"),
    "other_response": Message("the other suction response would set a stricter limit"),
    "response_not_run": Message("balanced suction was not checked because no box_difference is given"),
    "empty": Message("empty windows, each with its reason"),
    "narrow": Message("narrow windows"),
    "not_printed": Message(
        "windows not printed because, rounded to three significant figures, their minimum is not below their maximum"
    ),
    "group_loss": Message("a group's window is much narrower than its members'"),
    "unusual_subcooling": Message("the liquid at the valve asks for more subcooling at the condenser than is usual"),
    "cold_liquid": Message("the liquid at the valve is colder than the evaporator"),
    "hunts_by_loop": Message("the stated minimum opening hunts by the loop of valve and coil"),
    "head_order": Message("head pressures are not in the order low, rating, high"),
    "port_swing": Message("an unbalanced port changes the superheat"),
    "other_versions": Message("the release was made with other software versions"),
    "not_read": Message("a printed file could not be read back"),
}

# What a check compares with, and its result.
CHECKS: Mapping[str, Message] = {
    "published": Message("published"),
    "rule_of_thumb": Message("rule of thumb"),
    "second_implementation": Message("second implementation"),
    "self_check": Message("self-check"),
}
CHECKS_EXPLAINED: Mapping[str, Message] = {
    "published": Message("measured, or computed from another equation or mixture model than ours"),
    "rule_of_thumb": Message("what the trade expects; we have no source that we can name"),
    "second_implementation": Message(
        "the same equation or mixture model, as far as we know, in another program; finds errors of computing, not of "
        "the equation"
    ),
    "self_check": Message("an input that a fit must reproduce, or our own arithmetic; finds changes, proves nothing"),
}
# Whether a figure was checked against its source.
PROVENANCES: Mapping[str, Message] = {
    "checked": Message("checked against the source"),
    "not_checked": Message("not checked against the source"),
    "no_source": Message("no outside source"),
}


def condition(value: str) -> str:
    """An operating condition within a sentence: "low head"."""
    return CONDITIONS[value]()


def condition_title(value: str) -> str:
    """An operating condition as a heading: "Low head"."""
    return CONDITION_TITLES[value]()


def head_title(value: str, has_receiver: bool) -> str:
    """An operating condition as a heading, with what its head is a pressure of: "Low receiver pressure"."""
    return RECEIVER_TITLES[value]() if has_receiver else condition_title(value)


def at_condition(value: str) -> str:
    """Where a limit is set, within a sentence: "at the rating point"."""
    return AT_CONDITIONS[value]()


def at_condition_title(value: str) -> str:
    """Where a limit is set, at the start of a sentence: "At the rating point"."""
    return AT_CONDITION_TITLES[value]()


def limit_reason(value: str) -> str:
    """What sets a limit, in short: "the mechanical stop"."""
    return LIMIT_REASONS[value]()


def reason(value: str) -> str:
    """What sets a limit or empties a window, as a clause: "the valve is open to its mechanical stop"."""
    return REASONS[value]()


def limit_clause(at: str, why: str) -> str:
    """What sets a limit and at which operating condition, as a clause; a reason of all conditions goes alone."""
    if at not in AT_CONDITIONS or why in ("crossed", "confidence"):
        return reason(why)
    return LIMIT_CLAUSE(at_condition=at_condition(at), reason=reason(why))


LIQUID_AT = Message("liquid {temperature}")
LIQUID_SUBCOOLED = Message("liquid subcooled {subcooling}")
LIQUID_UPSTREAM = Message("liquid subcooled {subcooling} at condenser or receiver")
ABSOLUTE = Message("{unit} absolute")
RANGE = Message("{low} to {high}")
SET_BY_CONTROLLER = Message("set by controller")
CONTINUED = Message("{title}, continued")
CONTENTS_ENTRY = Message("{heading}, page {page}")
PAGE_OF = Message("Page {page} of {total}")
GRAPH = Message("Graph: {caption}")

# A nominal capacity under the name of a size.
NOMINAL_TONS = Message("{capacity}\N{NO-BREAK SPACE}ton")
NOMINAL_KW = Message("{capacity}\N{NO-BREAK SPACE}kW")
