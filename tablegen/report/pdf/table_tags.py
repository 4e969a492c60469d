"""Structure tags of a plain table: rows, header cells, cells; a header that is repeated on a later page has none.

References
----------
ISO 32000-1, 14.8.4.3.4 table elements, 14.8.5.7 table attributes.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import AbstractContextManager
from types import MappingProxyType
from typing import Any

from tablegen.report.pdf.structure import COLUMN, ROW, Tags, Untagged, tags


class TableTags:
    """Told by the library's table what it is about to draw; the parts of a table over pages share one of these.

    Parameters
    ----------
    header : int
        Rows of column headers. The first cell of every other row names the row.
    spans : dict
        Over how many columns a cell of the first row reaches, by its column.
    """

    def __init__(self, header: int, spans: Mapping[int, int] = MappingProxyType({})) -> None:
        self._header, self._spans = header, spans
        self._is_continued = False
        self._open: list[AbstractContextManager[object]] = []

    def __call__(self, table: Any, event: str, *args: Any) -> None:
        """Open or close what an event of the table begins or ends."""
        if event == "startTable":
            part = tags(table.canv).element("Table", source=self)
            self._open.append(part)
            self._is_continued = part.__enter__().is_continued
        elif event in ("startRow", "startCell"):
            # The header is said once, on the first page.
            is_repeated = self._is_continued and args[0] < self._header
            structure = Untagged(table.canv) if is_repeated else tags(table.canv)
            row_or_cell = structure.element("TR") if event == "startRow" else self._cell(structure, *args[:2])
            self._open.append(row_or_cell)
            row_or_cell.__enter__()
        elif event in ("endTable", "endRow", "endCell"):
            self._open.pop().__exit__(None, None, None)

    def _cell(self, structure: Tags, row: int, column: int) -> AbstractContextManager[object]:
        if row == 0 and column in self._spans:
            return structure.marked("TH", f"/A<</O/Table/Scope/Column/ColSpan {self._spans[column]}>>")
        role, scope = ("TH", COLUMN) if row < self._header else ("TD", "") if column else ("TH", ROW)
        return structure.marked(role, scope)
