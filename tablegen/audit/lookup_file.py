"""Windows read back from the look-up page, held against the computed ones in the same words."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from tablegen.audit.findings import Cell, Kind
from tablegen.audit.parts import PartTable
from tablegen.audit.printed_files import Key, Window, against
from tablegen.errors import DataSetError
from tablegen.model.inputs import Catalogue
from tablegen.report.formatter import Formatter

LOOKUP = "lookup.html"
_TABLES = re.compile(r'<script type="application/json" id="tables">(.*?)</script>', re.DOTALL)
_EMPTY = "-"


def lookup_cells(
    folder: Path,
    record: Mapping[str, Any],
    catalogue: Catalogue,
    computed: Mapping[Key, PartTable],
    counts: dict[str, int],
) -> Iterator[Cell]:
    """Windows of groups, as the page would find them from those of their members, that are not the computed ones."""
    path = folder / LOOKUP
    if not path.is_file():
        yield Cell(Kind.NOT_READ, detail=f"{LOOKUP}: there is none")
        return
    windows = _windows(path)
    printing = record["inputs"]["printing"]
    every = {s: Formatter.beside(s, printing["units"], printing["load_unit"]) for s in ("IP", "SI")}
    counts[LOOKUP] = 0
    for (family, group, application), table in computed.items():
        members = catalogue.groups[group].members
        for system, formatter in every.items():
            read: dict[tuple[int, int], Window] = {}
            for size, name in enumerate(table.sizes):
                keys = [(family, application, member, name, system) for member in members]
                lines = [windows[key] for key in keys if len(windows.get(key, ())) == table.sst_k.size]
                if len(lines) == len(members):
                    read |= {(size, row): _common([line[row] for line in lines]) for row in range(table.sst_k.size)}
            counts[LOOKUP] += len(read)
            yield from against(table, formatter, read, f"{LOOKUP} ({formatter.load_label})")


def _windows(path: Path) -> dict[tuple[str, ...], list[Window]]:
    """The windows along the suction temperatures, by family, application, refrigerant, size and system."""
    try:
        found = _TABLES.search(path.read_text(encoding="utf-8"))
        return {
            (family, application, refrigerant, size, system): _line(own[system])
            for family, applications in json.loads(found[1] if found else "")["windows"].items()
            for application, refrigerants in applications.items()
            for refrigerant, of in refrigerants.items()
            for size, own in of["sizes"].items()
            for system in ("IP", "SI")
        }
    # A page of another hand may hold anything.
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise DataSetError(f"{path}: cannot be read as the look-up page of a release: {error}") from error


def _line(text: str) -> list[Window]:
    """The windows of a size along the suction temperatures."""
    parts, found = iter(text.split()), []
    for part in parts:
        found.append(None if part == _EMPTY else (part, next(parts, "")))
    return found


def _common(windows: list[Window]) -> Window:
    """The common part of the members' windows."""
    open_ones = [window for window in windows if window is not None]
    try:
        minimum = max((window[0] for window in open_ones), key=float, default="")
        maximum = min((window[1] for window in open_ones), key=float, default="")
        is_open = len(open_ones) == len(windows) and float(minimum) < float(maximum)
    except ValueError:
        # No number: it is told as it stands.
        return open_ones[0]
    return (minimum, maximum) if is_open else None
