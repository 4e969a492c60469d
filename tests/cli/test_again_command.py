"""Records of answers, and whether they are still valid after a catalogue has changed in a known way."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

import tablegen
from tablegen.cli.main import main
from tests.small import small_catalogue
from tests.worked import WORKED

PICK = ("pick", "R448A", "--sst", "24 degF", "--load", "20 kBtu/h", "--application", "walk_in_medium")
FITTED = ("retrofit", "alder", "63", "--refrigerant", "R448A", "--sst", "24F", "--load", "20 MBH")
CASE = "{name: 'Store 12, Rack B', refrigerant: R448A, sst: 24F, load: 20 MBH, application: walk_in_medium}"


@pytest.fixture
def folder(tmp_path) -> Path:
    """A catalogue of Alder and Hazel with one group, below the current folder."""
    parts = (["alder", "hazel"], {"R448A": ["R448A"]}, ["walk_in_medium"])
    path = small_catalogue(tmp_path / "own", *parts, source=WORKED.parent)
    return path if path.is_dir() else path.parent


def recorded(folder: Path, *arguments: str, into: str = "records") -> Path:
    """The one new record of a command."""
    target = folder.parent / into
    before = set(target.glob("*")) if target.exists() else set()
    assert main([*arguments, "--catalogue", str(folder), "--record", str(target)]) in (0, 1)
    [new] = set(target.glob("*")) - before
    return new


def edit(folder: Path, file: str, old: str, new: str) -> None:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    path.write_text(text.replace(old, new), encoding="utf-8")


def status_of(folder: Path, path: Path, capsys) -> tuple[int, str, dict[str, object]]:
    """Exit code of `again` for a record, what it says of it, and its section (empty where there is none)."""
    capsys.readouterr()
    code = main(["again", str(path), "--catalogue", str(folder), "--json"])
    found = json.loads(capsys.readouterr().out)
    [row] = found["tables"]["records"]
    return code, row["status"], found.get("sections", {}).get("record_1", {})


def test_a_record_has_case_answer_and_inputs(folder, tmp_path, capsys):
    case = tmp_path / "case.yaml"
    case.write_text(CASE, encoding="utf-8")
    path = recorded(folder, "pick", "--case", str(case), "--set", "losses.lift=20 ft")
    assert path.name == "pick-store-12-rack-b.json"
    data = json.loads(path.read_text(encoding="utf-8"))
    assert data["case"] == {
        "name": "Store 12, Rack B",
        "refrigerant": "R448A",
        "sst": "24F",
        "application": "walk_in_medium",
        "load": "20 MBH",
        "overrides": ["losses.lift=20 ft"],
    }
    answer = tablegen.pick(case=case, overrides=["losses.lift=20 ft"], catalogue=folder)
    assert data["verdict"] == list(answer.summary)
    # The order line as printed, but for the revision at its end.
    order = next(own for own in answer.sections if own.key == "order")
    shown = [text for part, row, label, text in data["figures"] if part == "To order"]
    assert order.summary[0].replace("\N{NO-BREAK SPACE}", " ").startswith(shown[0])
    for file, found in data["inputs"].items():
        if not file.startswith("packaged/"):
            assert found == hashlib.sha256((folder / file).read_bytes()).hexdigest(), file
    assert {"catalogue.yaml", "families/alder.yaml", "applications/walk_in_medium.yaml"} <= set(data["inputs"])
    assert data["catalogue"]["revision"] == "A" and data["versions"]["tablegen"] == tablegen.__version__
    sizes = {(row["family"], row["size"]): row["max_load_w"] for row in data["answer"]["tables"]["sizes"]}
    row = answer.frame().set_index(["family", "size"]).loc[("alder", "90")]
    assert sizes["alder", "90"] == row["max_load_w"]


def test_the_same_case_has_the_same_file_and_another_record_is_never_overwritten(folder, capsys):
    path = recorded(folder, *PICK)
    content = path.read_bytes()
    again = [*PICK, "--catalogue", str(folder), "--record", str(path.parent)]
    assert main(again) == 0 and path.read_bytes() == content
    assert [own.name for own in path.parent.iterdir()] == [path.name]
    edit(folder, "families/alder.yaml", "kv: 90.0 L/h", "kv: 88.0 L/h")
    capsys.readouterr()
    assert main(again) == 2 and path.read_bytes() == content
    out, err = capsys.readouterr()
    assert "First choice" in out and "a different record of this case is there and was left as it is" in err
    # Other units are another answer as printed.
    assert recorded(folder, *PICK, "--units", "SI") != path
    capsys.readouterr()


@pytest.mark.slow
def test_an_answer_is_valid_until_what_it_says_is_another(folder, capsys):
    path = recorded(folder, *PICK, "--family", "alder")
    assert status_of(folder, path, capsys) == (0, "unchanged", {})
    # A comment is a change of an input that changes nothing that was said.
    edit(folder, "families/alder.yaml", "title: Alder", "# A remark.\ntitle: Alder")
    code, found, section = status_of(folder, path, capsys)
    assert (code, found) == (0, "inputs_changed")
    assert [row["name"] for row in section["tables"]["inputs"]] == ["families/alder.yaml"]
    # Two percent less Kv: limits of the size are two percent lower, and the report says which from what to what.
    edit(folder, "families/alder.yaml", "kv: 90.0 L/h", "kv: 88.2 L/h")
    code, found, section = status_of(folder, path, capsys)
    assert (code, found) == (1, "figures_changed")
    changed = {(row["row"], row["label"]): (row["was"], row["now"]) for row in section["tables"]["figures"]}
    was, now = changed["Alder 90", "Load window, kBtu/h"]
    assert float(now.split("–")[1]) == pytest.approx(0.98 * float(was.split("–")[1]), abs=0.1)
    assert not any(row == "Alder 63" for row, _ in changed)
    # Without that size the next one is the first choice.
    edit(folder, "families/alder.yaml", "  - {size: 90, kv: 88.2 L/h}\n", "")
    edit(folder, "families/alder.yaml", "[45, 63, 90]", "[45, 63]")
    code, found, section = status_of(folder, path, capsys)
    assert (code, found) == (1, "another_valve")
    assert section["summary"][0].startswith("First choice now: Alder 125, ")
    assert "In the record: Alder 90, " in section["summary"][0]


def test_what_is_no_longer_offered_says_why(folder, capsys):
    path = recorded(folder, *PICK, "--family", "alder")
    edit(folder, "catalogue.yaml", "revisions:", "leave_out:\n  - {family: alder, why: Sold out.}\nrevisions:")
    code, found, section = status_of(folder, path, capsys)
    assert (code, found) == (1, "no_longer_offered") and section["summary"][0].endswith("Sold out.")
    assert "Sold out." in str(tablegen.again(path, catalogue=folder))


def test_a_load_that_nothing_covers_now_is_no_longer_offered(folder, capsys):
    path = recorded(folder, *PICK, "--family", "alder", "--load", "50 kBtu/h")
    edit(folder, "families/alder.yaml", "kv: 180 L/h", "kv: 126 L/h")
    code, found, section = status_of(folder, path, capsys)
    assert (code, found) == (1, "no_longer_offered")
    assert section["summary"][0].startswith("First choice now: no valve covers the load.")


def test_another_verdict_on_a_valve_in_place(folder, capsys):
    path = recorded(folder, *FITTED)
    edit(folder, "families/alder.yaml", "stop: 120 percent", "stop: 100 percent")
    code, found, section = status_of(folder, path, capsys)
    assert (code, found) == (1, "another_verdict")
    assert section["summary"] == ["The answer is no now; in the record it is yes."]


@pytest.mark.slow
@pytest.mark.parametrize("ending", ["pdf", "txt", *(pytest.param(e, marks=pytest.mark.slow) for e in ("html", "csv"))])
def test_records_are_checked_in_every_medium_and_a_bad_one_stops_no_other(ending, folder, tmp_path, capsys):
    records = recorded(folder, *PICK, "--family", "alder").parent
    recorded(folder, "trace", "alder", "90", "R448A", "--sst", "24F", "--limit", "minimum")
    recorded(
        folder,
        "convert",
        "R448A",
        "--capacity",
        "5 kW",
        "--condensing",
        "95F",
        "--basis",
        "dew",
        "--sst",
        "24F",
        "--subcooling",
        "5 K",
    )
    edit(folder, "families/alder.yaml", "kv: 90.0 L/h", "kv: 88.0 L/h")
    (records / "x.json").write_text("{", encoding="utf-8")
    capsys.readouterr()
    out = tmp_path / f"again.{ending}"
    option = "--csv" if ending == "csv" else "--output"
    assert main(["again", str(records), "--catalogue", str(folder), option, str(out)]) == 2
    shown, err = capsys.readouterr()
    assert "1 of 3 answers are still valid." in shown and out.stat().st_size > 100
    assert err.endswith("x.json:1: it is no record of a case; 'tablegen pick --record FOLDER' writes one\n")


@pytest.mark.parametrize(
    ("key", "value", "message"),
    [
        ("record", 99, "record: the record was written by another version of this program"),
        ("command", "build", "the record is incomplete or was changed by hand"),
        ("units", "mixed", "the record is incomplete or was changed by hand"),
        ("figures", [[1]], "figures: the record is incomplete or was changed by hand"),
        ("valves", None, "valves: the record is incomplete or was changed by hand"),
        ("case", {"lod": "5 kW"}, "lod: the key is not known"),
    ],
)
def test_a_record_that_was_changed_by_hand_is_one_line(key, value, message, folder, capsys):
    path = recorded(folder, *PICK, "--family", "alder")
    data = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(json.dumps({**data, key: value}), encoding="utf-8")
    capsys.readouterr()
    assert main(["again", str(path), "--catalogue", str(folder)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and message in err and err.count("\n") == 1


def test_a_folder_without_records_and_a_file_in_its_place(folder, tmp_path, capsys):
    (tmp_path / "empty").mkdir()
    assert main(["again", str(tmp_path / "empty"), "--catalogue", str(folder)]) == 2
    assert main(["again", str(tmp_path / "none"), "--catalogue", str(folder)]) == 2
    assert main([*PICK, "--catalogue", str(folder), "--record", str(folder / "catalogue.yaml")]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert [line.split(": ", 1)[1] for line in lines[:2]] == [
        "the folder contains no records",
        "the file does not exist",
    ]
    assert lines[2].endswith("is a file; it must be a folder")


def test_a_list_of_part_numbers_of_the_case_is_an_input(folder, tmp_path, capsys):
    own = tmp_path / "numbers.csv"
    own.write_text("part_number,family\nA-1,alder\n", encoding="utf-8")
    path = recorded(folder, *PICK, "--family", "alder", "--part-numbers", str(own))
    own.write_text("part_number,family\nA-2,alder\n", encoding="utf-8")
    code, found, section = status_of(folder, path, capsys)
    assert (code, found) == (1, "figures_changed")
    [change] = section["tables"]["figures"]
    assert "part number A-1" in change["was"] and "part number A-2" in change["now"]
    assert [row["name"] for row in section["tables"]["inputs"]] == [str(own)]
    own.unlink()
    assert main(["again", str(path), "--catalogue", str(folder)]) == 2
    assert f"{path.name}: part_numbers: {own}: the file does not exist" in capsys.readouterr().err


def test_a_figure_that_was_not_printed_then_changes_nothing(folder, capsys):
    path = recorded(folder, *PICK, "--family", "alder")
    data = json.loads(path.read_text(encoding="utf-8"))
    boxes = [figure for figure in data["figures"] if figure[2] == "Box"]
    assert boxes, "the case has a box temperature"
    data["figures"] = [figure for figure in data["figures"] if figure[2] != "Box"]
    path.write_text(json.dumps(data), encoding="utf-8")
    code, status, _ = status_of(folder, path, capsys)
    assert (code, status) == (0, "unchanged")


def test_a_record_from_before_the_section_near_the_valve_is_valid(folder, capsys):
    path = recorded(folder, *PICK)
    data = json.loads(path.read_text(encoding="utf-8"))
    assert any(part.startswith("Pressure drops assumed") for part, *_ in data["figures"])
    without = [own for own in data["figures"] if not own[0].startswith("Pressure drops assumed")]
    path.write_text(json.dumps({**data, "figures": without}), encoding="utf-8")
    code, status, _ = status_of(folder, path, capsys)
    assert (code, status) == (0, "unchanged")
    # What a record does have of it is compared.
    data["figures"] = [[*own[:3], "9 psi"] if own[2] == "Distributor" else own for own in data["figures"]]
    path.write_text(json.dumps(data), encoding="utf-8")
    code, status, _ = status_of(folder, path, capsys)
    assert (code, status) == (1, "figures_changed")


def test_a_flammable_refrigerant_has_its_cautions_which_change_no_record(tmp_path, capsys):
    path = small_catalogue(tmp_path / "own", ["hazel"], {"R454C": ["R454C"]}, ["walk_in_medium"])
    asked = ("R454C", "--sst", "24 degF", "--load", "20 kBtu/h", "--application", "walk_in_medium")
    assert main(["pick", *asked, "--catalogue", str(path)]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "; for R454C (A2L: flammable); " in out
    assert out.count("Flammable (safety group A2L): charge limits") == 1
    record = recorded(path.parent, "pick", *asked)
    # What a reader was shown is compared without cautions, which a record of an older release does not have.
    assert "flammable" not in json.dumps(json.loads(record.read_text(encoding="utf-8"))["figures"])
    assert status_of(path.parent, record, capsys)[:2] == (0, "unchanged")
    stated = ("--capacity", "20 MBH", "--condensing", "105 degF", "--basis", "dew", "--subcooling", "5 delta_degF")
    convert = ("convert", "R454C", *asked[1:3], *asked[5:], *stated)
    for command in (convert, ("trace", "hazel", "100", *asked[:3], *asked[5:])):
        main([*command, "--catalogue", str(path)])
        assert "Flammable (safety group A2L)" in " ".join(capsys.readouterr().out.split()), command
