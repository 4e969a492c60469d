"""Whether a booklet prints the window of a case, and where: the one rule of `pick` and `trace`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.answers.case import Case
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import Rules
from tablegen.model.printed_tables import TableInPrint, printed_table
from tablegen.model.publications import CounterChart, Handout
from tablegen.wording import in_print as wording
from tablegen.wording.language import ENGLISH
from tablegen.wording.message import listed

# A row of a table, whose temperature may have been written in another unit.
_SAME_K = 1e-6


@dataclass(frozen=True, slots=True)
class InPrint:
    """Why no booklet prints a window, as a clause that is empty where one does; and the table to look at.

    A case between the rows, or with one refrigerant of a group, has a table that does not print its window; a case with
    other values than the application's has none.
    """

    why_not: str
    table: TableInPrint | None


def in_print(catalogue: Catalogue, case: Case, family: str, units: str, is_overridden: bool) -> InPrint:
    """Where the windows of a family for a case are printed.

    Parameters
    ----------
    units : str
        "IP" or "SI": of several prints of a booklet the first in these.
    is_overridden : bool
        Whether keys of the application were given otherwise than in its file.
    """
    if is_overridden:
        return InPrint(wording.OTHER_VALUES(), None)
    table = printed_table(catalogue, family, case.refrigerant, case.application, units, ENGLISH)
    if not (np.abs(catalogue.applications[case.application].sst_k - case.sst_k) < _SAME_K).any():
        return InPrint(wording.NO_ROW(), table)
    if table and table.sst_k and not (np.abs(np.asarray(table.sst_k) - case.sst_k) < _SAME_K).any():
        return InPrint(wording.NOT_CHOSEN(), table)
    if case.refrigerant not in catalogue.groups:
        groups = Rules.of(catalogue).groups_of(case.refrigerant)
        return InPrint(wording.GROUPS_ONLY(groups=", ".join(groups)), table)
    return InPrint("" if table else _elsewhere(catalogue, case, family), table)


def _elsewhere(catalogue: Catalogue, case: Case, family: str) -> str:
    """That no booklet prints a table, or which other publications show it."""
    charts: list[CounterChart | Handout] = [own for own in catalogue.charts if case.refrigerant in own.groups]
    found = [*charts, *(own for own in catalogue.handouts if own.group == case.refrigerant)]
    files = [f"{own.printed.name}.pdf" for own in found if (own.family, own.application) == (family, case.application)]
    return wording.SHOWN_IN(files=listed(files)) if files else wording.NO_BOOKLET()
