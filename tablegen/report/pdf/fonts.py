"""The faces of the printed sheets, registered with the page library under our own names, and lines set in them.

Within the block of `set_in` a company's faces have these names; else the built-in ones do. The library's default font is
set to ours, for any other that it falls back on is not embedded.
"""

from __future__ import annotations

import functools
import hashlib
import io
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from reportlab import rl_config
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus.tables import CellStyle

from tablegen.errors import MissingGlyphError
from tablegen.model.company import Typeface
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
    """A face that measures a text once for all sizes; `content` is its file."""

    def __init__(self, name: str, content: bytes) -> None:
        super().__init__(name, io.BytesIO(content))
        self.content, self.key = content, hashlib.sha256(content).hexdigest()
        self.drawn = frozenset("\n").union(map(chr, self.face.charToGlyph))

    def stringWidth(self, text: str | bytes, size: float, encoding: str = "utf8") -> float:
        """Width of a text [pt] at a size [pt]."""
        return text_width(text if isinstance(text, str) else text.decode(encoding), self.fontName, size)


_BUILT_IN = {name: _Face(name, path.read_bytes()) for name, path in FACES.items()}
# The faces that have the names at the moment.
_current: dict[str, _Face] = {}


def _register(faces: Mapping[str, _Face]) -> None:
    """Give the names to faces, whichever had them before."""
    # The library's own function gives a name once.
    registered: Any = getattr(pdfmetrics, "_fonts")  # noqa: B009 (private to the library)
    registered.update(faces)
    _current.update(faces)


def _set_up() -> None:
    """Register the built-in faces, and make them the library's own defaults, whichever of its modules were imported before."""
    _register(_BUILT_IN)
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=ITALIC, boldItalic=BOLD)
    for name in (SEMIBOLD, BOLD, ITALIC):
        pdfmetrics.registerFontFamily(name, normal=name, bold=BOLD, italic=name, boldItalic=BOLD)
    rl_config.canvas_basefontname = REGULAR
    ParagraphStyle.defaults.update(fontName=REGULAR, bulletFontName=REGULAR)
    CellStyle.fontname = REGULAR
    # Streams of bytes: as letters they are a quarter longer, and take time.
    rl_config.useA85 = 0


_set_up()


@contextmanager
def set_in(typeface: Typeface | None) -> Iterator[None]:
    """What is measured and set within the block is in a company's faces; without a typeface in the built-in ones."""
    before = dict(_current)
    _register({**_BUILT_IN, **(_own_faces(typeface) if typeface else {})})
    try:
        yield
    finally:
        _register(before)


@functools.lru_cache(maxsize=4)
def _own_faces(typeface: Typeface) -> dict[str, _Face]:
    """A company's faces by our names; its bold one is also the one between, for most have none."""
    files = {REGULAR: typeface.regular, BOLD: typeface.bold, ITALIC: typeface.italic}
    made: dict[bytes, _Face] = {}
    found = {}
    for name, content in files.items():
        if content:
            # A document has each file once, and by a name that no other has in it.
            if content not in made:
                made[content] = _Face(name, content)
                made[content].face.name += f"-{made[content].key[:6]}".encode()
            found[name] = made[content]
    return {**found, SEMIBOLD: found[BOLD]} if BOLD in found else found


def face_file(face: str) -> tuple[str, bytes]:
    """The file of the face that has a name at the moment, and the key that no other face has."""
    own = _current[face]
    return own.key, own.content


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
    drawn = _current[face].drawn
    if not drawn.issuperset(text):
        missing = sorted(set(text) - drawn)
        listed = ", ".join(f"{c!r} (U+{ord(c):04X})" for c in missing)
        raise MissingGlyphError(input_errors.NO_GLYPH(text=repr(text), face=face, characters=listed))
    return text


def text_width(text: str, face: str, size: float) -> float:
    """Set width of one line of text [pt] in a face at a size [pt]."""
    return 0.001 * size * _units(text, face, _current[face].key)


@functools.lru_cache(maxsize=_KEPT)
def _units(text: str, face: str, key: str) -> float:
    """Width of a text in thousandths of its size, in the face that has a key of its own."""
    font: Any = _current[face]
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
