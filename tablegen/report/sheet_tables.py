"""Tables of an answer as sheets of a workbook, with its cautions on a sheet of their own."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zipfile import ZIP_DEFLATED, ZipFile

from tablegen.report.xlsx import BOLD, TOP, Properties, Sheet, Value, Workbook
from tablegen.report.xlsx_parts import LETTER_WIDTH
from tablegen.wording import refrigerants
from tablegen.wording import workbook as workbook_wording

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue

_CAUTIONS = 100.0
_WIDEST, _NARROWEST, _SAMPLED = 40, 6, 200
# The button of a filter beside the longest word of its heading.
_BUTTON = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTable:
    """A table of a spreadsheet: title, headings, widths [characters] and styles of the columns, and rows.

    On paper it has its first `printed` columns, 0 for all; `sums` is a row under it, empty for none.
    """

    title: str
    headings: tuple[str, ...]
    widths: tuple[float, ...]
    styles: tuple[int, ...]
    rows: list[tuple[Value, ...]]
    printed: int = 0
    sums: tuple[Value, ...] = ()


def sheet_table(
    title: str,
    headings: tuple[str, ...],
    rows: Sequence[tuple[Value, ...]],
    *,
    widest: Mapping[str, int] | None = None,
    styles: tuple[int, ...] = (),
    printed: int = 0,
    sums: tuple[Value, ...] = (),
) -> SheetTable:
    """A table with columns as wide as their first cells need, and no wider than `widest` says by heading; texts are wrapped."""
    widths = []
    for i, heading in enumerate(headings):
        longest = max((len(str(row[i] or "")) for row in rows[:_SAMPLED]), default=0)
        word = max(map(len, heading.split()), default=0) + _BUTTON
        widths.append(
            float(min(max(LETTER_WIDTH * longest + 1, word, _NARROWEST), (widest or {}).get(heading, _WIDEST)))
        )
    return SheetTable(
        title=title,
        headings=headings,
        widths=tuple(widths),
        styles=styles or (TOP,) * len(headings),
        rows=list(rows),
        printed=printed,
        sums=sums,
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
            sheet = Sheet(
                title=table.title,
                widths=table.widths,
                frozen=(1, 0),
                filtered=1,
                repeated=1,
                footer=footer,
                printed=table.printed,
                sums=1 if table.sums else 0,
            )
            rows = [head, *((table.styles, row) for row in table.rows)]
            if table.sums:
                rows.append((tuple(BOLD | style for style in table.styles), table.sums))
            book.write(sheet, len(rows), rows)
        lines = [printing.notice, *cautions]
        about = Sheet(title=workbook_wording.CAUTION(), widths=(_CAUTIONS,), footer=footer)
        book.write(about, len(lines), [((TOP,), (line,)) for line in lines])
        book.finish()
    return stream.getvalue()
