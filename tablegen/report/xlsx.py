"""Tables as an Office Open XML workbook, written as a stream: a row is in memory only until it is compressed.

A cell is a number or a text; no text becomes a formula, whatever it begins with.  The same tables give the same bytes.

References
----------
ECMA-376, "Office Open XML file formats", part 1, chapter 18: SpreadsheetML (not checked against the source).
"""

from __future__ import annotations

import datetime
import html
import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, TypeAlias
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

Value: TypeAlias = str | float | None
# With these a spreadsheet begins a formula, or an error value (#).
_HOSTILE_STARTS = tuple("=+-@\t\r\n#")
# What XML has no way to write; half a pair of surrogates is no character.
_NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_NBSP, _LONGEST = "\N{NO-BREAK SPACE}", 32767
# Readers take this for a character by its number; so does what it is written with here, for the underscore.
_ESCAPE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_SPREADSHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_DATE = "%Y-%m-%dT%H:%M:%SZ"
# Rows that are compressed in one go.
_ROWS_AT_ONCE = 256
# Styles are counted in bits: one that is bold and wraps its text at the top of the cell is the sum of both.
BOLD, TOP, _QUOTED = 1, 2, 4


@dataclass(frozen=True, slots=True)
class Properties:
    """What a workbook says about itself."""

    title: str
    creator: str
    description: str
    date: datetime.date


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet.

    Attributes
    ----------
    title : str
    widths : sequence of float
        Of each column [characters].
    frozen : tuple of int
        Rows and columns that stay in view.
    filtered : int
        The row with the buttons of a filter, counted from 1; 0 for none.
    """

    title: str
    widths: Sequence[float]
    frozen: tuple[int, int] = (0, 0)
    filtered: int = 0


@dataclass(slots=True, kw_only=True)
class Workbook:
    """A workbook on its way into an archive: sheets are written one after the other, `finish` ends it."""

    archive: ZipFile
    properties: Properties
    _sheets: list[tuple[Sheet, str]] = field(default_factory=list)
    _texts: dict[str, int] = field(default_factory=dict)
    _tails: dict[tuple[str | float, int], str] = field(default_factory=dict)

    def write(self, sheet: Sheet, rows: int, cells: Iterable[tuple[Sequence[int], Sequence[Value]]]) -> None:
        """Write a sheet of so many rows: the styles and the values of each."""
        letters = [_letters(i) for i in range(len(sheet.widths))]
        area = f"A1:{letters[-1]}{max(rows, 1)}"
        self._sheets.append((sheet, f"${letters[0]}${sheet.filtered}:${letters[-1]}${rows}" if sheet.filtered else ""))
        with self._entry(f"xl/worksheets/sheet{len(self._sheets)}.xml") as stream:
            stream.write(_sheet_head(sheet, area, is_first=len(self._sheets) == 1).encode())
            starts = [f'<c r="{letter}' for letter in letters]
            lines: list[str] = []
            for number, (styles, values) in enumerate(cells, start=1):
                lines.append(f'<row r="{number}">')
                for start, style, value in zip(starts, styles, values, strict=True):
                    if value is None or value == "":
                        if style:
                            lines.append(f'{start}{number}" s="{style}"/>')
                    else:
                        lines.append(f"{start}{number}{self._tails.get((value, style)) or self._tail(value, style)}")
                lines.append("</row>")
                if number % _ROWS_AT_ONCE == 0:
                    stream.write("".join(lines).encode())
                    lines.clear()
            stream.write(("".join(lines) + _sheet_tail(sheet, letters[-1], rows)).encode())

    def finish(self) -> None:
        """Write what all sheets share."""
        count = len(self._sheets)
        parts = {
            "xl/sharedStrings.xml": _shared(self._texts),
            "xl/styles.xml": _styles(),
            "xl/workbook.xml": _book(self._sheets),
            "xl/_rels/workbook.xml.rels": _relations(
                [
                    *((f"{_OFFICE}/worksheet", f"worksheets/sheet{i}.xml") for i in range(1, count + 1)),
                    (f"{_OFFICE}/styles", "styles.xml"),
                    (f"{_OFFICE}/sharedStrings", "sharedStrings.xml"),
                ]
            ),
            "docProps/core.xml": _core(self.properties),
            "_rels/.rels": _relations(
                [
                    (f"{_OFFICE}/officeDocument", "xl/workbook.xml"),
                    (f"{_PACKAGE}/relationships/metadata/core-properties", "docProps/core.xml"),
                ]
            ),
            "[Content_Types].xml": _content_types(count),
        }
        for name, text in parts.items():
            with self._entry(name) as stream:
                stream.write((_HEAD + text).encode())

    def _entry(self, name: str) -> IO[bytes]:
        # Without a date: the earliest that the format knows.
        entry = ZipInfo(name)
        entry.compress_type = ZIP_DEFLATED
        return self.archive.open(entry, "w", force_zip64=False)

    def _tail(self, value: str | float, style: int) -> str:
        """A cell after the number of its row; of equal cells one is made for all."""
        if isinstance(value, str):
            # What makes it stay a text when a reader edits the cell or saves the sheet in another format.
            quoted = _QUOTED if _clean(value).startswith(_HOSTILE_STARTS) else 0
            index = self._texts.setdefault(_escaped(value), len(self._texts))
            tail = f'" s="{style + quoted}" t="s"><v>{index}</v></c>'
        else:
            tail = f'" s="{style}"><v>{float(value)!r}</v></c>'
        self._tails[value, style] = tail
        return tail


@contextmanager
def workbook_at(target: Path, properties: Properties) -> Iterator[Workbook]:
    """A workbook that is written to a file."""
    with ZipFile(target, "w", ZIP_DEFLATED) as archive:
        book = Workbook(archive=archive, properties=properties)
        yield book
        book.finish()


def _letters(column: int) -> str:
    """The name of a column, counted from 0: A to Z, then AA."""
    return (_letters(column // 26 - 1) if column >= 26 else "") + chr(ord("A") + column % 26)


def _clean(text: str) -> str:
    """What a cell may contain; a space that does not break is for paper."""
    return _NOT_XML.sub("", text.replace(_NBSP, " "))[:_LONGEST]


def _escaped(text: str) -> str:
    return html.escape(_ESCAPE.sub("_x005F_", _clean(text)))


def _sheet_head(sheet: Sheet, area: str, is_first: bool) -> str:
    selected = ' tabSelected="1"' if is_first else ""
    view = f'<sheetView{selected} workbookViewId="0"/>'
    if any(sheet.frozen):
        rows, columns = sheet.frozen
        corner = f"{_letters(columns)}{rows + 1}"
        view = (
            f'<sheetView{selected} workbookViewId="0"><pane xSplit="{columns}" ySplit="{rows}" topLeftCell="{corner}" '
            f'activePane="bottomRight" state="frozen"/><selection pane="topRight"/><selection pane="bottomLeft"/>'
            f'<selection pane="bottomRight" activeCell="{corner}" sqref="{corner}"/></sheetView>'
        )
    widths = "".join(
        f'<col min="{i}" max="{i}" width="{width:g}" customWidth="1"/>' for i, width in enumerate(sheet.widths, start=1)
    )
    return (
        f'{_HEAD}<worksheet xmlns="{_MAIN}"><dimension ref="{area}"/><sheetViews>{view}</sheetViews>'
        f'<sheetFormatPr defaultRowHeight="15"/><cols>{widths}</cols><sheetData>'
    )


def _sheet_tail(sheet: Sheet, last: str, rows: int) -> str:
    buttons = f'<autoFilter ref="A{sheet.filtered}:{last}{rows}"/>' if sheet.filtered else ""
    return f"</sheetData>{buttons}</worksheet>"


def _shared(texts: Iterable[str]) -> str:
    items = "".join(f'<si><t xml:space="preserve">{text}</t></si>' for text in texts)
    return f'<sst xmlns="{_MAIN}">{items}</sst>'


def _styles() -> str:
    font = '<sz val="11"/><name val="Calibri"/><family val="2"/>'
    cells = "".join(
        f'<xf numFmtId="0" fontId="{style & BOLD}" fillId="0" borderId="0" xfId="0"'
        + (' quotePrefix="1"' if style & _QUOTED else "")
        + (' applyFont="1"' if style & BOLD else "")
        + (' applyAlignment="1"><alignment vertical="top" wrapText="1"/></xf>' if style & TOP else "/>")
        for style in range(BOLD + TOP + _QUOTED + 1)
    )
    return (
        f'<styleSheet xmlns="{_MAIN}"><fonts count="2"><font>{font}</font><font><b/>{font}</font></fonts>'
        '<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill>'
        '</fills><borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
        '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
        f'<cellXfs count="8">{cells}</cellXfs>'
        '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
    )


def _book(sheets: Sequence[tuple[Sheet, str]]) -> str:
    listed = "".join(
        f'<sheet name="{_escaped(sheet.title)}" sheetId="{i}" r:id="rId{i}"/>'
        for i, (sheet, _) in enumerate(sheets, start=1)
    )
    quoted = [_escaped(sheet.title.replace("'", "''")) for sheet, _ in sheets]
    filters = "".join(
        f'<definedName name="_xlnm._FilterDatabase" localSheetId="{i}" hidden="1">\'{quoted[i]}\'!{area}</definedName>'
        for i, (_, area) in enumerate(sheets)
        if area
    )
    names = f"<definedNames>{filters}</definedNames>" if filters else ""
    return (
        f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}"><bookViews><workbookView/></bookViews>'
        f"<sheets>{listed}</sheets>{names}</workbook>"
    )


def _core(properties: Properties) -> str:
    stamp = datetime.datetime.combine(properties.date, datetime.time()).strftime(_DATE)
    dates = "".join(
        f'<dcterms:{name} xsi:type="dcterms:W3CDTF">{stamp}</dcterms:{name}>' for name in ("created", "modified")
    )
    return (
        f'<cp:coreProperties xmlns:cp="{_PACKAGE}/metadata/core-properties" xmlns:dc="http://purl.org/dc/elements/1.1/" '
        'xmlns:dcterms="http://purl.org/dc/terms/" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">'
        f"<dc:title>{_escaped(properties.title)}</dc:title><dc:creator>{_escaped(properties.creator)}</dc:creator>"
        f"<dc:description>{_escaped(properties.description)}</dc:description>{dates}</cp:coreProperties>"
    )


def _relations(targets: Iterable[tuple[str, str]]) -> str:
    items = "".join(
        f'<Relationship Id="rId{i}" Type="{kind}" Target="{target}"/>' for i, (kind, target) in enumerate(targets, 1)
    )
    return f'<Relationships xmlns="{_PACKAGE}/relationships">{items}</Relationships>'


def _content_types(sheets: int) -> str:
    parts = {
        "/xl/workbook.xml": f"{_SPREADSHEET}.sheet.main+xml",
        **{f"/xl/worksheets/sheet{i}.xml": f"{_SPREADSHEET}.worksheet+xml" for i in range(1, sheets + 1)},
        "/xl/styles.xml": f"{_SPREADSHEET}.styles+xml",
        "/xl/sharedStrings.xml": f"{_SPREADSHEET}.sharedStrings+xml",
        "/docProps/core.xml": "application/vnd.openxmlformats-package.core-properties+xml",
    }
    items = "".join(f'<Override PartName="{name}" ContentType="{kind}"/>' for name, kind in parts.items())
    return (
        f'<Types xmlns="{_PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Default Extension="xml" ContentType="application/xml"/>{items}</Types>'
    )
