"""Windows read back from printed files, held against the computed ones in the same words.

The workbook is read with the library that wrote it, the pages of booklets where the library for it is installed.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any
from zipfile import BadZipFile

import openpyxl
import pandas as pd

from tablegen.audit.findings import Cell, Kind
from tablegen.audit.parts import LIMITS, PartTable
from tablegen.audit.pdf_text import Row, can_read, page_texts, window_tables
from tablegen.audit.prints import promises_more
from tablegen.errors import DataSetError
from tablegen.model.inputs import Catalogue
from tablegen.report.formatter import DASH, Formatter
from tablegen.units import print_unit

WORKBOOK = "windows.xlsx"
Window = tuple[str, str] | None
# By place of size and row.
Places = Mapping[tuple[int, int], Window]
Key = tuple[str, str, str]


def workbook_cells(
    folder: Path,
    record: Mapping[str, Any],
    grouped: pd.DataFrame,
    computed: Mapping[Key, PartTable],
    counts: dict[str, int],
) -> Iterator[Cell]:
    """Loads of the workbook that are not the computed ones, rounded; `grouped` has the order of its rows."""
    path = folder / WORKBOOK
    if not path.is_file():
        yield Cell(Kind.NOT_READ, detail=f"{WORKBOOK}: there is none")
        return
    rows = _sheet(path)
    called = _size_names(record["inputs"])
    keys = {(family, name): key for (family, key), name in called.items()}
    if [size for size, _ in rows] != [called[pair] for pair in zip(grouped["family"], grouped["size"], strict=True)]:
        yield Cell(Kind.MISPRINT, detail=f"{WORKBOOK}: not the tables' rows and sizes")
        return
    counts[WORKBOOK] = len(rows)
    printing = record["inputs"]["printing"]
    read: dict[Key, dict[tuple[int, int], Window]] = {key: {} for key in computed}
    columns = (grouped[c] for c in ("family", "group", "application", "sst_k"))
    for family, group, application, sst_k, (size, window) in zip(*columns, rows, strict=True):
        table = computed[family, group, application]
        place = table.sizes.index(keys[family, size]), int(table.sst_k.searchsorted(sst_k))
        read[family, group, application][place] = window
    for key, table in computed.items():
        yield from against(table, Formatter(printing["units"], printing["load_unit"]), read[key], WORKBOOK)


def _size_names(inputs: Mapping[str, Any]) -> dict[tuple[str, str], str]:
    """What each size is called in print, by the keys of family and size."""
    return {
        (family, size["name"]): size["display_name"]
        for family, own in inputs["families"].items()
        for size in own["sizes"]
    }


def _sheet(path: Path) -> list[tuple[str, Window]]:
    """Size and window of each row of the workbook's group windows."""
    try:
        book = openpyxl.load_workbook(path, read_only=True)
        with contextlib.closing(book):
            head, _, *rows = book["Group windows"].iter_rows(values_only=True)
        size, minimum, maximum = (head.index(name) for name in ("Size", "Minimum load", "Maximum load"))
    # The library lets through what the archive inside raises.
    except (OSError, ValueError, KeyError, BadZipFile) as error:
        raise DataSetError(f"{path}: cannot be read as the workbook of a release: {error}") from error
    return [(str(row[size]), None if row[minimum] is None else (str(row[minimum]), str(row[maximum]))) for row in rows]


def booklet_cells(
    folder: Path,
    record: Mapping[str, Any],
    catalogue: Catalogue,
    computed: Mapping[Key, PartTable],
    counts: dict[str, int],
) -> Iterator[Cell]:
    """Window tables on the pages of each booklet whose cells are not the computed windows, rounded."""
    for booklet in record["inputs"].get("booklets", ()):
        name = f"{booklet['printed']['name']}.pdf"
        if not (folder / name).is_file():
            why = record.get("not_printed", {}).get(booklet["printed"]["name"])
            yield Cell(Kind.NOT_READ, detail=f"{name}: {f'not printed: {why}' if why else 'there is none'}")
        elif not can_read():
            yield Cell(Kind.NOT_READ, detail=f"{name}: needs pypdfium2 (pip install 'tablegen[audit]')")
        else:
            yield from _booklet(folder / name, booklet, record["inputs"], catalogue, computed, counts)


def _booklet(
    path: Path,
    booklet: Mapping[str, Any],
    inputs: Mapping[str, Any],
    catalogue: Catalogue,
    computed: Mapping[Key, PartTable],
    counts: dict[str, int],
) -> Iterator[Cell]:
    printed = [(c["family"], c["group"], c["application"]) for c in booklet["combinations"]]
    keys = [key for key in printed if key in computed]
    sizes = {key: [s.name for s in catalogue.families[key[0]].sizes] for key in keys}
    called = _size_names(inputs)
    heads = {key: [called[key[0], size] for size in own] for key, own in sizes.items()}
    read = window_tables(page_texts(path), {key: _title(inputs, key) for key in keys}, heads)
    formatter = Formatter(booklet["printed"]["units"], booklet["printed"]["load_unit"])
    counts[path.name] = 0
    for key in keys:
        if not any(read[key].values()):
            yield computed[key].cell(Kind.MISPRINT, detail=f"{path.name}: no page with this table and its sizes")
            continue
        places = _on_page(computed[key], formatter, sizes[key], read[key])
        counts[path.name] += len(places)
        yield from against(computed[key], formatter, places, path.name)


def _on_page(table: PartTable, formatter: Formatter, sizes: Iterable[str], rows: Mapping[str, Row]) -> Places:
    """Windows of a table by place; a letter stands for none."""
    found: dict[tuple[int, int], Window] = {}
    places = [table.sizes.index(size) for size in sizes]
    for row, label in enumerate(formatter.temperatures([float(kelvin) for kelvin in table.sst_k])):
        for column, cell in rows.get(label, {}).items():
            minimum, dash, maximum = cell.partition(DASH)
            found[places[column], row] = (minimum, maximum) if dash else None
    return found


def against(table: PartTable, formatter: Formatter, printed: Places, file: str) -> Iterator[Cell]:
    """Printed windows that are not the computed ones in the same words."""
    for size in range(len(table.sizes)):
        for row in range(table.sst_k.size):
            expected = formatter.readable_window(float(table.min_w[size, row]), float(table.max_w[size, row]))
            if (size, row) not in printed:
                yield table.cell(Kind.MISPRINT, size, row, detail=f"{file}: the cell is missing")
                continue
            read = printed[size, row]
            if read is not None and expected is not None:
                yield from _differing(table, formatter, (size, row), read, expected, file)
            elif read is not None:
                yield table.cell(Kind.OVERPROMISE, size, row, detail=f"{file}: {DASH.join(read)} is printed")
            elif expected is not None:
                yield table.cell(Kind.MISPRINT, size, row, detail=f"{file}: no window is printed")


def _differing(
    table: PartTable,
    formatter: Formatter,
    place: tuple[int, int],
    read: tuple[str, str],
    expected: tuple[str, str],
    file: str,
) -> Iterator[Cell]:
    """Limits of one printed window that are not those expected."""
    unit = print_unit("load", formatter.system, formatter.load_unit)
    for limit, own, text in zip(LIMITS, read, expected, strict=True):
        # A workbook holds numbers, which carry no zeros at their end.
        if own == text or (_is_number(own) and float(own) == float(text)):
            continue
        computed_w = float(table.limit(limit)[place])
        if not _is_number(own):
            yield table.cell(Kind.MISPRINT, *place, limit=limit, detail=f"{file}: {own}", to_load_w=computed_w)
            continue
        is_more = promises_more(formatter, limit, (own, own), computed_w)
        yield table.cell(
            Kind.OVERPROMISE if is_more else Kind.MISPRINT,
            *place,
            limit=limit,
            detail=file,
            from_load_w=float(own) / unit.of(1.0),
            to_load_w=computed_w,
        )


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdecimal()


def _title(inputs: Mapping[str, Any], key: Key) -> str:
    """The heading of a table's page."""
    family, group, application = key
    names = inputs["families"][family]["display_name"], inputs["groups"][group]["title"]
    return f"{': '.join(names)}, {inputs['applications'][application]['title']}"
