"""Colors of print, and how PDF writes a color."""

from __future__ import annotations

import functools

BLACK = "#000000"
WHITE = "#FFFFFF"
# Accents: always together with a dash, a marker or a label.
BLUE = "#0072B2"
VERMILLION = "#D55E00"
TINT_DARK = "#E0E0E0"
TINT_LIGHT = "#EDEDED"
# Of lines that lie behind what is drawn.
FAINT = "#9A9A9A"


@functools.cache
def rgb(color: str) -> str:
    """A color `#RRGGBB` as the three numbers of PDF, from 0 to 1."""
    return " ".join(f"{int(color[i : i + 2], 16) / 255.0:.4f}".rstrip("0").rstrip(".") for i in (1, 3, 5))


def fill_code(color: str) -> str:
    """The operator that fills in a color from here on."""
    return f"{rgb(color)} rg"


def stroke_code(color: str) -> str:
    """The operator that strokes in a color from here on."""
    return f"{rgb(color)} RG"
