"""Read the readings of a step: CSV with time and superheat, and the openings before and after it in lines that begin with '#'."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tablegen.config._input_files import csv_text, read_limited, shown_name
from tablegen.config.csv_rows import csv_rows, has_decimal_comma, separator_of
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.physics.arrays import Floats
from tablegen.unit_table import Unit
from tablegen.units import plain_number, to_si, unit_named
from tablegen.wording import hunt as wording
from tablegen.wording import input_errors

MOST_ROWS = 20_000
_MOST_BYTES = 2_000_000
_REMARKS = ("opening_before", "opening_after")
_TIME, _SUPERHEAT = re.compile(r"time\s*\[\s*s\s*\]"), re.compile(r"superheat\s*\[\s*(.+?)\s*\]")


@dataclass(frozen=True, slots=True, kw_only=True)
class StepFile:
    """A step of opening [1], before and after, and the superheat [K] at times [s] from the step; arrays (readings,)."""

    name: str
    opening: tuple[float, float]
    time_s: Floats
    superheat_k: Floats


def read_step(path: Path) -> StepFile:
    """Read a file of a step response.

    Raises ConfigError with every problem, by file and line.
    """
    shown = shown_name(path)
    text = csv_text(read_limited(path, shown, _MOST_BYTES, wording.STEP_FILES_ARE_SMALL()), shown)
    problems: list[FileProblem] = []
    openings: dict[str, float] = {}
    unit: Unit | None = None
    rows: list[tuple[float, float]] = []
    separator = separator_of(text)
    for row in csv_rows(text, separator):
        cells = [cell.strip() for cell in row.cells]
        try:
            if row.wrong:
                problems.append(FileProblem(shown, row.line, "", input_errors.NOT_CSV(reason=row.wrong)))
            elif row.is_remark:
                openings |= dict(_remark(cells[0]))
            elif any(cells) and unit is None:
                unit = _unit(cells)
            elif any(cells):
                assert unit is not None
                if has_decimal_comma(separator):
                    cells = [cell.replace(",", ".") for cell in cells]
                rows.append(_row(cells, unit, rows[-1][0] if rows else -math.inf))
        except BadValue as error:
            problems.append(FileProblem(shown, row.line, "", str(error)))
            if unit is None:
                break
    if not problems:
        missing = [key for key in _REMARKS if key not in openings]
        problems += [FileProblem(shown, 0, key, wording.STEP_NEEDS_OPENINGS()) for key in missing]
    if not problems and not (len(rows) > 5 and rows[0][0] <= 0.0 < rows[-1][0]):
        problems.append(FileProblem(shown, 0, "", wording.STEP_NEEDS_BOTH_SIDES()))
    if problems:
        raise ConfigError(problems)
    time, superheat = np.array(rows[:MOST_ROWS]).T
    before, after = (openings[key] for key in _REMARKS)
    return StepFile(name=path.name, opening=(before, after), time_s=time, superheat_k=superheat)


def _remark(line: str) -> Iterator[tuple[str, float]]:
    """The opening that a remark states; any other remark says nothing."""
    key, _, value = line.strip("# \t").partition(":")
    name = key.strip().lower().replace(" ", "_")
    if name in _REMARKS:
        share = to_si(value.strip(), "share")
        if not 0.0 < share <= 3.0:
            raise BadValue(repr(value.strip()), wording.STEP_OPENING_RANGE())
        yield name, share


def _unit(cells: Sequence[str]) -> Unit:
    """The unit of superheat, from the header."""
    found = _SUPERHEAT.fullmatch(cells[1]) if len(cells) == 2 and _TIME.fullmatch(cells[0]) else None
    if found is None:
        raise BadValue(repr(", ".join(cells)), wording.STEP_HEADER())
    return unit_named("temperature difference", found[1])


def _row(cells: Sequence[str], unit: Unit, last_s: float) -> tuple[float, float]:
    """Time [s] and superheat [K] of a row that comes after another."""
    time_s, superheat = map(plain_number, cells) if len(cells) == 2 else (None, None)
    if time_s is None or superheat is None:
        raise BadValue(repr(", ".join(cells)), wording.STEP_ROW())
    if not time_s > last_s:
        raise BadValue(repr(time_s), wording.STEP_ASCENDS())
    return time_s, unit.to_si(superheat)
