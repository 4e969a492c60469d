"""One window table of a catalogue, computed without the others."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tablegen.answers.case import members_of
from tablegen.confidence.confident_limits import scattered_in
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import offered_families, refuse_different_charges
from tablegen.model.publications import Combination
from tablegen.model.solving import Solved, law_of, solve
from tablegen.sweep.frames import FLOAT_FORMAT, Columns, window_columns
from tablegen.sweep.group_cost import GroupCost, cost_of
from tablegen.sweep.intersection import intersection


@dataclass(frozen=True, slots=True)
class OneTable:
    """A table: its refrigerants solved, by name, and the windows that they have in common.

    Rows are those of the data set, with the same figures; `cost` is what one table costs the member that loses most. Of a refrigerant alone, `part` names it in place of a group.
    """

    part: Combination
    solved: Mapping[str, Solved]
    windows: Columns
    cost: GroupCost


def one_table(catalogue: Catalogue, family: str, name: str, application: str) -> OneTable:
    """The table of a family for a refrigerant or group, as it is printed.

    Raises
    ------
    RequestError
        If the catalogue has no such family, refrigerant, group or application, does not offer them together, or fits
        the members of the group with different bulb charges.
    """
    [own] = offered_families(catalogue, name, application, family)
    refuse_different_charges(catalogue, [own], name, application)
    system, scattered = catalogue.applications[application], scattered_in(catalogue)
    # Limits at confidence that are not printed are not needed.
    printed = scattered if scattered is not None and scattered.is_printed else None
    members = members_of(catalogue, name)
    solved = {member: solve(catalogue.refrigerants[member], system, [law_of(own)]) for member in members}
    part = Combination(own.name, name, application)
    of_members = [window_columns(own, one, printed) for one in solved.values()]
    windows = intersection(part.group, members, of_members)
    written = {column: _as_written(values) for column, values in windows.items()}
    return OneTable(part, solved, written, cost_of(members, windows, of_members))


def _as_written(values: NDArray[Any]) -> NDArray[Any]:
    """Figures as the files of a data set have them, which is what is printed of it."""
    if values.dtype.kind != "f":
        return values
    return np.array([float(FLOAT_FORMAT % value) for value in values.tolist()])
