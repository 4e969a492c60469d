"""`tablegen table` from the command line: text, files, what changed since a release, what is refused."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from pathlib import Path

import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.dataset.comparison import changed_windows
from tablegen.dataset.csv_files import frame_of
from tablegen.report.formatter import Formatter
from tablegen.report.text import to_text
from tablegen.wording.columns import COLUMNS
from tests.demo import demo_catalogue, page_texts
from tests.report.test_stress import CASES
from tests.small import DEMO as DEMO_CONFIGS
from tests.small import small_catalogue
from tests.stress import stress_catalogue

NBSP, DASH = "\N{NO-BREAK SPACE}", "\N{EN DASH}"
DEMO = ("table", "alder", "R448A-family", "--application", "walk_in_medium", "--demo")
# What the demo's cooler states.
COOLER = (DEMO_CONFIGS / "applications" / "walk_in_medium.yaml").read_text(encoding="utf-8")
[TD] = re.findall(r"(?m)^coil_temperature_difference: ([\d.]+) delta_degF", COOLER)
LARGER = ("families/alder.yaml", "{size: 45, kv: 45.0 L/h", "{size: 45, kv: 47.0 L/h")


@pytest.fixture(scope="module")
def release(tmp_path_factory) -> Path:
    """A release of two small groups, and beside it the catalogue as it was."""
    root = tmp_path_factory.mktemp("release")
    catalogue = changed(root / "configs")
    tablegen.build(catalogue, root / "output", only=["lookup"])
    return root / "output" / "demo"


def changed(folder: Path, *edits: tuple[str, str, str]) -> Path:
    groups = {"pair": ["R448A", "R449A"], "R134a": ["R134a"]}
    return small_catalogue(folder, ["alder"], groups, ["walk_in_medium"], edits)


def asked(catalogue: Path, release: Path, *more: str, refrigerant: str = "pair") -> list[str]:
    where = ["--application", "walk_in_medium", "--catalogue", str(catalogue), "--since", str(release)]
    return ["table", "alder", refrigerant, *where, *more]


def rows_of(text: str) -> list[list[str]]:
    """The SST and the cells of each row of the tables in a text, without the temperature of its box."""
    cell, degrees = rf"[\d.]+{DASH}[\d.]+\*?|new|none|[a-z]\*?", r"[-\N{MINUS SIGN}]?\d+(\.\d)?"
    found = [line.split() for line in text.splitlines() if re.match(rf" *{degrees} ", line)]
    found = [row[:1] + row[2:] if re.fullmatch(degrees, row[1]) else row for row in found]
    return [row for row in found if all(re.fullmatch(cell, text) for text in row[1:])]


def test_rows_are_temperatures_and_columns_sizes(capsys):
    assert main(list(DEMO)) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("Alder: R448A, R449A, R407A and R407F, Walk-in cooler, floating head pressure (draft)\n")
    rows = rows_of(shown)
    assert [row[0] for row in rows] == [str(t) for t in range(40, 8, -2)]
    assert {len(row) for row in rows} == {10}
    assert all(re.fullmatch(rf"[\d.]+{DASH}[\d.]+", cell) for row in rows for cell in row[1:])
    # Dashes are under each other.
    lines = [line for line in shown.splitlines() if line.count(DASH) == 9]
    assert len({tuple(i for i, c in enumerate(line) if c == DASH) for line in lines}) == 1
    for label in ("Low head", "Rating point", "Losses at rated flow", "Superheat", "Bulb charge"):
        assert f"\n{label}" in shown
    assert "Demonstration with invented valves" in shown and "*" not in shown
    assert re.search(r"computed with tablegen \S+ CoolProp\s+\S+, data [0-9a-f]{12}\.", shown)


@pytest.mark.parametrize(("units", "warmest", "a_degree"), [("IP", 40.0, 1.0), ("SI", 4.4, 1.0 / 1.8)])
def test_the_temperature_of_the_box_is_beside_the_sst(units, warmest, a_degree, tmp_path):
    """By hand: the box is warmer by the TD that the application states in degF."""
    off = float(TD) * a_degree
    answer = tablegen.table("alder", "R448A-family", application="walk_in_medium", units=units)
    table = answer.table("load_windows")
    assert [label.partition(",")[0] for label in table.labels()[:2]] == ["SST", "Box"]
    pairs = [[float(text.replace("\N{MINUS SIGN}", "-")) for text in row[:2]] for row in table.cells()]
    assert pairs[0] == pytest.approx([warmest, warmest + off], abs=0.11)
    assert all(box - sst == pytest.approx(off, abs=0.11) for sst, box in pairs)
    answer.write(tmp_path / "a.pdf")
    [page] = page_texts((tmp_path / "a.pdf").read_bytes())
    # In print the box is before the SST, as in a booklet.
    sst, box = table.cells()[0][:2]
    assert f"{box} {sst} {table.cells()[0][2]}" in " ".join(page.split())
    # Both are repeated where a terminal shows some sizes at a time.
    shown = [line.split() for line in to_text(answer, 60).splitlines() if line.split()[:2] == [sst, box]]
    assert len(shown) > 1


def test_a_draft_without_a_stated_td_has_no_box(tmp_path):
    # A share of it is none either.
    [share] = re.findall(r"(?m)^  maximum_share: .*$", COOLER)
    edits = ((f"coil_temperature_difference: {TD} delta_degF", ""), (share, "  maximum: 8 delta_degF"))
    catalogue = changed(tmp_path / "configs", *(("applications/walk_in_medium.yaml", *edit) for edit in edits))
    answer = tablegen.table("alder", "pair", application="walk_in_medium", catalogue=catalogue)
    assert "Box" not in " ".join(answer.table("load_windows").labels())


def test_a_narrow_terminal_shows_some_sizes_at_a_time():
    answer = tablegen.table("alder", "R448A-family", application="walk_in_medium")
    wide, narrow = (rows_of(to_text(answer, width)) for width in (110, 60))
    assert len(narrow) > len(wide) and len(narrow) % len(wide) == 0
    blocks = [narrow[i : i + len(wide)] for i in range(0, len(narrow), len(wide))]
    joined = [[rows[0][0], *(cell for row in rows for cell in row[1:])] for rows in zip(*blocks, strict=True)]
    assert joined == wide
    assert max(map(len, to_text(answer, 60).splitlines())) <= 60


def test_csv_and_json_are_the_windows_in_si(capsys, tmp_path):
    assert main([*DEMO, "--csv", str(tmp_path / "table.csv"), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    rows = list(csv.DictReader(io.StringIO((tmp_path / "table.csv").read_text(encoding="utf-8"))))
    assert [list(row) for row in data["tables"]["windows"]] == [list(row) for row in rows]
    assert set(rows[0]) <= set(COLUMNS)
    for row, record in zip(rows, data["tables"]["windows"], strict=True):
        assert float(row["max_load_w"]) == record["max_load_w"] > record["min_load_w"]
    assert len(rows) == 9 * 16
    assert data["facts"] == {
        "family": "alder",
        "group": "R448A-family",
        "members": ["R448A", "R449A", "R407A", "R407F"],
        "application": "walk_in_medium",
    }


@pytest.mark.parametrize(("paper", "units"), [("letter", "IP"), ("a4", "SI")])
def test_a_sheet_is_one_page_and_the_same_again(paper, units, capsys, tmp_path):
    first, second = tmp_path / "first.pdf", tmp_path / "second.pdf"
    for path in (first, second):
        assert main([*DEMO, "--units", units, "--paper", paper, "--output", str(path)]) == 0
    capsys.readouterr()
    assert first.read_bytes() == second.read_bytes()
    [page] = page_texts(first.read_bytes())
    words = " ".join(page.split())
    answer = tablegen.table("alder", "R448A-family", application="walk_in_medium", units=units)
    for row in rows_of(to_text(answer, 130)):
        assert " ".join(row).replace("-", "\N{MINUS SIGN}") in words


@pytest.mark.parametrize("case", ["wordy", pytest.param("400 rows", marks=pytest.mark.slow)])
def test_what_no_page_holds_goes_on(case, tmp_path):
    path = stress_catalogue(tmp_path / "configs", **CASES[case])
    part = load_catalogue(path).combinations[0]
    answer = tablegen.table(part.family, part.group, application=part.application, catalogue=path)
    answer.write(tmp_path / "a.pdf")
    pages = page_texts((tmp_path / "a.pdf").read_bytes())
    assert len(pages) > 1 and answer.table("load_windows").cells()[0][2] in pages[0]
    printed = Counter(cell for page in pages for cell in re.findall(rf"[\d.]+{DASH}[\d.]+", page))
    assert not Counter(cell for row in answer.table("load_windows").cells() for cell in row[2:]) - printed
    assert max(map(len, str(answer).splitlines())) <= 110


def test_html_has_the_cells(tmp_path, capsys):
    assert main([*DEMO, "--output", str(tmp_path / "a.html")]) == 0
    page = (tmp_path / "a.html").read_text(encoding="utf-8")
    for row in rows_of(capsys.readouterr().out):
        assert all(f">{cell}</t" in page for cell in row)


def test_a_refrigerant_alone_says_where_it_is_printed(capsys):
    assert main(["table", "alder", "R448A", "--application", "walk_in_medium", "--demo"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert shown.startswith("Alder: R448A, Walk-in cooler")
    assert "for R448A alone; the catalogue prints it in the table of R448A, R449A, R407A and R407F." in shown
    assert "of this group" not in shown


def test_display_names_are_printed_and_keys_exported(tmp_path, capsys):
    catalogue = changed(tmp_path / "c", ("families/alder.yaml", "{size: 45,", "{size: 45, display: 2 1/2 kW,"))
    where = ["--application", "walk_in_medium", "--catalogue", str(catalogue)]
    assert main(["table", "Alder", "pair", *where, "--output", str(tmp_path / "a.pdf")]) == 0
    assert "2 1/2 kW" in capsys.readouterr().out
    assert "2 1/2 kW" in page_texts((tmp_path / "a.pdf").read_bytes())[0].replace(NBSP, " ")
    answer = tablegen.table("alder", "pair", application="walk_in_medium", catalogue=catalogue)
    assert "45" in set(answer.frame()["size"])


def test_without_a_change_nothing_is_marked(release, capsys):
    catalogue = release.parents[1] / "configs" / "catalogue.yaml"
    assert main(asked(catalogue, release)) == 0
    shown = capsys.readouterr().out
    assert "No cell differs in print from revision A of 2026-11-25" in shown
    assert "*" not in shown and "Earlier limits" not in shown and "a new one" not in shown
    assert main(asked(catalogue, release, "--json")) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["facts"]["changed_cells"] == 0
    assert {row["change_kind"] for row in data["tables"]["windows"]} == {""}


@pytest.mark.parametrize("refrigerant", ["pair", "R449A"])
def test_changed_cells_are_marked_and_their_earlier_limits_given(refrigerant, release, tmp_path, capsys):
    catalogue = changed(tmp_path / "configs", LARGER)
    given = asked(catalogue, release, "--csv", str(tmp_path / "a.csv"), refrigerant=refrigerant)
    assert main(given) == 0
    now, _, earlier = capsys.readouterr().out.partition("Earlier limits of the changed cells, revision A")
    assert "16 of 144 cells differ in print from revision A" in now.replace("\n  ", " ")
    marked = [[i for i, cell in enumerate(row) if cell.endswith("*")] for row in rows_of(now)]
    assert marked == [[5]] * 16
    name, key = ("group_windows.csv", "group") if refrigerant == "pair" else ("windows.csv", "refrigerant")
    frame = frame_of((release / name).read_bytes())
    frame = frame[(frame[key] == refrigerant) & (frame["size"] == "45")].sort_values("sst_k", ascending=False)
    printed = [DASH.join(Formatter("IP").window(*limits)) for limits in frame[["min_load_w", "max_load_w"]].to_numpy()]
    assert [row[1] for row in rows_of(earlier.partition("*:")[0])] == printed
    assert "This catalogue also has revision A." in earlier
    assert main([*given, "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["tables"]["windows"]
    assert (tmp_path / "a.csv").read_text(encoding="utf-8").partition("\n")[0] == ",".join(rows[0])
    assert {row["size"] for row in rows if row["change_kind"] == "changed"} == {"45"}
    was = {row["sst_k"]: row["earlier_max_load_w"] for row in rows if row["change_kind"]}
    assert sorted(was.values()) == pytest.approx(sorted(frame["max_load_w"]))


def test_the_sheet_of_a_changed_table_has_a_page_for_each_table(release, tmp_path, capsys):
    catalogue = changed(tmp_path / "configs", LARGER)
    assert main(asked(catalogue, release, "--output", str(tmp_path / "a.pdf"))) == 0
    capsys.readouterr()
    first, second = page_texts((tmp_path / "a.pdf").read_bytes())
    assert "Load windows now" in first and "Do not extrapolate." in first
    assert "Earlier limits" not in first.partition("Load windows now")[2]
    assert first.count("*") == 17 and second.count(DASH) == 16


def test_sizes_that_are_new_or_gone(release, tmp_path, capsys):
    edits = [("families/alder.yaml", "{size: 45, kv", "{size: 46, kv"), ("families/alder.yaml", "45,", "46,")]
    catalogue = changed(tmp_path / "configs", *edits)
    assert main(asked(catalogue, release)) == 0
    shown = capsys.readouterr().out
    now, _, earlier = shown.partition("Earlier limits of the changed cells")
    assert "16 cells of that release are no longer in the table." in now
    assert "new: no such cell in that revision" in earlier
    table = rows_of(earlier.partition("new:")[0])
    assert [row[1] for row in table] == ["new"] * 16 and all(DASH in row[2] for row in table)
    assert main(asked(catalogue, release, "--json")) == 0
    data = json.loads(capsys.readouterr().out)
    assert {row["size"] for row in data["tables"]["removed"]} == {"45"} and len(data["tables"]["removed"]) == 16


def test_a_release_without_the_table_says_so(release, tmp_path, capsys):
    groups = {"other": ["R448A", "R449A"]}
    catalogue = small_catalogue(tmp_path / "c", ["alder"], groups, ["walk_in_medium"])
    assert main(asked(catalogue, release, refrigerant="other")) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "does not have this table." in shown and "*" not in shown


def test_what_differs_is_what_the_booklet_would_list(release, tmp_path):
    catalogue = changed(tmp_path / "configs", LARGER)
    answer = tablegen.table("alder", "pair", application="walk_in_medium", catalogue=catalogue, since=release)
    own = answer.frame()
    old = frame_of((release / "group_windows.csv").read_bytes())
    old = old[old["group"] == "pair"]
    expected = changed_windows(old, own)
    found = own[own["change_kind"] != ""]
    assert found["sst_k"].tolist() == pytest.approx(expected["sst_k"].tolist(), abs=1e-6)
    for column in ("size", "min_load_w", "earlier_min_load_w", "earlier_max_load_w"):
        assert found[column].tolist() == expected[column].tolist()


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ["aldr", "R448A-family", "walk_in_medium"],
            f"a family must be one of {', '.join(demo_catalogue().families)} (did you mean alder?)",
        ),
        (["alder", "R448A-famly", "walk_in_medium"], "(did you mean R448A-family?)"),
        (["alder", "R448A", "walk_in_medim"], "an application must be one of walk_in_medium, "),
        (["alder", "R134a", "walk_in_low"], "no valve is offered for R134a in walk_in_low: Offered for coolers only."),
        (["alder", "R32", "walk_in_medium"], "a refrigerant or group must be one of R404A, "),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(arguments, message, capsys):
    family, refrigerant, application = arguments
    assert main(["table", family, refrigerant, "--application", application, "--demo"]) == 2
    shown = capsys.readouterr().err
    assert message in shown and shown.count("\n") == 1


def test_a_release_that_cannot_be_read_or_is_another_catalogues_is_refused(release, tmp_path, capsys):
    (tmp_path / "empty").mkdir()
    catalogue = release.parents[1] / "configs" / "catalogue.yaml"
    assert main(asked(catalogue, tmp_path / "empty")) == 2
    assert "no release to compare with" in capsys.readouterr().err
    text = catalogue.read_text(encoding="utf-8")
    assert "catalogue: demo" in text
    other = changed(tmp_path / "other", ("catalogue.yaml", "catalogue: demo", "catalogue: other"))
    assert main(asked(other, release)) == 2
    assert "a release of the catalogue 'demo', not of 'other'" in capsys.readouterr().err


def test_a_valve_with_a_bulb_and_no_charge_for_a_refrigerant_is_not_said_to_lack_a_drive(tmp_path, capsys):
    """Rowan has no charge for R134a."""
    path = small_catalogue(tmp_path / "c", ["rowan"], {"one": ["R404A"], "two": ["R134a"]}, ["walk_in_medium"])
    arguments = ["table", "rowan", "R134a", "--application", "walk_in_medium", "--catalogue", str(path)]
    assert main(arguments) in (0, 1)
    out = " ".join(capsys.readouterr().out.split())
    assert "Bulb charge none offered Valve" in out and "Drive" not in out
    assert main([*arguments[:2], "R404A", *arguments[3:]]) == 0
    (valve,) = re.findall(r"Valve (\w+ \w+;)", " ".join(capsys.readouterr().out.split()))
    assert "equali" in valve and f"Valve {valve}" in out
