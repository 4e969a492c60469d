"""A line of text in two sizes: figures large, the words between them small, so that a message stays one message."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from string import Formatter

from tablegen.report.pdf import fonts
from tablegen.report.pdf.typesetting import Typesetter
from tablegen.wording.message import Message


@dataclass(frozen=True, slots=True)
class Face:
    """A face at a type size [pt]."""

    name: str
    size: float

    def width(self, text: str) -> float:
        """Width of a text [pt]."""
        return fonts.text_width(text, self.name, self.size)

    @property
    def cap(self) -> float:
        """Height of its capitals [pt]."""
        return fonts.CAP_HEIGHT * self.size


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a line in one face."""

    text: str
    face: Face

    @property
    def width(self) -> float:
        """Its width [pt]."""
        return self.face.width(self.text)


Line = Sequence[Piece]


def mixed(message: Message, figures: Face, words: Face, **values: str) -> list[Piece]:
    """A message whose values are set in one face and whose words in another.

    Raises
    ------
    MissingGlyphError
        A face cannot draw a character.
    """
    pieces = []
    for word, name, _, _ in Formatter().parse(message.pattern):
        if word:
            pieces.append(Piece(fonts.check_glyphs(word, words.name), words))
        if name is not None:
            pieces.append(Piece(fonts.check_glyphs(values[name], figures.name), figures))
    return pieces


def line_width(line: Line, gap: float = 0.0) -> float:
    """Width of a line [pt] whose pieces are a gap apart."""
    return sum(piece.width for piece in line) + gap * (len(line) - 1)


def put_line(text: Typesetter, x: float, y: float, line: Line, share: float = 0.0, gap: float = 0.0) -> None:
    """Set a line on a baseline, its pieces a gap apart [pt], with `share` of its width left of x."""
    left = x - share * line_width(line, gap)
    for piece in line:
        text.put(left, y, piece.text, piece.face.name, piece.face.size)
        left += piece.width + gap
