"""The sheets of CSV and XLSX files that an import reads, each of one kind, with values at keys and the row of each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tablegen.config._input_files import read_limited, shown_name
from tablegen.config.document import Place, Yaml
from tablegen.config.import_columns import (
    REQUIRED,
    ImportedColumn,
    SheetKind,
    columns_of,
    kind_of,
    nearest_heading,
    no_column,
)
from tablegen.config.sheet import SheetRows, cell_text, sheets_of, table_in
from tablegen.config.workbook_rows import Cell
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.wording import imports as wording
from tablegen.wording import input_errors

_MAX_BYTES, _MAX_ROWS = 20_000_000, 20_000


@dataclass(frozen=True, slots=True)
class ImportRow:
    """What a row gives, by key; and where it is."""

    place: Place
    values: dict[str, Yaml]


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportSheet:
    """A sheet: its name in messages, what its rows are, its columns, the headings of columns that are not read.

    Of part numbers and bench readings, which have readers of their own, `cells` has the header and the rows as they are,
    and `remarks` the lines above the header.
    """

    shown: str
    path: Path
    kind: SheetKind
    rows: tuple[ImportRow, ...]
    columns: tuple[ImportedColumn, ...] = ()
    unused: tuple[str, ...] = ()
    cells: tuple[tuple[Cell, ...], ...] = ()
    remarks: tuple[str, ...] = ()
    has_decimal_comma: bool = False

    def example(self, column: ImportedColumn) -> str:
        """The first value of a column, as the family's file gets it."""
        found = (row.values[column.column.key] for row in self.rows if column.column.key in row.values)
        value = next(found, "")
        return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def read_import_sheets(paths: Iterable[Path]) -> list[ImportSheet]:
    """Every sheet of some files.

    Raises ConfigError with every problem, by file, row and column.
    """
    found: list[ImportSheet] = []
    problems: list[FileProblem] = []
    for path in paths:
        shown = shown_name(path)
        try:
            rule = wording.SHEETS_ARE_SMALL()
            sheets = sheets_of(read_limited(path, shown, _MAX_BYTES, rule), shown, _MAX_ROWS, rule, _is_header)
        except ConfigError as error:
            problems += error.problems
            continue
        for name, sheet in sheets.items():
            if name and not any(cell_text(cell) for _, row in sheet.rows for cell in row):
                # A new workbook has empty sheets.
                continue
            own = wording.SHEET_OF(file=shown, sheet=name) if len(sheets) > 1 else shown
            try:
                found.append(_read(own, path, sheet))
            except ConfigError as error:
                problems += error.problems
    if problems:
        raise ConfigError(problems)
    return found


def _read(shown: str, path: Path, sheet: SheetRows) -> ImportSheet:
    """One sheet; titles may be above its header, and remarks in lines that begin with '#'."""
    every = table_in(sheet)
    filled = table_in(sheet, _is_header)
    start = len(every) - len(filled)
    if filled and not _is_header(filled[0][1]):
        start = next((i for i, (_, row) in enumerate(every) if not _is_remark(row)), 0)
    (first, header), *rows = every[start:] or [(1, [])]
    try:
        kind = kind_of(header)
    except BadValue as error:
        raise ConfigError([FileProblem(shown, first, input_errors.HEADER(), str(error))]) from None
    if not rows:
        raise ConfigError([FileProblem(shown, first, "", wording.NO_ROWS())])
    if kind in (SheetKind.PART_NUMBERS, SheetKind.BENCH):
        above = (", ".join(cell_text(c) for c in row if cell_text(c)) for _, row in every[:start] if _is_remark(row))
        return ImportSheet(
            shown=shown,
            path=path,
            kind=kind,
            rows=tuple(ImportRow(Place(shown, line), {}) for line, _ in rows),
            cells=tuple(map(tuple, (header, *(row for _, row in rows)))),
            remarks=(*sheet.remarks, *above),
            has_decimal_comma=sheet.has_decimal_comma,
        )
    columns, unused, wrong = columns_of(kind, header)
    problems = [FileProblem(shown, first, heading, text) for heading, text in wrong]
    required = [[own for own in columns if own.column.key in keys] for keys in REQUIRED[kind]]
    for keys, fit in zip(REQUIRED[kind], required, strict=True):
        # A heading that is refused may be the one that is missing.
        if not fit and not nearest_heading(keys, [heading for heading, _ in wrong]):
            problems.append(FileProblem(shown, first, input_errors.HEADER(), no_column(keys, unused)))
    found = []
    for line, row in rows:
        values: dict[str, Yaml] = {}
        for column, value in _values(columns, row, sheet, FileProblem(shown, line, "", ""), problems):
            values[column.column.key] = value
        for fit in required:
            if fit and not any(cell_text(row[own.index]) for own in fit if own.index < len(row)):
                problems.append(FileProblem(shown, line, fit[0].heading, wording.CELL_EMPTY()))
        found.append(ImportRow(Place(shown, line), values))
    if problems:
        raise ConfigError(problems)
    return ImportSheet(
        shown=shown,
        path=path,
        kind=kind,
        rows=tuple(found),
        columns=tuple(columns),
        unused=tuple(unused),
        has_decimal_comma=sheet.has_decimal_comma,
    )


def _values(
    columns: Iterable[ImportedColumn],
    row: list[Cell],
    sheet: SheetRows,
    at: FileProblem,
    problems: list[FileProblem],
) -> Iterator[tuple[ImportedColumn, Yaml]]:
    """The columns that a row fills with their values; what cannot be read is noted."""
    for column in columns:
        try:
            value = column.value(row, sheet.has_decimal_comma)
        except BadValue as error:
            problems.append(FileProblem(at.file, at.line, column.heading, str(error)))
            continue
        if value is not None:
            yield column, value


def _is_header(row: Sequence[Cell]) -> bool:
    try:
        kind_of(row)
    except BadValue:
        return False
    return not _is_remark(row)


def _is_remark(row: Sequence[Cell]) -> bool:
    # A '#' alone is a heading.
    return cell_text(row[0]).startswith("#") and cell_text(row[0]) != "#"
