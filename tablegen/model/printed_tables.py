"""Which booklet prints the table of a family, group and application, and the name that leads to the table in its PDF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.model.inputs import Catalogue
from tablegen.model.offer import Rules
from tablegen.model.publications import Booklet, Combination, Printed

# A name begins with a letter or digit, so that a point before one can only be that between two names.
_ESCAPED = str.maketrans({".": "._", "(": ".-", ")": ".."})


def destination_of(part: Combination) -> str:
    """The name of a table's place in a booklet: letters, digits and `-_.`, for each table another.

    >>> destination_of(Combination("alder", "R448A-family", "walk_in_medium"))
    'table.alder.R448A-family.walk_in_medium'
    """
    names = (part.family, part.group, part.application)
    return ".".join(("table", *(name.translate(_ESCAPED) for name in names)))


@dataclass(frozen=True, slots=True)
class TableInPrint:
    """A table, the print of a booklet that has it, and the SSTs [K] that are chosen of it; none where all are printed."""

    part: Combination
    printed: Printed
    sst_k: tuple[float, ...] = ()

    @property
    def file(self) -> str:
        """The booklet's file."""
        return f"{self.printed.name}.pdf"

    @property
    def destination(self) -> str:
        """The name of the table's place in the file."""
        return destination_of(self.part)

    @property
    def link(self) -> str:
        """The table from a page in the same folder."""
        return f"{self.file}#nameddest={self.destination}"


def printed_table(
    catalogue: Catalogue, family: str, name: str, application: str, units: str, language: str
) -> TableInPrint | None:
    """The table of a group, or of the first group in print with a refrigerant; None where no booklet prints one.

    Of several prints the first in the language and the system of units, else in the language, else of all.
    """
    for group in Rules.of(catalogue).groups_of(name):
        part = Combination(family, group, application)
        found = _preferred([own for own in catalogue.booklets if _prints(own, part)], units, language)
        if found is not None:
            return TableInPrint(part, found.printed, found.contents.sst_k.get(application, ()))
    return None


def _prints(booklet: Booklet, part: Combination) -> bool:
    """Whether a booklet prints a table."""
    return booklet.has_tables and part in booklet.combinations


def _preferred(booklets: Sequence[Booklet], units: str, language: str) -> Booklet | None:
    def is_other(booklet: Booklet) -> tuple[bool, bool]:
        return booklet.printed.language != language, booklet.printed.units != units

    return min(booklets, key=is_other, default=None)
