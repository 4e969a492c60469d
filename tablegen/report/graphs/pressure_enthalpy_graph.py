"""The pressure-enthalpy diagram: saturation dome, and the cycle at low head, rating point and high head on one SST."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.physics.pressure_enthalpy_lines import DiagramLine
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import EDGE, GAP, GRID_PEN, TICK, Axes, Scale, Tick, below, beside
from tablegen.report.graphs.sketch import BACK, LINE, MARK, SIZE, TEXT, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen, box_path
from tablegen.report.rounding import decimals
from tablegen.report.rows import HeadState
from tablegen.tables.pressure_enthalpy import BUBBLE_LINE, COMPRESSION, DEW_LINE
from tablegen.units import print_unit
from tablegen.wording import diagram as diagram_wording
from tablegen.wording import pressure_enthalpy as wording
from tablegen.wording import terms
from tablegen.wording.language import figure
from tablegen.wording.message import in_clauses

# Steps of the pressure axis in each power of ten; from one to the next at least [pt].
_STEPS, _APART = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0), 15.0
# The axis reaches so far above the highest head, as a ratio; rulers below the evaporator, and from one to the next [pt].
_HEADROOM, _RULERS, _RULER = 1.45, 22.0, 15.0
# Room for enthalpies beside the cycles and the dome, shares of their range.
_LEFT, _RIGHT = 0.08, 0.05
# Width of a bar, of an arrow's head and of a mark; white around texts on lines; between a text and its line [pt].
_BAR, _ARROW, _MARK, _PAD, _AIR = 8.0, 4.5, 6.0, 1.2, 3.0
# Where on its line the name of a head is, a share of what is free of bars, from low to high head.
_NAMED = (0.3, 0.5, 0.7)
_LARGE = design.PART
_DOME, _FRAME = Pen(design.THIN), Pen(design.RULE)
_EVAPORATOR, _COMPRESSION = Pen(design.HEAVY), Pen(design.LINE)
# By operating condition from low to high head: dashed, solid, chain, so that black alone keeps them apart.
_PENS = (Pen(design.STRONG, dashes=design.DASHED), Pen(design.HEAVY), Pen(design.STRONG, dashes=design.CHAIN))


@dataclass(frozen=True, slots=True, kw_only=True)
class PressureEnthalpy:
    """What a diagram shows, all from one model: dome, compression, and a cycle for each operating condition.

    A blank one has the same axes and the dome, to be drawn into. Gauges read above the pressure of the site [Pa]. Printed
    enthalpies count from a zero [J/kg], which `zero` describes; `name` stands over the axes.
    """

    bubble: DiagramLine
    dew: DiagramLine
    compression: DiagramLine
    cycles: Sequence[HeadState]
    site_pressure_pa: float
    zero_j_kg: float = 0.0
    zero: str = ""
    name: str = ""
    is_blank: bool = False

    @classmethod
    def of(cls, lines: pd.DataFrame, cycles: Sequence[HeadState], site_pressure_pa: float) -> PressureEnthalpy:
        """From the rows of `pressure_enthalpy.csv` of one refrigerant in one application."""

        def line(name: str) -> DiagramLine:
            own = lines[lines["curve"] == name]
            return DiagramLine(own["pressure_pa"].to_numpy(np.float64), own["enthalpy_j_kg"].to_numpy(np.float64))

        return cls(
            bubble=line(BUBBLE_LINE),
            dew=line(DEW_LINE),
            compression=line(COMPRESSION),
            cycles=cycles,
            site_pressure_pa=site_pressure_pa,
        )

    @property
    def pressures(self) -> tuple[float, float]:
        """Suction and the highest head [Pa]."""
        return self.cycles[0].suction_pressure_pa, max(cycle.head_pressure_pa for cycle in self.cycles)

    @property
    def enthalpies(self) -> tuple[float, float]:
        """The range [J/kg] that the axis shows."""
        own = [*self.bubble.enthalpy_j_kg, *self.dew.enthalpy_j_kg, *self.compression.enthalpy_j_kg]
        # The dome goes on to the left, where nothing happens.
        low, high = min(cycle.liquid_enthalpy_j_kg for cycle in self.cycles), float(np.nanmax(own))
        return low - _LEFT * (high - low), high + _RIGHT * (high - low)


def pressure_enthalpy_graph(diagram: PressureEnthalpy, formatter: Formatter, size: tuple[float, float]) -> Drawing:
    """Draw a diagram in a size [pt], in the units of a formatter."""
    pressure, enthalpy = (print_unit(quantity, formatter.system) for quantity in ("pressure", "enthalpy"))
    suction, highest = (pressure.of(own) for own in diagram.pressures)
    sketch = Sketch(*size)
    top, rulers = _HEADROOM * highest, _RULERS + _RULER * len(diagram.cycles)
    bottom, upper = below(), size[1] - EDGE - design.TABLE - GAP
    # So that the rulers have their room under the evaporator.
    free = upper - bottom - rulers
    low = suction * (suction / top) ** (rulers / free)
    y = Scale(low, top, is_log=True)
    ticks = pressure_ticks(low, top, upper - bottom)
    first, last = (enthalpy.of(value - diagram.zero_j_kg) for value in diagram.enthalpies)
    x = Scale(first, last)
    axes = Axes(sketch, Box(beside(ticks, has_name=False), bottom, size[0] - EDGE, upper), x, y)
    frame_diagram(
        axes, ticks, (wording.PRESSURE(unit=formatter.absolute_label), diagram.name), has_grid=diagram.is_blank
    )
    axes.x_axis(x.round_ticks(axes.box.width, is_upright=False), enthalpy_name(enthalpy.label, diagram.zero))
    for line, name in ((diagram.bubble, "bubble"), (diagram.dew, "dew")):
        own = [enthalpy.of(value - diagram.zero_j_kg) for value in line.enthalpy_j_kg]
        axes.plot(own, [pressure.of(value) for value in line.pressure_pa], _DOME, BACK, name=name)
    if not diagram.is_blank:
        _Solved(axes, diagram, formatter).draw()
    return sketch.drawing(wording.DIAGRAM())


def enthalpy_name(unit: str, zero: str) -> str:
    """The name of the axis of enthalpies, with what their zero is where that is stated."""
    return diagram_wording.ENTHALPY_FROM(unit=unit, zero=zero) if zero else wording.ENTHALPY(unit=unit)


def frame_diagram(axes: Axes, ticks: Sequence[Tick], names: tuple[str, str], *, has_grid: bool) -> None:
    """Levels, the axis of pressures, and over the axes its name and that of the diagram.

    A grid has upright lines too, so that figures can be entered and read.
    """
    for step, _ in ticks:
        axes.level(step, GRID_PEN, BACK)
    if has_grid:
        for place, _ in axes.x.round_ticks(axes.box.width, is_upright=False):
            axes.upright(place, GRID_PEN, BACK)
    axes.y_axis(ticks)
    sketch, top = axes.sketch, axes.sketch.height - EDGE
    sketch.text(EDGE, top, names[0], side="left", up="top", size=design.TABLE)
    if names[1]:
        sketch.text(axes.box.right, top, names[1], side="right", up="top", face=fonts.BOLD, size=design.TABLE)


def pressure_ticks(low: float, high: float, length: float) -> list[Tick]:
    """Round pressures on a log axis of a length [pt], no nearer to each other than their texts allow."""
    first, last = math.floor(math.log10(low)), math.ceil(math.log10(high))
    steps = [float(f"{step:g}e{power}") for power in range(first, last + 1) for step in _STEPS]
    found: list[Tick] = []
    scale = Scale(low, high, is_log=True)
    for step in steps:
        place = float(scale.share(step)) * length
        near = found and place - float(scale.share(found[-1][0])) * length < _APART
        if low <= step <= high and not near:
            found.append((step, figure(f"{step:g}")))
    return found


class _Solved:
    """The cycles of a diagram, drawn on its axes."""

    def __init__(self, axes: Axes, diagram: PressureEnthalpy, formatter: Formatter) -> None:
        self._axes, self._diagram, self._formatter = axes, diagram, formatter
        self._pressure = print_unit("pressure", formatter.system)
        self._enthalpy = print_unit("enthalpy", formatter.system)
        self._cycles = sorted(diagram.cycles, key=lambda cycle: cycle.head_pressure_pa)

    def draw(self) -> None:
        """Lines first, then bars over them, then texts."""
        for number, cycle in enumerate(self._cycles):
            self._condenser(cycle, number)
        self._evaporator()
        for cycle in self._cycles:
            self._bars(cycle)
        self._drops()
        for number, cycle in enumerate(self._cycles):
            self._ruler(cycle, number)
        self._legend()

    def _at(self, enthalpy_j_kg: float, pressure_pa: float) -> tuple[float, float]:
        """A point in printed units."""
        return self._enthalpy.of(enthalpy_j_kg - self._diagram.zero_j_kg), self._pressure.of(pressure_pa)

    def _line(self, points: Sequence[tuple[float, float]], pen: Pen, name: str) -> None:
        """A line through points of enthalpy [J/kg] and pressure [Pa]."""
        own = [self._at(*point) for point in points]
        self._axes.plot([h for h, _ in own], [p for _, p in own], pen, LINE, name)

    def _condenser(self, cycle: HeadState, number: int) -> None:
        """From the end of compression to the liquid at the valve, with the name of the head."""
        head_pa = cycle.head_pressure_pa
        end = self._diagram.compression.at(head_pa)
        end = self._diagram.dew.at(head_pa) if math.isnan(end) else end
        self._line([(end, head_pa), (cycle.liquid_enthalpy_j_kg, head_pa)], _PENS[number], "condenser")
        self._line(
            [(cycle.liquid_enthalpy_j_kg, head_pa), (cycle.liquid_enthalpy_j_kg, cycle.inlet_pressure_pa)],
            _PENS[1],
            "liquid line",
        )
        self._axes.marks(*self._at(cycle.liquid_enthalpy_j_kg, head_pa), "o", 0.8 * _MARK, _FRAME, design.BLACK)
        # Between the last bar and the end of the line.
        start = max(own.liquid_enthalpy_j_kg for own in self._cycles)
        place = self._at(start + _NAMED[number] * (end - start), head_pa)
        is_lowest = number == 0
        gauge = self._formatter.gauge(head_pa, self._diagram.site_pressure_pa)
        text = wording.HEAD(
            condition=terms.condition(cycle.condition),
            # As the axis has it, and as the tables have it.
            pressure=self._formatter.absolute(head_pa),
            gauge=self._formatter.with_gauge_unit(gauge),
        )
        self._axes.note(
            text,
            place,
            (0.0, -_AIR if is_lowest else _AIR),
            up="top" if is_lowest else "bottom",
            face=fonts.SEMIBOLD,
            pad=_PAD,
        )

    def _evaporator(self) -> None:
        """From the coldest liquid to the bulb, then suction and compression."""
        first = self._cycles[0]
        coldest = min(cycle.liquid_enthalpy_j_kg for cycle in self._cycles)
        bulb = first.vapor_enthalpy_j_kg, first.evaporating_pressure_pa
        self._line([(coldest, bulb[1]), bulb], _EVAPORATOR, "evaporator")
        line = self._diagram.compression
        known = np.isfinite(line.enthalpy_j_kg)
        if known.any():
            self._line(
                [bulb, (float(line.enthalpy_j_kg[known][0]), float(line.pressure_pa[known][0]))], _FRAME, "suction"
            )
            self._line(
                list(zip(line.enthalpy_j_kg[known], line.pressure_pa[known], strict=True)), _COMPRESSION, "compression"
            )
            start = self._at(float(line.enthalpy_j_kg[known][0]), float(line.pressure_pa[known][0]))
            self._axes.marks(*start, "o", 0.8 * _MARK, _FRAME, design.BLACK)
            self._axes.note(wording.COMPRESSOR(), start, (2.0 * _AIR, 0.0), side="left", face=fonts.SEMIBOLD, pad=_PAD)
        place = self._at(*bulb)
        self._axes.marks(*place, "o", 1.2 * _MARK, Pen(design.STRONG))
        self._axes.note(
            wording.BULB(), place, (-3.0 * _AIR, -_AIR), side="right", up="top", face=fonts.SEMIBOLD, pad=_PAD
        )
        middle = 0.55 * bulb[0] + 0.45 * max(cycle.liquid_enthalpy_j_kg for cycle in self._cycles)
        self._axes.note(
            wording.EVAPORATOR(), self._at(middle, bulb[1]), (0.0, _AIR), up="bottom", face=fonts.SEMIBOLD, pad=_PAD
        )

    def _bars(self, cycle: HeadState) -> None:
        """The pressure that the valve takes as a full bar, that of distributor and evaporator as a hollow one."""
        for ends, fill in (
            ((cycle.evaporating_pressure_pa, cycle.outlet_pressure_pa), design.WHITE),
            ((cycle.outlet_pressure_pa, cycle.inlet_pressure_pa), design.ACCENT),
        ):
            places = [self._axes.point(*self._at(cycle.liquid_enthalpy_j_kg, own)) for own in ends]
            x, (foot, top) = places[0][0], sorted(y for _, y in places)
            self._bar(Box(x - 0.5 * _BAR, foot, x + 0.5 * _BAR, top), fill)

    def _bar(self, box: Box, fill: str) -> None:
        self._axes.sketch.area(box_path(box), box, pen=_FRAME, fill=fill, layer=MARK)

    def _drops(self) -> None:
        """What each valve takes, beside its bar where there is room, inside the dome rather than on its line."""
        unit = print_unit("pressure difference", self._formatter.system)
        places = [self._axes.point(*self._at(c.liquid_enthalpy_j_kg, c.outlet_pressure_pa))[0] for c in self._cycles]
        for number, cycle in enumerate(self._cycles):
            drop = cycle.inlet_pressure_pa - cycle.outlet_pressure_pa
            text = decimals(unit.of(drop), 0)
            wide = fonts.text_width(text, fonts.BOLD, _LARGE) + _BAR + 2.0 * _AIR
            x = places[number]
            others = [other for other in places if other != x]
            has_right = all(not x < other < x + wide + _BAR for other in others)
            has_left = all(not x - wide - _BAR < other < x for other in others) and x - wide > self._axes.box.left
            middle = math.sqrt(cycle.outlet_pressure_pa * cycle.inlet_pressure_pa)
            _, y = self._axes.point(*self._at(cycle.liquid_enthalpy_j_kg, middle))
            if not (has_left or has_right):
                # Between two bars that are near each other: over its own.
                _, head = self._axes.point(*self._at(cycle.liquid_enthalpy_j_kg, cycle.head_pressure_pa))
                self._axes.sketch.text(
                    x + 0.5 * _BAR, head + _AIR, text, side="right", up="bottom", face=fonts.BOLD, size=_LARGE, pad=_PAD
                )
                continue
            offset = 0.5 * _BAR + _AIR
            self._axes.sketch.text(
                x + offset if has_right else x - offset,
                y,
                text,
                side="left" if has_right else "right",
                face=fonts.BOLD,
                size=_LARGE,
                pad=_PAD,
            )

    def _ruler(self, cycle: HeadState, number: int) -> None:
        """The refrigerating effect, from the liquid to the bulb."""
        sketch, evaporating = self._axes.sketch, cycle.evaporating_pressure_pa
        left, y = self._axes.point(*self._at(cycle.liquid_enthalpy_j_kg, evaporating))
        right, _ = self._axes.point(*self._at(cycle.vapor_enthalpy_j_kg, evaporating))
        y -= _RULERS + _RULER * number - 0.3 * _RULER
        sketch.line([(left, y), (right, y)], _PENS[number])
        sketch.mark(left + 0.5 * _ARROW, y, "<", _ARROW, _FRAME, design.BLACK, MARK)
        sketch.mark(right, y, "|", 1.8 * _ARROW, Pen(design.LINE), layer=MARK)
        text = decimals(self._enthalpy.of(cycle.effect_j_kg), 1)
        sketch.text(0.5 * (left + right), y, text, up="digits", face=fonts.BOLD, pad=_PAD)
        if number == len(self._cycles) // 2:
            label = wording.EFFECT(unit=self._enthalpy.label)
            # No further than the axes, whatever the language.
            left_of = self._axes.box.right - fonts.text_width(label, fonts.REGULAR, SIZE)
            sketch.text(min(right + 2.0 * _ARROW, left_of), y, label, side="left", up="digits", pad=_PAD)

    def _legend(self) -> None:
        """What the two kinds of bars are, in the upper left corner."""
        unit = print_unit("pressure difference", self._formatter.system).label
        x, y = self._axes.box.left + 2.0 * GAP + TICK, self._axes.box.top - 1.6 * SIZE
        for fill, text in ((design.ACCENT, wording.VALVE_BAR(unit=unit)), (design.WHITE, wording.REST_BAR())):
            self._bar(Box(x, y - 0.1 * SIZE, x + _BAR, y + 1.0 * SIZE), fill)
            box = self._axes.sketch.text(
                x + _BAR + _AIR,
                y + 0.45 * SIZE,
                text,
                side="left",
                up="digits",
                face=fonts.SEMIBOLD,
                pad=_PAD,
                layer=TEXT,
            )
            x = box.right + 4.0 * GAP


def alternative_text(diagram: PressureEnthalpy, formatter: Formatter, refrigerant: str) -> str:
    """What a diagram shows, for readers who cannot see it."""
    if diagram.is_blank:
        return wording.BLANK_ALT(refrigerant=refrigerant)
    unit = print_unit("enthalpy", formatter.system)
    cycles = (
        wording.CYCLE_ALT(
            condition=terms.condition(cycle.condition),
            drop=formatter.drop(cycle.inlet_pressure_pa - cycle.outlet_pressure_pa, 0),
            effect=f"{decimals(unit.of(cycle.effect_j_kg), 1)} {unit.label}",
        )
        for cycle in diagram.cycles
    )
    return wording.ALT(refrigerant=refrigerant, cycles=in_clauses(cycles))
