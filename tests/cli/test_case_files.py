"""Cases from a file: the same answers as options, one document for many, and what is wrong with one by its line."""

from __future__ import annotations

import csv
import inspect
import io
import json
from pathlib import Path

import pytest

import tablegen
from tablegen.api._questions import QUESTIONS, as_asked
from tablegen.cli.main import main
from tablegen.config.case_file import CASE_MODELS
from tablegen.config.document import read_document
from tablegen.report.json_export import as_object
from tests.demo import CATALOGUE

WHERE = ("--catalogue", str(CATALOGUE))
MANY = """\
application: walk_in_medium
sst: 24 degF
cases:
  - name: Store 12, rack B
    refrigerant: R448A
    load: 20 kBtu/h
    set: {losses.lift: 20 ft}
  - refrigerant: R448
    load: 9 kBtu/h
  - refrigerant: R404A
    load: 9 kBtu
  - refrigerant: R404A
    lod: 9 kBtu/h
  - refrigerant: R404A
    load: 9 kBtu/h
    set: ["losses.lift=20"]
  - {refrigerant: R404A, load: 9 kBtu/h, sst: 95 degF}
  - just a text
  - refrigerant: R134a
    load: 9 kBtu/h
    date: 2026-12-01
  - {refrigerant: R404A}
"""


def written(folder: Path, text: str, name: str = "cases.yaml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_a_file_has_the_keys_of_the_functions():
    for command, model in CASE_MODELS.items():
        own = set(QUESTIONS[command].__dataclass_fields__)
        assert set(model.model_fields) == own
        parameters = set(inspect.signature(getattr(tablegen, command)).parameters)
        assert own - {"name", "date"} == parameters - {"case", "jobs", "record", "catalogue", "units"}


# A case as a file has it, and as options have it.
SAME = {
    "pick": (
        "{refrigerant: 448A, sst: 24F, load: 20 MBH, application: walk_in_medium, split: '40 %, 60 %', job: 7, quantity: 2}",
        (
            "R448A",
            "--sst",
            "24 degF",
            "--load",
            "20 kBtu/h",
            "--application",
            "walk_in_medium",
            "--split",
            "40 %, 60 %",
            "--job",
            "7",
            "--quantity",
            "2",
        ),
    ),
    "convert": (
        "{refrigerant: R448A, capacity: 5 kW, condensing: 95 degF, basis: dew, subcooling: 5 K, sst: 24F,"
        " application: walk_in_medium, back: true}",
        (
            "R448A",
            "--capacity",
            "5 kW",
            "--condensing",
            "95 degF",
            "--basis",
            "dew",
            "--subcooling",
            "5 K",
            "--sst",
            "24F",
            "--application",
            "walk_in_medium",
            "--back",
        ),
    ),
    "retrofit": (
        "{family: alder, size: 63, refrigerant: R404A, sst: 24F, load: 11 MBH, application: walk_in_medium, turns: 1.5,"
        " was-set: {losses: {lift: 20 ft}}}",
        (
            "alder",
            "63",
            "--refrigerant",
            "R404A",
            "--sst",
            "24F",
            "--load",
            "11 MBH",
            "--application",
            "walk_in_medium",
            "--turns",
            "+1.5",
            "--was-set",
            "losses.lift=20 ft",
        ),
    ),
    "trace": (
        "{family: alder, size: 90, refrigerant: R448A, sst: 24F, application: walk_in_medium, limit: maximum}",
        ("alder", "90", "R448A", "--sst", "24F", "--application", "walk_in_medium", "--limit", "maximum"),
    ),
}


@pytest.mark.parametrize("command", SAME)
def test_a_case_in_a_file_is_that_of_the_options(command, tmp_path, capsys):
    text, arguments = SAME[command]
    path = written(tmp_path, text)
    code = main([command, "--case", str(path), *WHERE])
    from_file = capsys.readouterr()
    assert main([command, *arguments, *WHERE]) == code
    assert from_file == capsys.readouterr()
    assert str(getattr(tablegen, command)(case=path, catalogue=CATALOGUE)) == from_file.out.rstrip("\n")


def test_options_come_before_the_file(tmp_path, capsys):
    path = written(tmp_path, SAME["retrofit"][0])
    asked = ("--load", "12 MBH", "--static-superheat", "4 delta_degF", "--set", "losses.lift=5 ft")
    assert main(["retrofit", "alder", "90", "--case", str(path), *asked, *WHERE]) in (0, 1)
    shown = capsys.readouterr().out
    charges = read_document(CATALOGUE.parent / "families" / "alder.yaml").data["charges"]
    [own] = [
        one for one in charges if "R404A" in one["refrigerants"] and "medium_temperature" in one["temperature_ranges"]
    ]
    factory = own["setting"]["static_superheat"].removesuffix(" delta_degF")
    # The other way to set the spring takes the place of the file's.
    for part in (
        "Alder 90 on R404A",
        "12.0 kBtu/h",
        f"4 °F, {factory} °F at the factory setting",
        "losses.lift=5 ft",
        "lift=20 ft",
    ):
        assert part in shown


def test_many_cases_are_one_document_and_a_bad_one_stops_no_other(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    written(tmp_path, MANY)
    out = tmp_path / "all.csv"
    assert main(["pick", "--case", "cases.yaml", *WHERE, "--csv", str(out), "--json"]) == 2
    shown, err = capsys.readouterr()
    lines = err.splitlines()
    expected = [
        ("cases.yaml:8: refrigerant: 'R448' is not allowed", "(did you mean R448A?)"),
        ("cases.yaml:11: load: '9 kBtu' is not allowed", "(did you mean kBtu/h?)"),
        ("cases.yaml:13: lod: the key is not known", "(did you mean load?)"),
        ("cases.yaml:16: set: losses.lift: 20 is not allowed; it has no unit", ""),
        ("cases.yaml:17: sst: '95 degF' is not allowed; it must be at least -76 degF", ""),
        ("cases.yaml:18: cases[6]: ", ""),
        ("cases.yaml:22: load: it is missing", ""),
    ]
    assert len(lines) == len(expected)
    for line, (start, end) in zip(lines, expected, strict=True):
        assert line.startswith(start) and line.endswith(end)
    document = json.loads(shown)
    assert list(document["sections"]) == ["case_1", "case_8", "not_answered"]
    alone = tablegen.pick("R134a", sst="24 degF", load="9 kBtu/h", application="walk_in_medium", catalogue=CATALOGUE)
    own = document["sections"]["case_8"]
    assert own["tables"] == as_object(alone)["tables"] and own["facts"]["case_date"] == "2026-12-01"
    rows = list(csv.DictReader(io.StringIO(out.read_text(encoding="utf-8"))))
    assert {(row["case_number"], row["case_name"]) for row in rows} == {("1", "Store 12, rack B"), ("8", "")}
    answer = tablegen.pick(case="cases.yaml", catalogue=CATALOGUE)
    assert len(answer.problems) == len(expected) and "overrides: losses.lift" in answer.problems[3]


@pytest.mark.slow
@pytest.mark.parametrize("ending", ["pdf", "html", "txt"])
def test_many_cases_are_written_in_every_medium(ending, tmp_path, capsys):
    path = written(
        tmp_path,
        "family: alder\nsst: 24F\napplication: walk_in_medium\nrefrigerant: R448A\ncases:\n"
        "  - {size: 90}\n  - {size: 63, limit: minimum}\n",
    )
    out = tmp_path / f"sheet.{ending}"
    assert main(["trace", "--case", str(path), *WHERE, "--output", str(out)]) == 0
    capsys.readouterr()
    assert out.stat().st_size > 1000


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("cases: []\n", "cases.yaml:1: cases: it must be a list of cases"),
        ("cases: text\n", "cases.yaml:1: cases: it must be a list of cases"),
        (
            "load: 5 kW\n--load: 6 kW\n",
            "cases.yaml:2: --load: the key 'load' is given twice, first in line 1; give each key once",
        ),
        ("- a\n", "cases.yaml:1: "),
        ("load: [\n", "cases.yaml:2: "),
        ("load: 5 kW\n", "cases.yaml:1: refrigerant: it is missing"),
        ("load: 5900\n", "cases.yaml:1: load: 5900 is not allowed; it has no unit"),
        ("date: soon\n", "cases.yaml:1: date: 'soon' is not allowed"),
        ("quantity: many\n", "cases.yaml:1: quantity: 'many' is not allowed; must be a whole number"),
        ("split: {a: 1}\n", "cases.yaml:1: split: "),
        ("catalogue: other\n", "cases.yaml:1: catalogue: the key is not known"),
    ],
)
def test_a_file_that_cannot_be_used_is_one_line(text, message, tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    written(tmp_path, text)
    assert main(["pick", "--case", "cases.yaml", *WHERE]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.startswith(message) and err.count("\n") == 1


def test_without_a_file_what_is_missing_is_named(capsys):
    assert main(["retrofit", "alder", "--sst", "24F", *WHERE]) == 2
    assert capsys.readouterr().err == "missing: --refrigerant, --load; give them, or a file of cases with --case\n"
    with pytest.raises(tablegen.RequestError, match=r"^load: it is missing$"):
        tablegen.pick("R448A", sst="24F", catalogue=CATALOGUE)


def test_what_was_given_in_si_is_asked_again_with_units():
    asked = QUESTIONS["pick"](refrigerant="R448A", sst=297.25, load=5900.0, capillary=3.048, split=(2000.0, 3900.0))
    assert as_asked(asked) == {
        "refrigerant": "R448A",
        "sst": "297.25 K",
        "load": "5900 W",
        "capillary": "3.048 m",
        "split": ["2000 W", "3900 W"],
    }


def test_what_is_wrong_with_an_option_is_said_of_the_option(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    written(tmp_path, SAME["trace"][0])
    assert main(["trace", "--case", "cases.yaml", "--set", "losses.lift=20", *WHERE]) == 2
    assert capsys.readouterr().err.startswith("--set: losses.lift: 20 is not allowed; it has no unit")
    assert main(["trace", "--case", "cases.yaml", "--sst", "95 degF", *WHERE]) == 2
    assert capsys.readouterr().err.startswith("cases.yaml:1: --sst: '95 degF' is not allowed")
