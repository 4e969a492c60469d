"""How one window of a catalogue is read, in pictures: part of its table, its row on a scale of loads, its two limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.report.graphs.axes import EDGE, Axes, Scale
from tablegen.report.graphs.sketch import AREA, BACK, LINE, LINES_APART, MARK, TEXT, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen, box_path
from tablegen.report.pdf.fonts import wrapped
from tablegen.report.pdf.pictograms import Pictogram, pictogram_shapes
from tablegen.wording import terms

# A row of the table, its head, what is kept free for badges at the left, columns of box and suction temperature [pt].
_ROW, _HEAD, _BADGES, _STUB = 31.0, 24.0, 26.0, 46.0
_FIGURES, _BADGE = design.PART, 16.0
# A lane of a size with its bar, the names of sizes at the left, the load above [pt].
_LANE, _BAR, _NAMES, _ABOVE = 21.0, 13.0, 46.0, 20.0
# A line of the list of applications with its pictograms, and what these take of it [pt].
_LINE_HIGH, _MARK, _MARKS = 20.0, 14.0, 64.0
# Of the two limits: height of the band, the figures above; share of the width beyond each limit.
_BAND, _OVER, _BEYOND = 26.0, 18.0, 0.28
_AIR = 4.0


def application_list(names: Sequence[tuple[str, tuple[Pictogram, ...]]], own: int, width: float) -> Drawing:
    """Draw applications under each other with their pictograms, the own one in a frame."""
    faces = [fonts.BOLD if place == own else fonts.REGULAR for place in range(len(names))]
    room = width - EDGE - _BADGES - _MARKS - _AIR
    lines = [wrapped(name, face, design.BODY, room) for (name, _), face in zip(names, faces, strict=True)]
    heights = [_LINE_HIGH + (len(own_lines) - 1) * LINES_APART * design.BODY for own_lines in lines]
    sketch = Sketch(width, sum(heights) + 2 * EDGE)
    top = sketch.height - EDGE
    for place, ((_, marks), own_lines, high) in enumerate(zip(names, lines, heights, strict=True)):
        foot, middle = top - high, top - 0.5 * high
        for number, mark in enumerate(marks):
            left = _BADGES + _AIR + number * _MARK * (1.0 + design.PICTOGRAM_GAP)
            for shape in pictogram_shapes(mark, Box(left, middle - 0.5 * _MARK, left + _MARK, middle + 0.5 * _MARK)):
                sketch.shape(shape, LINE)
        text = "\n".join(own_lines)
        sketch.text(_BADGES + _MARKS, middle, text, side="left", face=faces[place], size=design.BODY)
        if place == own:
            frame = Box(_BADGES, foot, width - EDGE, top)
            sketch.area(box_path(frame), frame, pen=Pen(design.STRONG), layer=LINE, name="own")
            badge(sketch, "1", (_BADGES - 0.6 * _BADGE, middle))
        top = foot
    return sketch.drawing(names[own][0])


@dataclass(frozen=True, slots=True, kw_only=True)
class ExcerptRow:
    """A row of the excerpt as it is printed; the temperature of the box may be empty."""

    box: str
    sst: str
    cells: Sequence[str]
    is_own: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Excerpt:
    """Part of a window table: sizes, which of them cover the load in the own row, and which is chosen."""

    sizes: Sequence[str]
    rows: Sequence[ExcerptRow]
    covering: Sequence[bool]
    chosen: int
    box_label: str
    sst_label: str


def most_columns(texts: Sequence[str], width: float) -> int:
    """How many sizes have room beside each other, whose names and windows these are; one at least."""
    widest = max(fonts.text_width(text, fonts.BOLD, design.FINE) for text in texts) + 4 * _AIR
    return max(1, int((width - _BADGES - 2 * _STUB - EDGE) / widest))


def table_excerpt(excerpt: Excerpt, width: float) -> Drawing:
    """Draw part of a table: its row framed, sizes that cover the load in boxes, the chosen one in a heavy box."""
    sketch = Sketch(width, _HEAD + _ROW * len(excerpt.rows) + 2 * EDGE)
    left = _BADGES + _STUB * (2 if excerpt.box_label else 1)
    step = (width - left - EDGE) / len(excerpt.sizes)
    figures = _fitting([*excerpt.sizes, *(cell for row in excerpt.rows for cell in row.cells)], step - 3 * _AIR)
    top = sketch.height - EDGE - _HEAD
    stubs = [_BADGES + _STUB * (i + 0.5) for i in range(2 if excerpt.box_label else 1)]
    labels = [excerpt.box_label, excerpt.sst_label] if excerpt.box_label else [excerpt.sst_label]
    for x, label in zip(stubs, labels, strict=True):
        sketch.text(x, top + 0.5 * _HEAD, label, up="digits")
    for number, size in enumerate(excerpt.sizes):
        sketch.text(left + step * (number + 0.5), top + 0.5 * _HEAD, size, up="digits", face=fonts.BOLD, size=figures)
    for y, pen in ((sketch.height - EDGE, Pen(design.RULE)), (top, Pen(design.HEAD_RULE)), (EDGE, Pen(design.RULE))):
        sketch.line([(_BADGES, y), (width - EDGE, y)], pen, BACK)
    for place, row in enumerate(excerpt.rows):
        foot = top - _ROW * (place + 1)
        middle = foot + 0.5 * _ROW
        texts = [row.box, row.sst] if excerpt.box_label else [row.sst]
        for x, text in zip(stubs, texts, strict=True):
            face = fonts.BOLD if text is texts[-1] else fonts.REGULAR
            sketch.text(x, middle, text, up="digits", face=face, size=_FIGURES)
        for number, cell in enumerate(row.cells):
            is_covering = row.is_own and excerpt.covering[number]
            face = fonts.BOLD if is_covering else fonts.REGULAR
            sketch.text(left + step * (number + 0.5), middle, cell, up="digits", face=face, size=figures)
            if is_covering:
                is_chosen = number == excerpt.chosen
                box = Box(left + step * number + 2.0, foot + 5.0, left + step * (number + 1) - 2.0, foot + _ROW - 5.0)
                pen = Pen(design.HEAVY, design.ACCENT) if is_chosen else Pen(design.THIN)
                sketch.area(box_path(box), box, pen=pen, fill=design.WHITE, layer=AREA, name="covers")
                above = 0.5 * (box.left + box.right), foot + _ROW - 1.0
                if is_chosen:
                    badge(sketch, "4", above)
                elif number == excerpt.covering.index(True):
                    badge(sketch, "3", above)
        if row.is_own:
            frame = Box(_BADGES, foot, width - EDGE, foot + _ROW)
            sketch.area(box_path(frame), frame, pen=Pen(design.STRONG), layer=LINE, name="row")
            badge(sketch, "2", (_BADGES - 0.6 * _BADGE, middle))
    return sketch.drawing(excerpt.sst_label)


def _fitting(texts: Sequence[str], room: float) -> float:
    """The largest type in which every text has room [pt]."""
    sizes = (_FIGURES, design.BODY, design.TABLE, design.NOTE)
    return next((s for s in sizes if all(fonts.text_width(t, fonts.BOLD, s) <= room for t in texts)), design.FINE)


def badge(sketch: Sketch, text: str, at: tuple[float, float]) -> None:
    """The number of a step in a circle."""
    sketch.mark(*at, "o", _BADGE, Pen(design.LINE), layer=MARK)
    sketch.text(*at, text, up="digits", face=fonts.BOLD, size=design.TABLE, layer=TEXT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """A size on the scale of loads: its limits in the printed unit and as they are printed, and what the load means to it."""

    name: str
    low: float
    high: float
    limits: tuple[str, str]
    verdict: str = ""
    is_covering: bool = True
    is_chosen: bool = False


def load_on_ruler(lanes: Sequence[Lane], load: float, load_text: str, width: float) -> Drawing:
    """Draw a lane for each size with the load through all of them; on the scale, equal lengths are equal ratios."""
    height = _ABOVE + _LANE * len(lanes) + 2 * EDGE
    sketch = Sketch(width, height)
    windows = [terms.RANGE(low=own.limits[0], high=own.limits[1]) for own in lanes]
    figures = max(fonts.text_width(text, fonts.REGULAR, design.NOTE) for text in windows) + _AIR
    low, high = min(own.low for own in lanes), max(own.high for own in lanes)
    names = max(_NAMES, *(fonts.text_width(own.name, fonts.BOLD, design.BODY) + 2 * _BADGE for own in lanes))
    verdicts = width - max(fonts.text_width(own.verdict, fonts.BOLD, design.NOTE) for own in lanes)
    box = Box(names + figures, EDGE, verdicts - figures - 4 * _AIR, height - EDGE - _ABOVE)
    axes = Axes(sketch, box, Scale(low, high, is_log=True), Scale(0.0, 1.0))
    x = float(axes.across(load))
    for place, (own, window) in enumerate(zip(lanes, windows, strict=True)):
        middle = box.top - _LANE * (place + 0.5)
        left, right = (float(axes.across(value)) for value in (own.low, own.high))
        bar = Box(left, middle - 0.5 * _BAR, right, middle + 0.5 * _BAR)
        pen = Pen(design.HEAVY if own.is_chosen else design.LINE if own.is_covering else design.THIN)
        fill = design.TINT if own.is_covering else design.WHITE
        sketch.area(box_path(bar), bar, pen=pen, fill=fill, layer=LINE, name=own.name)
        face = fonts.BOLD if own.is_covering else fonts.REGULAR
        sketch.text(0.0, middle, own.name, side="left", up="digits", face=fonts.BOLD, size=design.BODY)
        # Figures are on the far side of the load, or at both ends of a bar that it runs through.
        before = own.limits[0] if own.is_covering else window if own.high < load else ""
        behind = own.limits[1] if own.is_covering else window if own.low > load else ""
        sketch.text(left - _AIR, middle, before, side="right", up="digits", face=face)
        sketch.text(right + _AIR, middle, behind, side="left", up="digits", face=face)
        sketch.text(verdicts, middle, own.verdict, side="left", up="digits", face=face)
        if own.is_chosen:
            badge(sketch, "4", (names - _BADGE, middle))
    sketch.line([(x, EDGE), (x, box.top + _AIR)], Pen(design.HEAVY, design.ACCENT), MARK)
    sketch.text(x, box.top + _AIR + 2.0, load_text, up="bottom", face=fonts.BOLD, size=design.BODY)
    return sketch.drawing(load_text)


def two_limits(limits: tuple[str, str], words: tuple[str, str, str], width: float) -> Drawing:
    """Draw a window between what is below it and what is above it; the words say what the valve does in each."""
    height = _BAND + _OVER + 2 * EDGE
    sketch = Sketch(width, height)
    left, right = _BEYOND * width, (1.0 - _BEYOND) * width
    foot, top = EDGE, EDGE + _BAND
    parts = ((0.0, left, "\\\\"), (left, right, ""), (right, width, "//"))
    rooms = (end - start - 4 * _AIR for start, end, _ in parts)
    size = min(_fitting([text], room) for text, room in zip(words, rooms, strict=True))
    for (start, end, hatch), text in zip(parts, words, strict=True):
        box = Box(start, foot, end, top)
        if hatch:
            sketch.area(box_path(box), box, hatch=hatch, layer=AREA)
        else:
            sketch.area(box_path(box), box, pen=Pen(design.HEAVY, design.ACCENT), fill=design.WHITE, layer=LINE)
        face = fonts.REGULAR if hatch else fonts.BOLD
        sketch.text(0.5 * (start + end), 0.5 * (foot + top), text, up="digits", face=face, size=size, pad=3.0)
    for x, text in zip((left, right), limits, strict=True):
        sketch.line([(x, foot), (x, top + 3.0)], Pen(design.STRONG), MARK)
        sketch.text(x, top + 5.0, text, up="bottom", face=fonts.BOLD, size=design.PART)
    return sketch.drawing(words[1])


def between_rows(lanes: Sequence[Lane], common: tuple[float, float], width: float) -> Drawing:
    """Draw one size in two rows, and the loads that both cover, between dotted lines; of lanes without verdicts."""
    sketch = Sketch(width, _LANE * len(lanes) + 2 * EDGE)
    figures = max(fonts.text_width(text, fonts.REGULAR, design.NOTE) for own in lanes for text in own.limits) + _AIR
    names = max(fonts.text_width(own.name, fonts.REGULAR, design.TABLE) for own in lanes) + figures + 2 * _AIR
    scale = Scale(min(own.low for own in lanes), max(own.high for own in lanes), is_log=True)
    box = Box(names, EDGE, width - EDGE - figures, sketch.height - EDGE)
    axes = Axes(sketch, box, scale, Scale(0.0, 1.0))
    for place, own in enumerate(lanes):
        middle = box.top - _LANE * (place + 0.5)
        left, right = (float(axes.across(value)) for value in (own.low, own.high))
        bar = Box(left, middle - 0.5 * _BAR, right, middle + 0.5 * _BAR)
        sketch.area(box_path(bar), bar, pen=Pen(design.LINE), fill=design.WHITE, layer=LINE, name=own.name)
        sketch.text(0.0, middle, own.name, side="left", up="digits", size=design.TABLE)
        sketch.text(box.left - _AIR, middle, own.limits[0], side="right", up="digits")
        sketch.text(box.right + _AIR, middle, own.limits[1], side="left", up="digits")
    left, right = (float(axes.across(value)) for value in common)
    both = Box(left, EDGE, right, sketch.height - EDGE)
    sketch.area(box_path(both), both, pen=Pen(design.STRONG, design.ACCENT, design.CLOSE_DOTS), layer=MARK)
    return sketch.drawing(lanes[0].name)
