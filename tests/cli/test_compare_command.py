"""`tablegen compare` from the command line: text, CSV, JSON, the page, exit codes, problems."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.dataset.comparison import compare
from tablegen.dataset.csv_files import csv_of, frame_of
from tablegen.dataset.release import read_release
from tests.demo import CATALOGUE, demo_data, page_texts

NBSP = "\N{NO-BREAK SPACE}"


@pytest.fixture(scope="module")
def folders(tmp_path_factory) -> tuple[Path, Path, Path]:
    """The demo's data, the same with one size 10 percent larger, and with every limit moved a little."""
    root = tmp_path_factory.mktemp("releases")
    data = demo_data()
    for name in ("old", "new", "all"):
        (root / name).mkdir()
        data.write(root / name)
    frame = data.group_windows.copy()
    own = (frame["family"] == "alder") & (frame["size"] == "45")
    limits = ["min_load_w", "max_load_w"]
    frame.loc[own, limits] *= 1.1
    rewritten(root / "new", frame, ("families", "alder", "sizes", 4, "kv_rated_m3h"), 0.0495)
    frame = data.group_windows.copy()
    frame[limits] *= 1.02
    path = ("applications", "walk_in_medium", "systems", "R448A", "losses", "distributor_pa")
    rewritten(root / "all", frame, path, 100000.0)
    return root / "old", root / "new", root / "all"


@pytest.fixture(scope="module")
def short(folders, tmp_path_factory) -> tuple[Path, Path]:
    """The first two of them with a window of every size in every application."""
    root = tmp_path_factory.mktemp("short")
    for folder in folders[:2]:
        (root / folder.name).mkdir()
        (root / folder.name / "manifest.json").write_bytes((folder / "manifest.json").read_bytes())
        frame = frame_of((folder / "group_windows.csv").read_bytes())
        few = frame.groupby(["family", "application", "size"], sort=False).head(1)
        rewritten(root / folder.name, few, ("families", "alder", "sizes", 4, "kv_rated_m3h"), 0.0495)
    return root / "old", root / "new"


def rewritten(folder: Path, frame, path: tuple, value: object) -> None:
    """A release with other windows and one other input."""
    data = csv_of(frame)
    (folder / "group_windows.csv").write_bytes(data)
    manifest = folder / "manifest.json"
    record = json.loads(manifest.read_text(encoding="utf-8"))
    record["files_sha256"]["group_windows.csv"] = hashlib.sha256(data).hexdigest()
    record["fingerprint"] = "0123456789ab"
    at = record["inputs"]
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    manifest.write_text(json.dumps(record), encoding="utf-8")


def run(capsys, *arguments: object) -> tuple[int, str, str]:
    code = main(["compare", *map(str, arguments)])
    done = capsys.readouterr()
    return code, done.out, done.err


def test_nothing_changed_gives_0(capsys, folders):
    code, out, err = run(capsys, folders[0], folders[0])
    assert (code, err) == (0, "")
    assert "0 changed and 0 were added; 0 of the earlier release were removed." in out
    assert "No recorded input differs." in out


def test_a_change_gives_1_with_percent_and_the_input_that_differs(capsys, folders):
    code, out, err = run(capsys, *folders[:2])
    own = demo_data().group_windows.query("family == 'alder' and size == '45'")
    changed = int(own["max_load_w"].notna().sum())
    assert (code, err) == (1, "")
    assert f"Of {len(demo_data().group_windows)} windows {changed} changed and 0 were added" in out
    lines = [" ".join(line.split()) for line in out.splitlines()]
    assert "families.alder.sizes[45].kv_rated_m3h 0.045 0.0495" in lines
    assert "alder, R134a, walk_in_medium 144 16 0 0 +10.0 % +10.0 %" in lines
    assert "rowan" not in out
    # The order of the release where all changed alike.
    listed = out.split("Windows that changed most, in kBtu/h")[1].splitlines()[2:18]
    assert [int(line.split()[3]) for line in listed] == list(range(10, 42, 2))
    assert run(capsys, *folders[:2], "--units", "si")[1].count("kW") == 1


def test_tables_that_are_new_are_one_line_and_moved_windows_are_listed(capsys, folders, tmp_path):
    data = demo_data()
    frame = data.group_windows.copy()
    is_new = (frame["family"] == "alder") & (frame["group"] == "R134a")
    for name, own in (("old", frame[~is_new]), ("new", frame)):
        (tmp_path / name).mkdir()
        data.write(tmp_path / name)
        own = own.copy()
        if name == "old":
            moved = own.index[(own["family"] == "hazel") & own["max_load_w"].notna()][:3]
            own.loc[moved, "max_load_w"] *= [0.9, 0.8, 0.95]
        rewritten(tmp_path / name, own, ("families", "alder", "sizes", 4, "kv_rated_m3h"), 0.045)
    out = run(capsys, tmp_path / "old", tmp_path / "new")[1]
    lines = [" ".join(line.split()) for line in out.splitlines()]
    assert "alder, R134a, walk_in_medium 144 0 144 0 new new" in lines
    listed = out.split("Windows that changed most")[1].split("\n\n")[0].splitlines()[2:]
    assert [line.split()[-2:] for line in listed[:3]] == [[f"+{p}", "%"] for p in ("25.0", "11.1", "5.3")]
    assert listed[3] == f"{int(is_new.sum())} more windows are listed in the CSV and JSON output."


def test_sizes_have_their_names_in_print(capsys, folders, tmp_path):
    for name in ("old", "new"):
        (tmp_path / name).mkdir()
        demo_data().write(tmp_path / name)
    frame = demo_data().group_windows.copy()
    own = (frame["family"] == "alder") & (frame["size"] == "45")
    frame.loc[own, "max_load_w"] *= 1.1
    rewritten(tmp_path / "new", frame, ("families", "alder", "sizes", 4, "display_name"), "No. 45")
    _, out, _ = run(capsys, tmp_path / "old", tmp_path / "new", "--json")
    assert {row["size"] for row in json.loads(out)["tables"]["windows"]} == {"45"}
    assert "No. 45" in run(capsys, tmp_path / "old", tmp_path / "new")[1].split("Windows that changed most")[1]


def test_csv_has_every_changed_window_with_its_inputs(capsys, folders, tmp_path):
    target = tmp_path / "changes.csv"
    assert run(capsys, *folders[:2], "--csv", target)[0] == 1
    rows = list(csv.DictReader(io.StringIO(target.read_text(encoding="utf-8"))))
    assert {(r["family"], r["size"], r["change_kind"]) for r in rows} == {("alder", "45", "changed")}
    assert {r["inputs"] for r in rows} == {"families.alder.sizes[45].kv_rated_m3h"}
    for row in rows:
        assert float(row["max_load_w"]) / float(row["earlier_max_load_w"]) == pytest.approx(1.1, rel=1e-9)
        assert float(row["max_load_change"]) == pytest.approx(0.1, rel=1e-9)
    assert len(frame_of(target.read_bytes())) == len(rows) == len(rows_of(folders))


def test_json_has_both_releases_and_every_window(capsys, folders):
    code, out, _ = run(capsys, *folders[:2], "--json")
    answer = json.loads(out)
    assert code == 1
    assert answer["facts"]["earlier_fingerprint"] == demo_data().fingerprint
    assert answer["facts"]["newer_fingerprint"] == "0123456789ab"
    tables = answer["tables"]
    (change,) = tables["inputs"]
    assert (change["path"], change["now"]) == ("families.alder.sizes[45].kv_rated_m3h", 0.0495)
    assert sum(table["changed"] for table in tables["tables"]) == len(tables["windows"]) == answer["facts"]["changed"]
    assert {window["inputs"] for window in tables["windows"]} == {change["path"]}


def rows_of(folders) -> list[dict]:
    comparison = compare(read_release(folders[0]), read_release(folders[1]))
    return comparison.windows.to_dict("records")


@pytest.mark.slow
def test_the_sheet_has_the_figures_of_the_text_and_the_same_bytes(capsys, folders, tmp_path):
    for name, new in (("few", folders[1]), ("all", folders[2])):
        targets = [tmp_path / f"{name}{i}.pdf" for i in (1, 2)]
        for target in targets:
            assert run(capsys, folders[0], new, "--output", target)[0] == 1
        assert targets[0].read_bytes() == targets[1].read_bytes()
        plain = " ".join(" ".join(page_texts(targets[0].read_bytes())).replace(NBSP, " ").split())
        assert f"(data {demo_data().fingerprint})" in plain and "(data 0123456789ab)" in plain
        assert "invented valves" in plain and "licensed technicians" in plain
        assert "more windows are listed in the CSV and JSON output." in plain
    few = " ".join(page_texts((tmp_path / "few1.pdf").read_bytes())[0].replace(NBSP, " ").split())
    assert "families.alder.sizes[45].kv_rated_m3h 0.045 0.0495" in few
    assert "alder, R134a, walk_in_medium 144 16 0 0 +10.0 % +10.0 %" in few


@pytest.mark.slow
def test_windows_that_differ_without_a_recorded_cause_are_counted(capsys, folders):
    """Every limit of the last release was moved, and one input that bears on some of them alone."""
    out = " ".join(run(capsys, folders[0], folders[2])[1].split())
    data = demo_data()
    frame = data.group_windows[data.group_windows["max_load_w"].notna()]
    bears = (frame["application"] == "walk_in_medium") & (frame["group"] == "R448A-family")
    assert f"{int((~bears).sum())} windows differ although no recorded input that affects them differs" in out
    assert "applications.walk_in_medium.systems.R448A.losses.distributor_pa 172368.932 100000" in out


@pytest.mark.parametrize("side", [0, 1])
def test_a_folder_without_a_release_is_one_line_and_code_2(capsys, folders, tmp_path, side):
    pair = [folders[0], folders[0]]
    pair[side] = tmp_path
    code, out, err = run(capsys, *pair)
    assert (code, out) == (2, "")
    assert f"{tmp_path}: no release to compare with" in err
    assert err.count("\n") == 1


def test_the_folder_above_a_release_is_answered_with_the_release_within_it(capsys, folders, tmp_path):
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "manifest.json").write_text("{}", encoding="utf-8")
    _, _, err = run(capsys, folders[0], tmp_path)
    assert f"{tmp_path}: no release to compare with" in err and "manifest.json; its subfolder" in err
    assert f"subfolder {tmp_path / 'demo'} is a release" in err and "Errno" not in err
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "manifest.json").write_text("{}", encoding="utf-8")
    assert f"subfolders {tmp_path / 'demo'}, {tmp_path / 'other'} are releases" in run(capsys, folders[0], tmp_path)[2]
    assert "there is no such folder" in run(capsys, tmp_path / "none", folders[0])[2]


def test_a_page_or_table_that_cannot_be_written_is_one_line(capsys, folders, tmp_path):
    for option, name in (("--output", "page.pdf"), ("--csv", "windows.csv")):
        code, out, err = run(capsys, *folders[:2], option, tmp_path / "none" / name)
        assert (code, out, err.count("\n")) == (2, "", 1)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda text: text.replace("min_load_w", "minimum"), "it has no column min_load_w"),
        (lambda text: text.replace(text.splitlines()[5].split(",")[5], "much"), "must be a number above 0 [K]"),
        (lambda text: text + '\n"a,b', "the row has 0 values, the heading has 21 columns"),
        (lambda text: "\udcff", ":1: a character is not UTF-8"),
    ],
)
def test_altered_windows_with_their_hash_are_one_line(capsys, folders, tmp_path, change, message):
    data = demo_data()
    data.write(tmp_path)
    path, manifest = tmp_path / "group_windows.csv", tmp_path / "manifest.json"
    altered = change(path.read_text(encoding="utf-8")).encode("utf-8", "surrogateescape")
    path.write_bytes(altered)
    record = json.loads(manifest.read_text(encoding="utf-8"))
    record["files_sha256"]["group_windows.csv"] = hashlib.sha256(altered).hexdigest()
    manifest.write_text(json.dumps(record), encoding="utf-8")
    code, out, err = run(capsys, folders[0], tmp_path)
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert err.startswith(f"{path}:") and message in err


@pytest.mark.parametrize("value", [[], "text", 3, {"a": [{"b": None}]}, None])
@pytest.mark.parametrize("part", ["families", "groups", "applications", "refrigerants", "printing", "confidence"])
def test_a_manifest_with_anything_else_in_it_is_no_traceback(capsys, short, tmp_path, part, value):
    for name in ("group_windows.csv", "manifest.json"):
        (tmp_path / name).write_bytes((short[1] / name).read_bytes())
    manifest = tmp_path / "manifest.json"
    record = json.loads(manifest.read_text(encoding="utf-8"))
    record["inputs"][part] = value
    manifest.write_text(json.dumps(record), encoding="utf-8")
    code, _, err = run(capsys, tmp_path, short[0])
    assert (code, err.count("\n")) in ((1, 0), (2, 1))


def test_a_manifest_that_is_a_pipe_is_not_read(capsys, folders, tmp_path):
    os.mkfifo(tmp_path / "manifest.json")
    code, _, err = run(capsys, folders[0], tmp_path)
    assert (code, err.count("\n")) == (
        2,
        1,
    ) and "manifest.json cannot be read: it is a folder, a pipe or a device" in err


def test_causes_need_config_files_and_config_files_need_causes(capsys, folders):
    old, new = folders[:2]
    code, out, err = run(capsys, old, new, "--causes")
    assert (code, out) == (2, "")
    assert err == f"{old}: the release has no configs.zip with its config files; give them with --old-configs\n"
    code, out, err = run(capsys, old, new, "--old-configs", CATALOGUE)
    assert (code, out, err) == (2, "", "--old-configs: only --causes takes config files\n")
    code, out, err = run(capsys, "limits.csv", "--causes")
    assert (code, out) == (2, "")
    assert err == "--causes: only a comparison of two releases takes it; name the newer one, too\n"


@pytest.mark.slow
def test_a_change_that_only_the_manifest_has_is_no_cause(capsys, folders):
    """The config files given for both are the same, so that nothing in them can explain what differs."""
    old, new = folders[:2]
    code, out, _ = run(capsys, old, new, "--causes", "--old-configs", CATALOGUE, "--new-configs", CATALOGUE.parent)
    assert code == 1
    assert "No value of the config files that may affect limits differs." in out or "Another version" in out
