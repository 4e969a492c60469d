"""Pictures of the answer to one case, each made when a medium asks for it."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tablegen.report.answer import NARROW, AnswerFigure
from tablegen.report.formatter import DASH, percent
from tablegen.wording import pick as pick_wording
from tablegen.wording import pick_pictures as wording
from tablegen.wording import terms
from tablegen.wording.message import listed

if TYPE_CHECKING:
    from tablegen.answers.pick import Candidate, Picked
    from tablegen.answers.valve_balance import ValveBalance
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter
    from tablegen.report.pdf.drawing import Drawing

# Valves that cover the load, and of those that do not, so many are drawn; of each evaporator of several fewer.
_MOST, _MOST_OF_SEVERAL = 6, 4
# Height of a balance graph in which the names of its curves stay clear of them [pt].
_LOWEST = 185.0
_VERDICTS = {"too_small": pick_wording.TOO_SMALL, "too_large": pick_wording.TOO_LARGE}


@dataclass(frozen=True, slots=True)
class WindowFigure:
    """Load windows of the valves that fit and of their nearest neighbors, with the load."""

    catalogue: Catalogue
    picked: Picked
    formatter: Formatter
    most: int = _MOST
    width = NARROW

    @property
    def shown(self) -> tuple[Candidate, ...]:
        """Those that fit, in the order of the table, and the neighbors of the first; the nearest of all if none fits."""
        picked = self.picked
        if picked.fitting:
            own = picked.neighbors(picked.fitting[0].family)
            return (*picked.fitting[: self.most], *(c for c in own if c is not None))
        families = dict.fromkeys(c.family for c in picked.candidates)
        near = [c for family in families for c in picked.neighbors(family) if c is not None]
        return tuple(sorted(near, key=lambda c: -c.margin)[: self.most])

    @property
    def alt(self) -> str:
        """What the figure shows, for readers who do not see it."""
        load = self.formatter.with_load_unit(self.formatter.load(self.picked.case.load_w))
        if not self.picked.fitting:
            return wording.STRIP_NONE_ALT(load=load, valves=listed([self._name(c) for c in self.shown]))
        return wording.STRIP_ALT(load=load, valves=listed([self._name(c) for c in self.picked.fitting]))

    @property
    def caption(self) -> str:
        """What the looks of the bars mean."""
        picked = self.picked
        by_stock = picked.stock_rule.stock is not None
        sentences = [wording.STRIP()] if picked.fitting else [wording.STRIP_NONE()]
        sentences += [wording.SOLID()] if picked.first is not None else []
        if by_stock:
            sentences.append(wording.IN_STOCK())
        elif len(picked.fitting) > 1:
            sentences.append(wording.SHADED())
        if any(c.verdict != "fits" for c in self.shown):
            sentences.append(wording.DASHED())
        more = len(picked.fitting) - self.most
        return " ".join((*sentences, wording.NOT_SHOWN(more)) if more > 0 else sentences)

    def heights(self, width: float) -> tuple[float, float]:
        """The one height of its rows [pt]."""
        from tablegen.report.graphs.pick_graphs import strip_height

        height = strip_height(len(self.shown))
        return height, height

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a width [pt]."""
        from tablegen.report.graphs.bar_rows import BarRow
        from tablegen.report.graphs.pick_graphs import load_window_strip
        from tablegen.units import print_unit

        formatter = self.formatter
        unit, load = print_unit("load", formatter.system, formatter.load_unit), self.picked.case.load_w
        rows = [
            BarRow(
                name=self._row_name(c),
                figures=DASH.join(formatter.window(c.minimum.load_w, c.maximum.load_w)),
                low=unit.of(c.minimum.load_w),
                high=unit.of(c.maximum.load_w),
                is_solid=c is self.picked.first,
                is_filled=self._is_filled(c),
                is_dashed=c.verdict != "fits",
            )
            for c in self.shown
        ]
        text = formatter.with_load_unit(formatter.load(load))
        return load_window_strip(rows, unit.of(load), text, formatter, width)

    def _name(self, candidate: Candidate) -> str:
        return self.catalogue.valve_name(candidate.family, candidate.size)

    def _is_filled(self, c: Candidate) -> bool:
        """Whether it is in stock; without a stock sheet, whether it covers the load."""
        rule = self.picked.stock_rule
        return c.verdict == "fits" if rule.stock is None else rule.is_there(c.family, c.size, c.charge)

    def _row_name(self, c: Candidate) -> str:
        if c.verdict in _VERDICTS:
            return wording.WITH_VERDICT(valve=self._name(c), verdict=_VERDICTS[c.verdict]())
        return self._name(c) if self._is_filled(c) else wording.NOT_IN_STOCK(valve=self._name(c))


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadFigure:
    """Opening and superheat of the first choice at each head."""

    valve: str
    first: Candidate
    balance: Callable[[], ValveBalance]
    formatter: Formatter
    width = NARROW

    @property
    def alt(self) -> str:
        """What the figure shows, for readers who do not see it."""
        heads = []
        for head in self.first.heads:
            values = [wording.OPEN(opening=percent(head.opening))]
            if not math.isnan(head.superheat_k):
                values.append(wording.SUPERHEAT(superheat=self.formatter.step(head.superheat_k, 1)))
            heads.append(wording.AT_HEAD(condition=terms.at_condition(head.condition), values=", ".join(values)))
        return wording.HEADS_ALT(valve=self.valve, heads="; ".join(heads))

    @property
    def caption(self) -> str:
        """What bar and mark mean."""
        return wording.HEADS(valve=self.valve)

    def heights(self, width: float) -> tuple[float, float]:
        """The one height of its rows [pt]."""
        from tablegen.report.graphs.pick_graphs import heads_height

        height = heads_height(self.balance().ranges)
        return height, height

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a width [pt]."""
        from tablegen.report.graphs.pick_graphs import head_ranges

        return head_ranges(self.balance().ranges, self.formatter, width)


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceFigure:
    """System and first choice against head pressure."""

    valve: str
    balance: Callable[[], ValveBalance]
    formatter: Formatter
    width = NARROW

    @property
    def alt(self) -> str:
        """What the figure shows, for readers who do not see it."""
        return wording.BALANCE_ALT(valve=self.valve)

    @property
    def caption(self) -> str:
        """How to read it."""
        return wording.BALANCE(valve=self.valve)

    def heights(self, width: float) -> tuple[float, float]:
        """Smallest and largest useful height for a width [pt]."""
        return max(0.9 * width, _LOWEST), max(1.0 * width, _LOWEST)

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a size [pt]."""
        from tablegen.report.graphs.balance_graph import BalanceCurves, narrow_balance_graph

        found = self.balance()
        curves = BalanceCurves.of(found.curve, self.formatter, found.site_pressure_pa)
        heads = {terms.condition(own.condition): own.head_pressure_pa for own in found.ranges}
        return narrow_balance_graph(curves, heads, (width, height))


def pick_figures(
    catalogue: Catalogue, picked: Picked, formatter: Formatter, *, is_whole: bool
) -> tuple[AnswerFigure, ...]:
    """Load windows and, of a whole unit, the first choice at each head; nothing where no size has a window.

    Nothing is computed here.
    """
    strip = WindowFigure(catalogue, picked, formatter, _MOST if is_whole else _MOST_OF_SEVERAL)
    first = picked.first
    if first is None or not is_whole:
        return (strip,) if strip.shown else ()
    chosen, case = first, picked.case

    @functools.cache
    def balance() -> ValveBalance:
        from tablegen.answers.valve_balance import valve_balance

        return valve_balance(catalogue, case, chosen)

    valve = catalogue.valve_name(first.family, first.size)
    return (
        strip,
        HeadFigure(valve=valve, first=first, balance=balance, formatter=formatter),
        BalanceFigure(valve=valve, balance=balance, formatter=formatter),
    )
