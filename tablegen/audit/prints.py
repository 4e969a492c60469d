"""The units in which a catalogue's loads are printed, and whether a printed figure promises too much."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tablegen.model.inputs import Catalogue
from tablegen.report.formatter import Formatter
from tablegen.units import print_unit

# Print rounding cleans what is below twelve figures; so may a comparison.
NOISE = 1e-11


@dataclass(frozen=True, slots=True)
class Prints:
    """Every unit in which windows are printed, each once."""

    formatter: tuple[Formatter, ...]

    @classmethod
    def of(cls, catalogue: Catalogue) -> Prints:
        """Of the booklets and the workbook."""
        printing = catalogue.printing
        units = [(printing.units, _label(printing.units, printing.load_unit))]
        units += [(b.printed.units, b.printed.load_unit) for b in catalogue.booklets]
        return cls(tuple(Formatter(system, load_unit) for system, load_unit in dict.fromkeys(units)))

    def promises_more(self, limit: str, min_w: float, max_w: float, found_w: float) -> bool:
        """Whether any print of a window promises more than a limit ("minimum" or "maximum") found elsewhere [W]."""
        prints = self.of_window(min_w, max_w)
        return any(promises_more(formatter, limit, printed, found_w) for formatter, printed in prints)

    def of_window(self, min_w: float, max_w: float) -> Iterable[tuple[Formatter, tuple[str, str]]]:
        """A window [W] as each print has it; none where it is empty or too narrow to print."""
        for formatter in self.formatter:
            printed = formatter.readable_window(min_w, max_w)
            if printed is not None:
                yield formatter, printed


def promises_more(formatter: Formatter, limit: str, printed: tuple[str, str], found_w: float) -> bool:
    """Whether a printed window promises loads beyond a limit [W]."""
    found = print_unit("load", formatter.system, formatter.load_unit).of(found_w)
    if limit == "minimum":
        return float(printed[0]) < found * (1.0 - NOISE)
    return float(printed[1]) > found * (1.0 + NOISE)


def _label(system: str, load_unit: str | None) -> str:
    """The load unit as configs spell it."""
    return load_unit or {"IP": "kBtu/h", "SI": "kW"}[system]
