"""Left and right pages of an application's tables: each table opposite its map, two short ones together.

Two tables share a page, one above the other, where they fit it with their rows as close as they go and their maps fit the
page opposite beside each other; else each has its own. Where tables are to be dense, maps may also be one above the other,
without the graphs of all windows. The lowest paper decides, so that every print has the same tables on a page.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from reportlab.platypus import Flowable, PageBreak

from tablegen.model.publications import Combination
from tablegen.report.graphs.selection_map_graph import PAGE, SelectionMap
from tablegen.report.pages.window_pages import (
    GRAPH_HEIGHT,
    MapParts,
    WholeTable,
    map_parts,
    selection_map_page,
    whole_table,
    window_table_pages,
)
from tablegen.report.pdf import design
from tablegen.report.pdf.page import height, paragraph
from tablegen.report.pdf.panels import SideBySide, width_beside
from tablegen.report.publications.publication import Publication
from tablegen.wording import booklet_pages as wording

# Between two maps, what a page is not filled up to, and height of the graphs under them [pt].
_GAP, _SLACK, _GRAPH_HEIGHT = 16.0, 8.0, 150.0


@dataclass(frozen=True, slots=True)
class TableSpread:
    """What is on left pages and on right pages opposite; what is drawn there of each table."""

    tables: Sequence[Flowable]
    maps: Sequence[Flowable]
    drawn: Mapping[Combination, Sequence[Flowable]]


@dataclass(frozen=True, slots=True)
class PageHeights:
    """Height between the margins [pt]: the least of all papers, and that of this one."""

    least: float
    own: float


def table_spreads(
    publication: Publication, parts: Sequence[Combination], width: float, page: PageHeights
) -> Iterator[TableSpread]:
    """The tables of an application in their order, each alone or, unless that is not wanted, with the next."""
    waiting, is_shared = list(parts), publication.contents.tables != "single"
    while waiting:
        pair = _shared(publication, waiting[:2], width, page) if is_shared and len(waiting) > 1 else None
        if pair is None:
            part = waiting[0]
            maps = selection_map_page(publication, part, width)
            pair = TableSpread(window_table_pages(publication, part, width), maps, {part: maps})
        yield pair
        del waiting[: len(pair.drawn)]


def _shared(
    publication: Publication, parts: Sequence[Combination], width: float, page: PageHeights
) -> TableSpread | None:
    """Two tables on one page and their maps on the page opposite; None where they do not fit."""
    tables = [whole_table(publication, part, width) for part in parts]
    left = _shared_tables([own for own in tables if isinstance(own, WholeTable)], width, page)
    if left is None:
        return None
    half, size = width_beside(width, _GAP), (width_beside(design.FIGURE_WIDTH, _GAP), _GRAPH_HEIGHT)
    maps = [map_parts(publication, part, half, size) for part in parts]
    right = _shared_maps([own for own in maps if own is not None], width, page)
    if right is None and publication.contents.tables == "dense":
        maps = [map_parts(publication, part, width, (design.FIGURE_WIDTH, GRAPH_HEIGHT)) for part in parts]
        right = _stacked_maps([own for own in maps if own is not None], width, page)
    if right is None:
        return None
    return TableSpread(left, right, {part: own.graphs for part, own in zip(parts, maps, strict=True) if own})


def _shared_tables(tables: Sequence[WholeTable], width: float, page: PageHeights) -> list[Flowable] | None:
    """Each table with its notes, then once the conditions that both have."""
    if len(tables) < 2:
        return None
    common = [said for said, _ in tables[0].conditions if any(said == other for other, _ in tables[1].conditions)]
    below = [[*own.notes, *(part for said, part in own.conditions if said not in common)] for own in tables]
    foot = [part for said, part in tables[0].conditions if said in common]
    if foot:
        foot.insert(0, paragraph(wording.FOR_BOTH_TABLES(), "caption"))
    heads = [own.least_height(width) for own in tables]

    def least() -> float:
        return sum(heads) + height([*below[0], *below[1], *foot], width)

    if least() > page.least:
        return None
    rulers = [own.ruler for own in tables]
    if least() + height([*rulers[0], *rulers[1]], width) <= page.least:
        below = [[*own, *ruler] for own, ruler in zip(below, rulers, strict=True)]
    first, second = (own.table for own in tables)
    second.reserve = height([*below[1], *foot], width) + second.getSpaceAfter()
    # What is left over is shared by rows.
    more = (page.own - least()) * len(second.rows) / (len(first.rows) + len(second.rows))
    first.reserve = (
        height(below[0], width) + first.getSpaceAfter() + heads[1] + height([*below[1], *foot], width) + more
    )
    return [*tables[0].above, first, *below[0], *tables[1].above, second, *below[1], *foot, PageBreak()]


def _shared_maps(maps: Sequence[MapParts], width: float, page: PageHeights) -> list[Flowable] | None:
    """The maps beside each other, under each the windows of its sizes; how both are read is said once."""
    if len(maps) < 2 or any(len(own.blocks) > 1 or len(own.graphs) > 1 for own in maps):
        return None
    first, second = maps
    captions = SideBySide([paragraph(own.caption, "caption") for own in (first, second)], _GAP)
    nominal = SideBySide((first.nominal, second.nominal), _GAP)
    # The longer says more of the columns.
    how_to_read = max((first.how_to_read, second.how_to_read), key=lambda own: height([own], width))
    below = [how_to_read, first.graph_caption, SideBySide((first.graphs[0], second.graphs[0]), _GAP)]
    reserve = height(below, width) + _SLACK
    left, right = (SelectionMap(own.blocks[0], PAGE, reserve, own.caption) for own in maps)
    pair = SideBySide((left, right), _GAP)
    for own in (left, right):
        own.measure(width_beside(width, _GAP))
    least = max(left.least_height, right.least_height) + pair.getSpaceBefore() + pair.getSpaceAfter()
    if height([captions, nominal], width) + least + reserve > page.least:
        return None
    return [captions, nominal, pair, *below, PageBreak()]


def _stacked_maps(maps: Sequence[MapParts], width: float, page: PageHeights) -> list[Flowable] | None:
    """The maps one above the other, each under what its limits are; how both are read is said once."""
    if len(maps) < 2 or any(len(own.blocks) > 1 for own in maps):
        return None
    above = [[paragraph(own.caption, "caption"), own.nominal] for own in maps]
    first, second = (SelectionMap(own.blocks[0], PAGE, 0.0, own.caption) for own in maps)
    for own in (first, second):
        own.measure(width)
    below = height([maps[0].how_to_read], width) + _SLACK
    apart = height([*above[0], *above[1]], width) + 2 * (first.getSpaceBefore() + first.getSpaceAfter())
    needed = first.least_height + second.least_height + apart + below
    if needed > page.least:
        return None
    second.reserve = below
    # What is left over is shared by rows.
    more = (page.own - needed) * len(second.rows) / (len(first.rows) + len(second.rows))
    first.reserve = height(above[1], width) + second.least_height + below + more
    return [*above[0], first, *above[1], second, maps[0].how_to_read, PageBreak()]
