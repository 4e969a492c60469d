"""Tables of limits from elsewhere: which column is what, names and units, and what is wrong with a table, by line."""

from __future__ import annotations

import math
import time
from pathlib import Path

import openpyxl
import pytest

from tablegen.config.old_table_file import read_old_table
from tablegen.config.sheet import cell_number, headings
from tablegen.errors import BadValue, ConfigError
from tests.demo import demo_catalogue

HEADER = "family,size,refrigerant,application,sst [degF],min [kBtu/h],max [kBtu/h]\n"
TAKEN = ("family", "size", "refrigerant", "application", "sst", "minimum", "maximum")
ROW = "alder,45,R448A,walk_in_medium,24,7,15\n"


def read(folder: Path, text: str, mapping: str = "", name: str = "old.csv"):
    path = folder / name
    path.write_text(text, encoding="utf-8")
    (folder / "map.yaml").write_text(mapping, encoding="utf-8")
    return read_old_table(path, demo_catalogue(), folder / "map.yaml" if mapping else None)


def problems(folder: Path, text: str, mapping: str = "") -> list[str]:
    with pytest.raises(ConfigError) as found:
        read(folder, text, mapping)
    return [str(problem).replace(str(folder) + "/", "") for problem in found.value.problems]


@pytest.mark.parametrize(
    "text",
    [
        HEADER + ROW,
        "Max load (kW);SST_degC;Application;Valve Size;FAMILY;Group;min_load_w\n"
        "4,39606605758;-4,44444444444;Walk_In_Medium;45;Alder;r-448a;2051,49749520556\n",
        "series,size,refrigerant,application,saturated suction temperature (F),minimum MBH,Maximum capacity in Btu/h\n"
        "Alder,45,448A,walk_in_medium,24,7.0,15000\n",
        "family,size,refrigerant,application,sst K,min load kW,max_load_ton_refrigeration\n"
        "alder,45,R448A,walk_in_medium,268.70555555556,2.0514974952,1.25\n",
    ],
    ids=["plain", "semicolons and decimal commas", "trade", "SI"],
)
def test_obvious_headings_need_no_mapping(text, tmp_path):
    text = text.replace("Maximum capacity in Btu/h", "Maximum capacity (Btu/h)")
    table = read(tmp_path, text)
    [row] = table.rows
    assert row.cell[:4] == ("alder", "45", "R448A", "walk_in_medium") and row.line == 2
    # 24 degF, 7 and 15 kBtu/h (1 Btu_IT = 1055.05585262 J).
    assert row.sst_k == pytest.approx((24 + 459.67) / 1.8)
    assert (row.min_load_w, row.max_load_w) == pytest.approx((7 * 293.0710702, 15 * 293.0710702), rel=1e-6)
    assert {own.name for own in table.taken} == set(TAKEN)


def test_a_mapping_names_columns_values_and_names(tmp_path):
    mapping = """\
columns:
  family: {value: Old Line}
  size: Port
  refrigerant: Gas
  application: {value: walk_in_medium}
  sst: {column: Evap, unit: degF}
  maximum: {column: Cap, unit: tons}
names:
  families: {Old line: alder}
  sizes: {1/2: 45, 1/8: null}
  refrigerants: {404A & 507: R404A-R507A}
"""
    text = "Port,Gas,Evap,Cap,Price\n1/2,404A  & 507,24,1.5,12\n1/8,404A & 507,24,0.5,12\n1/2,R134a,24,n/a,12\n,,,,\n"
    table = read(tmp_path, text, mapping)
    assert [(row.size, row.group) for row in table.rows] == [("45", "R404A-R507A"), ("45", "R134a")]
    assert table.rows[0].max_load_w == pytest.approx(1.5 * 3516.8528, rel=1e-6)
    assert all(math.isnan(row.min_load_w) for row in table.rows) and math.isnan(table.rows[1].max_load_w)
    assert [(own.column, own.name, own.rows) for own in table.left_out] == [("size", "1/8", 1)]
    assert table.not_read == ("Price",)


def test_a_workbook_is_read_as_csv_is(tmp_path):
    book = openpyxl.Workbook()
    for row in (HEADER.strip().split(","), ["alder", 45, "R448A", "walk_in_medium", 24, 7.0, 15.0]):
        book.active.append(row)
    book.save(tmp_path / "old.xlsx")
    assert read_old_table(tmp_path / "old.xlsx", demo_catalogue()).rows == read(tmp_path, HEADER + ROW).rows


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (
            HEADER + ROW.replace("45", "46"),
            "old.csv:2: size: '46' is not allowed; a size of Alder must be one of 11, 16, 22, 32, 45, 63, 90, 125, 180",
        ),
        (
            HEADER + ROW.replace("alder", "adler"),
            "(did you mean alder?); give its name in the catalogue under names.families",
        ),
        (
            HEADER + ROW.replace("R448A", "R448B"),
            "old.csv:2: refrigerant: 'R448B' is not allowed; a refrigerant or group",
        ),
        (HEADER + ROW.replace("walk_in_medium", ""), "old.csv:2: application: the cell is empty"),
        (HEADER + ROW.replace("24", "240"), "old.csv:2: sst [degF]: '240' is not allowed; must be at least -76 degF"),
        (HEADER + ROW.replace(",7,", ",7 kW,"), "old.csv:2: min [kBtu/h]: '7 kW' is not allowed; must be a number"),
        (
            HEADER + ROW.replace(",7,", ',"7,5",'),
            "old.csv:2: min [kBtu/h]: '7,5' is not allowed; must be a number with a",
        ),
        (HEADER + ROW.replace(",7,", ",0,"), "old.csv:2: min [kBtu/h]: '0' is not allowed; must be at least 1 W"),
        (HEADER + ROW.replace(",7,", ",inf,"), "old.csv:2: min [kBtu/h]: 'inf' is not allowed; must be a number"),
        (HEADER + ROW.replace(",24,", ",,"), "old.csv:2: sst [degF]: the cell is empty; every row needs its SST"),
        (HEADER + ROW + "\n" + ROW, "old.csv:4: line 2 already gives the limits of this family"),
        (
            "Valve,Refrigerant,Evap temp [degF],Pressure drop [psi],Tons at 100F liquid\n45,404A,20,50,0.36\n",
            "old.csv:1: header: 'Pressure drop [psi]': compare cannot use a table by pressure drop. Give the maximum load",
        ),
        (HEADER, "old.csv: the file has no rows below its header"),
        ("", "old.csv:1: header: no column for family; the headings are nothing"),
        (HEADER.replace("sst [degF]", "sst") + ROW, "old.csv:1: sst: a temperature needs its unit, in the heading"),
        (
            HEADER.replace("size", "sice") + ROW,
            "old.csv:1: header: no column for size; the headings are 'family', 'sice'",
        ),
        (HEADER.replace("size", "sice") + ROW, "(did you mean sice?)"),
        (HEADER.replace("application", "group") + ROW, "refrigerant may be any of the columns 'refrigerant', 'group'"),
        (HEADER + 'alder,"45\n', "the line is not CSV"),
    ],
)
def test_what_is_wrong_is_said_by_line_and_column(text, found, tmp_path):
    assert any(found in line for line in problems(tmp_path, text)), problems(tmp_path, text)


@pytest.mark.parametrize(
    ("mapping", "found"),
    [
        ("columns: {size: Prot}\n", "map.yaml:1: columns.size: 'Prot' is not allowed; the headings of "),
        (
            "columns: {sst: {column: sst, unit: kW}}\n",
            "map.yaml:1: columns.sst.unit: 'kW' is not allowed; a temperature",
        ),
        ("columns: {size: {column: size, unit: kW}}\n", "columns.size.unit"),
        ("columns: {minimum: {value: 5}}\n", "columns.minimum.value"),
        ("columns: {size: {column: size, value: 45}}\n", "map.yaml:1: columns.size: "),
        ("columns: {sise: size}\n", "map.yaml:1: columns.sise: "),
        ("names: {sizes: {A: 46}}\n", "map.yaml:1: names.sizes.A: '46' is not allowed; a size of the catalogue"),
        ("names: {families: {A: adler}}\n", "names.families.A: 'adler' is not allowed; a family must be one of"),
        (
            "columns: {minimum: max, maximum: max}\n",
            "old.csv:1: header: the column 'max [kBtu/h]' is taken for maximum and",
        ),
        ("names: [1]\n", "map.yaml:1: names: "),
    ],
)
def test_what_is_wrong_with_a_mapping_is_said_by_key(mapping, found, tmp_path):
    assert any(found in line for line in problems(tmp_path, HEADER + ROW, mapping)), problems(
        tmp_path, HEADER + ROW, mapping
    )


def test_no_more_than_twenty_problems_are_listed(tmp_path):
    assert len(problems(tmp_path, HEADER + "adler,45,R448A,walk_in_medium,24,7,15\n" * 500)) == 20


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (HEADER + "".join(ROW for _ in range(25_000)), "more than 20000 rows; no table of limits needs that"),
        (HEADER + "x" * 6_000_000, "the file is larger than 5 MB; no table of limits needs that"),
        (HEADER + '"' + "y" * 200_000, "the line is not CSV"),
        (HEADER + ROW.replace("alder", "\x1b[31m\u202ealder" * 50), "is not allowed; a family"),
        ("," * 100_000 + "\n" + "," * 100_000, "no column for family"),
    ],
    ids=["rows", "bytes", "quote", "invisible", "columns"],
)
def test_a_huge_or_hostile_table_is_refused_in_short_lines(text, found, tmp_path):
    began = time.monotonic()
    lines = problems(tmp_path, text)
    assert time.monotonic() - began < 5.0
    assert any(found in line for line in lines), lines
    assert all(len(line) < 1500 and line.isprintable() for line in lines)


def test_headings_with_their_units():
    assert ("max_load", "kBtu/h") in list(headings("Max load [kBtu/h]"))
    assert ("max_load", "kBtu/h") in list(headings(" max-load (kBtu/h) "))
    assert ("sst", "degF") in list(headings("SST, degF"))
    assert list(headings(None)) == [("", "")]


def test_numbers_in_cells():
    assert [cell_number(own) for own in (5, 5.25, "5.25", " \N{MINUS SIGN}5e1 ")] == [5.0, 5.25, 5.25, -50.0]
    assert cell_number("5,25", has_decimal_comma=True) == 5.25
    for cell in (True, None, "5,25", "1.234,5", "nan", "1e999", "5 kW", "0x10"):
        with pytest.raises(BadValue):
            cell_number(cell, has_decimal_comma=cell == "1.234,5")
