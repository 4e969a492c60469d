"""Graphs as files of their own, for other documents and screens: SVG, and PNG of a single one.

They are the same drawings as on the pages, so that a graph that changes there changes here.
"""

from __future__ import annotations

import importlib.util
import io
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from tablegen.errors import RequestError
from tablegen.report.graphs.svg import svg
from tablegen.report.pdf.design import DEFAULT_ACCENT
from tablegen.report.pdf.drawing import Drawing, DrawingFlowable
from tablegen.wording import command_line as wording

_LONGEST_NAME = 100
# Pixels in an inch of a PNG: sharp where it is as wide as a sheet.
_DPI = 200


def named_drawings(chapters: Mapping[str, Iterable[object]]) -> dict[str, Drawing]:
    """Every drawing of the chapters of a story, by a name that is safe for files.

    A name says the chapter, if it has a name, and the quantity on the graph's own axis; a number follows where that is
    not enough.
    """
    found: dict[str, Drawing] = {}
    taken: set[str] = set()
    for chapter, story in chapters.items():
        for drawing in _drawings(story):
            stem = safe_name("-".join(part for part in (chapter, drawing.quantity.split(",")[0]) if part))
            name, count = stem, 1
            # Two names that differ in case alone are one file on some systems.
            while name.casefold() in taken:
                count += 1
                name = f"{stem}-{count}"
            taken.add(name.casefold())
            found[name] = drawing
    return found


def write_graphs(drawings: Mapping[str, Drawing], folder: Path, about: str, accent: str = DEFAULT_ACCENT) -> None:
    """Write each drawing into a folder with its document's accent; `about` (notice, data) goes into every file.

    The same drawings give the same bytes.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for name, drawing in drawings.items():
        (folder / f"{name}.svg").write_text(f"{svg(drawing, name, about, accent)}\n", encoding="utf-8", newline="\n")


def png_bytes(drawing: Drawing) -> bytes:
    """A drawing as PNG; the same drawing gives the same bytes with the same versions of the libraries.

    Raises
    ------
    RequestError
        If the library that makes pixels of it is not installed.
    """
    if importlib.util.find_spec("pypdfium2") is None:
        raise RequestError(wording.PNG_LIBRARY_MISSING())
    import pypdfium2

    page, pixels = io.BytesIO(), io.BytesIO()
    canvas = Canvas(page, pagesize=(drawing.width, drawing.height), invariant=1)
    DrawingFlowable(drawing).drawOn(canvas, 0, 0)
    canvas.save()
    document = pypdfium2.PdfDocument(page.getvalue())
    try:
        document[0].render(scale=_DPI / 72.0).to_pil().save(pixels, "PNG", dpi=(_DPI, _DPI))
    finally:
        document.close()
    return pixels.getvalue()


def safe_name(text: str) -> str:
    """A file name of ASCII letters, digits, underscores and single hyphens, whatever the text is."""
    ascii_text = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9_]+", "-", ascii_text)[:_LONGEST_NAME].strip("-") or "graph"


def _drawings(story: Iterable[object]) -> Iterator[Drawing]:
    """The drawings in flowables, also in those that are set in a table or kept together."""
    for item in story:
        if isinstance(item, DrawingFlowable):
            yield item.drawing
        elif isinstance(item, (list, tuple)):
            yield from _drawings(item)
        else:
            # The attributes of a table and of a KeepTogether for what is in them.
            for inside in ("_cellvalues", "_content"):
                yield from _drawings(getattr(item, inside, None) or ())
