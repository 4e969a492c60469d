"""One label for the shelf: its texts set in a step of the type scale, or why they do not fit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reportlab.lib.units import inch
from reportlab.pdfgen.canvas import Canvas

from tablegen.errors import PublishError, both_lengths
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Pen, Shape, box_path, draw_shapes
from tablegen.report.pdf.mixed_line import Face, Line, Piece, line_width, mixed, put_line
from tablegen.report.pdf.paragraphs import with_apostrophes
from tablegen.report.pdf.pictograms import Pictogram, draw_pictogram
from tablegen.report.pdf.structure import tags
from tablegen.report.pdf.typesetting import Typesetter
from tablegen.wording import shelf_labels as wording

# Around what is in the band, between its parts, and between blocks of text, least and most [pt].
_INSIDE, _APART, _GAP, _MOST_GAP = 4.0, 8.0, 2.4, 10.0
# Side of the pictogram in heights of the size's digits.
_PICTOGRAM = 1.2
# Letters of a text that a message names.
_MOST_SHOWN = 40
# What reaches below a baseline, in type sizes.
_BELOW = 0.22
_DOT = " \N{MIDDLE DOT}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelWindow:
    """The load window at one SST, with its unit, or why there is none; the box temperature where it is known."""

    sst: str
    load: str = ""
    reason: str = ""
    box: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLabel:
    """What a label says; `order` is the part number and the charge, `notes` are sentences in small type."""

    size: str
    family: str
    application: str
    group: str
    refrigerants: str
    windows: tuple[LabelWindow, ...]
    order: str
    notes: str
    pictogram: Pictogram | None

    @property
    def title(self) -> str:
        """Its heading: what the label is of."""
        return f"{self.size} {self.family} {self.refrigerants}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """A step of the type scale [pt]."""

    size: float
    name: float
    load: float
    word: float
    order: float
    note: float


_STEPS = tuple(
    _Step(size=size, name=name, load=load, word=word, order=order, note=note)
    for size, name, load, word, order, note in zip(
        design.LABEL_SIZE,
        design.LABEL_NAME,
        design.LABEL_LOAD,
        design.LABEL_WORD,
        design.LABEL_ORDER,
        design.LABEL_NOTE,
        strict=True,
    )
)


@dataclass(frozen=True, slots=True)
class _Block:
    """Lines of one block under each other, each in its pieces."""

    lines: list[Line]

    @property
    def leading(self) -> float:
        """From one baseline to the next [pt]."""
        return design.LABEL_LEADING * self.type_size

    @property
    def type_size(self) -> float:
        """The largest type in it [pt]."""
        return max(piece.face.size for line in self.lines for piece in line)

    @property
    def height(self) -> float:
        """From the capitals of its first line to what is below its last [pt]."""
        return self.leading * (len(self.lines) - 1) + (fonts.CAP_HEIGHT + _BELOW) * self.type_size


@dataclass(frozen=True, slots=True, kw_only=True)
class SetLabel:
    """A label in a step of the scale: size, names in the band beside it, and blocks below it; heights [pt]."""

    label: ShelfLabel
    size: Piece
    names: tuple[_Block, ...]
    band: float
    blocks: tuple[_Block, ...]
    gap: float


def set_labels(labels: Sequence[ShelfLabel], width: float, height: float) -> list[SetLabel]:
    """Labels in the largest step of the scale that all of them fit in, each in a width and a height [pt].

    Raises
    ------
    PublishError
        A text does not fit in the smallest step; says which, and how much room there is.
    MissingGlyphError
        A face cannot draw a character.
    """
    for step in _STEPS[:-1]:
        try:
            return [_set(label, step, width, height) for label in labels]
        except PublishError:
            continue
    return [_set(label, _STEPS[-1], width, height) for label in labels]


def _set(label: ShelfLabel, step: _Step, width: float, height: float) -> SetLabel:
    """A label in one step of the scale."""
    size = Piece(fonts.check_glyphs(label.size, fonts.BOLD), Face(fonts.BOLD, step.size))
    side = _PICTOGRAM * size.face.cap + _APART if label.pictogram else 0.0
    room = width - 2.0 * _INSIDE - size.width - _APART - side
    if room <= 0.0:
        raise _too_wide(label, label.size, size.width, max(width - 2.0 * _INSIDE - _APART - side, 0.0))
    application, smaller = (
        _wrapped(label, label.application, Face(fonts.SEMIBOLD, own), room) for own in (step.order, step.note)
    )
    # Beside a size of three digits too, the application is rather smaller than on one line more.
    if len(smaller.lines) < len(application.lines):
        application = smaller
    names = (_wrapped(label, label.family, Face(fonts.BOLD, step.name), room), application)
    band = max(_PICTOGRAM * size.face.cap, sum(block.height for block in names) + _GAP) + 2.0 * _INSIDE
    texts = (
        *([(label.order, Face(fonts.SEMIBOLD, step.order))] if label.order else []),
        (label.notes, Face(fonts.REGULAR, step.note)),
    )
    blocks = (
        _wrapped(label, label.refrigerants, Face(fonts.BOLD, step.name), width),
        *(_window(label, window, step, width) for window in label.windows),
        *(_wrapped(label, text, face, width) for text, face in texts),
    )
    needed = band + sum(block.height + _GAP for block in blocks)
    if needed > height:
        longest = max((label.application, label.refrigerants, *(text for text, _ in texts)), key=len)
        reason = wording.TOO_HIGH(needed=_length(needed), room=_length(height), text=_shown(longest))
        raise PublishError(wording.OF_LABEL(size=label.size, group=label.group, reason=reason))
    gap = min(_MOST_GAP, _GAP + (height - needed) / len(blocks))
    return SetLabel(label=label, size=size, names=names, band=band, blocks=blocks, gap=gap)


def _window(label: ShelfLabel, window: LabelWindow, step: _Step, width: float) -> _Block:
    """A load window on one line; one that is empty in words."""
    words = Face(fonts.REGULAR, step.word)
    values = {"sst": window.sst, **({"box": window.box} if window.box else {})}
    if not window.load:
        empty = wording.EMPTY_AT_BOX if window.box else wording.EMPTY_AT_SST
        return _wrapped(label, empty(reason=window.reason, **values), words, width)
    line = mixed(
        wording.LOAD_AT_BOX if window.box else wording.LOAD_AT_SST,
        Face(fonts.BOLD, step.load),
        words,
        load=window.load,
        **values,
    )
    if line_width(line) > width:
        raise _too_wide(label, "".join(piece.text for piece in line), line_width(line), width)
    return _Block([line])


def _wrapped(label: ShelfLabel, text: str, face: Face, width: float) -> _Block:
    """A text in lines, broken between words only."""
    text = with_apostrophes(text, face.name)
    widest = max(text.split(" "), key=face.width)
    if face.width(widest) > width:
        raise _too_wide(label, widest, face.width(widest), width)
    # The end of a line parts as a dot does.
    lines = [line.removesuffix(_DOT) for line in fonts.wrapped(text, face.name, face.size, width)]
    return _Block([[Piece(line, face)] for line in lines])


def _too_wide(label: ShelfLabel, text: str, needed: float, room: float) -> PublishError:
    reason = wording.TOO_WIDE(text=_shown(text), needed=_length(needed), room=_length(room))
    return PublishError(wording.OF_LABEL(size=label.size, group=label.group, reason=reason))


def _shown(text: str) -> str:
    """The beginning of a text, as a message names it."""
    plain = " ".join(text.split())
    return repr(plain if len(plain) <= _MOST_SHOWN else f"{plain[:_MOST_SHOWN]}...")


def _length(points: float) -> str:
    return both_lengths(points / inch * 0.0254)


def draw_label(canvas: Canvas, own: SetLabel, box: Box) -> None:
    """Draw a label in a box: a white band for a cooler, a black one for a freezer, and its texts below."""
    is_black = own.label.pictogram is Pictogram.FREEZER
    ink = design.WHITE if is_black else design.BLACK
    band = Box(box.left, box.top - own.band, box.right, box.top)
    draw_shapes(canvas, _band(band, is_black))
    cap = own.size.face.cap
    side = _PICTOGRAM * cap
    if own.label.pictogram is not None:
        middle, right = 0.5 * (band.bottom + band.top), band.right - _INSIDE
        place = Box(right - side, middle - 0.5 * side, right, middle + 0.5 * side)
        draw_pictogram(canvas, own.label.pictogram, place, ink)
    structure = tags(canvas)
    with structure.element("Sect"):
        canvas.saveState()
        canvas.setFillColor(ink)
        text = Typesetter(canvas)
        left = band.left + _INSIDE
        heading = structure.add("H1")
        with structure.mark(heading, on=text):
            base = 0.5 * (band.bottom + band.top - cap)
            text.put(left, base, f"{own.size.text} ", own.size.face.name, own.size.face.size)
            left += own.size.width + _APART
            tall = sum(block.height for block in own.names) + _GAP
            top = 0.5 * (band.bottom + band.top + tall)
            _put(text, own.names[0], left, top)
        with structure.marked("P", on=text):
            _put(text, own.names[1], left, top - own.names[0].height - _GAP)
        text.paint()
        canvas.restoreState()
        text, top = Typesetter(canvas), band.bottom
        for number, block in enumerate(own.blocks):
            top -= own.gap
            # The refrigerants belong to the heading.
            with structure.mark(structure.add("P") if number else heading, on=text):
                _put(text, block, box.left, top)
            top -= block.height
        text.paint()


def _put(text: Typesetter, block: _Block, left: float, top: float) -> None:
    """Set a block below a height."""
    base = top - fonts.CAP_HEIGHT * block.type_size
    for line in block.lines:
        # The space that a reader hears at the end of a line.
        put_line(text, left, base, [*line, Piece(" ", line[-1].face)])
        base -= block.leading


def _band(band: Box, is_black: bool) -> Iterator[Shape]:
    if is_black:
        yield Shape(path=box_path(band), fill=design.BLACK)
    else:
        yield Shape(path=box_path(band.wider(-0.5 * design.LINE)), pen=Pen(design.LINE))
