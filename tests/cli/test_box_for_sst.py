"""`--box` in place of `--sst`: the same answers, both shown in every medium, and what is refused."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pypdfium2
import pytest

import tablegen
from tablegen.cli.main import main
from tests.small import small_catalogue
from tests.worked import WORKED

WHERE = ("--catalogue", str(WORKED))
COOLER = ("--application", "walk_in_medium")
LOAD = ("--load", "20 kBtu/h")
STATED = ("--capacity", "20 MBH", "--condensing", "110F", "--basis", "bubble", "--liquid", "90F")
COMMANDS = {
    "pick": ("pick", "R448A", *LOAD, *COOLER),
    "convert": ("convert", "R448A", *STATED, *COOLER),
    "retrofit": ("retrofit", "alder", "63", "--refrigerant", "R448A", *LOAD, *COOLER),
    "trace": ("trace", "alder", "90", "R448A-family", *COOLER),
}


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = main([*arguments])
    out, err = capsys.readouterr()
    return code, out.replace("\N{NO-BREAK SPACE}", " "), err


@pytest.mark.parametrize("command", COMMANDS)
def test_a_box_gives_the_answer_of_its_sst(command, capsys):
    """Common practice: a 35 °F cooler at a TD of 10 °F evaporates at 25 °F."""
    code, by_box, err = run(capsys, *COMMANDS[command], "--box", "35F", *WHERE)
    by_sst = run(capsys, *COMMANDS[command], "--sst", "25F", *WHERE)
    assert (code, by_box, err) == by_sst and code in (0, 1)
    facts = dict(line.split(maxsplit=1) for line in by_box.splitlines() if line.startswith(("Box ", "SST ")))
    assert facts == {"Box": "35 °F, TD 10 °F (the application's default)", "SST": "25 °F"}
    given = run(capsys, *COMMANDS[command], "--box", "37F", "--coil-difference", "12 delta_degF", *WHERE)[1]
    assert "37 °F, TD 12 °F (as given)" in given
    shown = (line for line in given.splitlines() if not line.startswith("Box"))
    assert list(shown) == [line for line in by_sst[1].splitlines() if not line.startswith("Box")]


def test_a_freezer_needs_no_application_where_one_covers_its_box(capsys):
    """Common practice: a -10 °F freezer at a TD of 10 °F evaporates at -20 °F."""
    code, out, _ = run(capsys, "pick", "R407C", "--box", "-10F", "--load", "5 kBtu/h", *WHERE)
    flat = " ".join(out.split())
    assert code == 0 and out.startswith("R407C at SST −20 °F (dew)")
    assert "the only application with a valve for this refrigerant at this box temperature" in flat
    assert "Box −10 °F, TD 10 °F (the application's default) SST −20 °F" in flat


def test_in_si(capsys):
    """By hand: a box of 2 °C at a TD of 6 K evaporates at -4 °C."""
    asked = ("--box", "2 degC", "--coil-difference", "6 K", "--units", "SI", *WHERE)
    flat = " ".join(run(capsys, *COMMANDS["pick"], *asked)[1].split())
    assert "Box 2 °C, TD 6 K (as given) SST −4 °C" in flat


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        (("--box", "34F", "--sst", "24F"), "--box: give either --sst or --box, not both"),
        (("--sst", "24F", "--coil-difference", "10 delta_degF"), "--coil-difference: used only with --box"),
        (("--box", "35"), "--box: 35 is not allowed; it has no unit"),
        (("--box", "300F"), "--box: '300F' is not allowed; it must be at least -70 degF and at most 120 degF"),
        (("--box", "35F", "--coil-difference", "0.5 delta_degF"), "it must be at least 1 delta_degF and at most 40"),
        (("--box", "35F", "--coil-difference", "41 delta_degF"), "it must be at least 1 delta_degF and at most 40"),
        (
            ("--box", "70F"),
            "--box: the SST at a TD of 10.0 °F (5.6 K) is not covered: walk_in_medium covers an SST of 10",
        ),
        ((), "missing: --sst or --box; "),
    ],
)
@pytest.mark.parametrize("command", COMMANDS)
def test_what_is_refused_is_one_line(command, asked, message, capsys):
    code, out, err = run(capsys, *COMMANDS[command], *asked, *WHERE)
    assert (code, out) == (2, "") and message in err and err.count("\n") == 1


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        (("R404A", "--box", "15F"), "an SST of 5.0 degF (-15.0 degC), outside 10 to 40 degF (-12.2 to 4.4 degC)"),
        (("R404A", "--box", "35F"), "several applications cover a box temperature of 35.0 degF (1.7 degC) for R404A: "),
        (("R134a", "--box", "0F"), "walk_in_low covers it, but has no valve for R134a: Offered for coolers only"),
        (
            ("R407C", "--box", "0F", "--set", "coil_temperature_difference=12 delta_degF"),
            "coil_temperature_difference is changed, but no application is named",
        ),
    ],
)
def test_a_box_without_application_is_refused_with_what_would_do(asked, message, capsys):
    code, out, err = run(capsys, "pick", *asked, *LOAD, *WHERE)
    assert (code, out) == (2, "") and message in err and err.count("\n") == 1


def test_an_application_without_a_difference_shows_no_box_and_needs_one(tmp_path, capsys):
    edit = ("applications/walk_in_medium.yaml", "coil_temperature_difference: 10 delta_degF", "")
    file = small_catalogue(tmp_path / "own", ["alder"], {"R134a": ["R134a"]}, ["walk_in_medium"], [edit], WORKED.parent)
    asked = ("pick", "R134a", "--load", "5 kBtu/h", "--catalogue", str(file))
    out = run(capsys, *asked, "--sst", "20F")[1]
    assert "Load" in out and "Box" not in out
    for named in ((), COOLER):
        code, _, err = run(capsys, *asked, *named, "--box", "30F")
        assert code == 2 and "walk_in_medium states no coil_temperature_difference" in err
        assert "--coil-difference" in err and err.count("\n") == 1
    assert "30 °F, TD 10 °F (as given)" in run(capsys, *asked, "--box", "30F", "--coil-difference", "10 delta_degF")[1]


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS)
def test_every_medium_has_both(command, tmp_path, capsys):
    files = {ending: tmp_path / f"a.{ending}" for ending in ("csv", "html", "pdf")}
    asked = (*COMMANDS[command], "--box", "35F", *WHERE)
    main([*asked, "--csv", str(files["csv"]), "--output", str(files["html"])])
    main([*asked, "--output", str(files["pdf"])])
    capsys.readouterr()
    facts = json.loads(run(capsys, *asked, "--json")[1])["facts"]
    # 35 °F, 10 °F and 25 °F in kelvin, by hand.
    assert [facts[key] for key in ("box_k", "coil_difference_k", "sst_k")] == pytest.approx(
        [274.81667, 5.55556, 269.26111]
    )
    assert facts["box_was_given"] is True and facts["coil_difference_was_given"] is False
    rows = list(csv.DictReader(files["csv"].read_text(encoding="utf-8-sig").splitlines()))
    assert {(row["box_k"][:7], row["coil_difference_k"][:5], row["sst_k"][:7]) for row in rows} == {
        ("274.816", "5.555", "269.261")
    }
    page = pypdfium2.PdfDocument(files["pdf"])[0].get_textpage().get_text_range()
    for text in (files["html"].read_text(encoding="utf-8"), page):
        plain = text.replace("\N{NO-BREAK SPACE}", " ").replace("&nbsp;", " ").replace("&#x27;", "'")
        assert "35 °F, TD 10 °F" in plain and "25 °F" in plain


def written(folder: Path, text: str) -> Path:
    path = folder / "cases.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_case_of_a_box_takes_the_place_of_the_sst_of_all_and_an_option_of_both(tmp_path, capsys):
    path = written(
        tmp_path,
        "{application: walk_in_medium, refrigerant: R448A, load: 20 MBH, sst: 24F, cases: [{box: 35F}, {job: 2}, "
        "{box: 36F, coil_difference: 12 delta_degF}, {box: 35F, sst: 20F}, {coil-difference: 9 K}]}",
    )
    found = tablegen.pick(case=path, catalogue=WORKED)
    boxes = [line for line in str(found).replace("\N{NO-BREAK SPACE}", " ").splitlines() if line.startswith("Box")]
    assert [line.split(maxsplit=1)[1].split(" (")[0] for line in boxes] == [
        "35 °F, TD 10 °F",
        "34 °F, TD 10 °F",
        "36 °F, TD 12 °F",
    ]
    both, alone = found.problems
    assert both.endswith("box: give either sst or box, not both") and "cases.yaml:1: " in both
    assert "coil_difference: used only with box" in alone
    assert tablegen.pick(case=path, catalogue=WORKED, sst="24F").problems == ()
    assert tablegen.pick(case=path, catalogue=WORKED, box="35F").problems == ()


def test_a_record_of_a_box_is_answered_from_the_box_again(tmp_path, capsys):
    folder = small_catalogue(
        tmp_path / "own", ["alder"], {"R448A": ["R448A"]}, ["walk_in_medium"], (), WORKED.parent
    ).parent
    for name, given in (("default", ()), ("stated", ("--coil-difference", "10 delta_degF")), ("sst", ())):
        of = ("--sst", "25F") if name == "sst" else ("--box", "35F", *given)
        asked = ("pick", "R448A", *LOAD, *of, "--catalogue", str(folder), "--record", str(tmp_path / name))
        assert main(list(asked)) == 0
    [record] = (tmp_path / "stated").iterdir()
    case = json.loads(record.read_text(encoding="utf-8"))["case"]
    assert case == {"refrigerant": "R448A", "load": "20 kBtu/h", "box": "35F", "coil_difference": "10 delta_degF"}

    def status(name: str) -> str:
        return tablegen.again(tmp_path / name, catalogue=folder).frame()["status"].item()

    assert [status(name) for name in ("default", "stated", "sst")] == ["unchanged"] * 3
    own = folder / "applications" / "walk_in_medium.yaml"
    text = own.read_text(encoding="utf-8")
    own.write_text(
        text.replace("coil_temperature_difference: 10 ", "coil_temperature_difference: 11 "), encoding="utf-8"
    )
    # The default is another, so is the SST of the box; a TD that was stated stands.
    assert status("default") == "figures_changed" and status("stated") == "inputs_changed"
    [row] = tablegen.again(tmp_path / "sst", catalogue=folder).sections[0].table("figures").records()
    assert (row["label"], row["was"][:5], row["now"][:5]) == ("Box", "35 °F", "36 °F")


@pytest.mark.parametrize("written", ["10F", "10 °F", "10 degF", "10 delta_degF", "10 F TD"])
def test_a_difference_is_written_as_the_trade_says_it(written, capsys):
    asked = ["pick", "R448A", "--box", "34F", "--coil-difference", written, "--load", "20 kBtu/h"]
    assert main([*asked, "--application", "walk_in_medium", "--demo"]) == 0
    assert "Box 34 °F, TD 10 °F (as given; limits are computed with it" in " ".join(capsys.readouterr().out.split())
