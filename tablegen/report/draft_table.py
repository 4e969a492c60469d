"""One computed table as print names it, without a data set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tablegen.report.printed_catalogue import PrintedCatalogue
from tablegen.report.rows import HeadState, WindowRow

if TYPE_CHECKING:
    from tablegen.answers.one_table import OneTable
    from tablegen.model.inputs import Catalogue
    from tablegen.model.publications import Combination
    from tablegen.report.formatter import Formatter
    from tablegen.sweep.group_cost import GroupCost


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftTable(PrintedCatalogue):
    """One table of a catalogue, with the units that it is printed in."""

    inputs: Catalogue
    table: OneTable
    formatter: Formatter

    @property
    def catalogue(self) -> Catalogue:
        """The inputs, in SI."""
        return self.inputs

    @property
    def part(self) -> Combination:
        """Which table it is."""
        return self.table.part

    def heads(self, application: str, refrigerant: str, sst_k: float | None = None) -> Mapping[str, HeadState]:
        """As `PrintedCatalogue.heads`."""
        solved = self.table.solved[refrigerant]
        own = solved.application
        row = int(np.abs(own.sst_k - (sst_k or own.example_sst_k)).argmin())
        return {
            condition.value: HeadState.of(condition.value, solved.states[index].state, solved.system.superheat, row)
            for condition, index in solved.at_full_flow().items()
        }

    def group_cost(self, part: Combination) -> GroupCost:
        """As `PrintedCatalogue.group_cost`."""
        return self.table.cost

    def windows(self) -> list[WindowRow]:
        """Every size, by its display name, at every suction temperature."""
        columns = [self.table.windows[name].tolist() for name in WindowRow.__annotations__]
        rows = [WindowRow(*values) for values in zip(*columns, strict=True)]
        return [row._replace(size=self.size(self.part.family, row.size)) for row in rows]
