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

from tablegen.model.inputs import Logo
from tablegen.report.pdf.structure import is_trial, tags
from tablegen.report.pdf.typesetting import number

# Side of the square that a logo is drawn in, and the space beside it [pt].
SIDE, _GAP = 44.0, 12.0


class Letterhead(Flowable):
    """Lines about a company without space between them, to the right of its logo if it has one.

    Parameters
    ----------
    lines : sequence of Flowable
    logo : Logo or None
    alt : str
        What the logo shows, for readers who cannot see it.
    """

    def __init__(self, lines: Sequence[Flowable], logo: Logo | None, alt: str) -> None:
        super().__init__()
        self.lines, self.logo, self.alt = lines, logo, alt
        self._left = SIDE + _GAP if logo else 0.0

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as the frame."""
        self._lines_height = sum(line.wrap(aW - self._left, aH)[1] for line in self.lines)
        self.width, self.height = aW, max(self._lines_height, SIDE if self.logo else 0.0)
        return self.width, self.height

    def draw(self) -> None:
        """The logo in its square at the top, the lines beside the middle of it."""
        if self.logo and not is_trial(self.canv):
            self._draw_logo(self.canv, self.logo, self.height - SIDE)
        y = self.height - max(0.0, (SIDE - self._lines_height) / 2 if self.logo else 0.0)
        for line in self.lines:
            _, needed = line.wrap(self.width - self._left, self.height)
            y -= needed
            line.drawOn(self.canv, self._left, y)

    def _draw_logo(self, canvas: Canvas, logo: Logo, bottom: float) -> None:
        width, tall = logo.width * SIDE, logo.height * SIDE
        canvas.saveState()
        canvas.translate((SIDE - width) / 2, bottom + (SIDE - tall) / 2)
        with tags(canvas).figure(self.alt, width, tall):
            if logo.is_png:
                canvas.drawImage(ImageReader(io.BytesIO(logo.content)), 0, 0, width, tall)
            else:
                # What the file draws outside its frame is cut off.
                clip = f"0 0 {number(logo.width)} {number(logo.height)} re W n"
                code: Any = getattr(canvas, "_code")  # noqa: B009 (private to the library)
                code.append(f"q {SIDE:g} 0 0 {SIDE:g} 0 0 cm {clip}\n{logo.content.decode('ascii')}\nQ")
        canvas.restoreState()
