"""Where the pages of an answer end: headings stay with what they head, tables begin with some rows, figures fit."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from reportlab.platypus import CondPageBreak, Flowable, PageBreak

from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.panels import ENDLESS
from tablegen.report.pdf.spread_rows import SpreadRows
from tablegen.report.pdf.structure import is_trial
from tablegen.report.pdf.table_flowable import FEWEST_HERE, FEWEST_LEFT, PageTable

if TYPE_CHECKING:
    from tablegen.report.answer import AnswerFigure

SLACK = 4.0
# Shares of a page: a table that is lower stays whole; no more is kept together of anything else.
_WHOLE_TABLE, _MOST = 0.25, 0.4


class Room(CondPageBreak):
    """Goes to the next page where the height that is left is less [pt]; spaces between parts are as without it."""

    _SPACETRANSFER = True


class FittedFigure(Flowable):
    """A figure as high as the page allows, between its smallest and largest useful height.

    Parameters
    ----------
    figure : AnswerFigure
    width : float
        Of the figure [pt].
    reserve : float
        Height [pt] to leave free below.
    """

    def __init__(self, figure: AnswerFigure, width: float, reserve: float = 0.0) -> None:
        super().__init__()
        self.figure, self.width, self.reserve = figure, width, reserve
        self.lowest, self.highest = figure.heights(width)
        self.height = self.lowest
        self.hAlign = "LEFT"

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """The height that is left, within limits; only measured, the lowest."""
        left = min(max(aH - self.reserve, self.lowest), self.highest)
        self.height = self.lowest if aH >= ENDLESS else left
        return self.width, self.height

    def draw(self) -> None:
        """Draw the figure in its height."""
        if is_trial(self.canv):
            return
        drawn = DrawingFlowable(self.figure.draw(self.width, self.height), self.figure.alt)
        drawn.drawOn(self.canv, 0.0, 0.0)


def height(parts: Sequence[Flowable], width: float) -> float:
    """Height of parts under each other [pt], without space above the first; of two spaces that meet the larger counts."""
    own = sum(float(part.wrap(width, ENDLESS)[1]) for part in parts)
    gaps = (max(above.getSpaceAfter(), below.getSpaceBefore()) for above, below in itertools.pairwise(parts))
    return own + sum(gaps)


def with_breaks(story: Sequence[Flowable], width: float, page: float) -> Iterator[Flowable]:
    """The story with breaks where what belongs together does not fit what is left of a page [pt]."""
    before = 0.0
    start = 0
    while start < len(story):
        end = start
        while end < len(story) - 1 and _heads_next(story[end]):
            end += 1
        heads, body = list(story[start:end]), _list_from(story, end)
        start = end + len(body)
        for part in heads:
            part.keepWithNext = 0
        first = (heads or body)[0]
        if not isinstance(first, PageBreak):
            needed = height([*heads, body[0]], width) - height(body[:1], width) + _least(body, width, page)
            yield Room(min(needed + max(first.getSpaceBefore() - before, 0.0), page))
        yield from heads
        last = body[-FEWEST_LEFT:] if len(body) >= FEWEST_HERE + FEWEST_LEFT else []
        for part in body:
            if last and part is last[0]:
                yield Room(min(height(last, width), page))
            yield part
        before = body[-1].getSpaceAfter()


def _list_from(story: Sequence[Flowable], start: int) -> list[Flowable]:
    """A part, or all steps of a list that begins there."""
    return list(itertools.takewhile(_is_step, story[start:])) or [story[start]]


def _heads_next(part: Any) -> bool:
    return bool(part.getKeepWithNext())


def _is_step(part: Flowable) -> bool:
    return getattr(getattr(part, "style", None), "name", "") == "step"


def _least(body: Sequence[Flowable], width: float, page: float) -> float:
    """Height [pt] of what must be on the page where a table, a list or anything else begins."""
    first = body[0]
    if isinstance(first, FittedFigure):
        return first.lowest + first.reserve
    if isinstance(first, PageTable):
        whole = height([first], width)
        return whole if whole <= _WHOLE_TABLE * page else first.least_height
    if isinstance(first, SpreadRows):
        whole = height([first], width) + first.reserve * first.keeps_reserve
        return whole if whole <= page and first.worth else first.fewest_height
    count = FEWEST_HERE if len(body) >= FEWEST_HERE + FEWEST_LEFT else len(body)
    return min(height(body[:count], width), _MOST * page)
