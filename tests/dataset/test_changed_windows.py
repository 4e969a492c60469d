"""What differs between two releases, against changes made by hand."""

import json

import numpy as np
import pandas as pd
import pytest

from tablegen.dataset.comparison import changed_windows, changes_since
from tablegen.dataset.release import read_release
from tablegen.errors import DataSetError
from tests.demo import demo_data

KEYS = ["family", "group", "application", "size", "sst_k"]


def windows() -> pd.DataFrame:
    return demo_data().group_windows.copy()


def test_the_same_release_has_no_changes():
    assert changed_windows(windows(), windows()).empty


def test_changed_opened_and_closed_windows_have_both_sides():
    old, new = windows(), windows()
    is_open = new["max_load_w"].notna()
    moved, closed = new.index[is_open][[3, 700]]
    opened = new.index[~is_open][0]
    new.loc[moved, "max_load_w"] *= 1.05
    new.loc[closed, ["min_load_w", "max_load_w"]] = np.nan
    new["max_reason"] = new["max_reason"].astype("str")
    new.loc[closed, "max_reason"] = "flashing"
    new.loc[opened, ["min_load_w", "max_load_w"]] = 1000.0, 2000.0
    found = changed_windows(old, new)
    assert len(found) == 3
    assert set(found["change_kind"]) == {"changed"}
    by = {(*tuple(row[k] for k in KEYS[:4]), round(row["sst_k"], 4)): row for _, row in found.iterrows()}

    def row(index):
        key = (*tuple(new.loc[index, k] for k in KEYS[:4]), round(new.loc[index, "sst_k"], 4))
        return by[key]

    assert row(moved)["max_load_change"] == pytest.approx(0.05)
    assert row(moved)["min_load_change"] == 0.0
    assert row(moved)["earlier_max_load_w"] == old.loc[moved, "max_load_w"]
    assert np.isnan(row(closed)["max_load_w"]) and row(closed)["max_reason"] == "flashing"
    assert np.isnan(row(closed)["max_load_change"])
    assert np.isnan(row(opened)["earlier_max_load_w"]) and row(opened)["max_load_w"] == 2000.0
    # In the order of the release, so that the record reads as the booklet does.
    assert list(found["sst_k"]) == [round(v, 6) for v in new.loc[sorted([moved, closed, opened]), "sst_k"]]


def test_added_and_removed_windows():
    old, new = windows().iloc[5:], windows().iloc[:-7]
    found = changed_windows(old, new)
    assert found["change_kind"].value_counts().to_dict() == {"added": 5, "removed": 7}
    added = found[found["change_kind"] == "added"]
    assert added["earlier_max_load_w"].isna().all() and added["max_load_w"].notna().all()
    assert (added["earlier_max_reason"] == "").all()


def test_the_last_figures_are_no_change():
    """Frames carry twelve figures, and a grid in other units the same temperature but for its last ones."""
    new = windows()
    new["max_load_w"] *= 1.0 + 2e-11
    new["sst_k"] += 1e-9
    assert changed_windows(windows(), new).empty


def test_a_release_is_read_from_its_folder(tmp_path):
    data = demo_data()
    data.write(tmp_path)
    changes = changes_since(read_release(tmp_path), data)
    assert (changes.revision, changes.date, changes.fingerprint) == ("A", "2026-11-25", data.fingerprint)
    assert changes.cells.empty


def test_a_release_of_an_older_layout_is_read_but_not_one_of_another_catalogue_or_one_that_was_edited(tmp_path):
    data = demo_data()
    data.write(tmp_path)
    path = tmp_path / "manifest.json"
    record = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(json.dumps({**record, "layout": 1}), encoding="utf-8")
    read_release(tmp_path)
    path.write_text(json.dumps({**record, "catalogue": "other"}), encoding="utf-8")
    with pytest.raises(DataSetError, match="a release of the catalogue 'other', not of 'demo'"):
        changes_since(read_release(tmp_path), data)
    path.write_text(json.dumps(record), encoding="utf-8")
    written = tmp_path / "group_windows.csv"
    reason = str(data.group_windows["max_reason"].iloc[0])
    assert reason not in ("", "mop")
    written.write_text(written.read_text(encoding="utf-8").replace(reason, "mop", 1), encoding="utf-8")
    with pytest.raises(DataSetError, match=r"group_windows\.csv: changed since it was written"):
        read_release(tmp_path)


def test_a_folder_without_release_is_reported(tmp_path):
    with pytest.raises(DataSetError, match="no release to compare with"):
        read_release(tmp_path)
