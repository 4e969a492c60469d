"""The counter chart: a sheet for the wall for each refrigerant group, to be read from 3 m and from 1 m, in black alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import IO

from reportlab.platypus import Flowable, PageBreak, Spacer

from tablegen.dataset.dataset import DataSet
from tablegen.errors import PublishError
from tablegen.model.publications import Combination, CounterChart
from tablegen.report.company_texts import document_mark
from tablegen.report.condition_stations import condition_axis
from tablegen.report.formatter import Formatter, percent
from tablegen.report.logo_image import in_gray
from tablegen.report.pages.back import numbers_of_sizes
from tablegen.report.pages.chart_band import ChartBand
from tablegen.report.pages.chart_foot import CallLine, ConditionStrip
from tablegen.report.pages.stock_table import (
    ColumnHead,
    StockTable,
    WallTable,
    column_blocks,
    row_heights,
    top_of,
)
from tablegen.report.pages.stocked_valves import order_numbers
from tablegen.report.pdf import design
from tablegen.report.pdf.page import Document, height, paragraph
from tablegen.report.pdf.pictograms import Pictogram
from tablegen.report.publications.application_pictograms import BOXES
from tablegen.report.publications.own_typeface import in_own_typeface
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.publications.publication import Publication, named
from tablegen.report.stock_coverage import StockChart, stock_chart
from tablegen.report.superheat_text import maximum_superheat
from tablegen.report.table_conditions import loss_drops
from tablegen.report.window_texts import rated, safety_notes
from tablegen.wording import counter_chart as wording
from tablegen.wording import refrigerants
from tablegen.wording.language import date_text

# Above the table, and that what is computed fits as it is set [pt].
_OVER_TABLE, _HAIR = 2.0, 0.5
# Fewer rows than this are not on a page with the foot: it goes to one of its own.
_FEWEST = 4
# What a person at a counter thinks of in tons.
_THOUSANDS_OF_BTU = "kBtu/h"


@in_own_typeface
def print_counter_chart(data: DataSet | PrintedData, name: str, target: Path | IO[bytes]) -> int:
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
    publication = Publication.of(data)
    chart, printing = named(publication.catalogue.charts, name), publication.catalogue.printing
    publication = Publication.of(publication.printed, chart)
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
        side_margin=design.WALL_MARGIN,
        top_margin=design.WALL_MARGIN,
        foot_margin=design.WALL_FOOT,
        has_head=False,
    )
    story: list[Flowable] = []
    for group in chart.groups:
        part = Combination(chart.family, group, chart.application)
        for page in _pages(publication, chart, part, document):
            story += [PageBreak(), *page] if story else page
    return document.build(story)


def _pages(
    publication: Publication, chart: CounterChart, part: Combination, document: Document
) -> Iterator[list[Flowable]]:
    """The pages of one group: one, if its rows and columns are legible on it."""
    table = _table(publication, chart, part)
    width, free = document.frame_width, document.frame_height - _OVER_TABLE - _HAIR
    has_asked = any(cell.limits for row in table.rows for cell in row.cells if not cell.is_covered)
    band, foot = _band(publication, part), _foot(publication, chart, part, has_asked)
    taken = height([band], width) + height(foot, width) + top_of(table)
    lowest, highest = row_heights(table, width)
    has_foot = free - taken >= _FEWEST * lowest
    if not has_foot:
        taken = height([band], width) + top_of(table)
    sheets = list(_sheets(table, width, free - taken))
    if len(sheets) > 1:
        # What a band says of its sheet may be a line more.
        more = max(
            height([_band(publication, part, _sheet(publication, sheets, i))], width) for i in range(len(sheets))
        )
        taken += more - height([band], width)
        sheets = list(_sheets(table, width, free - taken))
    for i, rows in enumerate(sheets):
        _, highest = row_heights(rows, width)
        tall = top_of(table) + min((free - taken) / len(rows.rows), highest) * len(rows.rows)
        rest = free - taken + top_of(table) - tall
        yield [
            _band(publication, part, _sheet(publication, sheets, i)),
            Spacer(0.0, _OVER_TABLE),
            StockTable(rows, width, tall),
            *([Spacer(0.0, rest), *_foot(publication, chart, part, has_asked)] if has_foot else []),
        ]
    if not has_foot:
        yield [_band(publication, part), Spacer(0.0, _OVER_TABLE), *foot]


def _sheets(table: WallTable, width: float, free: float) -> Iterator[WallTable]:
    """The parts of a table whose rows and columns are legible in so much space for rows [pt]."""
    for block in column_blocks(table, width):
        lowest, _ = row_heights(block, width)
        count = -(-len(block.rows) // max(1, int(free / lowest)))
        share = -(-len(block.rows) // count)
        for first in range(0, len(block.rows), share):
            yield replace(block, rows=block.rows[first : first + share])


def _sheet(publication: Publication, sheets: Sequence[WallTable], i: int) -> str:
    """Which sheet it is of several, and of which loads where these differ."""
    if len(sheets) == 1:
        return ""
    spans = [(own.rows[-1].above, own.rows[0].upto) for own in sheets]
    of_all = {"sheet": str(i + 1), "sheets": str(len(sheets))}
    if len(set(spans)) == 1:
        return wording.SHEET(**of_all)
    low, high = spans[i]
    return wording.SHEET_OF_LOADS(low=low, high=high, unit=publication.formatter.load_label, **of_all)


def _band(publication: Publication, part: Combination, sheet: str = "") -> ChartBand:
    """Refrigerants, application, what to be careful of, and which sheet it is."""
    catalogue = publication.catalogue
    application, members = catalogue.applications[part.application], publication.members(part.group)
    notes = safety_notes(publication, part.group)
    is_freezer = BOXES.get(application.temperature_range) is Pictogram.FREEZER
    return ChartBand(members, application.title, notes, is_freezer, sheet)


def _table(publication: Publication, chart: CounterChart, part: Combination) -> WallTable:
    """What the table of one group shows.

    Raises
    ------
    PublishError
        No size in stock covers a cell.
    """
    cells = publication.rows(publication.data.charts, part)
    formatter = publication.formatter
    stock = (
        stock_chart(cells[cells["publication"] == chart.printed.name], formatter) if len(cells) else StockChart((), ())
    )
    if not any(cell.is_covered for row in stock.rows for cell in row.cells):
        raise PublishError(
            wording.EMPTY_CHART(name=chart.printed.name, group=publication.catalogue.groups[part.group].title)
        )
    legend = (
        _load_legend(publication),
        wording.SIZE_LEGEND(family=publication.family(part.family)),
    )
    degree, difference_k = formatter.temperature_label, _difference(publication, part)
    suction = ColumnHead(wording.SST_HEAD(unit=degree), _ends(stock, formatter, 0.0), is_bold=difference_k is None)
    ton = [wording.ONE_TON()] if formatter.load_label == _THOUSANDS_OF_BTU else []
    if difference_k is None:
        return WallTable(heads=(suction,), rows=stock.rows, legend=legend, note=ton)
    box = ColumnHead(wording.BOX_HEAD(unit=degree), _ends(stock, formatter, difference_k), is_bold=True)
    note = (wording.DIFFERENCE(difference=formatter.step(difference_k)), wording.SST_OF_BOX(), *ton)
    return WallTable(heads=(box, suction), rows=stock.rows, legend=legend, note=note)


def _load_legend(publication: Publication) -> str:
    """What the loads of rows are, and their limits."""
    loads = wording.LOAD_LEGEND(unit=publication.formatter.load_label)
    confidence = publication.catalogue.confidence
    if confidence is not None and confidence.is_printed:
        return wording.AT_CONFIDENCE(loads=loads, level=percent(confidence.level))
    return loads if confidence is None else wording.NOMINAL(loads=loads)


def _difference(publication: Publication, part: Combination) -> float | None:
    """How far the box of an application is above its suction temperature [K], if it is stated."""
    return publication.catalogue.applications[part.application].coil_temperature_difference_k


def _ends(stock: StockChart, formatter: Formatter, above_k: float) -> list[tuple[str, ...]]:
    """The ends of each column at a distance [K] above its suction temperatures."""
    edges = sorted({edge for column in stock.columns for edge in column})
    called = dict(zip(edges, formatter.temperatures([edge + above_k for edge in edges]), strict=True))
    return [tuple(dict.fromkeys((called[low], called[high]))) for low, high in stock.columns]


def _foot(publication: Publication, chart: CounterChart, part: Combination, has_asked: bool) -> list[Flowable]:
    """What the chart is valid for, whom to call, what to ask, which data it was made from; what a framed cell is, with one."""
    printing = publication.catalogue.printing
    data = wording.DATA_LINE(
        data=publication.data.fingerprint, revision=printing.revision, date=date_text(publication.date)
    )
    temperature = (wording.SST if _difference(publication, part) is None else wording.BOX_OR_SST)()
    cautions = (wording.VALIDITY(), refrigerants.PRESSURE_CAUTION(), printing.company.disclaimer)
    numbers = _part_numbers(publication, part, chart.stock[part.group])
    caller = wording.ASK_CALLER(title=chart.title, temperature=temperature)
    asked = [wording.ASKED_CELLS()] if has_asked else []
    catalogue = publication.catalogue
    nominal = catalogue.confidence is not None and not catalogue.confidence.is_printed
    notes = (wording.NOMINAL_LIMITS() if nominal else "", *cautions, data)
    return [
        ConditionStrip(condition_axis(publication, part), _facts(publication, part)),
        CallLine(chart.wholesaler, chart.telephone, in_gray(chart.logo) if chart.logo else None),
        paragraph(" ".join(filter(None, (numbers, *asked, caller, wording.NEAR_END()))), "wall"),
        paragraph(" ".join(filter(None, notes)), "fine"),
    ]


def _facts(publication: Publication, part: Combination) -> list[str]:
    """Rating point, losses, superheat, charge and riser, short."""
    formatter, system = publication.formatter, publication.system(part)
    limits, element = system.superheat, publication.power_element(part)
    superheat = (
        wording.SUPERHEAT(
            useful=formatter.step(limits.useful_k),
            minimum=formatter.step(limits.min_k[0]),
            maximum=maximum_superheat(
                publication,
                publication.catalogue.applications[part.application],
                publication.members(part.group),
                is_short=True,
            ),
        )
        if publication.is_thermostatic(part.family)
        else wording.SUPERHEAT_BY_CONTROLLER(useful=formatter.step(limits.useful_k))
    )
    return [
        rated(publication, part),
        wording.LOSSES(**loss_drops(formatter, system.losses)),
        superheat,
        *([wording.CHARGE(charge=element.title)] if element is not None else []),
    ]


def _part_numbers(publication: Publication, part: Combination, stock: Sequence[str]) -> str:
    """The part number of each size in stock with the charge of the chart."""
    sizes = {size: order_numbers(publication, part, size) for size in stock}
    numbers = numbers_of_sizes(publication, part.family, sizes)
    return wording.PART_NUMBERS(part_numbers=numbers) if numbers else ""
