"""Flow laws compared with published correlations: correlated against computed flow, a graph for each device."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.figure import Figure

from tablegen.physics.flow import FlowLaw
from tablegen.report.pdf import vector
from tablegen.report.pdf.page import BLACK
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.wording import verification as wording

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from tablegen.verification.measured_flows import Parity

_KG_H = 3600.0
_HEIGHT = 250.0
_BAND = 0.1
# Shape and filling of the points of a law.
_MARKS = {FlowLaw.ORIFICE: ("o", "w"), FlowLaw.CHOKED: ("s", BLACK)}
_TICKS_KG_H = (20, 30, 40, 50, 60, 80, 100, 120, 150, 200, 300, 400)


@dataclass(frozen=True, slots=True)
class ParityFigure:
    """The graphs of one device or two beside each other."""

    parities: Sequence[Parity]

    @property
    def alt(self) -> str:
        """What the figure shows, for readers who do not see it."""
        return "; ".join(wording.FLOW_GRAPH(device=device) for device in self._devices())

    @property
    def caption(self) -> str:
        """What the marks and lines are."""
        devices = self._devices()
        if len(devices) > 1:
            return wording.FLOW_CAPTION_BOTH(left=devices[0], right=devices[1])
        return wording.FLOW_CAPTION(device=devices[0])

    def heights(self, width: float) -> tuple[float, float]:
        """Smallest and largest useful height [pt]."""
        return _HEIGHT, _HEIGHT

    def draw(self, width: float, height: float) -> Figure:
        """The figure in a size [pt]; one graph takes half of the width."""
        with vector.style():
            size = (width / 72.0, height / 72.0)
            figure = Figure(figsize=size, dpi=72.0, layout="constrained")
            places = figure.subplots(1, 2)
            for axes, parity in zip(places, self.parities, strict=False):
                _draw(axes, parity)
            for axes in places[len(self.parities) :]:
                axes.set_axis_off()
        return figure

    def _devices(self) -> list[str]:
        return [wording.DEVICES[parity.device]() for parity in self.parities]


def _draw(axes: Axes, parity: Parity) -> None:
    """Correlated flow of one device against that of each law [kg/h]."""
    series = [
        (_KG_H * own.correlated_kg_s, {law: _KG_H * own.law_kg_s[law] for law in _MARKS}) for own in parity.series
    ]
    every = np.concatenate([values for y, by_law in series for values in (y, *by_law.values())])
    ends = np.array([0.93 * float(every.min()), 1.07 * float(every.max())])
    axes.plot(ends, ends, color=BLACK, lw=0.9, zorder=0)
    for side in (1.0 - _BAND, 1.0 + _BAND):
        axes.plot(ends, side * ends, color=BLACK, lw=0.7, ls=(0, (1, 2)), zorder=0)
    for law, (marker, filling) in _MARKS.items():
        for y, by_law in series:
            axes.plot(by_law[law], y, ls="none", ms=3.2, mec=BLACK, mew=0.5, marker=marker, mfc=filling)
    for scale, limit, axis in (
        (axes.set_xscale, axes.set_xlim, axes.xaxis),
        (axes.set_yscale, axes.set_ylim, axes.yaxis),
    ):
        scale("log")
        limit(*ends)
        ticks = [tick for tick in _TICKS_KG_H if ends[0] <= tick <= ends[1]]
        axis.set_ticks(ticks, [without_zeros(round_half_even(float(tick))) for tick in ticks])
        axis.set_ticks([], minor=True)
    axes.set_xlabel(wording.LAW_AXIS(device=wording.DEVICES[parity.device]()))
    axes.set_ylabel(wording.CORRELATION_AXIS())
    axes.spines[["top", "right"]].set_visible(False)
