"""Read a table of limits from elsewhere, CSV or XLSX: its columns by a mapping file or by obvious names."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tablegen.config._input_files import read_limited, shown_name
from tablegen.config.document import ConfigDocument
from tablegen.config.old_table_columns import ColumnFinder, FoundColumn
from tablegen.config.old_table_mapping import KINDS, NAMED, MappingModel, read_mapping
from tablegen.config.sheet import cell_number, sheet_of, table_in
from tablegen.config.workbook_rows import Cell
from tablegen.errors import BadValue, ConfigError, FileProblem, RequestError
from tablegen.legacy.table_rows import OldRow, OldTable, OutOfMap, TakenColumn
from tablegen.model.inputs import Catalogue
from tablegen.model.names import key_of, refrigerant_name
from tablegen.units import to_si
from tablegen.wording import input_errors
from tablegen.wording import old_table as wording

_MAX_BYTES, _MAX_ROWS, _MAX_PROBLEMS = 5_000_000, 20_000, 20
# What a cell has where there is no limit.
_BLANK = ("", "-", "\N{EN DASH}", "\N{EM DASH}", "n/a")
_BOUNDS = {"temperature": ("-76 degF", "86 degF"), "load": ("1 W", "100000 kW")}
# The part of a mapping with the names of a column.
_NAMES = {name: f"{name[:-1]}ies" if name.endswith("y") else f"{name}s" for name in NAMED}


def read_old_table(path: Path, catalogue: Catalogue, mapping: Path | None = None) -> OldTable:
    """Read an old table; `mapping` is the file that says which column is what.

    Raises ConfigError with every problem, by file, line and column (the first twenty, if there are more).
    """
    document, model = read_mapping(mapping) if mapping is not None else (None, MappingModel())
    shown, rule = shown_name(path), wording.OLD_TABLES_ARE_SMALL()
    sheet = sheet_of(read_limited(path, shown, _MAX_BYTES, rule), shown, _MAX_ROWS, rule)
    (line, header), *filled = table_in(sheet) or [(1, [])]
    finder = ColumnFinder(shown=shown, line=line, header=header, document=document, model=model)
    columns = finder.columns({"family": list(catalogue.families), "application": list(catalogue.applications)})
    names, has_comma = _Names(catalogue, document, model), sheet.has_decimal_comma
    reader = _TableReader(shown=shown, has_decimal_comma=has_comma, columns=columns, names=names)
    rows = reader.rows(filled)
    return OldTable(
        file=path.name,
        rows=rows,
        taken=tuple(TakenColumn(name, own.heading, own.unit_label, own.value) for name, own in columns.items()),
        not_read=finder.not_read(columns),
        left_out=tuple(OutOfMap(column, name, count) for (column, name), count in reader.left_out.items()),
    )


class _Names:
    """Names of a table by the keys of a catalogue; a name that has no counterpart is None."""

    def __init__(self, catalogue: Catalogue, document: ConfigDocument | None, model: MappingModel) -> None:
        self._catalogue, self._document = catalogue, document
        self._mapped: dict[str, dict[str, str | None]] = {
            name: {_folded(own): target for own, target in getattr(model.names, _NAMES[name]).items()} for name in NAMED
        }
        self._found: dict[tuple[str, str, str], str | None] = {}
        self._check(model)

    def _check(self, model: MappingModel) -> None:
        """Whatever the mapping names is in the catalogue."""
        problems = []
        for column in NAMED:
            for name, target in getattr(model.names, _NAMES[column]).items():
                try:
                    if target is not None:
                        self._key(column, target, "")
                except RequestError as error:
                    assert self._document is not None
                    problems.append(self._document.problem(("names", _NAMES[column], name), str(error)))
        if problems:
            raise ConfigError(problems)

    def key(self, column: str, text: str, family: str) -> str | None:
        """The catalogue's key for a name in a column; sizes are those of a family.

        Raises RequestError if the name is neither mapped nor the catalogue's own.
        """
        asked = column, text, family
        if asked not in self._found:
            mapped = self._mapped[column].get(_folded(text), text)
            self._found[asked] = None if mapped is None else self._key(column, mapped, family)
        return self._found[asked]

    def _key(self, column: str, text: str, family: str) -> str:
        own = self._catalogue
        if column == "size":
            families = [own.families[family]] if family else list(own.families.values())
            title = families[0].display_name if family else input_errors.THE_CATALOGUE()
            sizes = {size.name: size.display_name for f in families for size in f.sizes}
            return key_of(input_errors.A_SIZE(family=title), text, sizes)
        if column == "refrigerant":
            known = {name: name for name in own.refrigerants} | {name: g.title for name, g in own.groups.items()}
            name = refrigerant_name(text)
            return key_of(input_errors.A_REFRIGERANT_OR_GROUP(), name if name in known else text, known)
        if column == "family":
            return key_of(input_errors.A_FAMILY(), text, {k: f.display_name for k, f in own.families.items()})
        return key_of(input_errors.AN_APPLICATION(), text, {k: a.title for k, a in own.applications.items()})


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


@dataclass(kw_only=True)
class _TableReader:
    """Goes through the rows once and notes what is wrong."""

    shown: str
    has_decimal_comma: bool
    columns: Mapping[str, FoundColumn]
    names: _Names
    problems: list[FileProblem] = field(default_factory=list)
    left_out: Counter[tuple[str, str]] = field(default_factory=Counter)

    def rows(self, filled: Sequence[tuple[int, Sequence[Cell]]]) -> tuple[OldRow, ...]:
        """All rows with every cell checked, without those whose names have no counterpart."""
        found: list[OldRow] = []
        lines: dict[tuple[object, ...], int] = {}
        for line, cells in filled:
            row = self._row(line, cells)
            if len(self.problems) >= _MAX_PROBLEMS:
                break
            if row is None:
                continue
            if row.cell in lines:
                self._wrong(line, "", wording.SAME_CELL(line=lines[row.cell]))
            lines.setdefault(row.cell, line)
            found.append(row)
        if not found and not self.problems and not self.left_out:
            self._wrong(0, "", wording.NO_ROWS())
        if self.problems:
            raise ConfigError(self.problems)
        return tuple(found)

    def _row(self, line: int, cells: Sequence[Cell]) -> OldRow | None:
        """One row; None where something is wrong with it, or a name of it has no counterpart."""
        before = len(self.problems)
        keys: dict[str, str] = {}
        for name in NAMED:
            column = self.columns[name]
            text = column.value or column.text(cells)
            try:
                if not text:
                    raise RequestError(wording.EMPTY_NAME())
                key = self.names.key(name, text, keys.get("family", ""))
            except RequestError as error:
                self._wrong(line, column.shown, wording.NAME_OF_TABLE(problem=str(error), part=_NAMES[name]))
                return None
            if key is None:
                self.left_out[name, text] += 1
                return None
            keys[name] = key
        sst_k = self._figure(line, cells, "sst")
        low, high = (self._figure(line, cells, name) for name in ("minimum", "maximum"))
        if math.isnan(sst_k) and len(self.problems) == before:
            self._wrong(line, self.columns["sst"].shown, wording.EMPTY_SST())
        if len(self.problems) > before:
            return None
        return OldRow(
            line=line,
            family=keys["family"],
            size=keys["size"],
            group=keys["refrigerant"],
            application=keys["application"],
            sst_k=sst_k,
            min_load_w=low,
            max_load_w=high,
        )

    def _figure(self, line: int, cells: Sequence[Cell], name: str) -> float:
        """A figure in SI; NaN where the cell is empty, the table has no such column, or the cell is wrong."""
        column = self.columns.get(name)
        if column is None or column.text(cells).casefold() in _BLANK:
            return math.nan
        assert column.unit is not None
        low, high = _BOUNDS[KINDS[name]]
        try:
            value = column.unit.to_si(cell_number(cells[column.index], self.has_decimal_comma))
            if not to_si(low, KINDS[name]) <= value <= to_si(high, KINDS[name]):
                rule = wording.FIGURE_RANGE(minimum=low, maximum=high, unit=column.unit.name)
                raise BadValue(repr(column.text(cells)[:40]), rule)
        except BadValue as error:
            self._wrong(line, column.shown, str(error))
            return math.nan
        return value

    def _wrong(self, line: int, column: str, text: str) -> None:
        self.problems.append(FileProblem(self.shown, line, column, text))
