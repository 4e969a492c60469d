"""The page that turns a ledger round: which size for a load, and the windows of all sizes side by side."""

from __future__ import annotations

from tablegen.report.graphs.selection_map_graph import PAGE, SelectionMap, in_blocks, map_cells
from tablegen.report.graphs.window_graph import window_multiples
from tablegen.report.pages.window_pages import part_title
from tablegen.report.pdf.page import paragraph
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.publications.publication import Part, Publication

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, PageBreak

GRAPH_HEIGHT = 178.0
# Space above and below the parts under the map.
_AIR = 26.0


def selection_map_page(publication: Publication, part: Part, width: float) -> list[Flowable]:
    """Map of first choices, how to read it, window multiples; nothing where no window of the part is open."""
    frame = publication.data.selection_maps
    cells = publication.rows(frame, part) if len(frame) else frame
    if len(cells):
        cells = cells[(cells["load_unit"] == publication.formatter.load_unit)]
    if not len(cells) or not (cells["first_size"] != "").any():
        return []
    name = f"{part_title(publication, part)}, {publication.application(part.application)['title']}"
    formatter = publication.formatter
    under: list[Flowable] = [
        paragraph(
            "Take the row whose first figure is below the load (system capacity at the rating point) and whose second "
            "is not, and the column of the suction temperature (SST, dew point; on an edge either column holds). "
            "Large: the size that holds the whole cell with the most room; small: the next. An empty cell: no size "
            "holds all of it, see the table on the page before, where the conditions stand too. Shades only set sizes "
            "apart.",
            "small",
        ),
        paragraph(
            f"Windows of every size, {formatter.load_label}: maximum load solid, minimum dashed; other sizes in gray",
            "caption",
        ),
    ]
    rows = publication.rows(publication.data.group_windows, part)
    alt = f"Minimum and maximum load of every size against suction temperature: {name}"
    graphs = [FigureFlowable(made, width, GRAPH_HEIGHT, alt) for made in window_multiples(rows, formatter, width)]
    reserve = sum(p.wrap(width, 1000.0)[1] for p in under) + GRAPH_HEIGHT + _AIR
    maps: list[Flowable] = []
    title = f"Size for a load – {name}"
    blocks = in_blocks(map_cells(cells, formatter), PAGE, width)
    for i, block in enumerate(blocks):
        reserved = reserve if i == len(blocks) - 1 else 0.0
        maps += [paragraph(f"{title}, continued", "caption")] if i else []
        maps.append(SelectionMap(block, PAGE, reserved, f"{title}, continued"))
    return [
        paragraph(title, "caption"),
        *maps,
        *under,
        *graphs,
        PageBreak(),
    ]
