"""What an import reads, in which form, and what it refuses: by file, row and column, with nothing written."""

from __future__ import annotations

import csv
import datetime
import re
import shutil
from pathlib import Path

import openpyxl
import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.config.document import read_document
from tests.imports.own_families import SHEETS
from tests.small import DEMO

STEPPER = {
    "kind": "stepper",
    "name": "Fern",
    "title": "Fern stepper valves",
    "note": "Invented.",
    "flow_law": "orifice",
    "flow_law_reason": "Invented.",
    "approved.safety_groups": "A1, A2L",
    "working_pressure": "600 psi_gauge",
    "allowed_differential": "435 psi",
    "full_steps": "500",
    "minimum_steps": "60",
    "control_reserve": "15 percent",
}
GIVEN = [f"{key}={value}" for key, value in STEPPER.items()]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    shutil.copytree(DEMO, tmp_path / "own")
    return tmp_path / "own"


def sheet(text: str, name: str = "sheet.csv") -> Path:
    Path(name).write_text(text, encoding="utf-8")
    return Path(name)


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize(
    ("text", "kv_m3h"),
    [
        ("size,Kv [L/h]\n25,25\n40,40\n", (0.025, 0.040)),
        ("Size;KV (m3/h)\n25;0,025\n40;0,04\n", (0.025, 0.040)),
        # IEC 60534-2-1: Cv = 1.156 Kv.
        pytest.param("size,Cv\n25,0.0289\n40,0.04624\n", (0.025, 0.040), marks=pytest.mark.slow),
        ("valve size,rated Cv [gpm],price\n25,0.0289,9\n40,0.04624,11\n", (0.025, 0.040)),
        pytest.param("size,kv\n25,25 L/h\n40,0.04 m3/h\n", (0.025, 0.040), marks=pytest.mark.slow),
        pytest.param("size,kv_m3h\n40,0.04\n25,0.025\n", (0.025, 0.040), marks=pytest.mark.slow),
    ],
)
def test_a_flow_coefficient_in_many_forms(text, kv_m3h, folder):
    tablegen.import_tables(sheet(text), family="fern", keys=GIVEN, catalogue=folder)
    found = tablegen.check(folder).families["fern"]
    assert [size.name for size in found.sizes] == ["25", "40"]
    assert [size.kv_rated_m3h for size in found.sizes] == pytest.approx(kv_m3h, rel=1e-12)
    assert found.display_name == "Fern" and found.approved.safety_groups == ("A1", "A2L")


@pytest.mark.slow
def test_a_workbook_with_a_sheet_of_each_kind_gives_what_csv_gives(folder, tmp_path):
    book = openpyxl.Workbook()
    for name in SHEETS["sorrel"]:
        page = book.create_sheet(name)
        for line in (DEMO / "import" / f"{name}.csv").read_text(encoding="utf-8").splitlines():
            cells = next(csv.reader([line]))
            page.append(
                [float(cell) if re.fullmatch(r"-?\d+(\.\d+)?", cell) and cells[0] != cell else cell for cell in cells]
            )
    book.save("all.xlsx")
    shutil.copytree(folder, tmp_path / "other")
    tablegen.import_tables("all.xlsx", catalogue=folder)
    files = [DEMO / "import" / f"{name}.csv" for name in SHEETS["sorrel"]]
    tablegen.import_tables(*files, catalogue=tmp_path / "other")
    ours, theirs = (read_document(own / "families" / "sorrel.yaml").data for own in (folder, tmp_path / "other"))
    assert ours == theirs
    lists = [(own / "part_numbers.csv").read_text(encoding="utf-8") for own in (folder, tmp_path / "other")]
    assert lists[0] == lists[1] and "71-0101,Alder,11" in lists[0] and "SO-01,sorrel,0.5" in lists[0]


def test_a_size_that_a_spreadsheet_made_a_date_is_refused(folder):
    book = openpyxl.Workbook()
    book.active.append(["size", "Kv [L/h]"])
    book.active.append([datetime.datetime(2026, 1, 4), 25.0])
    book.save("dates.xlsx")
    with pytest.raises(tablegen.ConfigError, match=r"^dates.xlsx:2: size: .* is a date; format the column as text"):
        tablegen.import_tables("dates.xlsx", family="fern", keys=GIVEN, catalogue=folder)


@pytest.mark.slow
def test_sizes_that_differ_without_a_name_get_port_designs(folder):
    text = "size,capacity [kW],unbalance [%],stop [%]\n1.6,1,-2,120\n2.5,2,-2,120\n4,3,-2,120\n6.3,6,-2,120\n"
    text += "10,11,-1,110\n16,17,-1,110\n"
    minimum = tablegen.check(folder).families["rowan"].elements[0].actuator.min_stable
    report = tablegen.import_tables(sheet(text), family="rowan", catalogue=folder)
    assert report.lines()[-1] == "  the sizes 10, 16 differ in opening.stop, port.unbalance: port design port-2"
    family = tablegen.check(folder).families["rowan"]
    assert [size.port_design for size in family.sizes] == [""] * 4 + ["port-2"] * 2
    assert family.elements[0].actuator.balance.unbalance == pytest.approx(-0.02)
    (design,) = family.port_designs
    assert (design.characteristic.stop, design.elements[0].actuator.min_stable) == pytest.approx((1.1, minimum))


def test_a_setting_changes_in_its_charge_alone_and_comments_stay(folder):
    path = folder / "families" / "rowan.yaml"
    before = path.read_text(encoding="utf-8")
    text = "charge,static superheat [K]\ncross-404-medium,2.5\n"
    tablegen.import_tables(sheet(text), family="rowan", catalogue=folder)
    pairs = zip(before.splitlines(), path.read_text(encoding="utf-8").splitlines(), strict=True)
    changed = [pair for pair in pairs if pair[0] != pair[1]]
    assert [now for _, now in changed] == ["      static_superheat: 2.5 K"]
    assert re.fullmatch(r" {6}static_superheat: \S+ delta_degF", changed[0][0])


def test_bench_readings_are_a_file_that_fit_reads(folder):
    text = (DEMO / "bench" / "larch.csv").read_text(encoding="utf-8")
    remarks, readings = text.splitlines()[:5], "\n".join(text.splitlines()[5:])
    own = "\n".join([*remarks, re.sub(r"(?<=\d)\.(?=\d)", ",", readings.replace(",", ";"))])
    (folder / "bench" / "larch.csv").unlink()
    tablegen.import_tables(sheet(own), family="larch", catalogue=folder)
    made = (folder / "bench" / "larch.csv").read_text(encoding="utf-8")
    assert re.sub(" +", " ", made) == re.sub(" +", " ", text)
    assert tablegen.fit(folder / "bench" / "larch.csv", catalogue=folder).passed


@pytest.mark.slow
def test_a_corrected_bench_sheet_takes_the_place_of_the_one_before(folder, capsys):
    path = folder / "bench" / "larch.csv"
    before = path.read_text(encoding="utf-8")
    corrected = sheet(before.replace("# date: 2026-11-20", "# date: 2026-11-21"))
    asked = ["import", str(corrected), "--family", "larch", "--catalogue", str(folder)]
    assert main([*asked, "--dry-run"]) == 0
    assert "-# date: 2026-11-20\n+# date: 2026-11-21\n" in capsys.readouterr().out
    assert path.read_text(encoding="utf-8") == before
    assert main(asked) == 0
    assert path.read_text(encoding="utf-8") != before


def test_readings_of_some_sizes_do_not_take_the_place_of_those_of_all(folder, capsys):
    path = folder / "bench" / "alder.csv"
    before = path.read_text(encoding="utf-8")
    retest = "\n".join(line for line in before.splitlines() if not line.startswith(("R404A,32", "R404A,90"))) + "\n"
    deleted = before.count("\nR404A,32") + before.count("\nR404A,90")
    asked = ["import", str(sheet(retest)), "--family", "alder", "--catalogue", str(folder)]
    for more in ([], ["--dry-run"]):
        assert main([*asked, *more]) == 2
        said = capsys.readouterr().err
        assert f"replaces bench/alder.csv, and has no rows of 32, 90, of which {deleted} readings would be " in said
        assert said.count("\n") == 1 and "import with --delete-sizes" in said
        assert path.read_text(encoding="utf-8") == before
    assert main([*asked, "--delete-sizes"]) == 0
    assert path.read_text(encoding="utf-8") != before


MEASURED = {
    "{size: 45, kv: 45.0 L/h}": "{size: 45, port_design: B, kv: 45.3 L/h, kv_tolerance: {plus_minus: 0.1 L/h, "
    "confidence: 95 percent, source: Bench.}}",
    "equalizer: external\n": "port_designs:\n  - design: B\n    opening: {stop: 115 percent, minimum_stable: 20 percent}\n"
    "    port: {unbalance: 0.3 percent, unbalance_tolerance: {plus_minus: 0.1 percent, confidence: 95 percent, "
    "source: Bench.}}\nequalizer: external\n",
}
ALL_SIZES = "size,Kv [L/h],port insert,unbalance [%]\n" + "".join(
    f"{size},{kv},{'B' if size == '45' else 'A'},{'0.1' if size == '45' else '0.2'}\n"
    for size, kv in zip(
        ["11", "16", "22", "32", "45", "63", "90", "125", "180"],
        (11.2, 16, 22.4, 31.5, 45, 63, 90, 125, 180),
        strict=True,
    )
)


@pytest.mark.slow
def test_measured_values_that_a_sheet_replaces_are_named(folder, capsys):
    path = folder / "families" / "alder.yaml"
    text = path.read_text(encoding="utf-8")
    for old, new in MEASURED.items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    asked = ["import", str(sheet(ALL_SIZES)), "--family", "alder", "--catalogue", str(folder)]
    assert main([*asked, "--dry-run"]) == 0
    (note,) = capsys.readouterr().err.splitlines()
    assert "alder.yaml: the sheets replace 2 measured values and their tolerances: " in note
    assert "sizes.45.kv, port_designs.B.port.unbalance; if the" in note
    assert main(asked) == 0 and capsys.readouterr().err.rstrip() == note
    [design] = [own for own in tablegen.check(folder).families["alder"].port_designs if own.name == "B"]
    # Neither is the tolerance left beside a value that is not measured, nor the family's opening taken for the design's.
    assert design.unbalance_tolerance is None and design.characteristic.stop == pytest.approx(1.15)


@pytest.mark.slow
def test_a_measured_value_that_a_sheet_repeats_keeps_its_tolerance(folder):
    path = folder / "families" / "alder.yaml"
    text = path.read_text(encoding="utf-8")
    for old, new in MEASURED.items():
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    same = ALL_SIZES.replace("45,45,B,0.1", "45,45.3,B,0.3")
    assert tablegen.import_tables(sheet(same), family="alder", catalogue=folder).notes == ()
    family = tablegen.check(folder).families["alder"]
    assert [size.name for size in family.sizes if size.kv_tolerance] == ["45"]
    assert [own.unbalance_tolerance is not None for own in family.port_designs] == [False, True]


def test_a_sheet_without_some_sizes_deletes_them_only_if_asked(folder, capsys):
    before = contents(folder)
    fewer = sheet("".join(line for line in ALL_SIZES.splitlines(True) if not line.startswith(("11,", "90,"))))
    asked = ["import", str(fewer), "--family", "alder", "--catalogue", str(folder)]
    assert main(asked) == 2
    said = capsys.readouterr().err
    assert said.startswith("sheet.csv: the sheet does not list sizes 11, 90, so they would be deleted: ")
    assert "import with --delete-sizes" in said and contents(folder) == before
    # The connections of the demo name one of them.
    with pytest.raises(tablegen.ConfigError) as caught:
        tablegen.import_tables(fewer, family="alder", delete_sizes=True, dry_run=True, catalogue=folder)
    assert "would be deleted" not in str(caught.value) and "'11' is not allowed" in str(caught.value)


def test_what_is_still_needed_is_listed_with_its_meaning(folder):
    before = contents(folder)
    with pytest.raises(tablegen.ConfigError) as caught:
        tablegen.import_tables(sheet("size,Cv\n1,0.1\n"), family="fern", keys=["kind=stepper"], catalogue=folder)
    text = str(caught.value)
    wanted = {key.split(".")[0] for key in STEPPER} - {"kind"}
    assert {line.split(": ")[1] for line in text.splitlines()} == wanted
    assert "own/families/fern.yaml: full_steps: it is still needed: Steps of full travel. Give full_steps in " in text
    assert contents(folder) == before


@pytest.mark.parametrize(
    ("text", "family", "message"),
    [
        ("size,Kv [L/h]\n1,10\n2,x\n", "fern", "sheet.csv:3: Kv [L/h]: 'x' is not allowed; must be a number"),
        (
            "size,Kv\n1,10\n",
            "fern",
            "sheet.csv:2: Kv: '10' is not allowed; a flow coefficient needs its unit, in the heading",
        ),
        (
            "size,Kv [L/h]\n1,10\n1,20\n",
            "fern",
            "sheet.csv:3: size: '1' is the same size as '1' in line 2 of sheet.csv; give each size once",
        ),
        ("size,Kv [L/h]\n1,10\n2,10\n", "fern", "sheet.csv:3: sizes[1].kv: '10 L/h' is not above sizes[0].kv"),
        (
            "size,Kv [L/h]\n1,1e9\n",
            "fern",
            "sheet.csv:2: sizes[0].kv: '1000000000 L/h' is not allowed; must be at least",
        ),
        (
            "szie,Kv [L/h]\n1,10\n",
            "fern",
            "sheet.csv:1: szie: 'szie' is the heading of no column that is read (did you mean size?)",
        ),
        (
            "size,Kv [L/h],ful steps\n1,10,9\n",
            "fern",
            "sheet.csv:1: ful steps: 'ful steps' is the heading of no column",
        ),
        ("size,Kv [L/h],Cv\n1,10,9\n", "fern", "sheet.csv:1: Cv: the column 'Kv [L/h]' already gives kv"),
        ("size,Kv [L/h]\n", "fern", "sheet.csv:1: the sheet has no rows below its header"),
        ("", "fern", "sheet.csv:1: header: nothing is not allowed; a sheet needs the headings"),
        ("size,Kv [L/h]\n1,10\x002\n", "fern", "sheet.csv:2: the file cannot be read: it contains a NUL byte"),
        ('size,Kv [L/h]\n"1,10\n', "fern", "sheet.csv:2: the line is not CSV"),
        ("size,Kv [L/h]\n" + "1,1\n" * 20_001, "fern", "sheet.csv: more than 20000 rows; no import needs that"),
        ("key,value\ntitel,x\n", "alder", "sheet.csv:2: titel: "),
        ("key,value\nname,A\nname,B\n", "fern", "sheet.csv:3: name: line 2 of sheet.csv already gives it"),
        ("key,value\nname.x,A\n", "alder", "sheet.csv:2: name.x: 'name' has keys below it, such as name.x"),
        ("charge,refrigerants\ncross-404-medium,R4O4A\n", "alder", "sheet.csv:2: charges[0].refrigerants[0]: 'R4O4A'"),
        (
            "charge,curve\nnew,cross-404-mediun\n",
            "rowan",
            "sheet.csv:2: charges[2].evaporating_range: it is still needed",
        ),
        ("charge,curve\ncross-448-medium,cross-404-mediun\n", "rowan", "(did you mean cross-404-medium?)"),
        (
            "charge,temperature [degF],pressure [psia]\nc,0,50\nc,10,\n",
            "rowan",
            "sheet.csv:3: pressure: a point needs both",
        ),
        (
            "charge,kind\ncross-404-medium,gas\ncross-404-medium,cross\n",
            "rowan",
            "sheet.csv:3: kind: kind of cross-404-medium is 'gas'",
        ),
        ("size,Kv [L/h]\n1,10\n", "../out", "family: '../out' is not allowed; a name has 1 to 40 letters"),
        ("part_number,size\nX,12\n", "alder", "sheet.csv:2: size: "),
        (f"part_number,size\n,\n\n{'9' * 50},11\n", "alder", "sheet.csv:4: part_number: '999"),
        (
            "part_number,size\nX,11\nZ,16\nY,11\n",
            "alder",
            "sheet.csv:4: the row is for the same valve as line 2 of sheet.csv",
        ),
        (
            "part_number,size\nX,11\nZ,16\nX,22\n",
            "alder",
            "sheet.csv:4: part_number: part number 'X' is that of another valve in line 2 of sheet.csv",
        ),
        (
            "part_number,size\n71-0101,10\n",
            "rowan",
            "sheet.csv:2: part_number: part number '71-0101' is that of another valve in line 2 of own/part_numbers.csv",
        ),
        (
            "charge,temperature [degF],mark\nc,0,50\nc,10,60\nd,20,70\n",
            "rowan",
            "sheet.csv:2: pressure: a point needs both",
        ),
    ],
)
def test_a_bad_sheet_is_refused_by_row_and_column_and_nothing_is_written(text, family, message, folder, capsys):
    before = contents(folder)
    given = [word for pair in GIVEN for word in ("--key", pair)] if family == "fern" and "key," not in text else []
    assert main(["import", str(sheet(text)), "--family", family, "--catalogue", str(folder), *given]) == 2
    shown = capsys.readouterr().err
    assert message in shown
    assert "Traceback" not in shown
    assert contents(folder) == before


def test_files_that_are_no_sheets_are_refused_in_one_line(folder, capsys):
    Path("noise.xlsx").write_bytes(bytes(range(256)) * 9)
    Path("noise.csv").write_bytes(bytes(range(128, 256)) * 9)
    for name in ("noise.xlsx", "noise.csv", "missing.csv", ".", "sheet.ods"):
        assert main(["import", name, "--family", "fern", "--catalogue", str(folder)]) == 2
        shown = capsys.readouterr().err
        assert shown.startswith(f"{name}:") and shown.count("\n") == 1


def test_changes_are_shown_and_not_written(folder, capsys):
    before = contents(folder)
    path = sheet("size,capacity [kW]\n1.6,1.7\n2.5,2.5\n4,4\n6.3,6.3\n10,10\n16,16\n")
    assert main(["import", str(path), "--family", "rowan", "--catalogue", str(folder), "--dry-run"]) == 0
    shown = capsys.readouterr().out
    assert "1 file would change: families/rowan.yaml" in shown and "capacity: 1.7 kW" in shown
    assert contents(folder) == before


def test_init_without_valves_takes_no_sizes(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["init", "own", "--without-valves", "--sizes", str(sheet("size,kv_m3h\n1,1\n"))]) == 2
    assert capsys.readouterr().err.startswith("--sizes: not with --without-valves;")
    assert not Path("own").exists()


def test_a_charge_with_the_curve_of_one_without_is_refused(folder):
    path = folder / "families" / "rowan.yaml"
    text = path.read_text(encoding="utf-8").replace("superheat: 2 delta_degF", "superheat: 1 delta_degF")
    first, second = (
        re.search(rf"  - charge: {name}\n(?:    .*\n)+", text) for name in ("cross-404-medium", "cross-448-medium")
    )
    assert first and second
    points = re.compile(r"    points:\n(?:      - .*\n)+")
    for found, name in ((first, "cross-448-medium"), (second, "cross-404-medium")):
        text = text.replace(found[0], points.sub(f"    curve_of: {name}\n", found[0]))
    path.write_text(text, encoding="utf-8")
    with pytest.raises(tablegen.ConfigError, match=r"with a curve of its own must be one of \(none\)"):
        tablegen.check(folder)
    one = text.replace("    curve_of: cross-448-medium\n", points.search(first[0])[0])
    path.write_text(one, encoding="utf-8")
    elements = tablegen.check(folder).families["rowan"].elements
    curves = [element.actuator.balance.charge.curve for element in elements]
    assert curves[0] == curves[1]
    path.write_text(one.replace("charge: cross-448-medium", "charge: cross-404-medium"), encoding="utf-8")
    with pytest.raises(
        tablegen.ConfigError, match=r"charges\[1\].charge: .* another charge of the family has this key"
    ):
        tablegen.check(folder)


def test_the_demo_is_not_changed():
    for catalogue in (None, DEMO):
        with pytest.raises(tablegen.RequestError, match="start one with 'tablegen init'"):
            tablegen.import_tables("any.csv", family="alder", catalogue=catalogue)


def test_part_numbers_of_the_same_family_are_replaced_and_no_others(folder):
    path = folder / "part_numbers.csv"
    path.write_text(
        "part_number,family,size,equalizer\nX,Alder,11,\nX,ALDER,11,external\nY,Rowan,10,\n", encoding="utf-8"
    )
    text = "part_number,size,equalizer\nX,16,\nX,16,internal\n"
    tablegen.import_tables(sheet(text), family="alder", catalogue=folder)
    rows = "part_number,family,size,equalizer\nX,alder,16,\nX,alder,16,internal\nY,Rowan,10,\n"
    assert path.read_text(encoding="utf-8") == rows
