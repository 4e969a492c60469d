"""A picked valve at every head pressure: system and valve in balance, and what it may do at each operating condition."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.answers.case import Case, solve_case
from tablegen.answers.pick import Candidate
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import unit_window
from tablegen.tables.curves import balance_curve
from tablegen.tables.examples import Example


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenRange:
    """A valve at one operating condition: what it does, between what it may do; superheat [K] is NaN for a drive."""

    condition: str
    head_pressure_pa: float
    opening: float
    min_opening: float
    max_opening: float
    superheat_k: float
    min_superheat_k: float
    max_superheat_k: float


@dataclass(frozen=True, slots=True)
class ValveBalance:
    """Capacities against head pressure as `tables.curves.balance_frame` has them, and the operating conditions."""

    curve: pd.DataFrame
    ranges: tuple[OpenRange, ...]
    site_pressure_pa: float


def valve_balance(catalogue: Catalogue, case: Case, candidate: Candidate) -> ValveBalance:
    """The balance of a case's system and a valve that fits, for the member of which the valve's heads are.

    Raises
    ------
    RequestError
        As `pick`.
    """
    solved = solve_case(catalogue, case)
    member = next(own for own in solved.members if own.refrigerant.name == candidate.heads_member)
    whole = catalogue.families[candidate.family]
    size = next(own for own in whole.sizes if own.name == candidate.size)
    family = whole.with_design_of(size.name)
    _, valve, _ = unit_window(family, member)
    assert valve is not None, "a valve that fits has a power element"
    curve = balance_curve(Example.alone(family, size, member, valve, case.load_w))
    narrowing = solved.narrowing(family, member, size)
    for column, factor in zip(("valve_min_w", "valve_max_w"), narrowing, strict=True):
        curve[column] *= factor
    superheat = member.system.superheat
    ranges = []
    for head in candidate.heads:
        # The operating conditions are among the head pressures of the curve.
        at = curve.iloc[int(np.abs(curve["head_pressure_pa"].to_numpy() - head.head_pressure_pa).argmin())]
        share = np.array([at["capacity_ratio"]])
        ranges.append(
            OpenRange(
                condition=head.condition,
                head_pressure_pa=head.head_pressure_pa,
                opening=head.opening,
                min_opening=float(at["min_opening"]),
                max_opening=float(at["max_opening"]),
                superheat_k=head.superheat_k,
                min_superheat_k=float(superheat.minimum(share)[0]),
                max_superheat_k=float(at["max_superheat_k"]),
            )
        )
    return ValveBalance(curve, tuple(ranges), solved.application.site_pressure_pa)
