"""The rows of a stock sheet that are of no valve of the catalogue: other goods, totals."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from tablegen.config._valve_rows import MAX_LENGTH
from tablegen.config.family_model import FamilyModel
from tablegen.errors import near
from tablegen.model.part_numbers import PartNumber
from tablegen.wording import stock as wording

# So many rows are named in a note.
_NAMED = 3
# Characters that are read or typed for each other.
_ALIKE = str.maketrans("OIL", "011")


class SkippedRows:
    """Takes the rows that have no part number of a list and name no family, and says which these were."""

    def __init__(self, by_number: Mapping[str, PartNumber], families: Mapping[str, FamilyModel]) -> None:
        self._by_number = by_number
        self._families = {name.casefold() for key, own in families.items() for name in (key, own.name)}
        self._rows: list[str] = []
        self._near: list[str] = []
        self._alike: dict[str, str] = {}
        self._whole: frozenset[str] = frozenset()

    @property
    def first(self) -> str:
        """The first of them."""
        return some_rows(self._rows)

    def takes(self, line: int, cells: Mapping[str, str]) -> bool:
        """Whether a row is of no valve; a family that is misspelled is still one."""
        number, family = cells.get("part_number", ""), cells.get("family", "").casefold()
        if number in self._by_number or family in self._families or (family and near(family, self._families)):
            return False
        if not family and (cells.get("size") or cells.get("charge")):
            return False
        text = number or family
        self._rows.append(wording.ROW_OF(line=line, text=repr(text[:MAX_LENGTH])) if text else wording.ROW(line=line))
        if number and (meant := self._meant(number)):
            self._near.append(wording.NEAR_NUMBER(line=line, text=repr(number[:MAX_LENGTH]), meant=meant))
        return True

    def notes(self, file: str) -> Iterator[str]:
        """How many rows were skipped and which, and those that may be of a valve."""
        if self._rows:
            yield wording.NOT_VALVES(len(self._rows), file=file, rows=self.first)
        if self._near:
            yield wording.NEARLY(len(self._near), file=file, rows=some_rows(self._near))

    def _meant(self, number: str) -> str:
        """The part number that is written with other signs, or with one sign more or less; another digit is another part."""
        if not self._alike:
            whole = {_folded(known): known for known in self._by_number}
            self._alike = {own: known for text, known in whole.items() for own in _shorter(text)} | whole
            self._whole = frozenset(whole)
        text = _folded(number)
        alike = (text, *(own for own in _shorter(text) if own in self._whole))
        return next((self._alike[own] for own in alike if own in self._alike), "")


def some_rows(rows: Sequence[str]) -> str:
    """The first of some rows."""
    named = ", ".join(rows[:_NAMED])
    return wording.ROWS_AND_MORE(rows=named) if len(rows) > _NAMED else named


def _folded(number: str) -> str:
    return re.sub(r"[^0-9A-Z]", "", number.upper()).translate(_ALIKE)


def _shorter(text: str) -> Iterator[str]:
    """A text without one of its characters."""
    return (text[:i] + text[i + 1 :] for i in range(len(text)))
