"""Limits that depend on the coil temperature difference (TD): the TD of a case is then the TD of its limits.

The maximum superheat may be a share of the TD, or follow from the capacity that a coil loses at that TD: a smaller TD
then lowers the maximum load. Every answer asks here, so that a TD that comes with a case counts as one in the
application's file does.
"""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum

from tablegen.errors import RequestError, both_steps
from tablegen.model.inputs import Application, Catalogue
from tablegen.physics.system import MaximumRule, Stability, SuctionResponse, SystemInputs
from tablegen.wording import box_temperature as wording

# Differences that went through another unit [K].
_NEAR_K = 1e-6


def stated_difference(application: Application) -> float | None:
    """The TD [K] that the coil of an application is rated at; None where it states none, as one without refrigerants."""
    return next((own.box_difference_k for own in application.systems.values()), None)


def coil_difference_of(application: Application) -> float | None:
    """The TD [K] between a box and its SST in an application; None where it states none."""
    return application.coil_temperature_difference_k or stated_difference(application)


def is_same_difference(one_k: float, other_k: float) -> bool:
    """Whether two TDs [K] are the same, though one went through another unit."""
    return abs(one_k - other_k) <= _NEAR_K


class DifferenceEffect(StrEnum):
    """What another TD changes.

    With `MAXIMUM` a larger TD lowers no maximum load and changes no minimum load; with `ALL` minimum loads change too,
    in either direction: they follow from the loop of valve and coil, or the SST follows the box.
    """

    NOTHING = "nothing"
    MAXIMUM = "maximum"
    ALL = "all"


def difference_effect(catalogue: Catalogue, name: str) -> DifferenceEffect:
    """What another TD changes in the limits of an application.

    Parameters
    ----------
    catalogue : Catalogue
    name : str
        The application.

    Returns
    -------
    DifferenceEffect
    """
    systems = catalogue.applications[name].systems.values()
    families = {c.family for c in catalogue.combinations if c.application == name}
    methods = {own.superheat.stability.method for own in systems}
    methods |= {
        element.actuator.stability
        for family in families
        for element in catalogue.families[family].elements
        if element.actuator.stability is not None
    }
    if Stability.LOOP in methods or any(own.response is not SuctionResponse.CONSTANT for own in systems):
        return DifferenceEffect.ALL
    is_of_coil = any(own.superheat.max_rule is not MaximumRule.STATED for own in systems)
    return DifferenceEffect.MAXIMUM if is_of_coil else DifferenceEffect.NOTHING


def replaced_difference(catalogue: Catalogue, name: str, difference_k: float | None) -> float | None:
    """The application's own TD [K], where limits change with the TD of a case; None where they do not.

    Parameters
    ----------
    catalogue : Catalogue
    name : str
        The application.
    difference_k : float or None
        The TD of the case [K]; None where it has none.

    Returns
    -------
    float or None
    """
    stated_k = stated_difference(catalogue.applications[name])
    if difference_k is None or stated_k is None or is_same_difference(difference_k, stated_k):
        return None
    return None if difference_effect(catalogue, name) is DifferenceEffect.NOTHING else stated_k


def at_difference(catalogue: Catalogue, refrigerant: str, name: str, difference_k: float | None) -> Catalogue:
    """A catalogue in which an application is that of a case's TD, as if its file stated it; the same if limits do not change.

    Parameters
    ----------
    catalogue : Catalogue
    refrigerant : str
        The refrigerant or group of the case, which must have limits at that TD.
    name : str
        The application.
    difference_k : float or None
        The TD of the case [K]; None where it has none.

    Returns
    -------
    Catalogue

    Raises
    ------
    RequestError
        If the maximum superheat at that TD is no higher than the minimum stable superheat, or that TD is not above
        the useful superheat.
    """
    if difference_k is None or replaced_difference(catalogue, name, difference_k) is None:
        return catalogue
    own = catalogue.applications[name]
    systems = {key: replace(system, box_difference_k=difference_k) for key, system in own.systems.items()}
    members = catalogue.groups[refrigerant].members if refrigerant in catalogue.groups else (refrigerant,)
    for member in members:
        if member in systems:
            _check(systems[member], own, difference_k)
    stated_k = None if own.coil_temperature_difference_k is None else difference_k
    changed = replace(own, systems=systems, coil_temperature_difference_k=stated_k)
    return replace(catalogue, applications={**catalogue.applications, name: changed})


def _check(system: SystemInputs, application: Application, difference_k: float) -> None:
    """What a file with that TD would be refused for."""
    limits = system.superheat
    constant, *by_load = limits.min_k
    if limits.max_rule is not MaximumRule.STATED and not any(by_load) and constant >= system.most_superheat_k:
        raise RequestError(
            wording.DIFFERENCE_TOO_SMALL(
                difference=both_steps(difference_k),
                application=application.name,
                maximum=both_steps(system.most_superheat_k),
                minimum=both_steps(constant),
            )
        )
    if limits.useful_k >= difference_k:
        raise RequestError(
            wording.DIFFERENCE_BELOW_USEFUL(
                difference=both_steps(difference_k), application=application.name, useful=both_steps(limits.useful_k)
            )
        )
