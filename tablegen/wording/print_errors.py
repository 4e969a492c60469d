"""Why a publication, or an answer as a PDF, cannot be printed."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

NOT_FINITE = Message("{value} cannot be printed; a printed number must be finite")
FIGURES = Message("{count} significant figures are not allowed; must be 1 to {most}")
DECIMALS = Message("{count} decimals are not allowed; must be 0 or more")
NO_BOUND = Message("{value} is not a bound; it must be positive")

NO_GLYPH = Message("{text} cannot be printed: face {face} has no glyph for {characters}")
TOO_LONG = Message("{text} is too long for {lines} lines of {width} pt at {size} pt")
NOT_EMBEDDED = Message("font {font} is not embedded; set every text in {faces}")
NO_HEADING = Message("{title}: the story has contents but no heading")
NO_CHAPTER = Message("heading {heading} of level 2 comes before any of level 1")
NO_PAGE = Message("{title}: a part does not fit on any page: {reason}")
NO_ALT = Message("a figure on a tagged page needs a description (alt)")

TABLE_TYPE = Message("a table needs type of {size} pt or more")
TABLE_CELLS = Plural("a table needs {count} cell in every row", "a table needs {count} cells in every row")
TABLE_WIDTH = Message("a table of {columns} columns needs {need} pt of {width} pt")
COLUMNS_WIDTH = Message("columns need {need} pt of {width} pt")
WINDOW_TABLE_EMPTY = Message("table {label} needs at least one size and one row")
WINDOW_TABLE_NOTES = Message("a table has {sizes} sizes but {notes} notes to them")
WINDOW_TABLE_CELLS = Message("row {row} of a table has {cells} cells, not {sizes}")
WINDOW_TABLE_WIDTH = Message(
    "a table of {sizes} sizes does not fit {width} pt at {size} pt type; the widest cell is {cell} (row {row}, size "
    "{name})"
)
MAP_EMPTY = Message("a selection map needs a row whose load a size covers")
MAP_SIZE = Message("size {size} is too long for a selection map of {columns} columns")

FACE_OF_FIGURE = Message("text {text} is set in {family}; make the figure inside vector.style()")
MATHTEXT = Message("text {text} is mathtext; write it with ordinary characters")
FIGURE_TYPE = Message("text {text} is {size} pt; must be {least} pt or more")
FIGURE_IMAGE = Message("a figure for print contains no images; draw it with lines and areas")
FIGURE_TRIANGLES = Message("a figure for print contains no shaded triangles; draw it with lines and areas")
FIGURE_HATCH = Message("hatch {hatch} is not allowed; use the letters {letters}")
FIGURE_EFFECTS = Message("text {text} has path effects; give it a white box instead")
MEASURING = Message("a measuring renderer cannot draw")
