"""Opening of one valve against load, a line for each head: where each meets a limit of opening, a window may end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.report.graphs.axes import Axes, Scale, framed
from tablegen.report.graphs.sketch import AREA, BACK, MARK, SIZE, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import PROJECTING, Box, Drawing, Pen
from tablegen.wording import lesson as wording

# Ends of the axes over the highest that they show; white around a text [pt].
_ACROSS, _UP, _PAD = 1.05, 1.2, 1.2
# Beside a dotted line [pt].
_BESIDE = 4.0
# Points along an edge of what is shaded.
_SHADED = 61
# Black, for the accent is the system's line on the page before.
_LOW, _RATING, _HIGH = Pen(design.HEAVY, cap=PROJECTING), Pen(design.RULE), Pen(design.STRONG, dashes=design.DASHED)
_LIMIT, _READ = Pen(design.RULE), Pen(design.THIN, dashes=design.DOTTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningLine:
    """Opening [%] over load at one head, in the printed unit, and its name; the opening below which it hunts, if by the loop."""

    load: Floats
    opening: Floats
    name: str
    hunts_below: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningLimit:
    """A limit of opening [%], the load that it sets, and their texts; `others` are the loads of the lines, in their order.

    That of the line which sets the limit is empty.
    """

    opening: float
    load: float
    name: str
    printed: str
    others: tuple[str, ...]


def opening_against_load(
    lines: Sequence[OpeningLine],
    limits: tuple[OpeningLimit, OpeningLimit],
    load_unit: str,
    size: tuple[float, float],
) -> Drawing:
    """Draw the lines of low head, of the rating point if it sets a limit, and of high head, and the limits, in a size [pt].

    Limits are the minimum and the maximum. Where the loop sets the minimum, each line has its own.
    """
    low, *between, high = lines
    minimum, maximum = limits
    is_by_loop = any(line.hunts_below is not None for line in lines)
    right = _ACROSS * float(max(np.nanmax(line.load[np.isfinite(line.opening)]) for line in lines))
    top = _UP * max(maximum.opening, float(np.nanmax(np.concatenate([low.opening, high.opening]))))
    sketch, name = Sketch(*size), wording.OPENING_AXIS()
    names = wording.LOAD_AXIS(unit=load_unit), name
    axes = framed(sketch, Box(0.0, 0.0, *size), Scale(0.0, right), Scale(0.0, top), names)
    if not is_by_loop:
        axes.rectangle((0.0, right), (0.0, minimum.opening), None, "", "///", BACK, "hunts")
    axes.rectangle((0.0, right), (maximum.opening, top), None, "", "\\\\\\", BACK, "starves")
    loads = np.linspace(minimum.load, maximum.load, _SHADED)
    at_high, at_low = (np.interp(loads, line.load, line.opening) for line in (high, low))
    floor = 0.0 if is_by_loop else minimum.opening
    inside = (np.clip(own, floor, maximum.opening) for own in (at_high, at_low))
    axes.between(loads, *inside, fill=design.TINT_LIGHT, layer=BACK)
    middle = 0.5 * (maximum.opening + top)
    for limit, side, up in ((minimum, "right", 7.0), (maximum, "center", 0.0)):
        is_level = limit is maximum or not is_by_loop
        if is_level:
            axes.level(limit.opening, _LIMIT, AREA)
        axes.plot([limit.load, limit.load], [0.0, limit.opening], _READ, AREA)
        axes.marks(limit.load, limit.opening, "o", 7.0, Pen(design.STRONG), layer=MARK)
        for line, text in zip(lines, limit.others, strict=True):
            opening = limit.opening if is_level or line.hunts_below is None else line.hunts_below
            other = float(np.interp(opening, line.opening, line.load))
            if text and (abs(other - limit.load) > 0.01 * right or not is_level):
                axes.marks(other, opening, "o", 4.5, Pen(design.LINE), layer=MARK)
                if is_level:
                    at = other, limit.opening if limit is minimum else middle
                    axes.note(text, at, (-_BESIDE if up else 0.0, up), side=side, up="digits", pad=_PAD)
    for line, pen in zip(lines, (_LOW, *(_RATING for _ in between), _HIGH), strict=True):
        axes.plot(line.load, line.opening, pen)
    _name(axes, low, 0.62, (-9.0, 3.0))
    for line in between:
        _name(axes, line, 0.76, (-36.0, -6.0))
    # Two lines of text at a line that rises little.
    _name(axes, high, 0.72, (9.0, -11.0 if is_by_loop else -5.0))
    axes.note(maximum.name, (0.02 * right, middle), side="left", up="digits", face=fonts.SEMIBOLD, pad=_PAD)
    if not is_by_loop:
        place = 0.97 * right, 0.5 * minimum.opening
        axes.note(wording.HUNTS(), place, side="right", up="digits", face=fonts.SEMIBOLD, pad=_PAD)
        axes.note(minimum.name, (0.97 * right, minimum.opening), (0.0, 7.0), side="right", pad=_PAD)
    _name_window(axes, minimum, maximum)
    return sketch.drawing(name)


def _name_window(axes: Axes, minimum: OpeningLimit, maximum: OpeningLimit) -> None:
    """Both loads beside their dotted lines, and what is between them; in a narrow window only what has room."""
    start, end = axes.across([minimum.load, maximum.load]).tolist()
    figure, text = fonts.text_width(minimum.printed, fonts.SEMIBOLD, SIZE), wording.WINDOW()
    half, first = 0.5 * fonts.text_width(text, fonts.REGULAR, SIZE) + _PAD, start + _BESIDE + figure + _PAD
    is_inside = first < end - _PAD
    level = 0.5 * minimum.opening
    at = max(0.5 * (start + end), first + half)
    if at + half < end:
        axes.note(text, (minimum.load, level), (at - start, 0.0), up="digits", pad=_PAD)
    for limit, side in ((minimum, "left" if is_inside else "right"), (maximum, "left")):
        offset = _BESIDE if side == "left" else -_BESIDE
        place = limit.load, level
        axes.note(limit.printed, place, (offset, 0.0), side=side, up="digits", face=fonts.SEMIBOLD, pad=_PAD)


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
