"""The finding about an unbalanced port: only where superheat itself changes, and by the port."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pandas as pd
import pytest

from tablegen.tables.warnings import port_swings

# Minimum stable superheat 3 K, maximum 5 K at either condition: the limit is 0.4 K.
SPAN_K = 2.0


def findings(swing_k: float, port_k: float) -> list[str]:
    limits = SimpleNamespace(maximum=lambda state: np.array([3.0 + SPAN_K]), min_k=np.array([3.0]))
    solved = SimpleNamespace(
        system=SimpleNamespace(superheat=limits), states=[SimpleNamespace(state=None)], at_full_flow=lambda: {"all": 0}
    )
    windows = pd.DataFrame(
        {"family": ["a"], "application": ["b"], "superheat_swing_k": [swing_k], "unbalance_swing_k": [port_k]}
    )
    return [own.text for own in port_swings(cast(Any, {("R404A", "b"): solved}), windows)]


@pytest.mark.parametrize(
    ("swing_k", "port_k", "has_finding"),
    [
        (0.06, 0.45, False),  # The port works against what else changes.
        (-0.5, 0.45, False),
        (0.9, 0.2, False),
        (0.5, 0.6, True),
        (-0.9, -0.5, True),
    ],
)
def test_the_change_itself_and_the_share_of_the_port_are_above_the_limit(swing_k, port_k, has_finding):
    found = findings(swing_k, port_k)
    assert bool(found) == has_finding
    if found:
        assert "more than 20 percent of the 3.6 °F (2.0 K)" in found[0] and "of it" not in found[0]
