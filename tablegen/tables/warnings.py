"""Warnings of a data set, each with the table that it is about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import pandas as pd

from tablegen.errors import both_scales, both_steps
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import CounterChart, ShelfLabels
from tablegen.model.solving import Solved
from tablegen.physics.conditions import solve_rating
from tablegen.physics.system import OperatingCondition
from tablegen.sweep.group_cost import COST_SHARE
from tablegen.sweep.groups import NARROW_SHARE, GroupSimilarity
from tablegen.wording import command_line as wording
from tablegen.wording import terms

# An unbalanced port may use up this share of the superheat between minimum stable and maximum, no more.
PORT_SHARE = 0.2

# More superheat than this share of the difference between box and SST takes a coil that is much larger than usual: 0.65
# is common practice.
NEAR_BOX_SHARE = 0.8
# Figures that went through another unit.
_SLACK = 1e-9


class WarningSubject(StrEnum):
    """What a warning is about."""

    HEAD_ORDER = "head_order"
    NARROW_GROUP = "narrow_group"
    GROUP_COST = "group_cost"
    PORT_SWING = "port_swing"
    NEAR_BOX = "near_box"
    COLD_LIQUID = "cold_liquid"
    EMPTY_WINDOWS = "empty_windows"
    NOT_IN_STOCK = "not_in_stock"


@dataclass(frozen=True, slots=True, kw_only=True)
class DataSetWarning:
    """One warning: its subject, what is wrong, and the table that it is about; an empty name means all."""

    subject: WarningSubject
    detail: str
    family: str = ""
    group: str = ""
    application: str = ""
    refrigerant: str = ""

    @property
    def text(self) -> str:
        """The warning as a line that begins with the table's names."""
        names = (self.family, self.group, self.application, self.refrigerant)
        return wording.WARNING(place=", ".join(filter(None, names)), warning=self.detail)


def warnings_of(
    catalogue: Catalogue,
    windows: pd.DataFrame,
    grouped: pd.DataFrame,
    groups: Sequence[GroupSimilarity],
    solved_by: Mapping[tuple[str, str], Solved],
) -> list[DataSetWarning]:
    """Every warning of a data set, in the order of its manifest.

    Parameters
    ----------
    catalogue : Catalogue
    windows, grouped : DataFrame
        The frames `windows` and `group_windows`.
    groups : sequence of GroupSimilarity
        Similarity within each printed group; none if narrow groups are not to be reported.
    solved_by : mapping
        Solved states by refrigerant and application.
    """
    return [
        *_heads(solved_by),
        *_narrow(catalogue, groups),
        *_costs(groups),
        *port_swings(solved_by, windows),
        *_empty(grouped),
        *not_in_stock(catalogue),
    ]


def not_in_stock(catalogue: Catalogue) -> Iterator[DataSetWarning]:
    """Groups that charts or labels leave out, for the stock sheet has no valve with their charge; charts without any."""
    for lost in catalogue.unstocked:
        yield DataSetWarning(
            subject=WarningSubject.NOT_IN_STOCK,
            detail=wording.NOTHING_IN_STOCK(publication=lost.publication),
            family=lost.family,
            application=lost.application,
        )
    stocked: list[CounterChart | ShelfLabels] = [*catalogue.charts, *catalogue.labels]
    for own in stocked:
        # One line, however often it is printed.
        if own.printed.name == own.printed.publication:
            for group in own.not_in_stock:
                yield DataSetWarning(
                    subject=WarningSubject.NOT_IN_STOCK,
                    detail=wording.NOT_IN_STOCK(publication=own.printed.publication),
                    family=own.family,
                    group=group,
                    application=own.application,
                )


def near_the_box(catalogue: Catalogue) -> Iterator[DataSetWarning]:
    """Applications in which vapor would have to come nearer to the box temperature than a coil brings it."""
    for application in catalogue.applications.values():
        for name in catalogue.refrigerants_in(application.name):
            system = application.systems[name]
            if system.box_difference_k is None:
                continue
            rated = solve_rating(catalogue.refrigerants[name], system, np.array([application.example_sst_k]))
            most = float(system.superheat.maximum(rated)[0])
            if most > NEAR_BOX_SHARE * system.box_difference_k * (1.0 + _SLACK):
                share = f"{100.0 * most / system.box_difference_k:.0f}"
                yield DataSetWarning(
                    subject=WarningSubject.NEAR_BOX,
                    detail=wording.NEAR_BOX(
                        superheat=both_steps(most), share=share, difference=both_steps(system.box_difference_k)
                    ),
                    application=application.name,
                )
                # One line for an application, of the refrigerant that shows it first.
                break


def cold_liquid(catalogue: Catalogue) -> Iterator[DataSetWarning]:
    """Conditions whose stated liquid at the valve is colder than the evaporator at the warmest SST."""
    for application in catalogue.applications.values():
        found: set[OperatingCondition] = set()
        for name in catalogue.refrigerants_in(application.name):
            system = application.systems[name]
            stated = [
                (own.condition, liquid_k)
                for own in system.conditions
                if own.condition not in found and (liquid_k := own.liquid.temperature_k) is not None
            ]
            if not stated:
                continue
            rated = solve_rating(catalogue.refrigerants[name], system, application.sst_k[-1:])
            warmest_k = float(rated.evaporating_temperature_k[0])
            for condition, liquid_k in stated:
                # One line for a condition, of the refrigerant that shows it first.
                if liquid_k >= warmest_k - _SLACK:
                    continue
                found.add(condition)
                yield DataSetWarning(
                    subject=WarningSubject.COLD_LIQUID,
                    detail=wording.COLD_LIQUID(
                        at_condition=terms.at_condition(condition),
                        liquid=both_scales(liquid_k),
                        evaporator=both_scales(warmest_k),
                    ),
                    application=application.name,
                    refrigerant=name,
                )


def _heads(solved_by: Mapping[tuple[str, str], Solved]) -> Iterator[DataSetWarning]:
    """High heads that are not above the rating point; any other wrong order is an error of the catalogue."""
    for (refrigerant, application), solved in solved_by.items():
        heads = {s.condition: float(s.state.head_pressure_pa[0]) for s in solved.states}
        high, rating = heads[OperatingCondition.HIGH_HEAD], heads[OperatingCondition.RATING]
        if high <= rating:
            yield DataSetWarning(
                subject=WarningSubject.HEAD_ORDER,
                detail=wording.HIGH_HEAD_NOT_ABOVE(high=f"{high / 1000:.0f}", rating=f"{rating / 1000:.0f}"),
                application=application,
                refrigerant=refrigerant,
            )


def _narrow(catalogue: Catalogue, groups: Sequence[GroupSimilarity]) -> Iterator[DataSetWarning]:
    for own in groups:
        if own.min_width_share < NARROW_SHARE and len(catalogue.groups[own.group].members) > 1:
            yield DataSetWarning(
                subject=WarningSubject.NARROW_GROUP,
                detail=wording.NARROW_GROUP(share=f"{own.min_width_share:.2f}"),
                family=own.family,
                group=own.group,
                application=own.application,
            )


def _costs(groups: Sequence[GroupSimilarity]) -> Iterator[DataSetWarning]:
    """Groups that cost a member too much of its own load: one line for a family and group, of the worst application."""
    worst: dict[tuple[str, str], dict[bool, GroupSimilarity]] = {}
    for own in groups:
        for is_max in (True, False):
            kept = worst.setdefault((own.family, own.group), {}).setdefault(is_max, own)
            if _cost(own, is_max) > _cost(kept, is_max):
                worst[own.family, own.group][is_max] = own
    for (family, group), found in worst.items():
        for is_max, own in found.items():
            if (share := _cost(own, is_max)) > COST_SHARE:
                message = wording.GROUP_COSTS_MAXIMUM if is_max else wording.GROUP_RAISES_MINIMUM
                member = own.max_cost_member if is_max else own.min_cost_member
                yield DataSetWarning(
                    subject=WarningSubject.GROUP_COST,
                    detail=message(refrigerant=member, share=f"{100.0 * share:.0f}", application=own.application),
                    family=family,
                    group=group,
                )


def _cost(own: GroupSimilarity, is_max: bool) -> float:
    return own.max_cost if is_max else own.min_cost


def port_swings(solved_by: Mapping[tuple[str, str], Solved], windows: pd.DataFrame) -> Iterator[DataSetWarning]:
    """Families whose superheat changes too much of what is between minimum stable and maximum, by unbalanced ports."""
    for (family, application), rows in windows.groupby(["family", "application"], sort=False):
        swing, port = rows["superheat_swing_k"].median(), rows["unbalance_swing_k"].median()
        solved = next(own for (_, name), own in solved_by.items() if name == application)
        limits, states = solved.system.superheat, (solved.states[i].state for i in solved.at_full_flow().values())
        span = min(float(np.nanmedian(limits.maximum(state))) for state in states) - limits.min_k[0]
        # A port that works against what else changes superheat is no disadvantage.
        if port * swing > 0.0 and min(abs(port), abs(swing)) > PORT_SHARE * span:
            yield DataSetWarning(
                subject=WarningSubject.PORT_SWING,
                detail=wording.PORT_SWING(
                    swing=both_steps(abs(swing)),
                    port=both_steps(abs(port)),
                    share=f"{100.0 * PORT_SHARE:.0f}",
                    span=both_steps(span),
                ),
                family=str(family),
                application=str(application),
            )


def _empty(grouped: pd.DataFrame) -> Iterator[DataSetWarning]:
    empty = grouped[grouped["max_load_w"].isna()]
    for keys, rows in empty.groupby(["family", "group", "application", "max_reason"], sort=False):
        family, group, application, reason = map(str, keys if isinstance(keys, tuple) else (keys,))
        yield DataSetWarning(
            subject=WarningSubject.EMPTY_WINDOWS,
            detail=wording.EMPTY_WINDOWS(len(rows), reason=terms.reason(reason)),
            family=family,
            group=group,
            application=application,
        )
