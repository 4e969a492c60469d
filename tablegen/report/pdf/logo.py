"""A company's logo and letterhead on a page.

References
----------
ISO 32000-1, 8.3.3 user space, 8.5.4 clipping, 8.9 images.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from tablegen.model.company import Logo
from tablegen.report.pdf.structure import is_trial, tags
from tablegen.report.pdf.typesetting import number

# Side of the square that a logo is drawn in, and the space beside it [pt].
SIDE, ANSWER_SIDE, _GAP = 44.0, 28.0, 12.0
# Share of the width for the lines at the right.
_RIGHT = 0.22


class Letterhead(Flowable):
    """Lines about a company without space between them, to the right of its logo if it has one; others at the right edge.

    Parameters
    ----------
    lines : sequence of Flowable
    logo : Logo or None
    alt : str
        What the logo shows, for readers who cannot see it.
    right : sequence of Flowable
        Lines about the document, flush right.
    side : float
        Of the square that the logo is drawn in [pt].
    """

    def __init__(
        self,
        lines: Sequence[Flowable],
        logo: Logo | None,
        alt: str,
        right: Sequence[Flowable] = (),
        *,
        side: float = SIDE,
    ) -> None:
        super().__init__()
        self.lines, self.logo, self.alt, self.right, self._side = lines, logo, alt, right, side
        self._left = side + _GAP if logo else 0.0

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as the frame."""
        self._at_right = _RIGHT * aW if self.right else 0.0
        self._room = aW - self._left - self._at_right
        self._lines_height = sum(line.wrap(self._room, aH)[1] for line in self.lines)
        right_height = sum(line.wrap(self._at_right, aH)[1] for line in self.right)
        self.width, self.height = aW, max(self._lines_height, right_height, self._side if self.logo else 0.0)
        return self.width, self.height

    def draw(self) -> None:
        """The logo in its square at the top, the lines beside the middle of it, those at the right beside its top."""
        if self.logo and not is_trial(self.canv):
            side = self._side
            width, tall = self.logo.width * side, self.logo.height * side
            bottom = self.height - side + (side - tall) / 2
            draw_logo(self.canv, self.logo, self.alt, (side - width) / 2, bottom, side)
        y = self.height - max(0.0, (self._side - self._lines_height) / 2 if self.logo else 0.0)
        self._set(self.lines, self._left, y, self._room)
        self._set(self.right, self.width - self._at_right, self.height, self._at_right)

    def _set(self, lines: Sequence[Flowable], left: float, top: float, room: float) -> None:
        for line in lines:
            _, needed = line.wrap(room, self.height)
            top -= needed
            line.drawOn(self.canv, left, top)


def draw_logo(canvas: Canvas, logo: Logo, alt: str, left: float, bottom: float, side: float) -> None:
    """Draw a logo whose longer side is `side` long [pt]; `alt` is for readers who cannot see it."""
    width, tall = logo.width * side, logo.height * side
    canvas.saveState()
    canvas.translate(left, bottom)
    with tags(canvas).figure(alt, width, tall):
        if logo.is_png:
            canvas.drawImage(ImageReader(io.BytesIO(logo.content)), 0, 0, width, tall)
        else:
            # What the file draws outside its frame is cut off.
            clip = f"0 0 {number(logo.width)} {number(logo.height)} re W n"
            code: Any = getattr(canvas, "_code")  # noqa: B009 (private to the library)
            code.append(f"q {side:g} 0 0 {side:g} 0 0 cm {clip}\n{logo.content.decode('ascii')}\nQ")
    canvas.restoreState()
