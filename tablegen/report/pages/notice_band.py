"""The head of a notice: a black band with its title, what is replaced, and whose it is."""

from __future__ import annotations

from collections.abc import Sequence

from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Shape, box_path, draw_shapes
from tablegen.report.pdf.paragraphs import Heading, with_apostrophes
from tablegen.report.pdf.structure import is_trial, tags
from tablegen.report.pdf.typesetting import Typesetter

# Around the texts, and between the title and the lines [pt].
_PAD, _APART, _LEADING = 12.0, 6.0, 1.3


class NoticeBand(Heading):
    """A title in white on black, with lines below.

    Parameters
    ----------
    title : str
        Of one line.
    lines : sequence of str
        Wrapped where they are too long.

    Raises
    ------
    MissingGlyphError
        The face cannot draw a character.
    """

    def __init__(self, title: str, lines: Sequence[str]) -> None:
        super().__init__(title)
        self._texts = [with_apostrophes(line, fonts.SEMIBOLD) for line in lines]

    def getSpaceAfter(self) -> float:
        """Below the band."""
        return _PAD

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as there is space, as high as its lines."""
        self.width = aW
        wrapped = (fonts.wrapped(text, fonts.SEMIBOLD, design.PART, aW - 2.0 * _PAD) for text in self._texts)
        self._lines = [line for lines in wrapped for line in lines]
        tall = fonts.CAP_HEIGHT * design.TITLE + _APART + _LEADING * design.PART * len(self._lines)
        self.height = tall + 2.0 * _PAD
        return self.width, self.height

    def draw(self) -> None:
        """Draw the band, and its heading, bookmark and outline entry."""
        self.enter()
        if is_trial(self.canv):
            return
        draw_shapes(self.canv, [Shape(path=box_path(Box(0.0, 0.0, self.width, self.height)), fill=design.BLACK)])
        self.canv.saveState()
        self.canv.setFillColor(design.WHITE)
        structure, text = tags(self.canv), Typesetter(self.canv)
        y = self.height - _PAD - fonts.CAP_HEIGHT * design.TITLE
        with structure.marked("H1", on=text):
            text.put(_PAD, y, with_apostrophes(self.heading, fonts.BOLD), fonts.BOLD, design.TITLE)
        y -= _APART
        with structure.marked("P", on=text):
            for line in self._lines:
                y -= _LEADING * design.PART
                text.put(_PAD, y, f"{line} ", fonts.SEMIBOLD, design.PART)
        text.paint()
        self.canv.restoreState()
