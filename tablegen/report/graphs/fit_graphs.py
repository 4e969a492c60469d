"""Graphs of a fit: the flow laws, measured beside computed flow, the force balance, residuals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from tablegen.bench.result import BalanceTable, ConditionKey, FlowTable, Reading
from tablegen.bench.specimens import unlabeled
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.report.answers.bench_findings import condition_text
from tablegen.report.graphs.axes import EDGE, Axes, Scale, Tick, below, beside, framed
from tablegen.report.graphs.sketch import AXIS, BACK, MARK, Point, Sketch
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import PROJECTING, Box, Drawing, Pen
from tablegen.report.rounding import decimals, round_half_even, without_zeros
from tablegen.units import print_unit
from tablegen.wording import fit as wording

if TYPE_CHECKING:
    from tablegen.bench.balance_fit import BalanceFit
    from tablegen.bench.flow_fit import FlowFit
    from tablegen.bench.result import LackOfFit
    from tablegen.report.formatter import Formatter

_PAD = 1.0
_MARKS = ("o", "s", "^", "D", "v", "p", "<", ">")
# Openings that are closer make no axis.
_ONE_OPENING = 0.02
# More outliers than this are not named beside their marks.
_NAMED = 8
_MAX_PANELS = 3
# Of the height, what graphs above take; the rest is that of residuals below.
_ABOVE = 270.0 / 475.0
# Between panels of residuals [pt]; steps of their axes; half the height of the ends of a bracket.
_BETWEEN, _STEPS, _BRACKET = 10.0, 4, 1.8


def flow_graphs(
    flow: FlowFit,
    recovery: float | None,
    lacks: Sequence[LackOfFit],
    formatter: Formatter,
    size: tuple[float, float],
) -> Drawing:
    """Laws, measured against computed flow, and residuals in one figure of a size [pt]; `recovery` is a fitted F_L."""
    sketch, (width, height) = Sketch(*size), size
    foot = (1.0 - _ABOVE) * height
    _draw_laws(sketch, Box(0.0, foot, 0.5 * width, height), flow.table, recovery)
    _draw_parity(sketch, Box(0.5 * width, foot, width, height), flow.table, formatter)
    panels, residual = _flow_panels(flow, lacks, formatter)
    _draw_residuals(sketch, foot, flow.table, panels, residual, wording.FLOW_RESIDUAL_AXIS())
    return sketch.drawing(wording.LAW_FLOW_AXIS())


def balance_graphs(
    balance: BalanceFit, lacks: Sequence[LackOfFit], formatter: Formatter, size: tuple[float, float]
) -> Drawing:
    """Spring force over opening, and residuals in one figure of a size [pt]."""
    sketch, (width, height) = Sketch(*size), size
    foot = (1.0 - _ABOVE) * height
    name = wording.SPRING_AXIS(unit=print_unit("pressure difference", formatter.system).label)
    _draw_springs(sketch, Box(0.0, foot, width, height), balance.table, formatter, name)
    panels, residual = _balance_panels(balance, lacks, formatter)
    label = wording.BULB_RESIDUAL_AXIS(unit=print_unit("temperature difference", formatter.system).label)
    _draw_residuals(sketch, foot, balance.table, panels, residual, label)
    return sketch.drawing(name)


def _draw_points(axes: Axes, x: Floats, y: Floats, marker: str = "o", fill: str = design.WHITE) -> None:
    axes.marks(x, y, marker, 3.6, Pen(design.THIN), fill)


def _draw_outliers(axes: Axes, x: Floats, y: Floats, table: FlowTable | BalanceTable, is_named: bool = True) -> None:
    """Crosses, with the line of the file beside each on the side where there is space."""
    out = ~table.is_used
    axes.marks(x[out], y[out], "x", 6.0, Pen(design.STRONG))
    if not is_named or out.sum() > _NAMED:
        return
    for i in np.flatnonzero(out & np.isfinite(x) & np.isfinite(y)).tolist():
        is_right = float(axes.x.share(x[i])) > 0.5
        offset, side = ((-6.0, 0.0), "right") if is_right else ((6.0, 0.0), "left")
        text = wording.LINE_LABEL(line=int(table.line[i]))
        axes.note(text, (float(x[i]), float(y[i])), offset, side=side, pad=_PAD)


def _draw_laws(sketch: Sketch, outer: Box, table: FlowTable, recovery: float | None) -> None:
    """Measured flow over that of the orifice law, against the drop over p_1 - F_F p_v: one law is level, one falls."""
    x, y = table.choking, table.orifice_ratio
    right = 1.06 * max(float(x.max()), 1.0)
    along = np.linspace(0.0, right, 300)[1:]
    f_l = 1.0 if recovery is None else recovery
    falls = np.sqrt(np.minimum(1.0, f_l**2 / along))
    low = min(0.9 * float(falls.min()), float(y.min()) - 0.03)
    up = Scale(low, max(1.12, float(y.max()) + 0.05))
    axes = framed(sketch, outer, Scale(0.0, right), up, (wording.LAW_DROP_AXIS(), wording.LAW_FLOW_AXIS()))
    axes.level(1.0, Pen(design.STRONG))
    axes.plot(along, falls, Pen(design.STRONG, design.ACCENT, design.DASHED))
    _draw_points(axes, x[table.is_used], y[table.is_used])
    # Where no rows are.
    ends = np.unique([0.0, *x, right])
    gap = int(np.argmax(np.diff(ends)))
    axes.note(wording.ORIFICE_LINE(), (0.5 * float(ends[gap] + ends[gap + 1]), 1.0), (0.0, 9.0), pad=_PAD)
    name = wording.CHOKED_LIMIT_LINE() if recovery is None else wording.CHOKED_LINE(recovery=decimals(f_l, 2))
    at = 0.97 * right
    axes.note(name, (at, float(np.sqrt(min(1.0, f_l**2 / at)))), (0.0, -9.0), side="right", pad=_PAD)
    _draw_outliers(axes, x, y, table)


def _draw_parity(sketch: Sketch, outer: Box, table: FlowTable, formatter: Formatter) -> None:
    """Measured against computed mass flow, a mark for each size."""
    unit = print_unit("mass flow", formatter.system)
    x, y = (np.array([unit.of(v) for v in flow]) for flow in (table.computed_kg_s, table.measured_kg_s))
    low, high = 0.8 * float(min(x.min(), y.min())), 1.25 * float(max(x.max(), y.max()))
    places = [t for t in (step * 10.0**d for d in range(-3, 6) for step in (1, 2, 5)) if low <= t <= high]
    ticks: list[Tick] = [(t, without_zeros(round_half_even(t, 2))) for t in places]
    scale = Scale(low, high, is_log=True)
    names = wording.COMPUTED_AXIS(unit=unit.label), wording.MEASURED_AXIS(unit=unit.label)
    axes = framed(sketch, outer, scale, scale, names, ticks=ticks)
    axes.plot((low, high), (low, high), Pen(design.RULE, design.GRAY), BACK)
    sizes = np.array([unlabeled(str(size)) for size in table.size], dtype=object)
    for i, size in enumerate(dict.fromkeys(sizes)):
        own = table.is_used & (sizes == size)
        _draw_points(axes, x[own], y[own], *_look(i))
        if own.any():
            # Each size is named by its maximum flow, in turn above and below the line.
            top = int(np.argmax(np.where(own, x, -np.inf)))
            offset, side = ((-8.0, 4.0), "right") if i % 2 == 0 else ((8.0, -4.0), "left")
            text = wording.SIZE_LABEL(size=str(size))
            axes.note(text, (float(x[top]), float(y[top])), offset, side=side, pad=_PAD)
    _draw_outliers(axes, x, y, table, is_named=False)


def _look(number: int) -> tuple[str, str]:
    """Shape and filling of the marks of one of several series."""
    return _MARKS[number % len(_MARKS)], design.WHITE if number % 2 == 0 else design.GRAY


def _draw_springs(sketch: Sketch, outer: Box, table: BalanceTable, formatter: Formatter, name: str) -> None:
    """What bulb and evaporator leave for the spring, the port's share taken off, against opening."""
    drop = print_unit("pressure difference", formatter.system)
    x = 100.0 * table.opening
    y, line = (np.array([drop.of(p) for p in pressure]) for pressure in (table.spring_pa, table.fitted_pa))
    shown = np.concatenate([line, y[table.is_used]])
    axes = framed(
        sketch, outer, Scale(0.0, 1.08 * float(x.max())), Scale.around(shown, 0.12), (wording.STROKE_AXIS(), name)
    )
    named: set[str] = set()
    for i, charge in enumerate(dict.fromkeys(table.charge)):
        own = table.charge == charge
        order = np.argsort(x[own])
        axes.plot(x[own][order], line[own][order], Pen(design.STRONG, design.ACCENT, cap=PROJECTING), AXIS)
        used = own & table.is_used
        _draw_points(axes, x[used], y[used], *_look(i))
        end = int(np.argmax(np.where(own, x, -np.inf)))
        if (name := unlabeled(str(charge))) not in named:
            # Specimens have a line each, and the first of a charge its name.
            named.add(name)
            axes.note(name, (float(x[end]), float(line[end])), (-4.0, 12.0), side="right", pad=_PAD)
    _draw_outliers(axes, x, y, table)


@dataclass(frozen=True, slots=True, kw_only=True)
class ResidualPanel:
    """Residuals against one reading: axis label, values, and the bound to dot.

    `names` are tick labels where the reading is a name, `is_off` the rows where the law does not fit.
    """

    reading: Reading
    label: str
    x: Floats
    bound: Floats
    names: tuple[str, ...] = ()
    is_off: Bools | None = None


def _flow_panels(flow: FlowFit, lacks: Sequence[LackOfFit], formatter: Formatter) -> tuple[list[ResidualPanel], Floats]:
    """Relative residuals of mass flow [%] against drop, opening and line of the file, or where the law does not fit."""
    table = flow.table
    columns: dict[Reading, Floats | Names] = {
        Reading.PRESSURE_DROP: table.pressure_drop_pa,
        Reading.OPENING: table.opening,
        Reading.LINE: table.line,
        Reading.INLET_SUBCOOLING: table.inlet_subcooling_k,
        Reading.CHOKING: table.choking,
        Reading.SIZE: table.size,
        Reading.REFRIGERANT: table.refrigerant,
    }
    level = np.full(len(table.line), 200.0 * flow.shown.flow)
    bounds = {Reading.PRESSURE_DROP: 200.0 * table.drop_spread, Reading.OPENING: 200.0 * table.opening_spread}
    usual = [Reading.PRESSURE_DROP, Reading.OPENING, Reading.LINE]
    if np.ptp(table.opening) < _ONE_OPENING:
        usual.remove(Reading.OPENING)
    panels = _panels(usual, lacks, columns, bounds, level, formatter)
    return panels, 100.0 * np.expm1(table.residual)


def _balance_panels(
    balance: BalanceFit, lacks: Sequence[LackOfFit], formatter: Formatter
) -> tuple[list[ResidualPanel], Floats]:
    """Residuals in bulb temperature against opening, drop and bulb temperature, or where the law does not fit."""
    table, step = balance.table, print_unit("temperature difference", formatter.system)
    columns: dict[Reading, Floats | Names] = {
        Reading.OPENING: table.opening,
        Reading.PRESSURE_DROP: table.pressure_drop_pa,
        Reading.BULB_TEMPERATURE: table.bulb_temperature_k,
        Reading.SIZE: table.size,
        Reading.LINE: table.line,
    }
    level = np.full(len(table.line), 2.0 * step.of(balance.fit.scatter))
    usual = [Reading.OPENING, Reading.PRESSURE_DROP, Reading.BULB_TEMPERATURE]
    panels = _panels(usual, lacks, columns, {}, level, formatter)
    return panels, np.array([step.of(k) for k in table.residual_k])


def _panels(
    usual: Sequence[Reading],
    lacks: Sequence[LackOfFit],
    columns: dict[Reading, Floats | Names],
    bounds: dict[Reading, Floats],
    level: Floats,
    formatter: Formatter,
) -> list[ResidualPanel]:
    """Panels of the readings under which rows are off the law, marked, before the usual ones; three at most."""
    found: dict[Reading, ResidualPanel] = {}
    for lack in lacks:
        reading = lack.condition.reading
        if reading not in found:
            values = columns[reading]
            is_off = values == lack.group if reading.is_name else (values >= lack.low) & (values <= lack.high)
            panel = _panel(reading, condition_text(lack.condition), values, bounds.get(reading, level), formatter)
            found[reading] = replace(panel, is_off=np.asarray(is_off, dtype=bool))
    for reading in usual:
        if reading not in found:
            text = condition_text(ConditionKey(reading))
            found[reading] = _panel(reading, text, columns[reading], bounds.get(reading, level), formatter)
    return list(found.values())[:_MAX_PANELS]


def _panel(reading: Reading, text: str, values: Floats | Names, bound: Floats, formatter: Formatter) -> ResidualPanel:
    if reading.is_name:
        names = tuple(dict.fromkeys(map(str, values)))
        x = np.array([names.index(str(v)) for v in values], dtype=np.float64)
        return ResidualPanel(reading=reading, label=text, x=x, bound=bound, names=names)
    numbers, label = np.asarray(values, dtype=np.float64), text
    if reading.dimension == "share":
        numbers, label = 100.0 * numbers, wording.AXIS(quantity=text, unit="%")
    elif reading.dimension:
        unit = print_unit(reading.dimension, formatter.system)
        numbers = np.array([unit.of(v) for v in numbers])
        label = wording.AXIS(quantity=text, unit=unit.label)
    return ResidualPanel(reading=reading, label=label, x=numbers, bound=bound)


def _draw_residuals(
    sketch: Sketch,
    top: float,
    table: FlowTable | BalanceTable,
    panels: Sequence[ResidualPanel],
    residual: Floats,
    label: str,
) -> None:
    """Residuals against several readings side by side, up to a height; dotted, the bounds of each panel.

    What is far out is drawn at the edge, or it would compress all else.
    """
    used = table.is_used
    reach = 1.5 * max(float(np.abs(residual[used]).max()), *(float(panel.bound.min()) for panel in panels))
    shown = np.clip(residual, -0.92 * reach, 0.92 * reach)
    is_marked = any(panel.is_off is not None for panel in panels)
    up = Scale(-reach, (1.3 if is_marked else 1.0) * reach)
    ticks = up.round_ticks(top - EDGE - below(), is_upright=True)
    left = beside(ticks)
    wide = (sketch.width - left - EDGE - (len(panels) - 1) * _BETWEEN) / len(panels)
    for number, panel in enumerate(panels):
        start = left + number * (wide + _BETWEEN)
        across = Scale(-0.5, len(panel.names) - 0.5) if panel.names else Scale.around(panel.x, 0.08)
        axes = Axes(sketch, Box(start, below(), start + wide, top - EDGE), across, up)
        axes.level(0.0, Pen(design.RULE), BACK)
        order = np.argsort(panel.x)
        for sign in (1.0, -1.0):
            axes.plot(panel.x[order], sign * panel.bound[order], Pen(design.THIN, dashes=design.DOTTED), BACK)
        _draw_points(axes, panel.x[used], shown[used])
        if panel.is_off is not None:
            _mark(axes, panel, panel.is_off, shown, used)
        _draw_outliers(axes, panel.x, shown, table)
        named: list[Tick] = [(float(i), name) for i, name in enumerate(panel.names)]
        axes.x_axis(named or across.round_ticks(wide, is_upright=False, most=_STEPS), panel.label)
        axes.y_axis(ticks if number == 0 else [(place, "") for place, _ in ticks], "" if number else label)


def _mark(axes: Axes, panel: ResidualPanel, is_off: Bools, shown: Floats, used: Bools) -> None:
    """A bracket above the rows where the law does not fit, and these filled."""
    own, reach = is_off & used, -axes.y.low
    _draw_points(axes, panel.x[own], shown[own], fill=design.BLACK)
    pad = 0.25 if panel.names else 0.0
    low, high = float(panel.x[is_off].min()) - pad, float(panel.x[is_off].max()) + pad
    (left, y), (right, _) = axes.point(low, 0.95 * reach), axes.point(high, 0.95 * reach)
    lines: tuple[tuple[Point, Point], ...] = (
        ((left, y), (right, y)),
        ((left, y - _BRACKET), (left, y + _BRACKET)),
        ((right, y - _BRACKET), (right, y + _BRACKET)),
    )
    for line in lines:
        axes.sketch.line(line, Pen(design.LINE), MARK)
    is_right = float(axes.x.share(0.5 * (low + high))) > 0.5
    at, side = (high if is_right else low, 0.98 * reach), "right" if is_right else "left"
    axes.note(wording.LACK_LABEL(), at, (0.0, 3.0), side=side, up="bottom")
