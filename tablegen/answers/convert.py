"""A capacity at one condition converted to the rating point, and back, with the compressor of the application."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tablegen.errors import RequestError, both_scales, unknown
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import check_covered, offer
from tablegen.physics.compressor import ClearanceCompressor, Compressor
from tablegen.physics.conditions import solve_rating
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import State
from tablegen.physics.system import Basis, Head, HeadCondition, LiquidSupply, OperatingCondition, SystemInputs
from tablegen.wording import convert as wording

# Assumption: reciprocating machines lie between no clearance and this one, at a re-expansion exponent of 1.1.
MAX_CLEARANCE, EXPONENT = 0.08, 1.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """Where a capacity is stated: SST [K, dew], condensing temperature [K] on a basis, subcooling of the liquid [K].

    With `liquid_k` [K] the liquid temperature is given itself.
    """

    sst_k: float
    condensing_k: float
    basis: Basis
    subcooling_k: float = 0.0
    liquid_k: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Converted:
    """The factor from a stated condition to the rating point, and what it is made of.

    Attributes
    ----------
    factor : float
        Capacity at the rating point over the stated one: `flow_ratio` times `effect_ratio`.
    min_factor, max_factor : float
        With the clearance of the compressor between none and `MAX_CLEARANCE`, and its own description.
    uncertainty : float
        Share by which the refrigerating effects may put the factor off.
    stated_head_pa, rated_head_pa : float
        Head pressures [Pa, absolute].
    stated_liquid_k, rated_liquid_k : float
        Liquid at the valve [K].
    """

    factor: float
    flow_ratio: float
    effect_ratio: float
    min_factor: float
    max_factor: float
    uncertainty: float
    stated_head_pa: float
    rated_head_pa: float
    stated_liquid_k: float
    rated_liquid_k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Conversion:
    """A capacity [W] at one of two conditions and at the other.

    Attributes
    ----------
    sst_k : float
        Suction temperature of the rating point [K, dew].
    stated : Stated
        The other condition.
    is_from_rating : bool
        Whether the capacity is given at the rating point.
    """

    refrigerant: str
    application: str
    sst_k: float
    stated: Stated
    capacity_w: float
    is_from_rating: bool
    factors: Converted

    @property
    def answer_w(self) -> float:
        """The capacity at the other condition [W]."""
        return self._converted(self.factors.factor)

    @property
    def range_w(self) -> tuple[float, float]:
        """Lowest and highest capacity over the clearances of a reciprocating compressor [W]."""
        ends = sorted(map(self._converted, (self.factors.min_factor, self.factors.max_factor)))
        return ends[0], ends[1]

    def _converted(self, factor: float) -> float:
        return self.capacity_w / factor if self.is_from_rating else self.capacity_w * factor


def convert_capacity(
    catalogue: Catalogue,
    refrigerant: str,
    application: str,
    sst_k: float,
    stated: Stated,
    capacity_w: float,
    is_from_rating: bool = False,
) -> Conversion:
    """A capacity [W] converted to the rating point, or from it.

    Raises
    ------
    RequestError
        As `convert`.
    """
    return Conversion(
        refrigerant=refrigerant,
        application=application,
        sst_k=sst_k,
        stated=stated,
        capacity_w=capacity_w,
        is_from_rating=is_from_rating,
        factors=convert(catalogue, refrigerant, application, sst_k, stated),
    )


def convert(catalogue: Catalogue, refrigerant: str, application: str, sst_k: float, stated: Stated) -> Converted:
    """The factor that takes a capacity from a stated condition to the rating point at a suction temperature.

        Q_rated / Q_stated = m_c(rated) (h_v - h_l)_rated / (m_c(stated) (h_v - h_l)_stated)

    m_c is the compressor's mass flow, both effects counted to the end of useful superheat.

    Raises
    ------
    RequestError
        If a name is not in the catalogue, the application has no valve for the refrigerant or does not cover the
        suction temperature, or a state cannot be computed (outside a map, above the critical point).
    """
    if refrigerant not in catalogue.refrigerants:
        raise RequestError(unknown("a refrigerant", refrigerant, catalogue.refrigerants))
    offer(catalogue, refrigerant, application)
    check_covered(catalogue, refrigerant, application, sst_k)
    fluid = catalogue.refrigerants[refrigerant]
    own = catalogue.applications[application].systems[refrigerant]
    there = replace(own, rating=_condition(fluid, stated))
    rated, other = _pair(fluid, own, there, sst_k, stated.sst_k, own.compressor)
    factor = _factor(rated, other)
    if not math.isfinite(factor):
        raise RequestError(wording.NO_FACTOR(refrigerant=refrigerant))
    bounds = [factor]
    for clearance in (0.0, MAX_CLEARANCE):
        machine = ClearanceCompressor(clearance, EXPONENT)
        bounds.append(_factor(*_pair(fluid, own, there, sst_k, stated.sst_k, machine)))
    uncertainty = catalogue.records[refrigerant].uncertainty.enthalpy
    return Converted(
        factor=factor,
        flow_ratio=float(rated.relative_flow[0] / other.relative_flow[0]),
        effect_ratio=float(rated.rating_effect_j_kg[0] / other.rating_effect_j_kg[0]),
        min_factor=float(np.nanmin(bounds)),
        max_factor=float(np.nanmax(bounds)),
        # Two effects, each off by as much, independently.
        uncertainty=math.sqrt(2.0) * uncertainty,
        stated_head_pa=float(other.head_pressure_pa[0]),
        rated_head_pa=float(rated.head_pressure_pa[0]),
        stated_liquid_k=float(other.liquid_temperature_k[0]),
        rated_liquid_k=float(rated.liquid_temperature_k[0]),
    )


def _condition(fluid: Refrigerant, stated: Stated) -> HeadCondition:
    head = Head(condensing_temperature_k=stated.condensing_k, basis=stated.basis)
    bubble_k = head.bubble_temperature(fluid)
    liquid_k = stated.liquid_k if stated.liquid_k is not None else bubble_k - stated.subcooling_k
    if not math.isnan(bubble_k) and liquid_k > bubble_k + 1e-6:
        raise RequestError(wording.NOT_LIQUID(temperature=both_scales(liquid_k), bubble=both_scales(bubble_k)))
    return HeadCondition(OperatingCondition.RATING, head, LiquidSupply(liquid_k))


def _pair(
    fluid: Refrigerant, own: SystemInputs, there: SystemInputs, sst_k: float, stated_sst_k: float, machine: Compressor
) -> tuple[State, State]:
    """The states of the rating point and of the stated condition with one compressor."""
    states = [
        solve_rating(fluid, replace(application, compressor=machine), np.array([at]))
        for application, at in ((own, sst_k), (there, stated_sst_k))
    ]
    return states[0], states[1]


def _factor(rated: State, other: State) -> float:
    flows = rated.relative_flow[0] / other.relative_flow[0]
    return float(flows * rated.rating_effect_j_kg[0] / other.rating_effect_j_kg[0])
