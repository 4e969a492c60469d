"""Rows of a sheet that name a valve by the names that the catalogue's families have: a header, and its cells one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.errors import BadValue, ConfigError, FileProblem, RequestError, near, unknown
from tablegen.model.names import key_of
from tablegen.model.part_numbers import NEAR_M, PartNumber
from tablegen.units import to_si
from tablegen.wording import input_errors as wording

VALVE_COLUMNS = ("part_number", "family", "size", "charge", "equalizer", "connections", "capillary", "capillary_m")
# What the column of part numbers was called before the first release.
_OLD_COLUMN = "article"
MAX_LENGTH = 40
_EQUALIZERS = ("internal", "external")


def check_header(shown: str, names: Sequence[str], columns: Sequence[str], needed: Sequence[str]) -> None:
    """Refuse a header, by its folded names, in which a column that is read stands twice, is misspelled or is missing.

    Raises ConfigError with every problem.
    """
    names = [name for name in names if name]
    problems = [
        FileProblem(shown, 1, name, wording.COLUMN_TWICE())
        for name in dict.fromkeys(names)
        if name in columns and names.count(name) > 1
    ]
    # A slip would leave a column without effect.
    for name in names:
        hint = near(name, columns) if name not in columns else ""
        if hint and not any(own in hint for own in names):
            problems.append(FileProblem(shown, 1, name[:40], unknown(wording.A_COLUMN(), name[:40], columns)))
    for column in needed:
        if column not in names:
            is_old = column == "part_number" and _OLD_COLUMN in names
            rule = wording.COLUMN_RENAMED(new=column) if is_old else wording.COLUMN_MISSING()
            problems.append(FileProblem(shown, 1, _OLD_COLUMN if is_old else column, rule))
    if "capillary" in names and "capillary_m" in names:
        problems.append(FileProblem(shown, 1, "capillary_m", wording.CAPILLARY_TWICE()))
    if problems:
        raise ConfigError(problems)


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveRow:
    """One row, read cell by cell; what is wrong goes to `problems`."""

    shown: str
    line: int
    cells: Mapping[str, str]
    families: Mapping[str, FamilyModel]
    problems: list[FileProblem]

    def valve(self) -> PartNumber:
        """The valve that the row names; what is wrong in it is noted."""
        number = self.cells.get("part_number", "")
        if number and (len(number) > MAX_LENGTH or not number.isprintable()):
            self.wrong("part_number", str(BadValue(repr(number[:50]), wording.PART_NUMBER_RULE(most=MAX_LENGTH))))
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
            self.wrong(column, str(error))
            return text

    def _capillary(self, offered: list[float]) -> float | None:
        column = "capillary" if "capillary" in self.cells else "capillary_m"
        text = self.cells.get(column, "")
        if not text:
            return None
        try:
            length = to_si(text if column == "capillary" else f"{text} m", "length")
        except BadValue as error:
            self.wrong(column, str(error))
            return None
        if not any(abs(length - own) < NEAR_M for own in offered):
            listed = ", ".join(f"{own:.4g} m ({own / 0.3048:.4g} ft)" for own in dict.fromkeys(offered))
            rule = wording.OFFERED_LENGTHS(lengths=listed or wording.NO_NAMES())
            self.wrong(column, str(BadValue(repr(text), rule)))
        return length

    def wrong(self, column: str, text: str) -> None:
        """Note a problem of a cell."""
        self.problems.append(FileProblem(self.shown, self.line, column, text))
