"""The balance graph of an existing valve, with the zones of the head in a strip below."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import EDGE, Axes, Scale, below, beside
from tablegen.report.graphs.balance_graph import DOTTED, NAME_LINE, RING, BalanceCurves, draw_balance, lines_of_names
from tablegen.report.graphs.sketch import AREA, BACK, SIZE, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen
from tablegen.wording import booklet_pages, terms
from tablegen.wording import retrofit as wording

if TYPE_CHECKING:
    from tablegen.answers.zones import HeadZone

_PAD = 1.2
# In the strip and above it alike: more system than valve leans one way, less than it is steady with the other.
_HATCHES = {"steady": "", "starved": "/", "flooding": "\\", "hunts": "\\", "not_working": "x"}
# Height of the strip with its figures, and of what is between it and the curves [pt].
_STRIP, _BETWEEN = 28.0, 6.0
# Of the strip, two high: the boxes, and the middle of the figures.
_BOXES, _FIGURES = (0.05, 0.95), 1.5
# Between two figures over the strip, and around a name in its box [pt].
_APART, _AROUND = 36.0, 8.0


def retrofit_graph(
    curve: pd.DataFrame,
    zones: Sequence[HeadZone],
    formatter: Formatter,
    site_pressure_pa: float,
    heads_pa: dict[str, float],
    size: tuple[float, float],
) -> Drawing:
    """System and valve against head pressure, width and height [pt]; where the valve does not cover the load is hatched."""
    curves = BalanceCurves.of(curve, formatter, site_pressure_pa)
    across, up = curves.scales
    sketch, name = Sketch(*size), wording.GRAPH_CAPACITY(unit=curves.load.label)
    foot, top = (
        below() + _STRIP + _BETWEEN,
        size[1] - EDGE - NAME_LINE * lines_of_names(curves, heads_pa, 0.8 * size[0]),
    )
    ticks = up.round_ticks(top - foot, is_upright=True)
    box = Box(beside(ticks), foot, size[0] - EDGE, top)
    axes = Axes(sketch, box, across, up)
    strip = Axes(sketch, box._replace(bottom=below(), top=below() + _STRIP), across, Scale(0.0, 2.0))
    borders = [zone.from_pa for zone in zones[1:]]
    limits = terms.LIMITS["max"](), terms.LIMITS["min"]()
    draw_balance(axes, curves, heads_pa, limits, borders, {"evaporator"}, box.height)
    for limit, is_short, hatch in (
        (curves.maximum, curves.system > curves.maximum, "/"),
        (curves.minimum, curves.system < curves.minimum, "\\"),
    ):
        axes.between(curves.head, limit, curves.system, where=is_short, hatch=hatch, layer=BACK)
    for before, after in itertools.pairwise(zones):
        x = curves.at(after.from_pa)
        y = float(np.interp(x, curves.head, curves.system))
        axes.plot([x, x], [0.0, y], DOTTED, BACK)
        if "not_working" not in (before.zone, after.zone):
            # There a limit meets the system.
            axes.marks(x, y, "o", 7.0, RING)
    axes.x_axis([])
    # The graph is low, so the name of its axis is short.
    axes.y_axis(ticks, name)
    _name_zones(strip, zones, curves)
    _name_borders(strip, borders, curves)
    x_ticks = across.round_ticks(box.width, is_upright=False)
    strip.x_axis(x_ticks, booklet_pages.HEAD_PRESSURE(unit=curves.pressure.label), has_line=False)
    return sketch.drawing(name)


def _name_borders(strip: Axes, borders: Sequence[float], curves: BalanceCurves) -> None:
    """The head of each border over the strip, of near ones the first alone: all are listed beside the graph."""
    taken = strip.box.left
    for border in borders:
        x = curves.at(border)
        at = float(strip.across(x))
        if at >= taken:
            strip.note(curves.formatter.gauge(border, curves.site_pressure_pa), (x, _FIGURES))
            taken = at + _APART


def _name_zones(strip: Axes, zones: Sequence[HeadZone], curves: BalanceCurves) -> None:
    """A box for each zone, named where its name fits."""
    for zone in zones:
        low, high = curves.at(zone.from_pa), curves.at(zone.to_pa)
        strip.rectangle((low, high), _BOXES, Pen(design.RULE), hatch=2 * _HATCHES[zone.zone], layer=AREA)
        text = wording.ZONES[zone.zone]()
        left, right = strip.across([low, high]).tolist()
        if fonts.text_width(text, fonts.SEMIBOLD, SIZE) + _AROUND < right - left:
            strip.note(text, (0.5 * (low + high), 0.5), face=fonts.SEMIBOLD, pad=_PAD)
