"""Opening of one valve against load, at low and at high head: where each line meets a limit of opening, a window ends."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.report.graphs.axes import Axes, Scale, framed
from tablegen.report.graphs.sketch import AREA, BACK, MARK, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import PROJECTING, Box, Drawing, Pen
from tablegen.wording import lesson as wording

# Ends of the axes over the highest that they show; white around a text [pt].
_ACROSS, _UP, _PAD = 1.05, 1.2, 1.2
# Points along an edge of what is shaded.
_SHADED = 61
# Black, for the accent is the system's line on the page before.
_LOW, _HIGH = Pen(design.HEAVY, cap=PROJECTING), Pen(design.STRONG, dashes=design.DASHED)
_LIMIT, _READ = Pen(design.RULE), Pen(design.THIN, dashes=design.DOTTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningLine:
    """Opening [%] over load at one head, in the printed unit, and its name."""

    load: Floats
    opening: Floats
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningLimit:
    """A limit of opening [%], the load that it sets, and their texts; `other` is the load of the other line."""

    opening: float
    load: float
    name: str
    printed: str
    other: str


def opening_against_load(
    lines: tuple[OpeningLine, OpeningLine],
    limits: tuple[OpeningLimit, OpeningLimit],
    load_unit: str,
    size: tuple[float, float],
) -> Drawing:
    """Draw the lines of low and of high head and the limits, minimum first, in a size [pt]."""
    low, high = lines
    minimum, maximum = limits
    right = _ACROSS * float(max(np.nanmax(line.load[np.isfinite(line.opening)]) for line in lines))
    top = _UP * max(maximum.opening, float(np.nanmax(np.concatenate([low.opening, high.opening]))))
    sketch, name = Sketch(*size), wording.OPENING_AXIS()
    names = wording.LOAD_AXIS(unit=load_unit), name
    axes = framed(sketch, Box(0.0, 0.0, *size), Scale(0.0, right), Scale(0.0, top), names)
    axes.rectangle((0.0, right), (0.0, minimum.opening), None, "", "///", BACK, "hunts")
    axes.rectangle((0.0, right), (maximum.opening, top), None, "", "\\\\\\", BACK, "starves")
    loads = np.linspace(minimum.load, maximum.load, _SHADED)
    at_high, at_low = (np.interp(loads, line.load, line.opening) for line in (high, low))
    inside = (np.clip(own, minimum.opening, maximum.opening) for own in (at_high, at_low))
    axes.between(loads, *inside, fill=design.TINT_LIGHT, layer=BACK)
    middle = 0.5 * (maximum.opening + top)
    for limit, side, up in ((minimum, "right", 7.0), (maximum, "center", 0.0)):
        axes.level(limit.opening, _LIMIT, AREA)
        axes.plot([limit.load, limit.load], [0.0, limit.opening], _READ, AREA)
        axes.marks(limit.load, limit.opening, "o", 7.0, Pen(design.STRONG), layer=MARK)
        for line in lines:
            other = float(np.interp(limit.opening, line.opening, line.load))
            if abs(other - limit.load) > 0.01 * right:
                axes.marks(other, limit.opening, "o", 4.5, Pen(design.LINE), layer=MARK)
                at = other, limit.opening if limit is minimum else middle
                axes.note(limit.other, at, (-4.0 if up else 0.0, up), side=side, up="digits", pad=_PAD)
    window = 0.5 * (minimum.load + maximum.load), 0.5 * minimum.opening
    axes.note(wording.WINDOW(), window, side="center", up="digits", pad=_PAD)
    axes.plot(low.load, low.opening, _LOW)
    axes.plot(high.load, high.opening, _HIGH)
    _name(axes, low, 0.62, (-9.0, 3.0))
    _name(axes, high, 0.72, (9.0, -5.0))
    axes.note(maximum.name, (0.02 * right, middle), side="left", up="digits", face=fonts.SEMIBOLD, pad=_PAD)
    axes.note(
        wording.HUNTS(), (0.97 * right, 0.5 * minimum.opening), side="right", up="digits", face=fonts.SEMIBOLD, pad=_PAD
    )
    axes.note(minimum.name, (0.97 * right, minimum.opening), (0.0, 7.0), side="right", pad=_PAD)
    for limit in limits:
        axes.note(
            limit.printed,
            (limit.load, 0.5 * minimum.opening),
            (4.0, 0.0),
            side="left",
            up="digits",
            face=fonts.SEMIBOLD,
            pad=_PAD,
        )
    return sketch.drawing(name)


def _name(axes: Axes, line: OpeningLine, share: float, offset: tuple[float, float]) -> None:
    """Name a line so far [pt] from a point of it, at its left or right."""
    known = np.flatnonzero(np.isfinite(line.opening))
    at = known[int(share * (len(known) - 1))]
    axes.note(
        line.name,
        (float(line.load[at]), float(line.opening[at])),
        offset,
        side="left" if offset[0] > 0.0 else "right",
        face=fonts.SEMIBOLD,
        pad=_PAD,
    )
