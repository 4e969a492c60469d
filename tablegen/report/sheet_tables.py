"""Tables of an answer as sheets of a workbook, with its cautions on a sheet of their own."""

from __future__ import annotations

import io
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zipfile import ZIP_DEFLATED, ZipFile

from tablegen.report.xlsx import BOLD, TOP, Properties, Sheet, Value, Workbook
from tablegen.wording import refrigerants
from tablegen.wording import workbook as workbook_wording

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue

_CAUTIONS = 100.0
_WIDEST, _HEADED, _NARROWEST, _SAMPLED = 40, 28, 8, 200
# Long texts that are read in their cell, or copied from it, are cut off on paper.
_CUT = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTable:
    """A table of a spreadsheet: title, headings, widths [characters] and styles of the columns, and rows."""

    title: str
    headings: tuple[str, ...]
    widths: tuple[float, ...]
    styles: tuple[int, ...]
    rows: list[tuple[Value, ...]]


def sheet_table(
    title: str,
    headings: tuple[str, ...],
    rows: Sequence[tuple[Value, ...]],
    *,
    cut: Collection[str] = (),
    styles: tuple[int, ...] = (),
) -> SheetTable:
    """A table with columns as wide as their first cells need, those with the headings `cut` narrower."""
    widths = []
    for i, heading in enumerate(headings):
        longest = max((len(str(row[i] or "")) for row in rows[:_SAMPLED]), default=0)
        # The heading has a button, and may have two lines where it is long.
        widest = _CUT if heading in cut else _WIDEST
        widths.append(float(min(max(longest + 1, min(len(heading) + 3, _HEADED), _NARROWEST), widest)))
    return SheetTable(
        title=title,
        headings=headings,
        widths=tuple(widths),
        styles=styles or (0,) * len(headings),
        rows=list(rows),
    )


def workbook_of(catalogue: Catalogue, tables: Iterable[SheetTable], cautions: Iterable[str]) -> bytes:
    """Sheets that are filtered by their headings, and the cautions, where nothing takes them for rows; same in, same bytes."""
    printing = catalogue.printing
    properties = Properties(printing.title, printing.company.name, printing.notice, printing.date)
    stream = io.BytesIO()
    with ZipFile(stream, "w", ZIP_DEFLATED) as archive:
        book = Workbook(archive=archive, properties=properties)
        footer = printing.company.name, f"{printing.notice} {refrigerants.LICENSED()}"
        for table in tables:
            head = ((BOLD + TOP,) * len(table.headings), table.headings)
            sheet = Sheet(title=table.title, widths=table.widths, frozen=(1, 0), filtered=1, repeated=1, footer=footer)
            rows = [head, *((table.styles, row) for row in table.rows)]
            book.write(sheet, len(rows), rows)
        lines = [printing.notice, *cautions]
        about = Sheet(title=workbook_wording.CAUTION(), widths=(_CAUTIONS,), footer=footer)
        book.write(about, len(lines), [((TOP,), (line,)) for line in lines])
        book.finish()
    return stream.getvalue()
