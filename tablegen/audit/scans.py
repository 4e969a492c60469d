"""Every refrigerant in every application looked at again: between heads, at other corners, otherwise at the suction."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tablegen.audit.heads import TightestLimits, tightest_limits
from tablegen.audit.parts import Unit
from tablegen.audit.variants import between_rows, is_other_response_missing, other_corners, other_response
from tablegen.model.inputs import Application, Family
from tablegen.model.solving import Solved, laws_of, solve, unit_window
from tablegen.physics.refrigerants import Refrigerant

Units = Mapping[str, Unit]


@dataclass(frozen=True, slots=True)
class Scans:
    """One refrigerant in one application, by family: as the tables have it, and otherwise (None where there is none).

    `between` holds the suction temperatures of `variants.between_rows`. `response` is the other suction response;
    `is_response_missing` tells that it could not be run.
    """

    base: Units
    heads: Mapping[str, TightestLimits]
    between: Units
    corners: Units | None
    response: Units | None
    response_name: str
    is_response_missing: bool


def look(families: Sequence[Family], solved: Solved, box_difference_k: float | None = None) -> Scans:
    """Look at some families with one refrigerant in one application.

    `box_difference_k` [K] stands in where the application gives no difference of box and evaporator.
    """
    refrigerant, application = solved.refrigerant, solved.application
    response = other_response(application, refrigerant.name, box_difference_k)
    return Scans(
        base=_units(families, solved),
        heads=tightest_limits(families, solved),
        between=_solved(families, refrigerant, between_rows(application)),
        corners=_maybe(families, refrigerant, other_corners(application, refrigerant.name)),
        response=_maybe(families, refrigerant, response),
        response_name="" if response is None else response.systems[refrigerant.name].response.value,
        is_response_missing=is_other_response_missing(application, refrigerant.name, box_difference_k),
    )


def _maybe(families: Sequence[Family], refrigerant: Refrigerant, application: Application | None) -> Units | None:
    return None if application is None else _solved(families, refrigerant, application)


def _solved(families: Sequence[Family], refrigerant: Refrigerant, application: Application) -> Units:
    return _units(families, solve(refrigerant, application, laws_of(families)))


def _units(families: Sequence[Family], solved: Solved) -> Units:
    windows = {family.name: unit_window(family, solved)[2] for family in families}
    return {name: Unit(w.min_load_w, w.max_load_w, w.max_reason) for name, w in windows.items()}
