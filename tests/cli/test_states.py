"""`tablegen states`: the table in text, CSV and print, in any units, and what it refuses."""

import csv
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from tablegen.cli.main import main
from tests.processes import environment
from tests.registry import refrigerant, registry
from tests.us_units import PSI_PA

ATMOSPHERE_PA = 101325.0


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def table(text: str) -> list[list[str]]:
    """The rows of figures of a printed text, true minus signs as hyphens."""
    lines = [line.replace("\N{MINUS SIGN}", "-").split() for line in text.splitlines()]
    return [words for words in lines if len(words) >= 5 and words[0].lstrip("-").isdigit()]


def test_text_has_the_figures_of_the_refrigerant(capsys):
    assert main(["states", "R448A", "--coldest", "-40 degF", "--warmest", "120 degF", "--step", "20 delta_degF"]) == 0
    shown = capsys.readouterr().out
    rows = table(shown)
    assert [row[0] for row in rows] == ["-40", "-20", "0", "20", "40", "60", "80", "100", "120"]
    at = (100.0 + 459.67) / 1.8
    bubble, dew = refrigerant("R448A").bubble(at), refrigerant("R448A").dew(at)
    row = rows[7]
    assert float(row[1]) == pytest.approx((float(bubble.pressure_pa) - ATMOSPHERE_PA) / PSI_PA, abs=0.05)
    assert float(row[2]) == pytest.approx((float(dew.pressure_pa) - ATMOSPHERE_PA) / PSI_PA, abs=0.05)
    assert float(row[4]) == pytest.approx(float(bubble.density_kg_m3) * 0.0283168466 / 0.45359237, abs=0.005)
    for part in (
        "A1 (lower toxicity",
        "1387 (AR4)",
        "Bubble pressure",
        "Dew pressure",
        "Glide",
        "licensed technicians",
        "gauge, at an atmospheric pressure of 14.696 psia; * vacuum, in. Hg",
        "pressure 1.5 %",
        "Glide: dew temperature",
        "Liquid density is at",
    ):
        assert part in shown


def csv_rows(*arguments):
    """The rows of the CSV file of a call."""
    assert main(["states", *arguments, "--csv", "states.csv"]) == 0
    return list(csv.DictReader(Path("states.csv").read_text(encoding="utf-8").splitlines()))


def test_csv_has_the_same_states_in_si_whatever_is_printed(capsys):
    grid = ["--coldest", "250 K", "--warmest", "300 K", "--step", "25 K"]
    rows = csv_rows("R404A", "R134a", *grid, "--pressure", "psig")
    assert [r["refrigerant"] for r in rows] == ["R404A"] * 3 + ["R134a"] * 3
    for row in rows:
        dew = refrigerant(row["refrigerant"]).dew(float(row["temperature_k"]))
        assert float(row["dew_pressure_pa"]) == pytest.approx(float(dew.pressure_pa), rel=1e-11)
        assert float(row["vapor_density_kg_m3"]) == pytest.approx(float(dew.density_kg_m3), rel=1e-11)
    assert {r["glide_k"] for r in rows if r["refrigerant"] == "R134a"} == {"0"}
    assert rows == csv_rows("R404A", "R134a", *grid, "--units", "SI", "--temperature", "K")


def test_json_has_facts_and_rows_of_one_refrigerant(capsys):
    assert main(["states", "R448A", "--json", "--coldest", "0 degF", "--warmest", "20 degF"]) == 0
    answer = json.loads(capsys.readouterr().out)
    record = registry().records["R448A"]
    assert answer["facts"]["components"] == list(record.definition.components)
    assert answer["facts"]["gwp_100_years"] == [own.value for own in record.gwp]
    assert answer["facts"]["critical_temperature_k"] == refrigerant("R448A").critical_temperature_k
    assert len(answer["tables"]["states"]) == 5


@pytest.mark.parametrize(
    ("options", "labels", "figures"),
    [
        (["--pressure", "inHg_absolute"], "inHg absolute", (1.0 / 3386.389, "pressure")),
        (["--pressure", "kgf/cm2 abs"], "kgf/cm2 absolute", (1.0 / 98066.5, "pressure")),
        (["--density", "g/mL"], "g/mL", (1e-3, "density")),
        (["--temperature", "degR"], "°R", (1.8, "temperature")),
    ],
)
def test_any_unit_of_the_right_kind_is_printed(options, labels, figures, capsys):
    assert main(["states", "R134a", "--coldest", "0 degC", "--warmest", "0 degC", *options]) == 0
    shown = capsys.readouterr().out
    (row,) = [line.split() for line in shown.splitlines() if len(line.split()) == 5 and line.split()[1][0].isdigit()]
    factor, kind = figures
    bubble = refrigerant("R134a").bubble(273.15)
    value, place = {
        "pressure": (float(bubble.pressure_pa), 1),
        "density": (float(bubble.density_kg_m3), 2),
        "temperature": (273.15, 0),
    }[kind]
    assert float(row[place]) == pytest.approx(factor * value, rel=5e-3)
    assert labels in " ".join(shown.split())


def test_sheet_is_printed_and_reads_back(capsys):
    assert main(["states", "R455A", "--units", "si", "--paper", "A4", "--output", "sheet.pdf"]) == 0
    assert capsys.readouterr().out.endswith("\nsheet.pdf: 1 page\n")
    text = PdfReader("sheet.pdf").pages[0].extract_text(extraction_mode="layout").replace("\N{MINUS SIGN}", "-")
    row = next(words for words in map(str.split, text.splitlines()) if words[:1] == ["20.0"])
    bubble_pa = float(refrigerant("R455A").bubble(293.15).pressure_pa)
    assert float(row[1]) == pytest.approx((bubble_pa - ATMOSPHERE_PA) / 1e5, abs=5e-3)
    for part in ("(safety group A2L)", "148 (AR4)", "R744 3, R32 21.5, R1234yf 75.5"):
        assert part in text


def test_the_same_call_gives_the_same_bytes(capsys):
    for name in ("one.pdf", "two.pdf"):
        assert main(["states", "R290", "R744", "--output", name]) == 0
    assert Path("one.pdf").read_bytes() == Path("two.pdf").read_bytes()
    assert {p.name for p in Path().iterdir()} == {"one.pdf", "two.pdf"}


def test_a_table_with_a_critical_point_in_its_range_says_where_it_ends(capsys):
    assert main(["states", "R744", "--step", "10 delta_degF"]) == 0
    shown = capsys.readouterr().out
    assert table(shown)[-1][0] == "80"
    assert "87.8 °F" in shown
    assert "the table ends 5.4 °F below it" in shown


@pytest.mark.parametrize("name", sorted(registry()))
def test_every_refrigerant_prints_its_whole_range(name, capsys):
    assert main(["states", name]) == 0
    rows = table(capsys.readouterr().out)
    # -60 to 150 °F in steps of 5, or to the critical limit.
    assert len(rows) == (29 if name == "R744" else 43)
    assert all("–" not in row for row in rows)


def test_without_a_name_all_are_listed(capsys):
    assert main(["states"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines[2:]] == sorted(registry())
    assert any(line.startswith("R717") and "B2L" in line for line in lines)


def test_own_refrigerants_are_found(tmp_path, capsys):
    own = tmp_path / "mine" / "refrigerants"
    own.mkdir(parents=True)
    packaged = Path(__file__).resolve().parents[2] / "configs" / "refrigerants" / "R410A.yaml"
    (own / "Mine-1.yaml").write_text(packaged.read_text(encoding="utf-8").replace("R410A", "Mine-1"), encoding="utf-8")
    assert main(["states", "Mine-1", "--configs", "mine"]) == 0
    Path("mine/catalogue.yaml").write_text("", encoding="utf-8")
    for own in ("mine", "mine/catalogue.yaml"):
        assert main(["states", "Mine-1", "--catalogue", own]) == 0
    assert capsys.readouterr().out.startswith("Mine-1: pressure and temperature at saturation")


@pytest.mark.parametrize(
    ("arguments", "parts"),
    [
        (["R48A"], ("'R48A' is not a known refrigerant", "did you mean R448A?")),
        (
            ["R448A", "--pressure", "psi"],
            ("--pressure: 'psi' is not allowed", "did you mean psi_gauge or psi_absolute?"),
        ),
        (["R448A", "--density", "kg/m2"], ("--density: 'kg/m2' is not allowed", "kg/m3, lb/ft3")),
        (["R448A", "--coldest", "-40"], ("--coldest: -40 is not allowed", "it has no unit")),
        (["R448A", "--coldest", "-40 dF"], ("--coldest: '-40 dF' is not allowed", "did you mean degF?")),
        (["R448A", "--step", "5 psi"], ("--step: '5 psi' is not allowed", "delta_degF")),
        (["R448A", "--step", "0 K"], ("--step: '0 K' is not allowed; it must be above 0",)),
        (["R448A", "--step", "0.001 K"], ("--step: '0.001 K' is not allowed", "at most 2000")),
        (
            ["R448A", "--coldest", "80 degF", "--warmest", "20 degF"],
            ("--coldest/--warmest: 80.0 degF (26.7 degC) to 20.0 degF (-6.7 degC)", "must not be above the warmest"),
        ),
        (
            ["R744", "--coldest", "100 degF"],
            (
                "--coldest/--warmest: R744: no saturation state can be computed between",
                "critical point 87.8 degF (31.0 degC)",
            ),
        ),
        (["R448A", "--site-pressure", "14.7 bar_absolute"], ("--site-pressure: '14.7 bar_absolute'", "50 and 110 kPa")),
        (["R448A", "--site-pressure", "49.9 kPa_absolute"], ("--site-pressure: '49.9 kPa_absolute'", "50 and 110 kPa")),
        (["R448A", "--site-pressure", "0 psi_gauge"], ("--site-pressure", "an atmospheric pressure is absolute")),
        (["R448A", "--output", "table.docx"], ("--output: 'table.docx' is not allowed", "end in .pdf, .html, .txt or")),
        (["R448A", "--output", ""], ("--output: '' is not allowed; it names no file",)),
        (["R448A", "--output", "."], ("--output: '.' is not allowed; it is a folder",)),
        (["R448A", "--csv", "no/table.csv"], ("--csv: 'no/table.csv' is not allowed; the folder 'no' does not",)),
        (["R448A", "--csv", "t.pdf"], ("--csv: 't.pdf' is not allowed; the file must end in .csv",)),
        (["R448A", "--configs", "nowhere"], ("--configs: nowhere contains no folder 'refrigerants'",)),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_problems_are_one_line_and_code_2(arguments, parts, capsys, tmp_path):
    assert main(["states", *arguments]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    (line,) = captured.err.splitlines()
    for part in parts:
        assert part in line
    assert list(tmp_path.iterdir()) == []


def test_output_that_cannot_be_written_is_named_as_it_was_given(capsys, monkeypatch):
    """Not by the file beside it that is written first."""

    def full(self, *_, **__):
        raise OSError(28, "No space left on device", str(self))

    monkeypatch.setattr(Path, "write_text", full)
    assert main(["states", "R22", "--csv", "t.csv"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err == "--csv: t.csv: cannot be written: No space left on device; nothing was replaced\n"
    assert list(Path().iterdir()) == []


def test_every_file_that_is_written_is_reported(capsys):
    assert main(["states", "R22", "R290", "--csv", "t.csv", "--output", "t.txt"]) == 0
    assert capsys.readouterr().out.endswith("\nt.csv: 86 rows\nt.txt: written\n")


def test_a_name_given_twice_is_printed_once():
    rows = csv_rows("R22", "R290", "r-22", "--step", "50 delta_degF")
    assert [row["refrigerant"] for row in rows] == ["R22"] * 5 + ["R290"] * 5


@pytest.mark.parametrize(
    ("unit", "text"),
    [("bar_gauge", "1.01325 bar"), ("kPa_gauge", "101.325 kPa"), ("MPa_gauge", "0.101325 MPa")],
)
def test_atmosphere_is_printed_to_the_pascal(unit, text, capsys):
    assert main(["states", "R22", "--units", "SI", "--pressure", unit]) == 0
    assert f"an atmospheric pressure of {text} absolute; negative below it" in capsys.readouterr().out


def test_a_range_cut_at_its_lowest_temperature_says_so(capsys):
    assert main(["states", "R744", "--coldest", "-80 degF", "--warmest", "0 degF"]) == 0
    shown = capsys.readouterr().out
    assert "Lowest temperature  saturation is not computed below \N{MINUS SIGN}68.9 °F" in shown
    assert table(shown)[0][0] == "-65"
    assert main(["states", "R744", "--coldest", "-60 degF", "--warmest", "0 degF"]) == 0
    assert "Lowest temperature" not in capsys.readouterr().out


def test_a_dash_is_explained_where_one_is_printed(capsys):
    assert main(["states", "R455A", "--coldest", "170 degF", "--warmest", "180 degF"]) == 0
    shown = capsys.readouterr().out
    assert "–: not computed" in shown
    assert "\N{EN DASH}" in shown
    assert main(["states", "R455A", "--coldest", "70 degF", "--warmest", "80 degF"]) == 0
    assert "–: not computed" not in capsys.readouterr().out


def test_pairs_of_ones_own_are_listed_with_their_sources(capsys):
    assert main(["states", "R401A"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "Estimated pairs R22/R124: Fitted to the published boiling points of R409A and R409B" in shown
    assert "; R152a/R124: Linear rule for temperature and volume" in shown
    assert main(["states", "R453A"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "R601a/R32, R601a/R125, R601a/R134a, R601a/R227ea: No measurements; the values that the library has" in shown
    assert main(["states", "R448A"]) == 0
    assert "Estimated pairs" not in capsys.readouterr().out


@pytest.mark.parametrize("name", sorted(registry()))
def test_no_reason_points_elsewhere(name):
    assert "see " not in registry().records[name].uncertainty.reason


@pytest.mark.parametrize("name", ["R438A", "R453A", "R455A", "R717"])
def test_a_sheet_is_one_page(name, capsys):
    """The refrigerants of which the most is to be said."""
    assert main(["states", name, "--output", "sheet.pdf"]) == 0
    assert capsys.readouterr().out.endswith("\nsheet.pdf: 1 page\n")


def test_single_component_under_another_name_says_what_it_is(tmp_path, capsys):
    own = tmp_path / "mine" / "refrigerants"
    own.mkdir(parents=True)
    packaged = Path(__file__).resolve().parents[2] / "configs" / "refrigerants" / "R290.yaml"
    text = packaged.read_text(encoding="utf-8").replace("refrigerant: R290", "refrigerant: Propane")
    (own / "Propane.yaml").write_text(text, encoding="utf-8")
    assert main(["states", "Propane", "--configs", "mine"]) == 0
    assert "Mass % R290 100" in " ".join(capsys.readouterr().out.split())
    assert main(["states", "R290"]) == 0
    assert "Mass percent" not in capsys.readouterr().out


ROOT = Path(__file__).resolve().parents[2]


def tablegen(*arguments: str, stdout: object, **more: str) -> subprocess.CompletedProcess[bytes]:
    """A process of its own, for its standard output is what is looked at."""
    return subprocess.run(
        [sys.executable, "-m", "tablegen", *arguments],
        stdout=stdout,
        stderr=subprocess.PIPE,
        check=False,
        env=environment(**more),
    )


@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_reader_who_has_seen_enough_is_no_error(unbuffered):
    read, write = os.pipe()
    os.close(read)
    try:
        done = tablegen("states", "R22", "--step", "0.1 K", stdout=write, PYTHONUNBUFFERED=unbuffered)
    finally:
        os.close(write)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no full device here")
@pytest.mark.parametrize(
    ("arguments", "unbuffered"),
    [
        (["states", "R22"], ""),
        (["states", "R22"], "1"),
        (["states"], ""),
        (["check", "--demo"], ""),
        pytest.param(["states"], "1", marks=pytest.mark.slow),
        pytest.param(["check", "--demo"], "1", marks=pytest.mark.slow),
    ],
)
def test_full_standard_output_is_one_line_and_code_2(arguments, unbuffered):
    with Path("/dev/full").open("wb") as full:
        done = tablegen(*arguments, stdout=full, PYTHONUNBUFFERED=unbuffered)
    assert done.returncode == 2
    # Of `check`, after its notes.
    assert done.stderr.splitlines()[-1] == b"standard output: cannot be written: No space left on device"


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "latin-1", "utf-8"])
def test_no_encoding_loses_a_minus_sign(encoding):
    done = tablegen("states", "R455A", "--warmest", "180 degF", stdout=subprocess.PIPE, PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (0, b"")
    shown = done.stdout.decode(encoding)
    assert "\\" not in shown
    rows = table(shown)
    assert [rows[0][0], rows[12][0]] == ["-60", "0"]
    # A vacuum, in inches of mercury.
    dew_pa = float(refrigerant("R455A").dew((459.67 - 60.0) / 1.8).pressure_pa)
    assert float(rows[0][2].removeprefix("*")) == pytest.approx((ATMOSPHERE_PA - dew_pa) / 3386.389, abs=0.05)
    assert ("degF" in shown) == (encoding == "ascii")
    assert ("lb/ft3" in shown) == (encoding == "ascii")


@pytest.mark.parametrize("unit", ["degF", "degC"])
def test_zero_degrees_have_no_minus(unit, capsys):
    grid = ["--coldest", f"-10 {unit}", "--warmest", f"10 {unit}", "--step", f"5 delta_{unit}"]
    assert main(["states", "R134a", "--temperature", unit, *grid]) == 0
    assert [row[0] for row in table(capsys.readouterr().out)] == ["-10", "-5", "0", "5", "10"]


def test_a_vacuum_is_in_inches_of_mercury(capsys):
    # common practice: pressure-temperature charts of R134a read 3.6 in of mercury at -20 degF and 14.7 at -40 degF (from memory).
    chosen = ["--coldest", "-40F", "--warmest", "0F", "--step", "20 delta_degF"]
    assert main(["states", "R134a", *chosen, "--columns", "pressure, absolute, enthalpy"]) == 0
    shown = capsys.readouterr().out
    rows = {row[0]: row[1:] for row in table(shown)}
    assert rows["-20"][0].startswith("*") and float(rows["-20"][0][1:]) == pytest.approx(3.6, abs=0.15)
    assert float(rows["-40"][0][1:]) == pytest.approx(14.7, abs=0.15)
    # What the gauge reads and the absolute pressure beside it are one pressure: an inch of mercury is 0.4912 psi.
    assert 14.696 - 0.4912 * float(rows["-20"][0][1:]) == pytest.approx(float(rows["-20"][1]), abs=0.06)
    assert rows["0"][0] == "6.5" and rows["-40"][2] == "0.00"
    assert "*: inches of mercury vacuum (in. Hg)" in shown and "zero for saturated liquid at −40 °F" in shown
    assert main(["states", "R134a", *chosen, "--pressure", "psia", "--columns", "pressure"]) == 0
    assert "*" not in capsys.readouterr().out


def test_columns_are_chosen(capsys):
    assert main(["states", "R448A", "--units", "SI", "--columns", "entropy, glide"]) == 0
    shown = capsys.readouterr().out
    assert "Liquid entropy, kJ/(kg K)" in " ".join(shown.split()) and "Bubble pressure" not in shown
    assert main(["states", "R448A", "--columns", "entropi"]) == 2
    assert "(did you mean entropy?)" in capsys.readouterr().err
    everything = "pressure, absolute, glide, density, latent_heat, enthalpy, entropy"
    # Too wide for a letter page, so the paper is turned; the first page has rows of the table.
    assert main(["states", "R448A", "--columns", everything, "--output", "wide.pdf"]) == 0
    page = PdfReader("wide.pdf").pages[0]
    assert page.mediabox.width > page.mediabox.height and "Vapor" in page.extract_text()
    assert main(["states", "R448A", "--columns", "glide, enthalpy", "--output", "glide.pdf"]) == 0
    text = " ".join(" ".join(own.extract_text() for own in PdfReader("glide.pdf").pages).split())
    # What is not printed is not explained.
    assert "Glide: dew temperature" in text and "use the dew column" not in text and "Liquid density is" not in text
    assert main(["states", "R448A", "--columns", "pressure, absolute, enthalpy, entropy", "--output", "sheet.pdf"]) == 0
    text = PdfReader("sheet.pdf").pages[0].extract_text()
    assert all(word in text for word in ("psia", "psig", "Btu/(lb °F)", "Vapor"))
