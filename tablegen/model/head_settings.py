"""What a head setting means for each refrigerant: the rules for a catalogue, a case and a retrofit.

A head given in pressure is another condensing temperature for each refrigerant.  One setting for several must
therefore mean about the condensing temperature of the first of them, and a refrigerant outside the catalogue's groups
is taken at that temperature.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tablegen.errors import both_scales
from tablegen.model.inputs import Application, Catalogue
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import Basis, Head, OperatingCondition, SystemInputs
from tablegen.wording import offers as wording
from tablegen.wording.input_errors import GAUGE_PRESSURE

# From the first refrigerant under one gauge setting: R407C condenses 4 degF warmer than R404A at the settings usual
# for floating heads and shares them in the field (common practice); R290 and R134a, some 12 and 35 degF apart, do not.
ALLOWED_DIFFERENCE_K = 5.0 / 1.8
_MAX_LISTED = 8
# A head that cannot be computed is nearer to the critical point than this, or at the cold end.
_CRITICAL_REACH_K = 40.0
_PSI_PA = 6894.757


@dataclass(frozen=True, slots=True)
class HeadFault:
    """What is wrong with a head: its condition, the refrigerant whose own it is ("" where several share it), why."""

    condition: OperatingCondition
    refrigerant: str
    text: str
    hint: str = ""


def head_faults(
    application: Application,
    refrigerants: Sequence[Refrigerant],
    show: Callable[[OperatingCondition, float], str] | None = None,
    is_level_allowed: bool = False,
) -> Iterator[HeadFault]:
    """Every head of an application that cannot be computed, is out of order or differs between refrigerants.

    Parameters
    ----------
    application : Application
    refrigerants : sequence of Refrigerant
        Those that are computed in it; a shared setting is compared with its meaning for the first that has it.
    show : callable, optional
        A pressure [Pa, absolute] of a condition in words; as psi and kPa gauge without it.
    is_level_allowed : bool
        Whether the low head may be as high as the rating point.
    """
    for condition in OperatingCondition:
        yield from _not_computable(application, refrigerants, condition)
        yield from _apart(application, refrigerants, condition, show or _in_both(application.site_pressure_pa))
    for refrigerant in refrigerants:
        yield from _out_of_order(application, refrigerant, is_level_allowed)


def _not_computable(
    application: Application, refrigerants: Sequence[Refrigerant], condition: OperatingCondition
) -> Iterator[HeadFault]:
    beyond: dict[tuple[str, bool], list[Refrigerant]] = {}
    for refrigerant in refrigerants:
        if not refrigerant.coldest_k <= _bubble_k(application, refrigerant, condition) <= refrigerant.warmest_k:
            owner = refrigerant.name if (refrigerant.name, condition) in application.own_heads else ""
            is_cold = _is_cold(_head(application.systems[refrigerant.name], condition), refrigerant)
            beyond.setdefault((owner, is_cold), []).append(refrigerant)
    for (owner, is_cold), found in beyond.items():
        if is_cold:
            limits = [wording.LIMIT_WITH(temperature=both_scales(r.coldest_k), refrigerant=r.name) for r in found]
            text = wording.TOO_COLD(limits=_listed(limits))
        else:
            limits = [wording.LIMIT_WITH(temperature=both_scales(r.warmest_k), refrigerant=r.name) for r in found]
            text = wording.TOO_WARM(limits=_listed(limits))
        yield HeadFault(condition, owner, text)


def _apart(
    application: Application,
    refrigerants: Sequence[Refrigerant],
    condition: OperatingCondition,
    show: Callable[[OperatingCondition, float], str],
) -> Iterator[HeadFault]:
    sharing = [r for r in refrigerants if (r.name, condition) not in application.own_heads]
    shared = [(r, _bubble_k(application, r, condition)) for r in sharing]
    shared = [(r, t) for r, t in shared if np.isfinite(t)]
    if len(shared) < 2 or _head(application.systems[shared[0][0].name], condition).pressure_pa is None:
        return
    first, reference_k = shared[0]
    at_reference = Head(condensing_temperature_k=reference_k, basis=Basis.BUBBLE)
    apart = [
        wording.OTHER_TEMPERATURE(
            temperature=both_scales(t), refrigerant=r.name, pressure=show(condition, at_reference.pressure(r))
        )
        for r, t in shared
        if abs(t - reference_k) > ALLOWED_DIFFERENCE_K
    ]
    if apart:
        yield HeadFault(
            condition,
            "",
            wording.TOO_FAR_APART(
                temperature=both_scales(reference_k),
                refrigerant=first.name,
                others=_listed(apart),
                allowed=f"{ALLOWED_DIFFERENCE_K * 1.8:g}",
            ),
            wording.GIVE_OWN_SETTINGS(),
        )


def _out_of_order(application: Application, refrigerant: Refrigerant, is_level_allowed: bool) -> Iterator[HeadFault]:
    low, rating, high = (_bubble_k(application, refrigerant, condition) for condition in OperatingCondition)
    # A receiver may be held at one pressure.
    is_level_allowed |= application.systems[refrigerant.name].has_receiver
    is_low = low > rating if is_level_allowed else low >= rating
    for condition, temperature, is_wrong, message in (
        (OperatingCondition.LOW_HEAD, low, is_low, wording.NOT_BELOW_RATING),
        (OperatingCondition.HIGH_HEAD, high, high < rating, wording.NOT_ABOVE_RATING),
    ):
        if is_wrong:
            owner = refrigerant.name if (refrigerant.name, condition) in application.own_heads else ""
            text = message(
                temperature=both_scales(temperature), refrigerant=refrigerant.name, rating=both_scales(rating)
            )
            yield HeadFault(condition, owner, text)


def heads_below_evaporator(application: Application, refrigerants: Sequence[Refrigerant]) -> Iterator[HeadFault]:
    """Every head of an application that leaves a valve no pressure at the warmest SST.

    Parameters
    ----------
    application : Application
    refrigerants : sequence of Refrigerant
        Those that are computed in it.
    """
    show = _in_both(application.site_pressure_pa)
    sst_k = float(np.max(application.sst_k))
    for refrigerant in refrigerants:
        system = application.systems[refrigerant.name]
        evaporating_k = sst_k + (system.suction_loss_k if system.sst_at_compressor else 0.0)
        evaporator_pa = float(refrigerant.dew(np.asarray(evaporating_k)).pressure_pa)
        for condition in OperatingCondition:
            if _head(system, condition).pressure(refrigerant) <= evaporator_pa:
                owner = refrigerant.name if (refrigerant.name, condition) in application.own_heads else ""
                text = wording.NOT_ABOVE_EVAPORATOR(
                    pressure=show(condition, evaporator_pa), refrigerant=refrigerant.name, sst=both_scales(sst_k)
                )
                yield HeadFault(condition, owner, text)


@dataclass(frozen=True, slots=True, kw_only=True)
class OverPressure:
    """A family whose highest working pressure [Pa, gauge] every member of a group exceeds at a head of an application."""

    family: str
    group: str
    application: str
    condition: OperatingCondition
    head_gauge_pa: float
    refrigerant: str


def over_working_pressure(catalogue: Catalogue) -> Iterator[OverPressure]:
    """Combinations that no window can open in, for the head pressure is above the valve's working pressure.

    The figure is that of the member with the minimum head pressure.
    """
    for c in catalogue.combinations:
        application = catalogue.applications[c.application]
        for condition in OperatingCondition:
            heads = {
                name: _head(application.systems[name], condition).pressure(catalogue.refrigerants[name])
                for name in catalogue.groups[c.group].members
            }
            name, minimum = min(heads.items(), key=lambda item: item[1])
            gauge = minimum - application.site_pressure_pa
            if gauge > max(own.working_pressure_gauge_pa for own in catalogue.families[c.family].by_design()):
                yield OverPressure(
                    family=c.family,
                    group=c.group,
                    application=c.application,
                    condition=condition,
                    head_gauge_pa=gauge,
                    refrigerant=name,
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class FarSetting:
    """A pressure setting that is meant for another refrigerant: what it means for both [K], and what it should be [Pa, absolute]."""

    condition: OperatingCondition
    pressure_pa: float
    condensing_k: float
    reference: str
    reference_k: float
    needed_pa: float


def far_settings(
    application: Application, refrigerant: Refrigerant, computed: Sequence[Refrigerant], kept: Collection[str] = ()
) -> Iterator[FarSetting]:
    """Settings under which a refrigerant condenses far from the first of `computed` that shares them, as `head_faults` has it.

    Conditions named in `kept` are meant for the refrigerant.
    """
    for condition in OperatingCondition:
        head = _head(application.systems[refrigerant.name], condition)
        sharing = (own for own in computed if (own.name, condition) not in application.own_heads)
        reference = next((own for own in sharing if own.name != refrigerant.name), None)
        is_own = (refrigerant.name, condition) in application.own_heads
        if head.pressure_pa is None or reference is None or is_own or condition.value in kept:
            continue
        own_k, reference_k = (_bubble_k(application, each, condition) for each in (refrigerant, reference))
        if abs(own_k - reference_k) > ALLOWED_DIFFERENCE_K:
            yield FarSetting(
                condition=condition,
                pressure_pa=head.pressure(refrigerant),
                condensing_k=own_k,
                reference=reference.name,
                reference_k=reference_k,
                needed_pa=Head(condensing_temperature_k=reference_k, basis=Basis.BUBBLE).pressure(refrigerant),
            )


def at_equal_condensing(
    application: Application,
    refrigerant: Refrigerant,
    computed: Sequence[Refrigerant],
    kept: Collection[str] = (),
) -> Application:
    """The application with the pressure settings of a refrigerant moved to the condensing temperatures of others.

    A setting in pressure means another temperature for each refrigerant; one that no table is printed for has none of
    its own.  It is taken at the bubble temperature that the setting means for the first of `computed` that shares it.
    A head that the application gives for the refrigerant alone stays, and so do the conditions named in `kept`.
    """
    own = application.systems[refrigerant.name]
    heads = {}
    for condition in OperatingCondition:
        stated = getattr(own, condition.value)
        reference = next((r for r in computed if (r.name, condition) not in application.own_heads), None)
        is_own = (refrigerant.name, condition) in application.own_heads or condition.value in kept
        if stated.head.pressure_pa is not None and not is_own and reference is not None:
            temperature = _bubble_k(application, reference, condition)
            head = Head(condensing_temperature_k=temperature, basis=Basis.BUBBLE)
            heads[condition.value] = replace(stated, head=head)
    moved = replace(own, **heads)
    return replace(application, systems={**application.systems, refrigerant.name: moved})


def _head(system: SystemInputs, condition: OperatingCondition) -> Head:
    head: Head = getattr(system, condition.value).head
    return head


def _is_cold(head: Head, refrigerant: Refrigerant) -> bool:
    """Whether a head that cannot be computed lies at the cold end."""
    if head.condensing_temperature_k is not None:
        return head.condensing_temperature_k < refrigerant.critical_temperature_k - _CRITICAL_REACH_K
    return head.pressure(refrigerant) < 0.5 * refrigerant.critical_pressure_pa


def _bubble_k(application: Application, refrigerant: Refrigerant, condition: OperatingCondition) -> float:
    """The bubble temperature [K] of a head; NaN above the critical point."""
    return _head(application.systems[refrigerant.name], condition).bubble_temperature(refrigerant)


def _in_both(site_pressure_pa: float) -> Callable[[OperatingCondition, float], str]:
    def show(_: OperatingCondition, pressure_pa: float) -> str:
        gauge = pressure_pa - site_pressure_pa
        return GAUGE_PRESSURE(psi=f"{gauge / _PSI_PA:.1f}", kilopascal=f"{gauge / 1e3:.0f}")

    return show


def _listed(texts: Sequence[str]) -> str:
    names, more = ", ".join(texts[:_MAX_LISTED]), len(texts) - _MAX_LISTED
    return wording.AND_MORE(names=names, count=more) if more > 0 else names
