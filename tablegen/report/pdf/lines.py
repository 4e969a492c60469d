"""Plain text broken into lines that fit a width."""

from __future__ import annotations

from collections.abc import Iterator

from tablegen.report.pdf import fonts


def wrapped(text: str, face: str, size: float, width: float) -> list[str]:
    """Break lines at plain spaces, so that a no-break space holds a number to its unit; a word only if it must be.

    Parameters
    ----------
    text : str
        Its own line ends are kept.
    face : str
        One of the names in `fonts.FACES`.
    size, width : float
        Type size and room [pt].
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if fonts.text_width(longer, face, size) <= width:
                line = longer
                continue
            if line:
                lines.append(line)
            *full, line = _pieces(word, face, size, width)
            lines += full
        lines.append(line)
    return lines


def _pieces(word: str, face: str, size: float, width: float) -> Iterator[str]:
    """A word in pieces that fit; whole if it does."""
    piece = ""
    for sign in word:
        if piece and fonts.text_width(piece + sign, face, size) > width:
            yield piece
            piece = ""
        piece += sign
    yield piece
