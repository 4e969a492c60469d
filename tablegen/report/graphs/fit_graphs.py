"""Graphs of a fit: the flow laws, measured beside computed flow, the force balance, residuals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.figure import Figure

from tablegen.bench.result import BalanceTable, ConditionKey, FlowTable, Reading
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.report.answers.bench_findings import condition_text
from tablegen.report.pdf import vector
from tablegen.report.pdf.page import BLACK, BLUE, VERMILLION
from tablegen.report.rounding import decimals, round_half_even, without_zeros
from tablegen.units import print_unit
from tablegen.wording import fit as wording

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import SubFigure

    from tablegen.bench.result import BalanceResult, FlowResult, LackOfFit
    from tablegen.report.formatter import Formatter

_SIZE = 8.5
_BOX = {"fc": "w", "ec": "none", "pad": 1.0}
_MARKS = ("o", "s", "^", "D", "v", "p", "<", ">")
_FAINT = "#9A9A9A"
# Openings that are closer make no axis.
_ONE_OPENING = 0.02
# More outliers than this are not named beside their marks.
_NAMED = 8
_MAX_PANELS = 3
# Of the height, what graphs above and residuals below take.
_HEIGHTS = (270, 205)


def flow_graphs(
    flow: FlowResult,
    recovery: float | None,
    lacks: Sequence[LackOfFit],
    formatter: Formatter,
    size: tuple[float, float],
) -> Figure:
    """Laws, measured against computed flow, and residuals in one figure of a size [pt]; `recovery` is a fitted F_L."""
    with vector.style():
        figure = Figure(figsize=(size[0] / 72.0, size[1] / 72.0), dpi=72.0, layout="constrained")
        above, below = figure.subfigures(2, 1, height_ratios=_HEIGHTS, squeeze=False)[:, 0]
        laws, parity = above.subplots(1, 2)
        _draw_laws(laws, flow.table, recovery)
        _draw_parity(parity, flow.table, formatter)
        panels, residual = _flow_panels(flow, lacks, formatter)
        _draw_residuals(below, flow.table, panels, residual, wording.FLOW_RESIDUAL_AXIS())
    return figure


def balance_graphs(
    balance: BalanceResult, lacks: Sequence[LackOfFit], formatter: Formatter, size: tuple[float, float]
) -> Figure:
    """Spring force over opening, and residuals in one figure of a size [pt]."""
    with vector.style():
        figure = Figure(figsize=(size[0] / 72.0, size[1] / 72.0), dpi=72.0, layout="constrained")
        above, below = figure.subfigures(2, 1, height_ratios=_HEIGHTS, squeeze=False)[:, 0]
        _draw_springs(above.subplots(), balance.table, formatter)
        panels, residual = _balance_panels(balance, lacks, formatter)
        label = wording.BULB_RESIDUAL_AXIS(unit=print_unit("temperature difference", formatter.system).label)
        _draw_residuals(below, balance.table, panels, residual, label)
    return figure


def _draw_points(axes: Axes, x: Floats, y: Floats, marker: str = "o", face: str = "w") -> None:
    axes.plot(x, y, ls="none", ms=3.6, mec=BLACK, mew=0.6, marker=marker, mfc=face)


def _draw_outliers(axes: Axes, x: Floats, y: Floats, table: FlowTable | BalanceTable, is_named: bool = True) -> None:
    """Crosses, with the line of the file beside each on the side where there is space."""
    out = ~table.is_used
    axes.plot(x[out], y[out], ls="none", marker="x", ms=6.0, mec=VERMILLION, mew=1.6)
    if not is_named or out.sum() > _NAMED:
        return
    left, right = axes.get_xlim()
    for i in np.flatnonzero(out & np.isfinite(x) & np.isfinite(y)):
        is_right = x[i] > 0.5 * (left + right)
        offset, side = ((-6, 0), "right") if is_right else ((6, 0), "left")
        _label(axes, wording.LINE_LABEL(line=int(table.line[i])), (x[i], y[i]), offset, side)


def _label(
    axes: Axes,
    text: str,
    at: tuple[float, float],
    offset: tuple[float, float],
    side: str = "center",
    up: str = "center",
) -> None:
    axes.annotate(text, at, offset, textcoords="offset points", ha=side, va=up, fontsize=_SIZE, bbox=_BOX)


def _draw_laws(axes: Axes, table: FlowTable, recovery: float | None) -> None:
    """Measured flow over that of the orifice law, against the drop over p_1 - F_F p_v: one law is level, one falls."""
    x, y = table.choking, table.orifice_ratio
    right = 1.06 * max(float(x.max()), 1.0)
    along = np.linspace(0.0, right, 300)[1:]
    f_l = 1.0 if recovery is None else recovery
    falls = np.sqrt(np.minimum(1.0, f_l**2 / along))
    axes.axhline(1.0, color=BLACK, lw=1.4)
    axes.plot(along, falls, color=BLUE, lw=1.8, ls=(0, (5, 2)))
    _draw_points(axes, x[table.is_used], y[table.is_used])
    axes.set_xlim(0.0, right)
    low = min(0.9 * float(falls.min()), float(y.min()) - 0.03)
    axes.set_ylim(low, max(1.12, float(y.max()) + 0.05))
    # Where no rows are.
    ends = np.unique([0.0, *x, right])
    gap = int(np.argmax(np.diff(ends)))
    _label(axes, wording.ORIFICE_LINE(), (0.5 * (ends[gap] + ends[gap + 1]), 1.0), (0, 9))
    name = wording.CHOKED_LIMIT_LINE() if recovery is None else wording.CHOKED_LINE(recovery=decimals(f_l, 2))
    at = 0.97 * right
    _label(axes, name, (at, float(np.sqrt(min(1.0, f_l**2 / at)))), (0, -9), "right")
    _draw_outliers(axes, x, y, table)
    axes.set_xlabel(wording.LAW_DROP_AXIS())
    axes.set_ylabel(wording.LAW_FLOW_AXIS())
    axes.spines[["top", "right"]].set_visible(False)


def _draw_parity(axes: Axes, table: FlowTable, formatter: Formatter) -> None:
    """Measured against computed mass flow, a mark for each size."""
    unit = print_unit("mass flow", formatter.system)
    x, y = (np.array([unit.of(v) for v in flow]) for flow in (table.computed_kg_s, table.measured_kg_s))
    axes.set_xscale("log")
    axes.set_yscale("log")
    low, high = 0.8 * float(min(x.min(), y.min())), 1.25 * float(max(x.max(), y.max()))
    axes.plot((low, high), (low, high), color=_FAINT, lw=0.8, zorder=0)
    for i, size in enumerate(dict.fromkeys(table.size)):
        own = table.is_used & (table.size == size)
        _draw_points(axes, x[own], y[own], _MARKS[i % len(_MARKS)], "w" if i % 2 == 0 else _FAINT)
        if own.any():
            # Each size is named by its maximum flow, in turn above and below the line.
            top = int(np.argmax(np.where(own, x, -np.inf)))
            offset, side = ((-8, 4), "right") if i % 2 == 0 else ((8, -4), "left")
            _label(axes, wording.SIZE_LABEL(size=str(size)), (x[top], y[top]), offset, side)
    _draw_outliers(axes, x, y, table, is_named=False)
    ticks = [t for t in (step * 10.0**d for d in range(-3, 6) for step in (1, 2, 5)) if low <= t <= high]
    names = [without_zeros(round_half_even(t, 2)) for t in ticks]
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_ticks(ticks, names)
        axis.set_ticks([], minor=True)
    axes.set_xlim(low, high)
    axes.set_ylim(low, high)
    axes.set_xlabel(wording.COMPUTED_AXIS(unit=unit.label))
    axes.set_ylabel(wording.MEASURED_AXIS(unit=unit.label))
    axes.spines[["top", "right"]].set_visible(False)


def _draw_springs(axes: Axes, table: BalanceTable, formatter: Formatter) -> None:
    """What bulb and evaporator leave for the spring, the port's share taken off, against opening."""
    drop = print_unit("pressure difference", formatter.system)
    x = 100.0 * table.opening
    y, line = (np.array([drop.of(p) for p in pressure]) for pressure in (table.spring_pa, table.fitted_pa))
    for i, charge in enumerate(dict.fromkeys(table.charge)):
        own = table.charge == charge
        order = np.argsort(x[own])
        axes.plot(x[own][order], line[own][order], color=BLUE, lw=1.6, zorder=1)
        used = own & table.is_used
        _draw_points(axes, x[used], y[used], _MARKS[i % len(_MARKS)], "w" if i % 2 == 0 else _FAINT)
        end = int(np.argmax(np.where(own, x, -np.inf)))
        _label(axes, str(charge), (x[end], line[end]), (-4, 12), "right")
    axes.set_xlim(0.0, 1.08 * float(x.max()))
    axes.margins(y=0.12)
    _draw_outliers(axes, x, y, table)
    axes.set_xlabel(wording.STROKE_AXIS())
    axes.set_ylabel(wording.SPRING_AXIS(unit=drop.label))
    axes.spines[["top", "right"]].set_visible(False)


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


def _flow_panels(
    flow: FlowResult, lacks: Sequence[LackOfFit], formatter: Formatter
) -> tuple[list[ResidualPanel], Floats]:
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
    level = np.full(len(table.line), 200.0 * flow.flow_scatter)
    bounds = {Reading.PRESSURE_DROP: 200.0 * table.drop_spread, Reading.OPENING: 200.0 * table.opening_spread}
    usual = [Reading.PRESSURE_DROP, Reading.OPENING, Reading.LINE]
    if np.ptp(table.opening) < _ONE_OPENING:
        usual.remove(Reading.OPENING)
    panels = _panels(usual, lacks, columns, bounds, level, formatter)
    return panels, 100.0 * np.expm1(table.residual)


def _balance_panels(
    balance: BalanceResult, lacks: Sequence[LackOfFit], formatter: Formatter
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
    level = np.full(len(table.line), 2.0 * step.of(balance.scatter_k))
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
    figure: SubFigure,
    table: FlowTable | BalanceTable,
    panels: Sequence[ResidualPanel],
    residual: Floats,
    label: str,
) -> None:
    """Residuals against several readings side by side; dotted, the bounds of each panel.

    What is far out is drawn at the edge, or it would compress all else.
    """
    used = table.is_used
    every = figure.subplots(1, len(panels), sharey=True, squeeze=False)[0]
    reach = 1.5 * max(float(np.abs(residual[used]).max()), *(float(panel.bound.min()) for panel in panels))
    shown = np.clip(residual, -0.92 * reach, 0.92 * reach)
    is_marked = any(panel.is_off is not None for panel in panels)
    for axes, panel in zip(every, panels, strict=True):
        axes.axhline(0.0, color=BLACK, lw=0.8, zorder=0)
        order = np.argsort(panel.x)
        for sign in (1.0, -1.0):
            axes.plot(panel.x[order], sign * panel.bound[order], color=BLACK, lw=0.6, ls=(0, (1, 2)), zorder=0)
        _draw_points(axes, panel.x[used], shown[used])
        axes.set_ylim(-reach, (1.3 if is_marked else 1.0) * reach)
        axes.margins(x=0.08)
        axes.locator_params(axis="x", nbins=4)
        axes.set_xlabel(panel.label)
        if panel.names:
            axes.set_xticks(range(len(panel.names)), panel.names)
            axes.set_xlim(-0.5, len(panel.names) - 0.5)
        axes.spines[["top", "right"]].set_visible(False)
        if panel.is_off is not None:
            _mark(axes, panel, panel.is_off, shown, used)
        _draw_outliers(axes, panel.x, shown, table)
    every[0].set_ylabel(label)


def _mark(axes: Axes, panel: ResidualPanel, is_off: Bools, shown: Floats, used: Bools) -> None:
    """A bracket above the rows where the law does not fit, and these filled."""
    own, reach = is_off & used, -float(axes.get_ylim()[0])
    _draw_points(axes, panel.x[own], shown[own], face=BLACK)
    pad = 0.25 if panel.names else 0.0
    low, high = float(panel.x[is_off].min()) - pad, float(panel.x[is_off].max()) + pad
    style = {"arrowstyle": "|-|, widthA=0.2, widthB=0.2", "lw": 1.2, "shrinkA": 0, "shrinkB": 0}
    axes.annotate("", (low, 0.95 * reach), (high, 0.95 * reach), arrowprops=style)
    left, right = axes.get_xlim()
    is_right = 0.5 * (low + high) > 0.5 * (left + right)
    at, side = (high if is_right else low, 0.98 * reach), "right" if is_right else "left"
    axes.annotate(wording.LACK_LABEL(), at, (0, 3), textcoords="offset points", ha=side, va="bottom", fontsize=_SIZE)
