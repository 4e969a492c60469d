"""The cross list: planted windows with what must take their place, and catalogues whose sizes are known to be the next ones."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import openpyxl
import pytest

import tablegen
from tablegen.answers.cross_list import Crossing, WindowGrid, cross_list
from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.model.publications import Combination
from tests.small import small_catalogue

PART = Combination("alder", "R404A", "walk_in_medium")
CHARGE = "cross-404-medium"


def grid(windows: dict[str, list[tuple[float, float]]], sst_k: list[float]) -> WindowGrid:
    limits = np.array(list(windows.values()), dtype=float)
    return WindowGrid(sizes=tuple(windows), sst_k=np.array(sst_k), min_load_w=limits[..., 0], max_load_w=limits[..., 1])


@pytest.fixture(scope="module")
def two(tmp_path_factory) -> tuple[Path, Path]:
    """A catalogue, and one whose sizes 16, 32 and 63 have the Kv of the next size here."""
    folder = tmp_path_factory.mktemp("cross")
    asked = (["alder"], {"R404A": ["R404A"]}, ["walk_in_medium"])
    larger = [
        ("families/alder.yaml", "{size: 16, kv: 16.0 L/h}", "{size: 16, kv: 22.4 L/h}"),
        ("families/alder.yaml", "{size: 22, kv: 22.4 L/h}", "{size: 22, kv: 26.0 L/h}"),
        ("families/alder.yaml", "{size: 63, kv: 63.0 L/h}", "{size: 63, kv: 90.0 L/h}"),
        ("families/alder.yaml", "{size: 90, kv: 90.0 L/h}", "{size: 90, kv: 100 L/h}"),
    ]
    return small_catalogue(folder / "own", *asked), small_catalogue(folder / "other", *asked, larger)


Crossed = Callable[[WindowGrid, WindowGrid], list[Crossing]]


@pytest.fixture(scope="module")
def crossed(two) -> Crossed:
    """Planted windows of two catalogues, crossed."""
    catalogue = load_catalogue(two[0])
    return lambda own, other: cross_list(catalogue, catalogue, {PART: own}, {PART: other})


def test_what_covers_both_rows_takes_the_place_and_the_nearest_of_several_does(crossed):
    own = {"11": [(1.0, 9.0), (1.0, 9.0)], "16": [(3.0, 7.0), (3.0, 7.0)], "22": [(4.5, 20.0), (4.5, 20.0)]}
    [one] = crossed(grid(own, [260.0, 270.0]), grid({"45": [(4.0, 6.0), (3.0, 7.0)]}, [260.0, 270.0]))
    assert one.found and (one.found.family, one.found.size, one.found.charge) == ("alder", "16", CHARGE)
    assert one.found.covers_all and one.better is None


def test_a_part_is_stated_as_a_share_on_a_log_scale(crossed):
    """Of 2 to 8 kW, two doublings, 4 to 16 kW covers one."""
    [one] = crossed(grid({"11": [(4000.0, 16000.0)]}, [260.0]), grid({"45": [(2000.0, 8000.0)]}, [260.0]))
    assert one.found and not one.found.covers_all
    assert one.found.share.tolist() == pytest.approx([0.5])


def test_between_two_rows_the_stricter_counts_and_beyond_them_nothing(crossed):
    own = grid({"11": [(1.0, 9.0), (2.0, 8.0)]}, [260.0, 270.0])
    minimum, maximum = own.at(np.array([255.0, 260.0, 265.0, 270.0, 271.0]))
    assert minimum.tolist()[0][1:4] == [1.0, 2.0, 2.0] and maximum.tolist()[0][1:4] == [9.0, 8.0, 8.0]
    assert np.isnan(minimum[0, [0, 4]]).all()
    nan = float("nan")
    # An empty window needs no place; one that nothing covers, or only here and there in part, gets none.
    other = {
        "32": [(nan, nan), (3.0, 7.0)],
        "45": [(nan, nan)] * 2,
        "63": [(20.0, 30.0)] * 2,
        "90": [(5.0, 8.5), (8.0, 9.0)],
    }
    found = crossed(own, grid(other, [260.0, 270.0]))
    assert [one.found is not None for one in found] == [True, False, False, True]
    assert [one.has_window for one in found] == [True, False, True, True]
    assert found[0].found and found[0].found.covers_all and not (found[3].found and found[3].found.covers_all)


def test_every_size_takes_its_own_place_and_a_larger_kv_that_of_the_next_size(two):
    own, other = two
    itself = tablegen.cross(own, catalogue=own)
    frame = itself.frame()
    assert itself.passed and len(frame) == 9 and (frame["size"] == frame["other_size"]).all()
    assert set(frame["covers"]) == {"all"} and (frame["share"] == 1.0).all()
    named = tablegen.cross(other, catalogue=own).frame().set_index("other_size")["size"]
    assert {key: named[key] for key in ("11", "16", "32", "63", "125")} == {
        "11": "11",
        "16": "22",
        "32": "32",
        "63": "90",
        "125": "125",
    }


def test_only_what_is_in_stock_is_listed_and_where_it_falls_short_is_said(two, tmp_path, capsys):
    own, other = two
    stock = tmp_path / "stock.csv"
    stock.write_text(f"family,size,charge\nAlder,22,{CHARGE}\nAlder,45,cross-448-medium\n", encoding="utf-8")
    asked = ["cross", str(other), "--catalogue", str(own), "--stock", str(stock)]
    assert main([*asked, "--json"]) == 1
    rows = {row["other_size"]: row for row in json.loads(capsys.readouterr().out)["tables"]["valves"]}
    assert (rows["16"]["size"], rows["16"]["covers"]) == ("22", "all")
    # Kv of 32 over that of 22: at each row the same part of the window is covered, from its minimum load on.
    part = rows["32"]
    assert (part["size"], part["covers"], part["not_in_stock_size"], part["sst_covered_k"]) == ("22", "part", "32", [])
    low, high = max(part["min_load_w"], part["other_min_load_w"]), min(part["max_load_w"], part["other_max_load_w"])
    assert low == part["other_min_load_w"] and high == part["max_load_w"]
    assert part["max_load_w"] / part["other_max_load_w"] == pytest.approx(22.4 / 31.5, rel=1e-9)
    assert (rows["125"]["covers"], rows["125"]["size"], rows["125"]["not_in_stock_size"]) == ("none", None, "125")
    assert main(asked) == 1
    text = " ".join(capsys.readouterr().out.split())
    assert "1 of 9 valves have a replacement in stock that covers every load window" in text
    assert re.search(
        r"For \d valves? the closest match covers only part of the load windows, down to \d+ % of one window", text
    )
    # A window of a maximum 22.4/31.5 as high covers so much less of it on a log scale.
    window = math.log(part["other_max_load_w"] / part["other_min_load_w"])
    share = 1.0 - math.log(31.5 / 22.4) / window
    assert part["share"] == pytest.approx(share, rel=1e-6) and f"({math.floor(100.0 * share)} %); needs" in text


def test_the_list_is_a_workbook_in_the_units_of_the_answer(two, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    own, other = two
    stock = Path("stock.xlsx")
    book = openpyxl.Workbook()
    for row in (["family", "size", "charge"], ["Alder", "22", CHARGE]):
        book.active.append(row)
    book.save(stock)
    asked = ["cross", str(other), "--catalogue", str(own), "--stock", str(stock)]
    assert main([*asked, "--output", "cross.xlsx", "--csv", "cross.csv", "--json"]) == 1
    rows = json.loads(capsys.readouterr().out)["tables"]["valves"]
    sheets = openpyxl.load_workbook("cross.xlsx")
    assert sheets.sheetnames == ["Cross list", "Caution"]
    head, *cells = sheets["Cross list"].iter_rows(values_only=True)
    shown = [dict(zip(head, row, strict=True)) for row in cells]
    assert [row["Valve"] for row in shown] == [f"Alder {row['other_size']}" for row in rows]
    by_size = {row["other_size"]: row for row in rows}
    none, part = shown[[*by_size].index("125")], shown[[*by_size].index("32")]
    assert (none["Closest match in stock"], none["Maximum load needed, kBtu/h"]) == ("no valve", None)
    assert none["Better match, not in stock"] == "Alder 125"
    assert part["Closest match in stock"] == "Alder 22"
    # Three figures, maximum down.
    watts = by_size["32"]["max_load_w"]
    assert part["Maximum load covered, kBtu/h"] == pytest.approx(watts / 293.07107, rel=6e-3)
    assert part["Share covered, %"] == math.floor(100.0 * by_size["32"]["share"])
    cautions = " ".join(str(row[0]) for row in sheets["Caution"].iter_rows(values_only=True))
    assert "Before substituting, check charge and MOP" in cautions and "Refrigerants are under pressure" in cautions
    content = Path("cross.xlsx").read_bytes()
    assert main([*asked, "--units", "SI", "--output", "cross.csv"]) == 1
    assert Path("cross.csv").read_text(encoding="utf-8").startswith("application,other_group,")
    tablegen.cross(other, catalogue=own, stock=stock).write("again.xlsx")
    assert Path("again.xlsx").read_bytes() == content
    # The stock sheet is read, never written.
    assert main([*asked, "--output", "stock.xlsx"]) == 2
    assert "it is a list that this command reads" in capsys.readouterr().err


def test_a_window_that_is_covered_but_for_a_hundredth_is_nearly_all_covered_and_still_not_all(two, monkeypatch, capsys):
    own, other = two
    monkeypatch.setattr("tablegen.report.answers.cross_list._NEARLY_ALL", 0.5)
    assert main(["cross", str(other), "--catalogue", str(own)]) == 1
    assert "nearly all" in capsys.readouterr().out


def test_what_cannot_be_compared_is_said(two, tmp_path, capsys):
    own, _ = two
    moved = small_catalogue(
        tmp_path / "other",
        ["alder"],
        {"R134a": ["R134a"], "cold": ["R404A"]},
        ["walk_in_medium"],
    )
    answer = tablegen.cross(moved, catalogue=own)
    assert "this catalogue has no table with R134a." in str(answer)
    frame = answer.frame()
    # Another name of the group, the same refrigerants.
    assert set(frame.loc[frame["other_group"] == "cold", "group"]) == {"R404A"}
    assert main(["cross", str(moved), "--catalogue", str(own), "--application", "walk_in_low"]) == 2
    assert "walk_in_medium" in capsys.readouterr().err
