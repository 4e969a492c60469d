"""A comparison of two releases as text, JSON and the sheet that is printed."""

from __future__ import annotations

import textwrap
from dataclasses import replace
from typing import Any

from tablegen.cli.compare_words import (
    bearing_lines,
    changed_row,
    counted,
    farthest,
    input_lines,
    notes,
    part_row,
    release_line,
)
from tablegen.cli.text_table import aligned
from tablegen.dataset.comparison import Comparison
from tablegen.dataset.input_changes import MISSING
from tablegen.dataset.to_json import plain
from tablegen.report.formatter import CAUTION, NBSP, Formatter
from tablegen.report.pages.comparison_sheet import CELL_HEADER, PART_HEADER, ComparisonSheet

_WIDTH = 120


def text_of(comparison: Comparison, formatter: Formatter, most_cells: int) -> str:
    """Both releases, what moved by table, the inputs that differ, the cells that moved most."""
    lines = [f"Earlier: {release_line(comparison.old)}", f"Newer: {release_line(comparison.new)}"]
    lines += [counted(comparison)]
    if comparison.parts:
        lines += ["", *aligned([PART_HEADER, *(part_row(part) for part in comparison.parts)])]
    bearing = bearing_lines(comparison)
    if bearing:
        lines += ["", "Inputs that differ and bear on what changed, in SI"]
        lines += [f"  {line}" for line in input_lines(bearing, " -> ")]
    if len(comparison.cells):
        chosen = farthest(comparison.cells).head(most_cells)
        lines += ["", _cells_title(comparison, len(chosen), formatter)]
        lines += aligned([CELL_HEADER, *(changed_row(row, formatter) for _, row in chosen.iterrows())])
    lines += ["", *(line for note in notes(comparison) for line in textwrap.wrap(note, _WIDTH))]
    return "\n".join(lines).rstrip().replace(NBSP, " ")


def sheet_of(comparison: Comparison, formatter: Formatter) -> ComparisonSheet:
    """The page."""
    chosen = farthest(comparison.cells) if len(comparison.cells) else comparison.cells
    bearing = bearing_lines(comparison)
    return ComparisonSheet(
        title="Two releases compared",
        subject="Windows that differ between two releases",
        about=[
            f"Earlier: {release_line(comparison.old)}. Newer: {release_line(comparison.new)}.",
            counted(comparison),
        ],
        parts=[part_row(part) for part in comparison.parts],
        inputs=input_lines(bearing),
        cells_title=_cells_title(comparison, None, formatter),
        cells=[changed_row(row, formatter) for _, row in chosen.iterrows()],
        notes=[*notes(comparison), CAUTION],
    )


def record_of(comparison: Comparison) -> dict[str, Any]:
    """Everything as JSON values, in SI; a value that one release does not have is left away."""
    return {
        "earlier": _release(comparison.old),
        "newer": _release(comparison.new),
        "inputs": [
            {
                "place": change.text,
                **({} if change.earlier is MISSING else {"earlier": change.earlier}),
                **({} if change.now is MISSING else {"now": change.now}),
            }
            for change in comparison.inputs
        ],
        "files": dict(comparison.files),
        "parts": [
            {**plain(replace(part, inputs=())), "inputs": [change.text for change in part.inputs]}
            for part in comparison.parts
        ],
        "windows": [
            {**{k: v for k, v in row.items() if v == v and v != ""}, "inputs": list(filter(None, inputs.split("; ")))}
            for row, inputs in zip(comparison.cells.to_dict("records"), comparison.cells["inputs"], strict=True)
        ],
    }


def _release(release: Any) -> dict[str, Any]:
    names = ("catalogue", "revision", "date", "fingerprint")
    return {name: getattr(release, name) for name in names}


def _cells_title(comparison: Comparison, shown: int | None, formatter: Formatter) -> str:
    units = f"in {formatter.load_label}, SST in {formatter.temperature_label}"
    rest = len(comparison.cells) - shown if shown is not None else 0
    more = f"; {rest} more in --csv or --json" if rest > 0 else ""
    return f"Windows that moved farthest, {units}{more}"
