"""Document template: paper, margins, running heads, bookmarks, and what fits on a page.

The same story and date give the same bytes.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import IO, Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, HRFlowable
from reportlab.platypus.doctemplate import ActionFlowable, BaseDocTemplate, LayoutError, PageTemplate
from reportlab.platypus.flowables import NullDraw
from reportlab.platypus.frames import Frame

from tablegen.errors import PublishError
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.design import BOTTOM_MARGIN, DEFAULT_ACCENT, NOTE, PAPERS, TOP_MARGIN
from tablegen.report.pdf.fonts import wrapped
from tablegen.report.pdf.page_tabs import PageTabs
from tablegen.report.pdf.paragraphs import STYLES, Heading, contents, escape, paragraph
from tablegen.report.pdf.structure import is_trial
from tablegen.report.pdf.tagged_canvas import TaggedCanvas, own_date
from tablegen.wording import input_errors, terms
from tablegen.wording.language import language

_HEAD_SIZE, _LINE = NOTE, 10.2
# Of the running head from the edge of the paper, what printers can print at.
_MIN_HEAD = 24.0
# Beside the notice stands the number of the page.
_PAGE_NUMBER, _GAP = 70.0, 12.0
# And between them the number of the document, up to this width.
_MOST_MARK = 100.0
# Lines that the margins have room for over the running head, and that leave a page to what is on it under the notice.
_MOST_TITLE, _MOST_NOTICE = 3, 16
# The parts that stories are made of, so that a page needs one import.
__all__ = ("STYLES", "Document", "Heading", "contents", "escape", "paragraph")


class _Template(BaseDocTemplate):
    """Counts pages over the passes, so that 'n of N' needs no replay of saved pages."""

    def __init__(self, document: Document) -> None:
        self.document = document
        super().__init__(
            document.content,
            pagesize=document.page_size,
            invariant=1,
            pageCompression=1,
            lang=language(),
            title=document.title,
            author=document.author,
            subject=document.subject,
            creator="tablegen",
            keywords=list(document.keywords),
            initialFontName=fonts.REGULAR,
            displayDocTitle=1,
        )
        # Right pages, which are the odd ones, and left pages; those of a document that is not bound are the same.
        for name, number in (("right", 1), ("left", 2)):
            size = document.frame_width, document.frame_height
            frame = Frame(document.left(number), document.bottom_margin, *size, 0, 0, 0, 0)
            self.addPageTemplates(PageTemplate(name, [frame], onPageEnd=self._running))
        self._total = self.count = 0
        # On which page each chapter was in the pass before, for what refers to it, and is in this one.
        self.pages: dict[str, int] = {}
        self._found: dict[str, int] = {}
        # The first pages of sheets that are numbered by themselves, in the pass before and in this one.
        self._starts: list[int] = []
        self._begun: list[int] = []

    def _makeCanvas(self, *args: Any, **kwargs: Any) -> Canvas:
        with own_date():
            canvas: Any = super()._makeCanvas(*args, **kwargs)  # type: ignore[misc]
        stamp = "undated"
        if self.document.date is not None:
            stamp = self.document.date.strftime("D:%Y%m%d000000+00'00'")
            canvas.setDateFormatter(lambda *now: stamp)
        # The document identifier must not depend on the clock either.
        canvas._doc.signature = hashlib.md5(stamp.encode(), usedforsecurity=False)
        # There is always another pass after the first, which does not know the number of pages yet.
        canvas.is_trial, canvas.accent = not self._total, self.document.accent
        self.document.prepare(canvas)
        return canvas  # type: ignore[no-any-return]

    def handle_pageBegin(self) -> None:
        """Begin a page as a right or a left one; `page` counts those before it."""
        self.pageTemplate = self.pageTemplates[self.page % 2]
        super().handle_pageBegin()

    def beforeDocument(self) -> None:
        self._headings, self._section, self._on_page, self._last_level = 0, "", "", 0
        self.pages, self._found = self._found, {}
        self._starts, self._begun = self._begun, []
        self._is_begun = False
        # Level of the headings that pages are named after.
        self._naming = 1

    def new_key(self, heading: Heading) -> str:
        """Name the next heading; the same story gives the same names in every pass."""
        if heading.level > self._last_level + 1:
            raise PublishError(input_errors.NO_CHAPTER(heading=repr(heading.heading)))
        self._last_level = heading.level
        self._headings += 1
        return heading.destination or f"heading-{self._headings}"

    def afterFlowable(self, flowable: Flowable) -> None:
        if isinstance(flowable, Heading):
            if flowable.level == 1:
                # A heading that repeats the title, which stands on the left, leaves the naming to its parts.
                self._naming = 1 + (flowable.heading == self.document.title)
            if flowable.level == self._naming:
                # A page is named after the section at its top.
                self._on_page = self._on_page or (self._section if self._is_begun else "") or flowable.heading
                self._section = flowable.heading
            self._found.setdefault(flowable.heading, self.page)
            self.notify("TOCEntry", (flowable.level - 1, escape(flowable.heading), self.page, flowable.key))
        # A page break, which is a NullDraw too, is met when its page has ended and the next has not begun.
        self._is_begun |= not isinstance(flowable, (ActionFlowable, HRFlowable, NullDraw))

    def name_page(self, name: str) -> None:
        """What the head of this page says, which no section begins on."""
        self._on_page = name

    def begin_sheet(self) -> None:
        """Number the pages from this one on by themselves, up to the next sheet."""
        self._begun.append(self.page)

    def _numbered(self) -> tuple[int, int]:
        """The number of this page in its sheet, and how many pages that has; without sheets, in the document."""
        first = max((own for own in self._starts if own <= self.page), default=1)
        end = min((own for own in self._starts if own > self.page), default=self._total + 1)
        return self.page - first + 1, end - first

    def afterPage(self) -> None:
        self.count = self.page
        self._on_page, self._is_begun = "", False

    def _allSatisfied(self) -> bool:
        happy = bool(super()._allSatisfied()) and self.count == self._total  # type: ignore[misc]
        self._total = self.count
        if happy:
            self._refuse_stray_fonts()
            if self._indexingFlowables and not self._headings:  # type: ignore[attr-defined]
                raise PublishError(input_errors.NO_HEADING(title=self.document.title))
        return happy

    def _refuse_stray_fonts(self) -> None:
        canvas: Any = self.canv
        stray = sorted(name for name in canvas._doc.fontMapping if name not in fonts.FACES)
        if stray:
            raise PublishError(input_errors.NOT_EMBEDDED(font=", ".join(stray), faces=", ".join(fonts.FACES)))

    def _running(self, canvas: Canvas, template: object) -> None:
        """Draw head, foot and tabs when the page is full, so that the head can name its section."""
        if is_trial(canvas):
            return
        document = self.document
        left = document.left(self.page)
        right = left + document.frame_width
        # Whether the outer edge, where a page is leafed through, is at the left.
        is_turned = document.is_bound and self.page % 2 == 0
        section = self._on_page or self._section
        page, total = self._numbered()
        canvas.saveState()
        canvas.setLineWidth(0.35)
        if page > 1 and document.has_head:
            y = document.page_size[1] - max(document.top_margin - 18, _MIN_HEAD)
            top = y + (len(document.title_lines) - 1) * _LINE
            self._set_ends(canvas, top, left, right, document.title_lines, [], is_turned)
            used = fonts.text_width(document.title_lines[-1], fonts.SEMIBOLD, _HEAD_SIZE) + 12
            if fonts.text_width(section, fonts.REGULAR, _HEAD_SIZE) <= document.frame_width - used:
                self._set_ends(canvas, y, left, right, [], [section], is_turned)
            canvas.line(left, y - 5, right, y - 5)
        if document.has_foot:
            y = document.bottom_margin - 22
            canvas.line(left, y + 11, right, y + 11)
            number = terms.PAGE_OF(page=page, total=total)
            self._set_ends(canvas, y, left, right, document.notice_lines, [number, document.mark], is_turned)
        if section in document.tabs.titles:
            edge = design.TAB_EDGE if is_turned else document.page_size[0] - design.TAB_EDGE - design.TAB_WIDTH
            document.tabs.draw(canvas, edge, document.bottom_margin + document.frame_height, section)
        canvas.restoreState()

    @staticmethod
    def _set_ends(
        canvas: Canvas,
        y: float,
        left: float,
        right: float,
        inner: Sequence[str],
        outer: Sequence[str],
        is_turned: bool,
    ) -> None:
        """Lines at the inner end; at the outer end texts one beside the other, from the edge inward."""
        canvas.setFont(fonts.SEMIBOLD, _HEAD_SIZE)
        for i, line in enumerate(inner):
            (canvas.drawRightString if is_turned else canvas.drawString)(
                right if is_turned else left, y - i * _LINE, line
            )
        canvas.setFont(fonts.REGULAR, _HEAD_SIZE)
        for i, text in enumerate(outer):
            if is_turned:
                canvas.drawString(left + i * _PAGE_NUMBER, y, text)
            else:
                canvas.drawRightString(right - i * _PAGE_NUMBER, y, text)


class Document:
    """One printed document: build a story into bytes that depend on nothing but the arguments.

    Parameters
    ----------
    target : str, Path or binary file
        Where the PDF goes; it is written once, when every page is set.
    paper : str
        A key of `PAPERS`, in any case.
    title : str
        Stands in the running head, on several lines if it is long, and in the metadata.
    date : datetime.date or None
        Date of the document in the metadata; None for a document that depends on no date.
    notice : str
        Stands at the foot of every page ("Invented demonstration data"), on several lines if it is long.
    author, subject : str
        Metadata.
    keywords : sequence of str
        Metadata.
    mark : str
        Number and revision of the document, at the foot of every page.
    landscape : bool
        Turn the paper.
    side_margin, foot_margin : float
        At either side, and at the foot with one line of notice [pt].
    top_margin : float
        For a sheet of one page, whose head is empty [pt].
    has_head : bool
        Whether later pages have a running head.
    has_foot : bool
        Whether pages have a foot; a sheet that is printed up to its edges has room for none.
    prepare : callable
        Called with the canvas of each pass before its first page.
    accent : str
        The color `#RRGGBB` that the design calls so.
    is_bound : bool
        Printed on two sides and bound: the first page is a right one, the margin at the back is wider, and numbers of
        pages are at the outer edge.
    tabs : sequence of str
        Chapters that have a tab at the outer edge of their pages, by their headings; only of what is bound.

    Raises
    ------
    PublishError
        A missing glyph, or a title or notice of more lines than fit; those of a config are never so long.
    """

    def __init__(
        self,
        target: str | Path | IO[bytes],
        paper: str,
        title: str,
        *,
        date: date | None,
        notice: str = "",
        author: str = "",
        subject: str = "",
        keywords: Sequence[str] = (),
        mark: str = "",
        landscape: bool = False,
        side_margin: float = design.SIDE_MARGIN,
        top_margin: float = TOP_MARGIN,
        foot_margin: float = BOTTOM_MARGIN,
        has_head: bool = True,
        has_foot: bool = True,
        prepare: Callable[[Canvas], object] = lambda canvas: None,
        accent: str = DEFAULT_ACCENT,
        is_bound: bool = False,
        tabs: Sequence[str] = (),
    ) -> None:
        # In memory first: the library leaves a file that it cannot write open, to complain when it is thrown away.
        self.target, self.content = target, io.BytesIO()
        self.title, self.date, self.notice, self.prepare, self.accent = title, date, notice, prepare, accent
        self.side_margin, self.top_margin, self.has_head, self.has_foot = side_margin, top_margin, has_head, has_foot
        self._foot_margin, self.is_bound = foot_margin, is_bound
        self.author, self.subject, self.keywords = author, subject, tuple(keywords)
        short, long = PAPERS[paper.lower()]
        self.page_size = (long, short) if landscape else (short, long)
        self.title_lines = self._lines(title, self.frame_width, _MOST_TITLE)
        # A long one has a line of its own under the notice.
        mark_width = fonts.text_width(fonts.check_glyphs(mark), fonts.REGULAR, _HEAD_SIZE)
        self.mark, beside = (mark, mark_width + _GAP) if mark and mark_width <= _MOST_MARK else ("", 0.0)
        foot = notice if mark == self.mark else f"{notice}\n{mark}"
        self.notice_lines = self._lines(foot, self.frame_width - _PAGE_NUMBER - beside, _MOST_NOTICE)
        self.tabs = PageTabs.of(tabs if is_bound else (), self.frame_height)

    def left(self, page: int) -> float:
        """The left margin of a page, counted from 1 [pt]."""
        if not self.is_bound:
            return self.side_margin
        return design.INNER_MARGIN if page % 2 else design.OUTER_MARGIN

    @staticmethod
    def _lines(text: str, width: float, most: int) -> list[str]:
        lines = wrapped(fonts.check_glyphs(text, fonts.SEMIBOLD), fonts.SEMIBOLD, _HEAD_SIZE, width)
        if len(lines) > most:
            size = f"{_HEAD_SIZE:g}"
            raise PublishError(input_errors.TOO_LONG(text=repr(text), lines=most, width=f"{width:.0f}", size=size))
        return lines

    @property
    def bottom_margin(self) -> float:
        """Height [pt] below what the page holds: the notice may take several lines."""
        return self._foot_margin + (len(self.notice_lines) - 1) * _LINE

    @property
    def frame_width(self) -> float:
        """Width between the margins [pt]."""
        return self.page_size[0] - self.left(1) - self.left(2)

    @property
    def lowest_height(self) -> float:
        """Height between the margins on the lowest of all papers [pt], which may have a line of notice more."""
        lowest = min(high for _, high in PAPERS.values())
        return min(self.frame_height - self.page_size[1] + lowest - _LINE, design.LOWEST_PAGE)

    @property
    def frame_height(self) -> float:
        """Height between the margins [pt]."""
        return self.page_size[1] - self.top_margin - self.bottom_margin

    def build(self, story: Sequence[Flowable]) -> int:
        """Set the story and write the document; return its number of pages.

        Raises
        ------
        PublishError
            A part is larger than a page, contents without a heading, or a font is not embedded.
        """
        template = _Template(self)
        try:
            template.multiBuild(list(story), canvasmaker=TaggedCanvas)
        except LayoutError as error:
            raise PublishError(input_errors.NO_PAGE(title=self.title, reason=str(error))) from error
        if isinstance(self.target, (str, Path)):
            Path(self.target).write_bytes(self.content.getvalue())
        else:
            self.target.write(self.content.getvalue())
        return template.count


def height(parts: Sequence[Flowable], width: float) -> float:
    """Height [pt] of parts under each other, no less than they will take."""
    return sum(part.wrap(width, 1e4)[1] + part.getSpaceBefore() + part.getSpaceAfter() for part in parts)


def fitting(parts: Sequence[Flowable], rest: Callable[[int], Flowable], width: float, room: float) -> list[Flowable]:
    """As many parts as fit a height [pt], and what `rest` says of those that do not; nothing if not even that fits."""
    if height(parts, width) <= room:
        return list(parts)
    for count in range(len(parts) - 1, -1, -1):
        chosen = [*parts[:count], rest(len(parts) - count)]
        if height(chosen, width) <= room:
            return chosen
    return []
