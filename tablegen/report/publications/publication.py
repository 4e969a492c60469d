"""A data set as the pages see it: its inputs, its units, and the tables that are printed of it."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

import pandas as pd

from tablegen.dataset.dataset import Changes, DataSet
from tablegen.model.booklet_contents import WHOLE_BOOKLET, BookletContents
from tablegen.model.inputs import Catalogue
from tablegen.model.part_numbers import PartNumber
from tablegen.model.publications import Booklet, Combination, CounterChart, Handout, ShelfLabels
from tablegen.report.formatter import Formatter
from tablegen.report.printed_catalogue import PrintedCatalogue
from tablegen.report.publications.booklet_tables import SST_DIGITS
from tablegen.report.publications.printed_data import Made, PrintedData
from tablegen.report.rows import CurveCase, HeadState, WindowRow, rows_of
from tablegen.sweep.group_cost import GroupCost
from tablegen.wording import booklet as wording
from tablegen.wording import terms

# Fixed head pressure stays some 10 to 15 degF below the rating point; floating, it falls by 30 degF and more (common
# practice).
_FLOATED_BELOW_K = 20.0 / 1.8


@dataclass(frozen=True, slots=True)
class Publication(PrintedCatalogue):
    """A data set with the units it is printed in, the booklet if it is one, and what differs from an earlier release."""

    printed: PrintedData
    formatter: Formatter
    booklet: Booklet | None = None
    changes: Changes | None = None

    @classmethod
    def of(
        cls,
        data: DataSet | PrintedData,
        own: Booklet | CounterChart | ShelfLabels | Handout | None = None,
        changes: Changes | None = None,
    ) -> Publication:
        """A data set in the units of one of its publications; without one, all of it in the units of its workbook."""
        printed = PrintedData.of(data)
        if own is None:
            printing = printed.data.catalogue.printing
            return cls(printed, Formatter(printing.units, printing.load_unit))
        formatter = Formatter(own.printed.units, own.printed.load_unit)
        return cls(printed, formatter, own if isinstance(own, Booklet) else None, changes)

    @property
    def data(self) -> DataSet:
        """The data set, whose frames contain display names."""
        return self.printed.data

    @property
    def catalogue(self) -> Catalogue:
        """The inputs of the data set, in SI."""
        return self.data.catalogue

    @property
    def stamp(self) -> str:
        """What a graph by itself says of its origin: the notice and the data."""
        return wording.STAMP(notice=self.catalogue.printing.notice, fingerprint=self.data.fingerprint)

    @property
    def date(self) -> datetime.date:
        """The catalogue's date."""
        return self.catalogue.printing.date

    @property
    def parts(self) -> Sequence[Combination]:
        """The combinations that are printed, in catalogue order; without a booklet all that are computed."""
        return self.printed.tables_of(self.booklet).parts if self.booklet else self.catalogue.combinations

    @property
    def empty_parts(self) -> Sequence[Combination]:
        """The combinations that are only listed, for no size covers a load there."""
        return self.printed.tables_of(self.booklet).empty if self.booklet else ()

    @property
    def contents(self) -> BookletContents:
        """What is chosen of the booklet; all of it without one."""
        return self.booklet.contents if self.booklet else WHOLE_BOOKLET

    @property
    def document_title(self) -> str:
        """The title of the booklet, which without one is the catalogue's."""
        return self.contents.title or self.catalogue.printing.title

    def sst_k(self, application: str) -> Sequence[float]:
        """The suction temperatures [K] of an application that are chosen to be printed, ascending."""
        return self.contents.sst_k.get(application) or list(self.catalogue.applications[application].sst_k)

    def applications(self) -> Iterator[tuple[str, list[Combination]]]:
        """Each application that has parts, with them."""
        for name in self.catalogue.applications:
            parts = [p for p in self.parts if p.application == name]
            if parts:
                yield name, parts

    @property
    def floats(self) -> bool:
        """Whether the head pressure of any part floats."""
        return any(self.is_floated(part.application, self.members(part.group)[0]) for part in self.parts)

    def is_floated(self, application: str, refrigerant: str) -> bool:
        """Whether the low head of an application is as low for a refrigerant as floating head pressure is."""
        heads = self.heads(application, refrigerant)
        low, rating = (heads[condition].head_bubble_temperature_k for condition in ("low_head", "rating"))
        return low < rating - _FLOATED_BELOW_K

    def part_numbers_of(self, family: str) -> list[PartNumber]:
        """The part numbers of a family's valves, as the catalogue lists them."""
        return [part_number for part_number in self.catalogue.part_numbers if part_number.family in ("", family)]

    def rows(self, frame: pd.DataFrame, part: Combination) -> pd.DataFrame:
        """The rows of a frame of the data set that belong to a table, at the SSTs that are printed; of an empty frame none."""
        found = self.printed.rows(frame, part)
        if self.booklet is None or not self.contents.sst_k or "sst_k" not in found:
            return found
        shown = self.printed.tables_of(self.booklet).sst_k.get(part)
        return found if shown is None else found[found["sst_k"].round(SST_DIGITS).isin(shown)]

    def windows(self, part: Combination) -> list[WindowRow]:
        """The windows of a table: every size at every suction temperature."""
        return rows_of(self.rows(self.data.group_windows, part), WindowRow)

    def first_example(self, parts: Sequence[Combination]) -> tuple[Combination, pd.DataFrame] | None:
        """The first part whose example has curves, with them."""
        found = ((part, self.rows(self.data.balance, part)) for part in parts)
        return next(((part, curve) for part, curve in found if len(curve)), None)

    def heads(self, application: str, refrigerant: str, sst_k: float | None = None) -> Mapping[str, HeadState]:
        """A refrigerant at each operating condition, at full flow, of the first suction response solved.

        At the suction temperature [K] of the application's example unless another is given.
        """
        return self.printed.heads(
            application, refrigerant, sst_k or self.catalogue.applications[application].example_sst_k
        )

    def group_cost(self, part: Combination) -> GroupCost:
        """As `PrintedCatalogue.group_cost`, from the summary of the data set."""
        key = part.family, part.group, part.application
        own = next(g for g in self.data.summary.groups if (g.family, g.group, g.application) == key)
        return GroupCost(
            max_load=own.max_cost,
            max_member=own.max_cost_member,
            min_load=own.min_cost,
            min_member=own.min_cost_member,
        )

    def drawing(self, key: tuple[object, ...], make: Callable[[], Made]) -> Made:
        """A drawing in the units of the publication, made once for all papers; `key` says which."""
        # Booklets of other rows draw otherwise.
        rows = tuple(sorted(self.contents.sst_k.items()))
        return self.printed.drawn(self.formatter, (*key, rows), make)

    def named_heads(self, application: str, case: CurveCase) -> dict[str, float]:
        """The head pressures [Pa] of an example by the names of their operating conditions."""
        heads = self.heads(application, case.refrigerant, case.sst_k)
        return {name(): heads[condition].head_pressure_pa for condition, name in terms.CONDITIONS.items()}


P = TypeVar("P", Booklet, CounterChart, ShelfLabels, Handout)


def named(publications: Sequence[P], name: str) -> P:
    """The booklet, counter chart, labels or handout that is printed to a file of a name (without suffix)."""
    return next(own for own in publications if own.printed.name == name)
