"""Two releases compared: one change of the configs, the windows that it changes, and its name."""

from __future__ import annotations

import copy
import dataclasses
import hashlib
import json
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from tablegen.config.loader import load_catalogue
from tablegen.dataset.comparison import Comparison, compare
from tablegen.dataset.compute import compute_windows
from tablegen.dataset.csv_files import csv_of
from tablegen.dataset.input_changes import MISSING, InputChange, changed_inputs
from tablegen.dataset.manifest import manifest
from tablegen.dataset.release import Release, read_release
from tablegen.dataset.summary import summarize
from tablegen.errors import DataSetError
from tablegen.model.inputs import Catalogue
from tests.small import Edit, small_catalogue

PSI = 6894.757293168
MEDIUM, LOW = "applications/walk_in_medium.yaml", "applications/walk_in_low.yaml"
R507A = "refrigerants/R507A.yaml"
PARTS = (["alder", "rowan"], {"pair": ["R404A", "R507A"], "alone": ["R404A"]}, ["walk_in_medium"])


@pytest.fixture(scope="module")
def released(tmp_path_factory) -> Callable[..., Release]:
    """Releases of the small catalogue with some words changed; the unchanged one is made once."""
    folder = tmp_path_factory.mktemp("releases")
    made: dict[str, Release] = {}

    def release(name: str, edits: Iterable[Edit] = (), groups: dict[str, list[str]] | None = None) -> Release:
        if name not in made:
            families, own_groups, applications = PARTS
            path = small_catalogue(folder / name / "configs", families, groups or own_groups, applications, edits)
            made[name] = written(load_catalogue(path), folder / name / "out")
        return made[name]

    return release


def written(catalogue: Catalogue, folder: Path) -> Release:
    """What a comparison reads of a release; the other frames take their time."""
    tables = compute_windows(catalogue)
    frames = {name: getattr(tables, name) for name in ("states", "windows", "group_windows")}
    frames["verification"] = pd.DataFrame({"kind": [], "provenance": [], "verdict": []})
    data = csv_of(tables.group_windows)
    summary = dataclasses.replace(summarize(catalogue, frames, tables.solved_by), fingerprint="0123456789ab")
    record = manifest(catalogue, summary, {"group_windows.csv": hashlib.sha256(data).hexdigest()})
    folder.mkdir()
    (folder / "group_windows.csv").write_bytes(data)
    (folder / "manifest.json").write_text(json.dumps(record), encoding="utf-8")
    return read_release(folder)


def input_paths(comparison: Comparison) -> set[str]:
    return {change.text for change in comparison.inputs if change.path[0] not in ("printing",)}


def texts(inputs: Iterable[InputChange]) -> str:
    return "; ".join(change.text for change in inputs)


def inputs_of(comparison: Comparison) -> set[str]:
    """What affects the windows that differ, by window."""
    return {texts(inputs) for inputs in comparison.window_inputs}


def keys(frame: pd.DataFrame) -> set[tuple[str, ...]]:
    columns = frame[["family", "group", "application", "size"]].astype(str)
    return {(*row, f"{k:.4f}") for row, k in zip(columns.to_numpy().tolist(), frame["sst_k"], strict=True)}


def test_the_same_release_has_no_changes_and_no_inputs_that_differ(released):
    found = compare(released("plain"), released("plain"))
    assert (len(found.windows), found.inputs, found.tables, dict(found.files)) == (0, (), (), {})


def test_one_flow_coefficient_moves_its_size_alone_and_in_proportion(released):
    old, new = released("plain"), released("kv", [("families/alder.yaml", "kv: 45.0 L/h", "kv: 50 L/h")])
    found = compare(old, new)
    assert input_paths(found) == {
        "families.alder.sizes[45].kv_rated_m3h",
        "families.alder.sizes[45].nominal_capacity_w",
    }
    frame = new.group_windows
    expected = frame[(frame["family"] == "alder") & (frame["size"] == "45") & frame["max_load_w"].notna()]
    assert keys(found.windows) == keys(expected)
    assert set(found.windows["change_kind"]) == {"changed"}
    for limit in ("min", "max"):
        assert found.windows[f"{limit}_load_change"].to_numpy() == pytest.approx(50.0 / 45.0 - 1.0, rel=1e-9)
    # The nominal capacity differs too, but no limit is computed from it.
    assert inputs_of(found) == {"families.alder.sizes[45].kv_rated_m3h"}
    (change,) = found.tables[0].inputs
    assert (change.earlier, change.now) == (pytest.approx(0.045), pytest.approx(0.050))
    assert [(*t.key[:2], t.changed, t.added, t.removed) for t in found.tables] == [
        ("alder", "pair", 16, 0, 0),
        ("alder", "alone", 16, 0, 0),
    ]
    assert found.tables[0].min_change == pytest.approx((1.0 / 9.0, 1.0 / 9.0))
    assert dict(found.files) == {"families/alder.yaml": "differs"}
    assert found.unexplained == 0


def test_one_head_affects_every_table_of_its_application_and_names_each_member(released):
    edit = (MEDIUM, "head_pressure: 135 psi_gauge", "head_pressure: 140 psi_gauge")
    found = compare(released("plain"), released("head", [edit]))
    own = {f"applications.walk_in_medium.systems.{r}.low_head.head.pressure_pa" for r in ("R404A", "R507A")}
    assert input_paths(found) == own
    for change in found.inputs:
        assert change.now - change.earlier == pytest.approx(5.0 * PSI, rel=1e-9)
    frame = found.windows.assign(inputs=[texts(own) for own in found.window_inputs])
    inputs = frame.groupby("group")["inputs"].agg(lambda own: set(own))
    ordered = [f"applications.walk_in_medium.systems.{r}.low_head.head.pressure_pa" for r in ("R404A", "R507A")]
    assert inputs["pair"] == {"; ".join(ordered)}
    assert inputs["alone"] == {ordered[0]}
    # A low head sets no minimum load here; a higher one leaves every maximum load greater.
    opened = found.windows["earlier_max_load_w"].isna()
    assert (found.windows.loc[~opened, "max_load_change"] > 0.0).all()
    assert found.windows["min_load_change"].abs().max() < 1e-9


def test_one_composition_affects_the_groups_of_its_refrigerant_alone(released):
    edits = [(R507A, "R125: 50 percent", "R125: 51 percent"), (R507A, "R143a: 50 percent", "R143a: 49 percent")]
    found = compare(released("plain"), released("composition", edits))
    own = {f"refrigerants.R507A.definition.mass_fractions.{name}" for name in ("R125", "R143a")}
    assert input_paths(found) == own
    assert {c.text: (c.earlier, c.now) for c in found.inputs} == {
        "refrigerants.R507A.definition.mass_fractions.R125": (0.5, pytest.approx(0.51)),
        "refrigerants.R507A.definition.mass_fractions.R143a": (0.5, pytest.approx(0.49)),
    }
    assert set(found.windows["group"]) == {"pair"}
    assert inputs_of(found) == {"; ".join(sorted(own))}


@pytest.mark.slow
def test_a_setting_is_reported_with_the_spring_that_follows_from_it_and_only_for_its_charge(released):
    edit = ("families/rowan.yaml", "      static_superheat: 2.8 delta_degF", "      static_superheat: 3.3 delta_degF")
    found = compare(released("plain"), released("setting", [edit]))
    element = "families.rowan.elements[cross-404-medium]"
    assert input_paths(found) == {f"{element}.actuator.balance.spring_pa", f"{element}.setting.static_superheat_k"}
    assert set(found.windows["family"]) == {"rowan"}
    assert inputs_of(found) == {"; ".join(sorted(input_paths(found)))}
    # The other charge of the family is for no member here.
    other = ("families/rowan.yaml", "static_superheat: 4 delta_degF", "static_superheat: 4.5 delta_degF")
    unused = compare(released("plain"), released("unused", [other]))
    assert len(unused.inputs) == 2
    assert len(unused.windows) == 0


def test_texts_affect_nothing(released):
    edits = [
        ("families/alder.yaml", "title: Alder", "title: Alders"),
        (MEDIUM, "title: Walk-in cooler", "title: Cooler"),
        (R507A, "composition_source: ASHRAE 34", "composition_source: After ASHRAE 34"),
    ]
    found = compare(released("plain"), released("message", edits))
    assert len(found.inputs) == 3
    assert (len(found.windows), found.tables) == (0, ())
    assert set(found.files) == {"families/alder.yaml", MEDIUM, R507A}


@pytest.mark.slow
def test_added_and_removed_windows_name_the_grid_the_group_and_the_size(released):
    grid = (MEDIUM, "minimum: 10 degF", "minimum: 12 degF")
    found = compare(released("plain"), released("grid", [grid]))
    assert set(found.windows["change_kind"]) == {"removed"}
    assert inputs_of(found) == {"applications.walk_in_medium.sst_k"}
    # 9 sizes of alder and 6 of rowan in two groups each.
    assert len(found.windows) == 2 * (9 + 6)
    size = ("families/alder.yaml", "  - {size: 45, kv: 45.0 L/h}\n", "")
    offered = ("families/alder.yaml", "sizes: [45, 63, 90]", "sizes: [63, 90]")
    gone = compare(released("plain"), released("size", [size, offered]))
    assert set(gone.windows["size"]) == {"45"}
    assert inputs_of(gone) == {"families.alder.sizes[45]"}
    back = compare(released("size"), released("plain"))
    assert set(back.windows["change_kind"]) == {"added"}
    (change,) = [c for c in back.inputs if c.text == "families.alder.sizes[45]"]
    assert change.earlier is MISSING
    assert change.now["kv_rated_m3h"] == pytest.approx(0.045)


def test_one_more_member_is_reported_as_the_members_of_its_group(released):
    groups = {"pair": ["R404A", "R507A"], "alone": ["R404A", "R507A"]}
    found = compare(released("plain"), released("member", groups=groups))
    assert set(found.windows["group"]) == {"alone"}
    assert inputs_of(found) == {"groups.alone.members"}


def test_library_versions_affect_everything_and_a_change_without_a_cause_is_reported_as_such(released):
    old = released("plain")
    manifest = dataclasses.replace(old.manifest, versions={**old.manifest.versions, "properties": "CoolProp 1.0"})
    frame = old.group_windows.copy()
    frame.loc[frame.index[[3, 4]], "max_load_w"] *= 1.01
    moved = dataclasses.replace(old, group_windows=frame, manifest=manifest)
    assert inputs_of(compare(old, moved)) == {"versions.properties"}
    silent = compare(old, dataclasses.replace(old, group_windows=frame))
    assert (len(silent.windows), silent.unexplained) == (2, 2)


def test_percent_is_of_the_earlier_limit(released):
    old = released("plain")
    frame = old.group_windows.copy()
    index = frame.index[frame["max_load_w"].notna()][7]
    frame.loc[index, ["min_load_w", "max_load_w"]] *= [0.8, 1.25]
    ((_, row),) = compare(old, dataclasses.replace(old, group_windows=frame)).windows.iterrows()
    assert (row["min_load_change"], row["max_load_change"]) == (pytest.approx(-0.2), pytest.approx(0.25))


def test_scatter_has_an_effect_where_tables_print_at_a_confidence(released):
    """Tolerances, uncertainties and the confidence move no nominal limit."""
    old = released("plain")
    tables = {name: copy.deepcopy(dict(old.manifest.inputs)) for name in ("nominal", "confident")}
    frame = old.group_windows.copy()
    frame.loc[frame.index[[3, 4]], "max_load_w"] *= 0.99
    for name, inputs in tables.items():
        confidence = {"kind": "Confidence", "level": 0.95, "is_printed": name == "confident"}
        inputs["confidence"] = confidence
        inputs["refrigerants"]["R404A"]["uncertainty"]["density"] *= 2.0
    manifests = {name: dataclasses.replace(old.manifest, inputs=inputs) for name, inputs in tables.items()}
    found = {
        name: compare(old, dataclasses.replace(old, group_windows=frame, manifest=own))
        for name, own in manifests.items()
    }
    assert found["nominal"].unexplained == 2
    (text,) = inputs_of(found["confident"])
    assert "refrigerants.R404A.uncertainty.density" in text
    assert "confidence" in text


def test_an_older_layout_without_hashes_or_versions_is_compared(released, tmp_path):
    old = released("plain")
    source = old.manifest.folder
    (tmp_path / "group_windows.csv").write_bytes((source / "group_windows.csv").read_bytes())
    record = json.loads((source / "manifest.json").read_text(encoding="utf-8"))
    lean = {k: v for k, v in record.items() if k not in ("versions", "inputs_sha256", "layout", "groups")}
    (tmp_path / "manifest.json").write_text(json.dumps(lean), encoding="utf-8")
    found = compare(read_release(tmp_path), old)
    assert len(found.windows) == 0
    assert {c.path[0] for c in found.inputs} == {"versions"}


def test_inputs_that_differ_in_their_last_figures_are_the_same(released):
    def changes(old, new):
        return changed_inputs(*(dataclasses.replace(plain, inputs={"a": own}) for own in (old, new)))

    plain = released("plain").manifest
    assert changes({"x": 0.1 + 0.2}, {"x": 0.3}) == []
    (change,) = changes({"x": [1.0, 2.0]}, {"x": [1.0, 2.1]})
    assert (change.text, change.earlier, change.now) == ("a.x", [1.0, 2.0], [1.0, 2.1])
    (none,) = changes({"x": None}, {})
    assert none.earlier is None and none.now is MISSING


def test_order_is_that_of_the_newer_release(released):
    edit = (MEDIUM, "head_pressure: 135 psi_gauge", "head_pressure: 140 psi_gauge")
    new = released("head", [edit])
    found = compare(released("plain"), new)
    frame = new.group_windows
    order = {
        key: i
        for i, key in enumerate(
            zip(frame["family"], frame["group"], frame["size"], frame["sst_k"].round(6), strict=True)
        )
    }
    at = [order[row] for row in zip(*(found.windows[c] for c in ("family", "group", "size", "sst_k")), strict=True)]
    assert at == sorted(at)
    assert np.unique(at).size == len(at)


def test_a_folder_without_windows_is_reported(tmp_path, released):
    source: Path = released("plain").manifest.folder
    (tmp_path / "manifest.json").write_bytes((source / "manifest.json").read_bytes())
    with pytest.raises(DataSetError, match="no release to compare with"):
        read_release(tmp_path)
