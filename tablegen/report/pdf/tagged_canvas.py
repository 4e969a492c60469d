"""A canvas that writes structure tags: it makes artifacts of what is unmarked and enters the tree into the document.

References
----------
ISO 32000-1, 12.3.2.3 named destinations, 14.7.2 structure hierarchy, 14.7.4.4 parent tree, 14.8.1 tagged PDF, 14.8.2.2 artifacts.
"""

from __future__ import annotations

import functools
import os
import re
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from reportlab.pdfbase.pdfdoc import LinkAnnotation, PDFDictionary, PDFName, PDFObject
from reportlab.pdfgen.canvas import Canvas

from tablegen.report.pdf.design import DEFAULT_ACCENT
from tablegen.report.pdf.document_file import packed
from tablegen.report.pdf.structure import Closing, Element, Opening, Tags, object_number

# Operators that paint nothing, ISO 32000-1, table 51; the library writes them as items of their own.
_STATE = frozenset(("q", "Q", "cm", "w", "J", "j", "M", "d", "gs", "g", "G", "rg", "RG", "k", "K"))
_FONT = re.compile(r"BT /\S+ \S+ Tf \S+ TL ET")
# `Title` stands among the standard types of PDF 2.0 only.
_ROLE_MAP = "<</Title/P>>"
# The library takes the date of a document from it, and stops at what is not a whole number of seconds.
_DATE_VARIABLE = "SOURCE_DATE_EPOCH"
_DATE_LOCK = threading.Lock()


@contextmanager
def own_date() -> Iterator[None]:
    """Make a canvas without the date that the environment gives: the same input gives the same bytes."""
    with _DATE_LOCK:
        text = os.environ.pop(_DATE_VARIABLE, None)
        try:
            yield
        finally:
            if text is not None:
                os.environ[_DATE_VARIABLE] = text


class _OwnMarks(str):
    """A text object with marks inside."""


class TaggedCanvas(Canvas):
    """A canvas with a structure tree.

    Attributes
    ----------
    tags : Tags
        What flowables mark their content with.
    is_trial : bool
        Whether the pages only show how many they are and where the headings stand.
    accent : str
        The color that the design calls so.
    """

    is_trial, accent = False, DEFAULT_ACCENT

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        self.tags = Tags(self)
        self._named: list[str] = []
        super().__init__(*args, **kwargs)
        document: Any = getattr(self, "_doc")  # noqa: B009 (private to the library)
        document.format = functools.partial(packed, document)

    def drawText(self, aTextObject: Any) -> None:
        """Draw a text object, which may have marks of its own inside."""
        has_marks = any(isinstance(item, Opening) for item in aTextObject._code)
        code: Any = getattr(self, "_code")  # noqa: B009 (private to the library)
        with self.tags.next_text():
            code.append((_OwnMarks if has_marks else str)(aTextObject.getCode()))

    def _addAnnotation(self, annotation: Any, name: str | None = None, addtopage: int = 1) -> None:
        canvas: Any = super()
        canvas._addAnnotation(annotation, name, addtopage)
        if isinstance(annotation, LinkAnnotation):
            key = self.tags.annotate(getattr(annotation, "__InternalName__"))  # noqa: B009
            if key is not None:
                annotation.permitted = (*annotation.permitted, "StructParent")
                annotation.otherkw["StructParent"] = key
        elif isinstance(annotation, PDFDictionary):
            # A link to another file.
            key = self.tags.annotate(getattr(annotation, "__InternalName__"))  # noqa: B009
            if key is not None:
                annotation["StructParent"] = key

    def name_place(self, key: str) -> None:
        """Let links from other files find a bookmark by its key; others have no name outside."""
        self._named.append(key)

    def showPage(self) -> None:
        """Close the page: what no flowable has marked is an artifact."""
        canvas: Any = self
        canvas._code = list(_with_artifacts(canvas._code))
        key = self.tags.end_page()
        super().showPage()
        page = canvas._doc.Pages.pages[-1]
        page.__Defaults__ = {**page.__Defaults__, "StructParents": key, "Tabs": PDFName("S")}

    def save(self) -> None:
        """Enter the structure and write the document."""
        canvas: Any = self
        if canvas._code:
            self.showPage()
        _enter(self.tags, canvas._doc)
        if self._named:
            places = {key: canvas._bookmarkReference(key) for key in self._named}
            canvas._doc.Catalog.Dests = PDFDictionary(places)
        super().save()


def _with_artifacts(code: Sequence[str]) -> Iterator[str]:
    """Page code in which every stretch outside marked content that paints is an artifact."""
    stretch: list[str] = []
    depth = 0
    for item in code:
        if depth == 0 and not isinstance(item, (Opening, _OwnMarks)):
            stretch.append(item)
            continue
        if depth == 0:
            yield from _as_artifact(stretch)
            stretch = []
        depth += isinstance(item, Opening) - isinstance(item, Closing)
        yield item
    yield from _as_artifact(stretch)


def _as_artifact(stretch: list[str]) -> Iterator[str]:
    """A stretch with its painting part marked; states before and after stay outside."""
    painting = [i for i, item in enumerate(stretch) if not _is_state(item)]
    if not painting:
        yield from stretch
        return
    first, last = painting[0], painting[-1] + 1
    yield from (*stretch[:first], "/Artifact BMC", *stretch[first:last], "EMC", *stretch[last:])


def _is_state(item: str) -> bool:
    words = item.split()
    return not words or words[-1] in _STATE or _FONT.fullmatch(item) is not None


class _Root(PDFObject):
    """The structure tree's root; the parent tree leads from marks and annotations back to their elements."""

    def __init__(self, tags: Tags) -> None:
        self._tags = tags

    def format(self, document: Any) -> bytes:
        def reference(element: Element) -> str:
            return f"{object_number(document, getattr(element, '__InternalName__'))} 0 R"  # noqa: B009

        owners = [
            f"{key} {reference(o) if isinstance(o, Element) else '[' + ' '.join(map(reference, o)) + ']'}"
            for key, o in enumerate(self._tags.owners)
        ]
        top = reference(self._tags.root)
        return (
            f"<</Type/StructTreeRoot/K {top}/RoleMap{_ROLE_MAP}/ParentTreeNextKey {len(owners)}"
            f"/ParentTree<</Nums[{' '.join(owners)}]>>>>"
        ).encode("ascii")


def _enter(tags: Tags, document: Any) -> None:
    root = _Root(tags)
    document.Catalog.StructTreeRoot = document.Reference(root)
    document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})
    tags.root.parent = root
    waiting = [tags.root]
    while waiting:
        element = waiting.pop()
        document.Reference(element)
        waiting += [kid for kid in reversed(element.kids) if isinstance(kid, Element)]
