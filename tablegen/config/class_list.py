"""Class lists that teachers write: CSV or XLSX with one student a row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from tablegen.config._input_files import read_limited, shown_name
from tablegen.config.fields import short_line, undrawn
from tablegen.config.sheet import cell_number, cell_text, folded, sheet_of, table_in
from tablegen.config.workbook_rows import Cell
from tablegen.errors import BadValue, ConfigError, FileProblem, near
from tablegen.model.students import LARGEST_SEED, ListedStudent, name_key
from tablegen.wording import class_handout as wording
from tablegen.wording import imports

MAX_BYTES, MOST_STUDENTS = 2_000_000, 500
_MOST_ROWS = MOST_STUDENTS + 50
_LONGEST_NAME, _MAX_SHOWN = 60, 40
# Headings of school programs in the other languages that are printed.
_FIRST_NAMES = ("vorname", "rufname", "prénom", "prenom", "nombre", "nombres")
_FAMILY_NAMES = ("nachname", "familienname", "nom", "nom_de_famille", "apellido", "apellidos")
# Further names of each column.
_COLUMNS: Mapping[str, tuple[str, ...]] = {
    "name": ("name", "pupil", "student", "full_name", "pupil_name", "student_name"),
    "first_name": ("first_name", "given_name", "given_names", "forename", "first", *_FIRST_NAMES),
    "last_name": ("last_name", "surname", "family_name", "last", *_FAMILY_NAMES),
    "number": ("number", "no", "no.", "nr", "#", "id", "student_number", "student_id", "id_number", "pupil_number"),
    "seed": ("seed",),
}
_CALLED = {name: key for key, names in _COLUMNS.items() for name in names}
_NAMES = ("name", "first_name", "last_name", "number")


def read_class_list(path: Path) -> list[ListedStudent]:
    """The students of a class list in its order; columns that it does not know are left alone.

    Raises
    ------
    ConfigError
        With every row that cannot be used, by its line; or if the file cannot be read or lists nobody.
    """
    shown = shown_name(path)
    data = read_limited(path, shown, MAX_BYTES, wording.LIST_TOO_LARGE())
    sheet = sheet_of(data, shown, _MOST_ROWS, wording.MOST_STUDENTS(count=MOST_STUDENTS), _is_header)
    filled = table_in(sheet, _is_header)
    columns = _columns(shown, *(filled[0] if filled else (0, [])))
    students: list[ListedStudent] = []
    problems: list[FileProblem] = []
    called: dict[str, list[ListedStudent]] = {}
    lines: dict[tuple[Cell, ...], int] = {}
    for line, row in filled[1:]:
        try:
            student = _student(line, {key: row[i] if i < len(row) else None for key, i in columns.items()})
            if (earlier := lines.setdefault(tuple(row), line)) != line:
                raise BadValue(repr(student.name), wording.REPEATED_ROW(line=earlier))
            same = called.setdefault(name_key(student.name), [])
            students.append(_told_apart(student, same))
            same.append(student)
        except BadValue as error:
            problems.append(FileProblem(shown, line, "", str(error)))
    if len(students) > MOST_STUDENTS:
        problems.append(FileProblem(shown, 0, "", wording.MOST_STUDENTS(count=MOST_STUDENTS)))
    if problems:
        raise ConfigError(problems)
    if not students:
        raise ConfigError([FileProblem(shown, 0, "", wording.NO_STUDENTS())])
    return students


def _is_header(row: Sequence[Cell]) -> bool:
    """Whether a row names a column that says who a student is."""
    return any(_CALLED.get(folded(cell_text(cell))) in _NAMES for cell in row)


def _told_apart(student: ListedStudent, same: Sequence[ListedStudent]) -> ListedStudent:
    """A student whose name others have too: with a number after the name, where the school's numbers differ.

    Raises BadValue where nothing says that they are different people.
    """
    if not same or student.seed is not None:
        return student
    if not student.number or student.number in [other.number for other in same]:
        raise BadValue(repr(student.name), wording.SAME_NAME(line=same[0].line))
    return replace(student, name=f"{student.name} ({len(same) + 1})")


def _columns(shown: str, line: int, header: Sequence[Cell]) -> dict[str, int]:
    """The columns by their keys.

    Raises ConfigError if none says who a student is, or two say the same.
    """
    found: dict[str, int] = {}
    for index, cell in enumerate(header):
        key = _CALLED.get(folded(cell_text(cell)))
        if key is None:
            continue
        if key in found:
            text = imports.COLUMN_TAKEN(key=key, heading=repr(cell_text(header[found[key]])))
            raise ConfigError([FileProblem(shown, line, cell_text(cell)[:_MAX_SHOWN], text)])
        found[key] = index
    if not found.keys() & set(_NAMES):
        read = [cell_text(cell)[:_MAX_SHOWN] for cell in header if cell_text(cell)]
        hint = next((text for own in read if (text := near(folded(own), _CALLED))), "")
        raise ConfigError([FileProblem(shown, line, "", wording.NO_NAME_COLUMN(read=", ".join(read[:5])) + hint)])
    return found


def _student(line: int, cells: Mapping[str, Cell]) -> ListedStudent:
    """A row.

    Raises BadValue if it names nobody, or the name cannot be printed.
    """
    texts = {key: cell_text(cell) for key, cell in cells.items()}
    first, family, own = (texts.get(key, "") for key in ("first_name", "last_name", "name"))
    # Beside a first name, what is headed "Name" is the family name, unless the first is in it.
    if not own or (first and not family and not set(first.casefold().split()) <= set(own.casefold().split())):
        own = " ".join(filter(None, (first, family or own)))
    number = texts.get("number", "")
    name = own or number
    if not name:
        raise BadValue("''", wording.NAMES_NOBODY())
    try:
        name = short_line(_LONGEST_NAME)(name)
    except BadValue as error:
        if undrawn(name) and name.isprintable():
            raise BadValue(error.value, error.rule, wording.NUMBER_INSTEAD()) from None
        raise
    return ListedStudent(name, line, _seed(cells.get("seed")), number[:_LONGEST_NAME] if own else "")


def _seed(cell: Cell) -> int | None:
    if not cell_text(cell):
        return None
    seed = cell_number(cell)
    if not (seed.is_integer() and 0 <= seed <= LARGEST_SEED):
        raise BadValue(repr(cell_text(cell)[:_MAX_SHOWN]), wording.SEED_RULE(largest=LARGEST_SEED))
    return int(seed)
