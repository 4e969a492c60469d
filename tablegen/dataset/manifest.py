"""The manifest: what went into a data set, what came out, and what to be warned of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd

from tablegen.confidence.draws import SOURCES_EXPLAINED
from tablegen.dataset.to_json import plain
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import offers
from tablegen.model.solving import Solved
from tablegen.physics.reasons import EXPLAINED
from tablegen.sweep.groups import narrowings, required_kv_spread
from tablegen.sweep.identity import versions
from tablegen.tables.suggest_groups import suggestions
from tablegen.tables.warnings import warnings_of
from tablegen.verification.kinds import counts
from tablegen.verification.table import failures

LAYOUT = 8


def manifest(
    catalogue: Catalogue, frames: Mapping[str, pd.DataFrame], solved_by: Mapping[tuple[str, str], Solved]
) -> dict[str, Any]:
    """Everything about a data set except the hashes of its own files, which are added when it is written."""
    windows, grouped = frames["windows"], frames["group_windows"]
    groups = _groups(catalogue, frames)
    return {
        "layout": LAYOUT,
        "catalogue": catalogue.name,
        "versions": versions(),
        "inputs_sha256": dict(catalogue.files),
        "counts": {
            "states": len(frames["states"]),
            "windows": _count(windows),
            "group_windows": _count(grouped),
            "verification": counts(frames["verification"]),
        },
        "drivers": {str(source): text for source, text in SOURCES_EXPLAINED.items()},
        "reasons": {str(reason): text for reason, text in EXPLAINED.items()},
        "groups": groups,
        "offered": {name: plain(of) for name, of in offers(catalogue).items()},
        "suggestions": plain(suggestions(catalogue, solved_by)),
        "warnings": [
            *(w.text for w in warnings_of(catalogue, windows, grouped, groups, solved_by)),
            *failures(frames["verification"]),
        ],
        "inputs": {
            "confidence": plain(catalogue.confidence),
            "printing": plain(catalogue.printing),
            "families": plain(catalogue.families),
            "groups": plain(catalogue.groups),
            "applications": plain(catalogue.applications),
            "combinations": plain(catalogue.combinations),
            "booklets": plain(catalogue.booklets),
            "charts": plain(catalogue.charts),
            "handouts": plain(catalogue.handouts),
            "left_out": plain(catalogue.left_out),
            "articles": plain(catalogue.articles),
            "refrigerants": plain(catalogue.records),
        },
    }


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
    pairs = (frame[f"{limit}_condition"] + ", " + frame[f"{limit}_reason"]).value_counts()
    return {str(k): int(v) for k, v in sorted(pairs.items())}


def _groups(catalogue: Catalogue, frames: Mapping[str, pd.DataFrame]) -> list[dict[str, Any]]:
    """How alike the members of each printed group are, by demand and by what is left of their windows."""
    spreads = {name: required_kv_spread(group, frames["states"]) for name, group in catalogue.groups.items()}
    shares = narrowings(catalogue, frames["windows"], frames["group_windows"])
    return [
        {
            "family": c.family,
            "group": c.group,
            "application": c.application,
            "required_kv_spread": plain(spreads[c.group].get(c.application)),
            "min_width_share": plain(share),
        }
        for c, share in zip(catalogue.combinations, shares, strict=True)
    ]
