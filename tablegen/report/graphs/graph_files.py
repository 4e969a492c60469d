"""Graphs as files of their own, for other documents and screens: SVG and PNG.

They are the same drawings as on the pages, so that a graph that changes there changes here.
"""

from __future__ import annotations

import csv
import importlib.metadata
import importlib.util
import io
import math
import re
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from PIL.PngImagePlugin import PngInfo
from reportlab.pdfgen.canvas import Canvas

from tablegen.errors import RequestError
from tablegen.report.graphs.svg import FOOT, MARGIN, foot_lines, svg
from tablegen.report.pdf.design import DEFAULT_ACCENT
from tablegen.report.pdf.drawing import Drawing, DrawingFlowable
from tablegen.report.pdf.tagged_canvas import own_date
from tablegen.wording import command_line as wording

# In the folder of a document's graphs: which page shows each.
GRAPH_LIST = "graphs.csv"
_LONGEST_NAME = 100
# Pixels in an inch of a PNG: sharp where it is as wide as a sheet; a narrow one has as many as fill a slide.
_DPI, _LEAST_PIXELS = 200, 1600


def named_drawings(chapters: Mapping[str, Iterable[object]]) -> dict[str, DrawingFlowable]:
    """Every drawing of the chapters of a story, by a name that is safe for files.

    A name says the chapter, if it has a name, and the quantity on the graph's own axis; a number follows where that is
    not enough.
    """
    found: dict[str, DrawingFlowable] = {}
    taken: set[str] = set()
    for chapter, story in chapters.items():
        for flowable in _drawings(story):
            quantity = flowable.drawing.quantity
            stem = safe_name("-".join(part for part in (chapter, quantity.split(",")[0]) if part))
            name, count = stem, 1
            # Two names that differ in case alone are one file on some systems.
            while name.casefold() in taken:
                count += 1
                name = f"{stem}-{count}"
            taken.add(name.casefold())
            found[name] = flowable
    return found


def write_graphs(
    drawings: Mapping[str, DrawingFlowable],
    folder: Path,
    about: str,
    accent: str = DEFAULT_ACCENT,
    kinds: Collection[str] = ("svg",),
) -> None:
    """Write each drawing of a document that is built into a folder with the document's accent, and a list of them.

    `about` (notice, data) goes into every graph; the list has the page that shows it. The same drawings give the same
    bytes. `kinds` are endings, svg and png.

    Raises
    ------
    RequestError
        As `png_bytes`.
    """
    folder.mkdir(parents=True, exist_ok=True)
    rows = [["file", "page", "shows"]]
    for name, flowable in drawings.items():
        drawing = flowable.drawing
        rows += [[f"{name}.{kind}", str(flowable.page), flowable.alt] for kind in ("svg", "png") if kind in kinds]
        if "svg" in kinds:
            text = f"{svg(drawing, name, about, accent)}\n"
            (folder / f"{name}.svg").write_text(text, encoding="utf-8", newline="\n")
        if "png" in kinds:
            (folder / f"{name}.png").write_bytes(png_bytes(drawing, name, about, accent))
    listed = io.StringIO()
    csv.writer(listed, lineterminator="\n").writerows(rows)
    (folder / GRAPH_LIST).write_text(listed.getvalue(), encoding="utf-8", newline="\n")


def png_bytes(
    drawing: Drawing, title: str = "", about: str = "", accent: str = DEFAULT_ACCENT, foot: str = ""
) -> bytes:
    """A drawing as PNG on white; the same drawing gives the same bytes with the same versions of the libraries.

    `title`, `about`, `accent` and `foot` as for `svg`.

    Raises
    ------
    RequestError
        If the library that makes pixels of it is not installed.
    """
    if importlib.util.find_spec("pypdfium2") is None:
        raise RequestError(wording.PNG_LIBRARY_MISSING())
    import pypdfium2

    page, pixels = io.BytesIO(), io.BytesIO()
    lines = foot_lines(drawing, foot)
    below = FOOT * len(lines)
    wide, high = (length + 2.0 * MARGIN for length in (drawing.width, drawing.height + below))
    with own_date():
        canvas: Any = Canvas(page, pagesize=(wide, high), invariant=1)
    # As the canvases of documents have it.
    canvas.accent = accent
    whole = replace(drawing, items=(*drawing.items, *lines))
    DrawingFlowable(whole).drawOn(canvas, MARGIN, MARGIN + below)
    canvas.save()
    texts = PngInfo()
    for key, text in (("Title", title), ("Description", about)):
        if text:
            texts.add_itxt(key, text)
    document = pypdfium2.PdfDocument(page.getvalue())
    try:
        dpi = max(_DPI, math.ceil(72.0 * _LEAST_PIXELS / wide))
        image = document[0].render(scale=dpi / 72.0).to_pil()
        image.save(pixels, "PNG", dpi=(dpi, dpi), pnginfo=texts)
    finally:
        document.close()
    return pixels.getvalue()


def pixel_library(kinds: Collection[str]) -> str:
    """The version of the library that files of some kinds need to be drawn with; empty where they need none, or it is missing."""
    is_there = "png" in kinds and importlib.util.find_spec("pypdfium2") is not None
    return importlib.metadata.version("pypdfium2") if is_there else ""


def safe_name(text: str) -> str:
    """A file name of ASCII letters, digits, underscores and single hyphens, whatever the text is."""
    ascii_text = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9_]+", "-", ascii_text)[:_LONGEST_NAME].strip("-") or "graph"


def _drawings(story: Iterable[object]) -> Iterator[DrawingFlowable]:
    """The drawings in flowables, also in those that are set in a table or kept together."""
    for item in story:
        if isinstance(item, DrawingFlowable):
            yield item
        elif isinstance(item, (list, tuple)):
            yield from _drawings(item)
        else:
            # The attributes of a table and of a KeepTogether for what is in them.
            for inside in ("_cellvalues", "_content"):
                yield from _drawings(getattr(item, inside, None) or ())
