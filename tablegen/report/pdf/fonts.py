"""The faces of the printed sheets, registered with the page library under our own names.

Import this module before `reportlab.platypus`: the library reads its base font when it is imported,
and any font that it falls back on is not embedded.
"""

from __future__ import annotations

from pathlib import Path

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from tablegen.errors import PublishError

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

# Nothing that is to be read off a sheet is set smaller.
MIN_SIZE = 8.0

# Height of capitals and digits, in type sizes.
CAP_HEIGHT = 0.655


class MissingGlyphError(PublishError):
    """A face has no drawing for a character; the page library would print a blank or a box."""


def _register() -> dict[str, frozenset[int]]:
    """Register every face once and return the code points that each can draw."""
    drawn: dict[str, frozenset[int]] = {}
    for name, path in FACES.items():
        font = TTFont(name, str(path))
        pdfmetrics.registerFont(font)
        drawn[name] = frozenset(font.face.charToGlyph)
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=ITALIC, boldItalic=BOLD)
    for name in (SEMIBOLD, BOLD, ITALIC):
        pdfmetrics.registerFontFamily(name, normal=name, bold=BOLD, italic=name, boldItalic=BOLD)
    rl_config.canvas_basefontname = REGULAR
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
    PublishError
        The face is not one of ours.
    """
    if face not in _DRAWN:
        raise PublishError(f"face {face!r} is not one of {', '.join(FACES)}")
    missing = sorted({c for c in text if c != "\n" and ord(c) not in _DRAWN[face]})
    if missing:
        listed = ", ".join(f"{c!r} (U+{ord(c):04X})" for c in missing)
        raise MissingGlyphError(f"{text!r} cannot be printed: face {face} has no glyph for {listed}")
    return text


def text_width(text: str, face: str, size: float) -> float:
    """Set width of one line of text [pt] in a face at a size [pt]."""
    return float(pdfmetrics.stringWidth(text, face, size))
