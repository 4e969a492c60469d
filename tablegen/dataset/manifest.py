"""The manifest: what went into a data set, what came out, and what to be warned of, as JSON."""

from __future__ import annotations

import datetime
import hashlib
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any

import numpy as np

from tablegen.dataset.summary import Summary, WindowCounts
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import offers
from tablegen.physics.refrigerants import Refrigerant
from tablegen.sweep.groups import GroupSimilarity
from tablegen.wording import terms

LAYOUT = 10


def manifest(
    catalogue: Catalogue,
    summary: Summary,
    files_sha256: Mapping[str, str] | None = None,
    not_printed: Mapping[str, str] | None = None,
) -> dict[str, object]:
    """Everything about a data set beside its frames, as JSON values.

    Parameters
    ----------
    catalogue : Catalogue
    summary : Summary
    files_sha256 : mapping of str to str, optional
        The hash of each file of the data set.
    not_printed : mapping of str to str, optional
        Publications that could not be printed, and why.
    """
    return {
        "layout": LAYOUT,
        "catalogue": catalogue.name,
        "versions": dict(summary.versions),
        "inputs_sha256": dict(catalogue.files),
        "counts": {
            "states": summary.states,
            "windows": _fields(summary.windows),
            "group_windows": _fields(summary.group_windows),
            "verification": plain(summary.verification),
        },
        "drivers": {driver: text() for driver, text in terms.DRIVERS.items()},
        "reasons": {reason: text() for reason, text in terms.REASONS.items()},
        "groups": [_fields(group) for group in summary.groups],
        "offered": {name: plain(of) for name, of in offers(catalogue).items()},
        "suggestions": plain(summary.suggestions),
        "suction": plain(summary.suction),
        "warnings": list(summary.warnings),
        "inputs": inputs_of(catalogue),
        "fingerprint": summary.fingerprint,
        "files_sha256": dict(files_sha256 or {}),
        **({"not_printed": dict(not_printed)} if not_printed else {}),
    }


def inputs_of(catalogue: Catalogue) -> dict[str, Any]:
    """Every input of a catalogue by part, as JSON values in SI."""
    return {
        "confidence": plain(catalogue.confidence),
        "printing": plain(catalogue.printing),
        "families": plain(catalogue.families),
        "groups": plain(catalogue.groups),
        "applications": plain(catalogue.applications),
        "combinations": plain(catalogue.combinations),
        "booklets": plain(catalogue.booklets),
        "charts": plain(catalogue.charts),
        "labels": plain(catalogue.labels),
        "handouts": plain(catalogue.handouts),
        "left_out": plain(catalogue.left_out),
        "part_numbers": plain(catalogue.part_numbers),
        "refrigerants": plain(catalogue.records),
    }


def _fields(value: WindowCounts | GroupSimilarity) -> dict[str, object]:
    """A dataclass by its fields, without the name of its class."""
    return {field.name: plain(getattr(value, field.name)) for field in fields(value)}


def plain(value: Any) -> Any:
    """Inputs as JSON values: dataclass fields by name, in SI as their names say; NaN and infinity are null, bytes their SHA-256."""
    if isinstance(value, Refrigerant):
        return value.name
    if is_dataclass(value) and not isinstance(value, type):
        named = {f.name: plain(getattr(value, f.name)) for f in fields(value) if not f.name.startswith("_")}
        return {"kind": type(value).__name__, **named}
    if isinstance(value, Enum):
        return str(value)
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, bytes):
        return hashlib.sha256(value).hexdigest()
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, np.ndarray):
        # Numbers of the array's own kind are no JSON.
        return plain(value.tolist())
    if isinstance(value, (list, tuple)):
        return [plain(v) for v in value]
    if isinstance(value, (float, np.floating)):
        return float(value) if math.isfinite(value) else None
    return value
