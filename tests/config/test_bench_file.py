"""Bench files: what is read, and every problem by line and column."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tablegen.config.bench_file import MAX_ROWS, BenchFile, Expected, read_bench
from tablegen.errors import ConfigError

EXPECTED = Expected(
    sizes={"11": "11", "45": "45"}, charges=("cross-404-medium", "cross-404-low"), refrigerants=("R404A", "R448A")
)
HEAD = (
    "refrigerant,size,inlet_pressure [psi_gauge],inlet_temperature [degF],outlet_pressure [psi_absolute],"
    "mass_flow [lb/h],opening [percent],charge,bulb_temperature [degF],evaporator_pressure [psi_gauge],note"
)
SITE = "# site_pressure: 14.696 psi_absolute"
FLOW_ROW = "R404A,45,235.3,70,125.3,280.5,100,,,,"
BALANCE_ROW = "R404A,45,235.3,70,88,250,70,cross-404-medium,31.3,62,follows the bulb"
GOOD = f"# date: 2026-11-20\n{SITE}\n{HEAD}\n{FLOW_ROW}\n{BALANCE_ROW}\n"


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def read(text: str | bytes, tested: Expected = EXPECTED, site: float | None = None) -> BenchFile:
    path = Path("bench.csv")
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_bench(path, tested, site)


def problems(text: str | bytes, tested: Expected = EXPECTED, site: float | None = None) -> list[str]:
    with pytest.raises(ConfigError) as caught:
        read(text, tested, site)
    return str(caught.value).splitlines()


def test_readings_are_si_and_absolute():
    found = read(GOOD)
    rows = found.rows
    assert rows.line.tolist() == [4, 5]
    assert rows.inlet_pressure_pa == pytest.approx([(235.3 + 14.696) * 6894.757293] * 2)
    assert rows.inlet_temperature_k == pytest.approx([(70 + 459.67) / 1.8] * 2)
    assert rows.outlet_pressure_pa[0] == pytest.approx(125.3 * 6894.757293)
    assert rows.flow_kg_s[0] == pytest.approx(280.5 * 0.45359237 / 3600)
    assert rows.opening.tolist() == pytest.approx([1.0, 0.7])
    assert rows.has_flow.tolist() == [True, True] and rows.has_balance.tolist() == [False, True]
    assert str(found.about.date) == "2026-11-20"
    assert np.isnan(rows.bulb_pressure_pa).all()


def test_a_row_with_bulb_and_flow_needs_no_opening():
    row = "R404A,45,235.3,70,88,250,,cross-404-medium,31.3,62,no stroke gauge"
    found = read(GOOD.replace(BALANCE_ROW, row)).rows
    assert found.lacks_opening.tolist() == [False, True]
    assert found.has_flow.tolist() == [True, False] and found.has_balance.tolist() == [False, False]
    # Nor the file the column.
    lines = [",".join(c for i, c in enumerate(line.split(",")) if i != 6) for line in (HEAD, row)]
    assert read("\n".join([SITE, *lines])).rows.lacks_opening.tolist() == [True]
    # A row that then says nothing is for the fit to name, not a mistake of the file.
    assert len(read(GOOD.replace(BALANCE_ROW, row.replace("88,250,", "88,,"))).rows.line) == 2
    assert len(read(GOOD.replace(FLOW_ROW, FLOW_ROW.replace(",280.5,100,", ",280.5,,"))).rows.line) == 2
    (line,) = problems(GOOD.replace(BALANCE_ROW, row.replace("31.3,62", "31.3,")))
    assert "the row lacks evaporator_pressure" in line


def test_file_of_the_manual_is_read():
    page = (Path(__file__).resolve().parents[2] / "tablegen" / "manual" / "bench.md").read_text(encoding="utf-8")
    (sample,) = re.findall(r"```text\n(# date:.*?)```", page, re.S)
    rows = read(sample).rows
    assert rows.has_flow.tolist() == [True, False] and rows.has_balance.tolist() == [False, True]


def test_same_readings_in_other_units_are_the_same():
    kpa, kelvin = 6.894757293168361, (70 + 459.67) / 1.8
    header = "size,refrigerant,Inlet Pressure [kPa_absolute],inlet temperature [K],outlet-pressure [kPa_gauge]"
    row = f"45,R404A,{(235.3 + 14.696) * kpa!r},{kelvin!r},{125.3 * kpa - 101.325!r},{280.5 * 0.45359237!r},100"
    other = read(f"{header},mass_flow [kg/h],opening [percent]\n{row}\n", site=101325.0).rows
    ours = read(GOOD).rows
    for name in ("inlet_pressure_pa", "inlet_temperature_k", "outlet_pressure_pa", "flow_kg_s", "opening"):
        assert getattr(other, name)[0] == pytest.approx(getattr(ours, name)[0], rel=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + GOOD,
        GOOD.replace("\n", "\r\n"),
        GOOD.replace("\n", "\r"),
        GOOD.rstrip("\n"),
        GOOD + "\n\n,,,,\n",
        "\n".join(f"{line},," if "," in line else line for line in GOOD.splitlines()),
        '\n# it\'s 3/8" tube, "so\n' + GOOD,
        GOOD.replace("R404A,45,235.3", '"R404A", 45 ,"235.3"'),
        GOOD.replace("280.5", "2.805e2"),
    ],
)
def test_harmless_differences_of_spreadsheets_are_read(text):
    assert read(text).rows.flow_kg_s[0] == pytest.approx(280.5 * 0.45359237 / 3600)


def test_a_row_after_a_hash_sign_is_a_remark():
    assert read(GOOD.replace(FLOW_ROW, "#" + FLOW_ROW)).rows.line.tolist() == [5]


def test_what_looks_like_a_formula_is_only_text():
    assert len(read(GOOD.replace("follows the bulb", '"=HYPERLINK(""x"")"')).rows.line) == 2
    (line,) = problems(GOOD.replace("280.5", "=1+1"))
    assert line.startswith("bench.csv:4: mass_flow: '=1+1' is not allowed; must be a number")


@pytest.mark.parametrize(
    ("old", "new", "line", "column", "part"),
    [
        ("280.5", "nan", 4, "mass_flow", "'nan' is not allowed; must be a number; leave the cell empty"),
        ("280.5", "inf", 4, "mass_flow", "'inf' is not allowed"),
        ("280.5", "1e999", 4, "mass_flow", "'1e999' is not allowed"),
        ("280.5", "1_000", 4, "mass_flow", "'1_000' is not allowed"),
        ("280.5", "\u0661\u0662", 4, "mass_flow", "is not allowed; must be a number"),
        ("280.5", "-280.5", 4, "mass_flow", "must be above 0 and at most 100 kg/s"),
        ("280.5", "0", 4, "mass_flow", "leave the cell empty where there was no flow"),
        ("280.5", "\u2212280.5", 4, "mass_flow", "write its minus as '-'"),
        ("280.5", "280.5 lb/h", 4, "mass_flow", "must be a number alone; its unit is in the header (lb/h)"),
        ("280.5", '"280,5"', 4, "mass_flow", "with a decimal point and no separator of thousands"),
        ("280.5", "280,5", 4, "", "12 cells, but the header has 11 (is there a decimal comma in the line?)"),
        (",100,,,,", ",400,,,,", 4, "opening", "'400' is not allowed; must be at least 0 and at most 300 percent"),
        (FLOW_ROW, "R404A,45,235.3,70", 4, "", "4 cells, but the header has 11"),
        (FLOW_ROW, 'R404A,"45,235.3,70,125.3,280.5,100,,,,', 4, "", "the line is not CSV: unexpected end of data"),
        ("R404A,45,235.3,70,125.3", "R404B,45,235.3,70,125.3", 4, "refrigerant", "did you mean R404A?"),
        ("R404A,45,235.3,70,125.3", "R404A,46,235.3,70,125.3", 4, "size", "'46' is not allowed; a size of the family"),
        ("cross-404-medium", "cross-404-medum", 5, "charge", "did you mean cross-404-medium?"),
        ("R404A,45,235.3,70,125.3", ",,235.3,70,125.3", 4, "refrigerant", "and the row lacks refrigerant, size"),
        (",31.3,62,", ",31.3,,", 5, "evaporator_pressure", "and the row lacks evaporator_pressure"),
        ("cross-404-medium,31.3", ",31.3", 5, "charge", "name it in the column, or with charge="),
        (FLOW_ROW, "R404A,45,235.3,70,125.3,,100,,,,", 4, "", "neither a mass flow nor a bulb temperature"),
        ("235.3,70,125.3", "235.3,400,125.3", 4, "inlet_temperature", "at most 150 degC (-148 to 302 degF)"),
        ("235.3,70,125.3", "9000,70,125.3", 4, "inlet_pressure", "at most 200 bar absolute"),
        ("inlet_pressure [psi_gauge]", "inlet_pressure", 3, "inlet_pressure", "needs its unit in the header"),
        ("inlet_pressure [psi_gauge]", "inlet_pressure [psi]", 3, "inlet_pressure", "did you mean psi_gauge or"),
        ("inlet_pressure [psi_gauge]", "inlet_presure [psi_gauge]", 3, "inlet_presure", "did you mean inlet_pressure?"),
        ("inlet_temperature [degF]", "inlet_temperature [delta_degF]", 3, "inlet_temperature", "did you mean degF?"),
        ("opening [percent]", "opening [percents]", 3, "opening", "did you mean percent?"),
        (
            "opening [percent]",
            "mass_flow [kg/h]",
            3,
            "mass_flow",
            "the column appears twice, as column 6 and column 7",
        ),
        ("opening [percent]", "[percent]", 3, "column 7", "write a column's heading as 'name [unit]'"),
        ("size,", "size [mm],", 3, "size", "this column has no unit"),
        ("opening [percent]", "steps", 3, "steps", "the family is not a stepper; give opening [percent]"),
        ("evaporator_pressure [psi_gauge]", "bulb_pressure [psi_gauge]", 3, "bulb_pressure", "the bulb is sealed"),
        (SITE, "#", 3, "inlet_pressure", "or site_pressure="),
        (SITE, "# site_pressure: 14.7 psi", 2, "site_pressure", "did you mean psi_gauge or psi_absolute?"),
        (SITE, "# site_pressure: 14.7 psi_gauge", 2, "site_pressure", "an atmospheric pressure is absolute"),
        (SITE, f"{SITE}\n{SITE}", 3, "site_pressure", "is given twice"),
        ("2026-11-20", "2026-02-30", 1, "date", "write a calendar date"),
        ("# date:", "# dates:", 1, "dates", "did you mean date?"),
        ("# date: 2026-11-20", "# flow uncertainty: 40 percent", 1, "flow uncertainty", "at most 20 percent"),
    ],
)
def test_problem_is_one_line_with_file_and_key(old, new, line, column, part):
    assert GOOD.count(old)
    (found,) = problems(GOOD.replace(old, new, 1))
    assert found.startswith(f"bench.csv:{line}: {column}: " if column else f"bench.csv:{line}: ")
    assert part in found


@pytest.mark.parametrize(
    ("data", "part"),
    [
        (b"", "bench.csv:1: header: none found"),
        (b"# only a remark\n\n", "bench.csv:1: header: none found"),
        (HEAD.encode(), "or site_pressure="),
        ((SITE + "\n" + HEAD + "\n").encode(), "bench.csv: the file has no rows below its header"),
        (GOOD.encode("utf-16")[:-1], "bench.csv:5: the file cannot be read: it is damaged UTF-16; in your spreadsheet"),
        (GOOD.replace("follows", "fölgt").encode("latin-1"), "bench.csv:5: the file cannot be read: a character"),
        (
            GOOD.encode().replace(b"280.5", b"280\x00.5"),
            "bench.csv:4: the file cannot be read: it contains a NUL byte here",
        ),
        (b"PK\x03\x04" + bytes(range(256)), "is not UTF-8"),
    ],
)
def test_file_that_is_no_bench_file_is_refused_in_a_line(data, part):
    (found,) = problems(data)
    assert part in found


def test_missing_file_is_reported():
    with pytest.raises(ConfigError, match=r"^none\.csv: the file does not exist$"):
        read_bench(Path("none.csv"), EXPECTED)
    with pytest.raises(ConfigError, match="cannot be read"):
        read_bench(Path(), EXPECTED)


def test_all_problems_are_reported_at_once_and_not_without_end():
    text = GOOD.replace("280.5", "x").replace("31.3", "y").replace("cross-404-medium", "z")
    assert len(problems(text)) == 3
    many = problems(f"{SITE}\n{HEAD}\n" + "".join(f"R404A,45,a{i},b,c,d,100,,,,\n" for i in range(3000)))
    assert len(many) == 21
    assert re.fullmatch(r"bench\.csv:2\d: 298\d more errors in this line and below", many[-1])


def test_a_name_that_is_not_known_in_many_rows_is_one_line_with_each_name_once():
    tested = dataclasses.replace(EXPECTED, sizes={"1-4": "1/4", "45": "45"})
    (line,) = problems(GOOD.replace("R404A,45", "R404A,46"), tested)
    assert line == "bench.csv:4: size: '46' is not allowed; a size of the family must be one of 1/4, 45 (lines 4 to 5)"
    for size in ("1/4", "1-4"):
        assert set(read(GOOD.replace("R404A,45", f"R404A,{size}"), tested).rows.size) == {"1/4"}


def test_a_million_rows_are_a_log_and_refused_in_a_line():
    text = f"{SITE}\n{HEAD}\n" + f"{FLOW_ROW}\n" * 400_000
    assert len(text) < 20_000_000
    (found,) = problems(text)
    assert f"more than {MAX_ROWS} rows; give one row for each steady state" in found
    (found,) = problems(text * 3)
    assert "larger than 20 MB" in found


def test_as_many_rows_as_are_allowed_are_read():
    found = read(f"{SITE}\n{HEAD}\n" + f"{FLOW_ROW}\n" * MAX_ROWS)
    assert len(found.rows.line) == MAX_ROWS


def test_gauges_need_an_atmosphere_in_the_row_where_the_file_has_none():
    header = HEAD.replace("note", "site_pressure [psi_absolute]")
    (found,) = problems(f"{header}\n{FLOW_ROW[:-1]},14.5\n{BALANCE_ROW.rpartition(',')[0]},\n")
    assert found == "bench.csv:3: site_pressure: the cell is empty, but the row has gauge readings, which need it"
    rows = read(f"{header}\n{FLOW_ROW[:-1]},14.5\n").rows
    assert rows.inlet_pressure_pa[0] == pytest.approx((235.3 + 14.5) * 6894.757293)
    # What the command line says goes before what the file says.
    rows = read(f"{header}\n{FLOW_ROW[:-1]},14.5\n", site=9e4).rows
    assert rows.inlet_pressure_pa[0] == pytest.approx(235.3 * 6894.757293 + 9e4)


def test_steps_are_shares_of_full_travel():
    stepper = Expected(sizes={"45": "45"}, charges=(), refrigerants=("R404A",), full_steps=500)
    header = "refrigerant,size,inlet_pressure [psi_absolute],inlet_temperature [degF],outlet_pressure [psi_absolute]"
    text = f"{header},mass_flow [lb/h],steps\nR404A,45,250,70,125,280,125\n"
    assert read(text, stepper).rows.opening.tolist() == [0.25]
    assert "steps are a whole number of at most 500" in problems(text.replace(",280,125", ",280,501"), stepper)[0]
    assert "steps are a whole number" in problems(text.replace(",280,125", ",280,12.5"), stepper)[0]
    both = text.replace("steps", "steps,opening [percent]").replace(",280,125", ",280,125,25")
    assert "opening and steps are both given" in problems(both, stepper)[0]
    assert "the family is electronic" in problems(GOOD, stepper)[0]


def test_charge_and_equalizer_follow_the_family():
    one = Expected(
        sizes={"45": "45"},
        charges=("only",),
        refrigerants=("R404A",),
        default_charge="only",
        is_internally_equalized=True,
    )
    text = GOOD.replace("cross-404-medium,31.3,62", ",31.3,")
    rows = read(text, one).rows
    assert rows.charge[1] == "only"
    # An internal equalizer takes the pressure downstream of the port.
    assert rows.evaporator_pressure_pa.tolist() == rows.outlet_pressure_pa.tolist()


EDITS = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        [
            ",",
            "\n",
            "\r",
            '"',
            "#",
            "[",
            "]",
            ";",
            "\t",
            "nan",
            "inf",
            "1e400",
            "-",
            "\u2028",
            "\x0b",
            "\x85",
            "\ufeff",
            "psi_gauge",
            "9" * 400,
            "=1",
            "# date: ",
            "# site_pressure: ",
        ]
    ),
)


@st.composite
def broken(draw) -> bytes:
    """A good file with a few things put in or taken out, or nothing like a file."""
    if draw(st.integers(0, 9)) == 0:
        return draw(st.binary(max_size=200))
    text = GOOD
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(text)))
        text = text[:at] + draw(EDITS) + text[at + draw(st.integers(0, 12)) :]
    data = text.encode("utf-8", "surrogatepass")
    return data if draw(st.integers(0, 4)) else data[: draw(st.integers(0, len(data)))]


def survives(data: bytes) -> None:
    Path("fuzz.csv").write_bytes(data)
    refused: tuple[object, ...] = ()
    try:
        rows = read_bench(Path("fuzz.csv"), EXPECTED).rows
    except ConfigError as error:
        refused = error.problems
    if refused:
        # A line each, whatever is in the file.
        lines = "\n".join(map(str, refused)).splitlines()
        assert len(lines) == len(refused) <= 21
        assert all(line.startswith("fuzz.csv") for line in lines)
        return
    flow = rows.flow_kg_s[rows.has_flow]
    assert len(rows.line) and (flow > 0.0).all()
    for values in (rows.inlet_pressure_pa, rows.outlet_pressure_pa, rows.inlet_temperature_k):
        assert np.isfinite(values[rows.has_flow]).all()


@pytest.mark.slow
@given(broken())
@settings(max_examples=200, deadline=None)
def test_nothing_but_a_clear_line_comes_of_a_broken_file(data):
    survives(data)


@pytest.mark.slow
@given(broken())
@settings(max_examples=5000, deadline=None)
def test_nothing_but_a_clear_line_comes_of_many_broken_files(data):
    survives(data)


def test_an_unknown_refrigerant_is_repeated_as_it_is_written():
    (line,) = problems(GOOD.replace("R404A,45,235.3,70,125.3", "r-404z,45,235.3,70,125.3"))
    assert "'r-404z' is not allowed; a refrigerant must be one of R404A, R448A (did you mean R404A?)" in line


def test_specimens_are_read_and_each_is_one_valve():
    head = HEAD.replace("size,", "size,specimen,")
    rows = [row.replace("R404A,45,", f"R404A,45,{name},") for row, name in ((FLOW_ROW, "A"), (BALANCE_ROW, "A2"))]
    good = "\n".join([SITE, head, *rows])
    found = read(good).rows
    assert found.specimen.tolist() == ["A", "A2"] and found.has_specimens
    assert not read(GOOD).rows.has_specimens
    # A column that nobody filled in is none.
    assert not read(good.replace(",A,", ",,").replace(",A2,", ",,")).rows.has_specimens
    (line,) = problems(good.replace(",A2,", ",,"))
    assert line.startswith("bench.csv:4: specimen: ") and "name it in every row" in line
    (line,) = problems(good.replace("45,A2,", "11,A,"))
    assert "this row has size 11, and line 3 has 45; a specimen is one valve" in line
    (line,) = problems(good.replace(",A2,", ",no 2,"))
    assert "a specimen has 1 to 40 letters" in line


def test_conditions_have_no_readings():
    conditions = dataclasses.replace(EXPECTED, has_readings=False)
    head = "refrigerant,size,inlet_pressure [kPa_absolute],inlet_temperature [degC],outlet_pressure [kPa_absolute],"
    row = "R404A,45,1700,21,800,"
    assert read(f"{head}opening [percent]\n{row}50\n", conditions).rows.opening.tolist() == [0.5]
    (line,) = problems(f"{head}opening [percent]\n{row}\n", conditions)
    assert line.endswith("opening: the cell is empty, and the row lacks opening (or steps)")


@pytest.mark.parametrize(("between", "point"), [(";", ","), (";", "."), ("\t", ".")])
def test_semicolons_and_tabs_are_read_as_commas_are(tmp_path, between, point):
    path = tmp_path / "bench.csv"
    path.write_text(GOOD)
    wanted = read_bench(path, EXPECTED).rows
    remarks = [line for line in GOOD.splitlines() if line.startswith("#")]
    rows = [line for line in GOOD.splitlines() if not line.startswith("#")]
    rows = [line.replace(",", between) for line in rows]
    rows[1:] = [line.replace(".", point) for line in rows[1:]]
    path.write_text("\n".join([*remarks, *rows]))
    found = read_bench(path, EXPECTED).rows
    for name in ("line", "inlet_pressure_pa", "flow_kg_s", "size"):
        np.testing.assert_array_equal(getattr(found, name), getattr(wanted, name))
