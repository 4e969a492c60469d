"""An exercise as printed: its question with a small table, the calculation step by step, and what it asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.report.asked import Asked


@dataclass(frozen=True, slots=True)
class Table:
    """A small table of a question: header and rows, the first column of each a label."""

    header: Sequence[str]
    rows: Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Exercise:
    """An exercise as printed; `lines` is how many ruled lines there are to write on.

    `asked` are the figures and choices of the answer, so that a course system can ask for them one by one.
    """

    kind: str
    title: str
    question: str
    steps: Sequence[str]
    answer: str
    asked: tuple[Asked, ...]
    lines: int
    table: Table | None = None
