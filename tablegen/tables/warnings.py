"""What a data set warns of, each with where it arises."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import pandas as pd

from tablegen.errors import both_steps
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import Solved
from tablegen.physics.system import OperatingCondition
from tablegen.sweep.groups import NARROW_SHARE, GroupSimilarity

# An unbalanced port may use up this share of the superheat between minimum stable and maximum, no more.
PORT_SHARE = 0.2


class Subject(StrEnum):
    """What a warning is about."""

    HEAD_ORDER = "head_order"
    NARROW_GROUP = "narrow_group"
    PORT_SWING = "port_swing"
    EMPTY_WINDOWS = "empty_windows"


@dataclass(frozen=True, slots=True)
class Warned:
    """One warning: its subject, its words with the place before them, the place (a name is "" where it is all)."""

    subject: Subject
    text: str
    family: str = ""
    group: str = ""
    application: str = ""
    refrigerant: str = ""


def warnings_of(
    catalogue: Catalogue,
    windows: pd.DataFrame,
    grouped: pd.DataFrame,
    groups: Sequence[GroupSimilarity],
    solved_by: Mapping[tuple[str, str], Solved],
) -> list[Warned]:
    """Every warning of a data set, in the order of its manifest; `groups` are the figures of the printed groups."""
    return [
        *_heads(solved_by),
        *_narrow(catalogue, groups),
        *_ports(catalogue, windows),
        *_empty(grouped),
    ]


def _heads(solved_by: Mapping[tuple[str, str], Solved]) -> Iterator[Warned]:
    """High heads that are no higher than the rating point; other disorder no catalogue is allowed."""
    for (refrigerant, application), solved in solved_by.items():
        heads = {s.condition: float(s.state.head_pressure_pa[0]) for s in solved.states}
        high, rating = heads[OperatingCondition.HIGH_HEAD], heads[OperatingCondition.RATING]
        if high <= rating:
            text = (
                f"{application}, {refrigerant}: the high head ({high / 1000:.0f} kPa absolute) is not above that of the "
                f"rating point ({rating / 1000:.0f} kPa absolute)"
            )
            yield Warned(Subject.HEAD_ORDER, text, application=application, refrigerant=refrigerant)


def _narrow(catalogue: Catalogue, groups: Sequence[GroupSimilarity]) -> Iterator[Warned]:
    for own in groups:
        if own.min_width_share < NARROW_SHARE and len(catalogue.groups[own.group].members) > 1:
            text = f"at its narrowest the group's window is {own.min_width_share:.2f} of its members' median"
            place = f"{own.family}, {own.group}, {own.application}"
            yield Warned(Subject.NARROW_GROUP, f"{place}: {text}", own.family, own.group, own.application)


def _ports(catalogue: Catalogue, windows: pd.DataFrame) -> Iterator[Warned]:
    """Families whose unbalanced ports use up too much of the superheat between minimum stable and maximum."""
    for (family, application), rows in windows.groupby(["family", "application"], sort=False):
        swing, port = rows["superheat_swing_k"].median(), rows["unbalance_swing_k"].median()
        limits = next(iter(catalogue.applications[str(application)].systems.values())).superheat
        span = limits.max_k - limits.min_k[0]
        if abs(port) > PORT_SHARE * span:
            text = (
                f"{family}, {application}: superheat at mid-window changes by {both_steps(abs(swing))} from the low to "
                f"the high head, {both_steps(abs(port))} of it because of the unbalanced port; minimum stable and "
                f"maximum superheat are only {both_steps(span)} apart, so the family does not suit this range of heads"
            )
            yield Warned(Subject.PORT_SWING, text, family=str(family), application=str(application))


def _empty(grouped: pd.DataFrame) -> Iterator[Warned]:
    empty = grouped[grouped["max_load_w"].isna()]
    for keys, rows in empty.groupby(["family", "group", "application", "max_reason"], sort=False):
        family, group, application, reason = map(str, keys if isinstance(keys, tuple) else (keys,))
        text = f"{family}, {group}, {application}: {len(rows)} empty windows, {reason}"
        yield Warned(Subject.EMPTY_WINDOWS, text, family, group, application)
