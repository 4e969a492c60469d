"""Inputs and answers as JSON values."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any

import numpy as np

from tablegen.physics.refrigerants import Refrigerant


def plain(value: Any) -> Any:
    """Inputs as JSON values: dataclass fields by name, in SI as their names say; NaN and infinity are null."""
    if isinstance(value, Refrigerant):
        return value.name
    if is_dataclass(value) and not isinstance(value, type):
        named = {f.name: plain(getattr(value, f.name)) for f in fields(value) if not f.name.startswith("_")}
        return {"kind": type(value).__name__, **named}
    if isinstance(value, Enum):
        return str(value)
    if isinstance(value, datetime.date):
        return value.isoformat()
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
