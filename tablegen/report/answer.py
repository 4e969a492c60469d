"""The answer to one question as a value: heading, facts, figures, tables, notes; one renderer each makes a medium of it.

A builder (`tablegen.report.answers`) makes an `Answer` from a typed result and a formatter; renderers (`text`, `json_export`,
`html.answer_page`, `pdf.answer_sheet`) know nothing of what was asked.  Every printed text has its data beside it, in SI.
"""

from __future__ import annotations

import datetime
import math
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    import pandas as pd

    from tablegen.model.company import Wholesaler
    from tablegen.report.pdf.drawing import Drawing

Scalar = float | int | str | bool | datetime.date | None
Datum = Scalar | tuple[Scalar, ...]
"""An exported figure or name, or a list of them: SI for a measured quantity, NaN where there is none."""

NARROW, WIDE = 208.0, 480.0
"""Widths of figures on a screen [pt]: in the narrow one, type of print is 11 px high on a screen of 320 px."""

BLANK = "\N{EN DASH}"
"""Printed where there is no figure."""

_KEY = re.compile(r"[a-z][a-z0-9_]*")
_INDEX = re.compile(r"([A-Za-zΔηρφ]+)_([A-Za-z0-9]+(?:,[a-z]+)?)")
# Categories of characters that a screen does not show, or that move what stands around them.
_INVISIBLE = ("Cc", "Cf", "Cs", "Zl", "Zp")


class ColumnStyle(Enum):
    """How the cells of a column are set."""

    WORDS = "words"
    FIGURES = "figures"
    FORMULA = "formula"


class TableLayout(Enum):
    """How a table is set: cells under each other, or each row as an entry of several lines.

    An entry begins with its first two cells on one line; every other cell that is not empty has a line of its own.
    A sheet is a grid of figures that fills the rest of its page in print, its first column repeated at the right.
    Windows are a grid too: suction temperatures down, and the box's beside them if `names` is 2; a size in each other
    column, its name before the first space of the label, and cells of a minimum and a maximum with a dash between, on
    which print sets them under each other. Halves are a grid that print sets as two abreast where the page is wide enough.
    """

    GRID = "grid"
    HALVES = "halves"
    ENTRIES = "entries"
    SHEET = "sheet"
    WINDOWS = "windows"


@dataclass(frozen=True, slots=True)
class Value:
    """A printed text and the data that it shows, one datum for each key of its column or fact."""

    text: str
    data: tuple[Datum, ...] = ()

    @classmethod
    def of(cls, datum: str | int) -> Value:
        """A name or a count, printed as it is exported."""
        return cls(str(datum), (datum,))

    @classmethod
    def exported(cls, *data: Datum) -> Value:
        """Data without a printed text."""
        return cls("", data)

    @classmethod
    def measured(cls, value_si: float, text_of: Callable[[float], str]) -> Value:
        """A figure in SI, printed by one of the formatter's functions; `BLANK` for NaN.

        >>> Value.measured(0.5, lambda share: f"{100.0 * share:.0f} %")
        Value(text='50 %', data=(0.5,))
        """
        return cls(BLANK if math.isnan(value_si) else text_of(value_si), (float(value_si),))


@dataclass(frozen=True, slots=True)
class Fact:
    """A label and its value; without a label it is exported alone, without keys it is printed alone.

    `keys` are stable names with the unit as suffix (`sst_k`, `load_w`).
    """

    keys: tuple[str, ...]
    label: str
    value: Value

    @classmethod
    def exported(cls, key: str, datum: Datum) -> Fact:
        """A datum that is not printed."""
        return cls((key,), "", Value.exported(datum))

    def __post_init__(self) -> None:
        """Refuse keys without data."""
        _check_keys(self.keys, f"fact {self.label!r}")
        _check_data(self.keys, self.value, f"fact {self.label!r}")


@dataclass(frozen=True, slots=True)
class AnswerColumn:
    """A column: its keys, its label with the unit, and how it is set.

    Without a label it is exported alone, without keys it is printed alone.  A range is one column of two keys.
    """

    keys: tuple[str, ...]
    label: str = ""
    style: ColumnStyle = ColumnStyle.WORDS

    @property
    def is_printed(self) -> bool:
        """Whether a reader sees the column."""
        return bool(self.label)


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerTable:
    """A table: a key, a title (may be empty), columns, and as many values in every row.

    Attributes
    ----------
    names : int
        How many columns name the rows: they are repeated where the others are shown some at a time.
    breaks : tuple of int
        Rows, counted from 0, that begin a block: a rule in print, an empty line on a terminal.
    printed_rows : int or None
        How many rows are printed; None for all.  All are exported.
    more : str
        Printed under a table of which not every row is printed.
    """

    key: str
    columns: tuple[AnswerColumn, ...]
    rows: tuple[tuple[Value, ...], ...]
    title: str = ""
    layout: TableLayout = TableLayout.GRID
    names: int = 1
    breaks: tuple[int, ...] = ()
    printed_rows: int | None = None
    more: str = ""

    @classmethod
    def exported(cls, key: str, keys: Sequence[str], rows: Iterable[Sequence[Datum]]) -> AnswerTable:
        """A table of data that is not printed."""
        columns = tuple(AnswerColumn((name,)) for name in keys)
        return cls(key=key, columns=columns, rows=tuple(tuple(map(Value.exported, row)) for row in rows))

    def __post_init__(self) -> None:
        """Refuse repeated keys and rows that do not fit the columns."""
        where = f"table {self.key!r}"
        _check_keys((self.key,), where)
        _check_keys(self.keys, where)
        for row in self.rows:
            assert len(row) == len(self.columns), f"{where}: a row of {len(row)} values, {len(self.columns)} columns"
            for column, value in zip(self.columns, row, strict=True):
                _check_data(column.keys, value, where)

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of all columns in order."""
        return tuple(key for column in self.columns for key in column.keys)

    @property
    def is_printed(self) -> bool:
        """Whether a reader sees the table: a column with a label has a text."""
        return bool(self.rows) and bool(self.printed_columns())

    def printed_columns(self) -> list[int]:
        """The columns with a label, in a grid without those that are empty in every row."""
        keeps_empty = self.layout is TableLayout.ENTRIES
        return [
            i
            for i, column in enumerate(self.columns)
            if column.is_printed and (keeps_empty or any(row[i].text for row in self.rows))
        ]

    def labels(self) -> list[str]:
        """Labels of the printed columns."""
        return [self.columns[i].label for i in self.printed_columns()]

    def styles(self) -> list[ColumnStyle]:
        """Styles of the printed columns."""
        return [self.columns[i].style for i in self.printed_columns()]

    def cells(self) -> list[list[str]]:
        """Texts of the printed rows in the printed columns."""
        shown = self.printed_columns()
        return [[row[i].text for i in shown] for row in self.rows[: self.printed_rows]]

    def records(self) -> list[dict[str, Datum]]:
        """Every row by key, in SI; ``pandas.DataFrame(table.records())`` is the table as a frame."""
        return [dict(zip(self.keys, (d for value in row for d in value.data), strict=True)) for row in self.rows]


class AnswerFigure(Protocol):
    """A figure of an answer; what it shows is computed and drawn when a medium asks for it, in any width."""

    @property
    def width(self) -> float:
        """Width in which a screen shows it [pt]: `NARROW`, which the smallest phone shows whole, or `WIDE`."""

    @property
    def alt(self) -> str:
        """What the figure shows, for readers who do not see it."""

    @property
    def caption(self) -> str:
        """Printed under it; may be empty."""

    def heights(self, width: float) -> tuple[float, float]:
        """Smallest and largest useful height for a width [pt]."""

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a size [pt]."""


class AnswerSheets(Protocol):
    """An answer as spreadsheets: what a list of jobs becomes.

    `source` is the file that was read, which nothing is written over.
    """

    @property
    def source(self) -> Path | None:
        """The list's own file, if it is on disk."""

    def workbook(self) -> bytes:
        """All sheets as an XLSX file."""

    def csv_files(self) -> tuple[bytes, ...]:
        """Each sheet as a CSV file."""

    def write(self, target: Path) -> tuple[str, ...]:
        """Write the workbook, or the CSV files beside each other; a line about each."""


@dataclass(frozen=True, slots=True)
class Reference:
    """A sentence about where to look further; with a target it is a link: a file beside the answer, and a place in it."""

    text: str
    target: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Imprint:
    """Notice, cautions (`caution`: in few words), origin of an answer; what describes a document, and whom to call."""

    notice: str
    cautions: tuple[str, ...] = ()
    caution: str = ""
    origin: str = ""
    subject: str = ""
    author: str = ""
    keywords: tuple[str, ...] = ()
    date: datetime.date | None = None
    wholesaler: Wholesaler | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """An answer, or a section of one.

    Attributes
    ----------
    key : str
        What is answered ("pick", "trace"), or which section it is.
    heading, summary : str, tuple of str
        The question in short, and the answer in a sentence or two.
    facts, references, figures, tables, sections, notes
        In the order in which every medium shows them.
    imprint : Imprint or None
        Of the whole answer; sections have none.
    csv_key : str
        The table that a CSV file contains; by default the first that has keys.
    units : str
        "IP" or "SI", of what is printed.
    passed : bool
        False where the answer is no, or something was found; a command then ends with exit code 1.
    sheet : callable or None
        Makes what a PDF has instead of the answer.
    fragment : str
        The answer as keys of a config file, as YAML; "" where it is none.
    problems, records : tuple of str
        What was asked too and could not be answered or recorded, a line each; a command then ends with exit code 2. The
        files with a record of it.
    sheets : AnswerSheets or None
        The spreadsheet that it is written to instead of a table as CSV, as XLSX too.
    workbook : callable or None
        Makes an XLSX file of it.
    is_landscape : bool
        Whether its printed sheet is landscape.
    """

    key: str
    heading: str
    summary: tuple[str, ...] = ()
    facts: tuple[Fact, ...] = ()
    references: tuple[Reference, ...] = ()
    figures: tuple[AnswerFigure, ...] = ()
    tables: tuple[AnswerTable, ...] = ()
    sections: tuple[Answer, ...] = ()
    notes: tuple[str, ...] = ()
    imprint: Imprint | None = None
    csv_key: str = ""
    units: str = "IP"
    passed: bool = True
    sheet: Callable[[], Answer] | None = None
    fragment: str = ""
    problems: tuple[str, ...] = ()
    records: tuple[str, ...] = ()
    sheets: AnswerSheets | None = None
    workbook: Callable[[], bytes] | None = None
    is_landscape: bool = False

    def __post_init__(self) -> None:
        """Refuse repeated keys."""
        where = f"answer {self.key!r}"
        _check_keys((self.key,), where)
        _check_keys(tuple(key for fact in self.facts for key in fact.keys), where)
        _check_keys(tuple(table.key for table in self.tables), where)
        _check_keys(tuple(section.key for section in self.sections), where)

    def table(self, key: str) -> AnswerTable:
        """The table of a key.

        Raises
        ------
        KeyError
            If the answer has no such table; those of sections are not searched.
        """
        return {table.key: table for table in self.tables}[key]

    def csv_table(self) -> AnswerTable:
        """The table that a CSV file contains."""
        named = [table for table in self.tables if table.key == self.csv_key or (not self.csv_key and table.keys)]
        assert named, f"answer {self.key!r} has no table {self.csv_key!r} for a CSV file"
        return named[0]

    def frame(self, key: str = "") -> pd.DataFrame:
        """A table as a pandas frame, a column for each key, measured quantities in SI.

        Parameters
        ----------
        key : str
            Of the table; without it the one of a CSV file.

        Raises
        ------
        KeyError
            If the answer has no such table; those of sections are not searched.
        """
        import pandas as pd

        table = self.table(key) if key else self.csv_table()
        return pd.DataFrame(table.records(), columns=list(table.keys))

    def record(self) -> dict[str, Datum]:
        """Every fact by key, in SI."""
        return {key: datum for fact in self.facts for key, datum in zip(fact.keys, fact.value.data, strict=True)}

    def every_section(self) -> Iterator[Answer]:
        """The answer itself and all sections in it, in reading order."""
        yield self
        for section in self.sections:
            yield from section.every_section()

    def write(self, path: str | Path, paper: str = "") -> None:
        """Write the answer to a file of the kind that its name says.

        Parameters
        ----------
        path : path
            Ends in .pdf, .html, .txt, .json or .csv (a table, in SI), of one figure in .svg or .png. A list of jobs is
            written to a .csv, with the order list beside it, or to an .xlsx as it was read, with its answers.
        paper : str
            "letter" or "a4" for a PDF; without it A4 with SI units and letter with others.

        Raises
        ------
        RequestError
            If the name ends otherwise, or its folder does not exist.
        OutputError
            If the file cannot be written; the last one is untouched.
        """
        from tablegen.report.answer_files import check_and_write

        check_and_write(self, path, paper)

    def _repr_html_(self) -> str:
        """The answer as a notebook shows it."""
        from tablegen.report.html.answer_page import fragment

        return fragment(self)

    def __str__(self) -> str:
        """The answer as a terminal shows it."""
        from tablegen.report.text import to_text

        return to_text(self)


def visible(text: str) -> str:
    """A text in which characters that a screen would not show, or that turn or move others, are spelled out.

    >>> visible("Alder\\x1b[31m 90")
    'Alder\\\\x1b[31m 90'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_spelled(c) if unicodedata.category(c) in _INVISIBLE else c for c in text)


def with_indices(formula: str, opening: str, closing: str) -> str:
    """A formula with the indices of its symbols, which an underscore begins, between two marks.

    >>> with_indices("Δp = p_1 − p_dew,r", "<sub>", "</sub>")
    'Δp = p<sub>1</sub> − p<sub>dew,r</sub>'
    """
    return _INDEX.sub(lambda match: f"{match[1]}{opening}{match[2]}{closing}", formula)


def _spelled(character: str) -> str:
    return " " if character in "\n\t" else character.encode("unicode_escape").decode("ascii")


def _check_keys(keys: Sequence[str], where: str) -> None:
    assert len(set(keys)) == len(keys), f"{where}: a key is used twice among {', '.join(keys)}"
    wrong = [key for key in keys if not _KEY.fullmatch(key)]
    assert not wrong, f"{where}: {wrong[0]!r} is no key; small letters, digits and underscores"


def _check_data(keys: Sequence[str], value: Value, where: str) -> None:
    assert len(keys) == len(value.data), f"{where}: {value.text!r} has {len(value.data)} data, {len(keys)} keys"
