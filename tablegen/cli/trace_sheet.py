"""A trace as a sheet: its rows and columns from the blocks of the working."""

from __future__ import annotations

import string
from collections.abc import Sequence
from itertools import zip_longest

from tablegen.cli.trace_lines import Block
from tablegen.cli.trace_words import HEAD, RATED_KV, RATING, SETTING, SIZE, VALVE, LimitText, TraceText
from tablegen.report.formatter import NBSP
from tablegen.report.pages.calculation_sheet import CalculationSheet, Row, in_order

_COEFFICIENTS = {f"C{i}" for i in range(1, 11)}
# Kinds of blocks whose rows stand together.
_SECTIONS = ((RATING, HEAD), (SETTING,), (VALVE,), (SIZE,))


def sheet_of(formatter: TraceText, about: str, notes: Sequence[str]) -> CalculationSheet:
    """The sheet of a trace; `about` tells of the catalogue, `notes` stand at its end."""
    columns, held = _columns(formatter)
    letters: dict[str, str] = {}
    rows = _rows(held, letters)
    sources = "; ".join(f"[{letter}]{NBSP}{source}" for source, letter in letters.items())
    limits = (text for limit in formatter.limits for text in _result(limit, formatter.load_unit))
    results = [*_nominal(formatter), *formatter.obstacle, *limits]
    return CalculationSheet(
        f"{formatter.valve}: {'why there is no window' if formatter.obstacle else f'{formatter.printed}, step by step'}",
        "A window worked out",
        [
            f"{formatter.refrigerants}; SST {formatter.sst}, {formatter.row}; {formatter.application}.{_unprinted(formatter)} {about}"
        ],
        "Given: sign, figure, key and line in the file of the application or the family",
        _given(formatter),
        columns,
        rows,
        results,
        [f"Sources: {sources}.", *notes] if sources else list(notes),
    )


def _unprinted(formatter: TraceText) -> str:
    return f" Not a printed window: {formatter.not_printed}." if formatter.not_printed else ""


def _columns(formatter: TraceText) -> tuple[list[str], list[dict[str, Block]]]:
    """The heads of the columns, and the blocks by kind that each shows."""
    if not formatter.limits:
        return _columns_of_obstacle(formatter.obstacle_blocks)
    columns: list[str] = []
    held: list[dict[str, Block]] = []
    ratings: list[Block] = []
    for limit in formatter.limits:
        blocks = {block.kind: block for block in limit.blocks}
        rating = blocks.pop(RATING)
        if rating not in ratings:
            ratings.append(rating)
            columns.append(f"{limit.member}\nrating point")
            held.append({RATING: rating})
        columns.append(f"{limit.member}\n{limit.head}\n{limit.which}")
        held.append(blocks)
    return columns, held


def _columns_of_obstacle(blocks: Sequence[Block]) -> tuple[list[str], list[dict[str, Block]]]:
    """The rating point, the head that fails with what the valve does there, and a second opening if there is one."""
    columns: list[str] = []
    held: list[dict[str, Block]] = []
    for block in blocks:
        if not held or block.kind == HEAD or block.kind in held[-1]:
            columns.append(block.title.removeprefix("At the ").capitalize())
            held.append({})
        held[-1][block.kind] = block
    return columns, held


def _rows(held: Sequence[dict[str, Block]], letters: dict[str, str]) -> list[Row]:
    """One row for each quantity; the rating point and the heads share theirs."""
    rows: list[Row] = []
    for kinds in _SECTIONS:
        columns = [[line for kind in kinds if kind in blocks for line in blocks[kind].lines] for blocks in held]
        for number, name in enumerate(in_order([[line.name for line in column] for column in columns])):
            found = [next((line for line in column if line.name == name), None) for column in columns]
            lines = [line for line in found if line is not None]
            # A head's equation says more than the rating point's, its special case; either limit has its own.
            heads = [line for line, blocks in zip(found, held, strict=True) if line is not None and HEAD in blocks]
            equations = dict.fromkeys(line.equation for line in heads or lines)
            letter = letters.setdefault(lines[-1].source, string.ascii_lowercase[len(letters)])
            rows.append(
                Row(
                    f"{lines[0].sign} = {' or '.join(equations)}",
                    f"{lines[-1].meaning} [{letter}]",
                    lines[0].short[1],
                    [line.short[0] if line else "" for line in found],
                    number == 0 and bool(rows),
                )
            )
    return rows


def _given(formatter: TraceText) -> list[tuple[str, str, str, str, str, str]]:
    """The config's figures in two columns, those of the application first; coefficients of a polynomial in one line."""
    cells: dict[str, tuple[str, str, str]] = {}
    for line in formatter.given:
        if line.name == "SST":
            continue
        places = "; ".join(f"{o.key}, {o.line or '--set'}" for o in line.origins) or "default"
        is_coefficient = line.name in _COEFFICIENTS
        cell = ("C1 to C10", "", places) if is_coefficient else (line.sign, NBSP.join(filter(None, line.short)), places)
        cells.setdefault(places if is_coefficient else f"{line.name} {places}", cell)
    found = list(cells.values())
    half = (len(found) + 1) // 2
    return [(*left, *right) for left, right in zip_longest(found[:half], found[half:], fillvalue=("", "", ""))]


def _nominal(formatter: TraceText) -> list[str]:
    """How Kv follows from a nominal capacity, which both limits share."""
    blocks = [block for limit in formatter.limits for block in limit.blocks if block.kind == RATED_KV]
    steps = (f"{line.sign} = {line.equation} = {NBSP.join(line.short)}" for line in blocks[0].lines) if blocks else ()
    return [f"{blocks[0].title}: {'; '.join(steps)}."] if blocks else []


def _result(limit: LimitText, unit: str) -> list[str]:
    heads = ", ".join(f"{row.name} {row.load}" for row in limit.heads)
    which = "maximum" if limit.which == "maximum" else "minimum"
    text = f"{which.capitalize()} load by head, {unit}: {heads}; set by the {limit.head}"
    text += f" ({limit.reason}). " if limit.reason else ". "
    if len(limit.members) > 1:
        members = ", ".join(f"{row.name} {row.load}" for row in limit.members)
        text += f"By refrigerant: {members}; set by {limit.member}. "
    return [f"{text}{limit.exact} {'is printed as' if limit.is_printed else 'rounds to'} {limit.printed}."]
