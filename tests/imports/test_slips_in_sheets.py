"""Slips of people who fill in sheets: each is refused or noted by line and heading, and no value changes silently."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.config.import_columns import OF_CHARGE, SheetKind, columns_of
from tests.imports.test_import_sheets import GIVEN, contents, folder, sheet
from tests.small import DEMO

__all__ = ["folder"]
GUIDE = Path(tablegen.__file__).parent / "manual" / "guide.md"
CURVE = "".join(f"c,{10 * i},{50 + 10 * i}\n" for i in range(13))


def refused(folder: Path, *texts: str, family: str = "fern") -> list[str]:
    """The lines of an import that is refused and writes nothing."""
    before = contents(folder)
    paths = [sheet(text, f"{chr(97 + i)}.csv") for i, text in enumerate(texts)]
    with pytest.raises(tablegen.ConfigError) as caught:
        tablegen.import_tables(*paths, family=family, keys=GIVEN if family == "fern" else (), catalogue=folder)
    assert contents(folder) == before
    return str(caught.value).splitlines()


def read(folder: Path, text: str, family: str = "rowan") -> tablegen.api.imports.ImportReport:
    return tablegen.import_tables(
        sheet(text), family=family, keys=GIVEN if family == "fern" else (), catalogue=folder, dry_run=True
    )


@pytest.mark.parametrize(
    ("heading", "says"),
    [
        ("Stop (x)", "'x' is not allowed; a share takes the unit percent"),
        ("Stop, pct", "'pct' is not allowed; a share takes the unit percent (did you mean percent?)"),
        ("Minimum stable opening (pct)", "'pct' is not allowed; a share takes the unit percent"),
        ("Working pressure (bar)", "'bar' is not allowed; "),
        ("working_pressure_psi", "'psi' is not allowed; "),
        ("Working pressure (max) [bar]", "'max) [bar]' is not allowed; "),
        ("Working pressure [bar] at 20 degC", "'bar] at 20 degC' is not allowed; "),
        ("Minimum stable opening (share of travel)", "'share of travel' is not allowed; "),
        ("Full steps [n]", "'n' is not allowed; a column full steps takes no unit"),
    ],
)
def test_a_column_of_a_size_with_a_unit_that_is_not_known_is_refused(heading, says, folder):
    (line,) = refused(folder, f"size,Kv [L/h],{heading.replace(', ', ' ')}\n1,10,1\n2,20,1\n")
    assert line.startswith(f"a.csv:1: {heading.replace(', ', ' ')}: {says}")
    if heading.endswith("(bar)"):
        assert "bar_gauge" in line.rpartition("(")[2] and "bar_absolute" in line.rpartition("(")[2]


@pytest.mark.parametrize(
    ("heading", "says"),
    [
        (
            "Minimum static superheat (°C)",
            "takes one of the units delta_degF, delta_degC, K (did you mean delta_degC?)",
        ),
        ("minimum_static_superheat_degC", "(did you mean delta_degC?)"),
        ("bulb temperature [delta_degF]", "a temperature takes one of the units degF, degC, K"),
    ],
)
def test_a_column_of_a_charge_with_a_unit_of_another_kind_is_refused(heading, says, folder):
    (line,) = refused(folder, f"charge,{heading}\ncross-404-medium,2\n", family="rowan")
    assert line.startswith(f"a.csv:1: {heading}: ") and says in line


def test_a_pressure_that_is_neither_gauge_nor_absolute_is_one_line_for_a_curve(folder):
    (line,) = refused(folder, f"charge,Temperature [degF],Pressure (bar)\n{CURVE}", family="rowan")
    assert line.startswith("a.csv:1: Pressure (bar): 'bar' is not allowed; a pressure takes one of the units psi_gauge")
    assert "bar_gauge" in line and "bar_absolute" in line


@pytest.mark.parametrize("heading", ["Model", "Valve", "valve size"])
def test_titles_above_the_headings_and_other_names_of_a_size(heading, folder):
    rows = "".join(f"{size},{size},120\n" for size in ("1.6", "2.5", "4", "6.3", "10", "16"))
    text = f"Rowan valves; invented\n\nSizes and strokes of 2026\n{heading},capacity [kW],Max. stroke [%]\n{rows}"
    lines = read(folder, text).lines()
    assert lines[0] == "sheet.csv: 6 sizes"
    assert f"  {heading} -> size, for example 1.6" in lines
    assert "  Max. stroke [%] -> opening.stop, for example 120 percent" in lines


def test_the_time_constant_of_a_bulb_is_read(folder):
    changed = read(folder, "charge,bulb time constant [s]\ncross-404-medium,44\n").differences["families/rowan.yaml"]
    assert "+    bulb_time_constant: 44 s" in changed


def test_without_the_kind_what_every_kind_needs_is_listed_with_it(folder):
    with pytest.raises(tablegen.ConfigError) as caught:
        tablegen.import_tables(sheet("size,Cv\n1,0.1\n"), family="fern", keys=["name=Fern"], catalogue=folder)
    wanted = [line.split(": ")[1] for line in str(caught.value).splitlines()]
    assert {"kind", "title", "approved", "flow_law", "working_pressure", "allowed_differential"} <= set(wanted)
    assert "full_steps" not in wanted and "equalizer" not in wanted


@pytest.mark.slow
def test_a_column_that_only_begins_like_a_known_one_is_not_read(folder):
    text = "size,Kv [L/h],Kv tolerance,stop screw,connections remark\n1,10,a,b,c\n2,20,a,b,c\n"
    assert read(folder, text, "fern").lines()[-1] == "  not read: Kv tolerance, stop screw, connections remark"


def test_a_misspelled_heading_with_a_known_one_in_it_is_refused(folder):
    (line,) = refused(folder, "size,Kv [L/h],minimum stable openning [%]\n1,10,30\n")
    assert line.endswith("is the heading of no column that is read (did you mean minimum_stable_opening?)")


def test_a_column_without_a_value_has_no_example(folder):
    lines = read(folder, "size,Kv [L/h],connections\n" + "".join(f"{i},{i},\n" for i in range(1, 7)), "fern").lines()
    assert "  connections -> connections, no values in this column" in lines


def test_a_missing_flow_column_is_said_once_with_the_heading_that_is_near(folder):
    rows = "".join(f"{i},{10 * i}\n" for i in range(1, 7))
    (line,) = refused(folder, f"# Invented.\nsize,Kw [m³/h]\n{rows}")
    assert line == "a.csv:2: header: no column is called kv, cv or capacity; 'Kw [m³/h]' is not read, did you mean kv?"


def test_an_empty_flow_cell_is_said_at_its_line_and_heading(folder):
    (line,) = refused(folder, "size,Kv [L/h]\n1,10\n2,\n3,30\n")
    assert line == "a.csv:3: Kv [L/h]: the cell is empty; every row needs it"


@pytest.mark.parametrize("header", ["Nr.,rated Kv [L/h]", "type,Capacity [kW]"])
def test_a_missing_size_column_is_named(header, folder):
    (line,) = refused(folder, f"{header}\n1,0.1\n")
    assert line == "a.csv:1: header: no column is called size"


@pytest.mark.parametrize(
    "size",
    [
        "05. Aug",
        "1-Apr",
        "2026-01-02",
        "Jan 4",
        "4-Jan-26",
        "2026-01-02 00:00:00",
        "1/5/2026",
        "5.8.",
        "08.05.2026",
        "Nov-58",
        "3. Mrz",
        "3 août",
        "1-ene",
        "May 8, 2026",
        "5-Dez",
        "15-September",
    ],
)
def test_a_size_that_looks_like_a_date_is_refused(size, folder):
    (line,) = refused(folder, f'size,Cv\n1,0.1\n"{size}",0.2\n')
    assert line.startswith(
        f"a.csv:3: size: '{size}' is not allowed; it looks like a date that a spreadsheet made of a size"
    )
    assert "format the column as text" in line


@pytest.mark.parametrize(
    "size", ["5/8", "1-1/2", "2.5", "1.5.2", "12-34", "A4", "0x", "20-A", "4 max", "3/8 in", "10.5"]
)
def test_a_size_that_is_no_date_is_read(size, folder):
    assert read(folder, f"size,Cv\n{size},0.2\n", "fern").notes == ()


@pytest.mark.slow
def test_a_tenfold_slip_is_noted_by_its_line(folder, capsys):
    path = sheet("size,Kv [m3/h]\n1,0.0147\n2,0.237\n3,0.0379\n4,0.0601\n5,0.095\n")
    given = [word for pair in GIVEN for word in ("--key", pair)]
    assert main(["import", str(path), "--family", "fern", "--catalogue", str(folder), "--dry-run", *given]) == 0
    shown = capsys.readouterr().err
    assert shown.count("\n") == 1 and "sheet.csv:3: size 2 with 0.237 m3/h is out of order" in shown


@pytest.mark.slow
@pytest.mark.parametrize(
    ("sizes", "has_note"),
    [
        (["1,10", "2,20", "3,30"], False),
        (["3,30", "2,20", "1,10"], False),
        # As a spreadsheet sorts text.
        (["10,100", "1-1/2,15", "2,20", "5/8,6"], False),
        (["a,10", "b,20", "c,30"], False),
        (["a,10", "b,2", "c,30"], True),
        (["10,100", "1-1/2,15", "2,200", "5/8,6"], True),
    ],
)
def test_an_order_that_is_sound_has_no_note(sizes, has_note, folder):
    assert bool(read(folder, "size,Kv [L/h]\n" + "\n".join(sizes) + "\n", "fern").notes) == has_note


def test_a_problem_that_rows_share_is_one_line(folder):
    header = "charge,temperature [degF],pressure [psia],remark\n"
    lines = refused(folder, header + "".join(f"c,{i},,x\n" for i in range(13)), family="rowan")
    assert [line for line in lines if "both" in line] == [
        "a.csv:2: pressure: a point needs both temperature and pressure (lines 2 to 14)"
    ]
    (line,) = refused(folder, "size,Kv\n1,10 L/h\n2,\n3,\n4,40 L/h\n5,\n")
    assert line.endswith("(lines 3 to 4, 6)")


def test_problems_of_every_sheet_are_reported_at_once(folder):
    texts = ("size,Kw [L/h],Stop (x)\n1,10,1\n", "charge,Pressure (bar)\nc,1\n", "key,value\nname,\n", "what\n1\n")
    lines = refused(folder, *texts)
    assert [line.partition(":")[0] for line in lines] == ["a.csv", "a.csv", "b.csv", "c.csv", "d.csv"]
    # What rows contradict, and what is missing in the family.
    text = "size,Kv [L/h]\n1,10\n1,20\n"
    with pytest.raises(tablegen.ConfigError) as caught:
        tablegen.import_tables(sheet(text), family="fern", keys=["kind=stepper"], catalogue=folder)
    assert "sheet.csv:3: size: '1' is the same size" in str(caught.value)
    assert "full_steps: it is still needed: Steps of full travel. Give " in str(caught.value)
    given = ["kind=thermostatic", "opening.stop=120 percent"]
    with pytest.raises(tablegen.ConfigError) as caught:
        tablegen.import_tables(sheet("size,Cv\n1,0.1\n"), family="fern", keys=given, catalogue=folder)
    assert "opening.minimum_stable: it is still needed; give opening.minimum_stable in a" in str(caught.value)


def test_a_size_that_is_given_twice_is_named_as_the_sheet_writes_it(folder):
    (line,) = refused(folder, "size,Cv\n1/4,0.1\n1/2,0.2\n1/4,0.3\n")
    assert line == "a.csv:4: size: '1/4' is the same size as '1/4' in line 2 of a.csv; give each size once"


def test_what_a_charge_still_needs_is_named_by_its_heading(folder):
    text = (DEMO / "import" / "tansy-charges.csv").read_text(encoding="utf-8")
    text = text.replace(",R134a,", ',"R134a, R513A",', 1)
    sheet(text, "charges.csv")
    paths = ["charges.csv", *(DEMO / "import" / f"{name}.csv" for name in ("tansy", "tansy-keys"))]
    with pytest.raises(tablegen.ConfigError) as caught:
        tablegen.import_tables(*paths, catalogue=folder)
    (line,) = str(caught.value).splitlines()
    assert line.startswith("charges.csv:2: charges[0].setting.refrigerant: it is still needed")
    assert line.endswith("headed 'set with'")
    lines = refused(folder, "charge,curve\nnew,cross-404-medium\n", family="rowan")
    (line,) = (line for line in lines if ".setting: " in line)
    wanted = ["set with", "bulb temperature [degF]", "static superheat [delta_degF]"]
    wanted += ["opening superheat [delta_degF]", "pressure drop [psi]"]
    assert line.endswith("headed " + ", ".join(f"'{heading}'" for heading in wanted))


def test_the_manual_lists_the_headings_of_a_sheet_of_charges():
    rows = re.findall(r"(?m)^\|.*", GUIDE.read_text(encoding="utf-8"))
    listed = {name for row in rows for name in re.findall(r"`([^`\[]+?)(?: \[[^`]*)?`", row)}
    assert {column.heading for column in OF_CHARGE} <= listed


@pytest.mark.slow
def test_min_and_max_are_read_in_full(folder):
    text = "size,Kv [L/h],Max. duty [%],max working pressure [psig]\n1,10,90,500\n2,20,90,500\n"
    taken = columns_of(SheetKind.SIZES, next(csv.reader([text.splitlines()[0]])))
    assert [own.column.key for own in taken[0]] == ["size", "kv", "maximum_duty", "working_pressure"]
    rows = "".join(f"{size},{size},30\n" for size in ("1.6", "2.5", "4", "6.3", "10", "16"))
    lines = read(folder, f"size,capacity [kW],Min. stable opening [%]\n{rows}").lines()
    assert "  Min. stable opening [%] -> opening.minimum_stable, for example 30 percent" in lines
    text = "charge,min. static superheat [K],Evaporating max. [degC]\ncross-404-medium,1.1,10\n"
    changed = read(folder, text).differences["families/rowan.yaml"]
    assert "+    minimum_static_superheat: 1.1 K" in changed and "10 degC" in changed
