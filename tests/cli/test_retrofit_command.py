"""`tablegen retrofit`: what it says, its exit codes, what it refuses, and the sheet that it leaves."""

from __future__ import annotations

import io
import json
import re
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

import tablegen
from tablegen.cli.main import main
from tablegen.report.json_export import to_json
from tablegen.report.pdf import answer_sheet
from tests.demo import page_texts
from tests.report.text_boxes import problems
from tests.us_units import W_PER_KBTU
from tests.worked import WORKED, copy_of_worked

SST, FIXED = ("--sst", "24 degF"), ("--was-application", "walk_in_medium_fixed")
# It held at a fixed head and starves at a floating one.
STARVING = (
    "alder",
    "63",
    "--refrigerant",
    "R404A",
    *SST,
    "--load",
    "14 kBtu/h",
    *FIXED,
    "--set",
    "low_head.head_pressure=120 psi_gauge",
)
FLOODING = ("alder", "45", "--refrigerant", "R448A", "--was", "R404A", *SST, "--load", "15 kBtu/h", *FIXED)
HUNTING = ("alder", "180", "--refrigerant", "R404A", *SST, "--load", "16 kBtu/h", *FIXED)
ROWAN = ("rowan", "6.3", "--refrigerant", "R507A", "--was", "R404A", *SST, "--load", "18 kBtu/h")
DRIVEN = (
    "hazel",
    "100",
    "--refrigerant",
    "R448A",
    *SST,
    "--load",
    "20 kBtu/h",
    "--set",
    "low_head.head_pressure=100 psi_gauge",
)
HOLDING = ("larch", "125", "--refrigerant", "R448A", *SST, "--load", "15 kBtu/h")
LONG = (
    "alder",
    "63",
    "--refrigerant",
    "R454C",
    "--was",
    "R404A",
    *SST,
    "--load",
    "20 kBtu/h",
    "--set",
    "suction.response=stricter",
    "--set",
    "suction.box_difference=10 delta_degF",
    "--set",
    "compressor.minimum_capacity=50 percent",
)


def told(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    where = [] if "--application" in arguments else ["--application", "walk_in_medium"]
    code = main(["retrofit", *arguments, *where, "--catalogue", str(WORKED)])
    out, err = capsys.readouterr()
    return code, out, err


def test_what_starves_is_told_with_its_heads_and_what_would_hold(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = told(capsys, *STARVING)
    assert (code, err) == (1, "")
    flat = " ".join(out.split())
    assert (
        "Alder 63 does not cover 14.0 kBtu/h: it starves the evaporator from 120 to 123 psig. It covers the load "
        "from 123 to 292 psig." in flat
    )
    assert "In the old system it covers 14.0 kBtu/h at every head pressure from 220 to 292 psig." in flat
    assert "120–123 starves the evaporator: the valve is open to its mechanical stop; at 120 psig" in flat
    assert "it passes 97 % of the load" in flat
    assert "With the low head set to 124 psig or more it covers the load at every head pressure" in flat
    assert "This differs from the 123 psig above: between the operating conditions subcooling is interpolated" in flat
    assert "cross-404-medium (fitted) 90 8.91–19.4 1.39 cross-404-medium (fitted) 125 12.4–26.9" in flat
    assert re.search(r"Changed +– +low_head.head_pressure=120 psi_gauge", out)
    for words in ("licensed technician", "selection of real equipment", "rating point", "revision A of 2026-11-25"):
        assert words in flat
    assert max(len(line) for line in out.splitlines()) <= 110


def test_where_it_starves_within_its_stop_the_superheat_is_needed_and_not_reached(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The figure beside it is what the valve passes at the maximum: the window's maximum load over the load."""
    asked = (
        "alder",
        "63",
        "--refrigerant",
        "R404A",
        *SST,
        "--load",
        "13.2 kBtu/h",
        "--set",
        "superheat.maximum=7 delta_degF",
    )
    after = json.loads(told(capsys, *asked, "--json")[1])["tables"]["systems"][-1]
    passed = after["max_load_w"] / after["load_w"]
    assert after["low_head_passed"] == pytest.approx(passed, rel=1e-6) and passed < 0.97
    lines = told(capsys, *asked)[1].splitlines()
    column = next(line for line in lines if line.startswith("System ") and line.endswith(" New")).index(" New") + 1
    flat = " ".join(line[column:].strip() for line in lines)
    needed = f"{1.8 * after['low_head_superheat_k']:.1f}"
    assert f"starves the evaporator; it would need {needed} °F superheat" in flat
    assert f"at the maximum of 7 °F it passes {100 * passed:.0f} % of the load" in flat


def test_flooding_is_told_against_the_minimum_load(capsys: pytest.CaptureFixture[str]) -> None:
    flat = " ".join(told(capsys, *FLOODING)[1].split())
    assert "at 301 psig the load is 49 % of the minimum load" in flat
    assert not re.search(r"\b(holds|mends|starves the evaporator)\b", flat)


def test_that_a_higher_low_head_does_not_help_is_said_plainly(capsys: pytest.CaptureFixture[str]) -> None:
    flat = " ".join(told(capsys, "alder", "63", *ASKED, "--load", "40 kBtu/h")[1].split())
    assert "Raising the low head, up to the head pressure of the rating point, does not help." in flat


def test_the_setting_as_it_is_printed_holds_and_the_step_below_it_does_not(capsys: pytest.CaptureFixture[str]) -> None:
    codes = [told(capsys, *STARVING[:-1], f"low_head.head_pressure={psi} psi_gauge")[0] for psi in (123, 124)]
    assert codes == [1, 0]
    out = told(capsys, *STARVING, "--units", "SI")[1]
    bar = next(float(w) for line in out.splitlines() if "low head set to" in line for w in line.split() if "." in w[:3])
    codes = [told(capsys, *STARVING[:-1], f"low_head.head_pressure={v:.2f} bar_gauge")[0] for v in (bar - 0.01, bar)]
    assert codes == [1, 0]


def test_another_refrigerant_is_told_by_dew_pressure_and_static_superheat(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = told(capsys, *FLOODING)
    flat = " ".join(out.split())
    assert code == 1
    assert (
        "the dew pressure of R448A is 63 psia, that of R404A 75 psia: the pressure that closes the valve is 11.9 psi lower"
        in flat
    )
    assert "it opens at less superheat. Static superheat is −6.4 °F instead of 2.9 °F." in flat
    assert "below the minimum of 2 °F for this charge: the valve stays open without any superheat" in flat
    assert "The charge is meant for R404A and R507A, not for R448A." in flat
    assert "No size of Alder with the fitted charge would cover the load." in flat
    assert "cross-448-medium 63 8.88–22.3 1.49" in flat
    assert "the same compressor has a different capacity with another refrigerant" in flat


@pytest.mark.slow
def test_static_superheat_below_the_floor_is_told_although_a_load_is_held(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """1.1 degF on R290 is less than the 2 degF that the family holds the charge to, and it burns."""
    asked = ["alder", "63", "--refrigerant", "R290", "--was", "R448A", *SST, "--load", "20 kBtu/h"]
    assert told(capsys, *asked)[2] == (
        "Alder is not offered for R290: Not approved for R290 (A3); approved for safety groups A1, A2L.\n"
    )
    copy_of_worked(tmp_path / "mine")
    family = tmp_path / "mine" / "families" / "alder.yaml"
    text = family.read_text(encoding="utf-8")
    assert "[A1, A2L]" in text
    family.write_text(text.replace("[A1, A2L]", "[A1, A2L, A3]"), encoding="utf-8")
    where = ["--application", "walk_in_medium", "--catalogue", str(tmp_path / "mine" / "catalogue.yaml")]
    assert main(["retrofit", *asked, *where]) == 0
    out = capsys.readouterr().out
    flat = " ".join(out.split())
    assert "is 1.1 °F, below the minimum of 2 °F for this charge: the valve may open without superheat" in flat
    assert "R290 is flammable (safety group A3): do not charge it into equipment that was not made for it" in flat
    assert "R290 has no head pressure settings in the catalogue: its low head is taken at the condensing" in flat


def test_exit_codes_are_those_of_a_script(capsys: pytest.CaptureFixture[str]) -> None:
    assert [told(capsys, *case)[0] for case in (HOLDING, HUNTING, ROWAN, DRIVEN)] == [0, 1, 1, 1]


def test_json_is_the_whole_answer_in_si(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = told(capsys, *STARVING, "--json")
    record = json.loads(out)
    assert code == 1
    facts, tables = record["facts"], record["tables"]
    assert (facts["covers"], facts["old_covers"]) == (False, True)
    assert [(row["system"], row["zone"]) for row in tables["ranges"]] == [
        ("old", "steady"),
        ("new", "starved"),
        ("new", "steady"),
    ]
    assert tables["ranges"][1]["to_pa"] == tables["ranges"][2]["from_pa"]
    assert facts["charge"] == "cross-404-medium" and facts["sst_k"] == pytest.approx(268.7055556)
    alone = json.loads(told(capsys, *HOLDING, "--json")[1])
    assert [row["system"] for row in alone["tables"]["systems"]] == ["new"]
    assert alone["facts"]["old_covers"] is None and alone["facts"]["covers"] is True
    assert alone["tables"]["systems"][0]["static_superheat_k"] is None


def test_from_python_it_is_the_same_answer(capsys: pytest.CaptureFixture[str]) -> None:
    asked = {
        "refrigerant": "R404A",
        "sst": "24 degF",
        "load": "14 kBtu/h",
        "application": "walk_in_medium",
        "catalogue": WORKED,
        "was_application": "walk_in_medium_fixed",
        "overrides": ["low_head.head_pressure=120 psi_gauge"],
    }
    answer = tablegen.retrofit("alder", "63", **asked)
    assert json.loads(to_json(answer)) == json.loads(told(capsys, *STARVING, "--json")[1])
    zones, systems = answer.frame(), answer.frame("systems")
    assert zones["system"].to_list() == ["old", "new", "new"]
    assert not answer.passed and not systems["covers"].iloc[1]


R744 = ("alder", "45", "--refrigerant", "R744", "--was", "R404A", *SST, "--load", "20 kW")
ASKED = ("--refrigerant", "R404A", *SST)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("aldr", "45", *ASKED, "--load", "5 kW"), "did you mean alder?"),
        (("alder", "46", *ASKED, "--load", "5 kW"), "a size of Alder must be one of 11, 16, 22"),
        (("alder", "45", "--refrigerant", "R404", *SST, "--load", "5 kW"), "did you mean R404A?"),
        (("alder", "45", *ASKED, "--load", "5 kW", "--was", "R4048A"), "did you mean R448A?"),
        (("alder", "45", "--refrigerant", "R404A", "--sst", "24 A", "--load", "5 kW"), "--sst: '24 A' is not allowed"),
        (("alder", "45", *ASKED, "--load", "5 ton_refr"), "did you mean tons?"),
        (("alder", "45", *ASKED, "--load", "0 kW"), "it must be above zero"),
        (("alder", "45", *ASKED, "--load", "20000 kW"), "it must be at least 0 W and at most 10000 kW"),
        (("alder", "45", *ASKED, "--load", "5 kW", "--was-load", "3 kg"), "--was-load: '3 kg' is not allowed"),
        (("alder", "45", "--refrigerant", "R404A", "--sst", "90 degF", "--load", "5 kW"), "at most 86 degF"),
        (("alder", "45", *ASKED, "--load", "5 kW", "--application", "walk_in_medum"), "did you mean walk_in_medium?"),
        (("alder", "45", *ASKED, "--load", "5 kW", "--was-application", "fixed"), "--was-application: 'fixed' is not"),
        (("alder", "45", *ASKED, "--load", "5 kW", "--charge", "cross-404"), "a charge of Alder must be one of"),
        (("alder", "45", *ASKED, "--load", "5 kW", "--set", "low_head.head_pressure=120 psi"), "psi_gauge or psi_abso"),
        (("alder", "45", *ASKED, "--load", "5 kW", "--was-set", "losses.lfit=2 ft"), "--was-set: losses"),
        (("alder", "45", *ASKED, "--load", "5 kW", "--set", "low_head.condensing_temperature=70 degF"), "basis (dew"),
        (
            ("alder", "45", *ASKED, "--load", "5 kW", "--set", "high_head.head_pressure=700 psi_gauge"),
            "walk_in_medium: the high head is not allowed; condensing must stay below 156.4 degF (69.1 degC) with R404A",
        ),
        (R744, "the rating point is not allowed; condensing must stay below 82.4 degF (28.0 degC) with R744"),
        (
            ("alder", "45", "--refrigerant", "R744", *SST, "--load", "5 kW"),
            "no bulb charge of Alder is offered for R744 in medium temp",
        ),
        (("alder", "45", *ASKED, "--load", "5 kW", "--output", "sheet.doc"), "must end in .pdf, .html, .txt or .json"),
        (("alder", "45", *ASKED, "--load", "5 kW", "--output", "nowhere/sheet.pdf"), "'nowhere' does not exist"),
    ],
)
def test_bad_input_is_one_sentence_and_code_2(
    arguments: tuple[str, ...],
    message: str,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    code, out, err = told(capsys, *arguments)
    assert (code, out) == (2, "")
    assert message in err
    assert err.count("\n") == 1 and "Traceback" not in err
    assert list(tmp_path.iterdir()) == []


SHEETS = {
    "starving": STARVING,
    "flooding": FLOODING,
    "hunting": HUNTING,
    "single port": ROWAN,
    "driven": DRIVEN,
    "holding": HOLDING,
    "long": LONG,
}


# Printed unit of each system by exact definition: gauge pressure [Pa], load [W], temperature step [K], and decimals.
UNITS = {"IP": (0.45359237 * 9.80665 / 0.0254**2, W_PER_KBTU, 5.0 / 9.0, 0), "SI": (1e5, 1e3, 1.0, 2)}


def significant(value: float, rounding: str) -> str:
    """Three figures of a load, minimum up and maximum down."""
    number = Decimal(f"{value:.11e}")
    return format(number.quantize(Decimal((0, (1,), number.adjusted() - 2)), rounding=rounding), "f")


def figures_of(side: dict[str, Any], units: str) -> set[str]:
    """What must be read on a sheet of one system of the JSON answer, worked out from its SI figures."""
    pressure, load, step, places = UNITS[units]
    site = side["site_pressure_pa"]

    def gauge(pascal: float) -> str:
        return f"{(pascal - site) / pressure:.{places}f}"

    conditions = ("low_head", "rating", "high_head")
    openings, heads_k = ([side[f"{c}_{key}"] for c in conditions] for key in ("opening", "superheat_k"))
    found = {gauge(side[f"{condition}_pressure_pa"]) for condition in conditions}
    found |= {f"{100 * opening:.0f} % open" for opening in openings if opening is not None}
    superheats = [kelvin for kelvin in heads_k if kelvin is not None and kelvin > 0]
    superheats += [] if side["static_superheat_k"] is None else [side["static_superheat_k"]]
    found |= {f"{k / step:.1f}".replace("-", "−") for k in superheats}
    if side["min_load_w"] is not None:
        minimum = significant(side["min_load_w"] / load, ROUND_CEILING)
        found.add(f"{minimum}–{significant(side['max_load_w'] / load, ROUND_FLOOR)}")
    return found


# Each in inches and pounds; in SI the longest, the others are slow.
PRINTED = [
    pytest.param(name, *of, marks=[pytest.mark.slow] if "SI" in of and name != "long" else [])
    for of in (("IP", "Letter"), ("SI", "A4"))
    for name in SHEETS
]


@pytest.mark.parametrize(("name", "units", "paper"), PRINTED)
def test_the_sheet_is_one_page_with_the_figures_of_the_answer(
    name: str, units: str, paper: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    sheet = tmp_path / "sheet.pdf"
    asked = (*SHEETS[name], "--units", units, "--paper", paper, "--output", str(sheet), "--json")
    _, out, err = told(capsys, *asked)
    record = json.loads(out)
    pdf = sheet.read_bytes()
    assert err == "" and problems(pdf) == []
    pages = page_texts(pdf)
    # The longest answer of all goes on.
    assert len(pages) == 1 or (name == "long" and len(pages) == 2)
    flat = " ".join(" ".join(pages).replace("\N{NO-BREAK SPACE}", " ").split())
    tables, pressure, places = record["tables"], UNITS[units][0], UNITS[units][3]
    figures = set().union(*(figures_of(system, units) for system in tables["systems"]))
    site = tables["systems"][-1]["site_pressure_pa"]
    for zone in tables["ranges"]:
        if zone["system"] == "new":
            ends = [f"{(zone[end] - site) / pressure:.{places}f}" for end in ("from_pa", "to_pa")]
            figures.add("–".join(ends))
    for candidate in tables["other_sizes"][: 0 if record["facts"]["covers"] else 3]:
        minimum = significant(candidate["min_load_w"] / UNITS[units][1], ROUND_CEILING)
        figures.add(f"{candidate['size']} {minimum}–")
    assert len(figures) > 6
    assert {figure for figure in figures if figure not in flat} == set()
    for word in ("rating point", "licensed technicians", "revision A of 2026-11-25"):
        assert word in flat
    assert "Demonstration with invented valves; not for the selection of real equipment." in flat
    box = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    wanted = (612.0, 792.0) if paper == "Letter" else (595.3, 841.9)
    assert (float(box.width), float(box.height)) == pytest.approx(wanted, abs=0.1)


def test_the_same_question_gives_the_same_bytes(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    files = [tmp_path / "first.pdf", tmp_path / "second.pdf"]
    outs = [told(capsys, *FLOODING, "--output", str(file))[1].splitlines() for file in files]
    assert files[0].read_bytes() == files[1].read_bytes()
    assert outs[0][:-1] == outs[1][:-1]
    assert outs[0][-1] == f"{files[0]}: 1 page"


def test_the_last_good_sheet_survives(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheet = tmp_path / "sheet.pdf"
    sheet.write_bytes(b"the last good one")
    assert told(capsys, *R744, "--output", str(sheet))[0] == 2

    def fails(answer: object, paper: str, target: Path) -> int:
        target.write_bytes(b"half a sheet")
        raise OSError(28, "No space left on device", str(target))

    monkeypatch.setattr(answer_sheet, "print_answer", fails)
    code, out, err = told(capsys, *STARVING, "--output", str(sheet))
    assert (code, out) == (2, "")
    assert "--output: " in err and "nothing was replaced" in err and err.count("\n") == 1
    assert sheet.read_bytes() == b"the last good one"
    assert [p.name for p in tmp_path.iterdir()] == ["sheet.pdf"]
