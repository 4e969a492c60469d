"""The balance graph: system and valve capacity against head pressure."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import pandas as pd

from tablegen.physics.arrays import Floats
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import Axes, Scale, framed
from tablegen.report.graphs.sketch import BACK, SIZE, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import PROJECTING, Box, Drawing, Pen
from tablegen.unit_table import Unit
from tablegen.units import print_unit
from tablegen.wording import booklet_pages as wording
from tablegen.wording import terms

# A label's distance from its curve over the height, about.
_LABEL_OFFSET = 0.055
_HEADROOM, _ASIDE_OF_ENDS = 1.22, 0.03
_OFFSET_PT = 9.0
# From the middle of a label to a curve that it does not touch, over its distance from its own.
_CLEAR = 0.7
# Axes [pt], about; how far the note on a starving size may stand from what it names; the white around a label.
_WIDTH_PT, _HEIGHT_PT = 440.0, 160.0
_ASIDE, _UP_OR_DOWN = (14.0, 30.0, 48.0), (22.0, 28.0, 34.0, 42.0, 52.0, 64.0, 78.0)
_PAD = 1.2
# From one line of names of heads to the next, and from a head to its name [pt].
NAME_LINE, _ASIDE_OF_HEAD = 11.0, 4.0
_SYSTEM, _EVAPORATOR = Pen(design.HEAVY, design.ACCENT, cap=PROJECTING), Pen(design.RULE, dashes=design.CHAIN)
_MAXIMUM, _MINIMUM, _SMALLER = (
    Pen(design.STRONG, cap=PROJECTING),
    Pen(design.STRONG, dashes=design.CLOSE_DOTS),
    Pen(design.LINE, dashes=design.DASHED),
)
DOTTED, RING = Pen(design.THIN, dashes=design.DOTTED), Pen(design.STRONG)
_LEADER = Pen(design.THIN)


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceCurves:
    """One example in printed units: head pressures, and the capacities at each; NaN where there is none.

    Attributes
    ----------
    crossing_pa : float
        Absolute pressure of the head at which the next smaller size meets the system.
    """

    head: Floats
    system: Floats
    evaporator: Floats
    maximum: Floats
    minimum: Floats
    smaller: Floats
    size: str
    smaller_size: str
    crossing_pa: float
    formatter: Formatter
    site_pressure_pa: float

    @classmethod
    def of(cls, curve: pd.DataFrame, formatter: Formatter, site_pressure_pa: float) -> BalanceCurves:
        """The curves of one example of the data set."""
        pressure, load = print_unit("pressure gauge", formatter.system), _load_unit(formatter)
        first = curve.iloc[0]

        def loads(column: str) -> Floats:
            return np.array([load.of(w) for w in curve[column].tolist()])

        smaller = str(first["smaller_size"])
        return cls(
            head=np.array([pressure.of(p - site_pressure_pa) for p in curve["head_pressure_pa"].tolist()]),
            system=loads("compressor_capacity_w"),
            evaporator=loads("evaporator_capacity_w"),
            maximum=loads("valve_max_w"),
            minimum=loads("valve_min_w"),
            smaller=loads("smaller_max_w") if smaller else np.array([]),
            size=str(first["size"]),
            smaller_size=smaller,
            crossing_pa=float(first["smaller_crossing_pa"]),
            formatter=formatter,
            site_pressure_pa=site_pressure_pa,
        )

    @property
    def pressure(self) -> Unit:
        """Of the heads."""
        return print_unit("pressure gauge", self.formatter.system)

    @property
    def load(self) -> Unit:
        """Of the capacities."""
        return _load_unit(self.formatter)

    @property
    def span(self) -> float:
        """From the lowest to the highest head."""
        return float(self.head[-1] - self.head[0])

    @property
    def top(self) -> float:
        """Upper end of the axis of capacities."""
        return _HEADROOM * float(np.nanmax([self.maximum, self.system, self.minimum]))

    @property
    def scales(self) -> tuple[Scale, Scale]:
        """Of heads and of capacities."""
        aside = _ASIDE_OF_ENDS * self.span
        return Scale(float(self.head[0]) - aside, float(self.head[-1]) + aside), Scale(0.0, self.top)

    def at(self, head_pa: float) -> float:
        """An absolute pressure [Pa] in the unit of the heads."""
        return self.pressure.of(head_pa - self.site_pressure_pa)


def _load_unit(formatter: Formatter) -> Unit:
    return print_unit("load", formatter.system, formatter.load_unit)


def balance_graph(
    curves: BalanceCurves, heads_pa: dict[str, float], size: tuple[float, float], is_blank: bool = False
) -> Drawing:
    """Draw one example's curves in a size [pt]; `heads_pa` are the absolute pressures of the conditions, by name.

    Blank it is axes with a grid and the heads, to be drawn into.
    """
    sketch, name = Sketch(*size), wording.CAPACITY(unit=curves.load.label)
    names = wording.HEAD_PRESSURE(unit=curves.pressure.label), name
    axes = framed(sketch, Box(0.0, 0.0, *size), *curves.scales, names)
    if is_blank:
        axes.grid()
        _name_heads(axes, curves, heads_pa, -10.0)
    else:
        draw_balance(axes, curves, heads_pa)
    return sketch.drawing(name)


def draw_balance(
    axes: Axes,
    curves: BalanceCurves,
    heads_pa: dict[str, float],
    names: tuple[str, str] | None = None,
    borders_pa: Sequence[float] = (),
    spare: Collection[str] = (),
    low_pt: float | None = None,
) -> None:
    """Draw one example's curves on axes; labels keep clear of the lines at `borders_pa` (absolute pressures).

    `names` are those of the valve's two curves, else of its openings.  Labels in `spare` are left out where they would
    lie on another curve. `low_pt` is the height of the axes [pt] where that is little; names of heads then stand above.
    """
    head, top = curves.head, curves.top
    axes.plot(head, curves.system, _SYSTEM, name="system")
    axes.plot(head, curves.evaporator, _EVAPORATOR)
    axes.plot(head, curves.maximum, _MAXIMUM)
    axes.plot(head, curves.minimum, _MINIMUM)
    if curves.smaller_size:
        axes.plot(head, curves.smaller, _SMALLER)
        _mark_crossing(axes, curves)
    labels = _labels(curves, names or (wording.FULLY_OPEN(), wording.MINIMUM_OPENING()))
    upright = [curves.at(value) for value in (*heads_pa.values(), *borders_pa)]
    note: list[tuple[float, float, float]] = []
    if curves.smaller_size:
        upright += [] if math.isnan(curves.crossing_pa) else [curves.at(curves.crossing_pa)]
        note = _shortfall(axes, curves, [curve for curve, _, _ in labels], upright, low_pt or _HEIGHT_PT)
    share = _LABEL_OFFSET if low_pt is None else _OFFSET_PT / low_pt
    _label_curves(axes, head, labels, top, note, upright, spare, share)
    _name_heads(axes, curves, heads_pa, -10.0 if low_pt is None else 6.0)


def narrow_balance_graph(curves: BalanceCurves, heads_pa: dict[str, float], size: tuple[float, float]) -> Drawing:
    """As `balance_graph` where width is little: the system and the limits of a valve that is named elsewhere."""
    sketch, name = Sketch(*size), wording.CAPACITY(unit=curves.load.label)
    names = wording.HEAD_PRESSURE(unit=curves.pressure.label), name
    above = NAME_LINE * lines_of_names(curves, heads_pa, 0.8 * size[0])
    axes = framed(sketch, Box(0.0, 0.0, *size), *curves.scales, names, above=above)
    shown = replace(curves, evaporator=np.full_like(curves.system, np.nan), size="")
    limits = terms.LIMITS["max"](), terms.LIMITS["min"]()
    draw_balance(axes, shown, heads_pa, limits, low_pt=axes.box.height)
    return sketch.drawing(name)


def _name_heads(axes: Axes, curves: BalanceCurves, heads_pa: dict[str, float], up: float) -> None:
    """A line at each head, named so far over the top of the axes [pt], one line higher where another name is there."""
    for head in _head_names(curves, heads_pa, axes.box.width):
        axes.upright(head.x, DOTTED, BACK)
        offset = _ASIDE_OF_HEAD if head.is_left else -_ASIDE_OF_HEAD, up + math.copysign(NAME_LINE, up) * head.line
        axes.note(head.text, (head.x, curves.top), offset, side="left" if head.is_left else "right", pad=_PAD)


def lines_of_names(curves: BalanceCurves, heads_pa: dict[str, float], width: float) -> int:
    """How many lines the names of heads take over axes of a width [pt]."""
    return 1 + max(head.line for head in _head_names(curves, heads_pa, width))


class _HeadName(NamedTuple):
    """The name of a head: its place, the side of the place that it begins at, and the line that it is on."""

    text: str
    x: float
    is_left: bool
    line: int


def _head_names(curves: BalanceCurves, heads_pa: dict[str, float], width: float) -> Iterator[_HeadName]:
    """Names of heads on axes of a width [pt], each on the first line that has room for it."""
    taken: list[list[tuple[float, float]]] = []
    for name, value in heads_pa.items():
        x = curves.at(value)
        at, is_left = float(curves.scales[0].share(x)) * width, bool(x < curves.head.mean())
        text = wording.HEAD_AT(condition=name, pressure=curves.formatter.gauge(value, curves.site_pressure_pa))
        wide = fonts.text_width(text, fonts.REGULAR, SIZE) + _ASIDE_OF_HEAD
        ends = (at, at + wide) if is_left else (at - wide, at)
        free = (i for i, own in enumerate(taken) if all(ends[1] < begin or end < ends[0] for begin, end in own))
        line = next(free, len(taken))
        if line == len(taken):
            taken.append([])
        taken[line].append(ends)
        yield _HeadName(text, x, is_left, line)


# A curve with its name and the face of that.
_CurveLabel = tuple[Floats, str, str]


def _labels(curves: BalanceCurves, names: tuple[str, str]) -> list[_CurveLabel]:
    """What each curve is called; a curve of no value is not."""
    labels = [
        (curves.maximum, _of_size(curves.size, names[0]), fonts.REGULAR),
        (curves.minimum, _of_size(curves.size, names[1]), fonts.REGULAR),
        (curves.system, wording.SYSTEM(), fonts.SEMIBOLD),
        (curves.evaporator, wording.EVAPORATOR(), fonts.REGULAR),
    ]
    if np.allclose(curves.minimum, curves.maximum, rtol=1e-3):
        # A valve that floods even at its stop.
        both = wording.BOTH_OPENINGS(maximum=names[0], minimum=names[1])
        labels[:2] = [(curves.maximum, _of_size(curves.size, both), fonts.REGULAR)]
    labels = [label for label in labels if np.isfinite(label[0]).any()]
    if curves.smaller_size:
        text = wording.SIZE_AT(size=curves.smaller_size, opening=wording.FULLY_OPEN())
        labels.append((curves.smaller, text, fonts.REGULAR))
    return labels


def _of_size(size: str, opening: str) -> str:
    return wording.SIZE_AT(size=size, opening=opening) if size else opening


def _shortfall(
    axes: Axes, curves: BalanceCurves, named: list[Floats], upright: list[float], height_pt: float
) -> list[tuple[float, float, float]]:
    """Hatch what the smaller size cannot pass, and name it where no curve and no upright line runs.

    Return where the name stands: its middle and half its width.
    """
    head, smaller, top = curves.head, curves.smaller, curves.top
    short = curves.system > smaller
    if not short.any():
        return []
    axes.between(head, smaller, curves.system, where=short, hatch="\\\\\\")
    at = int(np.flatnonzero(short)[0])
    x, middle = head[at] + 0.01 * curves.span, 0.5 * (smaller[at] + curves.system[at])
    text = wording.STARVES(size=curves.smaller_size)
    wide = fonts.text_width(text, fonts.REGULAR, SIZE)
    per_x, per_y = 1.06 * curves.span / _WIDTH_PT, top / height_pt
    best: tuple[float, float, float] | None = None
    for aside in _ASIDE:
        left = x + aside * per_x
        covered = np.linspace(left, left + wide * per_x, 15)
        beside = min((max(line - covered[-1], covered[0] - line) / per_x for line in upright), default=99.0)
        for up in (*_UP_OR_DOWN, *(-way for way in _UP_OR_DOWN)):
            y = middle + up * per_y
            gaps = [float(np.abs(np.interp(covered, head, curve) - y).min()) / per_y for curve in named]
            ends = (y / per_y, 0.9 * height_pt - y / per_y)
            # A curve between the name and what it names takes the leader across itself.
            crossed = sum(
                bool((float(np.interp(left, head, c)) - y) * (middle - float(np.interp(x, head, c))) > 0.0)
                for c in named
            )
            score = min(*gaps, *ends, beside + SIZE, 10.0) - 0.04 * (abs(up) + aside) - 0.5 * crossed
            if best is None or score > best[0] + 1e-9:
                best = score, aside, up
    _, aside, up = best or (0.0, _ASIDE[0], _UP_OR_DOWN[2])
    axes.note(text, (x, middle), (aside, up), side="left", pad=_PAD, leader=_LEADER)
    return [
        (x + (aside + 0.5 * wide) * per_x, middle + up * per_y, 0.5 * wide * per_x),
        (x + 0.5 * aside * per_x, middle + 0.5 * up * per_y, 0.5 * aside * per_x),
    ]


def _mark_crossing(axes: Axes, curves: BalanceCurves) -> None:
    if math.isnan(curves.crossing_pa):
        return
    x = curves.at(curves.crossing_pa)
    y = float(np.interp(x, curves.head, curves.system))
    axes.marks(x, y, "o", 7.0, RING)
    axes.plot([x, x], [0.0, y], DOTTED, BACK)
    text = curves.formatter.with_gauge_unit(curves.formatter.gauge(curves.crossing_pa, curves.site_pressure_pa))
    axes.note(text, (x, 0.0), (3.0, 7.0), side="left", up="baseline", pad=_PAD)


def _label_curves(
    axes: Axes,
    head: Floats,
    labels: list[_CurveLabel],
    top: float,
    taken: list[tuple[float, float, float]],
    upright: list[float],
    spare: Collection[str],
    share: float,
) -> None:
    """Label each curve beside itself, where it is farthest from the others, from labels set before and upright lines.

    A label stands as far from its curve as `share` of the height.  In black, for a colored label breaks up in 1-bit
    print.
    """
    span, offset = head[-1] - head[0], share * top
    per_x = (1.0 + 2.0 * _ASIDE_OF_ENDS) * span / axes.box.width
    taken = list(taken)
    places = np.linspace(0.06, 0.94, 45)
    # Places of a label's middle down, above and below its curve across.
    x, sides = head[0] + places * span, np.array([offset, -offset])
    for own, text, face in labels:
        half = (0.5 * fonts.text_width(text, face, SIZE) + 2.0 * _PAD) * per_x
        y = np.interp(x, head, own)[:, None] + sides
        covered = x[:, None] + np.linspace(-half, half, 9)

        gaps = [_gap(head, curve, covered, y) for curve, _, _ in labels if curve is not own]
        gaps += [np.where((np.abs(x - a) < half + w)[:, None], np.abs(y - b), top) for a, b, w in taken]
        gaps += [2.0 * _gap(head, own, covered, y), y, 0.90 * top - y, np.full_like(y, max(0.12, 2.0 * share) * top)]
        # The middle of the graph reads best among places that are as free.
        score = np.fmin.reduce(gaps) - 0.01 * top * np.abs(places - 0.5)[:, None]
        is_free = (x - half >= head[0]) & (x + half <= head[-1]) & np.isfinite(y[:, 0])
        is_free &= np.all([np.abs(x - line) >= half for line in upright], axis=0)
        score[~is_free] = -np.inf
        place, below = np.unravel_index(int(np.argmax(score)), score.shape)
        best = float(score[place, below])
        if not math.isfinite(best) or (text in spare and best < _CLEAR * offset):
            continue
        taken.append((float(x[place]), float(y[place, below]), half))
        at = float(x[place]), float(np.interp(x[place], head, own))
        axes.note(text, at, (0.0, -_OFFSET_PT if below else _OFFSET_PT), face=face, pad=_PAD)


def _gap(head: Floats, curve: Floats, covered: Floats, y: Floats) -> Floats:
    """Distance up or down from labels, each of which covers some heads, to a curve."""
    gap: Floats = np.abs(np.interp(covered, head, curve)[:, None, :] - y[:, :, None]).min(axis=2)
    return gap
