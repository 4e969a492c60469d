"""The conditions that a table holds for, in words, for the page that the table stands on."""

from __future__ import annotations

import math
from typing import Any

from tablegen.report.formatter import DASH, NBSP, SET_BY_CONTROLLER
from tablegen.report.publications.publication import Part, Publication

BASIS_FORMATTER = {
    "bubble": "saturated liquid (bubble point)",
    "dew": "saturated vapor (dew point)",
    "mid": "mid-point (mean of bubble and dew point)",
}


def head_text(publication: Publication, part: Part, condition: str) -> str:
    """One head of a part's application: what was set, what it comes to for the members, and the liquid."""
    formatter, members = publication.formatter, publication.members(part.group)
    application = publication.application(part.application)
    site, sst_k = application["site_pressure_pa"], application["example_sst_k"]
    stated = application["systems"][members[0]][condition]
    states = [publication.states(part.application, m, sst_k).loc[condition] for m in members]
    gauges = [formatter.gauge(float(s["head_pressure_pa"]), site) for s in states]
    gauge = f"{_span(formatter, gauges)}{NBSP}{formatter.gauge_label}"
    bubble = _span(formatter, [formatter.temperature(float(s["head_bubble_temperature_k"]), 1) for s in states])
    dew = _span(formatter, [formatter.temperature(float(s["head_dew_temperature_k"]), 1) for s in states])
    degrees = formatter.temperature_label
    head = stated["head"]
    # Members may have heads of their own, stated in another way.
    is_one = all(application["systems"][m][condition]["head"] == head for m in members)
    if is_one and head["condensing_temperature_k"] is not None:
        basis = BASIS_FORMATTER[head["basis"]]
        text = f"{formatter.degrees(head['condensing_temperature_k'])} {basis}: {gauge}"
        at_bubble, at_dew = (
            _span(formatter, [formatter.gauge(float(s[f"condensing_{side}_pressure_pa"]), site) for s in states])
            for side in ("bubble", "dew")
        )
        if at_bubble != at_dew:
            both = {"bubble": f"dew pressure there {at_dew}", "dew": f"bubble pressure there {at_bubble}"}
            text += f" ({both.get(head['basis'], f'bubble pressure there {at_bubble}, dew pressure {at_dew}')})"
    elif bubble == dew:
        text = f"setting {gauge}: saturated at {bubble}{NBSP}{degrees}"
    else:
        text = f"setting {gauge}: bubble point {bubble}, dew point {dew}{NBSP}{degrees}"
    return f"{text}; {_liquid_text(publication, stated['liquid'], states)}"


def _liquid_text(publication: Publication, liquid: dict[str, Any], states: list[Any]) -> str:
    formatter = publication.formatter
    if liquid["temperature_k"] is not None:
        return f"liquid at the valve {formatter.degrees(liquid['temperature_k'])}"
    minimum, maximum = formatter.step(liquid["min_subcooling_k"]), formatter.step(liquid["max_subcooling_k"])
    subcooling = minimum if minimum == maximum else f"{minimum} to {maximum}"
    below = f"liquid at the valve {subcooling} below its bubble point after the line loss"
    liquids = [float(s["liquid_temperature_k"]) for s in states]
    if not all(math.isfinite(kelvin) for kelvin in liquids):
        return f"{below}, which cannot be computed"
    at = _span(formatter, [formatter.temperature(kelvin, 0) for kelvin in liquids])
    return f"{below}, about {at}{NBSP}{formatter.temperature_label}"


def losses_text(publication: Publication, part: Part) -> str:
    """Losses at rated flow."""
    formatter = publication.formatter
    losses = publication.application(part.application)["systems"][publication.members(part.group)[0]]["losses"]
    text = (
        f"liquid line {formatter.drop(losses['liquid_line_pa'])}, evaporator {formatter.drop(losses['evaporator_pa'])}, "
        f"distributor {formatter.drop(losses['distributor_pa'])}"
    )
    lift = losses["lift_m"]
    return text + (f", liquid lifted {formatter.length(lift)}" if lift else ", no lift")


def superheat_text(publication: Publication, part: Part) -> str:
    """What superheat the capacity counts with, and what the valve works with."""
    formatter = publication.formatter
    limits = publication.application(part.application)["systems"][publication.members(part.group)[0]]["superheat"]
    constant, linear, quadratic = limits["min_k"]
    minimum = formatter.step(constant) + (" and more with load" if linear or quadratic else "")
    counted = f"capacity counted with {formatter.step(limits['useful_k'])} useful"
    if not publication.is_thermostatic(part.family):
        return f"{counted} at the evaporator outlet; in operation {SET_BY_CONTROLLER}"
    return f"{counted}; in operation between {minimum} and {formatter.step(limits['max_k'])} at the bulb"


def suction_text(publication: Publication, part: Part) -> str:
    """Where the suction temperature is stated, and what it does when the head moves."""
    formatter = publication.formatter
    application = publication.application(part.application)["systems"][publication.members(part.group)[0]]
    is_thermostatic = publication.is_thermostatic(part.family)
    outlet = "at the evaporator outlet (the bulb)" if is_thermostatic else "at the evaporator outlet"
    place = "at the compressor" if application["sst_at_compressor"] else outlet
    loss = formatter.step(application["suction_loss_k"])
    is_at_compressor = application["sst_at_compressor"]
    other = f"{outlet} it is {loss} higher" if is_at_compressor else f"at the compressor it is {loss} lower"
    response = {
        "constant": "held when the head moves",
        "balanced": "following evaporator and compressor when the head moves",
        "stricter": "held or following, whichever leaves the narrower window",
    }[application["response"]]
    step = application["capacity_step"]
    unloaded = "" if step == 1.0 else f"; compressor unloading to {step:.0%}"
    return f"SST is the dew point {place}; {other}; {response}{unloaded}"


def charge_text(publication: Publication, part: Part) -> str:
    """The bulb charge or drive, and its setting."""
    formatter, element = publication.formatter, publication.element(part)
    if not element:
        return "none offered"
    setting = element["setting"]
    if setting is None:
        return str(element["title"])
    return (
        f"{element['title']}{_mop_text(publication, part, element)}, set for {element['setting_refrigerant']}: "
        f"{formatter.step(setting['static_superheat_k'])} static at a bulb of "
        f"{formatter.degrees(setting['bulb_temperature_k'])}, {formatter.step(setting['opening_superheat_k'])} more to "
        f"rated stroke"
    )


def _mop_text(publication: Publication, part: Part, element: dict[str, Any]) -> str:
    """The maximum operating pressure of a charge that has one, absolute and as a gauge at the site reads it."""
    pressure, formatter = element["maximum_operating_pressure_pa"], publication.formatter
    if pressure is None:
        return ""
    gauge = formatter.gauge(pressure, publication.application(part.application)["site_pressure_pa"])
    return f", maximum operating pressure {formatter.absolute(pressure)} ({gauge}{NBSP}{formatter.gauge_label})"


def valve_text(publication: Publication, part: Part) -> str:
    """Equalizer and the pressures that the valve bears."""
    formatter, family = publication.formatter, publication.inputs["families"][part.family]
    limits = (
        f"working pressure {formatter.gauge(family['working_pressure_gauge_pa'], 0.0)}{NBSP}{formatter.gauge_label}, allowed "
        f"differential {formatter.differential(family['allowed_differential_pa'])}"
    )
    actuator = publication.element(part).get("actuator", {})
    if "is_internally_equalized" not in actuator:
        return limits
    return f"{'internal' if actuator['is_internally_equalized'] else 'external'} equalizer; {limits}"


def compressor_text(application: dict[str, Any]) -> str:
    """The compressor description."""
    compressor = application["compressor"]
    if compressor["kind"] == "ClearanceCompressor":
        return f"clearance {100 * compressor['clearance']:g}{NBSP}%, re-expansion exponent {compressor['exponent']:g}"
    if compressor["kind"] == "TableCompressor":
        return "table of relative mass flows"
    return "ten-coefficient mass-flow polynomial (AHRI 540)"


def _span(formatter: Any, figures: list[str]) -> str:
    """First to last of printed figures, in order of size."""

    def number(text: str) -> float:
        return float(text.replace("\N{MINUS SIGN}", "-"))

    low, high = min(figures, key=number), max(figures, key=number)
    if low == high:
        return low
    # Beside a minus sign an en dash reads as a second minus.
    return f"{low} to {high}" if "\N{MINUS SIGN}" in low + high else f"{low}{DASH}{high}"
