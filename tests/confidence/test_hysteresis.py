"""Hysteresis of a valve as scatter of its setting, against random draws."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tablegen.confidence.draws import Source, scatter_of
from tablegen.model.scatter import InstallationScatter, ProductionScatter
from tests.demo import demo_catalogue


@pytest.mark.parametrize(("static_k", "half_k"), [(0.2, 0.6), (0.0, 0.5), (0.3, 0.0)])
def test_a_setting_with_hysteresis_deviates_as_draws_of_both_do(static_k: float, half_k: float) -> None:
    rng = np.random.default_rng(1)
    drawn = rng.normal(0.0, static_k, 1_000_000) + rng.uniform(-half_k, half_k, 1_000_000)
    made = ProductionScatter(static_superheat_k=static_k, hysteresis_k=half_k)
    assert made.setting_k == pytest.approx(float(drawn.std()), rel=5e-3)


def test_hysteresis_is_part_of_what_limits_at_confidence_count_with() -> None:
    catalogue = demo_catalogue()
    alder = catalogue.families["alder"]
    sticky = replace(alder, scatter=replace(alder.scatter, hysteresis_k=0.5))
    own = catalogue.records["R404A"].uncertainty
    found = [scatter_of(f, alder.elements[0], own, None, InstallationScatter()) for f in (alder, sticky)]
    before, after = (scatter[Source.STATIC_SUPERHEAT] for scatter in found)
    assert after**2 - before**2 == pytest.approx(0.25 / 3.0)
