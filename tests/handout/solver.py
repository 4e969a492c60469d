"""Solves a printed exercise from its text, its table and the graph alone, in plain arithmetic without rounding."""

from __future__ import annotations

import decimal
import math
import re
from dataclasses import dataclass

from tests.handout.printed_sheet import Printed, SuperheatGraph

N = r"(-?\d+(?:\.\d+)?)"
# Rated load to heat per hour, in the unit of enthalpy: not printed, but every student's conversion.
HEAT = {"kBtu/h": 1000.0, "kW": 3600.0}
ZONES = {
    "the valve covers": "steady",
    "the valve hunts": "hunts",
    "the valve floods back": "flooding",
    "the valve starves": "starved",
}


@dataclass(frozen=True)
class Solution:
    """Figures in the order of the answer, and the words that the answer must contain."""

    figures: tuple[float, ...]
    words: tuple[str, ...] = ()
    # Of each figure; absolute where it is a temperature, else a share.
    tolerance: float = 0.01
    is_absolute: bool = False


def solve(own: Printed, graph: SuperheatGraph | None) -> Solution:
    """The solution of any kind."""
    return (
        {
            "pick": pick,
            "rounding": rounding,
            "mass_flow": mass_flow,
            "required_kv": required_kv,
            "binding": binding,
            "between": between,
            "static": static,
            "heads": heads,
            "both_limits": both_limits,
            "spring": spring,
        }[own.kind](own)
        if own.kind != "zone"
        else zone(own, graph)
    )


def figure(pattern: str, text: str) -> float:
    match = re.search(pattern, text)
    assert match is not None, (pattern, text)
    return float(match[1])


def numbers(text: str) -> list[float]:
    return [float(own) for own in re.findall(r"(?<![\w.])-?\d+(?:\.\d+)?", text)]


def rows(own: Printed) -> list[list[str]]:
    return [line.split() for line in own.table]


def pick(own: Printed) -> Solution:
    load = figure(rf"rated {N} ", own.text)
    sizes, minimum, maximum = (line[1:] for line in rows(own))
    margin = {
        size: min(load / float(low), float(high) / load)
        for size, low, high in zip(sizes, minimum, maximum, strict=True)
    }
    best = max(margin, key=lambda size: margin[size])
    assert margin[best] >= 1.0
    i = sizes.index(best)
    return Solution((float(best), float(minimum[i]), float(maximum[i]), margin[best]), (f"Size {best},",))


def rounding(own: Printed) -> Solution:
    match = re.search(rf"from {N} to {N}", own.text)
    assert match
    ends = []
    for text, way in ((match[1], decimal.ROUND_CEILING), (match[2], decimal.ROUND_FLOOR)):
        value = decimal.Decimal(text)
        place = decimal.Decimal(1).scaleb(value.adjusted() - 2)
        ends.append(float(value.quantize(place, rounding=way)))
    return Solution(tuple(ends), tolerance=1e-12)


def mass_flow(own: Printed) -> Solution:
    load, unit = re.search(rf"Q = {N} (\S+?)\.? ", own.text).groups()
    vapor, liquid = figure(rf"hv = {N}", own.text), figure(rf"hl = {N}", own.text)
    stated = figure(rf"1 {re.escape(unit)} is {N}", own.text)
    assert stated == HEAT[unit]
    rated = float(load) * stated / (vapor - liquid)
    return Solution((rated, rated * figure(rf"f = {N}", own.text)))


def required_kv(own: Printed) -> Solution:
    flow, density = figure(rf"mass flow is {N}", own.text), figure(rf"density of the liquid {N}", own.text)
    drop, constant = figure(rf"drives the flow {N}", own.text), figure(rf"N = {N}", own.text)
    needed = flow / (constant * math.sqrt(density * drop))
    size = re.search(r"of size (\S+) is that", own.text)[1]
    return Solution((needed, 100.0 * needed / figure(rf"of the {N}", own.text)), (f"of size {size}",))


def binding(own: Printed) -> Solution:
    lines = {name: (float(low), float(high)) for name, low, high in rows(own)[1:]}
    low = max(lines, key=lambda name: lines[name][0])
    high = min(lines, key=lambda name: lines[name][1])
    assert sum(own[0] == lines[low][0] for own in lines.values()) == 1
    assert sum(own[1] == lines[high][1] for own in lines.values()) == 1
    return Solution((lines[low][0], lines[high][1]), (f"minimum set by {low}, maximum by {high}",), tolerance=1e-12)


def between(own: Printed) -> Solution:
    load = figure(rf"rated {N} ", own.text)
    at = figure(rf"operates at SST {N}", own.text)
    lines = [numbers(line) for line in own.table[1:]]
    assert lines[0][0] < at < lines[1][0]
    is_covered = all(low <= load <= high for _, low, high in lines)
    return Solution((), ("Yes, both rows" if is_covered else "No, one of the two",))


def bulb_temperature(own: Printed, pressure: float) -> float:
    temperatures = [float(t) for t in re.findall(rf"{N} °[CF]", own.table[0])]
    pressures = numbers(own.table[1])
    for i in range(len(pressures) - 1):
        if pressures[i] <= pressure <= pressures[i + 1]:
            share = (pressure - pressures[i]) / (pressures[i + 1] - pressures[i])
            return temperatures[i] + share * (temperatures[i + 1] - temperatures[i])
    raise AssertionError(f"{pressure} is outside {pressures}")


def static(own: Printed) -> Solution:
    at = figure(rf"evaporates at {N} °", own.text)
    closing = figure(rf"its pressure is {N}", own.text) + figure(rf"the spring adds {N}", own.text)
    bulb = bulb_temperature(own, closing)
    return Solution((bulb, bulb - at), tolerance=0.101, is_absolute=True)


def heads(own: Printed) -> Solution:
    loads = [float(load) for load in re.findall(rf"maximum load {N}", own.text)]
    return Solution((loads[1] / loads[0],))


def both_limits(own: Printed) -> Solution:
    match = re.search(
        rf"rated [CK]v {N}(?: m³/h)?\. A rated load of {N} \S+ requires [CK]v {N}(?: m³/h)? at .*? and [CK]v {N}",
        own.text,
    )
    assert match
    rated, load, at_max, at_min = map(float, match.groups())
    maximum = load * figure(rf"can reach {N} times", own.text) * rated / at_max
    minimum = load * figure(rf"at least {N} times", own.text) * rated / at_min
    asked = figure(rf"Does the valve cover {N}", own.text)
    words = "yes, it covers" if minimum <= asked <= maximum else "too small" if asked > maximum else "too large"
    return Solution((minimum, maximum), (words,))


def _superheats(own: Printed) -> tuple[float, float]:
    low, high = re.search(rf"between {N} (?:K|°F) and {N} (?:K|°F)", own.text).groups()
    return float(low), float(high)


def _limits(own: Printed) -> tuple[float, float, float, float]:
    low, high = _superheats(own)
    smallest = figure(rf"minimum stable opening of {N} %", own.text)
    return low, high, smallest, figure(rf"maximum opening is {N} %", own.text)


def _zone(own: Printed, superheat: float, opening: float) -> str:
    low, high, smallest, stop = _limits(own)
    broken = [
        name
        for name, is_broken in (
            ("hunts", opening < smallest),
            ("flooding", superheat < low),
            ("starved", superheat > high or opening > stop),
        )
        if is_broken
    ]
    assert len(broken) < 2
    return broken[0] if broken else "steady"


def spring(own: Printed) -> Solution:
    at = figure(rf"evaporates at {N} °", own.text)
    opening = figure(rf"the valve is {N} % open", own.text)
    closing = figure(rf"its pressure is {N}", own.text) + figure(rf"spring adds {N}", own.text)
    closing += opening / 100.0 * figure(rf"and {N} \S+ more at rated stroke", own.text)
    if port := re.search(rf"inlet pressure on the port (adds|takes) {N} ", own.text):
        closing += float(port[2]) * (1.0 if port[1] == "adds" else -1.0)
    superheat = bulb_temperature(own, closing) - at
    return Solution((superheat,), (words_of(_zone(own, superheat, opening)),), tolerance=0.151, is_absolute=True)


def zone(own: Printed, graph: SuperheatGraph | None) -> Solution:
    assert graph is not None
    head = re.search(r", (low head|high head);", own.text)[1]
    superheat = graph.read(head, figure(rf"rated {N} ", own.text))
    # The opening, which says whether a valve hunts, is not in the text: nothing but the graph gives the answer.
    assert " %" not in own.text
    if math.isnan(superheat):
        return Solution((), (words_of("starved"),), tolerance=0.1, is_absolute=True)
    low, high = _superheats(own)
    distance = min(abs(superheat - low), abs(high - superheat))
    words = () if low <= superheat <= high else (words_of("flooding" if superheat < low else "starved"),)
    return Solution((superheat, distance), words, tolerance=0.151, is_absolute=True)


def words_of(zone_name: str) -> str:
    return next(words for words, name in ZONES.items() if name == zone_name)


_UNITS = (
    "kPa absolute",
    "psia",
    "kBtu/h",
    "Btu/lb",
    "Btu/h",
    "lb/ft³",
    "lb/h",
    "kJ/kg",
    "kJ/h",
    "kg/m³",
    "kg/h",
    "m³/h",
)
_UNITS += ("kPa", "psi", "kW", "°F", "°C", "K")


def repeated(step: str) -> list[tuple[str, float]]:
    """What a line of a calculation prints as its results, and what its own figures give for each."""
    step = re.sub(r" \((?:1 k|allowed).*?\)", "", step)
    return [found for clause in re.split(r"[;:,] ", step) if (found := _equation(clause)) is not None]


def _equation(clause: str) -> tuple[str, float] | None:
    parts = clause.split(" = ")
    if len(parts) < 2:
        return None
    texts = []
    for text in (parts[-2].rpartition(" at ")[2], parts[-1]):
        for unit in _UNITS:
            text = text.replace(f" {unit}", "")
        texts.append(text.strip())
    written = re.sub(rf"{N} %", r"(\1/100)", texts[0])
    for sign, python in (("×", "*"), ("÷", "/"), ("√", "sqrt")):
        written = written.replace(sign, python)
    if not re.fullmatch(r"(?:[\d.\s()*/+\-]|sqrt)+", written) or not re.search(r"[*/+\-]", written.strip("- ")):
        return None
    result = re.fullmatch(rf"{N}( %)?", texts[1])
    assert result is not None, clause
    value = float(eval(written, {"__builtins__": {}}, {"sqrt": math.sqrt}))
    return result[1], 100.0 * value if result[2] else value
