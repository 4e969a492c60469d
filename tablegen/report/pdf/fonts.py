"""The faces of the printed sheets, registered with the page library under our own names, and lines set in them.

The library's default font is set to ours, for any other that it falls back on is not embedded.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from reportlab import rl_config
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus.tables import CellStyle

from tablegen.errors import MissingGlyphError
from tablegen.wording import input_errors

FONT_DIR = Path(__file__).with_name("fonts")

REGULAR = "Text"
SEMIBOLD = "Text-Semibold"
BOLD = "Text-Bold"
ITALIC = "Text-Italic"

FACES: dict[str, Path] = {
    REGULAR: FONT_DIR / "SourceSansPro-Regular.ttf",
    SEMIBOLD: FONT_DIR / "SourceSansPro-Semibold.ttf",
    BOLD: FONT_DIR / "SourceSansPro-Bold.ttf",
    ITALIC: FONT_DIR / "SourceSansPro-It.ttf",
}

# Height of capitals and digits, in type sizes.
CAP_HEIGHT = 0.655


# Width of a line [pt] from its text, face and size.
Measure = Callable[[str, str, float], float]
# Texts whose widths are kept: booklets set the same words and figures again and again.
_KEPT = 100_000


class _Face(TTFont):
    """A face that measures a text once for all sizes."""

    def stringWidth(self, text: str | bytes, size: float, encoding: str = "utf8") -> float:
        """Width of a text [pt] at a size [pt]."""
        return text_width(text if isinstance(text, str) else text.decode(encoding), self.fontName, size)


def _register() -> dict[str, frozenset[str]]:
    """Register every face once and return the characters that each can draw, line ends among them."""
    drawn: dict[str, frozenset[str]] = {}
    for name, path in FACES.items():
        font = _Face(name, str(path))
        pdfmetrics.registerFont(font)
        drawn[name] = frozenset("\n").union(map(chr, font.face.charToGlyph))
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=ITALIC, boldItalic=BOLD)
    for name in (SEMIBOLD, BOLD, ITALIC):
        pdfmetrics.registerFontFamily(name, normal=name, bold=BOLD, italic=name, boldItalic=BOLD)
    # The library's own defaults, whichever of its modules were imported before.
    rl_config.canvas_basefontname = REGULAR
    ParagraphStyle.defaults.update(fontName=REGULAR, bulletFontName=REGULAR)
    CellStyle.fontname = REGULAR
    # Streams of bytes: as letters they are a quarter longer, and take time.
    rl_config.useA85 = 0
    return drawn


_DRAWN = _register()


def check_glyphs(text: str, face: str = REGULAR) -> str:
    """Return `text` unchanged if `face` can draw every character of it (line ends aside).

    Parameters
    ----------
    text : str
        What is to be printed.
    face : str
        One of the names in `FACES`.

    Raises
    ------
    MissingGlyphError
        A character has no glyph in the face; the message lists each one.
    """
    if not _DRAWN[face].issuperset(text):
        missing = sorted(set(text) - _DRAWN[face])
        listed = ", ".join(f"{c!r} (U+{ord(c):04X})" for c in missing)
        raise MissingGlyphError(input_errors.NO_GLYPH(text=repr(text), face=face, characters=listed))
    return text


def text_width(text: str, face: str, size: float) -> float:
    """Set width of one line of text [pt] in a face at a size [pt]."""
    return 0.001 * size * _units(text, face)


@functools.lru_cache(maxsize=_KEPT)
def _units(text: str, face: str) -> float:
    """Width of a text in thousandths of its size."""
    font: Any = pdfmetrics.getFont(face)
    widths, default = font.face.charWidths.get, font.face.defaultWidth
    return float(sum(widths(ord(sign), default) for sign in text))


def wrapped(text: str, face: str, size: float, width: float, measure: Measure = text_width) -> list[str]:
    """Break lines at ordinary spaces, so that a no-break space keeps a number with its unit; a word only if it must be.

    Parameters
    ----------
    text : str
        Its own line ends are kept.
    face : str
        One of the names in `FACES`.
    size, width : float
        Type size and room [pt].
    measure : callable
        Gives the width of a line as it is set.
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if measure(longer, face, size) <= width:
                line = longer
                continue
            if line:
                lines.append(line)
            *full, line = _pieces(word, face, size, width, measure)
            lines += full
        lines.append(line)
    return lines


def _pieces(word: str, face: str, size: float, width: float, measure: Measure) -> Iterator[str]:
    """A word in pieces that fit; whole if it does."""
    piece = ""
    for sign in word:
        if piece and measure(piece + sign, face, size) > width:
            yield piece
            piece = ""
        piece += sign
    yield piece
