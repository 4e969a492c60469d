"""Tabs at the outer edge of pages: a place for each chapter, the same on every page, black where the chapter is open.

Chapters are found by them at the edge of the closed booklet; an office print shows them within its white edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from tablegen.report.pdf import design, fonts

# Between tabs; a tab at most and at least; between its end and its text; between its lines [pt].
_GAP, _TALLEST, _LOWEST, _PAD, _LEADING = 5.0, 112.0, 24.0, 3.0, 8.6
_SIZE = design.FINE


@dataclass(frozen=True, slots=True)
class PageTabs:
    """The tabs of a document: what each is called, on lines from the left, and how high all are [pt]."""

    titles: Sequence[str]
    lines: Sequence[Sequence[str]]
    height: float

    @classmethod
    def of(cls, titles: Sequence[str], room: float) -> PageTabs:
        """Tabs for chapters in a height [pt]; none where there are more than it holds."""
        if not titles:
            return cls((), (), 0.0)
        tall = min((room + _GAP) / len(titles) - _GAP, _TALLEST)
        if tall < _LOWEST:
            return cls((), (), 0.0)
        return cls(titles, _texts(titles, tall - 2 * _PAD), tall)

    def draw(self, canvas: Canvas, left: float, top: float, current: str) -> None:
        """Draw all tabs of a page down from a height, the current chapter's filled."""
        canvas.saveState()
        for i, (title, lines) in enumerate(zip(self.titles, self.lines, strict=True)):
            foot = top - i * (self.height + _GAP) - self.height
            is_open = title == current
            canvas.setLineWidth(design.THIN)
            canvas.rect(left, foot, design.TAB_WIDTH, self.height, stroke=1, fill=int(is_open))
            canvas.saveState()
            canvas.translate(left + 0.5 * design.TAB_WIDTH, foot + 0.5 * self.height)
            canvas.rotate(90)
            canvas.setFillColor(design.WHITE if is_open else design.BLACK)
            canvas.setFont(fonts.SEMIBOLD if is_open else fonts.REGULAR, _SIZE)
            # The middle of the lines' capitals is on the middle of the tab.
            first = 0.5 * ((len(lines) - 1) * _LEADING - fonts.CAP_HEIGHT * _SIZE)
            for number, line in enumerate(lines):
                canvas.drawCentredString(0.0, first - number * _LEADING, line)
            canvas.restoreState()
        canvas.restoreState()


def _texts(titles: Sequence[str], length: float) -> list[list[str]]:
    """What fits the tabs: the titles, else without the words that all begin with, else as many words as fit, else numbers."""
    words = [title.split() for title in titles]
    own = [whole[_shared(words) :] for whole in words]
    for shorten in (_whole, _first_words):
        for texts in (words, own):
            found = [shorten(text, length) for text in texts]
            if all(found) and len({tuple(lines) for lines in found}) == len(titles):
                return found
    return [[str(number)] for number in range(1, len(titles) + 1)]


def _shared(words: Sequence[Sequence[str]]) -> int:
    """How many words all titles begin with; each keeps one of its own."""
    most = min(map(len, words)) - 1 if len(words) > 1 else 0
    return next((i for i in range(most) if len({title[i] for title in words}) > 1), most)


def _whole(words: Sequence[str], length: float) -> list[str]:
    """A text on one line, else on two as even ones as can be; nothing where they are too long."""
    breaks = [[" ".join(words)], *([" ".join(words[:i]), " ".join(words[i:])] for i in range(1, len(words)))]
    widths = [max(map(_width, lines)) for lines in breaks]
    if widths[0] <= length:
        return breaks[0]
    shortest = min(range(len(breaks)), key=lambda i: widths[i])
    return breaks[shortest] if widths[shortest] <= length else []


def _first_words(words: Sequence[str], length: float) -> list[str]:
    """As many words from the first as fit, which do not end in a comma."""
    shorter = ([*words[: count - 1], words[count - 1].rstrip(",;:")] for count in range(len(words), 0, -1))
    return next((lines for text in shorter if (lines := _whole(text, length))), [])


def _width(line: str) -> float:
    return fonts.text_width(fonts.check_glyphs(line, fonts.SEMIBOLD), fonts.SEMIBOLD, _SIZE)
