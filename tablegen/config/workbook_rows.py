"""The rows of an XLSX workbook.

It may be damaged, or made to take hours: what is in it is counted before any of it is read.
"""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections.abc import Callable, Iterator
from typing import TypeAlias

from tablegen.errors import ConfigError, FileProblem
from tablegen.wording import input_errors as wording

# What a spreadsheet has in a cell: text, a number, a date, nothing.
Cell: TypeAlias = object
# Rows with their numbers.
Rows: TypeAlias = list[tuple[int, list[Cell]]]
MAX_COLUMNS = 100
# A workbook is an archive of files.
_MAX_PARTS, _MAX_UNPACKED = 1_000, 50_000_000
# What people save is packed to a tenth; above so many bytes more than a hundredth is equal rows, made to take long.
_UNPACKED_FREELY, _MOST_PACKED = 2_000_000, 100
# Elements that are read: of each row so many, up to a maximum, and those of other sheets and of styles.
_OF_ROW, _MOST_OF_ROWS, _BESIDE = 40, 2_500_000, 300_000
# The library reads all others much more slowly than these: rows, cells, values, texts.
_QUICK = re.compile(rb"<(?:\w+:)?(?:row|c|v|f|si|is|t)[\s/>]")
_SLOWER = 5
# A cell with a formula, behind which is no value or an empty one.
_FORMULA = re.compile(
    rb"<(?:\w+:)?c\s([^<>]*)>\s*<(?:\w+:)?f\b[^<>]*(?:/>|>[^<>]*</(?:\w+:)?f>)\s*"
    rb"(?:<(?:\w+:)?v\s*/>|<(?:\w+:)?v>\s*</(?:\w+:)?v>)?\s*</"
)
# Where the cell is, and that its value is a text, which may be empty.
_PLACE, _TEXT = re.compile(rb'(?:^|\s)r="([A-Z]{1,3})([0-9]{1,7})"'), re.compile(rb'(?:^|\s)t="str"')


def workbook_rows(
    data: bytes, shown: str, max_rows: int, rule: str, is_wanted: Callable[[Rows], bool] | None = None
) -> dict[str, Rows]:
    """The first rows and columns of the sheets of a workbook, each row with its number, up to the first that is wanted.

    Raises ConfigError if it is damaged or too large, for which `rule` is the reason, or a formula has no stored value.
    """
    problems: list[FileProblem] = []
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            refusal = _refusal(archive, len(data), max_rows, rule)
            found = {} if refusal else dict(_sheets(data, archive, shown, max_rows, is_wanted, problems))
    except Exception as error:
        # The library has no exception of its own for a file that is damaged.
        raise ConfigError([FileProblem(shown, 0, "", wording.WORKBOOK_DAMAGED())]) from error
    if refusal:
        problems.append(FileProblem(shown, 0, "", refusal))
    if problems:
        raise ConfigError(problems)
    return found


def _refusal(archive: zipfile.ZipFile, packed: int, max_rows: int, rule: str) -> str:
    """Why a workbook of so many bytes is not read, "" if it unpacks to few bytes and elements.

    In every part of it: the library reads some of them whole.
    """
    parts = archive.infolist()
    too_large = wording.WORKBOOK_TOO_LARGE(rule=rule)
    unpacked = sum(part.file_size for part in parts)
    if len(parts) > _MAX_PARTS or unpacked > _MAX_UNPACKED:
        return too_large
    most = min(_OF_ROW * max_rows, _MOST_OF_ROWS) + _BESIDE
    for part in parts:
        content = archive.read(part)
        count = content.count(b"<") - content.count(b"</")
        if count > most:
            return too_large
        most -= count + (_SLOWER - 1) * (count - sum(1 for _ in _QUICK.finditer(content)))
    if most < 0:
        return too_large
    is_made = unpacked > _UNPACKED_FREELY and unpacked > _MOST_PACKED * packed
    return wording.WORKBOOK_PACKED(most=_MOST_PACKED) if is_made else ""


def _sheets(
    data: bytes,
    archive: zipfile.ZipFile,
    shown: str,
    max_rows: int,
    is_wanted: Callable[[Rows], bool] | None,
    problems: list[FileProblem],
) -> Iterator[tuple[str, Rows]]:
    """The sheets by name; a formula without a value goes to `problems`, where only one is wanted that of this one."""
    # Here, not above: few commands read a spreadsheet, and it takes a fifth of a second to load.
    import openpyxl

    with warnings.catch_warnings():
        # About what the library omits of a workbook, none of which is read here.
        warnings.simplefilter("ignore")
        book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        for sheet in book.worksheets:
            # The size that the sheet states may be wrong.
            cells = sheet.iter_rows(max_row=max_rows + 1, max_col=MAX_COLUMNS, values_only=True)
            rows: Rows = [(number, [*row]) for number, row in enumerate(cells, start=1)]
            yield sheet.title, rows
            if is_wanted is not None and not is_wanted(rows):
                continue
            # The library says nowhere else which part of the archive a sheet is.
            content = archive.read(sheet._worksheet_path)  # type: ignore[attr-defined]
            if empty := list(_without_value(content)):
                name, number = empty[0]
                text = wording.FORMULA_WITHOUT_VALUE(len(empty), cell=name, sheet=repr(sheet.title))
                problems.append(FileProblem(shown, number, "", text))
            if is_wanted is not None:
                return


def _without_value(content: bytes) -> Iterator[tuple[str, int]]:
    """The cells of a sheet that have a formula and no value, by name and row."""
    for match in _FORMULA.finditer(content):
        place = _PLACE.search(match[1])
        if place and not _TEXT.search(match[1]):
            yield (place[1] + place[2]).decode(), int(place[2])
