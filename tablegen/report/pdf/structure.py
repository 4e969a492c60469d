"""Structure tags: what each stretch of a page is, in reading order, for screen readers and programs.

A flowable asks for `tags(canvas)`, opens elements with `Tags.element`, and writes what belongs to one between
the marks of `Tags.mark` or `Tags.marked`. What is left unmarked becomes an artifact: rules, running heads.

References
----------
ISO 32000-1, 14.6 marked content, 14.7 logical structure, 14.8.4 standard structure types.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFObject

from tablegen.errors import PublishError
from tablegen.wording import input_errors

# Attributes of a header cell.
COLUMN = "/A<</O/Table/Scope/Column>>"
ROW = "/A<</O/Table/Scope/Row>>"


class Opening(str):
    """Page code that begins marked content."""


class Closing(str):
    """Page code that ends marked content."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A stretch of a page (counted from 1) by its number there."""

    page: int
    number: int


@dataclass(frozen=True, slots=True)
class Annotation:
    """An annotation of a page, by its name in the document."""

    page: int
    name: str


class Element(PDFObject):
    """A structure element with its kids in reading order.

    Parameters
    ----------
    role : str
        Standard structure type, or one that the root maps to such.
    parent : Element or None
        None for the topmost element.
    extra : str
        Further entries of its dictionary, in PDF syntax.
    source : object
        What was split over pages: its next part goes on with this element.
    """

    def __init__(self, role: str, parent: PDFObject | None, extra: str = "", source: object = None) -> None:
        self.role, self.parent, self.extra, self.source = role, parent, extra, source
        self.kids: list[Element | Mark | Annotation] = []
        self.is_continued = False

    def format(self, document: Any) -> bytes:
        """The element's dictionary, as short as it can be: a booklet has thousands."""
        page = next((kid.page for kid in self.kids if isinstance(kid, Mark)), None)
        kids = [self._kid(document, kid, page) for kid in self.kids]
        on = "" if page is None else f"/Pg {object_number(document, f'Page{page}')} 0 R"
        children = "" if not kids else f"/K {kids[0]}" if len(kids) == 1 else f"/K[{' '.join(kids)}]"
        parent = getattr(self.parent, "__InternalName__")  # noqa: B009 (the name has no class to be private to)
        return f"<</S/{self.role}/P {object_number(document, parent)} 0 R{on}{children}{self.extra}>>".encode("ascii")

    @staticmethod
    def _kid(document: Any, kid: Element | Mark | Annotation, page: int | None) -> str:
        if isinstance(kid, Element):
            return f"{object_number(document, getattr(kid, '__InternalName__'))} 0 R"  # noqa: B009
        if isinstance(kid, Mark) and kid.page == page:
            return str(kid.number)
        on = f"/Pg {object_number(document, f'Page{kid.page}')} 0 R"
        if isinstance(kid, Mark):
            return f"<</Type/MCR{on}/MCID {kid.number}>>"
        return f"<</Type/OBJR{on}/Obj {object_number(document, kid.name)} 0 R>>"


def object_number(document: Any, name: str) -> int:
    """Number of an object that the document knows by name."""
    return int(document.idToObjectNumberAndVersion[name][0])


class Tags:
    """The structure of one document while its pages are drawn.

    Parameters
    ----------
    canvas : Canvas
        Whose pages are marked.

    Attributes
    ----------
    root : Element
        The topmost element, `Document`.
    owners : list
        By key of the parent tree: of a page the owners of its marks in order, of an annotation its owner.
    """

    def __init__(self, canvas: Any) -> None:
        self._canvas = canvas
        self.root = Element("Document", None)
        self._open = [self.root]
        self._page = 1
        self._marks: list[Element] = []
        self._texts: Iterator[Element] = iter(())
        self.owners: list[list[Element] | Element] = []

    def add(self, role: str, extra: str = "", source: object = None) -> Element:
        """Append a kid to the innermost open element, or go on with its last kid if that has the same source."""
        above = self._open[-1]
        last = above.kids[-1] if above.kids else None
        if source is not None and isinstance(last, Element) and last.source is source:
            last.is_continued = True
            return last
        made = Element(role, above, extra, source)
        above.kids.append(made)
        return made

    @contextmanager
    def element(self, role: str, extra: str = "", source: object = None) -> Iterator[Element]:
        """Open an element (as `add`); what is added inside becomes its kid."""
        made = self.add(role, extra, source)
        self._open.append(made)
        yield made
        self._open.pop()

    @contextmanager
    def mark(self, owner: Element | None = None, on: Any = None) -> Iterator[None]:
        """What is drawn inside belongs to the owner, by default the innermost open element.

        `on` is a text object if the marks are to stand in it. Marks do not nest.
        """
        owner, code = owner or self._open[-1], (on or self._canvas)._code
        opening = self._opening(owner)
        code.append(opening)
        yield
        if code[-1] is opening:
            # An empty cell has nothing to mark.
            code.pop()
            self._marks.pop()
            owner.kids.pop()
        else:
            code.append(Closing("EMC"))

    def _opening(self, owner: Element) -> Opening:
        number = len(self._marks)
        self._marks.append(owner)
        owner.kids.append(Mark(self._page, number))
        return Opening(f"/{owner.role} <</MCID {number}>> BDC")

    @contextmanager
    def marked(self, role: str, extra: str = "", source: object = None, on: Any = None) -> Iterator[None]:
        """An element (as `add`) that holds what is drawn inside (as `mark`)."""
        with self.mark(self.add(role, extra, source), on):
            yield

    @contextmanager
    def mark_texts(self, *owners: Element) -> Iterator[None]:
        """Of the text objects drawn inside the first belongs to the first owner, and so on."""
        self._texts = iter(owners)
        yield
        self._texts = iter(())

    def next_text(self) -> AbstractContextManager[None]:
        """The marks of one text object, if `mark_texts` gives it an owner."""
        owner = next(self._texts, None)
        return nullcontext() if owner is None else self.mark(owner)

    @contextmanager
    def artifact(self, text: Any) -> Iterator[None]:
        """What is drawn inside is no content; only for a text object, of which other parts are marked."""
        text._code.append(Opening("/Artifact BMC"))
        yield
        text._code.append(Closing("EMC"))

    @contextmanager
    def figure(self, alt: str, width: float, height: float) -> Iterator[None]:
        """A figure of a size [pt], drawn inside from the canvas's origin.

        Raises
        ------
        PublishError
            There is no description.

        References
        ----------
        ISO 32000-1, 14.8.5.4.3 bounding box, 14.9.3 alternate description.
        """
        if not alt.strip():
            raise PublishError(input_errors.NO_ALT())
        corners = (*self._canvas.absolutePosition(0, 0), *self._canvas.absolutePosition(width, height))
        box = " ".join(f"{v:.2f}" for v in corners)
        with self.marked("Figure", f"/Alt{text_string(alt)}/A<</O/Layout/Placement/Block/BBox[{box}]>>"):
            yield

    def annotate(self, name: str) -> int | None:
        """Let the innermost open element own an annotation if it is a link; return the key in the parent tree."""
        owner = self._open[-1]
        if owner.role != "Link":
            return None
        owner.kids.append(Annotation(self._page, name))
        self.owners.append(owner)
        return len(self.owners) - 1

    def end_page(self) -> int:
        """Close the page and return its key in the parent tree."""
        self.owners.append(self._marks)
        self._marks = []
        self._page += 1
        return len(self.owners) - 1


class Untagged(Tags):
    """For a canvas without structure, and for what is drawn again: elements lead nowhere, no marks are written."""

    @contextmanager
    def mark(self, owner: Element | None = None, on: Any = None) -> Iterator[None]:
        """Write nothing."""
        yield

    @contextmanager
    def artifact(self, text: Any) -> Iterator[None]:
        """Write nothing."""
        yield

    @contextmanager
    def figure(self, alt: str, width: float, height: float) -> Iterator[None]:
        """Write nothing."""
        yield


def tags(canvas: object) -> Tags:
    """The structure of a canvas; of one without structure tags one that writes nothing."""
    own = getattr(canvas, "tags", None)
    return own if isinstance(own, Tags) else Untagged(canvas)


def is_trial(canvas: object) -> bool:
    """Whether what is drawn will be thrown away, so that what takes time and moves nothing need not be drawn."""
    return bool(getattr(canvas, "is_trial", False))


def text_string(text: str) -> str:
    """A text as a PDF string.

    References
    ----------
    ISO 32000-1, 7.9.2.2.
    """
    return f"<feff{text.encode('utf-16-be').hex()}>"
