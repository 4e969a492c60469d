"""Names of the array types."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Bools: TypeAlias = NDArray[np.bool_]
# Object arrays of `Reason` members and of names.
Names: TypeAlias = NDArray[Any]
