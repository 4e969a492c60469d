"""What an existing valve does in one system, at the conditions and at every head between."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from tablegen.answers.case import Case, SolvedCase, solve_case
from tablegen.answers.in_stock import StockRule
from tablegen.answers.pick import TIE, AtHead, Candidate, at_heads, best_first, candidates_of
from tablegen.answers.zones import HeadLimits, HeadZone, min_setting
from tablegen.errors import RequestError, both_scales, unknown
from tablegen.model.head_settings import at_equal_condensing
from tablegen.model.inputs import Application, Catalogue, Family, PowerElement, Size
from tablegen.model.liquid_supply import LiquidNeed, liquid_needs
from tablegen.model.solving import Solved, law_of
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.operating import Zone
from tablegen.physics.reasons import Reason
from tablegen.physics.system import Head, HeadCondition, OperatingCondition
from tablegen.physics.valve import static_superheat
from tablegen.physics.windows import Valve
from tablegen.tables.curves import balance_curve
from tablegen.tables.examples import Example
from tablegen.wording import retrofit as wording
from tablegen.wording import terms

# Shares that depend on the setting that they are for settle to the last digit in a few rounds.
_SETTING_ROUNDS = 12


@dataclass(frozen=True, slots=True)
class System:
    """A system for an existing valve: a case, the catalogue whose application it names, and what was set on purpose.

    `kept_heads` names conditions whose head is meant for the refrigerant as written although no group has it.
    """

    catalogue: Catalogue
    case: Case
    kept_heads: Collection[str] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveOperation:
    """What the existing valve does in one system.

    Attributes
    ----------
    confidence : float or None
        The confidence of the limits [1]; None where they are nominal.
    moved_heads : tuple of str
        Conditions whose head setting was taken at the condensing temperature that it means for another refrigerant.
    conditions : tuple of HeadCondition
        Low head, rating point, high head, as the application states them.
    dew_pressure_pa : float
        Under the diaphragm at the suction temperature [Pa, absolute], less the distributor's loss.
    static_superheat_k : float
        Superheat at which the valve just opens there [K]; NaN for a drive and off the charge's curve.
    valve : Candidate
        Window, verdict and margin at the three conditions, as a pick gives them.
    heads : tuple of AtHead
        Opening and superheat at each condition; the zone counts every side of the window.
    passed : tuple of float
        Maximum load over the load at each of `heads` [1]; NaN where there is no such limit.
    max_superheat_k : float
        The maximum superheat of the application [K].
    zones : tuple of HeadZone
        From the lowest head to the highest.
    min_w, max_w : float
        The loads covered at every head between [W]; NaN where there is none.
    liquid : tuple of LiquidNeed
        The subcooling that each condition needs at condenser or receiver.
    has_receiver : bool
        Whether the heads are pressures of an intermediate receiver.
    """

    refrigerant: str
    safety_group: str
    application: str
    title: str
    temperature_range: str
    suction_response: str
    capacity_step: float
    confidence: float | None
    site_pressure_pa: float
    load_w: float
    moved_heads: tuple[str, ...]
    conditions: tuple[HeadCondition, ...]
    distributor_pa: float
    dew_pressure_pa: float
    static_superheat_k: float
    valve: Candidate
    heads: tuple[AtHead, ...]
    passed: tuple[float, ...]
    max_superheat_k: float
    zones: tuple[HeadZone, ...]
    min_w: float
    max_w: float
    liquid: tuple[LiquidNeed, ...]
    has_receiver: bool

    @property
    def covers(self) -> bool:
        """Whether the valve is steady at every head."""
        return all(zone.zone == Zone.STEADY for zone in self.zones)


class InstalledValve:
    """One system solved for a family with a power element, whatever refrigerant that is meant for.

    Raises
    ------
    RequestError
        If a name is not in the catalogue, or a condition cannot be computed (above the critical point, off a
        compressor's map).
    """

    def __init__(self, system: System, family: Family, size: Size, element: PowerElement) -> None:
        self.system, self.family, self.size = system, family, size
        self.application, self.moved = _at_own_heads(system)
        applications = {**system.catalogue.applications, self.application.name: self.application}
        self.solved: SolvedCase = solve_case(replace(system.catalogue, applications=applications), system.case)
        self.member = self.solved.members[0]
        _refuse(self.member)
        self.element = family.with_design_of(size.name).fitted_like(element)
        self.valve = self._valve(size)
        self.sweep = HeadLimits(self.member, self.valve, law_of(family))

    def _valve(self, size: Size) -> Valve:
        """A size with this power element."""
        part = self.family.with_design_of(size.name)
        return part.valve(part.fitted_like(self.element), self.application.site_pressure_pa)

    def narrowing(self, size: Size) -> tuple[float, float]:
        """Minimum and maximum limit of a size as tables have them, over the nominal ones."""
        return self.solved.narrowing(self.family, self.member, size, self.element)

    def operation(self) -> ValveOperation:
        """What the size does here."""
        case, refrigerant, kv = self.system.case, self.member.refrigerant, self.size.kv_rated_m3h
        system = self.application.systems[refrigerant.name]
        own = next(c for c in candidates_of(self.solved, self.family, self.element) if c.size == self.size.name)
        load = case.load_w / kv
        [heads] = at_heads(self.member, self.family, self.valve, np.array([load]))
        te = self.member.rated.evaporating_temperature_k
        sweep = self.sweep.narrowed(self.narrowing(self.size))
        minimum, maximum = sweep.range_w()
        at = np.array([h.head_pressure_pa for h in heads])
        zones = sweep.zones_at(at, load)
        return ValveOperation(
            refrigerant=refrigerant.name,
            safety_group=self.system.catalogue.records[refrigerant.name].safety_group,
            application=self.application.name,
            title=self.application.title,
            temperature_range=self.application.temperature_range,
            suction_response=system.response.value,
            capacity_step=system.capacity_step,
            confidence=self.solved.scattered.confidence.level if self.solved.scattered else None,
            site_pressure_pa=self.application.site_pressure_pa,
            load_w=case.load_w,
            moved_heads=self.moved,
            conditions=system.conditions,
            distributor_pa=system.losses.distributor_pa,
            dew_pressure_pa=float(refrigerant.dew(te).pressure_pa[0]),
            static_superheat_k=self.static_superheat(self.element),
            valve=own,
            heads=tuple(replace(h, zone=zone) for h, zone in zip(heads, zones, strict=True)),
            passed=tuple((sweep.limits_at(at).max_load_w / load).tolist()),
            max_superheat_k=self.member.smallest_maximum_k(0),
            zones=sweep.zones(load),
            min_w=minimum * kv,
            max_w=maximum * kv,
            liquid=liquid_needs([self.member]),
            has_receiver=system.has_receiver,
        )

    def static_superheat(self, element: PowerElement) -> float:
        """Superheat at which the valve just opens here with a power element [K]; NaN for a drive and off the curve."""
        if not isinstance(element.actuator, ThermostaticActuator):
            return float("nan")
        te = self.member.rated.evaporating_temperature_k
        return float(static_superheat(element.actuator.balance, self.member.refrigerant, te)[0])

    def covering(self) -> tuple[Candidate, ...]:
        """Sizes of the family that cover the load at every head with this power element, largest margin first.

        With a stock sheet those in stock come before all others.
        """
        found, sweeps = [], {self.valve: self.sweep}
        for size, candidate in zip(
            self.family.sizes, candidates_of(self.solved, self.family, self.element), strict=True
        ):
            if candidate.verdict != "fits":
                continue
            valve = self._valve(size)
            if valve not in sweeps:
                sweeps[valve] = HeadLimits(self.member, valve, law_of(self.family))
            minimum, maximum = sweeps[valve].narrowed(self.narrowing(size)).range_w()
            if minimum <= self.system.case.load_w / size.kv_rated_m3h <= maximum:
                found.append(candidate)
        return best_first(found, StockRule.of(self.system.catalogue))

    def lowest_setting(self) -> float | None:
        """The lowest setting of the low head [Pa], up to the rating point's, from which on the load is covered.

        The liquid at the low head stays as the application states it.  None where the load is covered without, or where
        no such setting covers it at every head.
        """
        moved, load = self, self.system.case.load_w / self.size.kv_rated_m3h
        share = self.narrowing(self.size)[1]
        for _ in range(_SETTING_ROUNDS):
            found = min_setting(self.member, self.valve, law_of(self.family), load / share) if share > 0.0 else None
            if found is None:
                return None
            moved = self._with_low_head(found)
            before, share = share, moved.narrowing(self.size)[1]
            # Nominal limits are found at once; one at a confidence is another share of them at another setting.
            if abs(share / before - 1.0) < TIE:
                break
        return found if moved.operation().covers else None

    def _with_low_head(self, head_pa: float) -> InstalledValve:
        """The same with another setting of the low head."""
        name = self.member.refrigerant.name
        own = self.application.systems[name]
        own_inputs = replace(own, low_head=replace(own.low_head, head=Head(pressure_pa=head_pa)))
        application = replace(self.application, systems={**self.application.systems, name: own_inputs})
        catalogue = self.system.catalogue
        applications = {**catalogue.applications, application.name: application}
        # Every head stays as it is now, also one that was moved for a refrigerant of no group.
        system = System(replace(catalogue, applications=applications), self.system.case, frozenset(OperatingCondition))
        return InstalledValve(system, self.family, self.size, self.element)

    def curve(self) -> pd.DataFrame:
        """The balance of system and valve against head pressure, with the limits of the tables."""
        family, load_w = self.family.with_design_of(self.size.name), self.system.case.load_w
        curve = balance_curve(Example.alone(family, self.size, self.member, self.valve, load_w))
        for column, share in zip(("valve_min_w", "valve_max_w"), self.narrowing(self.size), strict=True):
            curve[column] *= share
        return curve


def _at_own_heads(system: System) -> tuple[Application, tuple[str, ...]]:
    """The application of a system, and the heads that were moved for a refrigerant that it has no table for."""
    catalogue, case = system.catalogue, system.case
    if case.refrigerant not in catalogue.refrigerants:
        raise RequestError(unknown("a refrigerant", case.refrigerant, catalogue.refrigerants))
    if case.application not in catalogue.applications:
        raise RequestError(unknown("an application", case.application, catalogue.applications))
    application = catalogue.applications[case.application]
    computed = catalogue.refrigerants_in(case.application)
    if case.refrigerant in computed:
        return application, ()
    refrigerant = catalogue.refrigerants[case.refrigerant]
    moved = at_equal_condensing(
        application, refrigerant, [catalogue.refrigerants[name] for name in computed], system.kept_heads
    )
    pairs = zip(
        application.systems[case.refrigerant].conditions, moved.systems[case.refrigerant].conditions, strict=True
    )
    return moved, tuple(new.condition.value for old, new in pairs if old.head != new.head)


def _refuse(member: Solved) -> None:
    """Refuse conditions of which nothing can be computed, before they are taken for a verdict on the valve."""
    refrigerant, application = member.refrigerant, member.application
    for item in member.states:
        if item.reason[0] not in (Reason.COMPRESSOR_MAP, Reason.PROPERTY_RANGE):
            continue
        condition = terms.condition(item.condition)
        if item.reason[0] == Reason.COMPRESSOR_MAP:
            message = wording.OUTSIDE_COMPRESSOR_DATA
            raise RequestError(message(refrigerant=refrigerant.name, condition=condition, application=application.name))
        sst = both_scales(float(application.sst_k[0]))
        raise RequestError(wording.NO_PROPERTIES(refrigerant=refrigerant.name, condition=condition, sst=sst))
