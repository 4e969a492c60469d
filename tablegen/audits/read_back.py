"""Windows read back from printed files, compared with the computed ones in the same words.

The workbook is read with the library that wrote it, the pages of booklets where the library for it is installed.
"""

from __future__ import annotations

import contextlib
import importlib.util
import itertools
import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TypeAlias

import numpy as np
import openpyxl
import pandas as pd

from tablegen.audits.findings import FileFault, Finding, FindingKind, LimitKind
from tablegen.audits.printed_table import PrintedTable, formatter_of_prints, in_watt, promises_more
from tablegen.dataset.release import Manifest, PrintedBooklet, PrintedNames, TableKey, as_mapping, unreadable
from tablegen.dataset.release_files import Json
from tablegen.errors import DataSetError
from tablegen.files import is_regular
from tablegen.model.inputs import Catalogue
from tablegen.model.names import WORKBOOK, phone_page_name, workbook_name
from tablegen.physics.arrays import Bools
from tablegen.report.formatter import DASH, Formatter
from tablegen.tables.printed_rows import is_empty, printed_rows
from tablegen.wording import audit as wording
from tablegen.wording import booklet as booklet_wording
from tablegen.wording import workbook as workbook_wording
from tablegen.wording.language import plain, speaking, texts_of

LOOK_UP = "lookup"
_NO_WINDOW = "-"
_TABLES = re.compile(r'<script type="application/json" id="tables">(.*?)</script>', re.DOTALL)
_SYSTEMS = ("IP", "SI")

Window: TypeAlias = tuple[str, str] | None
"""Minimum and maximum load as printed; None where no window is printed."""
Windows: TypeAlias = Mapping[tuple[int, int], Window]
"""By index of size and row."""
ReadRow: TypeAlias = dict[int, str]
"""What a row of a table in a booklet has, by index of the size: a window, or the letter of a reason."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedFiles:
    """The printed files of a release of a catalogue, whose windows are computed; counts those read back by file.

    `damaged` are files known not to be as they were written: one of them that cannot be read is no second fault.
    """

    manifest: Manifest
    names: PrintedNames
    catalogue: Catalogue
    computed: Mapping[TableKey, PrintedTable]
    counts: dict[str, int]
    damaged: frozenset[str] = frozenset()

    def findings(self, grouped: pd.DataFrame) -> Iterator[Finding]:
        """Printed windows that are not the computed ones, rounded; `grouped` has the order of the workbook's rows."""
        why = self.manifest.not_printed.get(WORKBOOK, "")
        yield from self._read_back(workbook_name(), partial(self._workbooks, grouped=grouped), why)
        for booklet in (own for own in self.names.booklets if own.tables):
            why = self.manifest.not_printed.get(booklet.name, "")
            yield from self._read_back(f"{booklet.name}.pdf", partial(self._booklet, booklet), why)
        yield from self._read_back(phone_page_name(), self._phone_pages, self.manifest.not_printed.get(LOOK_UP, ""))

    def _read_back(self, name: str, read: Callable[[Path], Iterator[Finding]], why: str = "") -> Iterator[Finding]:
        """What is found in a file, or that it was not read; `why` it was not printed."""
        path = self.manifest.folder / name
        not_read = Finding(kind=FindingKind.NOT_READ, file=name)
        if is_regular(path) and (path.suffix != ".pdf" or can_read_pages()):
            try:
                yield from read(path)
            except DataSetError:
                if name not in self.damaged:
                    raise
        elif is_regular(path):
            yield replace(not_read, problem=FileFault.LIBRARY_MISSING)
        elif why:
            yield replace(not_read, problem=FileFault.NOT_WRITTEN, note=why)
        else:
            yield replace(not_read, problem=FileFault.MISSING)

    def _workbooks(self, path: Path, grouped: pd.DataFrame) -> Iterator[Finding]:
        """The workbook, or that of each application where it only links to them."""
        with speaking(self.manifest.printed_as.language), _opened(path) as book:
            is_split = workbook_wording.WORKBOOKS() in book.sheetnames
        if not is_split:
            yield from self._workbook(path, grouped)
            return
        for name in self.catalogue.applications:
            own = grouped[grouped["application"] == name]
            yield from self._read_back(workbook_name(name), partial(self._workbook, grouped=own, application=name))

    def _workbook(self, path: Path, grouped: pd.DataFrame, application: str = "") -> Iterator[Finding]:
        """Windows of groups, of one application or all."""
        with speaking(self.manifest.printed_as.language):
            rows = _workbook_rows(path, formatter_of_prints(self.manifest.printed_as).load_label)
        expected = [self.names.sizes.get(pair) for pair in zip(grouped["family"], grouped["size"], strict=True)]
        if [size for size, _ in rows] != expected:
            yield Finding(kind=FindingKind.MISPRINT, file=path.name, problem=FileFault.OTHER_TABLE)
            return
        self.counts[path.name] = len(rows)
        computed = {key: table for key, table in self.computed.items() if application in ("", key[2])}
        read: dict[TableKey, dict[tuple[int, int], Window]] = {key: {} for key in computed}
        columns = (grouped[c] for c in ("family", "group", "application", "size", "sst_k"))
        for family, group, application, size, sst_k, (_, window) in zip(*columns, rows, strict=True):
            table = self.computed[family, group, application]
            read[table.key][table.sizes.index(str(size)), int(table.sst_k.searchsorted(sst_k))] = window
        formatter = formatter_of_prints(self.manifest.printed_as)
        for key, table in computed.items():
            yield from _compared(table, formatter, read[key], path.name)

    def _phone_pages(self, path: Path) -> Iterator[Finding]:
        """The phone page, or the page of each application where it only links to them."""
        names = [phone_page_name(name) for name in self.catalogue.applications]
        if all(f'href="{name}#' in path.read_text(encoding="utf-8", errors="replace") for name in names):
            for name, application in zip(names, self.catalogue.applications, strict=True):
                yield from self._read_back(name, partial(self._phone_page, application=application))
        else:
            yield from self._phone_page(path)

    def _phone_page(self, path: Path, application: str = "") -> Iterator[Finding]:
        """Windows of groups, of one application or all, as the page would find them from those of their members."""
        windows = _page_windows(path)
        own = formatter_of_prints(self.manifest.printed_as)
        formatters = [Formatter.beside(system, own.system, own.load_unit) for system in _SYSTEMS]
        self.counts[path.name] = 0
        for (family, group, own_application), table in self.computed.items():
            if application not in ("", own_application):
                continue
            members = self.catalogue.groups[group].members
            for formatter in formatters:
                read: dict[tuple[int, int], Window] = {}
                for size, name in enumerate(table.sizes):
                    keys = [(family, own_application, member, name, formatter.system) for member in members]
                    lines = [windows[key] for key in keys if len(windows.get(key, ())) == table.sst_k.size]
                    if len(lines) == len(members):
                        read |= {(size, row): _common([line[row] for line in lines]) for row in range(table.sst_k.size)}
                self.counts[path.name] += len(read)
                for finding in _compared(table, formatter, read, path.name):
                    yield replace(finding, load_unit=formatter.load_label)

    def _booklet(self, booklet: PrintedBooklet, path: Path) -> Iterator[Finding]:
        keys = [key for key in booklet.tables if key in self.computed]
        formatter = formatter_of_prints(booklet.printed_as)
        self.counts[path.name] = 0
        # Compared as plain figures, which are read in the language of the booklet.
        with speaking(booklet.printed_as.language):
            found = dict(self._booklet_windows(keys, formatter, booklet, path))
        rows = {key: self._rows(booklet, key) for key in keys}
        if booklet.lists_empty and not all(is_empty(self.computed[key].max_w, rows[key]) for key in keys):
            keys = [key for key in keys if not is_empty(self.computed[key].max_w, rows[key])]
        for key in keys:
            table = self.computed[key]
            windows = found[key]
            if windows is None:
                yield replace(table.finding(FindingKind.MISPRINT), file=path.name, problem=FileFault.NO_PAGE)
                continue
            self.counts[path.name] += len(windows)
            yield from _compared(table, formatter, windows, path.name, rows[key])

    def _rows(self, booklet: PrintedBooklet, key: TableKey) -> Bools:
        """Which rows of a table a booklet prints."""
        table = self.computed[key]
        return printed_rows(booklet.sst_k.get(key[2], ()), table.sst_k, table.min_w, table.max_w)

    def _booklet_windows(
        self, keys: Sequence[TableKey], formatter: Formatter, booklet: PrintedBooklet, path: Path
    ) -> Iterator[tuple[TableKey, Windows | None]]:
        """The windows of each table, None where no page has any."""
        sizes = {key: [size.name for size in self.catalogue.families[key[0]].sizes] for key in keys}
        headers = {key: [self.names.sizes[key[0], size] for size in own] for key, own in sizes.items()}
        read = _window_tables(page_texts(path), {key: self._title(key, booklet) for key in keys}, headers)
        for key in keys:
            is_there = any(read[key].values())
            table, rows = self.computed[key], self._rows(booklet, key)
            yield key, _table_windows(table, formatter, sizes[key], rows, read[key]) if is_there else None

    def _title(self, key: TableKey, booklet: PrintedBooklet) -> str:
        """The heading of the pages of a table."""
        texts = self.catalogue.translations.get(texts_of(booklet.printed_as.language), {})
        family, group, application = (texts.get(name, name) for name in self.names.tables[key])
        table = booklet_wording.TABLE(family=family, group=group)
        return booklet_wording.TABLE_IN_APPLICATION(table=table, application=application)


def _workbook_rows(path: Path, unit: str) -> list[tuple[str, Window]]:
    """Size and window of each row of the workbook's group windows, whose loads are in a unit."""
    loads = (workbook_wording.with_unit(workbook_wording.LOAD[limit](), unit) for limit in ("min", "max"))
    columns = (workbook_wording.SIZE(), *loads)
    with _opened(path) as book:
        head, *rows = book[workbook_wording.GROUP_WINDOWS()].iter_rows(values_only=True)
        size, minimum, maximum = (head.index(name) for name in columns)
        windows = [None if row[minimum] is None else (str(row[minimum]), str(row[maximum])) for row in rows]
        return [(str(row[size]), window) for row, window in zip(rows, windows, strict=True)]


@contextlib.contextmanager
def _opened(path: Path) -> Iterator[openpyxl.Workbook]:
    """A workbook; whatever goes wrong while it is read is said of its file."""
    try:
        # Opened here, for where the library fails it leaves a file open.
        with path.open("rb") as file, contextlib.closing(openpyxl.load_workbook(file, read_only=True)) as book:
            yield book
    # Of a damaged file the library lets through whatever archive, compression and XML inside raise.
    except Exception as error:
        raise unreadable(path, error) from error


def _page_windows(path: Path) -> dict[tuple[str, ...], list[Window]]:
    """The windows along the suction temperatures, by family, application, refrigerant, size and system."""
    found: dict[tuple[str, ...], list[Window]] = {}
    try:
        match = _TABLES.search(path.read_text(encoding="utf-8"))
        tables: Json = json.loads(match[1] if match else "")
        if not isinstance(tables, dict) or not isinstance(tables["windows"], dict):
            raise ValueError(wording.NO_TABLES())
        for family, applications in tables["windows"].items():
            for application, refrigerants in as_mapping(applications).items():
                for refrigerant, own in as_mapping(refrigerants).items():
                    for size, lines in as_mapping(as_mapping(own)["sizes"]).items():
                        for system in _SYSTEMS:
                            key = family, application, refrigerant, size, system
                            found[key] = _line(str(as_mapping(lines)[system]))
    # A page that was altered may have anything in it.
    except (OSError, ValueError, KeyError, RecursionError) as error:
        raise unreadable(path, error) from error
    return found


def _line(text: str) -> list[Window]:
    """The windows of a size along the suction temperatures."""
    parts, found = iter(text.split()), []
    for part in parts:
        found.append(None if part == _NO_WINDOW else (part, next(parts, "")))
    return found


def _common(windows: list[Window]) -> Window:
    """The common part of the members' windows."""
    open_ones = [window for window in windows if window is not None]
    try:
        minimum = max((window[0] for window in open_ones), key=float, default="")
        maximum = min((window[1] for window in open_ones), key=float, default="")
        is_open = len(open_ones) == len(windows) and float(minimum) < float(maximum)
    except ValueError:
        # No number: it is reported as it is.
        return open_ones[0]
    return (minimum, maximum) if is_open else None


def can_read_pages() -> bool:
    """Whether the library that reads pages is installed."""
    return importlib.util.find_spec("pypdfium2") is not None


def page_texts(path: Path) -> list[str]:
    """The text of each page in the order in which it is drawn, with ordinary spaces.

    Raises
    ------
    DataSetError
        If it cannot be read as a PDF.
    """
    import pypdfium2

    try:
        with contextlib.closing(pypdfium2.PdfDocument(path)) as document:
            texts = (page.get_textpage().get_text_range() for page in document)
            return [text.replace("\r", "").replace("\N{NO-BREAK SPACE}", " ") for text in texts]
    # Of a damaged page the text may be no text.
    except (OSError, ValueError, pypdfium2.PdfiumError) as error:
        raise unreadable(path, error) from error


def _window_tables(
    texts: Sequence[str], titles: Mapping[TableKey, str], sizes: Mapping[TableKey, Sequence[str]]
) -> dict[TableKey, dict[str, ReadRow]]:
    """Rows of each table by temperature as printed; none for a table without a page.

    `titles` are the headings that its pages begin with, those that go on from another page too, `sizes` the columns in
    their order, of which a page may have some.
    """
    found: dict[TableKey, dict[str, ReadRow]] = {key: {} for key in titles}
    # Without spaces, for a word that is too long is broken anywhere.
    joined = {key: "".join(title.split()) for key, title in titles.items()}
    for text in texts:
        for part in _by_title(text, joined):
            beginning = "".join(part.split())
            named = [key for key, title in joined.items() if beginning.startswith(title)]
            # One title may begin as another does.
            longest = max((len(joined[key]) for key in named), default=0)
            for key in (key for key in named if len(joined[key]) == longest):
                columns = _columns(part, sizes[key])
                if columns and _is_added(found[key], _rows(part, columns)):
                    break
    return found


def _by_title(text: str, joined: Mapping[TableKey, str]) -> list[str]:
    """A page that begins with the title of a table, in parts that each do: two tables may share a page."""
    lines, titles = text.splitlines(), tuple(joined.values())
    dense = ["".join(line.split()) for line in lines]
    page, places = "".join(dense), [0, *itertools.accumulate(map(len, dense))]
    begins = [i for i, own in enumerate(dense) if own and page.startswith(titles, places[i])]
    if not begins or places[begins[0]]:
        return []
    return ["\n".join(lines[i:end]) for i, end in itertools.pairwise([*begins, len(lines)])]


def _columns(text: str, sizes: Sequence[str]) -> range:
    """Which sizes are in the header of a page, by their indices; none if there is no such header."""
    lines = {" ".join(line.split()) for line in text.splitlines()}
    for count in range(len(sizes), 0, -1):
        for first in range(len(sizes) - count + 1):
            if " ".join(sizes[first : first + count]) in lines:
                return range(first, first + count)
    return range(0)


def _is_added(found: dict[str, ReadRow], rows: Mapping[str, ReadRow]) -> bool:
    """Whether the cells of a page are new to a table, to which they are then added."""
    if any(rows[label].keys() & found.get(label, {}).keys() for label in rows):
        return False
    for label, row in rows.items():
        found[label] = {**found.get(label, {}), **row}
    return True


def _rows(text: str, columns: range) -> dict[str, ReadRow]:
    """Lines that begin and end with the same temperature, after that of the box if there is one, with all cells between."""
    rows = {}
    for line in text.splitlines():
        words = line.split()
        words = words[-len(columns) - 2 :] if len(words) == len(columns) + 3 else words
        if len(words) == len(columns) + 2 and words[0] == words[-1] and all(_is_cell(word) for word in words[1:-1]):
            rows[words[0]] = dict(zip(columns, words[1:-1], strict=True))
    return rows


def _is_cell(word: str) -> bool:
    return DASH in word or (len(word) == 1 and word.isalpha())


def _table_windows(
    table: PrintedTable, formatter: Formatter, sizes: Sequence[str], shown: Bools, rows: Mapping[str, ReadRow]
) -> Windows:
    """Windows of a table in a booklet by index, of the rows that should be there; a letter means none."""
    found: dict[tuple[int, int], Window] = {}
    index = [table.sizes.index(size) for size in sizes]
    labels = formatter.temperatures([float(kelvin) for kelvin in table.sst_k[shown]])
    for row, label in zip(map(int, np.flatnonzero(shown)), labels, strict=True):
        for column, cell in rows.get(label, {}).items():
            minimum, dash, maximum = cell.partition(DASH)
            found[index[column], row] = (plain(minimum), plain(maximum)) if dash else None
    return found


def _compared(
    table: PrintedTable, formatter: Formatter, printed: Windows, file: str, rows: Bools | None = None
) -> Iterator[Finding]:
    """Printed windows that are not the computed ones in the same words; `rows` are those that should be there, or all."""
    for size in range(len(table.sizes)):
        for row in range(table.sst_k.size) if rows is None else map(int, np.flatnonzero(rows)):
            expected = formatter.readable_window(*table.window(size, row))
            misprint = replace(table.finding(FindingKind.MISPRINT, size, row), file=file)
            if (size, row) not in printed:
                yield replace(misprint, problem=FileFault.NO_CELL)
                continue
            read = printed[size, row]
            if read is not None and expected is not None:
                yield from _differing(table, formatter, (size, row), (read, expected), file)
            elif read is not None:
                note = DASH.join(read)
                yield replace(misprint, kind=FindingKind.OVERPROMISE, problem=FileFault.WINDOW, note=note)
            elif expected is not None:
                yield replace(misprint, problem=FileFault.NO_WINDOW)


def _differing(
    table: PrintedTable,
    formatter: Formatter,
    at: tuple[int, int],
    windows: tuple[tuple[str, str], tuple[str, str]],
    file: str,
) -> Iterator[Finding]:
    """Limits of one printed window that are not those expected."""
    for limit, own, text in zip(LimitKind, *windows, strict=True):
        # A workbook has numbers, which carry no zeros at their end.
        if own == text or (_is_number(own) and float(own) == float(text)):
            continue
        computed_w = float(table.limit(limit)[at])
        finding = replace(table.finding(FindingKind.MISPRINT, *at), limit=limit, file=file, to_load_w=computed_w)
        if not _is_number(own):
            yield replace(finding, problem=FileFault.NO_NUMBER, note=own)
            continue
        is_more = promises_more(formatter, limit, (own, own), computed_w)
        kind = FindingKind.OVERPROMISE if is_more else FindingKind.MISPRINT
        yield replace(finding, kind=kind, from_load_w=in_watt(formatter, own))


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdecimal()
