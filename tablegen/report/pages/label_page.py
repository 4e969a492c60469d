"""A label sheet: labels in the grid of the sheet, from its upper left corner."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reportlab.lib.units import inch

from tablegen.model.publications import LabelSheet
from tablegen.report.pages.shelf_label import SetLabel, draw_label
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import Box
from tablegen.report.pdf.paragraphs import Heading
from tablegen.report.pdf.structure import is_trial

# What a computed length may be off by.
_HAIR = 0.01


class LabelPage(Heading):
    """The labels of one sheet, each with a heading; the page has no margins of its own.

    Parameters
    ----------
    labels : sequence of SetLabel
        No more than the sheet has places for.
    boxes : sequence of Box
        The place of each label's texts, from the upper left corner of the page [pt].
    """

    def __init__(self, labels: Sequence[SetLabel], boxes: Sequence[Box]) -> None:
        super().__init__(labels[0].label.title)
        self._labels, self._boxes = labels, boxes

    def getKeepWithNext(self) -> bool:
        """Nothing else fits on its page."""
        return False

    def getSpaceBefore(self) -> float:
        """Nothing: it is the page."""
        return 0.0

    def getSpaceAfter(self) -> float:
        """Nothing: it is the page."""
        return 0.0

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """The whole page."""
        self.width, self.height = aW, aH - _HAIR
        return self.width, self.height

    def draw(self) -> None:
        """Draw the labels, and enter each in the outline."""
        for own in self._labels:
            self.heading = own.label.title
            self.enter()
        if is_trial(self.canv):
            return
        for label, box in zip(self._labels, self._boxes, strict=False):
            top = self.height + _HAIR
            draw_label(self.canv, label, Box(box.left, top + box.bottom, box.right, top + box.top))


def label_boxes(sheet: LabelSheet, paper: tuple[float, float]) -> list[Box]:
    """Where the texts of each label of a sheet may be, row by row, from the upper left corner of the paper [pt]."""
    cells = list(_cells(sheet))
    width, height = paper
    ends = (
        *(min(cell.left, width - cell.right) for cell in cells),
        *(min(-cell.top, height + cell.bottom) for cell in cells),
    )
    pad = max(design.LABEL_PAD, design.PAPER_EDGE - min(ends))
    return [cell.wider(-pad) for cell in cells]


def _cells(sheet: LabelSheet) -> Iterator[Box]:
    """Each label, row by row, from the upper left corner of the paper [pt]."""
    wide, high = _points(sheet.label_width_m), _points(sheet.label_height_m)
    for row in range(sheet.rows):
        top = -_points(sheet.top_margin_m) - row * (high + _points(sheet.row_gap_m))
        for column in range(sheet.columns):
            left = _points(sheet.left_margin_m) + column * (wide + _points(sheet.column_gap_m))
            yield Box(left, top - high, left + wide, top)


def _points(meters: float) -> float:
    return meters / 0.0254 * inch
