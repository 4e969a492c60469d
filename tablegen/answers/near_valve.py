"""Distributor nozzle and solenoid valve for the load of a case, by the flow that the expansion valve passes.

A solenoid valve is the smallest size whose pressure drop is never above the maximum, and never below what it needs to stay
open.  A nozzle is the size whose drop at the rating point is nearest to what the application assumes of the distributor.
A size is for every refrigerant of a group.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tablegen.answers.case import SolvedCase
from tablegen.model.inputs import Catalogue
from tablegen.model.nearby_parts import NearbyPart, PartKind, PartSize
from tablegen.model.solving import Solved
from tablegen.physics.arrays import Floats
from tablegen.physics.flow import drop_at_flow
from tablegen.physics.operating import flow_per_watt
from tablegen.physics.system import OperatingCondition

# A nozzle's drop over what the limits assume: half to twice of it.
NOZZLE_RANGE = 2.0
# A bound is met to the last digit by the size that meets it.
_SLACK = 1.0 + 1e-9


class PartMisfit(StrEnum):
    """Why a part has no size for a case."""

    NOT_APPROVED = "not_approved"
    OVER_PRESSURE = "over_pressure"
    OVER_DIFFERENTIAL = "over_differential"
    DROP_ABOVE_MAXIMUM = "drop_above_maximum"
    DROP_BELOW_MINIMUM = "drop_below_minimum"
    FAR_FROM_ASSUMED = "far_from_assumed"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartChoice:
    """The size of a part for a case, or the one that comes nearest and why it does not fit.

    Attributes
    ----------
    misfit : PartMisfit or None
        None where the size fits.
    refrigerant : str
        Of a group the one that decides on the size, or that rules the part out.
    size : PartSize or None
        None where the part is ruled out before its sizes are looked at.
    drops_pa : tuple of float
        Pressure drop at low head, rating point and high head [Pa] with that refrigerant; empty without a size.
    range_pa : tuple of float
        The smallest and the largest pressure drop at any state of any refrigerant [Pa]; empty without a size.
    assumed_pa : float
        What the limits assume at the rating point [Pa]: of a nozzle for the distributor, of a solenoid valve for the whole
        liquid line.
    excess_pa : float
        The gauge pressure or the differential [Pa] that rules the part out; NaN where none does.
    """

    part: NearbyPart
    misfit: PartMisfit | None
    refrigerant: str
    size: PartSize | None = None
    drops_pa: tuple[float, ...] = ()
    range_pa: tuple[float, ...] = ()
    assumed_pa: float = math.nan
    excess_pa: float = math.nan


def near_the_valve(catalogue: Catalogue, solved: SolvedCase) -> tuple[PartChoice, ...]:
    """A size of each of the catalogue's parts; of nozzles nothing where an application has no distributor."""
    has_distributor = all(member.system.losses.distributor_pa > 0.0 for member in solved.members)
    wanted = [p for p in catalogue.nearby_parts if p.kind is PartKind.SOLENOID_VALVE or has_distributor]
    return tuple(_ruled_out(catalogue, solved, part) or _sized(solved, part) for part in wanted)


def _ruled_out(catalogue: Catalogue, solved: SolvedCase, part: NearbyPart) -> PartChoice | None:
    """Why no size of a part may be used; None where its sizes may."""
    working_pa = part.working_pressure_gauge_pa + solved.application.site_pressure_pa
    for member in solved.members:
        name = member.refrigerant.name
        if part.approved.why_not(name, catalogue.records[name].safety_group):
            return PartChoice(part=part, misfit=PartMisfit.NOT_APPROVED, refrigerant=name)
        head_pa = max(float(s.state.head_pressure_pa[0]) for s in member.states)
        if head_pa > working_pa * _SLACK:
            gauge_pa = head_pa - solved.application.site_pressure_pa
            return PartChoice(part=part, misfit=PartMisfit.OVER_PRESSURE, refrigerant=name, excess_pa=gauge_pa)
        # Closed, it has the head upstream and the evaporator downstream.
        across = max(float((s.state.head_pressure_pa - s.state.evaporating_pressure_pa)[0]) for s in member.states)
        if across > part.allowed_differential_pa * _SLACK:
            return PartChoice(part=part, misfit=PartMisfit.OVER_DIFFERENTIAL, refrigerant=name, excess_pa=across)
    return None


def _sized(solved: SolvedCase, part: NearbyPart) -> PartChoice:
    """The size that the rule of its kind takes."""
    # Pressure drops at a Kv of 1 m3/h: those of a size are its Kv squared times smaller.
    drops = [_drops_at_unit_kv(member, part.kind, solved.case.load_w) for member in solved.members]
    every = np.concatenate(drops)
    if part.kind is PartKind.SOLENOID_VALVE:
        size, misfit = _smallest(part, float(every.min()), float(every.max()))
        index = int(np.argmax([own.max() for own in drops]))
        assumed_pa = solved.members[index].system.losses.liquid_line_pa
    else:
        rating = [
            own[m.at_full_flow()[OperatingCondition.RATING]] for m, own in zip(solved.members, drops, strict=True)
        ]
        assumed = [member.system.losses.distributor_pa for member in solved.members]
        size, misfit, index = _nearest(part, np.asarray(rating) / np.asarray(assumed))
        assumed_pa = assumed[index]
    member = solved.members[index]
    at = member.at_full_flow()
    return PartChoice(
        part=part,
        misfit=misfit,
        refrigerant=member.refrigerant.name,
        size=size,
        drops_pa=tuple(float(drops[index][at[c]]) / size.kv_m3h**2 for c in OperatingCondition),
        range_pa=(float(every.min()) / size.kv_m3h**2, float(every.max()) / size.kv_m3h**2),
        assumed_pa=assumed_pa,
    )


def _drops_at_unit_kv(member: Solved, kind: PartKind, load_w: float) -> Floats:
    """Pressure drop [Pa] of a part with a Kv of 1 m3/h at each state of a refrigerant, for a load [W]."""
    found, is_liquid = [], kind is PartKind.SOLENOID_VALVE
    for solved in member.states:
        state = solved.state
        flow = load_w * flow_per_watt(state, member.rated)
        density = state.liquid_density_kg_m3 if is_liquid else 1.0 / state.mixture_volume_m3_kg
        found.append(float(drop_at_flow(flow, density, 1.0)[0]))
    return np.array(found)


def _smallest(part: NearbyPart, smallest_pa: float, largest_pa: float) -> tuple[PartSize, PartMisfit | None]:
    """The smallest size with a low enough drop that stays open; drops [Pa] are those of a Kv of 1 m3/h."""
    low = [size for size in part.sizes if largest_pa / size.kv_m3h**2 <= part.maximum_drop_pa * _SLACK]
    if not low:
        return part.sizes[-1], PartMisfit.DROP_ABOVE_MAXIMUM
    for size in low:
        if smallest_pa / size.kv_m3h**2 * _SLACK >= size.minimum_drop_pa:
            return size, None
    return low[0], PartMisfit.DROP_BELOW_MINIMUM


def _nearest(part: NearbyPart, ratios: Floats) -> tuple[PartSize, PartMisfit | None, int]:
    """The size whose drop is nearest to what is assumed, and the refrigerant that is farthest from it.

    `ratios` is the drop of a Kv of 1 m3/h over what is assumed, for each refrigerant.
    """
    off = [np.abs(np.log(ratios / size.kv_m3h**2)) for size in part.sizes]
    best = int(np.argmin([own.max() for own in off]))
    is_far = float(off[best].max()) > math.log(NOZZLE_RANGE * _SLACK)
    return part.sizes[best], PartMisfit.FAR_FROM_ASSUMED if is_far else None, int(np.argmax(off[best]))
