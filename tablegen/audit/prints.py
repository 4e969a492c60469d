"""The units in which a catalogue's loads are printed, and whether a printed figure promises too much."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tablegen.model.inputs import Catalogue
from tablegen.report.formatter import Words
from tablegen.units import print_unit

# Print rounding cleans what is below twelve figures; so may a comparison.
NOISE = 1e-11


@dataclass(frozen=True, slots=True)
class Prints:
    """Every unit in which windows are printed, each once."""

    words: tuple[Words, ...]

    @classmethod
    def of(cls, catalogue: Catalogue) -> Prints:
        """Of the booklets and the workbook."""
        printing = catalogue.printing
        units = [(printing.units, _label(printing.units, printing.load_unit))]
        units += [(b.printed.units, b.printed.load_unit) for b in catalogue.booklets]
        return cls(tuple(Words(system, load_unit) for system, load_unit in dict.fromkeys(units)))

    def promises_more(self, limit: str, least_w: float, greatest_w: float, found_w: float) -> bool:
        """Whether any print of a window promises more than a limit ("least" or "greatest") found elsewhere [W]."""
        prints = self.of_window(least_w, greatest_w)
        return any(promises_more(words, limit, printed, found_w) for words, printed in prints)

    def of_window(self, least_w: float, greatest_w: float) -> Iterable[tuple[Words, tuple[str, str]]]:
        """A window [W] as each print has it; none where it is empty or too narrow to print."""
        for words in self.words:
            printed = words.readable_window(least_w, greatest_w)
            if printed is not None:
                yield words, printed


def promises_more(words: Words, limit: str, printed: tuple[str, str], found_w: float) -> bool:
    """Whether a printed window promises loads beyond a limit [W]."""
    found = print_unit("load", words.system, words.load_unit).of(found_w)
    if limit == "least":
        return float(printed[0]) < found * (1.0 - NOISE)
    return float(printed[1]) > found * (1.0 + NOISE)


def _label(system: str, load_unit: str | None) -> str:
    """The load unit as configs spell it."""
    return load_unit or {"IP": "kBtu/h", "SI": "kW"}[system]
