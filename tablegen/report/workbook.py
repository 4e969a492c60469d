"""The windows as a workbook for buyers: the data set's tables in the catalogue's own units.

Texts come from config files that others may have written: a spreadsheet must never take one for a formula.
"""

from __future__ import annotations

import contextlib
import datetime
import itertools
import math
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import pandas as pd
from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE, Cell
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.writer.excel import ExcelWriter

from tablegen.dataset.dataset import DataSet
from tablegen.report.formatter import NBSP
from tablegen.report.pages.back import numbers_of_size
from tablegen.report.publications.publication import Publication
from tablegen.report.table_conditions import TableConditions
from tablegen.unit_table import CV_PER_KV
from tablegen.units import print_unit
from tablegen.wording import terms
from tablegen.wording import workbook as wording
from tablegen.wording.booklet import CAUTIONS

if TYPE_CHECKING:
    from _typeshed import SizedBuffer, StrPath
    from openpyxl.worksheet._write_only import WriteOnlyWorksheet

# With these a spreadsheet begins a formula, or an error value (#).
_HOSTILE_STARTS = tuple("=+-@\t\r\n#")
# What a sheet may have, less two header rows.
_MOST_ROWS = 1_048_576 - 2
_TOP = Alignment(vertical="top", wrap_text=True)
_LIMITS = ("min", "max")
Value = str | float | None


@dataclass(frozen=True, slots=True)
class _SheetColumn:
    """A column of a sheet: heading, unit, width [characters], and a value for each row."""

    heading: str
    unit: str
    width: float
    values: Iterable[Value]


def write_workbook(data: DataSet, target: Path) -> None:
    """Write `windows.xlsx`: a sheet about the figures, group windows, windows, sizes; the same data, the same bytes."""
    publication = Publication.of(data)
    book = Workbook(write_only=True)
    with _sheets_in(target.parent, book):
        _about(book, publication)
        _table(book, wording.GROUP_WINDOWS(), _group_windows(publication))
        _table(book, wording.WINDOWS(), _windows(publication))
        _table(book, wording.SIZES(), _sizes(publication))
        _save(book, publication, target)


@contextlib.contextmanager
def _sheets_in(folder: Path, book: Workbook) -> Iterator[None]:
    """Let the library write its sheets aside in a folder that goes if the build is killed, and end them if it fails."""
    before = tempfile.tempdir
    tempfile.tempdir = str(folder)
    try:
        yield
    except OSError:
        _abandon(book)
        raise
    finally:
        tempfile.tempdir = before


def _about(book: Workbook, publication: Publication) -> None:
    """Where the figures come from, the point they are stated at, and what to be careful of."""
    formatter, catalogue = publication.formatter, publication.catalogue
    printing = catalogue.printing
    units = wording.UNITS_USED(
        system=formatter.system, load=formatter.load_label, temperature=formatter.temperature_label
    )
    rows = [
        (wording.TITLE(), printing.title),
        (wording.COMPANY(), printing.company),
        (wording.NOTICE(), printing.notice),
        (wording.REVISION(), printing.revision),
        (wording.DATE(), printing.date.isoformat()),
        (wording.FINGERPRINT(), publication.data.fingerprint),
        (wording.UNITS(), units),
        (wording.READING(), wording.HOW_TO_READ()),
    ]
    for name, parts in publication.applications():
        rating = TableConditions.of(publication, parts[0]).head("rating")
        group = catalogue.groups[parts[0].group].title
        label = wording.RATING_POINT(application=catalogue.applications[name].title)
        rows.append((label, wording.RATING_POINT_OF(rating=rating, group=group)))
    rows += [(wording.CAUTION(), caution()) for caution in CAUTIONS]
    sheet = book.create_sheet(wording.ABOUT())
    sheet.column_dimensions["A"].width, sheet.column_dimensions["B"].width = 34, 100
    for label, text in rows:
        cells = [_styled(sheet, label), _styled(sheet, text)]
        cells[0].font = Font(bold=True)
        for cell in cells:
            cell.alignment = _TOP
        sheet.append(cells)


def _group_windows(publication: Publication) -> list[_SheetColumn]:
    frame, groups = publication.data.group_windows, publication.catalogue.groups
    return [
        *_valve(publication, frame),
        _SheetColumn(wording.REFRIGERANTS(), "", 30, [groups[g].title for g in frame["group"]]),
        _SheetColumn(wording.MEMBERS(), "", 30, [", ".join(groups[g].members) for g in frame["group"]]),
        *_application(publication, frame),
        *_limits(publication, frame),
        *(_SheetColumn(wording.SET_BY[limit](), "", 14, frame[f"{limit}_member"]) for limit in _LIMITS),
    ]


def _windows(publication: Publication) -> list[_SheetColumn]:
    frame, formatter = publication.data.windows, publication.formatter
    charges = {
        (family.name, element.name): element.title
        for family in publication.catalogue.families.values()
        for element in family.elements
    }
    step = print_unit("temperature difference", formatter.system)
    fitted = [charges.get(key, key[1]) for key in zip(frame["family"], frame["charge"], strict=True)]
    middle = [_nearest(publication, load_w) for load_w in frame["middle_load_w"]]
    return [
        *_valve(publication, frame),
        _SheetColumn(wording.REFRIGERANT(), "", 13, frame["refrigerant"]),
        *_application(publication, frame),
        *_limits(publication, frame),
        _SheetColumn(wording.CHARGE(), "", 40, fitted),
        _SheetColumn(wording.MIDDLE_LOAD(), formatter.load_label, 11, middle),
        *(
            _SheetColumn(heading(), step.label, 13, _rounded(map(step.of, frame[column])))
            for column, heading in wording.SUPERHEATS.items()
        ),
    ]


def _sizes(publication: Publication) -> list[_SheetColumn]:
    frame, families = publication.data.sizes, publication.catalogue.families
    kv = [float(m3h) for m3h in frame["kv_rated_m3h"]]
    nominal = [_nearest(publication, capacity_w) for capacity_w in frame["nominal_capacity_w"]]
    part_numbers = [numbers_of_size(publication, *pair) for pair in zip(frame["family"], frame["size"], strict=True)]
    return [
        *_valve(publication, frame)[:2],
        _SheetColumn(wording.KV(), "m³/h", 11, kv),
        _SheetColumn(wording.CV(), "US gal/min", 11, [float(f"{m3h * CV_PER_KV:.3g}") for m3h in kv]),
        _SheetColumn(wording.NOMINAL_CAPACITY(), publication.formatter.load_label, 14, nominal),
        _SheetColumn(wording.PART_NUMBER(), "", 24, part_numbers),
        _SheetColumn(wording.FAMILY_TITLE(), "", 60, [families[f].title for f in frame["family"]]),
    ]


def _valve(publication: Publication, frame: pd.DataFrame) -> list[_SheetColumn]:
    """Family and size as they are printed."""
    families = [publication.family(f) for f in frame["family"]]
    return [_SheetColumn(wording.FAMILY(), "", 12, families), _SheetColumn(wording.SIZE(), "", 8, frame["size"])]


def _application(publication: Publication, frame: pd.DataFrame) -> list[_SheetColumn]:
    applications = publication.catalogue.applications
    degrees = print_unit("temperature", publication.formatter.system)
    return [
        _SheetColumn(wording.APPLICATION(), "", 44, [applications[a].title for a in frame["application"]]),
        _SheetColumn(wording.SST(), degrees.label, 8, _rounded(map(degrees.of, frame["sst_k"]))),
    ]


def _limits(publication: Publication, frame: pd.DataFrame) -> list[_SheetColumn]:
    """Both loads as printed and what set them, or why there is no window."""
    formatter = publication.formatter
    loads: dict[str, list[float | None]] = {limit: [] for limit in _LIMITS}
    why: list[str] = []
    for min_w, max_w, reason in zip(frame["min_load_w"], frame["max_load_w"], frame["max_reason"], strict=True):
        window = formatter.readable_window(min_w, max_w)
        why.append("" if window else terms.reason(reason) if math.isnan(max_w) else terms.NARROW())
        for limit, figure in zip(_LIMITS, window or (None, None), strict=True):
            loads[limit].append(None if figure is None else float(figure))
    columns = [_SheetColumn(wording.LOAD[limit](), formatter.load_label, 11, loads[limit]) for limit in _LIMITS]
    columns.append(_SheetColumn(wording.NO_WINDOW(), "", 20, why))
    for limit in _LIMITS:
        pairs = zip(frame[f"{limit}_condition"], frame[f"{limit}_reason"], why, strict=True)
        shown = [("", "") if empty else (terms.condition(at), terms.reason(reason)) for at, reason, empty in pairs]
        columns.append(_SheetColumn(wording.SET_AT[limit](), "", 13, [at for at, _ in shown]))
        columns.append(_SheetColumn(wording.SET_BECAUSE[limit](), "", 44, [reason for _, reason in shown]))
    return columns


def _nearest(publication: Publication, watt: float) -> float | None:
    return None if math.isnan(watt) else float(publication.formatter.load(watt))


def _rounded(values: Iterable[float]) -> list[float | None]:
    """To a tenth; a zero without a sign."""
    return [None if math.isnan(v) else round(v, 1) + 0.0 for v in values]


def _table(book: Workbook, title: str, columns: Sequence[_SheetColumn]) -> None:
    """A table on one sheet, or on several where it has more rows than a sheet may have."""
    rows = zip(*(column.values for column in columns), strict=True)
    first, number = list(itertools.islice(rows, _MOST_ROWS)), 1
    while first or number == 1:
        own = title if number == 1 else wording.NEXT_SHEET(title=title, number=number)
        _sheet(book, own, columns, first)
        first, number = list(itertools.islice(rows, _MOST_ROWS)), number + 1


def _sheet(book: Workbook, title: str, columns: Sequence[_SheetColumn], values: Sequence[tuple[Value, ...]]) -> None:
    """A sheet with two frozen header rows, headings and units, and its first two columns frozen."""
    sheet = book.create_sheet(title)
    sheet.freeze_panes = "C3"
    for i, column in enumerate(columns, start=1):
        sheet.column_dimensions[get_column_letter(i)].width = column.width
    header = [_styled(sheet, column.heading) for column in columns]
    units = [_styled(sheet, column.unit) for column in columns]
    for cell in (*header, *units):
        cell.font, cell.alignment = Font(bold=True), _TOP
    sheet.append(header)
    sheet.append(units)
    for row in values:
        sheet.append([_value(sheet, value) if isinstance(value, str) else value for value in row])
    # The buttons are in the row of units, so that a sort does not move it.
    sheet.auto_filter.ref = f"A2:{get_column_letter(len(columns))}{len(values) + 2}"


def _value(sheet: WriteOnlyWorksheet, text: str) -> str | Cell | None:
    """A text as what is written fastest: a harmless one as it is, an empty one as nothing."""
    return _styled(sheet, text) if _clean(text).startswith(_HOSTILE_STARTS) else _clean(text) or None


def _styled(sheet: WriteOnlyWorksheet, text: str) -> Cell:
    """A text in a cell, which it stays whatever it begins with."""
    clean = _clean(text)
    cell = WriteOnlyCell(sheet, clean)
    cell.data_type = "s"
    # What makes it stay a text when a reader edits the cell or saves the sheet in another format.
    cell.quotePrefix = clean.startswith(_HOSTILE_STARTS)
    return cell


def _clean(text: str) -> str:
    return ILLEGAL_CHARACTERS_RE.sub("", text.replace(NBSP, " "))


def _abandon(book: Workbook) -> None:
    """Close the temporary files of sheets that could not be written, or each would complain as it is thrown away."""
    for sheet in book.worksheets:
        for stream in (getattr(sheet, "_rows", None), getattr(getattr(sheet, "_writer", None), "xf", None)):
            if stream is not None:
                # What they say is what was said already.
                with contextlib.suppress(OSError, ValueError):
                    stream.close()


def _save(book: Workbook, publication: Publication, target: Path) -> None:
    """Save without the clock: openpyxl's own `save` stamps the present moment."""
    stamp = datetime.datetime.combine(publication.date, datetime.time())
    properties = book.properties
    printing = publication.catalogue.printing
    properties.title, properties.creator, properties.description = printing.title, printing.company, printing.notice
    properties.created = properties.modified = stamp
    with _UndatedZip(target, "w", ZIP_DEFLATED) as archive:
        ExcelWriter(book, archive).save()


class _UndatedZip(ZipFile):
    """An archive whose entries all carry the earliest date that the format knows."""

    def writestr(
        self,
        zinfo_or_arcname: str | ZipInfo,
        data: SizedBuffer | str,
        compress_type: int | None = None,
        compresslevel: int | None = None,
    ) -> None:
        """Write an entry."""
        entry = ZipInfo(zinfo_or_arcname if isinstance(zinfo_or_arcname, str) else zinfo_or_arcname.filename)
        entry.compress_type = ZIP_DEFLATED
        super().writestr(entry, data)

    def write(
        self,
        filename: StrPath,
        arcname: StrPath | None = None,
        compress_type: int | None = None,
        compresslevel: int | None = None,
    ) -> None:
        """Write a file as an entry, without its date and rights."""
        self.writestr(str(arcname or filename), Path(filename).read_bytes())
