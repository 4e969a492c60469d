"""Flow of one port over condensing temperature, under each flow law and by published correlations: a graph a refrigerant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from tablegen.physics.arrays import Bools, Floats
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import EDGE, Axes, Scale, below, beside
from tablegen.report.graphs.sketch import ABOVE, BELOW, SIZE, Sketch, apart
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import Box, Drawing, Pen
from tablegen.report.rounding import decimals
from tablegen.report.rows import FlowLawRow
from tablegen.units import print_unit
from tablegen.wording import method as wording

HEIGHT = 190.0
# Share of a graph's width for the names of its lines, in front of them; from a name to its line [pt].
_NAMES, _GAP = 0.44, 3.0
_PENS: Mapping[str, Pen] = {
    "orifice": Pen(design.STRONG),
    "choked": Pen(design.STRONG, design.ACCENT, design.DASHED),
    "discharge_coefficient": Pen(design.LINE, dashes=design.CHAIN),
    "payne_oneal_2004": Pen(design.RULE),
    "wile_1935": Pen(design.RULE),
}
_BEYOND = design.DOTTED
_LEADER = Pen(design.HAIR)
# Grid of flow, over that at the rating point.
_LOW, _HIGH, _TICKS = 0.6, 1.2, (0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2)


def flow_law_graph(rows: Sequence[FlowLawRow], formatter: Formatter, size: tuple[float, float]) -> Drawing:
    """A graph for each refrigerant beside the other, in a size [pt]."""
    sketch, (width, height) = Sketch(*size), size
    names = list(dict.fromkeys(row.refrigerant for row in rows))
    each = width / len(names)
    for i, name in enumerate(names):
        own = [row for row in rows if row.refrigerant == name]
        _draw(sketch, Box(i * each, 0.0, (i + 1) * each, height), own, formatter)
    return sketch.drawing(wording.FLOW_AXIS())


def _draw(sketch: Sketch, outer: Box, rows: Sequence[FlowLawRow], formatter: Formatter) -> None:
    unit = print_unit("temperature", formatter.system)
    x = np.array(sorted({unit.of(row.condensing_temperature_k) for row in rows}))
    first, last = float(x[0]), float(x[-1])
    y_ticks = [(tick, decimals(tick, 1)) for tick in _TICKS]
    along = Scale(first - _NAMES / (1.0 - _NAMES) * (last - first), last)
    high = max(_HIGH, max(row.relative_mass_flow for row in rows))
    low = min(_LOW, min(row.relative_mass_flow for row in rows))
    title = (ABOVE + BELOW) * SIZE + EDGE
    box = Box(outer.left + beside(y_ticks), outer.bottom + below(), outer.right - 3.0 * EDGE, outer.top - EDGE - title)
    axes = Axes(sketch, box, along, Scale(low, high))
    every = Scale(first, last).round_ticks((1.0 - _NAMES) * box.width, is_upright=False)
    axes.x_axis(every, wording.CONDENSING_AXIS(unit=unit.label))
    axes.y_axis(y_ticks, wording.FLOW_AXIS())
    axes.note(rows[0].refrigerant, (0.5 * (first + last), high), (0.0, EDGE), up="bottom")
    starts = {}
    for source, pen in _PENS.items():
        own = sorted((r for r in rows if r.flow_source == source), key=lambda row: row.condensing_temperature_k)
        if not own:
            continue
        flow = np.array([row.relative_mass_flow for row in own])
        inside = np.array([row.is_published_range for row in own], dtype=bool)
        _line(axes, x, flow, inside, pen)
        starts[source] = float(flow[0])
    _names(axes, first, starts)


def _line(axes: Axes, x: Floats, flow: Floats, inside: Bools, pen: Pen) -> None:
    """A line, dotted beyond the range that it was published for, whose ends are marked."""
    beyond = Pen(pen.width, pen.color, _BEYOND)
    axes.plot(x, np.where(inside, flow, np.nan), pen)
    if inside.all():
        return
    # One point more on either side, so that dots begin where the line ends.
    near = inside & np.roll(inside, 1) & np.roll(inside, -1)
    axes.plot(x, np.where(near, np.nan, flow), beyond)
    ends = np.flatnonzero(inside & ~near)
    axes.marks(x[ends], flow[ends], "o", 3.2, Pen(design.THIN), design.BLACK)


def _names(axes: Axes, first: float, starts: Mapping[str, float]) -> None:
    """The names of the lines in front of them, so far apart that each is read, with a leader to its line."""
    sources = sorted(starts, key=starts.__getitem__)
    places = [float(axes.up(starts[source])) for source in sources]
    tall = (ABOVE + BELOW) * SIZE
    at = apart(places, [tall] * len(places), (axes.box.bottom, axes.box.top), 1.0)
    start = float(axes.across(first))
    for source, place, up in zip(sources, places, at, strict=True):
        text = wording.FLOW_SOURCES[source]()
        axes.sketch.line([(start - 8.0, up), (start - 1.0, place)], _LEADER)
        axes.sketch.text(start - 8.0 - _GAP, up, text, side="right", up="center", pad=1.0)
