"""What a counter chart says of loads between the sizes in stock, against the windows at random loads and SSTs."""

import itertools

import numpy as np
import pandas as pd
import pytest

from tablegen.tables.selection_map import R10, preferred_numbers, selection_map
from tests.demo import demo_data
from tests.us_units import W_PER_KBTU

EDGE = 1.0 + 1e-9


def windows_of(family: str, group: str, application: str, stock: list[str]) -> pd.DataFrame:
    g = demo_data().group_windows
    own = g[(g["family"] == family) & (g["group"] == group) & (g["application"] == application)]
    return own[own["size"].astype(str).isin(stock)]


def window_at(own: tuple[np.ndarray, np.ndarray, np.ndarray], sst_k: float) -> tuple[float, float]:
    """One size's window (of its rows' SST, minimum, maximum), between two rows the loads that both of them have."""
    at, minimum, maximum = own
    # The last row that is not above, and the first that is not below.
    low, high = np.searchsorted(at, sst_k + 1e-6, "right") - 1, np.searchsorted(at, sst_k - 1e-6, "left")
    return max(minimum[low], minimum[high]), min(maximum[low], maximum[high])


def cells_of(windows: pd.DataFrame, width_k: float) -> pd.DataFrame:
    loads = preferred_numbers(R10, windows["min_load_w"].min() / W_PER_KBTU, windows["max_load_w"].max() / W_PER_KBTU)
    coldest, warmest = windows["sst_k"].min(), windows["sst_k"].max()
    edges = np.append(np.arange(coldest, warmest - 1e-6, width_k), warmest)
    return selection_map(windows, np.array(loads) * W_PER_KBTU, edges)


def samples(cell: dict[str, float], random: np.random.Generator) -> list[tuple[float, float]]:
    """Loads and suction temperatures of a cell: its corners, edges and inside."""
    loads = [
        cell["load_above_w"] * EDGE,
        cell["load_upto_w"],
        *random.uniform(cell["load_above_w"], cell["load_upto_w"], 8),
    ]
    return list(
        itertools.product(
            loads, [cell["sst_from_k"], cell["sst_to_k"], *random.uniform(cell["sst_from_k"], cell["sst_to_k"], 4)]
        )
    )


STOCKS = [
    (("alder", "R404A-R507A", "walk_in_medium"), ["16", "22", "32", "45", "90", "125"]),
    (("alder", "R448A-family", "walk_in_medium"), ["16", "45", "125"]),
    (("alder", "R407C", "walk_in_low"), ["22", "63", "90"]),
    (("alder", "R404A-R507A", "walk_in_medium"), ["16", "32", "63", "125"]),
    (("rowan", "R448A-family", "walk_in_medium"), None),
]


def of_stock(which: int) -> pd.DataFrame:
    part, stock = STOCKS[which]
    g = demo_data().group_windows
    return windows_of(*part, stock or list(g.loc[g["family"] == part[0], "size"].astype(str).unique())[::2])


@pytest.mark.parametrize("which", range(len(STOCKS)))
@pytest.mark.parametrize("width_k", [50.0 / 9.0, 3.7])
def test_what_a_cell_says_is_true_of_the_windows(which, width_k):
    windows, random = of_stock(which), np.random.default_rng(7)
    columns = ["sst_k", "min_load_w", "max_load_w"]
    by_size = {
        str(size): tuple(own.sort_values("sst_k")[columns].to_numpy().T) for size, own in windows.groupby("size")
    }
    seen = set()
    for cell in cells_of(windows, width_k).to_dict("records"):
        seen.add(str(cell["coverage"]))
        for load, sst in samples(cell, random):
            at = {size: window_at(own, sst) for size, own in by_size.items()}
            held = {
                size for size, (minimum, maximum) in at.items() if minimum <= load * EDGE and maximum * EDGE >= load
            }
            if cell["coverage"] == "none":
                assert held == set()
            elif cell["coverage"] == "whole":
                assert cell["first_size"] in held
            elif cell["coverage"] in ("between", "either"):
                assert held & {cell["lower_size"], cell["upper_size"]}
            # Whatever else is said of the cell, what is said of a size is true.
            if cell["lower_size"] and load <= cell["lower_upto_w"]:
                assert cell["lower_size"] in held
            if cell["upper_size"] and load >= cell["upper_from_w"]:
                assert cell["upper_size"] in held
            if cell["coverage"] == "between":
                assert cell["lower_upto_w"] * EDGE >= cell["upper_from_w"]
    assert "part" in seen


def test_every_kind_of_coverage_occurs_in_these_cells():
    found = [cells_of(of_stock(i), width) for i in range(len(STOCKS)) for width in (50.0 / 9.0, 3.7)]
    assert set(pd.concat(found)["coverage"]) == {"whole", "between", "either", "part", "none"}


def test_a_load_that_a_size_covers_at_one_suction_temperature_is_no_gap():
    """Its window passes the row of loads on its way up, so that only the middle temperature covers it."""
    rows = pd.DataFrame(
        {
            "size": ["a"] * 3,
            "sst_k": [260.0, 265.0, 270.0],
            "min_load_w": [1.0, 4.0, 9.0],
            "max_load_w": [3.0, 8.0, 18.0],
        }
    )
    cells = selection_map(rows, np.array([5.0, 6.0]), np.array([260.0, 270.0]))
    assert cells["coverage"].tolist() == ["part"]
    # Between two rows a limit lies between theirs: 3.5 may be covered there, 20 never.
    cells = selection_map(rows, np.array([3.2, 3.8, 18.5, 20.0]), np.array([260.0, 270.0]))
    assert cells["coverage"].tolist() == ["part", "part", "none"]


def test_a_size_in_a_chart_that_covers_nothing_of_a_row_is_not_named_for_it():
    rows = pd.DataFrame(
        {
            "size": ["a", "b"] * 2,
            "sst_k": [260.0, 260.0, 265.0, 265.0],
            "min_load_w": [1.0, 9.0, 1.0, 9.0],
            "max_load_w": [5.0, 20.0, 5.0, 20.0],
        }
    )
    cells = selection_map(rows, np.array([5.0, 6.3, 8.0, 10.0]), np.array([260.0, 265.0]))
    assert cells["coverage"].tolist() == ["none", "none", "part"]
    assert cells["lower_size"].tolist() == ["", "", ""]
    assert cells["upper_size"].tolist() == ["", "", "b"]
