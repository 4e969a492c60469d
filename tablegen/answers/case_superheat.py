"""The maximum superheat of a case: what its limits count with where it belongs to the coil."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tablegen.answers.case import Case, members_of
from tablegen.physics.conditions import solve_conditions

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue
    from tablegen.physics.system import SuperheatLimits


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseSuperheat:
    """The limits of superheat of a case, and the maximum superheats [K] of its refrigerants at all its states."""

    limits: SuperheatLimits
    maxima_k: tuple[float, ...]


def case_superheat(catalogue: Catalogue, case: Case) -> CaseSuperheat | None:
    """The maximum superheat of a case whose application is known; None where it does not belong to the coil.

    Parameters
    ----------
    catalogue : Catalogue
        With the application at the case's coil temperature difference.
    case : Case

    Returns
    -------
    CaseSuperheat or None
    """
    application, names = catalogue.applications[case.application], members_of(catalogue, case.refrigerant)
    limits = application.systems[names[0]].superheat
    if limits.max_k is not None:
        return None
    sst_k, maxima = np.array([case.sst_k]), list[float]()
    for name in names:
        system = application.systems[name]
        _, solved = solve_conditions(catalogue.refrigerants[name], system, sst_k)
        maxima += [float(system.superheat.maximum(item.state)[0]) for item in solved]
    return CaseSuperheat(limits=limits, maxima_k=tuple(maxima))
