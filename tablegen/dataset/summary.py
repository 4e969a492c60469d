"""What a build counts, finds similar, suggests and warns of: the part of a data set that is neither frame nor input."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from tablegen.model.inputs import Catalogue
from tablegen.model.solving import Solved
from tablegen.sweep.groups import GroupSimilarity, similarities
from tablegen.sweep.identity import fingerprint, versions
from tablegen.tables.suction_effect import SuctionEffect, suction_effects
from tablegen.tables.suggest_groups import Suggestion, suggestions
from tablegen.tables.warnings import warnings_of
from tablegen.verification.table import counts, failures


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowCounts:
    """Rows of a frame of windows, those that are open, and the others by reason; what sets the limits of open ones.

    Limits are counted by operating condition and reason, as "low_head, stop".
    """

    rows: int
    open: int
    empty_by_reason: Mapping[str, int]
    max_set_by: Mapping[str, int]
    min_set_by: Mapping[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """Counts, similarity of group members, suggested groups, warnings, and the versions that computed them; and what
    suction that follows the box would change.

    `fingerprint` is twelve characters that stand for the data; see `tablegen.sweep.identity.fingerprint`.
    """

    fingerprint: str
    versions: Mapping[str, str]
    states: int
    windows: WindowCounts
    group_windows: WindowCounts
    verification: Mapping[str, Mapping[str, int]]
    groups: tuple[GroupSimilarity, ...]
    suggestions: tuple[Suggestion, ...]
    warnings: tuple[str, ...]
    suction: tuple[SuctionEffect, ...] = ()


def summarize(
    catalogue: Catalogue, frames: Mapping[str, pd.DataFrame], solved_by: Mapping[tuple[str, str], Solved]
) -> Summary:
    """The summary of the frames `states`, `windows`, `group_windows` and `verification` of a catalogue."""
    states, windows, grouped = (frames[name] for name in ("states", "windows", "group_windows"))
    groups = similarities(catalogue, states, windows, grouped)
    warned = warnings_of(catalogue, windows, grouped, groups, solved_by)
    return Summary(
        fingerprint=fingerprint(catalogue.data_files),
        versions=versions(),
        states=len(states),
        windows=count_windows(windows),
        group_windows=count_windows(grouped),
        verification=counts(frames["verification"]),
        groups=groups,
        suggestions=tuple(suggestions(catalogue, solved_by)),
        suction=suction_effects(catalogue, solved_by),
        warnings=(*(warning.text for warning in warned), *failures(frames["verification"])),
    )


def count_windows(frame: pd.DataFrame) -> WindowCounts:
    """Rows of a frame of windows, counted."""
    is_open = frame["min_load_w"].notna() & frame["max_load_w"].notna()
    return WindowCounts(
        rows=len(frame),
        open=int(is_open.sum()),
        empty_by_reason=_tally(frame.loc[~is_open, "max_reason"]),
        max_set_by=_set_by(frame, is_open, "max"),
        min_set_by=_set_by(frame, is_open, "min"),
    )


def _set_by(frame: pd.DataFrame, is_open: pd.Series, limit: str) -> dict[str, int]:
    names = [f"{limit}_condition", f"{limit}_reason"]
    counts = frame.loc[is_open, names].groupby(names, observed=True).size().reset_index().itertuples(index=False)
    return dict(sorted((f"{condition}, {reason}", int(count)) for condition, reason, count in counts))


def _tally(names: pd.Series) -> dict[str, int]:
    return {str(name): int(count) for name, count in sorted(names.value_counts().items()) if count}
