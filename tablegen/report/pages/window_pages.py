"""The pages of one table: conditions, window table and notes, then the selection map and the windows side by side."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import pandas as pd
from reportlab.platypus import Flowable, PageBreak, Table

from tablegen.model.booklet_contents import CONFIDENCE
from tablegen.model.printed_tables import destination_of
from tablegen.model.publications import Combination
from tablegen.report.condition_stations import condition_axis, short_facts
from tablegen.report.formatter import percent
from tablegen.report.graphs.condition_strip import condition_strip, strip_width
from tablegen.report.graphs.selection_map_graph import PAGE, MapCells, SelectionMap, map_cells
from tablegen.report.graphs.selection_map_graph import in_blocks as map_in_blocks
from tablegen.report.graphs.size_range_strips import Bar
from tablegen.report.graphs.size_ruler import size_ruler
from tablegen.report.graphs.window_graph import window_multiples
from tablegen.report.pages.front import confidence_sentence
from tablegen.report.pages.scattered_windows import confident_rows, emptied_by_scatter
from tablegen.report.pages.window_table import WindowTable, WindowTableFlowable, in_blocks
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import STYLES, Heading, height, paragraph
from tablegen.report.pdf.page_references import referring
from tablegen.report.pdf.tables import facts
from tablegen.report.printed_changes import cell_of, with_changes
from tablegen.report.publications.chapters import chapter_here, see
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import MapCell, WindowRow, rows_of
from tablegen.report.table_conditions import valve_facts
from tablegen.report.window_texts import (
    example_rows,
    framed_note,
    limit_notes,
    marks_of,
    reason_notes,
    safety_texts,
    size_names,
    size_notes,
    table_caption,
    table_rows,
    temperatures_of,
)
from tablegen.wording import booklet_pages as wording
from tablegen.wording import terms
from tablegen.wording.language import date_text

# Of the windows side by side, at most and at least.
GRAPH_HEIGHT, _LOWEST_GRAPH = 178.0, 130.0
# Width of the axis of heads at least and at most, and between it and the facts beside it [pt].
_STRIP, _WIDEST_STRIP, _BESIDE_STRIP = 250.0, 330.0, 14.0
_BARE: list[tuple[str, tuple[int, int], tuple[int, int], int | str]] = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    *((f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")),
]
# What rounding moves an edge of a map by at most [K].
_SAME_K = 1e-6
# Space above and below what is under a map.
_AIR = 26.0


# What a condition says, by which two tables are compared, and how it is printed.
Condition = tuple[object, Flowable]


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeTable:
    """A table whose sizes all stand beside each other, in parts: what is above it, its notes, conditions and ruler."""

    above: Sequence[Flowable]
    table: WindowTableFlowable
    notes: Sequence[Flowable]
    conditions: Sequence[Condition]
    ruler: Sequence[Flowable]

    def least_height(self, width: float) -> float:
        """Height [pt] of the heading and the table, its rows as close as they go."""
        self.table.measure(width)
        return height(self.above, width) + self.table.least_height + self.table.getSpaceAfter()


def window_table_pages(publication: Publication, part: Combination, width: float) -> list[Flowable]:
    """Heading, the table of windows, how to read it, and the conditions that it is valid for.

    A bar is beside each window that differs in print from an earlier release, if the publication names one.
    One page, if sizes and rows are not too many; else some sizes at a time, and rows that continue on the next page.
    """
    found = whole_table(publication, part, width)
    if isinstance(found, WholeTable):
        return _alone(found, width)
    blocks, rows, title = found, publication.windows(part), publication.full_title(part)
    marks = _marks(publication)
    # The conditions are before the first sizes, where those of the other pages look for them.
    story = [*_above(publication, part), *(own for _, own in _conditions(publication, part, width))]
    for number, block in enumerate(blocks):
        named = wording.SIZES_OF_TABLE(len(block.sizes), title=title, first=block.sizes[0], last=block.sizes[-1])
        # The first page has the heading; on the others this takes its place.
        story.append(paragraph(wording.CONDITIONS_ON_FIRST(title=named) if number else named, "continued"))
        notes = _notes(publication, part, rows, block, marks)
        table = WindowTableFlowable(block, 0.0, terms.CONTINUED(title=named))
        table.reserve = height(notes, width) + table.getSpaceAfter()
        story += [table, *notes, PageBreak()]
    return story


def whole_table(publication: Publication, part: Combination, width: float) -> WholeTable | list[WindowTable]:
    """A table in its parts; the blocks of its sizes where a width [pt] has no room for all of them."""
    rows = publication.windows(part)
    marks = _marks(publication)
    blocks = in_blocks(_window_table(publication, part, rows, marks), width)
    if len(blocks) > 1:
        return blocks
    return WholeTable(
        above=_above(publication, part),
        table=WindowTableFlowable(blocks[0], 0.0, terms.CONTINUED(title=publication.full_title(part))),
        notes=_notes(publication, part, rows, blocks[0], marks),
        conditions=_conditions(publication, part, width),
        ruler=_ruler(publication, part, rows),
    )


def _marks(publication: Publication) -> dict[str, str]:
    """The letters for empty cells, each for one reason in the whole booklet."""
    return marks_of(publication.formatter, [row for part in publication.parts for row in publication.windows(part)])


def _alone(whole: WholeTable, width: float) -> list[Flowable]:
    """A table that fills its page or continues on the next."""
    below = [*whole.notes, *(own for _, own in whole.conditions)]
    whole.table.reserve = height(below, width) + whole.table.getSpaceAfter()
    free = design.LOWEST_PAGE - whole.least_height(width) - height(below, width)
    needed = height(whole.ruler, width)
    if whole.ruler and free > needed:
        whole.table.reserve += needed
        below += whole.ruler
    return [*whole.above, whole.table, *below, PageBreak()]


def _above(publication: Publication, part: Combination) -> list[Flowable]:
    heading = Heading(publication.full_title(part), 2, destination_of(part))
    cautions = [paragraph(text, "continued") for text in safety_texts(publication, part.group)]
    return [heading, *cautions, paragraph(table_caption(publication, part), "small")]


def _conditions(publication: Publication, part: Combination, width: float) -> list[Condition]:
    """The heads on an axis, beside it what else the table is valid for; charge or drive and valve under both."""
    axis = condition_axis(publication, part)
    wide = min(max(_STRIP, strip_width(axis)), _WIDEST_STRIP)
    drawing = publication.drawing(("strip", part), lambda: condition_strip(axis, wide))
    short, valve = short_facts(publication, part), valve_facts(publication, part)
    beside = facts(short, width - wide - _BESIDE_STRIP, design.NOTE)
    figure = DrawingFlowable(drawing, wording.STRIP_ALT(stations=axis.alt))
    pair = Table([[figure, "", beside]], [wide, _BESIDE_STRIP, width - wide - _BESIDE_STRIP], style=_BARE)
    pair.hAlign = "LEFT"
    return [((axis, short), pair), (valve, facts(valve, width, design.NOTE))]


def _ruler(publication: Publication, part: Combination, rows: Sequence[WindowRow]) -> list[Flowable]:
    """The framed row with each size as a bar; nothing where fewer than two sizes have a window there."""
    formatter = publication.formatter
    bars = [
        Bar(row.size, row.min_load_w, row.max_load_w)
        for row in example_rows(publication, part, rows)
        if formatter.readable_window(row.min_load_w, row.max_load_w) is not None
    ]
    if len(bars) < 2:
        return []
    title = wording.RULER(unit=formatter.load_label)
    drawing = publication.drawing(("ruler", part), lambda: size_ruler(bars, formatter, design.FIGURE_WIDTH))
    return [paragraph(title, "caption"), DrawingFlowable(drawing, terms.GRAPH(caption=title))]


def _window_table(
    publication: Publication, part: Combination, rows: Sequence[WindowRow], marks: Mapping[str, str]
) -> WindowTable:
    formatter, names = publication.formatter, size_names(rows)
    notes = size_notes(publication.catalogue, part.family, names, formatter)
    stub = wording.SST_OF_TABLE(unit=formatter.temperature_label)
    application = publication.catalogue.applications[part.application]
    difference_k = application.coil_temperature_difference_k
    box = "" if difference_k is None else wording.BOX_COLUMN(unit=formatter.temperature_label)
    own = table_rows(formatter, rows, marks, application.example_sst_k, difference_k)
    own = with_changes(
        publication, part, own, [[cell_of(name, sst_k) for name in names] for sst_k in temperatures_of(rows)]
    )
    own += confident_rows(publication, part, names)
    is_dense = publication.contents.tables == "dense"
    return WindowTable(stub_label=stub, sizes=names, size_notes=notes, rows=own, box_label=box, is_dense=is_dense)


def _notes(
    publication: Publication,
    part: Combination,
    rows: Sequence[WindowRow],
    block: WindowTable,
    marks: Mapping[str, str],
) -> list[Flowable]:
    """How to read the sizes of one block, why cells are empty, and what sets the limits of the others."""
    own = [row for row in rows if row.size in block.sizes]
    return [
        *_bars_note(publication, block),
        _referring(publication, f"{framed_note(publication, part, own)} {_confidence(publication, part, block.sizes)}"),
        *(paragraph(text, "note") for text in reason_notes(marks, block.rows)),
        *(paragraph(text, "small") for text in limit_notes(publication, part, own)),
    ]


def _bars_note(publication: Publication, block: WindowTable) -> list[Flowable]:
    """What the bars beside windows mean, where there are any."""
    changes = publication.changes
    if changes is None or not any(any(row.changed) for row in block.rows):
        return []
    texts = [wording.CHANGE_BARS(revision=changes.revision, date=date_text(changes.date))]
    if any(row.is_apart for row in block.rows):
        texts.append(wording.CONFIDENT_NOT_COMPARED())
    return [paragraph(" ".join(texts), "note")]


def _referring(publication: Publication, text: str) -> Flowable:
    """A note that may name the chapter on confidence."""
    return referring(text, chapter_here(publication, *CONFIDENCE), STYLES["small"])


def _confidence(publication: Publication, part: Combination, sizes: Collection[str], below: bool = True) -> str:
    """Which confidence the limits of some sizes have, and how many of their windows scatter empties.

    `below` a table whose last row has them at confidence.
    """
    confidence = publication.catalogue.confidence
    if confidence is None or confidence.is_printed:
        return confidence_sentence(publication)
    level, where = percent(confidence.level), see(publication, *CONFIDENCE)
    opened, lost = emptied_by_scatter(publication, part, sizes)
    if not lost:
        return wording.LAST_ROW_AT_CONFIDENCE(level=level, see=where) if below else confidence_sentence(publication)
    text = wording.ALL_EMPTY_AT_CONFIDENCE(level=level, see=where)
    if lost < opened:
        text = wording.EMPTY_AT_CONFIDENCE(lost, level=level, total=opened, see=where)
    return f"{text} {wording.LAST_ROW(level=level)}" if below else text


@dataclass(frozen=True, slots=True, kw_only=True)
class MapParts:
    """The selection map of a table in parts: its caption, what its limits are, the map, how to read it, the windows of every size."""

    caption: str
    nominal: Flowable
    blocks: Sequence[MapCells]
    how_to_read: Flowable
    graph_caption: Flowable
    graphs: Sequence[Flowable]


def map_parts(publication: Publication, part: Combination, width: float, size: tuple[float, float]) -> MapParts | None:
    """The map of first choices in a width [pt], with its graphs in a size [pt]; None where no window of the table is open."""
    formatter = publication.formatter
    cells = publication.rows(publication.data.selection_maps, part)
    if len(cells):
        sst_k = publication.sst_k(part.application)
        inside = (cells["sst_from_k"] > sst_k[0] - _SAME_K) & (cells["sst_to_k"] < sst_k[-1] + _SAME_K)
        cells = cells[(cells["load_unit"] == formatter.load_unit) & inside]
    if not len(cells) or not (cells["first_size"] != "").any():
        return None
    title = publication.full_title(part)
    alt = wording.ALL_SIZES_ALT(table=title)
    drawings = publication.drawing(
        ("windows", part, size),
        lambda: window_multiples(publication.windows(part), formatter, size),
    )
    how_to_read = wording.HOW_TO_READ_MAP()
    if _has_column_without_size(cells, publication.windows(part)):
        how_to_read = f"{how_to_read} {wording.COLUMNS_WITHOUT_SIZE()}"
    return MapParts(
        caption=wording.SIZE_FOR_LOAD(table=title),
        nominal=_referring(
            publication, _confidence(publication, part, size_names(publication.windows(part)), below=False)
        ),
        blocks=map_in_blocks(map_cells(cells, formatter), PAGE, width),
        how_to_read=paragraph(how_to_read, "small"),
        graph_caption=paragraph(wording.ALL_SIZES(unit=formatter.load_label), "caption"),
        graphs=[DrawingFlowable(drawing, alt) for drawing in drawings],
    )


def _has_column_without_size(cells: pd.DataFrame, windows: Sequence[WindowRow]) -> bool:
    """Whether no cell of a column of a map names a size, though a window is open at one of its suction temperatures."""
    opened = {row.sst_k for row in windows if not math.isnan(row.max_load_w)}
    rows = rows_of(cells, MapCell)
    named = {(cell.sst_from_k, cell.sst_to_k) for cell in rows if cell.first_size}
    others = {(cell.sst_from_k, cell.sst_to_k) for cell in rows} - named
    return any(low <= sst_k <= high for low, high in others for sst_k in opened)


def selection_map_page(publication: Publication, part: Combination, width: float) -> list[Flowable]:
    """Map of first choices, how to read it, window multiples; nothing where no window of the table is open."""
    parts = map_parts(publication, part, width, (design.FIGURE_WIDTH, GRAPH_HEIGHT))
    if parts is None:
        return []
    under, tall = [parts.how_to_read, parts.graph_caption], GRAPH_HEIGHT
    # Lower where the map has many rows, for it is drawn once for all papers.
    taken = height([paragraph(parts.caption, "caption"), parts.nominal, *under], design.FIGURE_WIDTH) + _AIR
    free = design.LOWEST_PAGE - taken - PAGE.head - PAGE.tightest * len(parts.blocks[0].rows)
    if free < GRAPH_HEIGHT:
        tall = max(free, _LOWEST_GRAPH)
        parts = map_parts(publication, part, width, (design.FIGURE_WIDTH, tall)) or parts
    reserve = sum(flowable.wrap(width, 1000.0)[1] for flowable in under) + tall + _AIR
    continued = terms.CONTINUED(title=parts.caption)
    maps: list[Flowable] = []
    for number, block in enumerate(parts.blocks):
        maps += [paragraph(continued, "caption")] if number else []
        maps.append(SelectionMap(block, PAGE, reserve if number == len(parts.blocks) - 1 else 0.0, continued))
    return [paragraph(parts.caption, "caption"), parts.nominal, *maps, *under, *parts.graphs, PageBreak()]
