"""Left and right pages of a bound booklet: what has to be on a left page, which has an even number, waits for one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Flowable
from reportlab.platypus.doctemplate import ActionFlowable

from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import Pen, Shape, draw_shapes, line_path
from tablegen.report.pdf.paragraphs import paragraph
from tablegen.report.pdf.structure import is_trial
from tablegen.wording import booklet as wording

# Between lines to write on [pt].
_APART = 24.0


class SparePage(ActionFlowable):
    """A page that fills a right page which would be empty, else comes where it is in the story.

    Parameters
    ----------
    story : sequence of Flowable
        One page, which ends with a page break; with a heading of a chapter it may only be set between chapters.
    """

    def __init__(self, story: Sequence[Flowable]) -> None:
        super().__init__(("spare page",))
        self.story = story
        self.is_set = False

    def set(self, doc: Any) -> None:
        """Set the page here."""
        self.is_set = True
        waiting = list(self.story)
        while waiting:
            doc.clean_hanging()
            doc.handle_flowable(waiting)
        doc.clean_hanging()

    def apply(self, doc: Any) -> None:
        """Set the page unless it has filled another; the next pass begins anew."""
        if not self.is_set:
            self.set(doc)
        self.is_set = False


class LeftPage(ActionFlowable):
    """Goes on at the top of the next left page; a right page in between has a spare page, if one is left, or is for notes."""

    def __init__(self, spare: SparePage | None = None) -> None:
        super().__init__(("left page",))
        self.spare = spare

    def apply(self, doc: Any) -> None:
        """Break the page once, or twice."""
        # At the top of a page that has nothing on it yet, this is the page; else it is the one after it.
        is_begun = not doc.frame._atTop
        if is_begun:
            doc.handle_pageEnd()
            doc.clean_hanging()
        if self._is_other_side(doc.page) and self.spare is not None and not self.spare.is_set:
            self.spare.set(doc)
        if self._is_other_side(doc.page):
            self._name_notes(doc)
            doc.handle_flowable([_Notes()])
            doc.handle_pageEnd()
            doc.clean_hanging()

    def _name_notes(self, doc: Any) -> None:
        """What the head of a page for notes says."""
        doc.name_page(wording.NOTES())

    def _is_other_side(self, page: int) -> bool:
        """Whether a page is not where it goes on."""
        return bool(page % 2)


class SpreadStart(LeftPage):
    """Begins a spread on the next left page; one of an odd number of pages, which would leave one for notes, on the next page.

    How many pages it has is known from the pass before (`SpreadEnd`).
    """

    def __init__(self) -> None:
        super().__init__()
        self.first = self.pages = 0

    def apply(self, doc: Any) -> None:
        """Break the page, and note where the spread begins."""
        super().apply(doc)
        self.first = doc.page

    def _is_other_side(self, page: int) -> bool:
        return self.pages % 2 == 0 and super()._is_other_side(page)


class SpreadEnd(ActionFlowable):
    """At the top of the page after a spread: counts its pages."""

    def __init__(self, start: SpreadStart) -> None:
        super().__init__(("spread end",))
        self.start = start

    def apply(self, doc: Any) -> None:
        """Count them for the next pass."""
        self.start.pages = doc.page - self.start.first


class RightPage(LeftPage):
    """Goes on at the top of the next right page, the front of a sheet printed on both sides; a page in between is for notes."""

    def _is_other_side(self, page: int) -> bool:
        return not page % 2


class NextSheet(RightPage):
    """Begins a sheet of its own, numbered from 1, at the top of the next right page.

    A page for notes in between belongs to the sheet before it, and its head says the same as that of the page before.
    """

    def apply(self, doc: Any) -> None:
        """Break the page where one is begun, and begin to number."""
        super().apply(doc)
        doc.begin_sheet()

    def _name_notes(self, doc: Any) -> None:
        pass


class _Notes(Flowable):
    """A page to write on."""

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """All that is left of the page."""
        self.width, self.height = aW, aH
        return aW, aH

    def draw(self) -> None:
        """What the page is for, and lines."""
        name = paragraph(wording.NOTES(), "caption")
        _, high = name.wrap(self.width, self.height)
        name.drawOn(self.canv, 0.0, self.height - high)
        if not is_trial(self.canv):
            ends = range(1, int((self.height - high) / _APART))
            lines = [line_path([(0.0, i * _APART), (self.width, i * _APART)]) for i in ends]
            draw_shapes(self.canv, [Shape(path="\n".join(lines), pen=Pen(design.HAIR))])
