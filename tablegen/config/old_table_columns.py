"""The columns of a table of limits from elsewhere: which heading is what, and the unit of its figures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from tablegen.config.document import ConfigDocument
from tablegen.config.old_table_mapping import KINDS, NAMED, MappingModel, TableColumnModel
from tablegen.config.sheet import cell_text, folded, headings
from tablegen.config.workbook_rows import Cell
from tablegen.errors import BadValue, ConfigError, FileProblem, near
from tablegen.unit_table import Unit
from tablegen.units import unit_named
from tablegen.wording import input_errors
from tablegen.wording import old_table as wording
from tablegen.wording.unit_texts import A_QUANTITY

# Headings that need no mapping, without case, spaces and unit.
_OBVIOUS: Mapping[str, tuple[str, ...]] = {
    "family": ("family", "valve_family", "series"),
    "size": ("size", "valve_size"),
    "refrigerant": ("refrigerant", "refrigerants", "group", "refrigerant_group"),
    "application": ("application",),
    "sst": (
        "sst",
        "saturated_suction_temperature",
        "suction_temperature",
        "saturated_suction",
        "evaporating_temperature",
    ),
    "minimum": ("min", "minimum", "min_load", "minimum_load", "min_capacity", "minimum_capacity"),
    "maximum": ("max", "maximum", "max_load", "maximum_load", "max_capacity", "maximum_capacity"),
}
# What makes a table one of valve capacities, which are of no application.
_PRESSURE_DROPS = ("pressure_drop", "valve_pressure_drop", "pressure_drop_across_valve", "pressure_difference", "drop")
_EXAMPLES = {"sst": "SST [degF]", "minimum": "min [kBtu/h]", "maximum": "max [kBtu/h]"}
_MAX_SHOWN, _MAX_HEADINGS = 40, 30


@dataclass(frozen=True, slots=True)
class FoundColumn:
    """A column by its index, heading and unit; or one `value` for every row."""

    index: int = -1
    heading: str = ""
    unit: Unit | None = None
    value: str = ""

    @property
    def shown(self) -> str:
        """What a message calls it."""
        return self.heading[:_MAX_SHOWN]

    @property
    def unit_label(self) -> str:
        """The unit as a config spells it."""
        return self.unit.name if self.unit else ""

    def text(self, cells: Sequence[Cell]) -> str:
        """The text of its cell in a row."""
        return cell_text(cells[self.index]) if 0 <= self.index < len(cells) else ""


@dataclass(kw_only=True)
class ColumnFinder:
    """Looks for the columns in the header of a table."""

    shown: str
    line: int
    header: Sequence[Cell]
    document: ConfigDocument | None
    model: MappingModel
    problems: list[FileProblem] = field(default_factory=list)

    def columns(self, only: Mapping[str, Sequence[str]]) -> dict[str, FoundColumn]:
        """Every column by our name; one of `only` with a single name need not be in the table.

        Raises ConfigError with every problem.
        """
        found: dict[str, FoundColumn] = {}
        for cell in self.header:
            if any(plain in _PRESSURE_DROPS for plain, _ in headings(cell)):
                self._wrong(wording.PRESSURE_DROP_TABLE(heading=repr(cell_text(cell)[:_MAX_SHOWN])))
                raise ConfigError(self.problems)
        for name in (*NAMED, *KINDS):
            given: TableColumnModel | None = getattr(self.model.columns, name)
            if given is not None and given.value is not None:
                found[name] = FoundColumn(value=given.value)
                continue
            matches = list(self._mapped(name, given) if given is not None else self._obvious(name))
            if len(matches) == 1:
                found[name] = matches[0]
            elif matches:
                listed = ", ".join(repr(match.shown) for match in matches)
                self._wrong(wording.SEVERAL_COLUMNS(name=name, headings=listed))
            elif given is not None:
                self._refuse(name, str(given.column))
            elif len(only.get(name, ())) == 1:
                found[name] = FoundColumn(value=only[name][0])
        self._check(found)
        return found

    def not_read(self, columns: Mapping[str, FoundColumn]) -> tuple[str, ...]:
        """Headings of the columns that nothing was taken from."""
        taken = {column.index for column in columns.values()}
        every = [cell_text(cell)[:_MAX_SHOWN] for i, cell in enumerate(self.header) if i not in taken]
        return tuple(heading for heading in every if heading)[:_MAX_HEADINGS]

    def _check(self, found: Mapping[str, FoundColumn]) -> None:
        wanted = [name for name in (*NAMED, "sst") if name not in found]
        if "minimum" not in found and "maximum" not in found:
            wanted.append(f"{'minimum'}/{'maximum'}")
        if wanted and not self.problems:
            listed = ", ".join(repr(cell_text(cell)[:_MAX_SHOWN]) for cell in self.header[:_MAX_HEADINGS])
            for name in wanted:
                hint = self._near(name)
                self._wrong(wording.COLUMN_MISSING(name=name, header=listed or input_errors.NOTHING()) + hint)
        for name, column in found.items():
            others = [own for own, other in found.items() if other.index == column.index >= 0 and own != name]
            if others and name < others[0]:
                self._wrong(wording.TAKEN_TWICE(heading=repr(column.shown), first=name, second=others[0]))
            if name in KINDS and column.unit is None:
                quantity = A_QUANTITY[KINDS[name]]()
                text = wording.UNIT_MISSING(quantity=quantity, example=_EXAMPLES[name], name=name)
                self.problems.append(FileProblem(self.shown, self.line, column.shown, text))
        if self.problems:
            raise ConfigError(self.problems)

    def _near(self, name: str) -> str:
        names = {folded(cell_text(cell)): cell_text(cell)[:_MAX_SHOWN] for cell in self.header}
        hints = (near(own, [heading for heading in names.values() if heading]) for own in _OBVIOUS.get(name, ()))
        return next((hint for hint in hints if hint), "")

    def _obvious(self, name: str) -> Iterator[FoundColumn]:
        """The columns whose headings need no mapping."""
        mapped = {
            folded(own.column)
            for key in (*NAMED, *KINDS)
            if (own := getattr(self.model.columns, key)) is not None and own.column is not None
        }
        for index, cell in enumerate(self.header):
            for plain, unit in headings(cell):
                if plain in _OBVIOUS[name] and folded(cell_text(cell)) not in mapped and (not unit or name in KINDS):
                    own = _unit(name, unit)
                    if unit and own is None:
                        # A word that is no unit is part of another name.
                        continue
                    yield FoundColumn(index, cell_text(cell), own)
                    break

    def _mapped(self, name: str, given: TableColumnModel) -> Iterator[FoundColumn]:
        """The columns of a heading that the mapping names, with its unit or without."""
        wanted, stated = folded(str(given.column)), _unit(name, given.unit or "")
        readings = [(i, cell, *reading) for i, cell in enumerate(self.header) for reading in headings(cell)]
        whole = [(i, cell) for i, cell in enumerate(self.header) if folded(cell_text(cell)) == wanted]
        named = [(i, cell) for i, cell, plain, unit in readings if plain == wanted and _unit(name, unit)]
        for index, cell in whole or dict(named).items():
            units = (own for _, unit in headings(cell) if (own := _unit(name, unit)) is not None)
            yield FoundColumn(index, cell_text(cell), stated or next(units, None))

    def _refuse(self, name: str, heading: str) -> None:
        """A heading of the mapping that the table does not have."""
        every = [cell_text(cell)[:_MAX_SHOWN] for cell in self.header if cell_text(cell)]
        rule = wording.HEADINGS(file=self.shown, headings=", ".join(map(repr, every[:_MAX_HEADINGS])))
        text = str(BadValue(repr(heading[:_MAX_SHOWN]), rule)) + near(heading, every)
        assert self.document is not None
        self.problems.append(self.document.problem(("columns", name), text))

    def _wrong(self, text: str) -> None:
        self.problems.append(FileProblem(self.shown, self.line, input_errors.HEADER(), text))


def _unit(name: str, text: str) -> Unit | None:
    """The unit that is spelled so, of a column's quantity; None for no unit of it."""
    if name not in KINDS or not text:
        return None
    try:
        return unit_named(KINDS[name], text)
    except BadValue:
        return None
