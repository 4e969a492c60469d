"""What an import says of many rows at once: a problem that they share, and an order of sizes that may be a slip."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise

from tablegen.config.document import Place
from tablegen.errors import FileProblem
from tablegen.wording import imports as wording

_INDEX = re.compile(r"\[\d+\]")
_MAX_RANGES = 6
_FRACTION = re.compile(r"(?:(\d+)[- ])?(\d+)/([1-9]\d*)", re.ASCII)
_DECIMAL = re.compile(r"\d+(?:[.,]\d+)?", re.ASCII)


def joined_by_line(problems: Iterable[FileProblem]) -> list[FileProblem]:
    """Problems, those that many lines of a file share at the first of them, with every line in the text."""
    groups: dict[tuple[str, str, str], list[FileProblem]] = {}
    for problem in sorted(set(problems)):
        groups.setdefault((problem.file, _INDEX.sub("", problem.key), problem.text), []).append(problem)
    found = []
    for group in groups.values():
        first = group[0]
        lines = sorted({own.line for own in group})
        if first.line and len(lines) > 1:
            text = wording.IN_LINES(text=first.text, lines=_ranges(lines))
            found.append(FileProblem(first.file, first.line, first.key, text))
        else:
            found += group
    return found


def _ranges(lines: Sequence[int]) -> str:
    """Ascending lines, those that follow one another as '2 to 14'."""
    ranges: list[tuple[int, int]] = []
    for line in lines:
        if ranges and ranges[-1][1] == line - 1:
            ranges[-1] = (ranges[-1][0], line)
        else:
            ranges.append((line, line))
    shown = [str(first) if first == last else wording.TO(first=first, last=last) for first, last in ranges]
    return ", ".join(shown[:_MAX_RANGES] + (["..."] if len(shown) > _MAX_RANGES else []))


def order_notes(sizes: Sequence[tuple[Place, str, str, float]]) -> list[str]:
    """A note if flow ascends neither as the rows of a sheet do nor as the numbers of sizes: a figure may be a slip.

    Parameters
    ----------
    sizes : sequence of tuple
        Of each row its place, its size, its flow as the sheet gives it, and the flow as a number [any one unit].
    """
    numbers = [_number(own[1]) for own in sizes]
    by_number = sorted(range(len(sizes)), key=lambda i: numbers[i] or 0.0) if None not in numbers else []
    orders = [list(sizes), [sizes[i] for i in by_number]]
    if any(_ascends(order) or _ascends(order[::-1]) for order in orders if order):
        return []
    # The one row without which the others are in order; else the first that is below the row above it.
    ascending = orders[1] or orders[0]
    alone = next((own for i, own in enumerate(ascending) if _ascends(ascending[:i] + ascending[i + 1 :])), None)
    place, size, flow, _ = alone or next(low for high, low in pairwise(ascending) if low[3] < high[3])
    return [wording.OUT_OF_ORDER(file=place.file, line=place.line, size=size, flow=flow)]


def _ascends(sizes: Sequence[tuple[Place, str, str, float]]) -> bool:
    return all(low[3] <= high[3] for low, high in pairwise(sizes))


def _number(size: str) -> float | None:
    """The number that a size is called by, such as 1-1/2; None for another name."""
    if match := _FRACTION.fullmatch(size):
        return float(match[1] or 0) + float(match[2]) / float(match[3])
    return float(size.replace(",", ".")) if _DECIMAL.fullmatch(size) else None
