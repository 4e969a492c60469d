"""Box temperature in place of SST: SST = box temperature − coil temperature difference (TD).

A coil is rated at a TD, and a box is known by its temperature; the SST, to which every table is made, follows from both.
The TD is the one that is given with the case, else the one that the application states.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

from tablegen.errors import RequestError, both_scales, both_steps, unknown
from tablegen.model.coil_difference import coil_difference_of, is_same_difference, replaced_difference
from tablegen.model.inputs import Application, Catalogue
from tablegen.model.offer import application_for, covers, offered_in, range_text, why_no_valve
from tablegen.physics.arrays import Floats
from tablegen.physics.system import SuctionResponse
from tablegen.wording import box_temperature as wording
from tablegen.wording import input_errors
from tablegen.wording.message import listed

Kelvin = TypeVar("Kelvin", float, Floats)


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedSst:
    """What a case states of its suction temperature [K]: the SST, or a box temperature, perhaps with a TD."""

    sst_k: float | None = None
    box_k: float | None = None
    coil_difference_k: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxTemperature:
    """The box of a case: its temperature [K] and the TD [K] between it and the SST.

    `is_asked` says that the SST follows from the box, and not the box from the SST; `is_default` that the TD is the
    one that the application states.  `replaced_k` [K] is the application's own TD, where limits are for this one instead.
    """

    box_k: float
    coil_difference_k: float
    is_asked: bool
    is_default: bool
    replaced_k: float | None = None

    @property
    def is_replacing(self) -> bool:
        """Whether the limits of the case are for its own TD, so that no printed table has them."""
        return self.replaced_k is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseSst:
    """The application that a case is answered in, its SST [K] and its box; None where no TD is stated."""

    application: str
    sst_k: float
    box: BoxTemperature | None


def sst_of_box(box_k: Kelvin, coil_difference_k: Kelvin) -> Kelvin:
    """The SST [K] of boxes [K] at a TD [K]; floats, or arrays of one shape, in which NaN stays NaN.

    >>> round(sst_of_box((35.0 + 459.67) / 1.8, 10.0 / 1.8) * 1.8 - 459.67, 9)
    25.0
    """
    return box_k - coil_difference_k


def balanced_difference(application: Application) -> float | None:
    """The TD [K] that the balance of evaporator and compressor is computed with; None where SST is constant."""
    system = next(iter(application.systems.values()), None)
    if system is None or system.response is SuctionResponse.CONSTANT:
        return None
    return system.box_difference_k


def case_sst(catalogue: Catalogue, name: str, asked: AskedSst, application: str | None) -> CaseSst:
    """The SST of a case on a refrigerant or group, in its application; without one the only one that covers it.

    It does not see to it that the application covers the SST where one is named (`check_covered` does).

    Raises
    ------
    RequestError
        If the application is not in the catalogue, neither it nor the case states a TD, the TD contradicts the balance
        that the application is computed with, or, without an application, none or several cover the case.
    """
    if application is None:
        application = _application(catalogue, name, asked)
    elif application not in catalogue.applications:
        raise RequestError(unknown(input_errors.AN_APPLICATION(), application, catalogue.applications))
    own = catalogue.applications[application]
    given_k, stated_k = asked.coil_difference_k, coil_difference_of(own)
    if asked.box_k is None:
        assert asked.sst_k is not None, "a case has an SST or a box temperature"
        box = None
        if stated_k is not None:
            box = BoxTemperature(
                box_k=asked.sst_k + stated_k, coil_difference_k=stated_k, is_asked=False, is_default=True
            )
        return CaseSst(application=application, sst_k=asked.sst_k, box=box)
    if given_k is not None:
        _refuse_other_balance(own, given_k)
    difference_k = stated_k if given_k is None else given_k
    if difference_k is None:
        raise RequestError(wording.NO_DIFFERENCE(application=application))
    box = BoxTemperature(
        box_k=asked.box_k,
        coil_difference_k=difference_k,
        is_asked=True,
        is_default=given_k is None,
        replaced_k=replaced_difference(catalogue, application, given_k),
    )
    return CaseSst(application=application, sst_k=sst_of_box(asked.box_k, difference_k), box=box)


def _refuse_other_balance(application: Application, given_k: float) -> None:
    balanced_k = balanced_difference(application)
    if balanced_k is not None and not is_same_difference(given_k, balanced_k):
        raise RequestError(
            wording.OTHER_BALANCE(
                given=both_steps(given_k), application=application.name, balanced=both_steps(balanced_k)
            )
        )


def _application(catalogue: Catalogue, name: str, asked: AskedSst) -> str:
    """The only application that covers a case; of a box without a TD each application has its own SST."""
    if asked.sst_k is not None:
        return application_for(catalogue, name, asked.sst_k)
    assert asked.box_k is not None, "a case has an SST or a box temperature"
    if asked.coil_difference_k is not None:
        return application_for(catalogue, name, sst_of_box(asked.box_k, asked.coil_difference_k))
    return _application_at_box(catalogue, name, asked.box_k)


def _application_at_box(catalogue: Catalogue, name: str, box_k: float) -> str:
    """As `application_for`, with the SST that each application's own TD gives.

    One that states no TD counts where it covers an SST that another one gives: nothing says that it is not meant.
    """
    offered = [catalogue.applications[own] for own in offered_in(catalogue, name)]
    at = {own.name: _own_sst(own, box_k) for own in offered}
    found = {sst_k for own in offered if (sst_k := at[own.name]) is not None and covers(own, sst_k)}
    covering = [
        own.name for own in offered if any(covers(own, sst_k) for sst_k in found if at[own.name] in (None, sst_k))
    ]
    box = both_scales(box_k)
    if len(covering) == 1:
        return covering[0]
    if covering:
        raise RequestError(wording.SEVERAL_APPLICATIONS(box=box, refrigerant=name, applications=", ".join(covering)))
    details = "; ".join(_details(catalogue, name, at, box_k))
    raise RequestError(wording.NO_APPLICATION(refrigerant=name, box=box, details=details))


def _own_sst(application: Application, box_k: float) -> float | None:
    difference_k = coil_difference_of(application)
    return None if difference_k is None else sst_of_box(box_k, difference_k)


def _details(catalogue: Catalogue, name: str, at: Mapping[str, float | None], box_k: float) -> Iterator[str]:
    """Why no application covers a box: the SST `at` each that is offered, and what it covers."""
    alike: dict[tuple[float, str], list[str]] = {}
    without: list[str] = []
    for own_name, sst_k in at.items():
        if sst_k is None:
            without.append(own_name)
        else:
            alike.setdefault((sst_k, range_text(catalogue.applications[own_name])), []).append(own_name)
    for (sst_k, covered), names in alike.items():
        yield wording.SST_OUTSIDE(applications=listed(names), range=covered, sst=both_scales(sst_k))
    if without:
        yield wording.WITHOUT_DIFFERENCE(len(without), applications=listed(without))
    for own in catalogue.applications.values():
        sst_k = _own_sst(own, box_k)
        if own.name not in at and sst_k is not None and covers(own, sst_k):
            yield why_no_valve(catalogue, name, own.name)
