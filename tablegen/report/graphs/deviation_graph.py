"""Changes from an old table's limits to ours against SST: medians and spreads for each family, a graph for each limit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tablegen.report.answer import WIDE
from tablegen.report.graphs.axes import Scale, framed
from tablegen.report.graphs.sketch import BACK, Sketch
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import PROJECTING, Box, Drawing, Pen
from tablegen.units import print_unit
from tablegen.wording import old_table as wording
from tablegen.wording import terms

if TYPE_CHECKING:
    from tablegen.report.formatter import Formatter

_HEIGHT = 210.0
_MARK = 4.0
# Shape and filling of a family's marks; further families begin again.
_MARKS = (("o", design.WHITE), ("s", design.BLACK), ("D", design.WHITE), ("^", design.BLACK))
# Share of the SST axis by which families beside each other are apart.
_APART = 0.008


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviationSeries:
    """A family's changes of one limit along SST [K]: median and either end of the spread [1]."""

    family: str
    limit: str
    sst_k: tuple[float, ...]
    median: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class DeviationFigure:
    """The graphs of both limits beside each other, or of one."""

    series: Sequence[DeviationSeries]
    formatter: Formatter
    width = WIDE

    @property
    def alt(self) -> str:
        """What the figure shows, for readers who do not see it."""
        return wording.GRAPH()

    @property
    def caption(self) -> str:
        """What the marks are."""
        marks = {own: _MARKS[i % len(_MARKS)][0] for i, own in enumerate(self._families())}
        named = [wording.GRAPH_FAMILY(family=own, mark=wording.MARKS[mark]()) for own, mark in marks.items()]
        return wording.GRAPH_CAPTION(families=", ".join(named))

    def heights(self, width: float) -> tuple[float, float]:
        """Smallest and largest useful height [pt]."""
        return _HEIGHT, _HEIGHT

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a size [pt]; both graphs have one scale of changes."""
        sketch = Sketch(width, height)
        limits = list(dict.fromkeys(own.limit for own in self.series))
        every = [100.0 * value for own in self.series for value in (*own.low, *own.high, 0.0)]
        changes = Scale.around(np.array(every))
        step = width / len(limits)
        for i, limit in enumerate(limits):
            box = Box(step * i, 0.0, step * (i + 1), height)
            self._draw(sketch, box, [own for own in self.series if own.limit == limit], changes)
        return sketch.drawing(wording.GRAPH())

    def _draw(self, sketch: Sketch, outer: Box, series: Sequence[DeviationSeries], changes: Scale) -> None:
        unit = print_unit("temperature", self.formatter.system)
        ssts = Scale.around(np.array([unit.of(value) for own in series for value in own.sst_k]))
        limit = terms.LIMITS[series[0].limit]()
        names = wording.SST_AXIS(unit=unit.label), wording.CHANGE_AXIS(limit=limit)
        axes = framed(sketch, outer, ssts, changes, names)
        axes.level(0.0, Pen(design.RULE, cap=PROJECTING), BACK)
        families = self._families()
        for own in series:
            number = families.index(own.family)
            shift = (number - 0.5 * (len(families) - 1)) * _APART * (ssts.high - ssts.low)
            marker, filling = _MARKS[number % len(_MARKS)]
            for sst_k, low, high in zip(own.sst_k, own.low, own.high, strict=True):
                x = unit.of(sst_k) + shift
                axes.plot([x, x], [100.0 * low, 100.0 * high], Pen(design.THIN))
            across = [unit.of(value) + shift for value in own.sst_k]
            axes.marks(across, [100.0 * value for value in own.median], marker, _MARK, Pen(design.THIN), filling)

    def _families(self) -> list[str]:
        return list(dict.fromkeys(own.family for own in self.series))
