"""The graphs of a publication as files of their own: SVG, for other documents and screens.

They are the same drawings as on the pages, so that a graph that changes there changes here.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from tablegen.report.graphs.svg import svg
from tablegen.report.pdf.design import DEFAULT_ACCENT
from tablegen.report.pdf.drawing import Drawing, DrawingFlowable

_LONGEST_NAME = 100


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
