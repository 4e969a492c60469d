"""A list of part numbers: the valve that each is for, by the names that the catalogue's families have."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.config.sheet import cell_text, folded, sheet_of
from tablegen.errors import BadValue, ConfigError, FileProblem, RequestError, near, unknown
from tablegen.model.names import key_of
from tablegen.model.part_numbers import NEAR_M, PartNumber
from tablegen.units import to_si
from tablegen.wording import input_errors as wording

COLUMNS = ("part_number", "family", "size", "charge", "equalizer", "connections", "capillary", "capillary_m")
# What the first column was called before the first release.
_OLD_COLUMN = "article"
MAX_BYTES = 5_000_000
_MAX_ROWS, _MAX_LENGTH = 20_000, 40
_EQUALIZERS = ("internal", "external")


def read_part_numbers(data: bytes, shown: str, families: Mapping[str, FamilyModel]) -> tuple[PartNumber, ...]:
    """The part numbers in a CSV file (comma or semicolon) or on the first sheet of a workbook called `shown`.

    The first row names the columns: `part_number`, and any others of `COLUMNS`, in any case; further columns are not
    read.  Families, sizes and charges are given by key or name in print, lengths with a unit.

    Raises ConfigError with every problem, by line: an unknown name, a length without a unit, a second row for the same
    valve.
    """
    rows = sheet_of(data, shown, _MAX_ROWS, wording.PART_NUMBER_LISTS_ARE_SMALL()).rows
    header = [folded(cell_text(cell)) for cell in rows[0]] if rows else []
    _check_header(shown, header)
    at = {name: header.index(name) for name in COLUMNS if name in header}
    problems: list[FileProblem] = []
    found: dict[PartNumber, int] = {}
    part_numbers: list[PartNumber] = []
    for line, row in enumerate(rows[1:], start=2):
        cells = {name: cell_text(row[i]) if i < len(row) else "" for name, i in at.items()}
        if any(cells.values()):
            part_number = _Row(shown=shown, line=line, cells=cells, families=families, problems=problems).part_number()
            what = replace(part_number, number="")
            if what in found:
                problems.append(FileProblem(shown, line, "", wording.SAME_VALVE(line=found[what])))
            found.setdefault(what, line)
            part_numbers.append(part_number)
    if problems:
        raise ConfigError(problems)
    return tuple(part_numbers)


def _check_header(shown: str, header: Iterable[str]) -> None:
    names = [name for name in header if name]
    problems = [
        FileProblem(shown, 1, name, wording.COLUMN_TWICE())
        for name in dict.fromkeys(names)
        if name in COLUMNS and names.count(name) > 1
    ]
    # A slip would leave a column without effect.
    for name in names:
        hint = near(name, COLUMNS) if name not in COLUMNS else ""
        if hint and not any(own in hint for own in names):
            problems.append(FileProblem(shown, 1, name[:40], unknown(wording.A_COLUMN(), name[:40], COLUMNS)))
    if "part_number" not in names:
        is_old = _OLD_COLUMN in names
        rule = wording.COLUMN_RENAMED(new="part_number") if is_old else wording.COLUMN_MISSING()
        problems.append(FileProblem(shown, 1, _OLD_COLUMN if is_old else "part_number", rule))
    if "capillary" in names and "capillary_m" in names:
        problems.append(FileProblem(shown, 1, "capillary_m", wording.CAPILLARY_TWICE()))
    if problems:
        raise ConfigError(problems)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One row, read cell by cell; what is wrong goes to `problems`."""

    shown: str
    line: int
    cells: Mapping[str, str]
    families: Mapping[str, FamilyModel]
    problems: list[FileProblem]

    def part_number(self) -> PartNumber:
        """The part number; what is wrong in the row is noted."""
        number = self.cells["part_number"]
        if not number or len(number) > _MAX_LENGTH or not number.isprintable():
            self._wrong("part_number", str(BadValue(repr(number[:50]), wording.PART_NUMBER_RULE(most=_MAX_LENGTH))))
        key = self._key("family", wording.A_FAMILY(), {name: f.name for name, f in self.families.items()})
        # A row may leave the family open; a size is then any family's.
        families = [self.families[key]] if key in self.families else list(self.families.values())
        of = families[0].name if key else wording.THE_CATALOGUE()
        sizes = {key: name for f in families for key, name in f.size_names.items()}
        charges = {c.charge: c.title for f in families if isinstance(f, ThermostaticModel) for c in f.charges}
        size = self._key("size", wording.A_SIZE(family=of), sizes)
        joints = {
            c: c
            for f in families
            for rule in (f.offered.connections if f.offered else ())
            for c in rule.choose
            if not size or not rule.sizes or size in rule.sizes
        }
        return PartNumber(
            number=number,
            family=key,
            size=size,
            charge=self._key("charge", wording.A_CHARGE(family=of), charges),
            equalizer=self._key("equalizer", wording.AN_EQUALIZER(), {name: name for name in _EQUALIZERS}),
            connections=self._key("connections", wording.CONNECTIONS_OF(family=of), joints),
            capillary_m=self._capillary([m for f in families if f.offered for m in f.offered.capillary_lengths]),
        )

    def _key(self, column: str, what: str, called: Mapping[str, str]) -> str:
        text = self.cells.get(column, "")
        try:
            return key_of(what, text, called) if text else ""
        except RequestError as error:
            self._wrong(column, str(error))
            return text

    def _capillary(self, offered: list[float]) -> float | None:
        column = "capillary" if "capillary" in self.cells else "capillary_m"
        text = self.cells.get(column, "")
        if not text:
            return None
        try:
            length = to_si(text if column == "capillary" else f"{text} m", "length")
        except BadValue as error:
            self._wrong(column, str(error))
            return None
        if not any(abs(length - own) < NEAR_M for own in offered):
            listed = ", ".join(f"{own:.4g} m ({own / 0.3048:.4g} ft)" for own in dict.fromkeys(offered))
            rule = wording.OFFERED_LENGTHS(lengths=listed or wording.NO_NAMES())
            self._wrong(column, str(BadValue(repr(text), rule)))
        return length

    def _wrong(self, column: str, text: str) -> None:
        self.problems.append(FileProblem(self.shown, self.line, column, text))
