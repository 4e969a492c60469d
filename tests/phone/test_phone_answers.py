"""The rounded answer against the exact one of `pick`, at the temperatures of the tables."""

from __future__ import annotations

import dataclasses
import functools
import random

import pytest

from tablegen.answers.case import Case, SolvedCase, solve_case
from tablegen.answers.pick import Picked, pick_solved
from tablegen.model.offer import offered_families
from tablegen.report.formatter import Formatter
from tablegen.units import print_unit
from tests.demo import demo_catalogue, demo_data
from tests.phone.answers import Look, answer, fitting

# A printed limit is off by at most this: one in the third figure of the smallest, 1.00.
LAST_FIGURE = 0.0101


@functools.cache
def solved(name: str, application: str, sst_k: float) -> SolvedCase:
    return solve_case(demo_catalogue(), Case(name, sst_k, 1.0, application))


def picked(name: str, application: str, sst_k: float, load_w: float) -> Picked:
    own = solved(name, application, sst_k)
    case = dataclasses.replace(own.case, load_w=load_w)
    return pick_solved(offered_families(demo_catalogue(), name, application), dataclasses.replace(own, case=case))


SUBJECTS = [
    ("R404A", "walk_in_medium"),
    ("R448A-family", "walk_in_medium"),
    ("R448A", "walk_in_low"),
    ("R134a", "walk_in_medium"),
    ("R404A-R507A", "walk_in_low_fixed"),
    ("R507A", "walk_in_medium_lift"),
]


@pytest.mark.parametrize("system", ["IP", "SI"])
@pytest.mark.parametrize(("name", "application"), SUBJECTS)
def test_the_page_agrees_with_pick_at_the_temperatures_of_the_tables(name: str, application: str, system: str) -> None:
    data, chance = demo_data(), random.Random(f"{name} {application}")
    formatter = Formatter(system)
    grid = data.catalogue.applications[application].sst_k.tolist()
    compared = 0
    for _ in range(12):
        sst_k = chance.choice(grid)
        load = f"{10 ** chance.uniform(-0.3, 1.9):.3g}"
        sst = str(round(print_unit("temperature", system).of(sst_k), 2))
        sizes = answer(data, Look(name, application, sst, system, load, system))
        exact = picked(name, application, sst_k, float(load) / print_unit("load", system).of(1.0))
        by_key = {(c.family, c.size): c for c in exact.candidates}
        for size in sizes:
            own = by_key[size.family, size.size]
            compared += 1
            if own.verdict == size.verdict:
                continue
            # A printed window lies in the exact one; only a load between the two may get two answers.
            assert own.verdict == "fits", (size, own)
            assert own.margin < 1.0 + LAST_FIGURE
            assert formatter.readable_window(own.minimum.load_w, own.maximum.load_w) == size.window
        best = fitting(sizes)
        if best:
            margins = {key: c.margin for key, c in by_key.items() if key in {(s.family, s.size) for s in sizes}}
            assert margins[best[0].family, best[0].size] > max(margins.values()) * (1.0 - LAST_FIGURE)
    assert compared > 50


def test_no_size_fits_by_the_rounded_limits_that_does_not_by_the_exact_ones() -> None:
    """Each printed limit itself is asked, where rounding would show first."""
    data, formatter = demo_data(), Formatter("IP")
    watt = 1.0 / print_unit("load", "IP").of(1.0)
    rows = data.windows[data.windows["min_load_w"].notna()].iloc[::97]
    for row in rows.itertuples():
        for figure in formatter.window(row.min_load_w, row.max_load_w):
            assert row.min_load_w * (1 - 1e-12) <= float(figure) * watt <= row.max_load_w * (1 + 1e-12)
