"""The windows as a workbook for buyers: the data set's tables in the catalogue's own units.

Texts come from config files that others may have written: none is ever left to a spreadsheet as a formula.
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
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import pandas as pd
from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.writer.excel import ExcelWriter

from tablegen.dataset.dataset import DataSet
from tablegen.report.article_text import numbers_of_size
from tablegen.report.formatter import NARROW, NBSP
from tablegen.report.heads_text import head_text
from tablegen.report.pages.back import CAUTIONS
from tablegen.report.publications.publication import Publication
from tablegen.units import CV_PER_KV, print_unit
from tablegen.wording import terms

# With these a spreadsheet begins a formula, or an error value (#).
_HOSTILE_STARTS = tuple("=+-@\t\r\n#")
# What a sheet may have, less two header rows.
_MOST_ROWS = 1_048_576 - 2
_TOP = Alignment(vertical="top", wrap_text=True)


@dataclass(frozen=True, slots=True)
class _Column:
    """A column of a sheet: heading, unit, width [characters], and a value for each row."""

    heading: str
    unit: str
    width: float
    values: Iterable[Any]


def write_workbook(data: DataSet, target: Path) -> None:
    """Write `windows.xlsx`: an 'About' sheet, then group windows, windows and sizes; the same data, the same bytes."""
    publication = Publication.of(data)
    book = Workbook(write_only=True)
    with _sheets_in(target.parent, book):
        _about(book, publication)
        _table(book, "Group windows", _group_windows(publication))
        _table(book, "Windows", _windows(publication))
        _table(book, "Sizes", _sizes(publication))
        _save(book, publication, target)


@contextlib.contextmanager
def _sheets_in(folder: Path, book: Any) -> Iterator[None]:
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


def _about(book: Any, publication: Publication) -> None:
    """Where the figures come from, the point they are stated on, and what to beware of."""
    formatter, printing = publication.formatter, publication.printing
    rows = [
        ("Title", printing["title"]),
        ("House", printing["company"]),
        ("Notice", printing["notice"]),
        ("Revision", printing["revision"]),
        ("Date", publication.date.isoformat()),
        ("Data fingerprint", publication.data.fingerprint),
        (
            "Units",
            f"{formatter.system}: loads in {formatter.load_label}, temperatures in {formatter.temperature_label}, Kv in m³/h, Cv "
            "in US gal/min. Loads are gross refrigerating capacities at the rating point, three figures, minimum loads "
            "rounded up, maximum loads down.",
        ),
        (
            "Reading",
            "A size holds every load from its minimum to its maximum, at the low head, the rating point and the high "
            "head. Between two suction temperatures the load must lie in both windows. A group's window is the common "
            "part of its members'. The tables hold only for the conditions stated in the booklet.",
        ),
    ]
    for name, parts in publication.applications():
        group = publication.inputs["groups"][parts[0].group]["title"]
        text = f"{head_text(publication, parts[0], 'rating')} ({group})"
        rows.append((f"Rating point: {publication.application(name)['title']}", text))
    rows += [("Caution", text) for text in CAUTIONS]
    sheet = book.create_sheet("About")
    sheet.column_dimensions["A"].width, sheet.column_dimensions["B"].width = 34, 100
    for label, text in rows:
        cells = [_as_text(sheet, label, is_cell=True), _as_text(sheet, text, is_cell=True)]
        cells[0].font = Font(bold=True)
        for cell in cells:
            cell.alignment = _TOP
        sheet.append(cells)


def _group_windows(publication: Publication) -> list[_Column]:
    frame, groups = publication.data.group_windows, publication.inputs["groups"]
    members = {name: ", ".join(publication.members(name)) for name in groups}
    return [
        *_valve(publication, frame),
        _Column("Refrigerants", "", 30, [groups[g]["title"] for g in frame["group"]]),
        _Column("Members", "", 30, [members[g] for g in frame["group"]]),
        *_application(publication, frame),
        *_limits(publication, frame),
        _Column("Minimum load set by the member", "", 14, frame["min_member"]),
        _Column("Maximum load set by the member", "", 14, frame["max_member"]),
    ]


def _windows(publication: Publication) -> list[_Column]:
    frame, formatter = publication.data.windows, publication.formatter
    charges = {
        (name, element["name"]): element["title"]
        for name, family in publication.inputs["families"].items()
        for element in family["elements"]
    }
    step = print_unit("temperature difference", formatter.system)
    superheats = {
        "superheat_low_head_k": "Superheat at the middle load, low head",
        "superheat_high_head_k": "Superheat at the middle load, high head",
        "superheat_swing_k": "High-head less low-head superheat",
        "unbalance_swing_k": "Part of that by the unbalanced port",
    }
    fitted = [charges.get(key, key[1]) for key in zip(frame["family"], frame["charge"], strict=True)]
    return [
        *_valve(publication, frame),
        _Column("Refrigerant", "", 13, frame["refrigerant"]),
        *_application(publication, frame),
        *_limits(publication, frame),
        _Column("Bulb charge or drive", "", 40, fitted),
        _Column("Middle load", formatter.load_label, 11, [_nearest(publication, v) for v in frame["middle_load_w"]]),
        *(_Column(text, step.label, 13, _rounded(map(step.of, frame[c]))) for c, text in superheats.items()),
    ]


def _sizes(publication: Publication) -> list[_Column]:
    frame, families = publication.data.sizes, publication.inputs["families"]
    return [
        *_valve(publication, frame)[:2],
        _Column("Kv", "m³/h", 11, frame["kv_rated_m3h"]),
        _Column("Cv", "US gal/min", 11, [float(f"{v * CV_PER_KV:.3g}") for v in frame["kv_rated_m3h"]]),
        _Column(
            "Nominal capacity",
            publication.formatter.load_label,
            14,
            [_nearest(publication, v) for v in frame["nominal_capacity_w"]],
        ),
        _Column(
            "Article",
            "",
            24,
            [numbers_of_size(publication, *pair) for pair in zip(frame["family"], frame["size"], strict=True)],
        ),
        _Column("Family in full", "", 60, [families[f]["title"] for f in frame["family"]]),
    ]


def _valve(publication: Publication, frame: pd.DataFrame) -> list[_Column]:
    """Family and size as they are printed."""
    families = [publication.family(f) for f in frame["family"]]
    return [_Column("Family", "", 12, families), _Column("Size", "", 8, frame["size"])]


def _application(publication: Publication, frame: pd.DataFrame) -> list[_Column]:
    applications, degrees = publication.inputs["applications"], print_unit("temperature", publication.formatter.system)
    return [
        _Column("Application", "", 44, [applications[e]["title"] for e in frame["application"]]),
        _Column("SST (dew)", degrees.label, 8, _rounded(map(degrees.of, frame["sst_k"]))),
    ]


def _limits(publication: Publication, frame: pd.DataFrame) -> list[_Column]:
    """Both loads as printed and what set them, or why there is no window."""
    formatter, reasons = publication.formatter, publication.data.manifest["reasons"]
    loads: dict[str, list[float | None]] = {"min": [], "max": []}
    why: list[str] = []
    for min_w, max_w, reason in zip(frame["min_load_w"], frame["max_load_w"], frame["max_reason"], strict=True):
        window = formatter.readable_window(min_w, max_w)
        why.append("" if window else reasons[reason] if math.isnan(max_w) else NARROW)
        loads["min"].append(float(window[0]) if window else None)
        loads["max"].append(float(window[1]) if window else None)
    columns = [
        _Column(f"{name} load", formatter.load_label, 11, loads[limit])
        for limit, name in (("min", "Min"), ("max", "Max"))
    ]
    columns.append(_Column("No window because", "", 20, why))
    for limit, name in (("min", "Min"), ("max", "Max")):
        pairs = zip(frame[f"{limit}_condition"], frame[f"{limit}_reason"], why, strict=True)
        shown = [
            ("", "") if empty else (terms.condition(condition), reasons[reason]) for condition, reason, empty in pairs
        ]
        columns.append(_Column(f"{name} load set at the", "", 13, [condition for condition, _ in shown]))
        columns.append(_Column(f"{name} load set because", "", 44, [reason for _, reason in shown]))
    return columns


def _nearest(publication: Publication, watt: float) -> float | None:
    return None if math.isnan(watt) else float(publication.formatter.load(watt))


def _rounded(values: Iterable[float]) -> list[float | None]:
    """To a tenth; a zero without a sign."""
    return [None if math.isnan(v) else round(v, 1) + 0.0 for v in values]


def _table(book: Any, title: str, columns: Sequence[_Column]) -> None:
    """A table on one sheet, or on several where it has more rows than a sheet may have."""
    rows = zip(*(column.values for column in columns), strict=True)
    first, number = list(itertools.islice(rows, _MOST_ROWS)), 1
    while first or number == 1:
        _sheet(book, title if number == 1 else f"{title} ({number})", columns, first)
        first, number = list(itertools.islice(rows, _MOST_ROWS)), number + 1


def _sheet(book: Any, title: str, columns: Sequence[_Column], values: Sequence[tuple[Any, ...]]) -> None:
    """A sheet with two frozen header rows, headings and units, and its first two columns frozen."""
    sheet = book.create_sheet(title)
    sheet.freeze_panes = "C3"
    for i, column in enumerate(columns, start=1):
        sheet.column_dimensions[get_column_letter(i)].width = column.width
    header = [_as_text(sheet, column.heading, is_cell=True) for column in columns]
    units = [_as_text(sheet, column.unit, is_cell=True) for column in columns]
    for cell in (*header, *units):
        cell.font, cell.alignment = Font(bold=True), _TOP
    sheet.append(header)
    sheet.append(units)
    for row in values:
        sheet.append([_as_text(sheet, v) if isinstance(v, str) else v for v in row])
    # The buttons stand in the row of units, so that a sort leaves it where it is.
    sheet.auto_filter.ref = f"A2:{get_column_letter(len(columns))}{len(values) + 2}"


def _as_text(sheet: Any, text: str, is_cell: bool = False) -> Any:
    """A text that stays one, whatever it begins with; None for an empty one.

    A harmless text stays a plain value, which is written faster, unless a cell is asked for, to be styled.
    """
    plain = ILLEGAL_CHARACTERS_RE.sub("", text.replace(NBSP, " "))
    is_hostile = plain.startswith(_HOSTILE_STARTS)
    if not (is_hostile or is_cell):
        return plain or None
    cell = WriteOnlyCell(sheet, plain)
    cell.data_type = "s"
    # What keeps it a text when a reader edits the cell or saves the sheet in another format.
    cell.quotePrefix = is_hostile
    return cell


def _abandon(book: Any) -> None:
    """Close the temporary files of sheets that could not be written, or each would complain as it is thrown away."""
    for sheet in book.worksheets:
        for stream in (sheet._rows, getattr(sheet._writer, "xf", None)):
            if stream is not None:
                # What they say is what was said already.
                with contextlib.suppress(OSError, ValueError):
                    stream.close()


def _save(book: Any, publication: Publication, target: Path) -> None:
    """Save without the clock: openpyxl's own `save` stamps the present moment."""
    stamp = datetime.datetime.combine(publication.date, datetime.time())
    properties = book.properties
    properties.title, properties.creator = publication.printing["title"], publication.printing["company"]
    properties.description = publication.printing["notice"]
    properties.created = properties.modified = stamp
    with _UndatedZip(target, "w", ZIP_DEFLATED) as archive:
        ExcelWriter(book, archive).save()


class _UndatedZip(ZipFile):
    """An archive whose entries all carry the earliest date that the format knows."""

    def writestr(self, zinfo_or_arcname: str | ZipInfo, data: Any, *args: Any, **kwargs: Any) -> None:
        """Write an entry."""
        entry = ZipInfo(zinfo_or_arcname if isinstance(zinfo_or_arcname, str) else zinfo_or_arcname.filename)
        entry.compress_type = ZIP_DEFLATED
        super().writestr(entry, data)

    def write(self, filename: Any, arcname: Any = None, *args: Any, **kwargs: Any) -> None:
        """Write a file as an entry, without its date and rights."""
        self.writestr(str(arcname or filename), Path(filename).read_bytes())
