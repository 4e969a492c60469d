"""The data set as one SQLite file: its frames as tables, names and part numbers, and views of the sizes that cover a load.

The same data give the same bytes with one version of SQLite, which writes its number into the file.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
import pandas as pd

from tablegen.dataset.csv_files import csv_of
from tablegen.dataset.database_views import VIEWS, Relation
from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.model.inputs import Catalogue
from tablegen.wording.columns import COLUMNS, DATABASE_COLUMNS, DataColumn

DATABASE_FILE = "tables.sqlite"
# Raised whenever a table, a view or a column changes; in the file it is the user version.
LAYOUT = 1
_PAGE_BYTES = 4096
_ROWS = 2**15
# What a row of a table is found by; `windows` and `group_windows` in the order in which a buyer asks.
_UNIQUE = {
    "windows": ("refrigerant", "application", "sst_k", "family", "size"),
    "group_windows": ("group", "application", "sst_k", "family", "size"),
    "sizes": ("family", "size"),
    "families": ("family",),
    "size_names": ("family", "size"),
}
_SHARED = {
    "states": ("refrigerant", "application", "sst_k"),
    "saturation": ("refrigerant", "temperature_k"),
    "conversion": ("refrigerant", "application", "sst_k"),
    "selection_maps": ("family", "group", "application"),
    "charts": ("publication",),
    "part_numbers": ("family", "size"),
}
_DESCRIBED: Mapping[str, DataColumn] = {**COLUMNS, **DATABASE_COLUMNS}
Value: TypeAlias = "str | float | int | None"


def write_database(data: DataSet, target: Path) -> None:
    """Write a data set as an SQLite file, some thousand rows at a time.

    Raises
    ------
    OSError
        If it cannot be written.
    """
    target.unlink(missing_ok=True)
    try:
        with contextlib.closing(sqlite3.connect(target, isolation_level=None)) as database:
            for setting in (f"page_size = {_PAGE_BYTES}", "journal_mode = OFF", "synchronous = OFF"):
                database.execute(f"PRAGMA {setting}")
            # One transaction: the file counts them.
            database.execute("BEGIN")
            _fill(database, data)
            database.execute(f"PRAGMA user_version = {LAYOUT}")
            database.execute("COMMIT")
    except sqlite3.OperationalError as error:
        raise OSError(0, str(error), str(target)) from error


def _fill(database: sqlite3.Connection, data: DataSet) -> None:
    _add(database, "about", _about(data))
    frames = {name: getattr(data, name) for name in FRAMES}
    tables = {**frames, **_names(data.catalogue)}
    for name, frame in tables.items():
        _add(database, name, frame)
    for keys, kind in ((_UNIQUE, "UNIQUE INDEX"), (_SHARED, "INDEX")):
        for name, columns in keys.items():
            if len(tables[name].columns):
                named = ", ".join(f'"{column}"' for column in columns)
                database.execute(f"CREATE {kind} {name}_key ON {name} ({named})")
    for view in VIEWS:
        database.execute(view.sql())
    relations = [Relation(name, tuple(frame.columns)) for name, frame in tables.items()]
    described = [
        (own.name, column, _DESCRIBED[column].unit or "", _DESCRIBED[column].meaning())
        for own in (*relations, *VIEWS)
        for column in own.columns
    ]
    _add(database, "columns", pd.DataFrame(described, columns=["table_name", "column_name", "unit", "meaning"]))


def _about(data: DataSet) -> pd.DataFrame:
    """What the data are, a row for each fact."""
    catalogue, printing = data.catalogue, data.catalogue.printing
    facts = {
        "catalogue": catalogue.name,
        "title": printing.title,
        "company": printing.company.name,
        "notice": printing.notice,
        "revision": printing.revision,
        "date": printing.date,
        "fingerprint": data.fingerprint,
        "layout": str(LAYOUT),
    }
    return pd.DataFrame({"key": list(facts), "value": [str(own) for own in facts.values()]})


def _names(catalogue: Catalogue) -> dict[str, pd.DataFrame]:
    """Tables of what the keys in the frames are called in print, and of part numbers."""
    families = catalogue.families.values()
    sizes = [(own.name, size.name, size.display_name) for own in families for size in own.sizes]
    members = [(group.name, member) for group in catalogue.groups.values() for member in group.members]
    numbers = [(n.number, *n.texts(), n.capillary_m) for n in catalogue.part_numbers]
    numbered = ["part_number", "family", "size", "charge", "equalizer", "connections", "capillary_m"]
    titles = [(own.name, own.title) for own in catalogue.applications.values()]
    return {
        "families": pd.DataFrame(
            [(own.name, own.display_name, own.title, own.kind) for own in families],
            columns=["family", "family_name", "title", "valve_kind"],
        ),
        "size_names": pd.DataFrame(sizes, columns=["family", "size", "size_name"]),
        "applications": pd.DataFrame(titles, columns=["application", "title"]),
        "group_members": pd.DataFrame(members, columns=["group", "refrigerant"]),
        "part_numbers": pd.DataFrame(numbers, columns=numbered).astype({"capillary_m": "float64"}),
    }


def _add(database: sqlite3.Connection, name: str, frame: pd.DataFrame) -> None:
    """A table with the rows of a frame in their order; one without columns is none."""
    if not len(frame.columns):
        return
    types = {str(column): _type(frame[column]) for column in frame.columns}
    database.execute(_create(name, types))
    marks = ", ".join("?" * len(types))
    for start in range(0, len(frame), _ROWS):
        part = frame.iloc[start : start + _ROWS]
        rows = zip(*(_values(part[column], types[column]) for column in types), strict=True)
        database.executemany(f"INSERT INTO {name} VALUES ({marks})", rows)


def _type(column: pd.Series) -> str:
    """The type in SQLite; a column of text without any is one of NaN."""
    described = _DESCRIBED.get(str(column.name))
    if described is None or described.unit is None:
        return "TEXT"
    return "BOOLEAN" if column.dtype == bool else "REAL"


def _create(name: str, types: dict[str, str]) -> str:
    """The statement that creates a table, with unit and meaning of each column as its comment."""
    lines = []
    for number, (column, kind) in enumerate(types.items(), start=1):
        needed = "" if kind == "REAL" else " NOT NULL"
        comma = "," if number < len(types) else ""
        described = _DESCRIBED.get(column)
        unit = f"[{described.unit}] " if described and described.unit else ""
        comment = f" -- {unit}{described.meaning()}" if described else ""
        lines.append(f'  "{column}" {kind}{needed}{comma}{comment}\n')
    return f"CREATE TABLE {name} (\n{''.join(lines)})"


def _values(column: pd.Series, kind: str) -> list[Value]:
    """The values of a column: no number is NULL, no text is an empty one."""
    if isinstance(column.dtype, pd.CategoricalDtype):
        names = np.array([*map(str, column.cat.categories), ""], dtype=object)
        coded: list[Value] = names[column.cat.codes.to_numpy()].tolist()
        return coded
    values: list[Any] = column.to_list()
    if kind == "TEXT":
        return ["" if value is None or value != value else str(value) for value in values]
    if kind == "BOOLEAN":
        return [int(value) for value in values]
    return [None if value != value else float(value) for value in values]


def read_table(database: sqlite3.Connection, name: str) -> Iterator[bytes]:
    """The table of a frame as the frame's CSV file, in parts; no table is one of a frame without columns.

    Raises
    ------
    sqlite3.Error
        If the file is damaged.
    """
    types = {own[1]: own[2] for own in database.execute(f"PRAGMA table_info({name})")}
    if not types:
        yield csv_of(pd.DataFrame())
        return
    cursor = database.execute(f"SELECT * FROM {name} ORDER BY rowid")
    kinds = {"TEXT": "object", "REAL": "float64", "BOOLEAN": "bool"}
    header = True
    while (rows := cursor.fetchmany(_ROWS)) or header:
        frame = pd.DataFrame(rows, columns=list(types)).astype({own: kinds.get(types[own], "object") for own in types})
        written = csv_of(frame)
        yield written if header else written.partition(b"\n")[2]
        header = False
