"""The counter chart: one page a refrigerant group, to be read from a meter away, in black alone."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import IO, Any

import pandas as pd

from tablegen.dataset.dataset import DataSet
from tablegen.errors import PublishError
from tablegen.report.article_text import sizes_with_numbers
from tablegen.report.graphs.selection_map_graph import MapStyle, SelectionMap, in_blocks, map_cells
from tablegen.report.heads_text import charge_text, head_text, losses_text, superheat_text
from tablegen.report.pdf import fonts
from tablegen.report.pdf.fitting import height
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.tables import facts
from tablegen.report.publications.publication import Part, Publication
from tablegen.report.stock_words import stock_sentences

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, PageBreak

# A capital of 4.7 mm is legible from a metre away (16 minutes of arc); the lowest digits, 1 and 4, are
# 3 % lower than the face's capitals.
_SIZE = 4.7 * 72.0 / 25.4 / (0.97 * fonts.CAP_HEIGHT)
WALL = MapStyle(
    first=_SIZE,
    second=11.0,
    label=15.0,
    corner=11.0,
    head=34.0,
    label_width=104.0,
    row=27.0,
    tightest=20.0,
    heavy=2.2,
    thin=0.35,
)
CAUTION = (
    "Refrigerants are under pressure and some are flammable: local codes, the equipment maker's instructions and "
    "licensed practice come first. The chart holds only for the conditions below; measure superheat at the running "
    "system."
)


def print_counter_chart(data: DataSet, name: str, target: Path | IO[bytes]) -> int:
    """Print one counter chart of a data set; return its number of pages.

    Raises
    ------
    PublishError
        If the chart has no cell, a text does not fit its place or a glyph is missing.
    """
    publication, chart = Publication.printed(data, "charts", name)
    document = Document(
        target,
        publication.paper(chart),
        chart["title"],
        date=publication.date,
        notice=publication.printing["notice"],
        author=chart["wholesaler"],
        subject="Counter chart of expansion valve sizes",
        keywords=list(chart["groups"]),
    )
    story: list[Flowable] = []
    for group in chart["groups"]:
        if story:
            story.append(PageBreak())
        story += _page(publication, chart, group, document.frame_width)
    return document.build(story)


def _page(publication: Publication, chart: dict[str, Any], group: str, width: float) -> list[Flowable]:
    part = Part(chart["family"], group, chart["application"])
    of_part = publication.rows(publication.data.charts, part)
    cells: pd.DataFrame = of_part[of_part["publication"] == chart["printed"]["name"]]
    if cells.empty or not (cells["first_size"] != "").any():
        raise PublishError(f"{chart['printed']['name']}: no size in stock serves {group}; the chart would be empty")
    formatter = publication.formatter
    family = publication.inputs["families"][part.family]["title"]
    title = publication.inputs["groups"][group]["title"]
    under: list[Flowable] = [
        paragraph(stock_sentences(cells, formatter), "small"),
        *(paragraph(text, "step", mark=str(i)) for i, text in enumerate(_steps(publication, chart), start=1)),
        paragraph(CAUTION, "small"),
        facts([*_articles(publication, part, chart["stock"]), *_conditions(publication, part)], width, 8.0),
    ]
    maps: list[Flowable] = []
    blocks = in_blocks(map_cells(cells, formatter), WALL, width)
    for i, block in enumerate(blocks):
        is_last = i == len(blocks) - 1
        # Rows give way, as far as they can, to what has to stand on the same page.
        maps.append(SelectionMap(block, WALL, height(under, width) if is_last else 0.0, f"{title}, continued"))
        if not is_last:
            maps += [PageBreak(), paragraph(f"{title}, continued", "continued")]
    return [
        paragraph(f"{chart['wholesaler']} – telephone {chart['telephone']}", "company"),
        Heading(title),
        paragraph(f"{chart['title']}: {family}, {publication.application(part.application)['title']}"),
        *maps,
        *under,
    ]


def _steps(publication: Publication, chart: dict[str, Any]) -> Sequence[str]:
    formatter = publication.formatter
    rating = publication.application(chart["application"])["systems"]
    point = next(iter(rating.values()))["rating"]
    liquid = formatter.degrees(point["liquid"]["temperature_k"])
    return (
        f"Load: the system's capacity at its rating point (liquid {liquid}). Take the row whose first figure is below "
        "it and whose second is not.",
        f"Temperature: the saturated suction temperature (SST, dew point) in {formatter.temperature_label}. Take the "
        "column that it is in; for a temperature on the line between two columns either will do.",
        'The large figure is the size; the small one beside it fits too. Two small ones with an "or" cover the '
        "row between them: which takes which loads is named under the chart. An empty cell: ask.",
    )


def _articles(publication: Publication, part: Part, stock: Sequence[str]) -> list[tuple[str, str]]:
    """The article number of each size in stock with the charge of the chart."""
    charge = str(publication.element(part).get("name", ""))
    texts = (sizes_with_numbers(publication, part.family, stock, name) for name in dict.fromkeys((charge, "")))
    numbers = "; ".join(text for text in texts if text)
    return [("Articles", numbers)] if numbers else []


def _conditions(publication: Publication, part: Part) -> list[tuple[str, str]]:
    return [
        ("Rating point", head_text(publication, part, "rating")),
        ("Low head", head_text(publication, part, "low_head")),
        ("High head", head_text(publication, part, "high_head")),
        ("Losses", losses_text(publication, part)),
        ("Superheat", superheat_text(publication, part)),
        ("Charge", charge_text(publication, part)),
        (
            "Data",
            f"{publication.data.fingerprint}, revision {publication.printing['revision']}, {publication.date.isoformat()}",
        ),
    ]
