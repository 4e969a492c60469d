"""Selection maps: the rectangle rule against every load and temperature of a cell, and the naive rule's errors."""

import itertools

import numpy as np
import pandas as pd
import pytest

from tablegen.tables.selection_map import R10, R20, preferred_numbers, selection_map
from tests.demo import demo_data
from tests.us_units import W_PER_KBTU

KEYS = ["family", "group", "application"]


def by_size(windows: pd.DataFrame) -> dict[str, np.ndarray]:
    """Suction temperature, minimum and maximum of each row of a size, coldest first."""
    ordered = windows.sort_values("sst_k")
    columns = ["sst_k", "min_load_w", "max_load_w"]
    return {str(size): rows[columns].to_numpy() for size, rows in ordered.groupby("size", sort=False)}


def window_at(sizes: dict[str, np.ndarray], size: str, sst_k: float) -> tuple[float, float]:
    """A size's window between two rows: what both rows cover, as the page says."""
    own = sizes[size]
    _, *low = own[own[:, 0] <= sst_k + 1e-6][-1]
    _, *high = own[own[:, 0] >= sst_k - 1e-6][0]
    return max(low[0], high[0]), min(low[1], high[1])


def test_preferred_numbers():
    """ISO 3: ten and twenty steps a decade, each rounded within 1.3 % of its power of ten."""
    for series in (R10, R20):
        exact = 10.0 ** (np.arange(len(series)) / len(series))
        assert np.abs(np.array(series) / exact - 1.0).max() < 0.013
    assert preferred_numbers(R10, 0.9, 11.0) == [0.8, 1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0, 10.0, 12.5]
    assert preferred_numbers(R10, 1.0, 10.0) == [1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0, 10.0]
    with pytest.raises(ValueError, match="no preferred numbers"):
        preferred_numbers(R10, 0.0, 1.0)


def part(family="alder", group="R404A-R507A", application="walk_in_medium") -> pd.DataFrame:
    g = demo_data().group_windows
    return g[(g["family"] == family) & (g["group"] == group) & (g["application"] == application)]


def cells_of(windows: pd.DataFrame) -> pd.DataFrame:
    loads = np.array(
        preferred_numbers(R20, windows["min_load_w"].min() / W_PER_KBTU, windows["max_load_w"].max() / W_PER_KBTU)
    )
    coldest, warmest = windows["sst_k"].min(), windows["sst_k"].max()
    edges = np.append(np.arange(coldest, warmest - 1e-6, 50.0 / 9.0), warmest)
    return selection_map(windows, loads * W_PER_KBTU, edges)


@pytest.mark.parametrize(
    "which",
    [
        ("alder", "R404A-R507A", "walk_in_medium"),
        ("rowan", "R448A-family", "walk_in_medium_fixed"),
        ("alder", "R407C", "walk_in_low"),
        pytest.param(("hazel", "R404A-R507A", "walk_in_low"), marks=pytest.mark.slow),
    ],
)
def test_a_size_in_a_cell_covers_every_load_and_temperature_of_it(which):
    windows = part(*which)
    cells, sizes = cells_of(windows), by_size(windows)
    random = np.random.default_rng(3)
    checked = 0
    for _, cell in cells[cells["first_size"] != ""].iterrows():
        for size in filter(None, (cell["first_size"], cell["second_size"])):
            ends = cell["sst_from_k"], cell["sst_to_k"]
            for sst_k in (*ends, *random.uniform(*ends, 3)):
                minimum, maximum = window_at(sizes, size, sst_k)
                assert minimum <= cell["load_above_w"] * (1 + 1e-9)
                assert maximum >= cell["load_upto_w"] * (1 - 1e-9)
                checked += 1
    assert checked > 40


def test_no_size_that_covers_a_cell_is_passed_over():
    windows = part()
    for _, cell in cells_of(windows).iterrows():
        inside = windows[windows["sst_k"].between(cell["sst_from_k"] - 1e-6, cell["sst_to_k"] + 1e-6)]
        by = inside.groupby("size").agg(minimum=("min_load_w", "max"), maximum=("max_load_w", "min"))
        covers = (by["minimum"] <= cell["load_above_w"]) & (by["maximum"] >= cell["load_upto_w"])
        named = {s for s in (cell["first_size"], cell["second_size"]) if s}
        assert named <= set(by.index[covers].astype(str))
        assert len(named) == min(2, int(covers.sum()))


def test_first_choice_has_the_larger_of_the_smaller_margins():
    windows = part()
    for _, cell in cells_of(windows).iterrows():
        if not cell["second_size"]:
            continue
        inside = windows[windows["sst_k"].between(cell["sst_from_k"] - 1e-6, cell["sst_to_k"] + 1e-6)]

        def margin(size, inside=inside, cell=cell):
            own = inside[inside["size"].astype(str) == size]
            return min(cell["load_above_w"] / own["min_load_w"].max(), own["max_load_w"].min() / cell["load_upto_w"])

        assert margin(cell["first_size"]) >= margin(cell["second_size"])


def test_rounding_up_and_taking_the_colder_column_would_name_sizes_that_do_not_fit():
    """Why the rule is the rectangle's: the naive reading is wrong in some cells, the map in none."""
    windows = part("rowan", "R448A-family", "walk_in_medium")
    sizes, wrong = by_size(windows), 0
    for _, cell in cells_of(windows).iterrows():
        colder = windows[(windows["sst_k"] - cell["sst_from_k"]).abs() < 1e-6]
        naive = colder[(colder["min_load_w"] <= cell["load_upto_w"]) & (colder["max_load_w"] >= cell["load_upto_w"])]
        for size in naive["size"].astype(str):
            held = [window_at(sizes, size, cell[end]) for end in ("sst_from_k", "sst_to_k")]
            wrong += any(
                minimum > cell["load_above_w"] * (1 + 1e-9) or maximum < cell["load_upto_w"] * (1 - 1e-9)
                for minimum, maximum in held
            )
    assert wrong > 0


def test_an_empty_window_excludes_its_size_from_the_column():
    windows = pd.DataFrame(
        {
            "size": ["a"] * 3,
            "sst_k": [260.0, 265.0, 270.0],
            "min_load_w": [1.0, np.nan, 1.0],
            "max_load_w": [9.0, np.nan, 9.0],
        }
    )
    cells = selection_map(windows, np.array([2.0, 4.0]), np.array([260.0, 270.0]))
    assert cells["first_size"].tolist() == [""]


def test_charts_are_restricted_to_the_stock_and_cover_the_temperatures():
    data = demo_data()
    chart = data.catalogue.charts[0]
    cells = data.charts[data.charts["publication"] == "counter"]
    named = set(cells["first_size"]) | set(cells["second_size"])
    assert named - {""} <= set(chart.stock[chart.groups[0]])
    assert set(cells["group"]) == set(chart.groups)
    for _, rows in cells.groupby("group"):
        edges = sorted(set(rows["sst_from_k"]) | set(rows["sst_to_k"]))
        assert [round(e * 1.8 - 459.67) for e in edges] == [10, 20, 30, 40]
        loads = sorted(set(rows["load_above_w"] / W_PER_KBTU) | set(rows["load_upto_w"] / W_PER_KBTU))
        assert all(any(abs(v - s * 10.0**d) < 1e-6 for d, s in itertools.product(range(-1, 4), R10)) for v in loads)


def test_a_column_between_two_rows_needs_both_of_them():
    """An edge that is no row of the table lies between two, and a reader must find the load in both."""
    windows = part()
    rows = np.unique(windows["sst_k"])
    loads = np.geomspace(2.0, 30.0, 200) * W_PER_KBTU
    inside = selection_map(windows, loads, np.array([0.7 * rows[3] + 0.3 * rows[4], 0.4 * rows[5] + 0.6 * rows[6]]))
    rounded = selection_map(windows, loads, np.array([rows[3], rows[6]]))
    assert inside["first_size"].tolist() == rounded["first_size"].tolist()
    assert (inside["first_size"] != selection_map(windows, loads, rows[4:6])["first_size"]).any()


def test_the_booklets_maps_are_in_the_data_set_once_for_each_load_unit():
    data = demo_data()
    maps = data.selection_maps
    assert list(dict.fromkeys(maps["load_unit"])) == ["kBtu/h", "kW"]
    wanted = {tuple(getattr(c, k) for k in KEYS) for b in data.catalogue.booklets for c in b.combinations}
    assert set(map(tuple, maps[KEYS].drop_duplicates().to_numpy())) == wanted
    for unit, watt in (("kBtu/h", W_PER_KBTU), ("kW", 1000.0)):
        own = maps[(maps["load_unit"] == unit) & (maps["family"] == "alder") & (maps["group"] == "R404A-R507A")]
        own = own[own["application"] == "walk_in_medium"]
        steps = sorted({*own["load_above_w"], *own["load_upto_w"]})
        exact = [v / watt for v in steps]
        assert all(min(abs(v / s - 1.0) for s in preferred_numbers(R20, 0.9 * v, 1.1 * v)) < 1e-9 for v in exact)
        # Columns meet at rows of the table, and leave none of them out.
        rows, edges = np.unique(part()["sst_k"]), np.unique(own[["sst_from_k", "sst_to_k"]])
        assert all(np.abs(rows - edge).min() < 1e-9 for edge in edges)
        assert (edges[0], edges[-1]) == (rows[0], rows[-1]) and len(edges) - 1 <= 8
        expected = selection_map(part(), np.array(steps), edges)
        assert expected["first_size"].tolist() == own["first_size"].tolist()
        assert expected["second_size"].tolist() == own["second_size"].tolist()


def test_wide_windows_have_a_map_of_coarser_rows():
    maps = demo_data().selection_maps
    served = maps[(maps["first_size"] != "")].groupby(["load_unit", *KEYS])["load_above_w"].nunique()
    assert served.max() <= 36
    hazel = maps[(maps["family"] == "hazel") & (maps["load_unit"] == "kW")]
    first = hazel.iloc[0]
    assert first["load_upto_w"] / first["load_above_w"] > 1.2
