"""The head of a wall chart, read at 3 m: refrigerants, and cooler or freezer by band and pictogram, in black alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Pen, Shape, box_path, draw_shapes, line_path
from tablegen.report.pdf.mixed_line import Face, Piece, line_width
from tablegen.report.pdf.paragraphs import Heading, with_apostrophes
from tablegen.report.pdf.pictograms import Pictogram, draw_pictogram
from tablegen.report.pdf.structure import is_trial, tags
from tablegen.report.pdf.typesetting import Typesetter

# Around what is in the band, the width of the pictogram's place, between lines and between names [pt].
_PAD, _PLACE, _APART, _SPACE = 8.0, 130.0, 9.0, 22.0
# Between the parts of a title.
_BETWEEN = 0.5 * _SPACE
# The strip of diagonal bars at the foot of a white band, and from one bar to the next [pt].
_BARS, _PITCH = 14.0, 13.0
_LARGE, _WORDS = Face(fonts.BOLD, design.TITLE), Face(fonts.SEMIBOLD, design.WALL_NEAR)
# Type that names and a long title are set in, the last of it in any number of lines, the others in so many.
_NAMES, _TITLES, _MOST_LINES = (design.WALL_FAR, *design.WALL_FAR_SMALLER), (design.WALL_NEAR, design.WALL_WORD), 2
# Height of a line of names in type sizes.
_LEADING = 0.86


class ChartBand(Heading):
    """A white band in a thick frame for a cooler, a black one for a freezer.

    Parameters
    ----------
    names : sequence of str
        The refrigerants, which are the heading.
    title : str
        The application; what is before its first comma is set larger.
    notes : sequence of str
        Cautions of a word or two, such as a safety group.
    is_freezer : bool
    sheet : str
        Which of several sheets it is, smaller, after the notes.

    Raises
    ------
    MissingGlyphError
        The face cannot draw a character.
    """

    def __init__(
        self, names: Sequence[str], title: str, notes: Sequence[str], is_freezer: bool, sheet: str = ""
    ) -> None:
        super().__init__(" ".join(names))
        self._names, self._notes, self._is_freezer = names, notes, is_freezer
        head, comma, rest = title.partition(", ")
        self._title = [with_apostrophes(part, fonts.BOLD) for part in ((head, rest) if comma else (head,))]
        for note in (*notes, sheet):
            fonts.check_glyphs(note, fonts.SEMIBOLD)
        self._sheet = [Piece(sheet, Face(fonts.SEMIBOLD, design.WALL_WORD))] if sheet else []

    def getSpaceBefore(self) -> float:
        """Nothing: it begins the page."""
        return 0.0

    def getSpaceAfter(self) -> float:
        """Nothing: the table has its own."""
        return 0.0

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as there is space, as high as its lines."""
        self.width, self._left = aW, _PLACE + _PAD
        free = aW - self._left - _PAD
        self._set_names(free)
        self._set_title(free)
        if self._sheet:
            last = [*self._title_lines[-1], *self._sheet]
            self._title_lines[-1:] = [last] if line_width(last, _BETWEEN) <= free else [last[:-1], self._sheet]
        size = self._name_size
        tall = (fonts.CAP_HEIGHT + _LEADING * (len(self._name_lines) - 1)) * size
        tall += sum(_APART + max(piece.face.size for piece in line) * fonts.CAP_HEIGHT for line in self._title_lines)
        self.height = tall + 2.0 * _PAD + (0.0 if self._is_freezer else _BARS)
        return self.width, self.height

    def _set_names(self, free: float) -> None:
        """Names in lines, in the largest type that has few enough of them."""
        for size in _NAMES:
            lines = _lines_of(self._names, Face(fonts.BOLD, size), free)
            if lines is not None and len(lines) <= _MOST_LINES:
                break
        else:
            size = design.WALL_NEAR
            lines = _lines_of(self._names, Face(fonts.BOLD, size), free) or [list(self._names)]
        self._name_size, self._name_lines = size, lines

    def _set_title(self, free: float) -> None:
        """The application and the notes on one line, or on more of them in smaller type."""
        head, rest = self._title[0], self._title[1:]
        notes = [Piece(note, _WORDS) for note in self._notes]
        one = [Piece(head, _LARGE), *(Piece(text, _WORDS) for text in rest)]
        if line_width([*one, *notes], _BETWEEN) <= free:
            self._title_lines = [[*one, *notes]]
            return
        if line_width(one, _BETWEEN) <= free:
            self._title_lines = [one, notes]
            return
        text = ", ".join(self._title)
        for size in _TITLES:
            lines = fonts.wrapped(text, fonts.BOLD, size, free)
            if len(lines) <= _MOST_LINES:
                break
        face = Face(fonts.BOLD, size)
        self._title_lines = [[Piece(line, face)] for line in lines] + ([notes] if notes else [])

    def draw(self) -> None:
        """Draw the band, and its heading, bookmark and outline entry."""
        self.enter()
        if is_trial(self.canv):
            return
        ink = design.WHITE if self._is_freezer else design.BLACK
        draw_shapes(self.canv, self._shapes())
        foot = 0.0 if self._is_freezer else _BARS
        place = Box(_PAD, foot + 0.6 * _PAD, _PLACE, self.height - 0.6 * _PAD)
        draw_pictogram(self.canv, Pictogram.FREEZER if self._is_freezer else Pictogram.COOLER, place, ink)
        self.canv.saveState()
        self.canv.setFillColor(ink)
        structure, text = tags(self.canv), Typesetter(self.canv)
        size = self._name_size
        y = self.height - _PAD - fonts.CAP_HEIGHT * size
        with structure.marked("H1", on=text):
            for number, line in enumerate(self._name_lines):
                x = self._left
                for name in line:
                    # The space that a reader hears is part of the gap.
                    is_last = number == len(self._name_lines) - 1 and name is line[-1]
                    text.put(x, y, name if is_last else f"{name} ", fonts.BOLD, size)
                    x += fonts.text_width(name, fonts.BOLD, size) + _SPACE
                y -= _LEADING * size
        y += _LEADING * size
        for pieces in self._title_lines:
            y -= _APART + max(piece.face.size for piece in pieces) * fonts.CAP_HEIGHT
            with structure.marked("P", on=text):
                x = self._left
                for piece in pieces:
                    text.put(x, y, f"{piece.text} ", piece.face.name, piece.face.size)
                    x += piece.width + _BETWEEN
        text.paint()
        self.canv.restoreState()

    def _shapes(self) -> Iterator[Shape]:
        """The black band, or the frame with its bars."""
        outer = Box(0.0, 0.0, self.width, self.height)
        if self._is_freezer:
            yield Shape(path=box_path(outer), fill=design.BLACK)
            return
        pen = Pen(design.WALL_BAND_FRAME)
        inner = outer.wider(-0.5 * pen.width)
        strip = Box(inner.left, inner.bottom, inner.right, inner.bottom + _BARS)
        count = int(strip.width / _PITCH) + 2
        bars = [
            line_path(
                [
                    (x, strip.bottom),
                    (x + 0.5 * _PITCH, strip.bottom),
                    (x + 1.5 * _PITCH, strip.top),
                    (x + _PITCH, strip.top),
                ],
                is_closed=True,
            )
            for x in (strip.left + (i - 1.5) * _PITCH for i in range(count))
        ]
        yield Shape(path="\n".join(bars), fill=design.BLACK, clips=(box_path(strip),))
        yield Shape(path=box_path(inner), pen=pen)


def _lines_of(names: Sequence[str], face: Face, free: float) -> list[list[str]] | None:
    """Names beside each other in as few lines as they take, in even shares; None where one does not fit."""
    widths = [face.width(name) for name in names]
    if max(widths) > free:
        return None
    for count in range(1, len(names) + 1):
        share = -(-len(names) // count)
        lines = [slice(i, i + share) for i in range(0, len(names), share)]
        if all(sum(widths[own]) + _SPACE * (len(widths[own]) - 1) <= free for own in lines):
            return [list(names[own]) for own in lines]
    return None
