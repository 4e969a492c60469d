"""Texts as page code: where each begins, in which face and size; what many pages repeat is encoded once a document.

The library's own text objects work out encoding and width again for every string.
"""

from __future__ import annotations

import re
from typing import Any
from weakref import WeakKeyDictionary

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from tablegen.report.pdf import fonts

# What a string of PDF writes by its number, ISO 32000-1, 7.3.4.2.
_ESCAPES = {code: f"\\{code:03o}" for code in (*range(32), *range(127, 256))} | {
    ord(sign): f"\\{sign}" for sign in "\\()"
}
_ESCAPED = re.compile(r"[\x00-\x1f\x7f-\xff\\()]")
# By document, face and text: names of the subsets of the face with what each of them shows.
_Pieces = tuple[tuple[str, str], ...]
_encoded: WeakKeyDictionary[Any, dict[tuple[str, str], _Pieces]] = WeakKeyDictionary()


def number(value: float) -> str:
    """A coordinate to a hundredth of a point."""
    return f"{value:.2f}"


def pieces(canvas: Canvas, text: str, face: str) -> _Pieces:
    """A text of a face as the document of a canvas encodes it: subset and string, in turn."""
    document: Any = getattr(canvas, "_doc")  # noqa: B009 (private to the library)
    known = _encoded.setdefault(document, {})
    if (face, text) not in known:
        font: Any = pdfmetrics.getFont(face)
        known[face, text] = tuple(
            (font.getSubsetInternalName(subset, document), f"({_escaped(part.decode('latin-1'))}) Tj")
            for subset, part in font.splitString(text, document)
        )
    return known[face, text]


def _escaped(string: str) -> str:
    """What a PDF string contains; few have anything to escape, and looking for it is quicker than translating."""
    return string.translate(_ESCAPES) if _ESCAPED.search(string) else string


class Typesetter:
    """Texts of one flowable at places of their own, to be drawn as one text object, with marks between them.

    Parameters
    ----------
    canvas : Canvas
        Whose document encodes the texts.
    """

    def __init__(self, canvas: Canvas) -> None:
        self._canvas = canvas
        self._code: list[str] = ["BT"]
        self._font = ("", 0.0)

    def put(self, x: float, y: float, text: str, face: str, size: float, share: float = 0.0) -> None:
        """Set a text with `share` of its width left of x: 0 begins there, 0.5 is centered, 1 ends there."""
        if not text:
            return
        left = x - share * fonts.text_width(text, face, size) if share else x
        code = [f"1 0 0 1 {left:.2f} {y:.2f} Tm"]
        for name, shown in pieces(self._canvas, text, face):
            if self._font != (name, size):
                self._font = name, size
                code.append(f"{name} {number(size)} Tf")
            code.append(shown)
        self._code.append(" ".join(code))

    def paint(self) -> None:
        """Draw what has been set."""
        # The library takes text objects of its own alone, by their type.
        canvas: Any = self._canvas
        canvas.drawText(self)

    def getCode(self) -> str:
        """The text object as page code."""
        return "\n".join((*self._code, "ET"))
