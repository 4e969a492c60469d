"""The picture of a cover: every load window of a family as a thread, a band of them for each application.

A thread runs from a minimum to a maximum load, at one suction temperature, the coldest at the foot of its band. Threads of
sizes that follow each other lie beside each other, so that loads which several sizes cover read as a weave, and loads
that none covers stay white. It is drawn as one path for each of the few looks of a thread.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import EDGE, GAP, TICK, Axes, Scale, Tick
from tablegen.report.graphs.sketch import ABOVE, BELOW, LINE, LINES_APART, SIZE, TEXT, Sketch
from tablegen.report.graphs.window_graph import log_ticks
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen, Shape
from tablegen.report.pdf.fonts import wrapped
from tablegen.report.pdf.pictograms import Pictogram, pictogram_shapes
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.report.rows import WindowRow
from tablegen.units import print_unit
from tablegen.wording import booklet_pages as wording

# Share of the width for what bands are, and the space beside it; between bands; the least height of a band [pt].
_NAMES, _BESIDE, _APART, _LOWEST = 0.29, 12.0, 8.0, 24.0
# Distance of lines of a name; heights of what is above the bands, the names of sizes, and of the scale of loads below [pt].
_LINE, _OVER, _UNDER = LINES_APART * SIZE, (ABOVE + BELOW) * SIZE + 4.0, EDGE + TICK + GAP + (ABOVE + BELOW) * SIZE
# Side of a pictogram, in sizes of type; between it and a name, and between a name and what is under it [pt].
_PICTOGRAM, _UNDER_PICTOGRAM, _UNDER_NAME = 1.7, 3.0, 1.5
# Beyond the smallest and the largest load; the share of its place that a thread fills, by its phase.
_MARGIN, _FILLED = 1.06, (0.9, 0.52, 0.3, 0.4)
_FEWEST, _MOST = 2, len(_FILLED)
# Threads are no finer and no heavier than this; beside the name of a size [pt].
_FINEST, _HEAVIEST, _AIR = design.GROUP_RULE, design.HEAVY, 3.0


@dataclass(frozen=True, slots=True)
class Band:
    """The windows of one application: what it is called, its suction temperatures, its pictograms."""

    name: str
    suction: str
    pictograms: tuple[Pictogram, ...]
    rows: Sequence[WindowRow]

    def windows(self) -> Iterator[tuple[float, int, WindowRow]]:
        """Open windows with their suction temperature as a place from the foot [0 to 1] and the number of their size."""
        suctions = sorted({row.sst_k for row in self.rows})
        sizes = list(dict.fromkeys(row.size for row in self.rows))
        for row in self.rows:
            if not math.isnan(row.min_load_w):
                yield suctions.index(row.sst_k) / len(suctions), sizes.index(row.size), row

    @property
    def step(self) -> float:
        """From one suction temperature to the next, as a share of the band."""
        return 1.0 / max(len({row.sst_k for row in self.rows}), 1)


def phases(bands: Sequence[Band]) -> int:
    """Sizes after which a thread lies again where the first lay: as few as leave them apart in half of the bands, 2 to 4."""
    return min(max(statistics.median_low(_apart(band) for band in bands), _FEWEST), _MOST)


def _apart(band: Band) -> int:
    """How many sizes further no window of the band reaches into one of the same suction temperature."""
    at: dict[float, list[tuple[int, WindowRow]]] = {}
    for place, size, row in band.windows():
        at.setdefault(place, []).append((size, row))
    overlaps = (
        other - size
        for own in at.values()
        for size, row in own
        for other, further in own
        if other > size and further.min_load_w < row.max_load_w
    )
    return 1 + max(overlaps, default=0)


def lowest_weave(bands: Sequence[Band], width: float) -> float:
    """The least height that bands and their names need [pt] in a width [pt]."""
    tall = max(_LOWEST, *(_LINE * len(_lines(band, width)) for band in bands))
    return _OVER + _UNDER + len(bands) * (tall + _APART) - _APART


def weave(bands: Sequence[Band], formatter: Formatter, width: float, height: float) -> Drawing:
    """Draw bands under each other; one at least has an open window.

    Parameters
    ----------
    bands : sequence of Band
    formatter : Formatter
    width, height : float
        Of the drawing [pt].
    """
    unit = print_unit("load", formatter.system, formatter.load_unit)
    loads = [unit.of(w) for band in bands for *_, row in band.windows() for w in (row.min_load_w, row.max_load_w)]
    scale = Scale(min(loads) / _MARGIN, max(loads) * _MARGIN, is_log=True)
    ticks: list[Tick] = [(t, without_zeros(round_half_even(t, 2))) for t in log_ticks(scale.low, scale.high)]
    sketch = Sketch(width, height)
    box = Box(_NAMES * width + _BESIDE, _UNDER, width - EDGE, height - _OVER)
    axes = Axes(sketch, box, scale, Scale(0.0, 1.0))
    tall = (box.height + _APART) / len(bands) - _APART
    count = phases(bands)
    threads: list[list[str]] = [[] for _ in range(count)]
    for number, band in enumerate(bands):
        top = box.top - number * (tall + _APART)
        for place, size, row in band.windows():
            left, right = (float(axes.across(unit.of(w))) for w in (row.min_load_w, row.max_load_w))
            y = top - tall * (1.0 - place - band.step * (size % count + 0.5) / count)
            threads[size % count].append(f"{left:.1f} {y:.2f} m {right:.1f} {y:.2f} l")
        _name(sketch, band, Box(0.0, top - tall, _NAMES * width, top))
    pitch = min(band.step for band in bands) * tall / count
    for phase, own in enumerate(threads):
        weight = min(max(_FILLED[phase] * pitch, _FINEST), _HEAVIEST)
        if own:
            color = design.BLACK if phase else design.ACCENT
            sketch.shape(Shape(path="\n".join(own), pen=Pen(weight, color), name=f"phase {phase}"), LINE)
    _name_sizes(axes, bands[0], formatter)
    axes.x_axis(ticks, pen=Pen(design.RULE))
    label = wording.LOAD(unit=unit.label)
    sketch.text(box.left - _BESIDE, box.bottom - TICK - GAP, label, side="right", up="top")
    return sketch.drawing(label)


def _lines(band: Band, width: float) -> list[str]:
    return wrapped(band.name, fonts.SEMIBOLD, SIZE, _NAMES * width)


def _name(sketch: Sketch, band: Band, box: Box) -> None:
    """What a band is: its name, and where they have room its pictograms over it and its suction temperatures under it."""
    lines, top, side = wrapped(band.name, fonts.SEMIBOLD, SIZE, box.width), box.top, _PICTOGRAM * SIZE
    if band.pictograms and side + _UNDER_PICTOGRAM + (len(lines) + 1) * _LINE <= box.height + _APART:
        for place, pictogram in enumerate(band.pictograms):
            left = box.left + place * side * (1.0 + design.PICTOGRAM_GAP)
            for shape in pictogram_shapes(pictogram, Box(left, top - side, left + side, top)):
                sketch.shape(shape, TEXT)
        top -= side + _UNDER_PICTOGRAM
    under = sketch.text(box.left, top, "\n".join(lines), side="left", up="top", face=fonts.SEMIBOLD)
    if under.bottom - _UNDER_NAME - _LINE >= box.bottom - _APART:
        sketch.text(box.left, under.bottom - _UNDER_NAME, band.suction, side="left", up="top")


def _name_sizes(axes: Axes, band: Band, formatter: Formatter) -> None:
    """The names of sizes over the middles of their topmost threads; none where they would meet."""
    unit, edge = print_unit("load", formatter.system, formatter.load_unit), -math.inf
    topmost: dict[str, tuple[float, WindowRow]] = {}
    for place, _, row in band.windows():
        topmost[row.size] = max(topmost.get(row.size, (place, row)), (place, row), key=lambda own: own[0])
    named = []
    for size, (_, row) in topmost.items():
        middle = float(axes.across(unit.of(math.sqrt(row.min_load_w * row.max_load_w))))
        half = 0.5 * fonts.text_width(size, fonts.BOLD, SIZE)
        if middle - half < edge + _AIR:
            return
        edge = middle + half
        named.append((middle, size))
    for middle, size in named:
        axes.sketch.text(middle, axes.box.top + _OVER, size, up="top", face=fonts.BOLD)
