"""Parts of a page that are laid out around others: two beside each other, and some in a frame."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Flowable

from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import Box, Pen, Shape, box_path, draw_shapes, line_path
from tablegen.report.pdf.structure import is_trial

# A height above which no page ends: things are only measured.
ENDLESS = 1e5


def _hand_on_canvas(whole: Flowable, parts: Sequence[Flowable]) -> None:
    """A part that refers to a page asks the document of its canvas."""
    for part in parts:
        setattr(part, "canv", getattr(whole, "canv", None))  # noqa: B010 (typed as never missing)


class Beside(Flowable):
    """Parts at the left and parts at the right, under a rule.

    Parameters
    ----------
    left, right : sequence of Flowable
    share : float
        Of the width for the left one.
    space : float
        Below the rule and below the parts [pt].
    """

    def __init__(self, left: Sequence[Flowable], right: Sequence[Flowable], share: float, space: float) -> None:
        super().__init__()
        self.left, self.right, self.share, self.space = left, right, share, space

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as the frame, as high as the higher side."""
        self._widths = self.share * aW, (1.0 - self.share) * aW
        _hand_on_canvas(self, (*self.left, *self.right))
        parts = zip((self.left, self.right), self._widths, strict=True)
        self._heights = [sum(part.wrap(width, aH)[1] for part in own) for own, width in parts]
        self.width, self.height = aW, max(self._heights) + 2 * self.space
        return self.width, self.height

    def draw(self) -> None:
        """The rule, then the parts from their tops."""
        if not is_trial(self.canv):
            rule = line_path([(0.0, self.height), (self.width, self.height)])
            draw_shapes(self.canv, [Shape(path=rule, pen=Pen(design.THIN))])
        for parts, x, width in zip((self.left, self.right), (0.0, self._widths[0]), self._widths, strict=True):
            y = self.height - self.space
            for part in parts:
                y -= part.wrap(width, self.height)[1]
                part.drawOn(self.canv, x, y)


class SideBySide(Flowable):
    """Parts of equal width with their tops at one height; each takes what height it needs.

    Parameters
    ----------
    parts : sequence of Flowable
    gap : float
        Between two [pt].
    """

    def __init__(self, parts: Sequence[Flowable], gap: float) -> None:
        super().__init__()
        self.parts, self.gap = parts, gap
        self.spaceBefore = max(part.getSpaceBefore() for part in parts)
        self.spaceAfter = max(part.getSpaceAfter() for part in parts)

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as the frame, as high as the higher part."""
        self.width, self._wide = aW, width_beside(aW, self.gap, len(self.parts))
        _hand_on_canvas(self, self.parts)
        self._heights = [part.wrap(self._wide, aH)[1] for part in self.parts]
        self.height = max(self._heights)
        return aW, self.height

    def draw(self) -> None:
        """The parts from left to right."""
        for number, (part, high) in enumerate(zip(self.parts, self._heights, strict=True)):
            part.drawOn(self.canv, number * (self._wide + self.gap), self.height - high)


class Stacked(Flowable):
    """Parts under each other, each as low as it can be.

    Parameters
    ----------
    parts : sequence of Flowable
    """

    def __init__(self, parts: Sequence[Flowable]) -> None:
        super().__init__()
        self.parts = parts

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as there is room, as high as its parts."""
        _hand_on_canvas(self, self.parts)
        self._heights = [part.wrap(aW, ENDLESS)[1] for part in self.parts]
        self.width, self.height = aW, sum(self._heights)
        return self.width, self.height

    def draw(self) -> None:
        """The parts from the top."""
        y = self.height
        for part, high in zip(self.parts, self._heights, strict=True):
            y -= high
            part.drawOn(self.canv, 0.0, y)


def width_beside(width: float, gap: float, count: int = 2) -> float:
    """Width [pt] of each of some parts with gaps between them."""
    return (width - gap * (count - 1)) / count


class AtRight(Flowable):
    """A part at the right edge beside the line above, such as a heading; it takes no height.

    Parameters
    ----------
    part : Flowable
    rise : float
        Of its foot over the place where it is in the flow [pt].
    """

    def __init__(self, part: Flowable, rise: float) -> None:
        super().__init__()
        self.part, self.rise = part, rise

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as the frame."""
        self.width, self.height = aW, 0.0
        self._wide, _ = self.part.wrap(aW, aH)
        return aW, 0.0

    def draw(self) -> None:
        """The part, above."""
        self.part.drawOn(self.canv, self.width - self._wide, self.rise)


class Framed(Flowable):
    """Parts under each other in a frame; of two spaces that meet the larger counts.

    Parameters
    ----------
    parts : sequence of Flowable
    pad : float
        Between the frame and the parts [pt].
    """

    def __init__(self, parts: Sequence[Flowable], pad: float) -> None:
        super().__init__()
        self.parts, self.pad = parts, pad

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as the frame of the page."""
        self.width, y, space = aW, self.pad, 0.0
        self._tops: list[float] = []
        for place, part in enumerate(self.parts):
            y += max(space, part.getSpaceBefore()) if place else 0.0
            self._tops.append(y)
            y += part.wrap(aW - 2 * self.pad, aH)[1]
            space = part.getSpaceAfter()
        self.height = y + self.pad
        return self.width, self.height

    def draw(self) -> None:
        """The frame, then the parts."""
        if not is_trial(self.canv):
            frame = box_path(Box(0.0, 0.0, self.width, self.height))
            draw_shapes(self.canv, [Shape(path=frame, pen=Pen(design.LINE))])
        for part, top in zip(self.parts, self._tops, strict=True):
            _, high = part.wrap(self.width - 2 * self.pad, self.height)
            part.drawOn(self.canv, self.pad, self.height - top - high)
