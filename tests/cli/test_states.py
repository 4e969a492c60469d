"""`tablegen states`: the table in text, CSV and print, in any units, and what it refuses."""

import csv
import io
from pathlib import Path

import pytest
from pypdf import PdfReader

from tablegen.cli import main
from tests.registry import refrigerant, registry

PSI_PA = 0.45359237 * 9.80665 / 0.0254**2
ATMOSPHERE_PA = 101325.0


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def table(text: str) -> list[list[str]]:
    """The rows of figures of a printed text, true minus signs as hyphens."""
    lines = [line.replace("\N{MINUS SIGN}", "-").split() for line in text.splitlines()]
    return [words for words in lines if len(words) >= 5 and words[0].lstrip("-").isdigit()]


def test_text_holds_the_figures_of_the_refrigerant(capsys):
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
    for words in ("A1 (lower toxicity", "1387 (AR4)", "Bubble pressure", "Dew pressure", "Glide", "licensed practice",
                  "gauge, at an atmospheric pressure of 14.696 psi absolute", "pressure 1.5 %"):  # fmt: skip
        assert words in shown


def test_csv_says_its_units_and_holds_the_same_states(capsys):
    units = ["--temperature", "K", "--pressure", "kPa_absolute", "--density", "kg/m3", "--enthalpy", "J/kg"]
    grid = ["--coldest", "250 K", "--warmest", "300 K", "--step", "25 K"]
    assert main(["states", "R404A", "R134a", "--csv", *grid, *units]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert [r["refrigerant"] for r in rows] == ["R404A"] * 3 + ["R134a"] * 3
    for row in rows:
        dew = refrigerant(row["refrigerant"]).dew(float(row["temperature_K"]))
        assert float(row["dew_pressure_kPa_absolute"]) * 1e3 == pytest.approx(float(dew.pressure_pa), rel=1e-6)
        assert float(row["vapour_density_kg_per_m3"]) == pytest.approx(float(dew.density_kg_m3), rel=1e-6)
    assert {r["glide_K"] for r in rows if r["refrigerant"] == "R134a"} == {"0"}


def test_sheet_is_printed_and_reads_back(capsys):
    assert main(["states", "R455A", "--units", "SI", "--paper", "a4", "--output", "sheet.pdf"]) == 0
    assert capsys.readouterr().out == "sheet.pdf: 1 page\n"
    text = PdfReader("sheet.pdf").pages[0].extract_text(extraction_mode="layout").replace("\N{MINUS SIGN}", "-")
    row = next(words for words in map(str.split, text.splitlines()) if words[:1] == ["20.0"])
    bubble_pa = float(refrigerant("R455A").bubble(293.15).pressure_pa)
    assert float(row[1]) == pytest.approx((bubble_pa - ATMOSPHERE_PA) / 1e5, abs=5e-3)
    assert row[-1] == "20.0"
    for words in ("It burns (safety group A2L)", "148 (AR4)", "R744 3, R32 21.5, R1234yf 75.5"):
        assert words in text


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
    assert [line.split()[0] for line in lines] == sorted(registry())
    assert any(line.startswith("R717") and "B2L" in line for line in lines)


def test_own_refrigerants_are_found(tmp_path, capsys):
    own = tmp_path / "mine" / "refrigerants"
    own.mkdir(parents=True)
    packaged = Path(__file__).resolve().parents[2] / "configs" / "refrigerants" / "R410A.yaml"
    (own / "Mine-1.yaml").write_text(packaged.read_text(encoding="utf-8").replace("R410A", "Mine-1"), encoding="utf-8")
    assert main(["states", "Mine-1", "--configs", "mine", "--csv"]) == 0
    assert capsys.readouterr().out.splitlines()[1].startswith("Mine-1,-60,")


@pytest.mark.parametrize(
    ("arguments", "parts"),
    [
        (["R48A"], ("'R48A' is not a refrigerant", "did you mean R448A?")),
        (["r448a"], ("did you mean R448A?",)),
        (["R448A", "--pressure", "psi"], ("unit: 'psi' is not allowed", "did you mean psi_gauge or psi_absolute?")),
        (["R448A", "--coldest", "-40"], ("--coldest: -40 is not allowed", "it has no unit")),
        (["R448A", "--coldest", "-40 F"], ("--coldest: '-40 F' is not allowed", "did you mean degF?")),
        (["R448A", "--step", "5 degF"], ("--step: '5 degF' is not allowed", "did you mean delta_degF?")),
        (["R448A", "--step", "0 K"], ("the step between temperatures must be positive",)),
        (["R448A", "--step", "0.001 K"], ("at most 2000",)),
        (["R448A", "--coldest", "80 degF", "--warmest", "20 degF"], ("must not lie above the warmest",)),
        (["R744", "--coldest", "100 degF"], ("R744: no saturation between", "critical point 87.8 degF (31.0 degC)")),
        (["R448A", "--site-pressure", "0 psi_gauge"], ("--site-pressure", "an atmospheric pressure is absolute")),
        (["R448A", "--output", "table.docx"], ("must end in .txt, .csv or .pdf",)),
        (["R448A", "--configs", "nowhere"], ("--configs: nowhere holds no folder 'refrigerants'",)),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_mistakes_are_one_line_and_code_2(arguments, parts, capsys, tmp_path):
    assert main(["states", *arguments]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    (line,) = captured.err.splitlines()
    for part in parts:
        assert part in line
    assert list(tmp_path.iterdir()) == []
