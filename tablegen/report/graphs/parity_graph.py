"""Flow laws compared with published correlations: correlated against computed flow, a graph for each device."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tablegen.physics.flow import FlowLaw
from tablegen.report.answer import WIDE
from tablegen.report.graphs.axes import Scale, Tick, framed
from tablegen.report.graphs.sketch import BACK, Sketch
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import PROJECTING, Box, Drawing, Pen
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.wording import verification as wording

if TYPE_CHECKING:
    from tablegen.verification.measured_flows import Parity

_KG_H = 3600.0
_HEIGHT = 250.0
_BAND = 0.1
# Shape and filling of the points of a law.
_MARKS = {FlowLaw.ORIFICE: ("o", design.WHITE), FlowLaw.CHOKED: ("s", design.BLACK)}
_TICKS_KG_H = (20.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 120.0, 150.0, 200.0, 300.0, 400.0)


@dataclass(frozen=True, slots=True)
class ParityFigure:
    """The graphs of one device or two beside each other."""

    parities: Sequence[Parity]
    width = WIDE

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

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a size [pt]; one graph takes half of the width."""
        sketch = Sketch(width, height)
        for number, parity in enumerate(self.parities):
            half = Box(0.5 * width * number, 0.0, 0.5 * width * (number + 1), height)
            _draw(sketch, half, parity)
        return sketch.drawing(wording.CORRELATION_AXIS())

    def _devices(self) -> list[str]:
        return [wording.DEVICES[parity.device]() for parity in self.parities]


def _draw(sketch: Sketch, outer: Box, parity: Parity) -> None:
    """Correlated flow of one device against that of each law [kg/h]."""
    series = [
        (_KG_H * own.correlated_kg_s, {law: _KG_H * own.law_kg_s[law] for law in _MARKS}) for own in parity.series
    ]
    every = np.concatenate([values for y, by_law in series for values in (y, *by_law.values())])
    scale = Scale(0.93 * float(every.min()), 1.07 * float(every.max()), is_log=True)
    ends = np.array([scale.low, scale.high])
    ticks: list[Tick] = [(t, without_zeros(round_half_even(t))) for t in _TICKS_KG_H if scale.low <= t <= scale.high]
    names = wording.LAW_AXIS(device=wording.DEVICES[parity.device]()), wording.CORRELATION_AXIS()
    axes = framed(sketch, outer, scale, scale, names, ticks=ticks)
    axes.plot(ends, ends, Pen(design.RULE, cap=PROJECTING), BACK)
    for side in (1.0 - _BAND, 1.0 + _BAND):
        axes.plot(ends, side * ends, Pen(design.THIN, dashes=design.DOTTED), BACK)
    for law, (marker, filling) in _MARKS.items():
        for y, by_law in series:
            axes.marks(by_law[law], y, marker, 3.2, Pen(design.THIN), filling)
