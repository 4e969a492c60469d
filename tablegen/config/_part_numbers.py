"""A list of part numbers: the valve that each is for, by the names that the catalogue's families have."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from tablegen.config._valve_rows import MAX_LENGTH, VALVE_COLUMNS, ValveRow, columns_in, two_valves
from tablegen.config.family_model import FamilyModel
from tablegen.config.list_columns import words_of
from tablegen.config.sheet import cell_text, folded, sheet_of, table_in
from tablegen.config.workbook_rows import Cell
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.model.part_numbers import PartNumber
from tablegen.wording import input_errors as wording

MAX_BYTES = 5_000_000
_MAX_ROWS = 20_000
# What the column of part numbers was called before the first release.
OLD_COLUMN, PART_NUMBER = "article", "part_number"


def read_part_numbers(
    data: bytes, shown: str, families: Mapping[str, FamilyModel]
) -> tuple[tuple[PartNumber, ...], tuple[FileProblem, ...]]:
    """The part numbers in a CSV file (comma, semicolon or tab) or on the first sheet of a workbook called `shown`, and what is wrong in other rows.

    The first row that is filled names the columns: `part_number`, and any others of `VALVE_COLUMNS`, in any case; further columns are not
    read.  Families, sizes and charges are given by key or name in print, lengths with a unit.

    A row is wrong that has an unknown name, a length without a unit, the valve of a row above, or a number that is another
    valve's there.

    Raises ConfigError if the file cannot be read, or with every problem if no row can be used.
    """
    sheet = sheet_of(data, shown, _MAX_ROWS, wording.PART_NUMBER_LISTS_ARE_SMALL(), _is_header)
    (first, header), *rows = table_in(sheet) or [(1, [])]
    if (names := [folded(cell_text(cell)) for cell in header]).count(OLD_COLUMN) and PART_NUMBER not in names:
        raise ConfigError([FileProblem(shown, first, OLD_COLUMN, wording.COLUMN_RENAMED(new=PART_NUMBER))])
    at = columns_in(shown, first, header, {words_of(name): name for name in VALVE_COLUMNS}, ["part_number"])
    problems: list[FileProblem] = []
    found: dict[PartNumber, int] = {}
    part_numbers: list[tuple[int, PartNumber]] = []
    for line, row in rows:
        cells = {name: cell_text(row[i]) if i < len(row) else "" for name, (i, _) in at.items()}
        if any(cells.values()):
            row_of_valve = ValveRow(shown=shown, line=line, cells=cells, families=families, problems=problems)
            if not cells["part_number"]:
                row_of_valve.wrong("part_number", str(BadValue("''", wording.PART_NUMBER_RULE(most=MAX_LENGTH))))
            part_number = row_of_valve.valve()
            what = replace(part_number, number="")
            if what in found:
                problems.append(FileProblem(shown, line, "", wording.SAME_VALVE(line=found[what])))
            found.setdefault(what, line)
            part_numbers.append((line, part_number))
    problems += two_valves(shown, part_numbers, at["part_number"][1])
    wrong = {problem.line for problem in problems}
    sound = tuple(own for line, own in part_numbers if line not in wrong)
    if problems and not sound:
        raise ConfigError(problems)
    return sound, tuple(sorted(problems))


def _is_header(row: Sequence[Cell]) -> bool:
    return PART_NUMBER in (folded(cell_text(cell)) for cell in row)
