"""The counter chart: one page a refrigerant group, to be read from a meter away, in black alone."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import IO

import pandas as pd
from reportlab.platypus import Flowable, PageBreak

from tablegen.dataset.dataset import DataSet
from tablegen.errors import PublishError
from tablegen.model.inputs import Combination, CounterChart
from tablegen.report.company_texts import document_mark
from tablegen.report.graphs.selection_map_graph import MapStyle, SelectionMap, in_blocks, map_cells
from tablegen.report.pages.back import sizes_with_numbers
from tablegen.report.pdf import fonts
from tablegen.report.pdf.page import Document, Heading, height, paragraph
from tablegen.report.pdf.tables import facts
from tablegen.report.publications.publication import Publication, named
from tablegen.report.stock_coverage import stock_sentences
from tablegen.report.table_conditions import TableConditions, charge_text
from tablegen.wording import counter_chart as wording
from tablegen.wording import refrigerants, terms

# A capital of 4.7 mm is legible from a meter away (16 minutes of arc); the lowest digits, 1 and 4, are
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


def print_counter_chart(data: DataSet, name: str, target: Path | IO[bytes]) -> int:
    """Print one counter chart of a data set.

    Returns
    -------
    int
        The number of pages.

    Raises
    ------
    PublishError
        If the chart has no cell, a text does not fit its place or a glyph is missing.
    """
    chart, printing = named(data.catalogue.charts, name), data.catalogue.printing
    publication = Publication.of(data, chart)
    document = Document(
        target,
        chart.printed.paper,
        chart.title,
        date=printing.date,
        notice=printing.notice,
        author=chart.wholesaler,
        subject=wording.SUBJECT(),
        keywords=list(chart.groups),
        mark=document_mark(printing, chart.printed),
    )
    story: list[Flowable] = []
    for group in chart.groups:
        if story:
            story.append(PageBreak())
        story += _page(publication, chart, Combination(chart.family, group, chart.application), document.frame_width)
    return document.build(story)


def _page(publication: Publication, chart: CounterChart, part: Combination, width: float) -> list[Flowable]:
    """The page of one group."""
    catalogue = publication.catalogue
    of_part = publication.rows(publication.data.charts, part)
    cells: pd.DataFrame = of_part[of_part["publication"] == chart.printed.name]
    if cells.empty or not (cells["first_size"] != "").any():
        raise PublishError(wording.EMPTY_CHART(name=chart.printed.name, group=part.group))
    formatter, title = publication.formatter, catalogue.groups[part.group].title
    cautions = (refrigerants.PRESSURE_CAUTION(), wording.VALIDITY(), catalogue.printing.company.disclaimer)
    under: list[Flowable] = [
        paragraph(stock_sentences(cells, formatter), "small"),
        *(paragraph(text, "step", mark=str(i)) for i, text in enumerate(_steps(publication, chart), start=1)),
        paragraph(" ".join(filter(None, cautions)), "small"),
        facts([*_part_numbers(publication, part, chart.stock), *_conditions(publication, part)], width, 8.0),
    ]
    maps: list[Flowable] = []
    blocks = in_blocks(map_cells(cells, formatter), WALL, width)
    continued = wording.CONTINUED(title=title)
    for i, block in enumerate(blocks):
        is_last = i == len(blocks) - 1
        # Rows give way, as far as they can, to what has to be on the same page.
        maps.append(SelectionMap(block, WALL, height(under, width) if is_last else 0.0, continued))
        if not is_last:
            maps += [PageBreak(), paragraph(continued, "continued")]
    subtitle = wording.SUBTITLE(
        title=chart.title,
        family=catalogue.families[part.family].title,
        application=catalogue.applications[part.application].title,
    )
    return [
        paragraph(wording.COMPANY(company=chart.wholesaler, telephone=chart.telephone), "company"),
        Heading(title),
        paragraph(subtitle),
        *maps,
        *under,
    ]


def _steps(publication: Publication, chart: CounterChart) -> Sequence[str]:
    """How to read the chart."""
    formatter, application = publication.formatter, publication.catalogue.applications[chart.application]
    rating = next(iter(application.systems.values())).rating
    return (
        wording.LOAD_STEP(liquid=formatter.liquid(rating.liquid)),
        wording.SST_STEP(unit=formatter.temperature_label),
        wording.SIZE_STEP(),
    )


def _part_numbers(publication: Publication, part: Combination, stock: Sequence[str]) -> list[tuple[str, str]]:
    """The part number of each size in stock with the charge of the chart."""
    element = publication.power_element(part)
    charges = dict.fromkeys((element.name if element else "", ""))
    texts = (sizes_with_numbers(publication, part.family, stock, charge) for charge in charges)
    numbers = "; ".join(text for text in texts if text)
    return [(wording.PART_NUMBERS(), numbers)] if numbers else []


def _conditions(publication: Publication, part: Combination) -> list[tuple[str, str]]:
    """What the chart is valid for."""
    conditions, heads = TableConditions.of(publication, part), ("rating", "low_head", "high_head")
    data = wording.DATA_LINE(
        data=publication.data.fingerprint,
        revision=publication.catalogue.printing.revision,
        date=publication.date.isoformat(),
    )
    return [
        *((terms.condition_title(head), conditions.head(head)) for head in heads),
        (wording.LOSSES(), conditions.losses()),
        (wording.SUPERHEAT(), conditions.superheat()),
        (wording.CHARGE(), charge_text(publication, part)),
        (wording.DATA(), data),
    ]
