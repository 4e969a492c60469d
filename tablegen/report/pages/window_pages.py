"""The pages of one table: conditions, window table and notes, then the selection map and the windows side by side."""

from __future__ import annotations

import math
import string
from collections.abc import Mapping, Sequence

from reportlab.platypus import Flowable, PageBreak

from tablegen.model.inputs import Combination
from tablegen.report.formatter import kv
from tablegen.report.graphs.selection_map_graph import PAGE, SelectionMap, map_cells
from tablegen.report.graphs.selection_map_graph import in_blocks as map_in_blocks
from tablegen.report.graphs.window_graph import window_multiples
from tablegen.report.pages.front import confidence_sentence
from tablegen.report.pages.window_table import Cell, WindowTable, WindowTableFlowable, WindowTableRow, in_blocks
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import FIGURE_WIDTH, Heading, paragraph
from tablegen.report.pdf.tables import facts
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import WindowRow
from tablegen.report.table_conditions import TableConditions, valve_facts
from tablegen.wording import booklet_pages as wording
from tablegen.wording import terms
from tablegen.wording.message import OR, listed

GRAPH_HEIGHT = 178.0
_NOTE_HEIGHT = 14.0
# Space above and below what is under a map.
_AIR = 26.0
# Of a window that is open, but whose limits meet as printed.
_MEETING = "meeting"


def window_table_pages(publication: Publication, part: Combination, width: float) -> list[Flowable]:
    """Heading, the conditions that the table is valid for, the table of windows, and what sets its limits.

    One page, if sizes and rows are not too many; else some sizes at a time, and rows that continue on the next page.
    """
    rows, title = publication.windows(part), publication.full_title(part)
    marks = _marks(publication, rows)
    conditions = TableConditions.of(publication, part).facts() + valve_facts(publication, part)
    story: list[Flowable] = [Heading(title, 2), facts(conditions, width, 8.5)]
    blocks = in_blocks(window_table(publication, part, rows, marks), width)
    for number, block in enumerate(blocks):
        named = title
        if len(blocks) > 1:
            named = wording.SIZES_OF_TABLE(len(block.sizes), title=title, first=block.sizes[0], last=block.sizes[-1])
            # The first page has the heading; on the others this takes its place.
            story.append(paragraph(wording.CONDITIONS_ON_FIRST(title=named) if number else named, "continued"))
        notes = _notes(publication, part, rows, block, marks)
        reserve = sum(note.wrap(width, 1000.0)[1] + note.getSpaceAfter() for note in notes) + _NOTE_HEIGHT
        story += [WindowTableFlowable(block, reserve, terms.CONTINUED(title=named)), *notes, PageBreak()]
    return story


def window_table(
    publication: Publication, part: Combination, rows: Sequence[WindowRow], marks: Mapping[str, str]
) -> WindowTable:
    """The windows of a table: warmest suction temperature first."""
    formatter = publication.formatter
    sizes = {size.display_name: size.kv_rated_m3h for size in publication.catalogue.families[part.family].sizes}
    names = list(dict.fromkeys(row.size for row in rows))
    cells = {(row.sst_k, row.size): _cell(publication, row, marks) for row in rows}
    temperatures = sorted({row.sst_k for row in rows}, reverse=True)
    body = [
        WindowTableRow(label, [cells[sst_k, name] for name in names], formatter.is_round(sst_k))
        for sst_k, label in zip(temperatures, formatter.temperatures(temperatures), strict=True)
    ]
    notes = [wording.SIZE_KV(kv=kv(sizes[name])) for name in names]
    return WindowTable(wording.SST_COLUMN(unit=formatter.temperature_label), names, notes, body)


def _cell(publication: Publication, row: WindowRow, marks: Mapping[str, str]) -> Cell:
    window = publication.formatter.readable_window(row.min_load_w, row.max_load_w)
    return window or marks[row.max_reason if math.isnan(row.max_load_w) else _MEETING]


def _marks(publication: Publication, rows: Sequence[WindowRow]) -> dict[str, str]:
    """A letter for each reason that empties a cell."""
    reasons = sorted({row.max_reason for row in rows if math.isnan(row.max_load_w)})
    windows = [(row.min_load_w, row.max_load_w) for row in rows if not math.isnan(row.max_load_w)]
    if any(publication.formatter.readable_window(*window) is None for window in windows):
        reasons.append(_MEETING)
    return dict(zip(reasons, string.ascii_lowercase, strict=False))


def _notes(
    publication: Publication,
    part: Combination,
    rows: Sequence[WindowRow],
    block: WindowTable,
    marks: Mapping[str, str],
) -> list[Flowable]:
    """How to read the sizes of one block, why cells are empty, and what sets the limits of the others."""
    own = [row for row in rows if row.size in block.sizes]
    shown = {mark for row in block.rows for mark in row.cells if isinstance(mark, str)}
    reasons = {mark: reason for reason, mark in marks.items() if mark in shown}
    notes = [paragraph(_reading(publication, part, own), "small")]
    for mark, reason in reasons.items():
        why = terms.NARROW() if reason == _MEETING else terms.reason(reason)
        notes.append(paragraph(wording.REASON(mark=mark, reason=why), "note"))
    notes.append(paragraph(_set_by(publication, part, own), "small"))
    if publication.catalogue.families[part.family].kind == "pulse_modulated":
        notes.append(paragraph(wording.PULSE_CAVEAT(), "small"))
    return [*notes]


def _reading(publication: Publication, part: Combination, rows: Sequence[WindowRow]) -> str:
    """How to read the table, by the example row's middle size."""
    formatter = publication.formatter
    example_k = publication.catalogue.applications[part.application].example_sst_k
    across = [row for row in rows if abs(row.sst_k - example_k) < 1e-6]
    chosen = across[len(across) // 2]
    text = [wording.UNITS(unit=formatter.load_label), confidence_sentence(publication)]
    window = formatter.readable_window(chosen.min_load_w, chosen.max_load_w)
    if window is not None:
        maximum = formatter.with_load_unit(window[1])
        sst = formatter.degrees(example_k)
        text.append(wording.READ_EXAMPLE(sst=sst, size=chosen.size, minimum=window[0], maximum=maximum))
    return " ".join((*text, wording.DO_NOT_EXTRAPOLATE()))


def _set_by(publication: Publication, part: Combination, rows: Sequence[WindowRow]) -> str:
    """Which members and which physical limits set the limits of the open windows."""
    opened = [row for row in rows if not math.isnan(row.max_load_w)]
    if not opened:
        return wording.NO_WINDOW()
    minimum = _where([row.min_condition for row in opened], [row.min_reason for row in opened])
    maximum = _where([row.max_condition for row in opened], [row.max_reason for row in opened])
    text = wording.SET_AT(minimum=minimum, maximum=maximum)
    if len(publication.members(part.group)) == 1:
        return text
    members, others = sorted({row.min_member for row in opened}), sorted({row.max_member for row in opened})
    if len(members) == 1:
        return f"{text} {wording.ONE_MEMBER(member=members[0], others=listed(others))}"
    return f"{text} {wording.MEMBERS(members=listed(members), others=listed(others))}"


def _where(conditions: Sequence[str], reasons: Sequence[str]) -> str:
    return wording.SET_BY(
        conditions=listed([terms.at_condition(name) for name in terms.AT_CONDITIONS if name in conditions]),
        reasons=listed([terms.limit_reason(name) for name in terms.LIMIT_REASONS if name in reasons], OR),
    )


def selection_map_page(publication: Publication, part: Combination, width: float) -> list[Flowable]:
    """Map of first choices, how to read it, window multiples; nothing where no window of the table is open."""
    formatter = publication.formatter
    cells = publication.rows(publication.data.selection_maps, part)
    cells = cells[cells["load_unit"] == formatter.load_unit] if len(cells) else cells
    if not len(cells) or not (cells["first_size"] != "").any():
        return []
    title = publication.full_title(part)
    caption = wording.SIZE_FOR_LOAD(table=title)
    under: list[Flowable] = [
        paragraph(wording.HOW_TO_READ_MAP(), "small"),
        paragraph(wording.ALL_SIZES(unit=formatter.load_label), "caption"),
    ]
    alt = wording.ALL_SIZES_ALT(table=title)
    drawings = publication.drawing(
        ("windows", part),
        lambda: window_multiples(publication.windows(part), formatter, (FIGURE_WIDTH, GRAPH_HEIGHT)),
    )
    graphs = [DrawingFlowable(drawing, alt) for drawing in drawings]
    reserve = sum(flowable.wrap(width, 1000.0)[1] for flowable in under) + GRAPH_HEIGHT + _AIR
    continued = terms.CONTINUED(title=caption)
    maps: list[Flowable] = []
    blocks = map_in_blocks(map_cells(cells, formatter), PAGE, width)
    for number, block in enumerate(blocks):
        maps += [paragraph(continued, "caption")] if number else []
        maps.append(SelectionMap(block, PAGE, reserve if number == len(blocks) - 1 else 0.0, continued))
    return [paragraph(caption, "caption"), *maps, *under, *graphs, PageBreak()]
