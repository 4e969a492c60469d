"""The manifest: what went into a data set, what came out, and what to be warned of."""

from __future__ import annotations

import importlib.metadata
from collections.abc import Mapping
from typing import Any

import pandas as pd

from tablegen import __version__
from tablegen.catalogue.groups import NARROW_SHARE, demand_spread, narrowing
from tablegen.catalogue.inputs import Catalogue
from tablegen.catalogue.plain import plain
from tablegen.catalogue.property_store import library_version
from tablegen.catalogue.scatter.draws import SOURCES_EXPLAINED
from tablegen.catalogue.solving import Solved
from tablegen.catalogue.suggest import suggestions
from tablegen.catalogue.verification.table import PASSES, failures
from tablegen.physics.reasons import EXPLAINED

LAYOUT = 5
# An unbalanced port may use up this share of the superheat between least stable and greatest, no more.
PORT_SHARE = 0.2
_LIBRARIES = ("numpy", "scipy", "pandas")


def manifest(
    catalogue: Catalogue, frames: Mapping[str, pd.DataFrame], solved_by: Mapping[tuple[str, str], Solved]
) -> dict[str, Any]:
    """Everything about a data set except the hashes of its own files, which are added when it is written."""
    windows, grouped = frames["windows"], frames["group_windows"]
    groups = _groups(catalogue, frames)
    return {
        "layout": LAYOUT,
        "catalogue": catalogue.name,
        "versions": _versions(),
        "inputs_sha256": dict(catalogue.files),
        "counts": {
            "states": len(frames["states"]),
            "windows": _count(windows),
            "group_windows": _count(grouped),
            "verification": {
                "checks": len(frames["verification"]),
                "passed": int((frames["verification"]["verdict"] == PASSES).sum()),
            },
        },
        "drivers": {str(source): text for source, text in SOURCES_EXPLAINED.items()},
        "reasons": {str(reason): text for reason, text in EXPLAINED.items()},
        "groups": groups,
        "suggestions": plain(suggestions(catalogue, solved_by)),
        "warnings": [
            *_warnings(catalogue, windows, grouped, groups, solved_by), *failures(frames["verification"]),
        ],
        "inputs": {
            "confidence": plain(catalogue.confidence),
            "printing": plain(catalogue.printing),
            "families": plain(catalogue.families),
            "groups": plain(catalogue.groups),
            "envelopes": plain(catalogue.applications),
            "combinations": plain(catalogue.combinations),
            "booklets": plain(catalogue.booklets),
            "charts": plain(catalogue.charts),
            "handouts": plain(catalogue.handouts),
            "left_out": plain(catalogue.left_out),
            "refrigerants": plain(catalogue.records),
        },
    }


def _versions() -> dict[str, str]:
    versions = {name: importlib.metadata.version(name) for name in _LIBRARIES}
    return {"tablegen": __version__, "properties": library_version(), **versions}


def _count(frame: pd.DataFrame) -> dict[str, Any]:
    """Rows, open windows, and the empty ones by the reason that excuses them."""
    is_open = frame["min_load_w"].notna() & frame["max_load_w"].notna()
    excused = frame.loc[~is_open, "max_reason"].value_counts()
    return {
        "rows": len(frame),
        "open": int(is_open.sum()),
        "empty_by_reason": {str(k): int(v) for k, v in sorted(excused.items())},
        "max_set_by": _tally(frame[is_open], "max"),
        "min_set_by": _tally(frame[is_open], "min"),
    }


def _tally(frame: pd.DataFrame, limit: str) -> dict[str, int]:
    pairs = (frame[f"{limit}_extreme"] + ", " + frame[f"{limit}_reason"]).value_counts()
    return {str(k): int(v) for k, v in sorted(pairs.items())}


def _groups(catalogue: Catalogue, frames: Mapping[str, pd.DataFrame]) -> list[dict[str, Any]]:
    """How alike the members of each printed group are, by demand and by what is left of their windows."""
    spreads = {name: demand_spread(group, frames["states"]) for name, group in catalogue.groups.items()}
    return [
        {
            "family": c.family,
            "group": c.group,
            "envelope": c.envelope,
            "demand_spread": plain(spreads[c.group].get(c.envelope)),
            "least_width_share": plain(
                narrowing(c, catalogue.groups[c.group], frames["windows"], frames["group_windows"])
            ),
        }
        for c in catalogue.combinations
    ]


def _port_warnings(catalogue: Catalogue, windows: pd.DataFrame) -> list[str]:
    """Families whose unbalanced ports use up too much of the superheat between least stable and greatest."""
    found = []
    for (family, envelope), rows in windows.groupby(["family", "envelope"], sort=False):
        swing, port = rows["superheat_swing_k"].median(), rows["unbalance_swing_k"].median()
        limits = next(iter(catalogue.applications[str(envelope)].envelopes.values())).superheat
        span = limits.greatest_k - limits.least_k[0]
        if abs(port) > PORT_SHARE * span:
            found.append(
                f"{family}, {envelope}: superheat at mid-window moves by {abs(swing):.1f} K "
                f"({1.8 * abs(swing):.1f} degF) from the low to the high head, {abs(port):.1f} K of it by the "
                f"unbalanced port, where {span:.1f} K lie between least stable and greatest superheat; it does "
                "not suit this range of heads"
            )
    return found


def _warnings(
    catalogue: Catalogue,
    windows: pd.DataFrame,
    grouped: pd.DataFrame,
    groups: list[dict[str, Any]],
    solved_by: Mapping[tuple[str, str], Solved],
) -> list[str]:
    found = []
    for (refrigerant, envelope), solved in solved_by.items():
        heads = {s.extreme: float(s.state.head_pressure_pa[0]) for s in solved.states}
        low, rating, high = heads.values()
        if high <= rating:
            found.append(
                f"{envelope}, {refrigerant}: the high head ({high / 1000:.0f} kPa absolute) is not above that of "
                f"the rating point ({rating / 1000:.0f} kPa absolute)"
            )
        if low >= rating:
            found.append(
                f"{envelope}, {refrigerant}: the low head ({low / 1000:.0f} kPa absolute) is not below that of "
                f"the rating point ({rating / 1000:.0f} kPa absolute)"
            )
    for entry in groups:
        share = entry["least_width_share"]
        if share is not None and share < NARROW_SHARE and len(catalogue.groups[entry["group"]].members) > 1:
            found.append(
                f"{entry['family']}, {entry['group']}, {entry['envelope']}: at its narrowest the group's window is "
                f"{share:.2f} of its members' median"
            )
    found += _port_warnings(catalogue, windows)
    empty = grouped[grouped["max_load_w"].isna()]
    for keys, rows in empty.groupby(["family", "group", "envelope", "max_reason"], sort=False):
        family, group, envelope, reason = map(str, keys if isinstance(keys, tuple) else (keys,))
        found.append(f"{family}, {group}, {envelope}: {len(rows)} empty windows, {reason}")
    return found
