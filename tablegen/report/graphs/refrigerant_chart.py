"""The pressure-enthalpy chart of a refrigerant: dome and lines of constant temperature, entropy, density and quality."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np

from tablegen.physics.pressure_enthalpy_lines import DiagramLine
from tablegen.physics.property_table import CRITICAL_MARGIN_K
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import EDGE, GAP, Axes, Scale, Tick, below, beside
from tablegen.report.graphs.chart_lines import DENSITY, ENTROPY, QUALITY, TEMPERATURE, ChartLine, RefrigerantChart
from tablegen.report.graphs.pressure_enthalpy_graph import enthalpy_name, frame_diagram
from tablegen.report.graphs.sketch import ABOVE, AREA, BELOW, LINE, MARK, SIZE, Point, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen
from tablegen.units import print_unit
from tablegen.wording import diagram as wording
from tablegen.wording import pressure_enthalpy as graph_wording
from tablegen.wording.language import figure

# Height of the key under the axes; a sample of a line in it, and between two of its entries [pt].
_KEY, _SAMPLE, _APART = 13.0, 26.0, 14.0
# White around a text, from one text to the next, from the edge of the axes, and of a text in the dome to its curve [pt].
_PAD, _CLEAR, _INSIDE, _BESIDE_CURVE = 0.8, 1.6, 2.0, 4.0
# Where a line may have its text, as shares of its length from its end.
_PLACES = (0.04, 0.09, 0.14, 0.2, 0.27, 0.35, 0.45, 0.55, 0.65, 0.75)
# Pressures that have a tick where there is room, the more important first; from one to the next [pt]. The critical point.
_TICKS, _TICKS_APART = ((1.0,), (2.0, 5.0), (3.0,), (1.5, 4.0, 6.0, 8.0)), 13.0
_MARK, _OVER = 5.0, 5.0
_FIRST_INSIDE = 4
_DOME = Pen(design.STRONG)
_PENS = {
    TEMPERATURE: Pen(design.THIN, design.ACCENT, dashes=design.DASHED),
    ENTROPY: Pen(design.THIN, dashes=design.CHAIN),
    DENSITY: Pen(design.RULE, dashes=design.DOTTED),
    QUALITY: Pen(design.HAIR),
}


def refrigerant_chart(
    chart: RefrigerantChart, names: tuple[str, str], formatter: Formatter, size: tuple[float, float]
) -> Drawing:
    """Draw a chart in a size [pt]; `names` are its title and what its zero of enthalpy is. Without lines it is blank."""
    title, zero = names
    pressure, enthalpy = (print_unit(quantity, formatter.system) for quantity in ("pressure", "enthalpy"))
    sketch = Sketch(*size)
    bottom, top = below() + _KEY, size[1] - EDGE - design.TABLE - GAP
    low, high = (pressure.of(value) for value in chart.pressures_pa)
    first, last = (enthalpy.of(value - chart.zero.enthalpy_j_kg) for value in chart.enthalpies_j_kg)
    x, y = Scale(first, last), Scale(low, high, is_log=True)
    ticks = _ticks(y, top - bottom)
    axes = Axes(sketch, Box(beside(ticks, has_name=False), bottom, size[0] - EDGE - 4.0, top), x, y)
    frame_diagram(axes, ticks, (graph_wording.PRESSURE(unit=formatter.absolute_label), title), has_grid=True)
    axes.x_axis(x.round_ticks(axes.box.width, is_upright=False, most=12), enthalpy_name(enthalpy.label, zero))
    _Chart(axes, chart, formatter).draw()
    return sketch.drawing(graph_wording.DIAGRAM())


def _ticks(scale: Scale, length: float) -> list[Tick]:
    """Round pressures on a length [pt]: powers of ten first, then those between that have room."""
    powers = range(math.floor(math.log10(scale.low)), math.ceil(math.log10(scale.high)) + 1)
    found: list[Tick] = []
    for steps in _TICKS:
        for value in (float(f"{step:g}e{power}") for step in steps for power in powers):
            at = float(scale.share(value)) * length
            if scale.low <= value <= scale.high and all(
                abs(at - float(scale.share(own)) * length) >= _TICKS_APART for own, _ in found
            ):
                found.append((value, figure(f"{value:g}")))
    return sorted(found)


class _Chart:
    """Lines and their texts on the axes."""

    def __init__(self, axes: Axes, chart: RefrigerantChart, formatter: Formatter) -> None:
        self._axes, self._chart, self._formatter = axes, chart, formatter
        self._pressure = print_unit("pressure", formatter.system)
        self._enthalpy = print_unit("enthalpy", formatter.system)
        self._taken: list[Box] = []

    def draw(self) -> None:
        """Lines first, then the dome over them, then texts."""
        for line in self._chart.lines:
            for part in line.parts:
                self._plot(part, _PENS[line.kind], AREA, line.kind)
            if line.kind == TEMPERATURE and not self._chart.is_blend:
                self._evaporating(line)
        self._plot(self._chart.bubble, _DOME, LINE, "bubble")
        self._plot(self._chart.dew, _DOME, LINE, "dew")
        if self._chart.lines:
            self._critical()
            self._texts()
            self._key()

    def _points(self, line: DiagramLine) -> list[Point]:
        """Places of a line [pt]."""
        if not line.pressure_pa.size:
            return []
        across = self._axes.across([self._enthalpy.of(h - self._chart.zero.enthalpy_j_kg) for h in line.enthalpy_j_kg])
        up = self._axes.up([self._pressure.of(p) for p in line.pressure_pa])
        return list(zip(across.tolist(), up.tolist(), strict=True))

    def _plot(self, line: DiagramLine, pen: Pen, layer: int, name: str) -> None:
        own = self._chart.zero.enthalpy_j_kg
        self._axes.plot(
            [self._enthalpy.of(h - own) for h in line.enthalpy_j_kg],
            [self._pressure.of(p) for p in line.pressure_pa],
            pen,
            layer,
            name,
        )

    def _ends(self, line: ChartLine) -> tuple[tuple[float, float], tuple[float, float]] | None:
        """The bubble and the dew point of a temperature: pressure [Pa] and enthalpy [J/kg]; None where none are tabulated."""
        if len(line.parts) < 2 or self._chart.critical_temperature_k - line.value_si < CRITICAL_MARGIN_K:
            return None
        liquid, vapor = line.parts
        return (
            (float(liquid.pressure_pa[-1]), float(liquid.enthalpy_j_kg[-1])),
            (float(vapor.pressure_pa[0]), float(vapor.enthalpy_j_kg[0])),
        )

    def _evaporating(self, line: ChartLine) -> None:
        """A temperature across the dome, which is level for one component."""
        ends = self._ends(line)
        if ends is not None:
            (pressure, liquid), (_, vapor) = ends
            level = DiagramLine(np.array([pressure, pressure]), np.array([liquid, vapor]))
            self._plot(level, _PENS[TEMPERATURE], AREA, TEMPERATURE)

    def _texts(self) -> None:
        """Texts of all lines, the more important first; one that has no room is left out."""
        temperatures, qualities = self._chart.of_kind(TEMPERATURE), self._chart.of_kind(QUALITY)
        foot = self._axes.box.bottom + _INSIDE + 0.5 * SIZE
        for line in temperatures:
            x = self._crossing(line.parts[-1], foot) if line.parts else None
            if x is not None:
                self._place(line.text, [(x, foot)])
        for line in temperatures:
            ends = self._ends(line)
            if ends is not None:
                wide = 0.5 * fonts.text_width(line.text, fonts.REGULAR, design.FINE) + _BESIDE_CURVE
                for end, way in zip(ends, (1.0, -1.0) if self._chart.is_blend else (1.0,), strict=False):
                    [(x, y)] = self._points(DiagramLine.through([end]))
                    self._place(line.text, [(x + way * wide, y)])
        for line in qualities:
            x = self._crossing(line.parts[0], foot)
            if x is not None:
                self._place(line.text, [(x, foot)])
        for kind in (ENTROPY, DENSITY):
            for line in self._chart.of_kind(kind):
                self._place(line.text, list(self._along(line.parts[0])))

    def _critical(self) -> None:
        """The critical point and its temperature."""
        end = self._chart.dew.enthalpy_j_kg[-1:], self._chart.dew.pressure_pa[-1:]
        [(x, y)] = self._points(DiagramLine(end[1], end[0]))
        self._axes.sketch.mark(x, y, "o", _MARK, Pen(design.THIN), design.BLACK, MARK, "critical point")
        text = wording.CRITICAL_POINT(temperature=self._formatter.degrees(self._chart.critical_temperature_k, 1))
        self._place(text, [(x, y + _OVER + 0.5 * SIZE), (x, y + 3.0 * _OVER + 0.5 * SIZE)])

    def _crossing(self, line: DiagramLine, y: float) -> float | None:
        """Where a line crosses a height [pt]; None if nowhere."""
        points = sorted((own_y, own_x) for own_x, own_y in self._points(line))
        if not points or not points[0][0] <= y <= points[-1][0]:
            return None
        return float(np.interp(y, [own for own, _ in points], [own for _, own in points]))

    def _along(self, line: DiagramLine) -> Iterator[Point]:
        """Places on a line inside the axes, from its end on."""
        box, every = self._axes.box, self._points(line)
        points = [p for p in every if box.left < p[0] < box.right and box.bottom < p[1] < box.top]
        if len(points) < 2:
            return
        steps = np.concatenate([[0.0], np.cumsum([math.dist(a, b) for a, b in itertools.pairwise(points)])])
        # A line that ends at the dome has its text well before it.
        ends_inside = points[-1] == every[-1]
        for share in _PLACES[_FIRST_INSIDE:] if ends_inside else _PLACES:
            at = (1.0 - share) * float(steps[-1])
            yield tuple(float(np.interp(at, steps, [p[i] for p in points])) for i in (0, 1))  # type: ignore[misc]

    def _place(self, text: str, places: Sequence[Point]) -> None:
        """Set a text at the first of some places where it is clear of others and inside the axes."""
        size, box = design.FINE, self._axes.box
        half, up = 0.5 * fonts.text_width(text, fonts.REGULAR, size), ABOVE * size * 0.5
        for x, y in places:
            own = Box(x - half, y - up - BELOW * size, x + half, y + up)
            is_inside = (
                box.left + _INSIDE < own.left and own.right < box.right - _INSIDE and own.top < box.top - _INSIDE
            )
            if (
                is_inside
                and own.bottom > box.bottom - BELOW * size
                and all(_apart(own, other) for other in self._taken)
            ):
                self._taken.append(own)
                self._axes.sketch.text(x, y, text, up="digits", size=size, pad=_PAD)
                return

    def _key(self) -> None:
        """What each kind of line is, under the axes."""
        label: Callable[[str], str] = lambda quantity: print_unit(quantity, self._formatter.system).label  # noqa: E731
        entries = (
            (_PENS[TEMPERATURE], wording.TEMPERATURE_KEY(unit=label("temperature"))),
            (_PENS[ENTROPY], wording.ENTROPY_KEY(unit=label("entropy"))),
            (_PENS[DENSITY], wording.DENSITY_KEY(unit=label("density"))),
            (_PENS[QUALITY], wording.QUALITY_KEY()),
        )
        widths = [fonts.text_width(text, fonts.REGULAR, SIZE) + _SAMPLE + GAP for _, text in entries]
        gap = min(_APART, (self._axes.box.width - sum(widths)) / max(len(entries) - 1, 1))
        x, y = self._axes.box.left, EDGE + 0.5 * SIZE
        for (pen, text), wide in zip(entries, widths, strict=True):
            self._axes.sketch.line([(x, y), (x + _SAMPLE, y)], pen, LINE)
            self._axes.sketch.text(x + _SAMPLE + GAP, y, text, side="left", up="digits")
            x += wide + gap


def _apart(first: Box, second: Box) -> bool:
    """Whether two texts are clear of each other."""
    return (
        first.right + _CLEAR < second.left
        or second.right + _CLEAR < first.left
        or first.top + _CLEAR < second.bottom
        or second.top + _CLEAR < first.bottom
    )
