"""A comparison of two releases in words and figures."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import pandas as pd

from tablegen.dataset.comparison import Comparison, PartSummary
from tablegen.dataset.input_changes import MISSING, InputChange, path_text
from tablegen.report.formatter import DASH, NBSP, Formatter, percent_range, signed
from tablegen.report.rounding import MINUS

# Longer lists are told by their number of values.
_MOST_VALUES = 4
_FIGURES = 9
_KINDS = ("changed", "added", "gone")
LIMITS = ("min", "max")


def release_line(release: Any) -> str:
    """What a release is."""
    return f"{release.catalogue}, revision {release.revision} of {release.date} (data {release.fingerprint})"


def counted(comparison: Comparison) -> str:
    """How many windows differ."""
    changed, added, gone = (int((comparison.cells["change_kind"] == kind).sum()) for kind in _KINDS)
    total = len(comparison.new.group_windows)
    return f"Of {total} windows {changed} changed and {added} were added; {gone} of the earlier ones are gone."


def part_row(part: PartSummary) -> list[str]:
    """A table's summary as cells."""
    counts = [str(n) for n in (part.windows, part.changed, part.added, part.gone)]
    return [
        f"{part.family}, {part.group}, {part.application}",
        *counts,
        percent_range(part.min_moved),
        percent_range(part.max_moved),
    ]


def input_lines(changes: Iterable[InputChange], arrow: str = f"{NBSP}\N{RIGHTWARDS ARROW}{NBSP}") -> list[str]:
    """Place and both values; the same change for several refrigerants of an application is one line."""
    joined: dict[tuple[Any, str, str], list[InputChange]] = {}
    for change in changes:
        is_own = len(change.path) > 3 and change.path[0] == "applications" and change.path[2] == "systems"
        place = (*change.path[:3], "*", *change.path[4:]) if is_own else change.path
        joined.setdefault((place, value_text(change.earlier), value_text(change.now)), []).append(change)
    lines = []
    for (place, earlier, now), own in joined.items():
        members = ", ".join(c.path[3] for c in own) if "*" in place else ""
        path = path_text(tuple(f"{{{members}}}" if step == "*" and len(own) > 1 else step for step in place))
        lines.append(f"{path.replace('.*', f'.{members}')}: {earlier}{arrow}{now}")
    return lines


def value_text(value: Any) -> str:
    """A value of a manifest: in SI, as its name says."""
    if value is MISSING:
        return "(not there)"
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float | int):
        return f"{value:.{_FIGURES}g}".replace("-", MINUS) if value < 0 else f"{value:.{_FIGURES}g}"
    if isinstance(value, list):
        plain = not any(isinstance(v, list | Mapping) for v in value)
        return ", ".join(map(value_text, value)) if plain and len(value) <= _MOST_VALUES else f"{len(value)} values"
    if isinstance(value, Mapping):
        return str(value.get("name", "another"))
    return str(value)


def changed_row(cell: pd.Series, formatter: Formatter) -> list[str]:
    """A window that differs as cells: place, both windows, shifts in percent, inputs that bear on it."""
    return [
        ", ".join((cell["family"], cell["group"], cell["application"])),
        formatter.temperature(float(cell["sst_k"])),
        str(cell["size"]),
        "new" if cell["change_kind"] == "added" else _window(cell, "earlier_", formatter),
        "gone" if cell["change_kind"] == "gone" else _window(cell, "", formatter),
        *(_shift(float(cell[f"{limit}_load_change"])) for limit in LIMITS),
    ]


def farthest(cells: pd.DataFrame) -> pd.DataFrame:
    """Cells by how far their limits moved; windows that opened, closed, came or went are more than any shift."""
    shifts = cells[[f"{limit}_load_change" for limit in LIMITS]].abs()
    # Equal shifts differ in their last figures, and then the order of the release holds.
    weight = shifts.max(axis=1, skipna=False).round(6).fillna(math.inf)
    return cells.loc[weight.sort_values(ascending=False, kind="stable").index]


def notes(comparison: Comparison) -> list[str]:
    """What else must be known to judge what differs."""
    told = []
    old, new = (release.record for release in (comparison.old, comparison.new))
    if comparison.old.catalogue != comparison.new.catalogue:
        told.append("The two are releases of different catalogues; windows are matched by their names.")
    if old.get("layout") != new.get("layout"):
        told.append(
            f"The manifests are of layouts {old.get('layout')} and {new.get('layout')}: an input may differ by its "
            "name alone."
        )
    if comparison.files:
        told.append("Config files with another hash: " + _listed(comparison.files) + ".")
    elif not comparison.inputs:
        told.append("No recorded input differs.")
    if len(comparison.cells) and comparison.unexplained:
        told.append(
            f"{comparison.unexplained} windows differ although no recorded input that bears on them does: the program "
            "itself may have changed."
        )
    if any(c.path[0] == "versions" for c in comparison.inputs):
        told.append("Versions of libraries bear on every window; most leave it the same.")
    return told


def bearing_lines(comparison: Comparison) -> Sequence[InputChange]:
    """The inputs that bear on any window that differs, in the manifest's order."""
    places = {c.path for part in comparison.parts for c in part.inputs}
    return [c for c in comparison.inputs if c.path in places]


def _listed(files: Mapping[str, str]) -> str:
    return ", ".join(name if how == "differs" else f"{name} ({how})" for name, how in files.items())


def _window(cell: pd.Series, side: str, formatter: Formatter) -> str:
    window = formatter.readable_window(*(float(cell[f"{side}{limit}_load_w"]) for limit in LIMITS))
    return DASH.join(window) if window else "none"


def _shift(share: float) -> str:
    return DASH if math.isnan(share) else f"{signed(100.0 * share)}{NBSP}%"
