"""Changes planted in a catalogue: attributed by file and key, alone as in a catalogue that is edited by hand."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import tablegen
from tablegen.change_causes import causes_of
from tablegen.config.loader import load_catalogue
from tablegen.config.release_configs import pack_configs
from tablegen.dataset.causes import Cause
from tablegen.dataset.comparison import changed_windows
from tablegen.dataset.compute import compute_windows
from tablegen.dataset.release import CONFIGS, Release, read_release
from tablegen.errors import DataSetError
from tablegen.report.json_export import to_json
from tablegen.sweep.identity import fingerprint
from tests.dataset.test_comparison import written
from tests.small import Edit, small_catalogue
from tests.worked import WORKED

MEDIUM = "applications/walk_in_medium.yaml"
STOP = ("families/alder.yaml", "stop: 120 percent", "stop: 110 percent")
HEAD = (MEDIUM, "head_pressure: 135 psi_gauge", "head_pressure: 130 psi_gauge")
WORDS = ("families/alder.yaml", "title: Alder", "title: Alders")
PARTS = (["alder", "hazel"], {"pair": ["R404A", "R507A"], "alone": ["R404A"]}, ["walk_in_medium", "walk_in_low"])


@pytest.fixture(scope="module")
def released(tmp_path_factory) -> Callable[..., Release]:
    """Releases of a small catalogue with some words changed, as far as a comparison reads them, with their config files."""
    folder = tmp_path_factory.mktemp("releases")
    made: dict[tuple[Edit, ...], Release] = {}

    def release(*edits: Edit) -> Release:
        if edits not in made:
            own = folder / str(len(made))
            path = small_catalogue(own / "configs", *PARTS, edits, WORKED.parent)
            catalogue = load_catalogue(path)
            written(catalogue, own / "out")
            manifest = own / "out" / "manifest.json"
            record = json.loads(manifest.read_text(encoding="utf-8"))
            manifest.write_text(json.dumps({**record, "fingerprint": fingerprint(catalogue.files)}), encoding="utf-8")
            (own / "out" / CONFIGS).write_bytes(pack_configs(path, load_catalogue(path).files))
            made[edits] = read_release(own / "out")
        return made[edits]

    return release


def named(causes: Iterable[Cause]) -> list[set[tuple[str, str]]]:
    return [{(change.file, change.key) for change in cause.changes} for cause in causes]


def by_hand(released: Callable[..., Release], *edits: Edit) -> pd.DataFrame:
    """What differs in a catalogue with these edits alone."""
    return changed_windows(released().group_windows, released(*edits).group_windows)


@pytest.mark.slow
def test_two_planted_changes_are_attributed_and_alone_do_what_each_does_by_hand(released):
    causes, tables = causes_of(released(), released(STOP, HEAD, WORDS))
    # A title bears on no limit.
    assert named(causes) == [{("families/alder.yaml", "opening.stop")}, {(MEDIUM, "low_head.head_pressure")}]
    stop, head = causes
    assert [(own.earlier, own.now) for own in stop.changes] == [("120 percent", "110 percent")]
    for cause, edit in ((stop, STOP), (head, HEAD)):
        expected = by_hand(released, edit)
        assert cause.windows is not None and len(expected) > 400
        pd.testing.assert_frame_equal(cause.windows, expected, check_dtype=False, rtol=1e-9)
    by_table = {table.key: table for table in tables}
    assert set(by_table) == {(f, g, a) for f in PARTS[0] for g in PARTS[1] for a in PARTS[2]} - {
        ("hazel", group, "walk_in_low") for group in PARTS[1]
    }
    # Where the stop sets a limit, the limit is in proportion to it.
    alone = by_table["alder", "alone", "walk_in_low"]
    assert [cause for cause, _ in alone.alone] == [stop]
    assert alone.alone[0][1].max_change == pytest.approx((110 / 120 - 1,) * 2)
    assert alone.max_left == pytest.approx((0.0, 0.0), abs=1e-9)
    # What both did together is their product there, so that the rest is the product of both.
    both = by_table["alder", "alone", "walk_in_medium"]
    assert [cause for cause, _ in both.alone] == [stop, head]
    assert both.max_left == pytest.approx(
        tuple((110 / 120 - 1) * x for x in both.alone[1][1].max_change[::-1]), rel=1e-6
    )
    lowest, highest = both.together.max_change
    assert lowest == pytest.approx(110 / 120 * (1.0 + both.alone[1][1].max_change[0]) - 1.0)
    assert both.max_sum[0] < lowest < highest < 0.0


@pytest.mark.slow
def test_a_size_that_other_keys_name_goes_with_them(released):
    """Neither the size nor the lists that name it can be changed alone; a size that comes takes its place in the order."""
    edits = (
        ("families/alder.yaml", "  - {size: 45, kv: 45.0 L/h}\n", ""),
        ("families/alder.yaml", "sizes: [45, 63, 90]", "sizes: [63, 90]"),
    )
    for old, new in ((released(), released(*edits)), (released(*edits), released())):
        [cause], tables = causes_of(old, new)
        assert named([cause]) == [{("families/alder.yaml", "sizes.45"), ("families/alder.yaml", "offered.connections")}]
        assert cause.windows is not None
        pd.testing.assert_frame_equal(
            cause.windows, changed_windows(old.group_windows, new.group_windows), check_dtype=False, rtol=1e-9
        )
        assert {table.key[0] for table in tables} == {"alder"}


@pytest.mark.slow
def test_another_program_is_a_cause_of_its_own(released):
    """The earlier release was computed by a program whose maximum loads were 2 % greater."""
    old = released()
    frame = old.group_windows.assign(max_load_w=old.group_windows["max_load_w"] * 1.02)
    other = Release(dataclasses.replace(old.manifest, fingerprint="0123456789ab"), frame)
    (program, head), tables = causes_of(other, released(HEAD))
    assert program.changes == () and named([head]) == [{(MEDIUM, "low_head.head_pressure")}]
    for table in tables:
        assert table.alone[0][0] is program
        assert table.alone[0][1].max_change == pytest.approx((1 / 1.02 - 1,) * 2)
        assert table.alone[0][1].min_change == pytest.approx((0.0, 0.0), abs=1e-9) or np.isnan(table.min_sum[0])


def test_a_release_without_its_config_files_takes_them_from_elsewhere_if_they_are_those(released, tmp_path):
    old, new = released(), released(STOP)
    for name in ("manifest.json", "group_windows.csv"):
        (tmp_path / name).write_bytes((old.manifest.folder / name).read_bytes())
    bare = read_release(tmp_path)
    with pytest.raises(
        DataSetError, match=r"the release has no configs\.zip with its config files; give .* old_configs"
    ):
        causes_of(bare, new)
    configs = old.manifest.folder.parent / "configs" / "catalogue.yaml"
    assert named(causes_of(bare, new, configs)[0]) == [{("families/alder.yaml", "opening.stop")}]
    others = new.manifest.folder.parent / "configs" / "catalogue.yaml"
    with pytest.raises(DataSetError, match=r"families/alder\.yaml is not the file that the release .* was built from"):
        causes_of(bare, new, others)
    (tmp_path / CONFIGS).write_bytes(b"PK no archive")
    with pytest.raises(DataSetError, match="cannot be read as the config files of a release"):
        causes_of(bare, new)


def test_config_files_are_packed_to_the_same_bytes(tmp_path):
    paths = [small_catalogue(tmp_path / name, *PARTS, source=WORKED.parent) for name in ("a", "b")]
    first, second = (pack_configs(path, load_catalogue(path).files) for path in paths)
    assert first == second


def test_a_hand_made_catalogue_of_each_is_what_the_release_has(released):
    """The helper's release is what computing its catalogue gives."""
    path: Path = released(STOP).manifest.folder.parent / "configs" / "catalogue.yaml"
    frame = compute_windows(load_catalogue(path)).group_windows
    assert len(changed_windows(frame, released(STOP).group_windows)) == 0


@pytest.mark.slow
def test_the_answer_has_changes_as_written_and_a_block_of_rows_for_each_table(released):
    answer = tablegen.compare(released().manifest.folder, released(STOP, HEAD).manifest.folder, causes=True)
    record = json.loads(to_json(answer))["tables"]
    assert record["config_changes"] == [
        {"file": "families/alder.yaml", "key": "opening.stop", "earlier": "120 percent", "now": "110 percent"},
        {"file": MEDIUM, "key": "low_head.head_pressure", "earlier": "135 psi_gauge", "now": "130 psi_gauge"},
    ]
    own = [row for row in record["causes"] if (row["family"], row["group"]) == ("alder", "alone")]
    medium = [row for row in own if row["application"] == "walk_in_medium"]
    assert [row["kind"] for row in medium] == ["alone", "alone", "sum", "together", "left"]
    assert [row["kind"] for row in own if row not in medium] == ["alone", "together", "left"]
    stop, head, total, together, left = medium
    assert (stop["changes"], head["changes"]) == (
        "families/alder.yaml opening.stop",
        f"{MEDIUM} low_head.head_pressure",
    )
    for end in ("lowest_max_change", "highest_max_change"):
        assert total[end] == pytest.approx(stop[end] + head[end])
    assert left["lowest_max_change"] > 0.0 and together["changed"] == stop["changed"] == head["changed"]
    plain = tablegen.compare(released().manifest.folder, released(STOP, HEAD).manifest.folder)
    assert not {"causes", "config_changes"} & json.loads(to_json(plain))["tables"].keys()
