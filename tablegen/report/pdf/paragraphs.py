"""Paragraph styles, paragraphs, headings and contents, each of which is marked as what it is.

References
----------
ISO 32000-1, 14.8.4.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from types import MappingProxyType
from typing import Any
from xml.sax.saxutils import escape as _escape_markup
from xml.sax.saxutils import unescape as _unescape_markup

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph, Spacer, Table, TableStyle
from reportlab.platypus.tableofcontents import TableOfContents

from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.structure import is_trial, tags, text_string
from tablegen.wording import terms

# A symbol of the method and its index, with a second one after a comma; no name of a config file looks like that.
_INDEX = re.compile(r"(?<![A-Za-z0-9_])([A-Za-zΔηρφ]+)_([A-Za-z0-9]+(?:,[a-z]+)?)")
# How far below the line an index is [pt].
_INDEX_DROP = 2.2
# Between letters only: elsewhere it may be a prime.
_APOSTROPHE = re.compile(r"(?<=[A-Za-z])'(?=[A-Za-z]|\s)")
# Letters up to which a word is too short to stand alone on a last line; how much narrower a paragraph may be set [pt].
_SHORT_WORD, _NARROWER = 12, (8.0, 16.0, 24.0, 36.0, 48.0)
# Lines up to which a paragraph is not split between pages.
_WHOLE_LINES = 5
# What leads from a line of the contents to its page.
_DOT = " . "
# Attributes of a list, by which its steps know each other.
_NUMBERED = "/A<</O/List/ListNumbering/Decimal>>"
_BULLETED = "/A<</O/List/ListNumbering/Disc>>"


def _style(name: str, face: str, size: float, leading: float, **more: Any) -> ParagraphStyle:
    set_in: dict[str, Any] = {"fontName": face, "bulletFontName": face, "fontSize": size, "leading": leading}
    return ParagraphStyle(name, allowWidows=0, allowOrphans=0, **set_in, **more)


STYLES = MappingProxyType(
    {
        "title": _style("title", fonts.BOLD, design.TITLE, 28, spaceAfter=6),
        "company": _style("company", fonts.BOLD, design.COMPANY, 16, spaceAfter=0),
        "cover_company": _style("cover_company", fonts.BOLD, design.COVER_COMPANY, 21),
        # Number, revision and date of a document, at the right of its company.
        "document": _style("document", fonts.REGULAR, design.BODY, 13.5, alignment=TA_RIGHT),
        "document_number": _style("document_number", fonts.BOLD, design.COMPANY, 16, alignment=TA_RIGHT),
        "h1": _style("h1", fonts.BOLD, design.CHAPTER, 18, spaceBefore=14, spaceAfter=5, keepWithNext=1),
        "h2": _style("h2", fonts.SEMIBOLD, design.PART, 14, spaceBefore=10, spaceAfter=3, keepWithNext=1),
        "body": _style("body", fonts.REGULAR, design.BODY, 13.5, spaceAfter=5),
        "small": _style("small", fonts.REGULAR, design.NOTE, 11, spaceAfter=3),
        # On a chart on the wall: what one steps closer for, and what one takes it down for.
        "wall": _style("wall", fonts.REGULAR, design.WALL_CLOSE, 12.4, spaceAfter=1),
        "fine": _style("fine", fonts.REGULAR, design.FINE, 9.2, spaceAfter=0),
        "note": _style("note", fonts.REGULAR, design.NOTE, 11, leftIndent=10, firstLineIndent=-10, spaceAfter=1.5),
        "step": _style("step", fonts.REGULAR, design.BODY, 13.5, leftIndent=16, spaceAfter=4),
        "caption": _style("caption", fonts.SEMIBOLD, design.BODY, 13, spaceBefore=8, spaceAfter=3, keepWithNext=1),
        # As a caption, above what began on the page before.
        "continued": _style("continued", fonts.SEMIBOLD, design.BODY, 13, spaceAfter=3),
        "contents1": _style("contents1", fonts.SEMIBOLD, design.BODY, 10.8, spaceBefore=2, rightIndent=30),
        "contents2": _style("contents2", fonts.REGULAR, design.BODY, 10.8, leftIndent=14, rightIndent=30),
    }
)


def escape(text: str, face: str = fonts.REGULAR) -> str:
    """Make plain text safe for a Paragraph, which drops unknown tags without a word.

    Raises
    ------
    MissingGlyphError
        The face cannot draw a character.
    """
    return _escape_markup(with_apostrophes(text, face))


def with_apostrophes(text: str, face: str = fonts.REGULAR) -> str:
    """A text with typographic apostrophes.

    Raises
    ------
    MissingGlyphError
        The face cannot draw a character.
    """
    return fonts.check_glyphs(_APOSTROPHE.sub("\N{RIGHT SINGLE QUOTATION MARK}", text), face)


def subscripted(markup: str) -> str:
    """Escaped text with `p_bulb` and `h_l,rated` set as a symbol and its index; file names are not for this."""
    return _INDEX.sub(rf'\1<sub rise="{_INDEX_DROP:g}" size="{design.INDEX:g}">\2</sub>', markup)


def indexed_pieces(text: str) -> Iterator[tuple[str, bool]]:
    """A line of plain text in pieces, each with whether it is the index of a symbol."""
    # Parts between symbols, symbols and their indices, in turn.
    for part, is_index in zip(_INDEX.split(text), itertools.cycle((False, False, True)), strict=False):
        if part:
            yield part, is_index


def formula_width(text: str, face: str, size: float) -> float:
    """Width of a line of plain text [pt] whose symbols have indices, as `subscripted` sets it."""
    return sum(fonts.text_width(piece, face, design.INDEX if low else size) for piece, low in indexed_pieces(text))


class Tagged(Paragraph):
    """A paragraph that is marked as what its style stands for; split over pages it stays one element.

    Attributes
    ----------
    whole : Tagged or None
        The paragraph that this is a part of.
    """

    whole: Tagged | None = None

    def __init__(self, text: str, style: ParagraphStyle, **more: Any) -> None:
        super().__init__(text, style, **more)
        # By width: a paragraph is set several times before its place is known.
        self._broken: dict[tuple[float, ...], Any] = {}

    def split(self, aW: float, aH: float) -> list[Flowable]:
        """Split the lines; the parts know what they are of. A short paragraph goes to the next page whole."""
        lines = getattr(getattr(self, "blPara", None), "lines", ())
        if self.whole is None and 0 < len(lines) <= _WHOLE_LINES:
            return []
        parts: list[Any] = super().split(aW, aH)
        for part in parts:
            part.whole = self.whole or self
        return parts

    def breakLines(self, width: Any) -> Any:
        """Break the text into lines; set a little narrower where one short word would be left for the last."""
        key = tuple(width) if isinstance(width, list) else (width,)
        if key not in self._broken:
            self._broken[key] = self._break(width)
        return self._broken[key]

    def _break(self, width: Any) -> Any:
        broken: Any = super().breakLines(width)
        lines = len(broken.lines)
        if lines < 2 or _last_word(broken) > _SHORT_WORD:
            return broken
        for less in _NARROWER:
            other: Any = super().breakLines([w - less for w in width] if isinstance(width, list) else width - less)
            if len(other.lines) > lines:
                break
            if _last_word(other) > _SHORT_WORD:
                return other
        return broken

    def draw(self) -> None:
        """Set the lines inside marks."""
        if is_trial(self.canv):
            return
        structure, whole = tags(self.canv), self.whole or self
        if self.style.name != "step":
            with structure.marked("Title" if self.style.name == "title" else "P", source=whole):
                super().draw()
            return
        # One step after another goes on with the list, and the second half of one with its body.
        numbering = _NUMBERED if whole.bulletText and whole.bulletText[0].isdigit() else _BULLETED
        with structure.element("L", numbering, source=numbering), structure.element("LI", source=whole):
            label = [structure.add("Lbl")] if self.bulletText else []
            with structure.mark_texts(*label, structure.add("LBody", source=whole)):
                super().draw()


def paragraph(
    text: str, style: str = "body", mark: str | None = None, is_formula: bool = False, indent: float = 0.0
) -> Tagged:
    """Plain text in one of `STYLES`, with a number or bullet in its indent if `mark` is given.

    In a formula an underscore begins the index of a symbol.  An indent [pt] that is wider than that of the style counts.

    Raises
    ------
    MissingGlyphError
        The face of the style cannot draw a character.
    """
    if mark is not None:
        fonts.check_glyphs(mark, STYLES[style].bulletFontName)
    markup = escape(text, STYLES[style].fontName).replace("\n", "<br/>")
    own = STYLES[style]
    if indent > own.leftIndent:
        own = ParagraphStyle(style, own, leftIndent=indent)
    return Tagged(subscripted(markup) if is_formula else markup, own, bulletText=mark)


def sized(text: str, style: ParagraphStyle, size: float) -> Tagged:
    """Plain text in a style at another size [pt], without space around it.

    Raises
    ------
    MissingGlyphError
        The face of the style cannot draw a character.
    """
    leading = size * style.leading / style.fontSize
    own = ParagraphStyle(style.name, style, fontSize=size, leading=leading, spaceBefore=0, spaceAfter=0, keepWithNext=0)
    return Tagged(escape(text, style.fontName), own)


def cover_title(text: str, width: float, most_lines: int = 2) -> Tagged:
    """A title in the largest type of a cover in which it takes so many lines, which are as even as they can be.

    A longer one is in the type of other titles.

    Raises
    ------
    MissingGlyphError
        The face cannot draw a character.
    """
    own = STYLES["title"]
    shown = with_apostrophes(text, own.fontName)

    def lines(size: float, room: float) -> int:
        return len(fonts.wrapped(shown, own.fontName, size, room))

    size = next((size for size in design.COVER_TITLES if lines(size, width) <= most_lines), design.TITLE)
    # No narrower than a word of many.
    rooms = (share * width for share in (0.5, 0.6, 0.7, 0.8, 0.9, 1.0))
    room = next(own_room for own_room in rooms if lines(size, own_room) == lines(size, width) or own_room == width)
    style = ParagraphStyle("title", own, fontSize=size, leading=1.13 * size, rightIndent=width - room)
    return Tagged(escape(text, own.fontName), style)


def _last_word(broken: Any) -> int:
    """Letters on the last line if it is one word, else more than any word has."""
    last = broken.lines[-1]
    if broken.kind == 0:
        words = [str(word) for word in last[1]]
    else:
        words = "".join(fragment.text for fragment in last.words).split()
    return len(words[0]) if len(words) == 1 else 99


class Heading(Paragraph):
    """A heading, listed in the contents and in the bookmarks; never alone at a page foot.

    Parameters
    ----------
    text : str
        Plain text.
    level : int
        1 (also named in the running head) or 2.
    destination : str
        Name by which a link from outside finds the heading, and no other in the document has; without one it is numbered.

    Raises
    ------
    MissingGlyphError
        The face cannot draw a character.
    """

    def __init__(self, text: str, level: int = 1, destination: str = "") -> None:
        style = STYLES[f"h{level}"]
        super().__init__(escape(text, style.fontName), style)
        self.heading, self.level, self.destination, self.key = text, level, destination, ""

    def split(self, aW: float, aH: float) -> list[Flowable]:
        """A heading goes to the next page whole."""
        return []

    def enter(self) -> None:
        """Its bookmark and its outline entry."""
        canvas: Any = self.canv
        template = getattr(canvas, "_doctemplate")  # noqa: B009 (set by the library)
        self.key = template.new_key(self)
        canvas.bookmarkHorizontal(self.key, 0, self.height + 6)
        if self.destination:
            canvas.name_place(self.key)
        canvas.addOutlineEntry(self.heading, self.key, self.level - 1, closed=False)

    def draw(self) -> None:
        """Set the heading, its bookmark and its outline entry."""
        self.enter()
        with tags(self.canv).marked(f"H{self.level}"):
            super().draw()


class _Entry(Paragraph):
    """A line of the contents: a link to its heading with dots and page number, read without the dots."""

    def __init__(self, contents: object, level: int, text: str, page: int, key: str | None) -> None:
        markup = f'<a href="#{key}">{text}</a>' if key else text
        super().__init__(markup, STYLES[f"contents{level + 1}"])
        self._contents, self._page, self._key = contents, str(page), key
        self._read = terms.CONTENTS_ENTRY(heading=_unescape_markup(text), page=page)

    def draw(self) -> None:
        """Set the line inside marks."""
        structure, actual = tags(self.canv), f"/ActualText{text_string(self._read)}"
        with (
            structure.element("TOC", source=self._contents),
            structure.element("TOCI"),
            structure.element("Reference"),
            structure.element("Link", actual),
            structure.mark(),
        ):
            super().draw()
            self._draw_page()

    def _draw_page(self) -> None:
        """Dots from the end of the text, and the page number flush right, which is a link too."""
        broken: Any = getattr(self, "blPara")  # noqa: B009 (set by the library)
        style, lines = self.style, broken.lines
        last = lines[-1][0] if broken.kind == 0 else lines[-1].extraSpace
        room = style.rightIndent + last
        face, size = style.fontName, style.fontSize
        wide, dot = fonts.text_width(self._page, face, size), fonts.text_width(_DOT, face, size)
        base = self.height - size - (len(lines) - 1) * style.leading
        self.canv.setFont(face, size)
        self.canv.drawRightString(self.width, base, int((room - wide) / dot) * _DOT + self._page)
        if self._key:
            corners = (self.width - wide, base, self.width, base + style.leading)
            self.canv.linkRect("", self._key, corners, relative=1)


class _Contents(TableOfContents):
    """The library's contents with lines of our own."""

    def __init__(self) -> None:
        padding = [
            (f"{side}PADDING", (0, 0), (-1, -1), 0.5 if side in ("TOP", "BOTTOM") else 0)
            for side in ("TOP", "BOTTOM", "LEFT", "RIGHT")
        ]
        super().__init__(tableStyle=TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), *padding]))

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        inner: Any = self
        # None is listed yet in the first pass.
        listed = inner._lastEntries or [(0, ".", 0, None)]
        rows: list[list[Flowable]] = []
        for entry in listed:
            line = _Entry(self, *entry)
            rows += [[Spacer(1, line.style.spaceBefore)]] if line.style.spaceBefore else []
            rows.append([line])
        inner._table = Table(rows, colWidths=(aW,), style=self.tableStyle)
        self.width, self.height = inner._table.wrapOn(self.canv, aW, aH)
        return self.width, self.height


class _ChapterContents(_Contents):
    """The parts of one chapter, by its heading."""

    def __init__(self, chapter: str) -> None:
        super().__init__()
        self._chapter, self._is_open = escape(chapter), False

    def clearEntries(self) -> None:
        """Begin a pass."""
        inner: Any = super()
        inner.clearEntries()
        self._is_open = False

    def addEntry(self, level: int, text: str, pageNum: int, key: str | None = None) -> None:
        """Keep a part of the chapter; its own heading is no line of it."""
        if level == 0:
            self._is_open = text == self._chapter
        elif self._is_open:
            super().addEntry(level, text, pageNum, key)


def chapter_contents(chapter: str) -> TableOfContents:
    """The parts of a chapter with their page numbers."""
    return _ChapterContents(chapter)


def contents() -> TableOfContents:
    """Clickable table of contents of every `Heading` in the story."""
    return _Contents()
