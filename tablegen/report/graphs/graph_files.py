"""The graphs of a publication as files of their own: SVG for other documents, PNG for screens.

They are the same figure objects as on the pages, so that a graph that changes there changes here.
"""

from __future__ import annotations

import io
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from matplotlib.figure import Figure

from tablegen.report.pdf import vector
from tablegen.report.pdf.vector import FigureFlowable

PNG_DPI = 200
# Text as outlines: who opens the file need not have the faces.  Without the salt an SVG's parts are named by chance.
_SVG_STYLE = {"svg.fonttype": "path", "svg.hashsalt": "tablegen"}
_LONGEST_NAME = 100
# As on the page, whose renderer draws hatches by itself.
_HATCH_WIDTH = 0.35


def named_figures(chapters: Mapping[str, Iterable[object]]) -> dict[str, Figure]:
    """Every figure of the chapters of a story, by a name that is safe for files.

    A name says the chapter and the quantity on the graph's own axis; a number follows where that is not enough.
    """
    found: dict[str, Figure] = {}
    taken: set[str] = set()
    for chapter, story in chapters.items():
        for figure in _figures(story):
            stem = safe_name(f"{chapter}-{_quantity(figure)}")
            name, count = stem, 1
            # Two names that differ in case alone are one file on some systems.
            while name.casefold() in taken:
                count += 1
                name = f"{stem}-{count}"
            taken.add(name.casefold())
            found[name] = figure
    return found


def write_graphs(figures: Mapping[str, Figure], folder: Path, about: str) -> None:
    """Write each figure as SVG and PNG into a folder; `about` (notice, data) goes into every file's metadata.

    The same figures give the same bytes.
    """
    folder.mkdir(exist_ok=True)
    for name, figure in figures.items():
        for artist in figure.findobj(lambda a: hasattr(a, "set_hatch_linewidth")):
            artist.set_hatch_linewidth(_HATCH_WIDTH)  # type: ignore[attr-defined]
        for suffix, data in (("svg", _svg(figure, name, about)), ("png", _png(figure, name, about))):
            (folder / f"{name}.{suffix}").write_bytes(data)


def svg_element(figure: Figure) -> str:
    """A figure as an SVG element to be set into HTML; the same figure gives the same text."""
    text = _svg(figure, "", "").decode("utf-8")
    return text[text.index("<svg") :].strip()


def safe_name(text: str) -> str:
    """A file name of ASCII letters, digits, underscores and single hyphens, whatever the text is."""
    ascii_text = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9_]+", "-", ascii_text)[:_LONGEST_NAME].strip("-") or "graph"


def _figures(story: Iterable[object]) -> Iterator[Figure]:
    """The figures in flowables, also in those that are set in a table or kept together."""
    for item in story:
        if isinstance(item, FigureFlowable):
            yield item.figure
        elif isinstance(item, (list, tuple)):
            yield from _figures(item)
        else:
            # The attributes of a table and of a KeepTogether for what is in them.
            for inside in ("_cellvalues", "_content"):
                yield from _figures(getattr(item, inside, None) or ())


def _quantity(figure: Figure) -> str:
    """What a graph shows, as its upright axis says it without the unit; a tree has words on its level axis only."""
    axes = figure.axes[0]
    return (axes.get_ylabel() or axes.get_xlabel()).split(",")[0]


def _svg(figure: Figure, name: str, about: str) -> bytes:
    stamp = {"Title": name, "Description": about, "Creator": "tablegen", "Date": None}
    return _saved(figure, "svg", stamp)


def _png(figure: Figure, name: str, about: str) -> bytes:
    return _saved(figure, "png", {"Title": name, "Description": about, "Software": None})


def _saved(figure: Figure, kind: str, metadata: dict[str, str | None]) -> bytes:
    target = io.BytesIO()
    with vector.style(_SVG_STYLE):
        figure.savefig(target, format=kind, dpi=PNG_DPI, facecolor="white", metadata=metadata)
    return target.getvalue()
