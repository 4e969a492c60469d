"""`tablegen audit` from the command line: text, CSV, JSON, the printed sheet, exit codes, problems."""

from __future__ import annotations

import contextlib
import csv
import json
from pathlib import Path

import pypdfium2
import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tests.demo import page_texts
from tests.small import small_catalogue
from tests.worked import WORKED

MEDIUM = "applications/walk_in_medium.yaml"


@pytest.fixture(scope="module")
def sound(tmp_path_factory) -> Path:
    """One family, one refrigerant: nothing but remarks."""
    folder = tmp_path_factory.mktemp("sound") / "configs"
    # Without a box temperature nothing says what the suction would follow.
    unstated = [(MEDIUM, "coil_temperature_difference: 10 delta_degF", "")]
    return small_catalogue(folder, ["alder"], {"R134a": ["R134a"]}, ["walk_in_medium"], unstated, WORKED.parent)


@pytest.fixture(scope="module")
def gapped(tmp_path_factory) -> Path:
    """The same without two sizes."""
    folder = tmp_path_factory.mktemp("gapped") / "configs"
    gone = [("families/alder.yaml", f"  - {{size: {size}, kv: {size}.0 L/h}}\n", "") for size in (45, 63)]
    offered = [("families/alder.yaml", "sizes: [45, 63, 90]", "sizes: [90]")]
    return small_catalogue(folder, ["alder"], {"R134a": ["R134a"]}, ["walk_in_medium"], gone + offered, WORKED.parent)


def run(capsys, *arguments: object) -> tuple[int, str, str]:
    code = main(["audit", *map(str, arguments)])
    done = capsys.readouterr()
    return code, done.out, done.err


def test_a_catalogue_without_faults_gives_0_and_with_strict_1(capsys, sound):
    code, out, err = run(capsys, "--catalogue", sound)
    assert (code, err) == (0, "")
    assert "No faults." in out
    assert "1 table with 144 windows (144 open)" in out
    assert "alder, R134a, walk_in_medium 1.17–52.3 16 of 16 0 1–3 65 %" in " ".join(out.split())
    assert "Balanced suction was not checked" in out
    assert "invented valves" in out
    assert max(map(len, out.splitlines())) <= 110
    assert run(capsys, "--catalogue", sound, "--strict") == (1, out, "")


def test_faults_give_1_and_come_before_remarks(capsys, gapped):
    code, out, _ = run(capsys, "--catalogue", gapped)
    assert code == 1
    assert "16 faults, listed in 1 line." in out
    assert out.index("\nFaults\n\nLoads inside the size range that no size covers\n") < out.index("\nRemarks\n")
    assert "alder, R134a, walk_in_medium, sizes 32 to 90, SST" in out
    assert "(between 32" in out


def test_csv_has_a_row_for_every_finding_in_si(capsys, gapped, tmp_path):
    code, out, _ = run(capsys, "--catalogue", gapped, "--csv", tmp_path / "findings.csv")
    with (tmp_path / "findings.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    gaps = [r for r in rows if r["kind"] == "gap"]
    assert code == 1
    assert out.endswith(f"findings.csv: {len(rows)} rows\n")
    assert len(gaps) == 16
    assert [r["severity"] for r in rows] == sorted(r["severity"] for r in rows)
    for row in gaps:
        low, high, shift = (float(row[k]) for k in ("from_load_w", "to_load_w", "shift"))
        assert (row["size"], row["other_size"]) == ("32", "90")
        assert high / low - 1.0 == pytest.approx(shift)
        assert 1000.0 < low < high < 10_000.0


def test_json_has_coverage_row_by_row(capsys, gapped):
    record = json.loads(run(capsys, "--catalogue", gapped, "--json")[1])
    tables = record["tables"]
    assert record["facts"]["faults"] == 16
    (table,) = tables["coverage"]
    assert (table["rows"], table["rows_with_gaps"]) == (16, 16)
    assert len(tables["coverage_rows"]) == len(tables["gaps"]) == 16
    for row, gap in zip(tables["coverage_rows"], tables["gaps"], strict=True):
        assert row["sst_k"] == gap["sst_k"]
        assert (gap["smaller"], gap["larger"]) == ("32", "90")
        assert row["min_load_w"] < gap["from_load_w"] < gap["to_load_w"] < row["max_load_w"]
    (line,) = [line for line in tables["lines"] if line["severity"] == "fault"]
    assert (line["kind"], line["count"]) == ("gap", 16)
    assert line["text"].endswith("(between 32 and 90), in kBtu/h")
    faults = [finding for finding in tables["findings"] if finding["severity"] == "fault"]
    assert [f["from_load_w"] for f in faults] == [gap["from_load_w"] for gap in tables["gaps"]]
    assert faults[0]["sst_k"] == tables["gaps"][0]["sst_k"]
    assert faults[0]["refrigerant"] is None


def test_text_in_si_has_no_other_units(capsys, gapped):
    out = run(capsys, "--catalogue", gapped, "--units", "si")[1]
    assert "in kW" in out
    assert "°F" not in out
    assert "kBtu" not in out


@pytest.mark.slow
def test_the_same_catalogue_gives_the_same_sheet(capsys, gapped, tmp_path):
    first, second = tmp_path / "a.pdf", tmp_path / "b.pdf"
    assert run(capsys, "--catalogue", gapped, "--output", first)[0] == 1
    assert run(capsys, "--catalogue", gapped, "--output", second)[0] == 1
    assert run(capsys, "--catalogue", gapped, "--output", tmp_path / "c.pdf", "--paper", "A4", "--units", "SI")[0] == 1
    assert first.read_bytes() == second.read_bytes()
    (text,) = page_texts(first.read_bytes())
    plain = " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())
    assert "alder, R134a" in plain
    assert "10 to 40 °F" in plain
    assert "16 faults, listed in 1 line." in plain
    assert "(between 32 and 90)" in plain
    assert "invented valves" in plain
    assert "licensed technicians" in plain
    (metric,) = page_texts((tmp_path / "c.pdf").read_bytes())
    assert "load, kW" in metric.replace("\N{NO-BREAK SPACE}", " ")


def test_a_web_page_has_the_picture_and_the_findings(capsys, gapped, tmp_path):
    target = tmp_path / "audit.html"
    assert run(capsys, "--catalogue", gapped, "--output", target)[0] == 1
    page = target.read_text(encoding="utf-8")
    assert ">1 strip chart of size ranges; 16 gaps in all.</title>" in page
    assert "<h2>Faults</h2>" in page


def inside(page: pypdfium2.PdfPage, margin: float) -> bool:
    width, height = page.get_size()
    text = page.get_textpage()
    boxes = [text.get_charbox(i) for i in range(text.count_chars())]
    return (
        min(b[0] for b in boxes) >= margin
        and max(b[2] for b in boxes) <= width - margin
        and min(b[1] for b in boxes) >= 10
        and max(b[3] for b in boxes) <= height - 15
    )


@pytest.mark.slow
def test_the_sheet_of_the_demo_draws_every_table_and_nothing_is_cut_off(capsys, tmp_path):
    """Its single-port family and its lifted application have gaps, and windows that are lost at confidence."""
    target = tmp_path / "demo.pdf"
    code, out, err = run(capsys, "--demo", "--output", target, "--json")
    tables = json.loads(out)["tables"]
    assert (code, err) == (1, "")
    faults = [finding for finding in tables["findings"] if finding["severity"] == "fault"]
    assert {f["kind"] for f in faults} == {"gap", "empty_at_confidence", "between_heads", "between_rows"}
    faulty = {(f["family"], f["application"]) for f in faults if f["kind"] == "gap"}
    assert faulty == {
        ("rowan", "walk_in_medium"),
        ("rowan", "walk_in_medium_fixed"),
        ("alder", "walk_in_medium_lift"),
        ("alder", "walk_in_medium_line"),
    }
    plain = " ".join(" ".join(page_texts(target.read_bytes())).replace("\N{NO-BREAK SPACE}", " ").split())
    # Every table has its strip.
    for table in tables["coverage"]:
        assert f"{table['family']}, {table['group']}" in plain
    assert plain.count("walk_in_low ") >= 3
    with contextlib.closing(pypdfium2.PdfDocument(target)) as document:
        assert all(inside(page, 40) for page in document)


def test_a_release_that_was_altered_gives_1(capsys, sound, tmp_path):
    data = compute(load_catalogue(sound))
    folder = tmp_path / "out"
    folder.mkdir()
    data.write(folder)
    code, out, _ = run(capsys, "--catalogue", sound, "--release", folder)
    # A data set that no build wrote has no record of its documents.
    assert code == 1
    assert "\n1 fault.\n" in out
    assert "Windows read back 144 windows in group_windows.csv" in " ".join(out.split())
    path = folder / "group_windows.csv"
    old = f"{data.group_windows['min_load_w'].iloc[3]:.12g}"
    path.write_text(path.read_text(encoding="utf-8").replace(old, f"{0.9 * float(old):.12g}"), encoding="utf-8")
    code, out, _ = run(capsys, "--catalogue", sound, "--release", folder)
    assert code == 1
    assert "3 faults, listed in 3 lines." in out
    assert "group_windows.csv: the minimum load of size 11 at SST" in " ".join(out.split())


@pytest.mark.parametrize(
    ("arguments", "text"),
    [
        (["--catalogue", "nowhere.yaml"], "nowhere.yaml: the file does not exist"),
        (["--demo", "--release", "nowhere"], "nowhere: no release to compare with"),
        (["--demo", "--box-difference", "10 psi"], "--box-difference: '10 psi' is not allowed; a temperature diff"),
        (["--demo", "--box-difference", "0 K"], "it must be at least 0.5 K"),
    ],
)
def test_a_problem_is_one_line_and_code_2(capsys, arguments, text):
    code, out, err = run(capsys, *arguments)
    assert (code, out) == (2, "")
    assert text in err
    assert err.count("\n") == 1


def test_a_sheet_that_cannot_be_written_is_one_line(capsys, sound, tmp_path):
    code, out, err = run(capsys, "--catalogue", sound, "--output", tmp_path / "none" / "a.pdf")
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert "the folder" in err and "does not exist" in err
