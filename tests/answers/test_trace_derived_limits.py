"""The trace of coils, liquid lines, flow laws, drives and loops: its limits are those of the windows, and all of it prints."""

from __future__ import annotations

import functools
from pathlib import Path

import pandas as pd
import pytest

import tablegen
from tablegen.answers.case import Case
from tablegen.answers.trace import trace
from tablegen.config.loader import load_catalogue
from tablegen.model.inputs import Catalogue
from tablegen.physics.reasons import Reason
from tablegen.report.text import to_text
from tablegen.sweep.sweep import SweepOptions, sweep

DERIVED = Path(__file__).resolve().parents[1] / "data" / "derived_limits" / "catalogue.yaml"


@functools.cache
def catalogue() -> Catalogue:
    return load_catalogue(DERIVED)


@functools.cache
def windows() -> pd.DataFrame:
    """The first suction temperature of each size with each refrigerant in each application."""
    _, found, _ = sweep(catalogue(), SweepOptions())
    return found.groupby(["family", "size", "refrigerant", "application"], sort=False).head(1)


@pytest.mark.slow
def test_every_limit_and_every_reason_is_that_of_the_trace():
    reasons = set()
    for row in windows().to_dict("records"):
        case = Case(row["refrigerant"], row["sst_k"], 1000.0, row["application"])
        found = trace(catalogue(), case, row["family"], row["size"])
        if pd.isna(row["max_load_w"]):
            assert found.obstacle is not None
            assert found.obstacle.limit.reason == row["max_reason"]
        else:
            assert found.minimum.load_w == pytest.approx(row["min_load_w"], rel=1e-9)
            assert found.maximum.load_w == pytest.approx(row["max_load_w"], rel=1e-9)
        reasons |= {row["min_reason"], row["max_reason"]}
    assert reasons >= {Reason.HUNTS, Reason.ALWAYS_HUNTS, Reason.FLOODBACK, Reason.FLOW_LAW_RANGE, Reason.RATED_STROKE}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("family", "application", "refrigerant"),
    [("hazel", "flashing", "R404A"), ("nettle", "calm", "R134a"), ("laurel", "receiver", "R744")],
)
def test_a_trace_prints_whatever_its_reason(family, application, refrigerant):
    """A flashing inlet has no subcooling for a discharge coefficient to follow: required Kv is beyond all bounds."""
    row = windows().set_index(["family", "application", "refrigerant"]).loc[(family, application, refrigerant)]
    own = {"sst": float(row["sst_k"]), "application": application, "catalogue": DERIVED, "units": "SI"}
    text = to_text(tablegen.trace(family, row["size"], refrigerant, **own), 3000)
    assert "Δp" in text
    assert not {"inf", "nan"} & set(text.split())


def test_too_much_vapor_is_compared_with_what_is_allowed():
    row = windows().set_index(["family", "application", "refrigerant"]).loc[("hazel", "flashing", "R404A")]
    found = trace(catalogue(), Case("R404A", float(row["sst_k"]), 1000.0, "flashing"), "hazel", row["size"])
    assert found.obstacle is not None
    assert found.obstacle.compared == ("x_max", "x_1")
    values = found.obstacle.calculations[-1][1].values
    assert float(values["x_max"]) == 0.01
    assert 0.03 < float(values["x_1"]) < 0.05
