"""A paragraph that leads to another file, as far as a reader of the page has that file beside it.

References
----------
ISO 32000-1, 12.6.4.7 URI actions, 14.8.4.4.2 link elements.
"""

from __future__ import annotations

from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph

from tablegen.report.pdf.paragraphs import Tagged, escape
from tablegen.report.pdf.structure import is_trial, tags


class _Linked(Tagged):
    """A paragraph of which every line is a link; underlined, as links are on a screen."""

    def __init__(self, text: str, style: ParagraphStyle, target: str) -> None:
        super().__init__(f"<u>{escape(text, style.fontName)}</u>", style)
        self._target = target

    def split(self, aW: float, aH: float) -> list[Any]:
        """It goes to the next page whole."""
        return []

    def draw(self) -> None:
        """Set the lines inside marks, and the link over them."""
        if is_trial(self.canv):
            return
        structure = tags(self.canv)
        with structure.element("P"), structure.element("Link"):
            with structure.mark():
                Paragraph.draw(self)
            self.canv.linkURL(self._target, (0, 0, self.width, self.height), relative=1)


def linked(text: str, style: ParagraphStyle, target: str) -> Tagged:
    """Plain text, as a link where there is a target.

    Raises
    ------
    MissingGlyphError
        The face of the style cannot draw a character.
    """
    return _Linked(text, style, target) if target else Tagged(escape(text, style.fontName), style)
