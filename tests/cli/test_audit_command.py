"""`tablegen audit` from the command line: text, CSV, JSON, the picture, exit codes, problems."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pypdfium2
import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tests.demo import page_texts
from tests.small import small_catalogue

MEDIUM = "applications/walk_in_medium.yaml"


@pytest.fixture(scope="module")
def sound(tmp_path_factory) -> Path:
    """One family, one refrigerant: nothing but remarks."""
    folder = tmp_path_factory.mktemp("sound") / "configs"
    return small_catalogue(folder, ["alder"], {"R134a": ["R134a"]}, ["walk_in_medium"])


@pytest.fixture(scope="module")
def gapped(tmp_path_factory) -> Path:
    """The same with two sizes left away."""
    folder = tmp_path_factory.mktemp("gapped") / "configs"
    gone = [("families/alder.yaml", f"  - {{size: {size}, kv: {size}.0 L/h}}\n", "") for size in (45, 63)]
    offered = [("families/alder.yaml", "sizes: [45, 63, 90]", "sizes: [90]")]
    return small_catalogue(folder, ["alder"], {"R134a": ["R134a"]}, ["walk_in_medium"], gone + offered)


def run(capsys, *arguments: object) -> tuple[int, str, str]:
    code = main(["audit", *map(str, arguments)])
    done = capsys.readouterr()
    return code, done.out, done.err


def test_a_catalogue_without_faults_gives_0_and_with_strict_1(capsys, sound):
    code, out, err = run(capsys, "--catalogue", sound)
    assert (code, err) == (0, "")
    assert "No faults" in out
    assert "1 table, 144 windows (144 open)" in out
    assert "alder, R134a, walk_in_medium  1.17–52.3       16 of 16           0          1–3              65 %" in out
    assert "response_not_run" in out
    assert "invented valves" in out
    assert max(map(len, out.splitlines())) <= 140
    assert run(capsys, "--catalogue", sound, "--strict") == (1, out, "")


def test_faults_give_1_and_are_told_before_remarks(capsys, gapped):
    code, out, _ = run(capsys, "--catalogue", gapped)
    assert code == 1
    assert "Faults: 16 places in 1 line" in out
    assert out.index("gap: loads inside the size range that no size serves") < out.index("Remarks: ")
    assert "(between 32 and 90), in kBtu/h (16 places)" in " ".join(out.split())


def test_csv_has_a_row_for_each_place_in_si(capsys, gapped):
    code, out, _ = run(capsys, "--catalogue", gapped, "--csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    gaps = [r for r in rows if r["kind"] == "gap"]
    assert code == 1
    assert len(gaps) == 16
    assert [r["severity"] for r in rows] == sorted(r["severity"] for r in rows)
    for row in gaps:
        low, high, shift = (float(row[k]) for k in ("from_load_w", "to_load_w", "shift"))
        assert (row["size"], row["other_size"]) == ("32", "90")
        assert high / low - 1.0 == pytest.approx(shift)
        assert 1000.0 < low < high < 10_000.0


def test_json_has_coverage_row_by_row(capsys, gapped):
    record = json.loads(run(capsys, "--catalogue", gapped, "--json")[1])
    assert record["faults"] == 16
    (part,) = record["coverage"]
    assert len(part["rows"]) == 16
    for row in part["rows"]:
        (gap,) = row["gaps"]
        assert (gap["smaller"], gap["larger"]) == ("32", "90")
        assert row["min_w"] < gap["from_w"] < gap["to_w"] < row["max_w"]
    (fault,) = [f for f in record["findings"] if f["severity"] == "fault"]
    assert {p["from_load_w"] for p in fault["places"]} == {row["gaps"][0]["from_w"] for row in part["rows"]}
    assert "sst_k" in fault["places"][0] and "refrigerant" not in fault["places"][0]


def test_text_in_si_has_no_other_units(capsys, gapped):
    out = run(capsys, "--catalogue", gapped, "--units", "SI")[1]
    assert "Ladder, kW" in out
    assert "°F" not in out and "kBtu" not in out


def test_the_same_catalogue_gives_the_same_picture_of_one_page(capsys, gapped, tmp_path):
    first, second = tmp_path / "a.pdf", tmp_path / "b.pdf"
    assert run(capsys, "--catalogue", gapped, "--output", first)[0] == 1
    assert run(capsys, "--catalogue", gapped, "--output", second)[0] == 1
    assert run(capsys, "--catalogue", gapped, "--output", tmp_path / "c.pdf", "--paper", "A4", "--units", "SI")[0] == 1
    assert first.read_bytes() == second.read_bytes()
    (text,) = page_texts(first.read_bytes())
    plain = " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())
    assert "alder, R134a" in plain and "walk_in_medium" in plain and "10 to 40 °F" in plain
    assert "Faults (16 places): loads inside the size range that no size serves: 16." in plain
    assert "(between 32 and 90)" in plain
    (metric,) = page_texts((tmp_path / "c.pdf").read_bytes())
    assert "load, kW" in metric.replace("\N{NO-BREAK SPACE}", " ")
    assert "invented valves" in plain and "licensed practice" in plain


def inside(pdf: bytes, margin: float) -> bool:
    document = pypdfium2.PdfDocument(pdf)
    page = document[0]
    width, height = page.get_size()
    text = page.get_textpage()
    boxes = [text.get_charbox(i) for i in range(text.count_chars())]
    document.close()
    return (
        min(b[0] for b in boxes) >= margin
        and max(b[2] for b in boxes) <= width - margin
        and min(b[1] for b in boxes) >= 20
        and max(b[3] for b in boxes) <= height - 20
    )


@pytest.mark.slow
def test_the_picture_of_the_demo_is_one_page_and_nothing_is_cut_off(capsys, tmp_path):
    """Its single-port family and its lifted application have gaps; the rest is without faults."""
    target = tmp_path / "demo.pdf"
    code, out, err = run(capsys, "--demo", "--output", target, "--json")
    record = json.loads(out)
    assert (code, err) == (1, "")
    assert {f["kind"] for f in record["findings"] if f["severity"] == "fault"} == {"gap"}
    faulty = {(p["family"], p["application"]) for f in record["findings"] if f["kind"] == "gap" for p in f["places"]}
    assert faulty == {("rowan", "walk_in_medium"), ("alder", "walk_in_medium_lift")}
    (text,) = page_texts(target.read_bytes())
    plain = " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())
    # Every table has its strip.
    for part in record["coverage"]:
        assert f"{part['family']}, {part['group']}" in plain
    assert plain.count("walk_in_low ") >= 3
    assert inside(target.read_bytes(), 40)


def test_a_release_that_was_tampered_with_gives_1_and_one_line(capsys, sound, tmp_path):
    data = compute(load_catalogue(sound))
    folder = tmp_path / "out"
    folder.mkdir()
    data.write(folder)
    code, out, _ = run(capsys, "--catalogue", sound, "--release", folder)
    # No workbook and no booklet were made, which is a remark.
    assert code == 0
    assert "Windows read back: 144 in group_windows.csv" in out
    path = folder / "group_windows.csv"
    old = f"{data.group_windows['min_load_w'].iloc[3]:.12g}"
    path.write_text(path.read_text(encoding="utf-8").replace(old, f"{0.9 * float(old):.12g}"), encoding="utf-8")
    code, out, _ = run(capsys, "--catalogue", sound, "--release", folder)
    told = " ".join(out.split())
    assert code == 1
    assert "Faults: 2 places in 2 lines" in told
    assert "a printed figure promises more than was computed, group_windows.csv: minimum load of size 11" in told


@pytest.mark.parametrize(
    ("arguments", "text"),
    [
        (["--catalogue", "nowhere.yaml"], "nowhere.yaml: the file does not exist"),
        (["--demo", "--release", "nowhere"], "nowhere: no release to compare with"),
        (["--demo", "--box-difference", "10 degF"], "--box-difference: '10 degF' is not allowed; a temperature diff"),
        (["--demo", "--box-difference", "0 K"], "it must be at least 0.5 K"),
    ],
)
def test_a_problem_is_one_line_and_code_2(capsys, arguments, text):
    code, out, err = run(capsys, *arguments)
    assert (code, out) == (2, "")
    assert text in err
    assert err.count("\n") == 1


def test_a_picture_that_cannot_be_written_leaves_the_last_one(capsys, sound, tmp_path):
    code, out, err = run(capsys, "--catalogue", sound, "--output", tmp_path / "none" / "a.pdf")
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert "the folder" in err and "does not exist" in err
