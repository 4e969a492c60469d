"""The conditions that a table holds for, in words, for the page that the table stands on."""

from __future__ import annotations

import math
from typing import Any

from tablegen.report.formatter import DASH, NBSP, SET_BY_CONTROLLER
from tablegen.report.publications.publication import Edition, Part

BASIS_WORDS = {
    "bubble": "saturated liquid (bubble point)",
    "dew": "saturated vapor (dew point)",
    "mid": "mid-point (mean of bubble and dew point)",
}


def head_text(edition: Edition, part: Part, extreme: str) -> str:
    """One head of a part's envelope: what was set, what it comes to for the members, and the liquid."""
    words, members = edition.words, edition.members(part.group)
    envelope = edition.envelope(part.envelope)
    site, sst_k = envelope["site_pressure_pa"], envelope["example_sst_k"]
    stated = envelope["envelopes"][members[0]][extreme]
    states = [edition.states(part.envelope, m, sst_k).loc[extreme] for m in members]
    gauges = [words.gauge(float(s["head_pressure_pa"]), site) for s in states]
    gauge = f"{_span(words, gauges)}{NBSP}{words.gauge_label}"
    bubble = _span(words, [words.temperature(float(s["head_bubble_temperature_k"]), 1) for s in states])
    dew = _span(words, [words.temperature(float(s["head_dew_temperature_k"]), 1) for s in states])
    degrees = words.temperature_label
    head = stated["head"]
    # Members may have heads of their own, stated in another way.
    is_one = all(envelope["envelopes"][m][extreme]["head"] == head for m in members)
    if is_one and head["condensing_temperature_k"] is not None:
        basis = BASIS_WORDS[head["basis"]]
        text = f"{words.degrees(head['condensing_temperature_k'])} {basis}: {gauge}"
        at_bubble, at_dew = (
            _span(words, [words.gauge(float(s[f"condensing_{side}_pressure_pa"]), site) for s in states])
            for side in ("bubble", "dew")
        )
        if at_bubble != at_dew:
            both = {"bubble": f"dew pressure there {at_dew}", "dew": f"bubble pressure there {at_bubble}"}
            text += f" ({both.get(head['basis'], f'bubble pressure there {at_bubble}, dew pressure {at_dew}')})"
    elif bubble == dew:
        text = f"setting {gauge}: saturated at {bubble}{NBSP}{degrees}"
    else:
        text = f"setting {gauge}: bubble point {bubble}, dew point {dew}{NBSP}{degrees}"
    return f"{text}; {_liquid_text(edition, stated['liquid'], states)}"


def _liquid_text(edition: Edition, liquid: dict[str, Any], states: list[Any]) -> str:
    words = edition.words
    if liquid["temperature_k"] is not None:
        return f"liquid at the valve {words.degrees(liquid['temperature_k'])}"
    least, greatest = words.step(liquid["least_subcooling_k"]), words.step(liquid["greatest_subcooling_k"])
    subcooling = least if least == greatest else f"{least} to {greatest}"
    below = f"liquid at the valve {subcooling} below its bubble point after the line loss"
    liquids = [float(s["liquid_temperature_k"]) for s in states]
    if not all(math.isfinite(kelvin) for kelvin in liquids):
        return f"{below}, which cannot be computed"
    at = _span(words, [words.temperature(kelvin, 0) for kelvin in liquids])
    return f"{below}, about {at}{NBSP}{words.temperature_label}"


def losses_text(edition: Edition, part: Part) -> str:
    """Losses at rated flow."""
    words = edition.words
    losses = edition.envelope(part.envelope)["envelopes"][edition.members(part.group)[0]]["losses"]
    text = (
        f"liquid line {words.drop(losses['liquid_line_pa'])}, evaporator {words.drop(losses['evaporator_pa'])}, "
        f"distributor {words.drop(losses['distributor_pa'])}"
    )
    lift = losses["lift_m"]
    return text + (f", liquid lifted {words.length(lift)}" if lift else ", no lift")


def superheat_text(edition: Edition, part: Part) -> str:
    """What superheat the capacity counts with, and what the valve works with."""
    words = edition.words
    limits = edition.envelope(part.envelope)["envelopes"][edition.members(part.group)[0]]["superheat"]
    constant, linear, quadratic = limits["least_k"]
    least = words.step(constant) + (" and more with load" if linear or quadratic else "")
    counted = f"capacity counted with {words.step(limits['useful_k'])} useful"
    if not edition.is_thermostatic(part.family):
        return f"{counted} at the evaporator outlet; in operation {SET_BY_CONTROLLER}"
    return f"{counted}; in operation between {least} and {words.step(limits['greatest_k'])} at the bulb"


def suction_text(edition: Edition, part: Part) -> str:
    """Where the suction temperature is stated, and what it does when the head moves."""
    words = edition.words
    envelope = edition.envelope(part.envelope)["envelopes"][edition.members(part.group)[0]]
    is_thermostatic = edition.is_thermostatic(part.family)
    outlet = "at the evaporator outlet (the bulb)" if is_thermostatic else "at the evaporator outlet"
    place = "at the compressor" if envelope["sst_at_compressor"] else outlet
    loss = words.step(envelope["suction_loss_k"])
    is_at_compressor = envelope["sst_at_compressor"]
    other = f"{outlet} it is {loss} higher" if is_at_compressor else f"at the compressor it is {loss} lower"
    response = {
        "held": "held when the head moves",
        "balanced": "following evaporator and compressor when the head moves",
        "stricter": "held or following, whichever leaves the narrower window",
    }[envelope["response"]]
    step = envelope["capacity_step"]
    unloaded = "" if step == 1.0 else f"; compressor unloading to {step:.0%}"
    return f"SST is the dew point {place}; {other}; {response}{unloaded}"


def charge_text(edition: Edition, part: Part) -> str:
    """The bulb charge or drive, and its setting."""
    words, trim = edition.words, edition.trim(part)
    if not trim:
        return "none offered"
    setting = trim["setting"]
    if setting is None:
        return str(trim["title"])
    return (
        f"{trim['title']}{_mop_text(edition, part, trim)}, set for {trim['setting_refrigerant']}: "
        f"{words.step(setting['static_superheat_k'])} static at a bulb of "
        f"{words.degrees(setting['bulb_temperature_k'])}, {words.step(setting['opening_superheat_k'])} more to "
        f"rated stroke"
    )


def _mop_text(edition: Edition, part: Part, trim: dict[str, Any]) -> str:
    """The maximum operating pressure of a charge that has one, absolute and as a gauge at the site reads it."""
    pressure, words = trim["maximum_operating_pressure_pa"], edition.words
    if pressure is None:
        return ""
    gauge = words.gauge(pressure, edition.envelope(part.envelope)["site_pressure_pa"])
    return f", maximum operating pressure {words.absolute(pressure)} ({gauge}{NBSP}{words.gauge_label})"


def valve_text(edition: Edition, part: Part) -> str:
    """Equalizer and the pressures that the valve bears."""
    words, family = edition.words, edition.inputs["families"][part.family]
    limits = (
        f"working pressure {words.gauge(family['working_pressure_gauge_pa'], 0.0)}{NBSP}{words.gauge_label}, allowed "
        f"differential {words.differential(family['allowed_differential_pa'])}"
    )
    actuator = edition.trim(part).get("actuator", {})
    if "is_internally_equalized" not in actuator:
        return limits
    return f"{'internal' if actuator['is_internally_equalized'] else 'external'} equalizer; {limits}"


def compressor_text(envelope: dict[str, Any]) -> str:
    """The compressor description."""
    compressor = envelope["compressor"]
    if compressor["kind"] == "ClearanceCompressor":
        return f"clearance {100 * compressor['clearance']:g}{NBSP}%, re-expansion exponent {compressor['exponent']:g}"
    if compressor["kind"] == "TableCompressor":
        return "table of relative mass flows"
    return "ten-coefficient mass-flow polynomial (AHRI 540)"


def _span(words: Any, figures: list[str]) -> str:
    """First to last of printed figures, in order of size."""

    def number(text: str) -> float:
        return float(text.replace("\N{MINUS SIGN}", "-"))

    low, high = min(figures, key=number), max(figures, key=number)
    if low == high:
        return low
    # Beside a minus sign an en dash reads as a second minus.
    return f"{low} to {high}" if "\N{MINUS SIGN}" in low + high else f"{low}{DASH}{high}"
