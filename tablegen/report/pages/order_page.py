"""The order guide: of each family what an order must say, what is offered, and the article numbers."""

from __future__ import annotations

from typing import Any

from tablegen.report.article_text import sizes_with_numbers
from tablegen.report.formatter import DASH
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import facts
from tablegen.report.publications.publication import Publication

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether, PageBreak

_SAYS = (
    "An order says maker, family and size; the bulb charge with its static superheat, or the driver; equalizer, "
    "connections and capillary where there is a choice; quantity, job, and revision and data fingerprint of this "
    "booklet."
)


def order_guide(publication: Publication, width: float) -> list[Flowable]:
    """What may be ordered of each printed family; nothing where no family says what it offers."""
    printed = [
        name for name in publication.inputs["families"] if any(part.family == name for part in publication.parts)
    ]
    blocks: list[Flowable] = []
    for name in printed:
        rows = [*_offered(publication, name), *_articles(publication, name)]
        if rows:
            blocks.append(KeepTogether([paragraph(publication.family(name), "caption"), facts(rows, width, 8.5)]))
    return [Heading("What an order must say"), paragraph(_SAYS), *blocks, PageBreak()] if blocks else []


def _offered(publication: Publication, name: str) -> list[tuple[str, str]]:
    own: dict[str, Any] = publication.inputs["families"][name]
    offered, formatter = own["offered"], publication.formatter
    rows = []
    for sizes, choices in offered["connections"]:
        of = f"sizes {', '.join(publication.size(name, size) for size in sizes)}: " if sizes else ""
        rows.append(("Connections", of + " or ".join(choices)))
    rows += [("Equalizer", offered["equalizer"])] if offered["equalizer"] else []
    lengths = " or ".join(formatter.length(metre) for metre in offered["capillary_m"])
    rows += [("Capillary", lengths)] if lengths else []
    rows += [("Driver", offered["driver"])] if offered["driver"] else []
    return rows


def _articles(publication: Publication, name: str) -> list[tuple[str, str]]:
    """The sizes with their numbers, a row for each charge that articles tell apart."""
    own = publication.inputs["families"][name]
    named = {article["charge"] for article in publication.articles(name)}
    titles = {element["name"]: element["title"] for element in own["elements"] if element["name"] in named}
    sizes = [size["name"] for size in own["sizes"]]
    texts = {charge: sizes_with_numbers(publication, name, sizes, charge) for charge in (*titles, "")}
    said = {charge: f"{titles[charge]} {DASH} {text}" if charge else text for charge, text in texts.items() if text}
    return [("Articles", text) for text in said.values()]
