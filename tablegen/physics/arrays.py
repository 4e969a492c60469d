"""Names of the array types, and the one rule for the ends of a range."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Bools: TypeAlias = NDArray[np.bool_]
# Object arrays of `Reason` members and of names.
Names: TypeAlias = NDArray[Any]


def snapped(values: Floats, ends: tuple[float, ...]) -> Floats:
    """Values within rounding of the first or last of `ends` moved onto it.

    A bound written in degF and a state computed in kelvin may differ by the last digit.

    Parameters
    ----------
    values : array
        In any one unit.
    ends : tuple of float
        The bounds, in the same unit.

    Returns
    -------
    array
        Of the shape of `values`, in the same unit.
    """
    values = np.asarray(values, dtype=np.float64)
    slack = 1e-9 * abs(ends[-1])
    for end in (ends[0], ends[-1]):
        values = np.where(np.abs(values - end) <= slack, end, values)
    return values


def bounded(values: Floats, minimum: float, most: float) -> Floats:
    """Values moved up to `minimum` or down to `most`, NaN left: `np.clip`, which takes ten times as long for a few.

    Parameters
    ----------
    values : array
        In any one unit.
    minimum, most : float
        In the same unit.

    Returns
    -------
    array
        Of the shape of `values`, in the same unit.
    """
    return np.minimum(np.maximum(values, minimum), most)
