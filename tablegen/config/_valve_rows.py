"""Rows of a sheet that name a valve by the names that the catalogue's families have: a header, and its cells one by one."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.config.list_columns import words_of
from tablegen.config.sheet import cell_text
from tablegen.config.workbook_rows import Cell
from tablegen.errors import BadValue, ConfigError, FileProblem, RequestError, unknown
from tablegen.model.names import key_of
from tablegen.model.part_numbers import NEAR_M, PartNumber
from tablegen.units import to_si
from tablegen.wording import input_errors as wording

VALVE_COLUMNS = ("part_number", "family", "size", "charge", "equalizer", "connections", "capillary", "capillary_m")
MAX_LENGTH = 40
# A word that begins the same and is so like a known one of more letters than this is that one, misspelled.
_MISSPELLED, _SHORTEST = 0.8, 3
_EQUALIZERS = ("internal", "external")


def columns_in(
    shown: str, line: int, header: Sequence[Cell], names: Mapping[tuple[str, ...], str], needed: Collection[str]
) -> dict[str, tuple[int, str]]:
    """Where each column that is read is, and its heading; `names` has the words of every heading that means one.

    Raises ConfigError with every problem: two columns that mean the same, a heading that is misspelled, a column missing.
    """
    found: dict[str, tuple[int, str]] = {}
    problems: list[FileProblem] = []
    for index, cell in enumerate(header):
        heading = cell_text(cell)
        name = names.get(words_of(heading), "")
        if name in found:
            text = wording.COLUMN_TAKEN(key=name, heading=repr(found[name][1][:MAX_LENGTH]))
            problems.append(FileProblem(shown, line, heading[:MAX_LENGTH], text))
        elif name:
            found[name] = index, heading
        elif heading and (meant := _slip_of(heading, names)) and meant not in found:
            # It would leave a column without effect.
            known = list(dict.fromkeys(names.values()))
            text = unknown(wording.A_COLUMN(), meant, known, read=heading[:MAX_LENGTH])
            problems.append(FileProblem(shown, line, heading[:MAX_LENGTH], text))
    problems += [FileProblem(shown, line, name, wording.COLUMN_MISSING()) for name in needed if name not in found]
    if "capillary" in found and "capillary_m" in found:
        problems.append(FileProblem(shown, line, found["capillary_m"][1], wording.CAPILLARY_TWICE()))
    if problems:
        raise ConfigError(problems)
    return found


def two_valves(shown: str, rows: Iterable[tuple[int, PartNumber]], heading: str) -> Iterator[FileProblem]:
    """Rows, by line, whose part number is that of another valve in a row above."""
    first: dict[str, tuple[int, PartNumber]] = {}
    for line, own in rows:
        above, other = first.setdefault(own.number, (line, own))
        if own.number and own.is_other_valve(other):
            yield FileProblem(shown, line, heading, wording.NUMBER_TAKEN(line=above, number=repr(own.number)))


def _slip_of(heading: str, names: Mapping[tuple[str, ...], str]) -> str:
    """The column that a heading means, misspelled; nothing for one of other words, which is a column of the sheet's own."""
    words = words_of(heading)
    alike = (known for known in names if len(words) == len(known) and all(map(_is_like, words, known)))
    return next((names[known] for known in alike), "")


def _is_like(word: str, known: str) -> bool:
    is_slip = word[:1] == known[:1] and difflib.SequenceMatcher(None, word, known).ratio() >= _MISSPELLED
    return word == known or (is_slip and len(known) > _SHORTEST)


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveRow:
    """One row, read cell by cell; what is wrong goes to `problems`, by the heading of its column where it has one."""

    shown: str
    line: int
    cells: Mapping[str, str]
    families: Mapping[str, FamilyModel]
    problems: list[FileProblem]
    headings: Mapping[str, str] = field(default_factory=dict)

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
        except RequestError:
            # Keys alone: titles are long.
            self.wrong(column, unknown(what, text, called))
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
        self.problems.append(FileProblem(self.shown, self.line, self.headings.get(column, column), text))
