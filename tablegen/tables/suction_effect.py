"""What limits would be if suction followed the box: the step from constant to balanced SST, at the example's SST."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from tablegen.model.inputs import Application, Catalogue, Family
from tablegen.model.solving import Solved, laws_of, solve, unit_window
from tablegen.physics.system import SuctionResponse


@dataclass(frozen=True, slots=True, kw_only=True)
class SuctionEffect:
    """By how much the limits of an application with constant SST change where SST follows the box [1].

    Smallest and largest change over the families of its first refrigerant, at `sst_k` [K] and a temperature difference
    of `difference_k` [K] between box and SST at the rating point.
    """

    application: str
    refrigerant: str
    sst_k: float
    difference_k: float
    min_load: tuple[float, float]
    max_load: tuple[float, float]


def suction_effects(catalogue: Catalogue, solved_by: Mapping[tuple[str, str], Solved]) -> tuple[SuctionEffect, ...]:
    """The effect in each application whose SST is constant and whose box temperature is known.

    For one refrigerant of each: the balance is searched for, which takes its time, and refrigerants differ little in it.
    """
    found = (_effect(catalogue, application, solved_by) for application in catalogue.applications.values())
    return tuple(own for own in found if own is not None)


def _effect(
    catalogue: Catalogue, application: Application, solved_by: Mapping[tuple[str, str], Solved]
) -> SuctionEffect | None:
    names = [name for name in catalogue.refrigerants_in(application.name) if (name, application.name) in solved_by]
    if not names:
        return None
    solved = solved_by[names[0], application.name]
    system = solved.system
    if system.response is not SuctionResponse.CONSTANT or system.keeps_capacity or system.box_difference_k is None:
        return None
    families = list(_families(catalogue, application, names[0]))
    row = int(np.argmin(np.abs(application.sst_k - application.example_sst_k)))
    systems = {**application.systems, names[0]: replace(system, response=SuctionResponse.BALANCED)}
    other = replace(application, systems=systems, sst_k=application.sst_k[row : row + 1])
    balanced = solve(solved.refrigerant, other, laws_of(families))
    changes = []
    for part in (part for family in families for part in family.by_design()):
        own, moved = (unit_window(part, one)[2] for one in (solved, balanced))
        low, high = moved.min_load_w[0] / own.min_load_w[row], moved.max_load_w[0] / own.max_load_w[row]
        if math.isfinite(low) and math.isfinite(high):
            changes.append((float(low) - 1.0, float(high) - 1.0))
    if not changes:
        return None
    low_changes, high_changes = zip(*changes, strict=True)
    return SuctionEffect(
        application=application.name,
        refrigerant=names[0],
        sst_k=application.example_sst_k,
        difference_k=system.box_difference_k,
        min_load=(min(low_changes), max(low_changes)),
        max_load=(min(high_changes), max(high_changes)),
    )


def _families(catalogue: Catalogue, application: Application, refrigerant: str) -> Iterator[Family]:
    """The families that are printed for a refrigerant in an application, each once."""
    found = dict.fromkeys(
        c.family
        for c in catalogue.combinations
        if c.application == application.name and refrigerant in catalogue.groups[c.group].members
    )
    return (catalogue.families[name] for name in found)
