"""An existing valve on a new system: does it cover the load, at which head pressures not, and what changes.

Bulb charge, spring and gradient stay as they were set, whatever refrigerant follows, unless the spring is set otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import pandas as pd

from tablegen.answers.existing_valve import InstalledValve, System, ValveOperation
from tablegen.answers.pick import Candidate
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Family, PowerElement, Size
from tablegen.model.names import family_of, size_of
from tablegen.model.offer import Rules, offered_families, refuse_unapproved
from tablegen.model.spring_setting import AskedSetting, SpringSetting, set_spring
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.operating import Zone
from tablegen.wording import offers, terms
from tablegen.wording import retrofit as wording


@dataclass(frozen=True, slots=True)
class Fitted:
    """The existing valve by its names: family, size, and the bulb charge or drive in it.

    Without a charge it is the one that the family offers for the refrigerant and the application it was bought for;
    without `asked` its spring stays as the factory set it.
    """

    family: str
    size: str
    charge: str | None = None
    asked: AskedSetting | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ExistingValve:
    """What stays: Kv at rated stroke [m3/h], charge with its factory setting, spring and gradient [Pa].

    `refrigerants` and `temperature_ranges` are those that the charge is meant for (empty: all), `min_static_superheat_k`
    its floor [K]; of a drive spring, gradient, setting and floor are None.  `setting` is what has been set otherwise.
    """

    family: str
    size: str
    kv_rated_m3h: float
    charge: str
    charge_title: str
    refrigerants: tuple[str, ...]
    temperature_ranges: tuple[str, ...]
    setting_refrigerant: str
    set_static_superheat_k: float | None
    min_static_superheat_k: float | None
    spring_pa: float | None
    gradient_pa: float | None
    is_internally_equalized: bool
    setting: SpringSetting | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Retrofit:
    """The answer: the valve, what it did before (None if nothing is known of that) and what it does now.

    Attributes
    ----------
    lowest_setting_pa : float or None
        The lowest setting of the low head [Pa] with which it covers the load, where it starves or cannot operate below; see
        `InstalledValve.lowest_setting`.
    same_charge : tuple of Candidate
        Sizes of the family that cover the load with the charge of the existing valve, largest margin first.
    offered_charge : str
        The charge that the family offers for the new system; empty where it offers none.
    other_charge : tuple of Candidate
        Sizes that cover it with that one, where it is another.
    is_listed : bool
        Whether the catalogue has the new refrigerant in a group; if not it offers no other size and no charge for it.
    old_refusal : str
        Why the catalogue does not offer the valve for the old system today, as a sentence; empty where it does.
    factory_superheat_k : float
        Static superheat in the new system with the factory setting [K]; NaN for a drive and off the charge's curve.
    """

    fitted: ExistingValve
    sst_k: float
    before: ValveOperation | None
    after: ValveOperation
    lowest_setting_pa: float | None
    same_charge: tuple[Candidate, ...]
    offered_charge: str
    other_charge: tuple[Candidate, ...]
    is_listed: bool = True
    old_refusal: str = ""
    factory_superheat_k: float = float("nan")


def retrofit(fitted: Fitted, new: System, old: System | None = None) -> tuple[Retrofit, pd.DataFrame]:
    """Check an existing valve on a new system; the second part is the balance of both against head pressure.

    Without an old system the charge is that which the family offers for the new one.

    Raises
    ------
    RequestError
        If a name is not in the catalogue, the family is not offered in the new system or not approved for its
        refrigerant, no charge is offered for what the valve was bought for, or a condition cannot be computed (above
        the critical point, off a compressor's map).
    """
    family, size = _named(new, fitted)
    element = family.with_design_of(size.name).fitted_like(_element(family, fitted, (old or new)))
    before = None if old is None else InstalledValve(old, family, size, element).operation()
    setting = None
    if fitted.asked is not None:
        on = new.catalogue.settings.get(element.setting_refrigerant)
        setting = set_spring(element, on, fitted.asked, family.display_name)
    factory = InstalledValve(new, family, size, element)
    work = factory
    if setting is not None:
        work = InstalledValve(new, family.refitted(size.name, setting.element), size, setting.element)
    after = work.operation()
    lowest = None
    if any(zone.zone in (Zone.STARVED, Zone.NOT_WORKING) for zone in after.zones):
        lowest = work.lowest_setting()
    # A refrigerant in no group is in no table: the valve in place is judged, and nothing else is offered for it.
    is_listed = bool(Rules.of(new.catalogue).groups_of(new.case.refrigerant))
    offered = family.element_for(new.case.refrigerant, after.temperature_range) if is_listed else None
    others: tuple[Candidate, ...] = ()
    if offered is not None and offered.name != element.name:
        others = InstalledValve(new, family, size, offered).covering()
    answer = Retrofit(
        fitted=replace(_existing(family, size, element), setting=setting),
        sst_k=new.case.sst_k,
        before=before,
        after=after,
        lowest_setting_pa=lowest,
        # Another size comes as the factory sets it.
        same_charge=factory.covering() if is_listed else (),
        offered_charge="" if offered is None else offered.name,
        other_charge=others,
        is_listed=is_listed,
        old_refusal="" if old is None else _old_refusal(old, family),
        factory_superheat_k=work.static_superheat(element),
    )
    return answer, work.curve()


def _old_refusal(old: System, family: Family) -> str:
    """Why the catalogue does not offer a family for the system that the valve was bought for; empty where it does."""
    return Rules.of(old.catalogue).offer(old.case.refrigerant, old.case.application).why_not(family.name)


def _named(new: System, fitted: Fitted) -> tuple[Family, Size]:
    """The existing valve, if its family may be used in the new system at all."""
    catalogue, case = new.catalogue, new.case
    family = family_of(catalogue.families, fitted.family)
    if case.refrigerant not in catalogue.refrigerants:
        raise RequestError(unknown("a refrigerant", case.refrigerant, catalogue.refrigerants))
    refuse_unapproved(catalogue, family, case.refrigerant)
    # A refrigerant in no group is in no table: nothing but the approval speaks of it.
    if Rules.of(catalogue).groups_of(case.refrigerant):
        offered_families(catalogue, case.refrigerant, case.application, fitted.family)
    return family, size_of(family, fitted.size)


def _element(family: Family, fitted: Fitted, bought_for: System) -> PowerElement:
    """The charge or drive of the existing valve."""
    elements = {element.name: element for element in family.elements}
    if fitted.charge is not None:
        if fitted.charge not in elements:
            raise RequestError(unknown(offers.A_CHARGE_OF(family=family.display_name), fitted.charge, elements))
        return elements[fitted.charge]
    case = bought_for.case
    if case.application not in bought_for.catalogue.applications:
        raise RequestError(unknown("an application", case.application, bought_for.catalogue.applications))
    temperature_range = bought_for.catalogue.applications[case.application].temperature_range
    found = family.element_for(case.refrigerant, temperature_range)
    if found is None:
        raise RequestError(
            wording.NO_CHARGE_OFFERED(
                family=family.display_name,
                refrigerant=case.refrigerant,
                range=terms.TEMPERATURE_RANGES[temperature_range](),
                charges=", ".join(elements),
            )
        )
    return found


def _existing(family: Family, size: Size, element: PowerElement) -> ExistingValve:
    actuator = element.actuator if isinstance(element.actuator, ThermostaticActuator) else None
    return ExistingValve(
        family=family.name,
        size=size.name,
        kv_rated_m3h=size.kv_rated_m3h,
        charge=element.name,
        charge_title=element.title,
        refrigerants=element.refrigerants,
        temperature_ranges=element.temperature_ranges,
        setting_refrigerant=element.setting_refrigerant,
        set_static_superheat_k=element.setting.static_superheat_k if element.setting else None,
        min_static_superheat_k=element.min_static_superheat_k,
        spring_pa=actuator.balance.spring_pa if actuator else None,
        gradient_pa=actuator.balance.gradient_pa if actuator else None,
        is_internally_equalized=actuator is not None and actuator.is_internally_equalized,
    )
