"""The maximum superheat of a case: what its limits count with, and what a coil of another temperature difference has."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from tablegen.answers.case import Case, members_of
from tablegen.physics.conditions import solve_conditions, solve_rating

if TYPE_CHECKING:
    from tablegen.model.box_temperature import BoxTemperature
    from tablegen.model.inputs import Catalogue
    from tablegen.physics.system import SuperheatLimits

# Temperature differences that went through another unit [K].
_NEAR_K = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseSuperheat:
    """The limits of superheat of a case, and the maximum superheats [K] of its refrigerants at all its states.

    `difference_k` is the coil's temperature difference [K] that they are for.  Where the case gives another, that is
    `asked_difference_k`, and `asked_k` are the maximum superheats [K] that it has at the rating point; else None.
    """

    limits: SuperheatLimits
    maxima_k: tuple[float, ...]
    difference_k: float
    asked_difference_k: float | None = None
    asked_k: tuple[float, ...] = ()


def case_superheat(catalogue: Catalogue, case: Case, box: BoxTemperature | None) -> CaseSuperheat | None:
    """The maximum superheat of a case whose application is known; None where it does not belong to the coil.

    Parameters
    ----------
    catalogue : Catalogue
    case : Case
    box : BoxTemperature or None
        The case's box, whose temperature difference may not be the application's.
    """
    application, names = catalogue.applications[case.application], members_of(catalogue, case.refrigerant)
    limits = application.systems[names[0]].superheat
    stated_k = application.systems[names[0]].box_difference_k
    if limits.max_k is not None or stated_k is None:
        return None
    sst_k, maxima, asked = np.array([case.sst_k]), list[float](), list[float]()
    other_k = None if box is None or abs(box.coil_difference_k - stated_k) < _NEAR_K else box.coil_difference_k
    for name in names:
        refrigerant, system = catalogue.refrigerants[name], application.systems[name]
        _, solved = solve_conditions(refrigerant, system, sst_k)
        maxima += [float(system.superheat.maximum(item.state)[0]) for item in solved]
        if other_k is not None:
            other = replace(system, box_difference_k=other_k)
            asked.append(float(other.superheat.maximum(solve_rating(refrigerant, other, sst_k))[0]))
    return CaseSuperheat(
        limits=limits,
        maxima_k=tuple(maxima),
        difference_k=stated_k,
        asked_difference_k=other_k,
        asked_k=tuple(asked),
    )
