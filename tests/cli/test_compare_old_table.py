"""`tablegen compare` with a table of limits from elsewhere: what it prints and exports, what has no counterpart, what it refuses."""

from __future__ import annotations

import csv
import io
import json
import math
import os

import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.report.json_export import to_json
from tests.demo import CATALOGUE, demo_catalogue, demo_data, page_texts
from tests.legacy.demo_guide import text_of_guide

GUIDE = CATALOGUE.parent / "legacy" / "old_guide.csv"
MAPPING = GUIDE.with_suffix(".yaml")
HEADER = "family,size,refrigerant,application,sst [degF],min [kBtu/h],max [kBtu/h]\n"
NBSP = "\N{NO-BREAK SPACE}"


def run(capsys, *arguments: object) -> tuple[int, str, str]:
    code = main(["compare", *map(str, arguments)])
    done = capsys.readouterr()
    return code, " ".join(done.out.replace(NBSP, " ").split()), done.err


def test_the_demos_old_guide_is_made_from_its_truth(tmp_path):
    """`python -m tests.legacy.demo_guide` writes it anew."""
    assert GUIDE.read_text(encoding="utf-8") == text_of_guide(tmp_path)


def test_the_demos_old_guide_was_computed_with_another_low_head(tmp_path):
    """As its mapping file says: 165 psig for R404A and R507A, and a scatter of 1 percent."""
    files = tmp_path / "rows.csv", tmp_path / "sheet.pdf"
    answer = tablegen.compare(GUIDE, mapping=MAPPING, catalogue=CATALOGUE)
    for file in files:
        answer.write(file)
    out = " ".join(str(answer).replace(NBSP, " ").split())
    assert "By itself, low head (75 psig to 165 psig instead of 75 psig to 135 psig) explains most" in out
    assert "Size from column 'Port'" in out and "SST from column 'Evaporating (degF)' in degF" in out
    assert "Application walk_in_medium in every row" in out
    assert "14 rows of the old table have no counterpart." in out and "no counterpart for a" in out
    assert answer.record()["limits_compared"] == 252 and not answer.passed
    assumptions = answer.frame("assumptions")
    assert assumptions["is_equal_to_best"].tolist() == [True, *(len(assumptions) - 1) * [False]]
    named = set(assumptions["assumption"])
    assert named >= {"stop", "low_head", "distributor_loss", "kv_scale", "maximum_superheat", "minimum_opening"}
    today = answer.frame("values").set_index(["assumption", "owner"])["min_today"].sort_index()
    application = demo_catalogue().applications["walk_in_medium"]
    share = application.systems["R404A"].superheat.max_share
    assert share is not None and application.coil_temperature_difference_k is not None
    # Where maximum loads end: at rated stroke, and beyond it by the share of the reserve that limits use.
    alder = demo_catalogue().families["alder"]
    opening = 1.0 + alder.elements[0].actuator.reserve_in_limits * (alder.characteristic.stop - 1.0)
    assert today["stop", "alder"].min() == pytest.approx(opening)
    assert today["maximum_superheat", "walk_in_medium"].min() == pytest.approx(
        share * application.coil_temperature_difference_k
    )
    rows = list(csv.DictReader(io.StringIO(files[0].read_text(encoding="utf-8"))))
    assert len(rows) == 126 and {row["family"] for row in rows} == {"alder"}
    for row in rows:
        for limit in ("min", "max"):
            change = float(row[f"{limit}_load_w"]) / float(row[f"old_{limit}_load_w"]) - 1.0
            assert float(row[f"{limit}_load_change"]) == pytest.approx(change, rel=1e-8, abs=1e-11)
    # At SSTs of both grids our limits are those of the data set.
    own = demo_data().group_windows.query("family == 'alder' and application == 'walk_in_medium'")
    limits = {(r.group, r.size, round(r.sst_k, 4)): (r.min_load_w, r.max_load_w) for r in own.itertuples()}
    both = [row for row in rows if (key := (row["group"], row["size"], round(float(row["sst_k"]), 4))) in limits]
    assert len(both) == 2 * 9 * 4
    for row in both:
        key = row["group"], row["size"], round(float(row["sst_k"]), 4)
        assert (float(row["min_load_w"]), float(row["max_load_w"])) == pytest.approx(limits[key], rel=1e-9)
    printed = " ".join(" ".join(page_texts(files[1].read_bytes())).replace(NBSP, " ").split())
    assert "low head" in printed and "Change of maximum load [%]" in printed
    assert "licensed technicians" in printed


@pytest.mark.slow
def test_a_command_answers_as_the_function_and_always_with_the_same_bytes(capsys, tmp_path):
    table = tmp_path / "old.csv"
    table.write_text(HEADER + "alder,45,R134a,walk_in_medium,24,4,9\nalder,45,R134a,walk_in_medium,30,4,9\n", "utf-8")
    code, out, err = run(capsys, table, "--demo", "--json", "--output", tmp_path / "1.html")
    assert (code, err) == (1, "")
    answer = tablegen.compare(table)
    assert json.loads(out) == json.loads(to_json(answer))
    answer.write(tmp_path / "2.html")
    files = [(tmp_path / f"{i}.html").read_text(encoding="utf-8") for i in (1, 2)]
    assert files[0] == files[1] and "<svg" in files[0]


@pytest.mark.slow
def test_what_has_no_counterpart_is_counted_with_its_reason(capsys, tmp_path):
    table = tmp_path / "old.csv"
    rows = (
        "alder,45,R134a,walk_in_medium,24,4,9",
        "alder,45,R134a,walk_in_medium,25,4,9",
        "alder,45,R134a,walk_in_medium,26,-,",
        "alder,45,R134a,walk_in_medium,60,4,9",
        "alder,45,R134a,walk_in_low,-10,4,9",
        "rowan,35,R134a,walk_in_medium,24,4,9",
    )
    table.write_text(HEADER + "\n".join(rows).replace("rowan,35", f"rowan,{_size('rowan')}") + "\n", encoding="utf-8")
    code, out, err = run(capsys, table, "--demo", "--json")
    assert (code, err) == (1, "")
    answer = json.loads(out)
    old, ours = (
        [own for own in answer["tables"]["without_counterpart"] if own["side"] == side] for side in ("old", "ours")
    )
    assert [(own["number"], own["first_line"]) for own in old] == [(1, 4), (1, 5), (1, 6), (1, 7)]
    reasons = (
        "neither limit",
        "outside those of walk_in_medium",
        "Offered for coolers only",
        "No bulb charge is offered",
    )
    for own, reason in zip(old, reasons, strict=True):
        assert reason in own["why"]
    assert answer["facts"]["rows_without_counterpart"] == 4 and len(answer["tables"]["rows"]) == 2
    counted = {own["why"]: own["number"] for own in ours}
    # 16 SSTs of ours: 24 is in the table, 26 to 40 are covered by 26 and 60, ten to 22 are below.
    assert counted["the SST is outside the rows of the old table"] == 7
    assert counted["the SST is between the rows of the old table"] == 7
    assert counted["the old table has no size 11 of Alder there"] == 16


@pytest.mark.slow
def test_rows_with_crossed_limits_are_counted_and_the_others_compared(capsys, tmp_path):
    table = tmp_path / "old.csv"
    rows = [f"alder,45,R134a,walk_in_medium,{row}" for row in ("24,4,9", "25,9,4", "26,5,5", "27,4,9")]
    table.write_text(HEADER + "\n".join(rows) + "\n", encoding="utf-8")
    code, out, err = run(capsys, table, "--demo")
    assert (code, err) == (1, "")
    assert "4 limits are compared" in out and "2 rows of the old table have no counterpart" in out
    assert "2 of them are not compared because their minimum load is not below their maximum load" in out
    assert "the first is in line 3" in out
    facts = tablegen.compare(table).record()
    assert (facts["rows_without_counterpart"], facts["rows_with_crossed_limits"]) == (2, 2)
    table.write_text(HEADER + rows[1] + "\n", encoding="utf-8")
    code, out, err = run(capsys, table, "--demo")
    assert (code, out) == (2, "") and "no limit can be compared: the minimum load is not below the maximum load" in err


def _size(family: str) -> str:
    return str(demo_catalogue().families[family].sizes[0].name)


@pytest.mark.slow
def test_limits_may_be_missing_on_either_side(capsys, tmp_path):
    table = tmp_path / "old.csv"
    table.write_text(HEADER.replace("min [kBtu/h],", "") + "alder,45,R134a,walk_in_medium,24,9\n", encoding="utf-8")
    code, out, _ = run(capsys, table, "--demo")
    assert code == 1 and "1 limit is compared" in out and "Minimum load not in the old table" in out
    [row] = json.loads(run(capsys, table, "--demo", "--json")[1])["tables"]["rows"]
    assert row["old_min_load_w"] is None or math.isnan(row["old_min_load_w"])


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ["{folder}"],
            "{folder}: give NEW to compare it with a newer release; a table of limits is a .csv or .xlsx file",
        ),
        (["{folder}", "{folder}", "--demo"], "--demo: only a table of limits is compared with a catalogue"),
        (["{folder}", "{folder}", "--mapping", "x.yaml"], "--mapping: only a table of limits"),
        (["{folder}", "{folder}", "--catalogue", "x.yaml"], "--catalogue: only a table of limits"),
        (["{folder}/none.csv", "--demo"], "{folder}/none.csv: the file does not exist"),
        (["{folder}/none.txt", "--demo"], "{folder}/none.txt: the file does not exist"),
        (
            ["{folder}/far.csv", "--demo"],
            "far.csv:2: no limit can be compared: the SST is outside those of walk_in_medium",
        ),
        (["{folder}/far.csv", "--demo", "--mapping", "{folder}/none.yaml"], "none.yaml: the file does not exist"),
        (["{folder}/many.csv", "--demo"], "many.csv: 500 different SSTs in one application; at most 400"),
    ],
)
def test_what_cannot_be_compared_is_refused_in_one_line(arguments, message, capsys, tmp_path):
    (tmp_path / "far.csv").write_text(HEADER + "alder,45,R134a,walk_in_medium,60,4,9\n", encoding="utf-8")
    many = "".join(f"alder,45,R134a,walk_in_medium,{10 + 0.05 * i:.2f},4,9\n" for i in range(500))
    (tmp_path / "many.csv").write_text(HEADER + many, encoding="utf-8")
    code, out, err = run(capsys, *(argument.replace("{folder}", str(tmp_path)) for argument in arguments))
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert message.replace("{folder}", str(tmp_path)) in err


@pytest.mark.parametrize("kind", ["pipe", "zeros"])
def test_what_has_no_end_is_not_read(kind, capsys, tmp_path):
    table = tmp_path / "old.csv"
    if kind == "pipe":
        os.mkfifo(table)
    else:
        table.symlink_to("/dev/zero")
    code, _, err = run(capsys, table, "--demo")
    assert code == 2 and err.count("\n") == 1 and "a folder, a pipe or a device" in err
