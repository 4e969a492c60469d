"""`tablegen fit --apply`: the family's file with fitted values, all else as it was written, or not changed at all."""

from __future__ import annotations

import difflib
import json
import re
import shutil
from pathlib import Path

import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.config import packaged_configs
from tablegen.config.loader import load_catalogue
from tablegen.config.yaml_edit import edited
from tablegen.config.yaml_text import parse
from tests.bench.demo_data import FOLDER, as_si_csv
from tests.bench.invented import Noise, Truth, flow_plan, readings
from tests.bench.test_specimens import SCATTER, rows_of
from tests.registry import refrigerant
from tests.worked import copy_of_worked

CATALOGUE = ("--catalogue", "configs/catalogue.yaml")


@pytest.fixture(autouse=True)
def family(tmp_path, monkeypatch) -> Path:
    monkeypatch.chdir(tmp_path)
    copy_of_worked(Path("configs"))
    shutil.copytree(FOLDER, "configs/bench")
    return Path("configs/families/alder.yaml")


def other_lines(before: str, after: str) -> list[str]:
    """Lines of a text that are no longer in it."""
    every = difflib.unified_diff(before.splitlines(), after.splitlines(), lineterm="", n=0)
    return [line[1:] for line in every if line.startswith("-") and not line.startswith("---")]


def test_values_are_written_and_all_else_stays(family, capsys):
    # What people write: a comment behind a value, another order, blanks that align.
    before = family.read_text(encoding="utf-8").replace("{size: 45, kv: 45.0 L/h}", "{size: 45,  kv:  45.0 L/h} # new")
    family.write_text(before, encoding="utf-8")
    assert main(["fit", "configs/bench/alder.csv", *CATALOGUE, "--show-changes"]) == 0
    shown = capsys.readouterr().out
    assert family.read_text(encoding="utf-8") == before
    assert main(["fit", "configs/bench/alder.csv", *CATALOGUE, "--apply"]) == 0
    after = family.read_text(encoding="utf-8")
    written = capsys.readouterr().out
    assert re.search(r"\n-  unbalance: 0\.2 percent\n\+  unbalance: 0\.(2[789]|3)", written)
    assert shown.replace("not changed; --apply would write this", "written") == written
    keys = [line.split(":")[0].strip(" -{") for line in other_lines(before, after)]
    assert keys == ["size", "size", "size", "unbalance", "static_superheat", "opening_superheat"]
    assert "  - {size: 45,  kv: 45." in after and "}} # new\n" in after
    assert main(["check", *CATALOGUE]) == 0
    alder = load_catalogue(Path("configs/catalogue.yaml")).families["alder"]
    assert {s.name for s in alder.sizes if s.kv_tolerance} == {"32", "45", "90"}
    capsys.readouterr()
    # Once is enough.
    assert main(["fit", "configs/bench/alder.csv", *CATALOGUE, "--apply"]) == 0
    assert capsys.readouterr().out.endswith("alder.yaml: not changed, because it has these values already\n")
    assert family.read_text(encoding="utf-8") == after


def test_what_counts_for_the_family_is_said_to_come_from_the_sizes_tested(family, capsys):
    """The demo's bench tested three of its sizes for flow, and one of them for the force balance."""
    assert main(["fit", "configs/bench/alder.csv", *CATALOGUE, "--show-changes"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert (
        "port.unbalance and charges were fitted to rows of size 45 only but apply to every size of the family." in out
    )
    assert "were fitted to rows of sizes 32, 45 and 90 only" in out


@pytest.mark.slow
def test_a_reason_written_by_hand_stays_and_one_of_a_fit_is_written_anew(family, capsys):
    reasons = []
    for reason in (
        "Bench data of our own lab show it.",
        "'Bench data (old.csv, test of 2025-01-02, 12 rows): mass flow is off the fit by 0.8 % with the orifice law.'",
        "'12 readings of mass flow (test of 2025-01-02) scatter by 0.81 % about this law.'",
    ):
        text = re.sub("(?m)^flow_law_reason: .*$", f"flow_law_reason: {reason}", family.read_text(encoding="utf-8"))
        family.write_text(text, encoding="utf-8")
        assert main(["fit", "configs/bench/alder.csv", *CATALOGUE, "--apply"]) == 0
        reasons.append(load_catalogue(Path("configs/catalogue.yaml")).families["alder"].flow_law_reason)
    assert reasons[0] == "Bench data of our own lab show it."
    for reason in reasons[1:]:
        assert re.fullmatch(
            r"\d+ readings of mass flow \(test of 2026-11-20\) scatter by 0\.\d+ % about this law\.", reason
        )
    # Under another law a reason would be wrong.
    text = family.read_text(encoding="utf-8")
    text = re.sub(
        "(?m)^flow_law_reason: .*\n(?: .*\n)*", "flow_law_reason: By hand.\npressure_recovery: 85 percent\n", text
    )
    family.write_text(text.replace("flow_law: orifice", "flow_law: choked"), encoding="utf-8")
    assert main(["fit", "configs/bench/alder.csv", *CATALOGUE, "--fragment", "f.yaml"]) == 0
    assert re.search(r"(?m)^flow_law_reason: .* about this law\.", Path("f.yaml").read_text(encoding="utf-8"))


@pytest.mark.slow
def test_the_fit_of_specimens_gives_the_scatter_of_the_family(family, capsys):
    Path("alder.csv").write_text(as_si_csv(rows_of(2)), encoding="utf-8")
    answer = tablegen.fit("alder.csv", catalogue="configs", apply=True, date="2026-11-20")
    scatter = load_catalogue(Path("configs/catalogue.yaml")).families["alder"].scatter
    found = {row["quantity"]: row["standard_deviation"] for row in answer.table("scatter").records()}
    assert set(found) == set(SCATTER)
    assert scatter.kv == pytest.approx(found["kv"], rel=0.05)
    assert scatter.static_superheat_k == pytest.approx(found["static_superheat"], rel=0.05)
    # Not measured, so as it was; the source says which is whose.
    assert scatter.charge_pressure == 0.003
    assert (
        scatter.source == "alder.csv, test of 2026-11-20, 7 specimens; other values: Invented, like every figure here."
    )
    assert main(["fit", "alder.csv", "--date", "2026-11-20", *CATALOGUE, "--show-changes", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["facts"]["difference"] == ""


@pytest.mark.slow
def test_sizes_given_by_capacity_get_a_kv(capsys):
    before = {s.name: s.kv_rated_m3h for s in load_catalogue(Path("configs/catalogue.yaml")).families["rowan"].sizes}
    rows = readings(Truth({"4": 1.03 * before["4"]}), flow_plan(("4",)), Noise(), 5, refrigerant("R404A"))
    Path("rowan.csv").write_text(as_si_csv(rows), encoding="utf-8")
    assert main(["fit", "rowan.csv", *CATALOGUE, "--apply"]) == 0
    after = {s.name: s.kv_rated_m3h for s in load_catalogue(Path("configs/catalogue.yaml")).families["rowan"].sizes}
    assert after == pytest.approx({**before, "4": 1.03 * before["4"]}, rel=0.01)


@pytest.mark.slow
def test_what_is_measured_on_a_port_design_is_written_into_it(family, capsys):
    """Sizes with a name in print and an insert of their own: unbalance and characteristic are the insert's."""
    text = family.read_text(encoding="utf-8")
    for size in ("32", "45", "90"):
        text = text.replace(f"{{size: {size}, ", f"{{size: {size}, display: S {size}, port_design: B, ")
    design = "port_designs:\n  - {design: B, port: {unbalance: 0.1 percent}}  # insert B\n"
    family.write_text(text.replace("equalizer: external\n", f"{design}equalizer: external\n"), encoding="utf-8")
    bench = Path("configs/bench/alder.csv")
    readings_text = re.sub(r"(?m)^(R404A),(32|45|90),", r"\1,S \2,", bench.read_text(encoding="utf-8"))
    bench.write_text(readings_text, encoding="utf-8")
    answer = tablegen.fit(bench, catalogue="configs", apply=True)
    [row] = [row for row in answer.table("parameters").records() if row["quantity"] == "unbalance"]
    assert row["stated"] == pytest.approx(0.001)
    changed = [row["key"] for row in answer.table("changes").records()]
    keys = ["port_designs[0].port.unbalance", "port_designs[0].port.unbalance_tolerance"]
    assert [key for key in changed if "port" in key] == keys
    assert "  # insert B\n" in family.read_text(encoding="utf-8")
    alder = load_catalogue(Path("configs/catalogue.yaml")).families["alder"]
    assert [part.elements[0].actuator.balance.unbalance for part in alder.by_design()] == pytest.approx(
        [0.002, row["value"]], abs=1e-5
    )
    # What the file has now is what the next fit says of it.
    again = tablegen.fit(bench, catalogue="configs", show_changes=True)
    assert again.table("changes").records() == []


def refused(capsys, *arguments: str) -> str:
    assert main(["fit", *arguments, "--apply"]) == 2
    out, err = capsys.readouterr()
    assert out == "" and "Traceback" not in err
    return err


def test_the_demo_is_not_changed(capsys):
    said = "--apply: the files of the demo cannot be changed; name a catalogue of your own with --catalogue"
    assert said in refused(capsys, "--demo")
    assert said in refused(capsys, "configs/bench/alder.csv", "--catalogue", str(packaged_configs() / "catalogue.yaml"))
    with pytest.raises(tablegen.errors.RequestError, match="apply: the files of the demo"):
        tablegen.fit(apply=True)


def test_nothing_is_written_that_the_check_refuses(family, capsys):
    """A setting below the smallest static superheat that the charge may have."""
    text = family.read_text(encoding="utf-8")
    before = text.replace("minimum_static_superheat: 2 delta_degF", "minimum_static_superheat: 2.4 delta_degF", 1)
    Path("shifted.csv").write_text(
        warmer_by((FOLDER / "alder.csv").read_text(encoding="utf-8"), -0.5), encoding="utf-8"
    )
    family.write_text(before, encoding="utf-8")
    said = refused(capsys, "shifted.csv", "--family", "alder", *CATALOGUE)
    assert "alder.yaml: not changed, because the catalogue would not pass the check with the fitted values:" in said
    assert "must be at least 2.40 delta_degF" in said
    assert family.read_text(encoding="utf-8") == before


def warmer_by(text: str, fahrenheit: float) -> str:
    """The demo's rows with all bulbs warmer."""
    lines = []
    for line in text.splitlines():
        cells = line.split(",")
        if len(cells) > 8 and cells[8].replace(".", "").isdigit():
            cells[8] = f"{float(cells[8]) + fahrenheit:.2f}"
        lines.append(",".join(cells))
    return "\n".join(lines) + "\n"


@pytest.mark.slow
def test_a_file_that_was_changed_meanwhile_is_left_alone(family, capsys, monkeypatch):
    from tablegen.bench import fit as bench_fit

    fit_bench = bench_fit.fit_bench

    def slow(*arguments):
        family.write_text(family.read_text(encoding="utf-8") + "# by somebody else\n", encoding="utf-8")
        return fit_bench(*arguments)

    monkeypatch.setattr(bench_fit, "fit_bench", slow)
    said = refused(capsys, "configs/bench/alder.csv", *CATALOGUE)
    assert "alder.yaml: the file was changed while the command ran; run the fit again" in said
    assert family.read_text(encoding="utf-8").endswith("# by somebody else\n")


def test_sizes_of_another_law_are_not_lost(family, capsys):
    rows = readings(
        Truth({"45": 45.4e-3, "90": 88.9e-3}, 0.85), flow_plan(("45", "90")), Noise(), 5, refrigerant("R404A")
    )
    Path("alder.csv").write_text(as_si_csv(rows), encoding="utf-8")
    before = family.read_bytes()
    said = refused(capsys, "alder.csv", *CATALOGUE)
    assert "nothing is written, because sizes 11, 16, 22, 32, 63, 125, 180 have a Kv rated under the other" in said
    assert family.read_bytes() == before


@pytest.mark.slow
def test_the_mode_of_the_file_stays(family):
    family.chmod(0o640)
    assert main(["fit", "configs/bench/alder.csv", *CATALOGUE, "--apply"]) == 0
    assert family.stat().st_mode & 0o777 == 0o640


@pytest.mark.slow
def test_line_ends_and_byte_order_mark_stay(family):
    text = family.read_text(encoding="utf-8")
    family.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    tablegen.fit("configs/bench/alder.csv", catalogue="configs", apply=True)
    after = family.read_bytes()
    assert after.startswith(b"\xef\xbb\xbf#") and after.count(b"\r\n") == after.count(b"\n") > 200


EDITS = {
    "behind a comment": ("a: 1 # one\n# two\nb: 2\n", {"a": 3, "c": 4, "b": 2}, "a: 3 # one\nc: 4\n# two\nb: 2\n"),
    "taken out": (
        "a: 1\n# of b\nb: 2\nc: {d: 1, e: 2}\n",
        {"a": 1, "b": None, "c": {"d": 1}},
        "a: 1\n# of b\nc: {d: 1}\n",
    ),
    "list for list": (
        "a:\n  - [1, 2] # x\n\n# of b\nb: 2\n",
        {"a": [[1, 2], [3, 4]], "b": 2},
        "a:\n- [1, 2]\n- [3, 4] # x\n\n# of b\nb: 2\n",
    ),
    "in flow": (
        "a: [{b: 1, c: 2}]",
        {"a": [{"b": 1, "d": "x, y", "e": {"f": 1}}]},
        "a: [{b: 1, d: 'x, y', e: {f: 1}}]",
    ),
    "without a line end": ("a:\n  b: 1", {"a": {"b": 1, "c": "# no"}}, "a:\n  b: 1\n  c: '# no'"),
}


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_changes_no_more_than_it_must(name):
    text, wanted, expected = EDITS[name]
    made, changes = edited(text, wanted, "family.yaml")
    assert made == expected
    assert changes and parse(made).data != parse(text).data
