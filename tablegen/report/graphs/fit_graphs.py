"""Graphs of a fit: the flow laws, measured beside computed flow, the balance of forces, residuals."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from matplotlib.figure import Figure
from numpy.typing import NDArray

from tablegen.report.fit_words import signed
from tablegen.report.formatter import Formatter
from tablegen.report.pdf import vector
from tablegen.report.pdf.page import BLACK, BLUE, VERMILLION
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.units import print_unit

Floats = NDArray[np.float64]
_SIZE = 8.5
_BOX = {"fc": "w", "ec": "none", "pad": 1.0}
_POINT: dict[str, Any] = {"ls": "none", "ms": 3.6, "mec": BLACK, "mew": 0.6}
_OUTLIER: dict[str, Any] = {"ls": "none", "marker": "x", "ms": 6.0, "mec": VERMILLION, "mew": 1.6}
_MARKS = ("o", "s", "^", "D", "v", "p", "<", ">")
_FAINT = "#9A9A9A"
# Openings that lie closer make no axis.
_ONE_OPENING = 0.02
# Conditions that a picture has under another key.
_KEYS = {
    "inlet_subcooling": "inlet_subcooling_k",
    "pressure_drop": "pressure_drop_pa",
    "bulb_temperature": "bulb_temperature_k",
}
# More outliers than this are not named beside their marks.
_NAMED = 8


def _array(values: Sequence[float | None]) -> Floats:
    return np.array([np.nan if v is None else v for v in values], dtype=np.float64)


def _name_outliers(axes: Any, x: Floats, y: Floats, picture: Mapping[str, Any]) -> None:
    """The line of the file beside each outlier's mark, on the side where there is room."""
    out = ~np.array(picture["is_used"], dtype=bool)
    if out.sum() > _NAMED:
        return
    left, right = axes.get_xlim()
    for i in np.flatnonzero(out & np.isfinite(x) & np.isfinite(y)):
        is_right = x[i] > 0.5 * (left + right)
        axes.annotate(
            f"line {picture['line'][i]}",
            (x[i], y[i]),
            (-6 if is_right else 6, 0),
            va="center",
            textcoords="offset points",
            ha="right" if is_right else "left",
            fontsize=_SIZE,
            bbox=_BOX,
        )


def law_graph(flow: Mapping[str, Any], recovery: float | None) -> Figure:
    """Measured flow over that of the orifice law, against the drop over p_1 - F_F p_v: one law is level, one falls."""
    picture = flow["picture"]
    x, y = _array(picture["choking"]), _array(picture["orifice_ratio"])
    used = np.array(picture["is_used"], dtype=bool)
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        right = 1.06 * max(float(x.max()), 1.0)
        along = np.linspace(0.0, right, 300)[1:]
        f_l = 1.0 if recovery is None else recovery
        falls = np.sqrt(np.minimum(1.0, f_l**2 / along))
        axes.axhline(1.0, color=BLACK, lw=1.4)
        axes.plot(along, falls, color=BLUE, lw=1.8, ls=(0, (5, 2)))
        axes.plot(x[used], y[used], marker="o", mfc="w", **_POINT)
        axes.plot(x[~used], y[~used], **_OUTLIER)
        axes.set_xlim(0.0, right)
        low = min(0.9 * float(falls.min()), float(y.min()) - 0.03)
        axes.set_ylim(low, max(1.12, float(y.max()) + 0.05))
        # Where no rows stand.
        places = np.unique([0.0, *x, right])
        gap = int(np.argmax(np.diff(places)))
        axes.annotate(
            "orifice",
            (0.5 * (places[gap] + places[gap + 1]), 1.0),
            (0, 9),
            textcoords="offset points",
            ha="center",
            va="center",
            fontsize=_SIZE,
            bbox=_BOX,
        )
        name = "choked, recovery factor 1, the most" if recovery is None else f"choked, recovery factor {f_l:.2f}"
        at = 0.97 * right
        axes.annotate(
            name,
            (at, float(np.sqrt(min(1.0, f_l**2 / at)))),
            (0, -9),
            textcoords="offset points",
            ha="right",
            va="center",
            fontsize=_SIZE,
            bbox=_BOX,
        )
        _name_outliers(axes, x, y, picture)
        axes.set_xlabel("drop over where choking begins at recovery factor 1")
        axes.set_ylabel("flow over that of the orifice law")
        axes.spines[["top", "right"]].set_visible(False)
    return figure


def parity_graph(flow: Mapping[str, Any], formatter: Formatter) -> Figure:
    """Measured against computed mass flow, a mark for each size."""
    picture, unit = flow["picture"], print_unit("mass flow", formatter.system)
    x, y = (np.array([unit.of(v) for v in picture[key]]) for key in ("computed_kg_s", "measured_kg_s"))
    used, sizes = np.array(picture["is_used"], dtype=bool), np.array(picture["size"])
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        axes.set_xscale("log")
        axes.set_yscale("log")
        ends = 0.8 * min(x.min(), y.min()), 1.25 * max(x.max(), y.max())
        axes.plot(ends, ends, color=_FAINT, lw=0.8, zorder=0)
        for i, size in enumerate(dict.fromkeys(picture["size"])):
            own = used & (sizes == size)
            axes.plot(x[own], y[own], marker=_MARKS[i % len(_MARKS)], mfc="w" if i % 2 == 0 else _FAINT, **_POINT)
            if own.any():
                # Each size is named by its maximum flow, in turn above and below the line.
                top = int(np.argmax(np.where(own, x, -np.inf)))
                offset, side = ((-8, 4), "right") if i % 2 == 0 else ((8, -4), "left")
                axes.annotate(
                    f"size {size}",
                    (x[top], y[top]),
                    offset,
                    textcoords="offset points",
                    ha=side,
                    va="center",
                    fontsize=_SIZE,
                    bbox=_BOX,
                )
        axes.plot(x[~used], y[~used], **_OUTLIER)
        ticks = [t for t in (step * 10.0**d for d in range(-3, 6) for step in (1, 2, 5)) if ends[0] <= t <= ends[1]]
        names = [without_zeros(round_half_even(t, 2)) for t in ticks]
        for axis in (axes.xaxis, axes.yaxis):
            axis.set_ticks(ticks, names)
            axis.set_ticks([], minor=True)
        axes.set_xlim(*ends)
        axes.set_ylim(*ends)
        axes.set_xlabel(f"computed mass flow, {unit.label}")
        axes.set_ylabel(f"measured, {unit.label}")
        axes.spines[["top", "right"]].set_visible(False)
    return figure


@dataclass(frozen=True, slots=True)
class Panel:
    """Residuals against one reading: its key in the picture, axis label, values and the bound to dot.

    `names` are tick labels where the reading is a name, `at_issue` the rows where the law does not fit.
    """

    key: str
    label: str
    x: Floats
    bound: Floats
    names: tuple[str, ...] = ()
    at_issue: NDArray[np.bool_] | None = None


def _with_lack_of_fit(
    panels: list[Panel],
    picture: Mapping[str, Any],
    lacks: Sequence[Mapping[str, Any]],
    level: Floats,
    formatter: Formatter,
) -> list[Panel]:
    """Panels of the conditions under which rows lie off the law, marked, before the others; three at most."""
    found: list[Panel] = []
    for lack in lacks:
        key = _KEYS.get(lack["condition"], lack["condition"])
        panel = next((p for p in panels if p.key == key), None) or _panel(key, lack, picture, level, formatter)
        if lack["kind"]:
            values = _array(picture[key])
            at_issue = (values >= lack["low"]) & (values <= lack["high"])
        else:
            at_issue = np.array([str(v) == lack["group"] for v in picture[key]])
        if all(p.key != key for p in found):
            found.append(replace(panel, at_issue=at_issue))
    return [*found, *(p for p in panels if all(p.key != other.key for other in found))][:3]


def _panel(key: str, lack: Mapping[str, Any], picture: Mapping[str, Any], level: Floats, formatter: Formatter) -> Panel:
    if not lack["kind"]:
        names = tuple(dict.fromkeys(map(str, picture[key])))
        return Panel(key, lack["words"], _array([names.index(str(v)) for v in picture[key]]), level, names)
    if lack["kind"] in ("share", "count"):
        unit, factor = (", %", 100.0) if lack["kind"] == "share" else ("", 1.0)
        return Panel(key, signed(lack["words"]) + unit, factor * _array(picture[key]), level)
    print_as = print_unit(lack["kind"], formatter.system)
    return Panel(key, f"{lack['formatter']}, {print_as.label}", np.array([print_as.of(v) for v in picture[key]]), level)


def residual_graph(picture: Mapping[str, Any], panels: Sequence[Panel], residual: Floats, label: str) -> Figure:
    """Residuals against several readings side by side; dotted, the bounds of each panel.

    What lies far out is drawn at the edge, or it would press all else together.
    """
    used = np.array(picture["is_used"], dtype=bool)
    with vector.style():
        figure = Figure(layout="constrained")
        every: Any = figure.subplots(1, len(panels), sharey=True)
        reach = 1.5 * max(float(np.abs(residual[used]).max()), *(float(panel.bound.min()) for panel in panels))
        shown = np.clip(residual, -0.92 * reach, 0.92 * reach)
        is_marked = any(panel.at_issue is not None for panel in panels)
        for axes, panel in zip(np.atleast_1d(every), panels, strict=True):
            x = panel.x
            axes.axhline(0.0, color=BLACK, lw=0.8, zorder=0)
            order = np.argsort(x)
            for sign in (1.0, -1.0):
                axes.plot(x[order], sign * panel.bound[order], color=BLACK, lw=0.6, ls=(0, (1, 2)), zorder=0)
            axes.plot(x[used], shown[used], marker="o", mfc="w", **_POINT)
            axes.plot(x[~used], shown[~used], **_OUTLIER)
            axes.set_ylim(-reach, (1.3 if is_marked else 1.0) * reach)
            axes.margins(x=0.08)
            axes.locator_params(axis="x", nbins=4)
            axes.set_xlabel(panel.label)
            if panel.names:
                axes.set_xticks(range(len(panel.names)), panel.names)
                axes.set_xlim(-0.5, len(panel.names) - 0.5)
            axes.spines[["top", "right"]].set_visible(False)
            if panel.at_issue is not None:
                _mark(axes, panel, panel.at_issue, shown, used)
            _name_outliers(axes, x, shown, picture)
        np.atleast_1d(every)[0].set_ylabel(label)
    return figure


def _mark(axes: Any, panel: Panel, at_issue: NDArray[np.bool_], shown: Floats, used: NDArray[np.bool_]) -> None:
    """A bracket above the rows where the law does not fit, and these filled."""
    own, reach = at_issue & used, -float(axes.get_ylim()[0])
    axes.plot(panel.x[own], shown[own], **{**_POINT, "marker": "o", "mfc": BLACK})
    pad = 0.25 if panel.names else 0.0
    low, high = float(panel.x[at_issue].min()) - pad, float(panel.x[at_issue].max()) + pad
    style = {"arrowstyle": "|-|, widthA=0.2, widthB=0.2", "lw": 1.2, "shrinkA": 0, "shrinkB": 0}
    axes.annotate("", (low, 0.95 * reach), (high, 0.95 * reach), arrowprops=style)
    left, right = axes.get_xlim()
    is_right = 0.5 * (low + high) > 0.5 * (left + right)
    axes.annotate(
        "lack of fit",
        (high if is_right else low, 0.98 * reach),
        (0, 3),
        textcoords="offset points",
        ha="right" if is_right else "left",
        va="bottom",
        fontsize=_SIZE,
    )


def flow_residuals(flow: Mapping[str, Any], lacks: Sequence[Mapping[str, Any]], formatter: Formatter) -> Figure:
    """Relative residuals of mass flow against drop, opening and line of the file, or where the law does not fit."""
    picture, drop = flow["picture"], print_unit("pressure difference", formatter.system)
    by_opening, by_drop = (200.0 * _array(picture[key]) for key in ("opening_spread", "drop_spread"))
    level = np.full(len(by_drop), 200.0 * flow["flow_scatter"])
    drops = np.array([drop.of(p) for p in picture["pressure_drop_pa"]])
    panels = [
        Panel("pressure_drop_pa", f"pressure drop, {drop.label}", drops, by_drop),
        Panel("opening", "opening, %", 100.0 * _array(picture["opening"]), by_opening),
        Panel("line", "line of the file", _array(picture["line"]), level),
    ]
    if np.ptp(_array(picture["opening"])) < _ONE_OPENING:
        del panels[1]
    panels = _with_lack_of_fit(panels, picture, lacks, level, formatter)
    residual = 100.0 * np.expm1(_array(picture["residual"]))
    return residual_graph(picture, panels, residual, "mass flow off the fit, %")


def balance_residuals(balance: Mapping[str, Any], lacks: Sequence[Mapping[str, Any]], formatter: Formatter) -> Figure:
    """Residuals in bulb temperature against opening, drop and bulb temperature, or what they lie off under."""
    picture, drop = balance["picture"], print_unit("pressure difference", formatter.system)
    step, temperature = (
        print_unit("temperature difference", formatter.system),
        print_unit("temperature", formatter.system),
    )
    residual = np.array([step.of(k) for k in picture["residual_k"]])
    level = np.full(len(residual), 2.0 * step.of(balance["scatter_k"]))
    bulb = np.array([temperature.of(t) for t in picture["bulb_temperature_k"]])
    drops = np.array([drop.of(p) for p in picture["pressure_drop_pa"]])
    panels = [
        Panel("opening", "opening, %", 100.0 * _array(picture["opening"]), level),
        Panel("pressure_drop_pa", f"pressure drop, {drop.label}", drops, level),
        Panel("bulb_temperature_k", f"bulb temperature, {temperature.label}", bulb, level),
    ]
    panels = _with_lack_of_fit(panels, picture, lacks, level, formatter)
    return residual_graph(picture, panels, residual, f"bulb off the balance, {step.label}")


def balance_graph(balance: Mapping[str, Any], formatter: Formatter) -> Figure:
    """What bulb and evaporator leave for the spring, the port's share taken off, against opening."""
    picture, drop = balance["picture"], print_unit("pressure difference", formatter.system)
    x = 100.0 * _array(picture["opening"])
    y, line = (np.array([drop.of(p) for p in picture[key]]) for key in ("spring_pa", "line_pa"))
    used, charges = np.array(picture["is_used"], dtype=bool), np.array(picture["charge"])
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        for i, charge in enumerate(dict.fromkeys(picture["charge"])):
            own = charges == charge
            order = np.argsort(x[own])
            axes.plot(x[own][order], line[own][order], color=BLUE, lw=1.6, zorder=1)
            mark = _MARKS[i % len(_MARKS)]
            axes.plot(x[own & used], y[own & used], marker=mark, mfc="w" if i % 2 == 0 else _FAINT, **_POINT)
            end = int(np.argmax(np.where(own, x, -np.inf)))
            axes.annotate(
                str(charge),
                (x[end], line[end]),
                (-4, 12),
                textcoords="offset points",
                ha="right",
                va="center",
                fontsize=_SIZE,
                bbox=_BOX,
            )
        axes.plot(x[~used], y[~used], **_OUTLIER)
        axes.set_xlim(0.0, 1.08 * float(x.max()))
        axes.margins(y=0.12)
        _name_outliers(axes, x, y, picture)
        axes.set_xlabel("opening, % of rated stroke")
        axes.set_ylabel(f"bulb less evaporator and port, {drop.label}")
        axes.spines[["top", "right"]].set_visible(False)
    return figure
