"""Tables as an Office Open XML workbook, written as a stream: a row is in memory only until it is compressed.

A cell is a number, a text or a `Formula`; no text becomes a formula, whatever it begins with.  The same tables give the
same bytes.

References
----------
ECMA-376, "Office Open XML file formats", part 1, chapter 18: SpreadsheetML (not checked against the source).
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, TypeAlias
from zipfile import ZIP_DEFLATED, ZipFile

from tablegen.files import zip_entry
from tablegen.report import xlsx_parts as parts
from tablegen.report.xlsx_parts import BOLD as BOLD
from tablegen.report.xlsx_parts import INPUT as INPUT
from tablegen.report.xlsx_parts import LARGE as LARGE
from tablegen.report.xlsx_parts import LEFT as LEFT
from tablegen.report.xlsx_parts import MONEY as MONEY
from tablegen.report.xlsx_parts import NUMBER as NUMBER
from tablegen.report.xlsx_parts import TOP as TOP
from tablegen.report.xlsx_parts import Choice as Choice
from tablegen.report.xlsx_parts import Sheet as Sheet


@dataclass(frozen=True, slots=True)
class Formula:
    """What a cell computes, without the equals sign, and its value for a reader that does not compute."""

    text: str
    value: str | float


Value: TypeAlias = str | float | Formula | None
# With these a spreadsheet begins a formula, or an error value (#).
_HOSTILE_STARTS = tuple("=+-@\t\r\n#")
# Whole numbers below this are exact.
_WHOLE = 1e15
# Rows that are compressed in one go.
_ROWS_AT_ONCE = 256


@dataclass(frozen=True, slots=True)
class Properties:
    """What a workbook says about itself."""

    title: str
    creator: str
    description: str
    date: datetime.date


@dataclass(slots=True, kw_only=True)
class Workbook:
    """A workbook on its way into an archive: sheets are written one after the other, `finish` ends it."""

    archive: ZipFile
    properties: Properties
    _sheets: list[tuple[Sheet, int]] = field(default_factory=list)
    _texts: dict[str, int] = field(default_factory=dict)
    _tails: dict[tuple[str | float, int], str] = field(default_factory=dict)

    def write(self, sheet: Sheet, rows: int, cells: Iterable[tuple[Sequence[int], Sequence[Value]]]) -> None:
        """Write a sheet of so many rows: the styles and the values of each."""
        letters = [parts.letters(i) for i in range(len(sheet.widths))]
        self._sheets.append((sheet, rows))
        with self._entry(f"xl/worksheets/sheet{len(self._sheets)}.xml") as stream:
            stream.write(parts.sheet_head(sheet, rows, is_first=len(self._sheets) == 1).encode())
            starts = [f'<c r="{letter}' for letter in letters]
            lines: list[str] = []
            for number, (styles, values) in enumerate(cells, start=1):
                lines.append(f'<row r="{number}"{parts.row_height(sheet.widths, styles, values)}>')
                for start, style, value in zip(starts, styles, values, strict=True):
                    if value is None or value == "":
                        if style:
                            lines.append(f'{start}{number}" s="{style}"/>')
                    elif isinstance(value, Formula):
                        lines.append(f"{start}{number}{_computed(value, style)}")
                    else:
                        lines.append(f"{start}{number}{self._tails.get((value, style)) or self._tail(value, style)}")
                lines.append("</row>")
                if number % _ROWS_AT_ONCE == 0:
                    stream.write("".join(lines).encode())
                    lines.clear()
            stream.write(("".join(lines) + parts.sheet_tail(sheet, rows)).encode())

    def finish(self) -> None:
        """Write what all sheets share."""
        properties = self.properties
        written = {
            "xl/sharedStrings.xml": parts.shared(self._texts),
            "xl/styles.xml": parts.styles(),
            "xl/workbook.xml": parts.book(self._sheets),
            "xl/_rels/workbook.xml.rels": parts.book_relations(len(self._sheets)),
            "docProps/core.xml": parts.core(
                properties.title, properties.creator, properties.description, properties.date
            ),
            "_rels/.rels": parts.package_relations(),
            "[Content_Types].xml": parts.content_types(len(self._sheets)),
        }
        for name, text in written.items():
            with self._entry(name) as stream:
                stream.write((parts.HEAD + text).encode())

    def _entry(self, name: str) -> IO[bytes]:
        entry = zip_entry(name)
        entry.compress_type = ZIP_DEFLATED
        return self.archive.open(entry, "w", force_zip64=False)

    def _tail(self, value: str | float, style: int) -> str:
        """A cell after the number of its row; of equal cells one is made for all."""
        if isinstance(value, str):
            # What makes it stay a text when a reader edits the cell or saves the sheet in another format.
            quoted = parts.QUOTED if parts.clean(value).startswith(_HOSTILE_STARTS) else 0
            index = self._texts.setdefault(parts.escaped(value), len(self._texts))
            tail = f'" s="{style + quoted}" t="s"><v>{index}</v></c>'
        else:
            tail = f'" s="{style}"><v>{_figure(value)}</v></c>'
        self._tails[value, style] = tail
        return tail


def _computed(formula: Formula, style: int) -> str:
    """A cell with a formula, after the number of its row."""
    own = f"<f>{parts.escaped(formula.text)}</f>"
    if isinstance(formula.value, str):
        return f'" s="{style}" t="str">{own}<v>{parts.escaped(formula.value)}</v></c>'
    return f'" s="{style}">{own}<v>{_figure(formula.value)}</v></c>'


def _figure(value: float) -> str:
    """A number; a whole one without a point, so that one who reads it as a text reads a size by its name."""
    number = float(value)
    return str(int(number)) if number.is_integer() and abs(number) < _WHOLE else repr(number)


@contextmanager
def workbook_at(target: Path, properties: Properties) -> Iterator[Workbook]:
    """A workbook that is written to a file."""
    with ZipFile(target, "w", ZIP_DEFLATED) as archive:
        book = Workbook(archive=archive, properties=properties)
        yield book
        book.finish()
