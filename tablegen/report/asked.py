"""What an exercise asks for: figures with their tolerance, and choices with their wrong answers."""

from __future__ import annotations

from dataclasses import dataclass

# The tolerance of a figure that is rounded or read off a table: what a machine may lose.
EXACT = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedFigure:
    """A figure that is calculated or read off: its value in the printed unit, and how far off an answer may be.

    `text` is the figure as the answer key prints it, without its unit; `unit` is empty for a ratio.  `tolerance` is
    absolute, in the printed unit: what rounding on the way, or reading a graph, may cost.
    """

    what: str
    value: float
    unit: str
    text: str
    tolerance: float

    @property
    def is_exact(self) -> bool:
        """Whether only the figure itself is right."""
        return self.tolerance <= EXACT

    def accepts(self, value: float) -> bool:
        """Whether an answer in the printed unit is right."""
        return abs(value - self.value) <= self.tolerance


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedChoice:
    """A choice among words: the right answer, and the wrong ones that may be offered beside it."""

    what: str
    right: str
    wrong: tuple[str, ...]


Asked = AskedFigure | AskedChoice
