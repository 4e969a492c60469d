"""Document template: paper, margins, running heads, contents, bookmarks, paragraph styles.

Everything that is page-level lives here; the same story and date give the same bytes.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import IO, Any
from xml.sax.saxutils import escape as _escape_markup

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from tablegen.errors import PublishError
from tablegen.publish import fonts

# isort: split
# After `fonts`, which must set the base font first.
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph
from reportlab.platypus.doctemplate import BaseDocTemplate, LayoutError, PageTemplate
from reportlab.platypus.frames import Frame
from reportlab.platypus.tableofcontents import TableOfContents

PAPERS = MappingProxyType({"A4": A4, "Letter": LETTER})

BLACK = "#000000"
# Accents: always together with a dash, a marker or a label.
BLUE = "#0072B2"
VERMILLION = "#D55E00"
TINT_DARK = "#E0E0E0"
TINT_LIGHT = "#EDEDED"

SIDE_MARGIN = 18 * mm
TOP_MARGIN = 22 * mm
BOTTOM_MARGIN = 20 * mm

_HEAD_SIZE = 8.5
# Between letters only: elsewhere it may be a prime.
_APOSTROPHE = re.compile(r"(?<=[A-Za-z])'(?=[A-Za-z]|\s)")


def _style(name: str, face: str, size: float, leading: float, **more: Any) -> ParagraphStyle:
    set_in: dict[str, Any] = {"fontName": face, "bulletFontName": face, "fontSize": size, "leading": leading}
    return ParagraphStyle(name, allowWidows=0, allowOrphans=0, **set_in, **more)


STYLES = MappingProxyType(
    {
        "title": _style("title", fonts.BOLD, 24, 28, spaceAfter=6),
        "house": _style("house", fonts.BOLD, 13, 16, spaceAfter=0),
        "h1": _style("h1", fonts.BOLD, 15, 18, spaceBefore=14, spaceAfter=5, keepWithNext=1),
        "h2": _style("h2", fonts.SEMIBOLD, 11.5, 14, spaceBefore=10, spaceAfter=3, keepWithNext=1),
        "body": _style("body", fonts.REGULAR, 10, 13.5, spaceAfter=5),
        "small": _style("small", fonts.REGULAR, 8.5, 11, spaceAfter=3),
        "note": _style("note", fonts.REGULAR, 8.5, 11, leftIndent=10, firstLineIndent=-10, spaceAfter=1.5),
        "step": _style("step", fonts.REGULAR, 10, 13.5, leftIndent=16, spaceAfter=4),
        "caption": _style("caption", fonts.SEMIBOLD, 10, 13, spaceBefore=8, spaceAfter=3, keepWithNext=1),
        "contents1": _style("contents1", fonts.SEMIBOLD, 10, 13.5, spaceBefore=5, rightIndent=30),
        "contents2": _style("contents2", fonts.REGULAR, 10, 13.5, leftIndent=14, rightIndent=30),
    }
)


def escape(text: str, face: str = fonts.REGULAR) -> str:
    """Make plain text safe for a Paragraph, which drops unknown tags without a word.

    Raises
    ------
    MissingGlyphError
        The face cannot draw a character.
    """
    return _escape_markup(fonts.check_glyphs(_APOSTROPHE.sub("\N{RIGHT SINGLE QUOTATION MARK}", text), face))


def paragraph(text: str, style: str = "body", mark: str | None = None) -> Paragraph:
    """Plain text in one of `STYLES`, with a number or bullet in its indent if `mark` is given.

    Raises
    ------
    PublishError
        The style is unknown, or its face cannot draw a character.
    """
    if style not in STYLES:
        raise PublishError(f"paragraph style {style!r} is not one of {', '.join(STYLES)}")
    if mark is not None:
        fonts.check_glyphs(mark, STYLES[style].bulletFontName)
    return Paragraph(escape(text, STYLES[style].fontName).replace("\n", "<br/>"), STYLES[style], bulletText=mark)


class Heading(Paragraph):
    """A heading that stands in the contents and in the bookmarks; never alone at a page foot.

    Parameters
    ----------
    text : str
        Plain text.
    level : int
        1 (also named in the running head) or 2.

    Raises
    ------
    PublishError
        The level is neither 1 nor 2, or a glyph is missing.
    """

    def __init__(self, text: str, level: int = 1) -> None:
        if level not in (1, 2):
            raise PublishError(f"heading level {level} is not allowed; must be 1 or 2")
        style = STYLES[f"h{level}"]
        super().__init__(escape(text, style.fontName), style)
        self.heading, self.level, self.key = text, level, ""

    def split(self, aW: float, aH: float) -> list[Flowable]:
        """A heading goes to the next page whole."""
        return []

    def draw(self) -> None:
        """Set the heading, its bookmark and its outline entry."""
        template: _Template = getattr(self.canv, "_doctemplate")  # noqa: B009 (set by the library)
        self.key = template.new_key(self)
        self.canv.bookmarkHorizontal(self.key, 0, self.height + 6)
        self.canv.addOutlineEntry(self.heading, self.key, self.level - 1, closed=False)
        super().draw()


def contents() -> TableOfContents:
    """Clickable table of contents of every `Heading` in the story."""
    levels: list[Any] = [STYLES["contents1"], STYLES["contents2"]]
    return TableOfContents(levelStyles=levels, dotsMinLevel=0, rightColumnWidth=30)


class _Template(BaseDocTemplate):
    """Counts pages over the passes, so that 'n of N' needs no replay of saved pages."""

    def __init__(self, document: Document) -> None:
        self.document = document
        super().__init__(
            document.target, pagesize=document.page_size, invariant=1, pageCompression=1, lang="en",
            title=document.title, author=document.author, subject=document.subject, creator="tablegen",
            keywords=list(document.keywords), initialFontName=fonts.REGULAR, displayDocTitle=1,
        )  # fmt: skip
        frame = Frame(SIDE_MARGIN, BOTTOM_MARGIN, document.frame_width, document.frame_height, 0, 0, 0, 0)
        self.addPageTemplates(PageTemplate("page", [frame], onPageEnd=self._running))
        self._total = self.count = 0

    def _makeCanvas(self, *args: Any, **kwargs: Any) -> Canvas:
        canvas: Any = super()._makeCanvas(*args, **kwargs)  # type: ignore[misc]
        stamp = "undated"
        if self.document.date is not None:
            stamp = self.document.date.strftime("D:%Y%m%d000000+00'00'")
            canvas.setDateFormatter(lambda *now: stamp)
        # The document identifier must not hang on the environment's clock either.
        canvas._doc.signature = hashlib.md5(stamp.encode(), usedforsecurity=False)
        self.document.prepare(canvas)
        return canvas  # type: ignore[no-any-return]

    def beforeDocument(self) -> None:
        self._headings, self._section, self._on_page, self._last_level = 0, "", "", 0

    def new_key(self, heading: Heading) -> str:
        """Name the next heading; the same story gives the same names in every pass."""
        if heading.level > self._last_level + 1:
            raise PublishError(f"heading {heading.heading!r} of level 2 stands before any of level 1")
        self._last_level = heading.level
        self._headings += 1
        return f"heading-{self._headings}"

    def afterFlowable(self, flowable: Flowable) -> None:
        if isinstance(flowable, Heading):
            if flowable.level == 1:
                self._section = flowable.heading
                # A page is named after the first section that begins on it, else after the one that goes on.
                self._on_page = self._on_page or flowable.heading
            self.notify("TOCEntry", (flowable.level - 1, escape(flowable.heading), self.page, flowable.key))

    def afterPage(self) -> None:
        self.count = self.page
        self._on_page = ""

    def _allSatisfied(self) -> bool:
        happy = bool(super()._allSatisfied()) and self.count == self._total  # type: ignore[misc]
        self._total = self.count
        if happy:
            self._refuse_stray_fonts()
            if self._indexingFlowables and not self._headings:  # type: ignore[attr-defined]
                raise PublishError(f"{self.document.title}: the story has contents but no heading")
        return happy

    def _refuse_stray_fonts(self) -> None:
        canvas: Any = self.canv
        stray = sorted(name for name in canvas._doc.fontMapping if name not in fonts.FACES)
        if stray:
            ours = ", ".join(fonts.FACES)
            raise PublishError(f"font {', '.join(stray)} is not embedded; set every text in {ours}")

    def _running(self, canvas: Canvas, template: object) -> None:
        """Draw head and foot when the page is full, so that the head can name its section."""
        document = self.document
        left, right = SIDE_MARGIN, SIDE_MARGIN + document.frame_width
        canvas.saveState()
        canvas.setLineWidth(0.35)
        if self.page > 1:
            y = document.page_size[1] - TOP_MARGIN + 18
            canvas.setFont(fonts.SEMIBOLD, _HEAD_SIZE)
            canvas.drawString(left, y, document.title)
            canvas.setFont(fonts.REGULAR, _HEAD_SIZE)
            used = fonts.text_width(document.title, fonts.SEMIBOLD, _HEAD_SIZE) + 12
            section = self._on_page or self._section
            if fonts.text_width(section, fonts.REGULAR, _HEAD_SIZE) <= document.frame_width - used:
                canvas.drawRightString(right, y, section)
            canvas.line(left, y - 5, right, y - 5)
        y = BOTTOM_MARGIN - 22
        canvas.line(left, y + 11, right, y + 11)
        canvas.setFont(fonts.SEMIBOLD, _HEAD_SIZE)
        canvas.drawString(left, y, document.notice)
        canvas.setFont(fonts.REGULAR, _HEAD_SIZE)
        canvas.drawRightString(right, y, f"Page {self.page} of {self._total}")
        canvas.restoreState()


class Document:
    """One printed document: build a story into bytes that depend on nothing but the arguments.

    Parameters
    ----------
    target : str, Path or binary file
        Where the PDF goes; it is written once, when every page is set.
    paper : str
        A key of `PAPERS`.
    title : str
        Stands in the running head and in the metadata.
    date : datetime.date or None
        Date of the document in the metadata; None for a document that depends on no date.
    notice : str
        Stands at the foot of every page ("Invented demonstration data").
    author, subject : str
        Metadata.
    keywords : sequence of str
        Metadata.
    landscape : bool
        Turn the paper.
    prepare : callable
        Told of the canvas of each pass before its first page.

    Raises
    ------
    PublishError
        Unknown paper, a missing glyph, or a title or notice too long for its line.
    """

    def __init__(
        self, target: str | Path | IO[bytes], paper: str, title: str, *, date: date | None, notice: str = "",
        author: str = "", subject: str = "", keywords: Sequence[str] = (), landscape: bool = False,
        prepare: Callable[[Canvas], object] = lambda canvas: None,
    ) -> None:  # fmt: skip
        if paper not in PAPERS:
            raise PublishError(f"paper {paper!r} is not one of {', '.join(PAPERS)}")
        self.target = str(target) if isinstance(target, Path) else target
        self.title, self.date, self.notice, self.prepare = title, date, notice, prepare
        self.author, self.subject, self.keywords = author, subject, tuple(keywords)
        short, long = PAPERS[paper]
        self.page_size = (long, short) if landscape else (short, long)
        for text, room in ((title, self.frame_width), (notice, self.frame_width - 70)):
            fonts.check_glyphs(text, fonts.SEMIBOLD)
            if fonts.text_width(text, fonts.SEMIBOLD, _HEAD_SIZE) > room:
                raise PublishError(f"{text!r} is too long for one line of {room:.0f} pt at {_HEAD_SIZE} pt")

    @property
    def frame_width(self) -> float:
        """Width between the margins [pt]."""
        return self.page_size[0] - 2 * SIDE_MARGIN

    @property
    def frame_height(self) -> float:
        """Height between the margins [pt]."""
        return self.page_size[1] - TOP_MARGIN - BOTTOM_MARGIN

    def build(self, story: Sequence[Flowable]) -> int:
        """Set the story and write the document; return its number of pages.

        Raises
        ------
        PublishError
            A part is larger than a page, contents without a heading, or a font is not embedded.
        """
        template = _Template(self)
        try:
            template.multiBuild(list(story))
        except LayoutError as error:
            raise PublishError(f"{self.title}: a part does not fit on any page: {error}") from error
        return template.count
