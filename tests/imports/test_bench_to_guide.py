"""Three families from CSV alone: what the catalogue then has is what the sheets say, and it is published and revised."""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import numpy as np
import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.physics.valve import static_superheat
from tests.imports.own_families import SHEETS, edited, own_catalogue
from tests.small import DEMO

W_PER_TON = 3516.8528420666676
FIRST = "  - {revision: A, date: 2026-11-25, change: First issue.}\n"
SECOND = """\
  - revision: B
    date: 2027-03-01
    change: Lower stop of the large port insert.
"""
REASON = """\
    reasons:
      - {file: families/sorrel.yaml, key: port_designs.large.opening.stop, why: A new bench test of the large insert.}
"""
# IEC 60534-2-1: Cv is 1.156 times Kv.
KV_PER_CV = 1.0 / 1.156


def rows(name: str, delimiter: str = ",") -> list[dict[str, str]]:
    with (DEMO / "import" / f"{name}.csv").open(encoding="utf-8") as stream:
        return list(csv.DictReader(stream, delimiter=delimiter))


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return own_catalogue(tmp_path_factory.mktemp("own") / "my-valves")


@pytest.fixture(scope="module")
def loaded(catalogue):
    return load_catalogue(catalogue)


def test_sizes_have_the_capacities_of_the_sheet_and_its_names(loaded):
    sizes = loaded.families["sorrel"].sizes
    sheet = rows("sorrel-sizes")
    assert [size.display_name for size in sizes] == ["0.5", "0.8", "1.25", "2", "3.15", "5", "8", "12.5"]
    stated = [float(row["capacity [ton]"]) * W_PER_TON for row in sheet]
    assert [size.nominal_capacity_w for size in sizes] == pytest.approx(stated, rel=1e-12)
    # Capacity is proportional to Kv at one rating.
    ratio = np.array([size.kv_rated_m3h for size in sizes]) / stated
    assert ratio == pytest.approx(ratio[0], rel=1e-12)


def test_check_names_what_is_still_the_company_of_the_demo(catalogue, capsys):
    assert main(["check", "--catalogue", str(catalogue)]) == 0
    shown = capsys.readouterr().err
    assert "company.yaml:1: name, logo: still as in the demo. " in shown
    assert re.search(r"catalogue.yaml:\d+: notice, date: still as in the demo\. ", shown)


def test_each_size_has_the_port_insert_of_its_row(loaded):
    family = loaded.families["sorrel"]
    designs = {design.name: design for design in family.port_designs}
    assert set(designs) == {"small", "medium", "large"}
    for size, row in zip(family.sizes, rows("sorrel-sizes"), strict=True):
        assert size.port_design == row["port insert"]
        design = designs[size.port_design]
        actuator = design.elements[0].actuator
        assert actuator.balance.unbalance == pytest.approx(float(row["unbalance [%]"]) / 100.0)
        assert actuator.stop == pytest.approx(float(row["stop [%]"]) / 100.0)
        assert actuator.min_stable == pytest.approx(float(row["minimum stable opening [%]"]) / 100.0)
        assert design.working_pressure_gauge_pa == pytest.approx(
            float(row["working pressure [psig]"]) * 6894.757, rel=1e-6
        )


def test_one_curve_has_two_settings(loaded):
    first, second = loaded.families["sorrel"].elements
    curves = [element.actuator.balance.charge.curve for element in (first, second)]
    stated = [float(row["pressure [psia]"]) * 6894.757 for row in rows("sorrel-curve")]
    for curve in curves:
        assert curve.pressure_pa == pytest.approx(stated, rel=1e-6)
    # 32 degF in the bulb, set to 3 and 4 degF on the refrigerant of each.
    for element, fahrenheit, name in ((first, 3.0, "R404A"), (second, 4.0, "R448A")):
        assert element.setting_refrigerant == name
        evaporating = 273.15 - fahrenheit / 1.8
        found = static_superheat(element.actuator.balance, loaded.refrigerants[name], np.array([evaporating]))
        assert found[0] * 1.8 == pytest.approx(fahrenheit, abs=1e-6)


def test_cv_and_decimal_commas_are_read(loaded):
    tansy, yarrow = loaded.families["tansy"], loaded.families["yarrow"]
    for size, row in zip(tansy.sizes, rows("tansy"), strict=True):
        assert size.kv_rated_m3h == pytest.approx(float(row["Cv"]) * KV_PER_CV, rel=1e-12)
    assert [1000.0 * size.kv_rated_m3h for size in yarrow.sizes] == pytest.approx([19.5, 41.0, 79.5, 162.0, 315.0])
    shares = [
        (float(r["travel [%]"]) / 100, float(r["share of Kv [%]"].replace(",", ".")) / 100)
        for r in rows("yarrow-characteristic", ";")
    ]
    assert np.array(yarrow.characteristic.points) == pytest.approx(np.array(shares))


def test_part_numbers_are_of_the_family(loaded):
    numbers = {part.size: part.number for part in loaded.part_numbers if part.family == "sorrel"}
    assert numbers["5"] == "SO-06" and len(numbers) == 8


@pytest.mark.slow
def test_the_path_from_sheets_to_a_revised_guide(catalogue, capsys):
    folder = catalogue.parent.parent
    arguments = ["--catalogue", str(catalogue)]
    assert main(["build", *arguments, "--output", str(folder / "A")]) == 0
    release = folder / "A" / "my-valves"
    assert {path.name for path in release.glob("*.pdf")} == {"booklet.pdf", "booklet-a4-si.pdf"}
    # A new bench test finds a lower stop of the large insert: one column of one sheet.
    sheet = catalogue.parent / "import" / "sorrel-sizes.csv"
    text = sheet.read_text(encoding="utf-8")
    sheet.write_text(text.replace("large,115", "large,105"), encoding="utf-8")
    family = catalogue.parent / "families" / "sorrel.yaml"
    family.write_text(f"{family.read_text(encoding='utf-8')}# A remark of ours.\n", encoding="utf-8")
    capsys.readouterr()
    assert main(["import", str(sheet), "--family", "sorrel", *arguments]) == 0
    said = capsys.readouterr().out
    removed = [line for line in said.splitlines() if line.startswith("-") and not line.startswith("---")]
    assert removed == ["-  opening: {stop: 115 percent, minimum_stable: 20 percent, reserve_in_limits: 100 percent}"]
    assert "# A remark of ours." in family.read_text(encoding="utf-8")
    edited(catalogue, "revision: A\n", "revision: B\n")
    edited(catalogue, FIRST, FIRST + SECOND)
    again = ["build", *arguments, "--output", str(folder / "B"), "--since", str(release)]
    assert main(again) == 2
    # What the import changed is what needs a reason.
    assert (
        "families/sorrel.yaml, port_designs.large.opening.stop (115 percent, now 105 percent)"
        in capsys.readouterr().err
    )
    edited(catalogue, SECOND, SECOND + REASON)
    assert main(again) == 0
    new = folder / "B" / "my-valves"
    assert (new / "revision-notice.pdf").exists()
    changed = {family: _changed(release, new, family) for family in SHEETS}
    assert changed == {"sorrel": {"8", "12.5"}, "tansy": set(), "yarrow": set()}


def _changed(old: Path, new: Path, family: str) -> set[str]:
    """The sizes of a family of which a limit differs between two releases."""
    import pandas as pd

    frames = [pd.read_csv(folder / "windows.csv", dtype={"size": str}) for folder in (old, new)]
    one, two = (frame[frame["family"] == family].reset_index(drop=True) for frame in frames)
    differs = ~np.isclose(one["max_load_w"], two["max_load_w"], rtol=1e-9, equal_nan=True)
    assert math.isfinite(two["max_load_w"].max())
    return set(two.loc[differs, "size"])
