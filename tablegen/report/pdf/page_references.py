"""A paragraph that adds the number of a page wherever it names a chapter of its document."""

from __future__ import annotations

from reportlab.lib.styles import ParagraphStyle

from tablegen.report.pdf.paragraphs import Tagged, escape
from tablegen.wording import terms

# Of a page that the first pass does not know yet: as wide as most numbers.
_UNKNOWN = "00"


class _Referring(Tagged):
    """Text that is set anew when the page of its chapter is another; `plain` is nothing for what is split off."""

    plain = chapter = shown = ""
    # As high as with any page shown so far, else a longer number might move its own chapter back and forth for ever [pt].
    highest = 0.0

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """Set the page that the pass before found, where there was one."""
        pages = getattr(getattr(getattr(self, "canv", None), "_doctemplate", None), "pages", {})
        page = str(pages.get(self.chapter, self.shown or _UNKNOWN))
        if self.plain and page != self.shown:
            self._show(page)
        width, own = super().wrap(aW, aH)
        self.height = self.highest = max(self.highest, own)
        return width, self.height

    def _show(self, page: str) -> None:
        self.shown = page
        named = terms.CONTENTS_ENTRY(heading=self.chapter, page=page)
        # Its first naming only: once is enough.
        markup = escape(self.plain.replace(self.chapter, named, 1), self.style.fontName)
        super().__init__(markup, self.style, bulletText=self.bulletText)


def referring(text: str, chapter: str, style: ParagraphStyle, mark: str | None = None) -> Tagged:
    """Plain text in a style, with the page of a chapter of the document behind its heading, if there is one that the text names.

    `mark` is the number of a step.

    Raises
    ------
    MissingGlyphError
        The face of the style cannot draw a character.
    """
    own = _Referring(escape(text, style.fontName), style, bulletText=mark)
    if chapter and chapter in text:
        own.plain, own.chapter = text, chapter
    return own
