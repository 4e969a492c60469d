"""The design of everything that is printed: grid, type scale, weights of lines, dashes and inks, each with its use.

Pages, tables and graphs take their measures from here, so that one sheet looks like another.
"""

from __future__ import annotations

from types import MappingProxyType

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import mm

# Grid [pt]. A drawing is made once for all papers: as wide as the narrowest has room for.
PAPERS = MappingProxyType({"a4": A4, "letter": LETTER})
SIDE_MARGIN, TOP_MARGIN, BOTTOM_MARGIN = 18 * mm, 22 * mm, 20 * mm
FIGURE_WIDTH = A4[0] - 2 * SIDE_MARGIN
# Between two figures of an answer beside each other.
FIGURE_GAP = 18.0
# Of pages that are bound: as wide together as two of the others. Tabs are in the outer one, at a distance from the edge that
# printers can print at.
INNER_MARGIN, OUTER_MARGIN = 22 * mm, 14 * mm
TAB_WIDTH, TAB_EDGE = 20.0, 13.5
# The least that any paper leaves between the margins, less some lines of notice.
LOWEST_PAGE = min(high for _, high in PAPERS.values()) - TOP_MARGIN - BOTTOM_MARGIN - 24.0
# Space at the right of a column, and where a table would be too wide.
COLUMN_PAD, TIGHT_PAD = 10.0, 4.0

# Type scale [pt]: the title of a cover, as large as its lines allow, and the company's name there; other titles, headings of chapters and of parts, what is read line by line, figures in tables
# and names of axes, notes and running heads. Nothing that is to be read is smaller than FINE; an index is read with its symbol.
COVER_TITLES, COVER_COMPANY = (38.0, 34.0, 30.0, 26.0), 18.0
TITLE, COMPANY, CHAPTER, PART = 24.0, 13.0, 15.0, 11.5
# On a back cover, as large as the page has room for.
BACK_COVER = (12.0, 11.5, 11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0)
BODY, TABLE, NOTE, FINE = 10.0, 9.0, 8.5, 8.0
INDEX = 7.0
# The largest that figures grow to where a table fills its page.
LARGEST_FIGURES = 10.5
# Height of a line in type sizes: of tables, of tables that are short of space, of formulas with indices below.
TABLE_LEADING, TIGHT_LEADING, FORMULA_LEADING = 1.25, 1.08, 1.3

# Side of a pictogram among lines of text [pt], and the space between two as a share of it.
PICTOGRAM, PICTOGRAM_GAP = 14.0, 0.35

# A chart on a wall [pt]: margins, and above the foot of the page; what is read at 3 m (a capital of 14 mm); at 1 m
# (4.7 mm, 16 minutes of arc; the lowest digits, 1 and 4, are 3 % lower than capitals), first choices and their most where
# rows are high; a size that also fits; words between figures; what one steps closer for (2.4 mm). A row is never lower.
WALL_MARGIN, WALL_FOOT = 22.0, 39.0
WALL_FAR, WALL_FAR_SMALLER = 62.6, (44.0, 30.0)
WALL_NEAR, WALL_SIZE, WALL_LARGEST_SIZE, WALL_SECOND, WALL_WORD, WALL_CLOSE = 21.0, 27.0, 34.0, 16.0, 13.0, 10.5
WALL_ROW = 32.0
# Frame of a cell to ask about, and of a white band.
WALL_FRAME, WALL_BAND_FRAME = 2.0, 4.0

# A label on a shelf [pt], in three steps of which a sheet takes the largest that all its labels fit in: the size, read at
# 1 m in every step; family, refrigerants and loads, read at 0.5 m in every step; the words beside them; application and
# part number; what one takes it in hand for. From one line to the next, in type sizes. Texts are so far from the edge of
# a label, for sheets move in a printer, and from that of the paper, which no printer reaches.
LABEL_SIZE, LABEL_NAME, LABEL_LOAD = (34.0, 27.0, 21.0), (15.0, 13.0, 10.5), (15.0, 13.0, 10.5)
LABEL_WORD, LABEL_ORDER, LABEL_NOTE = (10.5, 9.0, 8.5), (10.5, 9.0, 8.0), (8.0, 8.0, 8.0)
LABEL_LEADING = 1.2
LABEL_PAD, PAPER_EDGE = 3.2 * mm, 5.2 * mm

# Weights of lines [pt]: grid and rules between rows, leaders and outlines of marks, frames and axes, what is compared with,
# what is shown, and the one line that a graph is about.
HAIR, THIN, RULE, LINE, STRONG, HEAVY = 0.35, 0.6, 0.8, 1.2, 1.6, 2.2
# The white around that line where it crosses black.
HALO = 4.4
# The rule in the accent at the head of a cover.
ACCENT_RULE = 2.6
# The rule under the header of a table, and between groups of its columns.
HEAD_RULE, GROUP_RULE = 0.5, 0.3

# Dashes and gaps, in widths of the line: limits, what is read off, what is compared with, what is set.
DOTTED, CLOSE_DOTS, DASHED, CHAIN = (1.0, 2.0), (1.0, 1.6), (5.0, 2.0), (7.0, 2.0, 1.0, 2.0)
# Of lines that lie behind what is drawn: as light as gray, but black, for gray is lost in print of 1 bit.
SPARSE_DOTS = (1.2, 4.0)

# Inks. The accent is never the only difference: a dash, a weight, a mark or a label goes with it, so that a page is as
# good in black alone. The document says which color it is.
BLACK, WHITE = "#000000", "#FFFFFF"
ACCENT = "accent"
DEFAULT_ACCENT = "#00566B"
# Of marks and of areas under text and under lines; dark enough to be black where gray is not printed.
GRAY = "#767676"
TINT, TINT_LIGHT = "#E0E0E0", "#EDEDED"
