"""What a catalogue of many families costs does not grow faster than the families do."""

from collections import Counter
from dataclasses import replace

import pandas as pd
import pytest

from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.model import solving
from tablegen.model.inputs import Catalogue
from tablegen.tables import curves
from tests.demo import demo_catalogue
from tests.large import large_catalogue
from tests.test_call_counts import counted
from tests.wide import SIZES, wide_catalogue


def calls_for(families: int, monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    catalogue = few(large_catalogue(demo_catalogue(), families, confidence=None))
    calls: Counter[str] = Counter()
    with monkeypatch.context() as patch:
        counted(patch, calls, solving, "window")
        counted(patch, calls, curves, "states_along")
        compute(catalogue)
    return calls


def few(catalogue: Catalogue) -> Catalogue:
    return replace(
        catalogue, combinations=tuple(c for c in catalogue.combinations if c.application == "walk_in_medium")
    )


@pytest.mark.slow
def test_families_of_equal_valves_share_windows_and_states_along_the_head(monkeypatch):
    # Twelve families are three of each valve of the demo, which differ by their flow coefficients alone.
    first, more = calls_for(4, monkeypatch), calls_for(12, monkeypatch)
    assert first["window"] and first["states_along"]
    assert more == first


@pytest.mark.slow
def test_shared_windows_are_those_of_each_family_alone():
    catalogue = few(large_catalogue(demo_catalogue(), 8, confidence=None))
    together = compute(catalogue)
    for name in list(catalogue.families)[5:7]:
        own = replace(
            catalogue,
            families={name: catalogue.families[name]},
            combinations=tuple(c for c in catalogue.combinations if c.family == name),
        )
        alone = compute(own)
        for frame in ("windows", "group_windows", "balance", "superheat", "example", "calculated_limits"):
            rows, expected = getattr(together, frame), getattr(alone, frame).astype(object)
            rows = rows[rows["family"] == name].reset_index(drop=True).astype(object)
            pd.testing.assert_frame_equal(rows, expected, check_exact=True)


@pytest.mark.slow
def test_the_wide_catalogue_offers_every_family_in_every_table(tmp_path):
    refrigerants = ["R404A", "R507A", "R448A", "R744"]
    data = compute(load_catalogue(wide_catalogue(tmp_path / "wide", 4, refrigerants)))
    assert len(data.windows) == 4 * SIZES * len(refrigerants) * 4 * 13
    assert not data.windows["min_reason"].isin(["no_charge"]).any()
    assert data.windows["max_load_w"].notna().mean() > 0.9
