"""Files of parts near the valve: one line for each error, before anything is computed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tests.small import DEMO, ROOT, small_catalogue

SEDGE, TEASEL, CATALOGUE = "parts/sedge.yaml", "parts/teasel.yaml", "catalogue.yaml"
# File, text, what replaces it, text on the line that the message must name, parts of the message.
CASES = {
    "no unit": (SEDGE, "kv: 100 L/h", "kv: 100", "kv: 100}", ("sizes[1].kv", "100 is not allowed", "unit")),
    "wrong unit": (SEDGE, "kv: 100 L/h", "kv: 100 psi", "100 psi", ("sizes[1].kv", "flow coefficient")),
    "unsorted": (SEDGE, "kv: 125 L/h", "kv: 90 L/h", "90 L/h", ("sizes[2].kv", "sizes must ascend in kv", "100 L/h")),
    "size twice": (SEDGE, "size: 10,", "size: 8,", "size: 8, kv: 100", ("sizes[1].size", "another size")),
    "name twice": (SEDGE, "size: 10,", "size: 10, display: '8',", "display: '8'", ("sizes[1].display", "already")),
    "unknown refrigerant": (
        SEDGE,
        "{safety_groups: [A1, A2L]}",
        "{refrigerants: [R448B]}",
        "R448B",
        ("approved.refrigerants[0]", "'R448B' is not allowed; a refrigerant must be one of"),
    ),
    "approved for nothing": (SEDGE, "{safety_groups: [A1, A2L]}", "{}", "approved: {}", ("approved",)),
    "unknown kind": (
        SEDGE,
        "distributor_nozzle",
        "distributor",
        "kind: distributor",
        ("did you mean distributor_nozzle",),
    ),
    "key of the other kind": (
        SEDGE,
        "kv: 100 L/h}",
        "kv: 100 L/h, minimum_pressure_drop: 1 psi}",
        "minimum_pressure_drop",
        ("sizes[1].minimum_pressure_drop", "not known"),
    ),
    "another name than the file": (SEDGE, "part: sedge", "part: rush", "part: rush", ("'rush'", "sedge")),
    "stays open above its maximum": (
        TEASEL,
        "kv: 500 L/h, minimum_pressure_drop: 0.5 psi",
        "kv: 500 L/h, minimum_pressure_drop: 4 psi",
        "4 psi",
        ("sizes[4].minimum_pressure_drop", "below maximum_pressure_drop"),
    ),
    "absolute pressure": (
        TEASEL,
        "500 psi_gauge",
        "500 psi_absolute",
        "500 psi_absolute",
        ("working_pressure", "gauge"),
    ),
    "no such part": (
        CATALOGUE,
        "[sedge, teasel]",
        "[sedge, tease]",
        "tease]",
        ("nearby_parts[1]", "did you mean teasel"),
    ),
    "part twice": (CATALOGUE, "[sedge, teasel]", "[sedge, sedge]", "sedge, sedge", ("nearby_parts[1]", "twice")),
}


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    """A small catalogue with the demo's parts, below the current folder."""
    monkeypatch.chdir(tmp_path)
    parts = "nearby_parts: [sedge, teasel]\n"
    small_catalogue(tmp_path / "own", ["hazel"], {"R448A": ["R448A"]}, ["walk_in_medium"], more=parts)
    return Path("own")


@pytest.mark.parametrize("case", CASES)
def test_an_error_is_one_line_with_file_line_and_key(folder, case, capsys):
    file, old, new, at, parts = CASES[case]
    text = (folder / file).read_text(encoding="utf-8")
    assert old in text
    changed = text.replace(old, new, 1)
    (folder / file).write_text(changed, encoding="utf-8")
    assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    (line,) = err.splitlines()
    assert line.startswith(f"own/{file}:{changed[: changed.index(at)].count(chr(10)) + 1}: ")
    for part in parts:
        assert part in line


def test_quantities_are_read_in_any_unit_and_the_usual_drop_is_taken_where_none_is_given(folder):
    path = folder / TEASEL
    text = path.read_text(encoding="utf-8").replace("maximum_pressure_drop: 3 psi\n", "").replace("80 L/h", "0.08 m3/h")
    path.write_text(text, encoding="utf-8")
    sedge, teasel = load_catalogue(folder / CATALOGUE).nearby_parts
    assert (sedge.display_name, teasel.display_name) == ("Sedge", "Teasel")
    assert teasel.maximum_drop_pa == pytest.approx(3.0 * 6894.757, rel=1e-6)
    assert teasel.sizes[0].kv_m3h == pytest.approx(0.08)
    assert [size.minimum_drop_pa > 0.0 for size in teasel.sizes] == [False, False, False, True, True, True, True]


def test_the_demo_has_its_parts_and_a_catalogue_without_them_is_sound(folder, capsys):
    path = folder / CATALOGUE
    path.write_text(path.read_text(encoding="utf-8").replace("nearby_parts: [sedge, teasel]\n", ""), encoding="utf-8")
    assert load_catalogue(path).nearby_parts == ()
    assert (DEMO / SEDGE).is_file() and (DEMO / TEASEL).is_file()


def test_the_example_of_the_manual_is_sound(folder):
    text = (ROOT / "tablegen" / "manual" / "maker.md").read_text(encoding="utf-8")
    [example] = re.findall(r"^```yaml\n(part: reed.*?)^```", text, re.M | re.S)
    (folder / "parts" / "reed.yaml").write_text(example, encoding="utf-8")
    path = folder / CATALOGUE
    path.write_text(
        path.read_text(encoding="utf-8").replace("[sedge, teasel]", "[sedge, teasel, reed]"), encoding="utf-8"
    )
    assert [size.display_name for size in load_catalogue(path).nearby_parts[2].sizes] == ["20", "50"]
