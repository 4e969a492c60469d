"""Lists of jobs that people write: CSV or XLSX with one job a row, read into what `pick` is asked for each.

Nothing is computed here: a quantity stays the text that `pick` takes, with the unit of its cell or of its heading, so that
one set of rules decides on it.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from tablegen.config.import_columns import TEXT, WHOLE, ImportColumn, ImportedColumn, meanings, slip_in, taken_as
from tablegen.config.list_columns import JOB_COLUMNS
from tablegen.config.sheet import beyond_headings, cell_number, cell_text, sheet_of, table_in
from tablegen.config.workbook_rows import MAX_COLUMNS, Cell
from tablegen.errors import BadValue, ConfigError, FileProblem, near
from tablegen.units import print_unit, unit_named
from tablegen.wording import imports
from tablegen.wording import jobs as wording
from tablegen.wording import stock as stock_wording
from tablegen.wording.message import OR, listed
from tablegen.wording.unit_texts import A_QUANTITY

MAX_BYTES, MOST_JOBS = 20_000_000, 100_000
_MAX_SHOWN = 40
# What a list must have, each a column of its own or, for the last, one of two.
REQUIRED = (("refrigerant",), ("load",), ("sst", "box"))
_HEADINGS = {column.key: {column.key, *column.headings} for column in JOB_COLUMNS}
_DIFFERENCES = frozenset(next(column for column in JOB_COLUMNS if column.key == "coil_difference").headings)
# A cell with a unit of its own.
_WITH_UNIT = re.compile(r"[+\-\N{MINUS SIGN}]?[\d.,/ -]*\d[.,]?\s*[A-Za-z\u00b0\u0394].*", re.DOTALL)
_PLAIN_DEGREES = re.compile(r"(?<![A-Za-z_])(?:deg ?|° ?)?([CF])(\W*)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenJob:
    """What a row asks, as `pick` takes it: quantities as texts with units; what is not given is None, or empty.

    Attributes
    ----------
    line : int
    cells : tuple of Cell
        The whole row, as many cells as the file has headings.
    wrong : tuple of FileProblem
        What cannot be read in it.
    """

    line: int
    cells: tuple[Cell, ...]
    wrong: tuple[FileProblem, ...] = ()
    refrigerant: str | None = None
    load: str | None = None
    sst: str | None = None
    box: str | None = None
    coil_difference: str | None = None
    application: str | None = None
    family: str | None = None
    valve_kind: str | None = None
    quantity: int | None = None
    job: str = ""
    connections: str = ""
    capillary: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFile:
    """A list of jobs: its name in messages, its headings, and the jobs.

    `columns` has the heading of each column that is read, by its key; `figures` are the columns, counted from 0, whose
    cells are numbers; `has_decimal_comma` says how the file writes them. `is_windows` says that it is not in UTF-8.
    """

    file: str
    headings: tuple[str, ...]
    columns: Mapping[str, str]
    jobs: tuple[WrittenJob, ...]
    figures: tuple[int, ...] = ()
    has_decimal_comma: bool = False
    is_windows: bool = False

    def problem(self, line: int, key: str, text: str) -> FileProblem:
        """A problem of a row, in the column of a key."""
        return FileProblem(self.file, line, self.columns.get(key, key), text)


def read_jobs(data: bytes, shown: str, given: Collection[str] = (), system: str = "IP") -> JobFile:
    """The jobs in a CSV file (comma, semicolon or tab) or on the first sheet of a workbook called `shown`.

    `given` are the columns whose values come from elsewhere: they are not read, and need not be there.  Further columns are
    kept as they are.  Messages propose headings in the units of a `system`.

    Raises ConfigError if the file cannot be read, is too large, or as `_columns`.
    """
    sheet = sheet_of(data, shown, MOST_JOBS, wording.MOST_JOBS(count=f"{MOST_JOBS:,}"), _is_header, may_be_windows=True)
    (line, header), *rows = table_in(sheet, _is_header) or [(0, [])]
    columns = {key: own for key, own in _columns(shown, line, header, given, system).items() if key not in given}
    # A workbook's rows end with empty cells; a column without a heading may have remarks.
    width = max(_filled(row) for row in (header, *(row for _, row in rows)))
    if width >= MAX_COLUMNS:
        # What is beyond is not read, and would be lost from the answered list.
        raise ConfigError([FileProblem(shown, line, "", wording.MOST_COLUMNS(count=MAX_COLUMNS - 1))])
    headings = tuple(cell_text(header[i]) if i < len(header) else "" for i in range(width))
    reader = _RowReader(shown, columns, sheet.has_decimal_comma, len(headings), system)
    jobs = tuple(reader.job(own, row) for own, row in rows)
    jobs = tuple(_not_shifted(shown, job, _filled(header)) for job in jobs)
    if not jobs:
        raise ConfigError([FileProblem(shown, 0, "", wording.NO_JOBS())])
    return JobFile(
        file=shown,
        headings=headings,
        columns={key: found.heading for key, found in columns.items()},
        jobs=jobs,
        figures=tuple(own.index for own in columns.values() if own.unit is not None or own.column.kind == WHOLE),
        has_decimal_comma=sheet.has_decimal_comma,
        is_windows=sheet.is_windows,
    )


def _not_shifted(shown: str, job: WrittenJob, count: int) -> WrittenJob:
    """A job; wrong if a figure is beyond the headings, where a remark may be."""
    more = [text for text in beyond_headings(shown, job.cells, count) if re.fullmatch(r"[\d.,]+", text)]
    if not more:
        return job
    text = str(BadValue(repr(more[0][:_MAX_SHOWN]), stock_wording.MORE_CELLS(count=count)))
    return replace(job, wrong=(*job.wrong, FileProblem(shown, job.line, "", text)))


def _filled(row: Sequence[Cell]) -> int:
    """How many cells a row has up to the last that is not empty."""
    return next((i for i in range(len(row), 0, -1) if row[i - 1] not in (None, "")), 0)


def _is_header(row: Sequence[Cell]) -> bool:
    """Whether a row names at least two of the columns that every job needs."""
    found = {name for cell in row for name, _ in meanings(cell)}
    return sum(any(_HEADINGS[key] & found for key in keys) for keys in REQUIRED) >= 2


def _columns(
    shown: str, line: int, header: Sequence[Cell], given: Collection[str], system: str
) -> dict[str, ImportedColumn]:
    """The columns by their keys.

    Raises ConfigError if one that every job needs is missing, or a heading may be meant for one that has no effect.
    """
    found: dict[str, ImportedColumn] = {}
    problems: list[FileProblem] = []
    # A unit of load alone is the heading of the load, if nothing else is.
    has_load = any(_HEADINGS["load"] & {name for name, _ in meanings(cell)} for cell in header)
    known = [name for column in JOB_COLUMNS for name in column.headings]
    for index, cell in enumerate(header):
        heading = cell_text(cell)[:_MAX_SHOWN]
        if not heading:
            continue
        try:
            own = f"load [{heading}]" if not has_load and _is_load_unit(heading) else _in_trade_words(cell)
            taken = taken_as(index, own, heading, JOB_COLUMNS)
        except BadValue as error:
            problems.append(FileProblem(shown, line, heading, str(error)))
            continue
        if taken is None:
            if not _has_a_name(cell, known) and (slip := slip_in(cell, known)):
                problems.append(FileProblem(shown, line, heading, wording.LIKE_A_COLUMN() + slip))
        elif (first := found.get(taken.column.key)) is None or (
            taken.column.kind == TEXT and _rank(taken) < _rank(first)
        ):
            # Of a job and a name the job is the job; the other is a column of the list's own.
            found[taken.column.key] = taken
        elif taken.column.kind != TEXT or _rank(taken) == _rank(first):
            text = imports.COLUMN_TAKEN(key=taken.column.key, heading=repr(first.heading))
            problems.append(FileProblem(shown, line, heading, text))
    if not problems:
        unread = [cell for i, cell in enumerate(header) if i not in {own.index for own in found.values()}]
        for keys in REQUIRED:
            if not any(key in found or key in given for key in keys):
                problems.append(FileProblem(shown, line, "", _missing(keys, unread, system)))
    if problems:
        raise ConfigError(problems)
    return found


def _is_load_unit(heading: str) -> bool:
    try:
        return bool(unit_named("load", heading))
    except BadValue:
        return False


def _in_trade_words(cell: Cell) -> Cell:
    """A heading; of a TD in degrees, as the trade writes it, with the unit of a difference."""
    is_difference = any(name in _DIFFERENCES for name, _ in meanings(cell))
    return _PLAIN_DEGREES.sub(r"delta_deg\1\2", cell_text(cell)) if is_difference else cell


def _has_a_name(cell: Cell, known: Sequence[str]) -> bool:
    """Whether a heading has all words of a known one, and more: then it is no slip, but another column."""
    words = {word for name, _ in meanings(cell) for word in name.split("_")}
    return any(words > set(name.split("_")) for name in known)


def _rank(taken: ImportedColumn) -> int:
    """How far down the list of its column's names a heading is."""
    names = {name for name, _ in meanings(taken.heading)}
    return next((i for i, name in enumerate(taken.column.headings) if name in names), len(taken.column.headings))


def _missing(keys: Sequence[str], unread: Sequence[Cell], system: str) -> str:
    """What is wrong without one of some columns, and the heading that may be meant for it."""
    columns = [column for column in JOB_COLUMNS if column.key in keys]
    text = wording.NO_COLUMN(names=listed([f"'{_example(column, system)}'" for column in columns], OR))
    names = [name for column in columns for name in column.headings]
    nearest = (cell_text(cell)[:_MAX_SHOWN] for cell in unread if cell_text(cell))
    meant = next((own for own in nearest if near(next(iter(meanings(own)))[0], names)), "")
    return wording.NEAREST_HEADING(text=text, heading=repr(meant)) if meant else text


def _example(column: ImportColumn, system: str) -> str:
    """A heading of a column, in the units of a system."""
    return f"{column.heading} [{print_unit('load', system).name}]" if column.kind == "load" else column.example


class _RowReader:
    """Reads rows; equal cells of a column are read once."""

    def __init__(
        self, shown: str, columns: Mapping[str, ImportedColumn], has_decimal_comma: bool, width: int, system: str
    ) -> None:
        self.shown, self.columns, self.has_decimal_comma, self.width = shown, columns, has_decimal_comma, width
        self.system = system
        self._read: dict[tuple[str, type, Cell], str | int | BadValue | None] = {}

    def job(self, line: int, row: Sequence[Cell]) -> WrittenJob:
        """What a row asks."""
        values: dict[str, str | int] = {}
        wrong: list[FileProblem] = []
        for key, column in self.columns.items():
            cell = row[column.index] if column.index < len(row) else None
            known = (key, type(cell), cell)
            if known not in self._read:
                self._read[known] = self._value(column, cell)
            value = self._read[known]
            if isinstance(value, BadValue):
                wrong.append(FileProblem(self.shown, line, column.heading, str(value)))
            elif value is not None:
                values[key] = value
        cells = (*row[: self.width], *[None] * (self.width - len(row)))
        return WrittenJob(line=line, cells=cells, wrong=tuple(wrong), **values)  # type: ignore[arg-type]

    def _value(self, column: ImportedColumn, cell: Cell) -> str | int | BadValue | None:
        text = cell_text(cell)
        if not text:
            return None
        try:
            if isinstance(cell, datetime.date | datetime.time | datetime.timedelta) and column.column.kind != TEXT:
                raise BadValue(repr(text[:_MAX_SHOWN]), imports.CELL_IS_DATE())
            if column.column.kind == TEXT:
                return text
            if column.column.kind == WHOLE:
                number = cell_number(cell, self.has_decimal_comma)
                if not number.is_integer():
                    raise BadValue(repr(text[:_MAX_SHOWN]), imports.WHOLE_NUMBER())
                return int(number)
            return self._quantity(column, cell, text)
        except BadValue as error:
            return error

    def _quantity(self, column: ImportedColumn, cell: Cell, text: str) -> str:
        if column.unit is None:
            if self.has_decimal_comma and "." not in text:
                text = text.replace(",", ".", 1)
            if text.lstrip("+-\N{MINUS SIGN}").replace(".", "", 1).isdigit():
                quantity, example = A_QUANTITY[column.column.kind](), _example(column.column, self.system)
                raise BadValue(repr(text[:_MAX_SHOWN]), imports.UNIT_MISSING(quantity=quantity, example=example))
            return text
        if _WITH_UNIT.fullmatch(text):
            # It counts for this cell alone, as it does where a person types it.
            return text.replace(",", ".", 1) if self.has_decimal_comma and "." not in text else text
        if "," in text and not self.has_decimal_comma:
            # Thousands, or a comma that is refused.
            return f"{text} {column.unit.name}"
        return f"{cell_text(cell_number(cell, self.has_decimal_comma))} {column.unit.name}"
