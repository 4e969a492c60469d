"""The commands as functions: the same answers as the command line, frames in SI, quantities as texts or in SI."""

import ast
import inspect
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pandas as pd
import pytest

import tablegen
from tablegen import errors
from tablegen.cli.main import main
from tablegen.config.document import read_document
from tablegen.report.json_export import to_json
from tests.bench.demo_data import FOLDER
from tests.cli.test_shared_options import COMMANDS, NO_ANSWER
from tests.demo import CATALOGUE, demo_data
from tests.small import small_catalogue

BENCH, PART_NUMBERS, JOBS = FOLDER / "alder.csv", CATALOGUE.parent / "part_numbers.csv", CATALOGUE.parent / "jobs.csv"

CASE = {"sst": "24 degF", "load": "5 kW", "application": "walk_in_medium", "catalogue": CATALOGUE}
CONVERSION = {
    "condensing": "95 degF",
    "basis": "dew",
    "subcooling": "9 delta_degF",
    "sst": "24 degF",
    "application": "walk_in_medium",
    "catalogue": CATALOGUE,
}
OF_CASE = ("--sst", "24 degF", "--application", "walk_in_medium", "--catalogue", str(CATALOGUE))
OF_LOAD = (*OF_CASE, "--load", "5 kW")
LIFT = "losses.lift=20 ft"


def answered(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, object]:
    """The command line's answer as JSON."""
    main([*arguments, "--json"])
    return json.loads(capsys.readouterr().out)


def as_json(answer: tablegen.Answer) -> dict[str, object]:
    return json.loads(to_json(answer))


# A call in Python, and the same at the command line.
SAME = {
    "pick": (lambda: tablegen.pick("R448A", **CASE), ("pick", "R448A", *OF_LOAD)),
    "pick a group": (
        lambda: tablegen.pick("R448A-family", **CASE, overrides=[LIFT], family="alder", units="SI"),
        ("pick", "R448A-family", *OF_LOAD, "--set", LIFT, "--family", "alder", "--units", "SI"),
    ),
    "pick and order": (
        lambda: tablegen.pick(
            "R448A", **CASE, family="alder", capillary="10 ft", quantity=3, job="Store 12", part_numbers=PART_NUMBERS
        ),
        (
            *("pick", "R448A", *OF_LOAD, "--family", "alder", "--capillary", "10 ft", "--quantity", "3"),
            *("--job", "Store 12", "--part-numbers", str(PART_NUMBERS)),
        ),
    ),
    "pick for a box": (
        lambda: tablegen.pick(
            "R448A",
            box="37F",
            coil_difference="12 delta_degF",
            load="5 kW",
            application="walk_in_medium",
            catalogue=CATALOGUE,
        ),
        (
            *("pick", "R448A", "--box", "37F", "--coil-difference", "12 delta_degF", "--load", "5 kW"),
            *("--application", "walk_in_medium", "--catalogue", str(CATALOGUE)),
        ),
    ),
    "pick for a split unit": (
        lambda: tablegen.pick("R448A", **CASE, split=["40 percent", "60 %"]),
        ("pick", "R448A", *OF_LOAD, "--split", "40 percent, 60 %"),
    ),
    "pick for a list of jobs": (
        lambda: tablegen.pick(jobs=JOBS, catalogue=CATALOGUE),
        ("pick", "--jobs", str(JOBS), "--catalogue", str(CATALOGUE)),
    ),
    "convert": (
        lambda: tablegen.convert("R448A", capacity="5 kW", **CONVERSION),
        (
            *("convert", "R448A", *OF_CASE, "--capacity", "5 kW", "--condensing", "95 degF", "--basis", "dew"),
            *("--subcooling", "9 delta_degF"),
        ),
    ),
    "retrofit": (
        lambda: tablegen.retrofit("alder", "45", refrigerant="R448A", was="R404A", **CASE, was_load="4 kW"),
        ("retrofit", "alder", "45", "--refrigerant", "R448A", "--was", "R404A", *OF_LOAD, "--was-load", "4 kW"),
    ),
    "retrofit on a changed system": (
        lambda: tablegen.retrofit(
            "alder",
            "63",
            refrigerant="R404A",
            **CASE,
            overrides=["low_head.head_pressure=120 psig"],
            was_overrides=[LIFT],
            was_application="walk_in_medium_fixed",
        ),
        (
            *("retrofit", "alder", "63", "--refrigerant", "R404A", *OF_LOAD, "--was-set", LIFT),
            *("--set", "low_head.head_pressure=120 psig", "--was-application", "walk_in_medium_fixed"),
        ),
    ),
    "trace": (
        lambda: tablegen.trace(
            "alder", "90", "R448A-family", sst="24 degF", application="walk_in_medium", catalogue=CATALOGUE
        ),
        ("trace", "alder", "90", "R448A-family", *OF_CASE),
    ),
    "trace one limit": (
        lambda: tablegen.trace(
            *("hazel", "250", "R448A"),
            sst="24 degF",
            application="walk_in_medium",
            catalogue=CATALOGUE,
            limit="maximum",
            units="SI",
        ),
        ("trace", "hazel", "250", "R448A", *OF_CASE, "--limit", "maximum", "--units", "SI"),
    ),
    "table": (
        lambda: tablegen.table("alder", "R448A-family", application="walk_in_medium", catalogue=CATALOGUE, units="SI"),
        (
            *("table", "alder", "R448A-family", "--application", "walk_in_medium"),
            *("--catalogue", str(CATALOGUE), "--units", "SI"),
        ),
    ),
    "assumptions": (
        lambda: tablegen.assumptions(
            *("larch", "R448A"), application="walk_in_medium", sst="20 degF", catalogue=CATALOGUE, units="SI"
        ),
        (
            *("assumptions", "larch", "R448A", "--application", "walk_in_medium", "--sst", "20 degF"),
            *("--catalogue", str(CATALOGUE), "--units", "SI"),
        ),
    ),
    "suggest": (
        lambda: tablegen.suggest(["R22", "R-290"], application="walk_in_medium", spread=0.05, catalogue=CATALOGUE),
        (
            *("suggest", "groups", "--refrigerants", "R22,R290", "--application", "walk_in_medium"),
            *("--spread", "5 percent", "--catalogue", str(CATALOGUE)),
        ),
    ),
    "states": (
        lambda: tablegen.states("R134a", "448A", coldest="-40 degF", pressure="kPaa", units="SI"),
        ("states", "R134a", "R448A", "--coldest", "-40F", "--pressure", "kPaa", "--units", "SI"),
    ),
    "diagram": (lambda: tablegen.diagram("448A", units="SI"), ("diagram", "R448A", "--units", "SI", "--demo")),
    "diagram of a valve": (
        lambda: tablegen.diagram(
            "R448A",
            kind="superheat",
            blank=True,
            box="34 degF",
            coil_difference="10 delta_degF",
            load="5 kW",
            application="walk_in_medium",
            overrides=[LIFT],
            family="alder",
            size="90",
            catalogue=CATALOGUE,
        ),
        (
            *("diagram", "R448A", "--kind", "superheat", "--blank", "--box", "34F", "--load", "5 kW", "--set", LIFT),
            *("--coil-difference", "10 delta_degF", "--application", "walk_in_medium", "--family", "alder"),
            *("--size", "90", "--catalogue", str(CATALOGUE)),
        ),
    ),
    "hunt": (
        lambda: tablegen.hunt(
            "alder", "45", "R404A", sst="24 degF", application="walk_in_medium", load="4 kW", catalogue=CATALOGUE
        ),
        ("hunt", "alder", "45", "R404A", *OF_CASE, "--load", "4 kW"),
    ),
    "list of states": (tablegen.states, ("states",)),
    "verify": (
        lambda: tablegen.verify("R134a", "R404A", every=True),
        ("verify", "R134a", "R404A", "--every"),
    ),
    "fit": (
        lambda: tablegen.fit(
            BENCH, law="orifice", confidence=0.9, openings=[0.25, 0.5], date="2026-11-20", catalogue=CATALOGUE
        ),
        (
            *("fit", str(BENCH), "--law", "orifice", "--confidence", "90 percent", "--openings", "25 %, 50 %"),
            *("--date", "2026-11-20", "--catalogue", str(CATALOGUE)),
        ),
    ),
    "fit and plan": (
        lambda: tablegen.fit(BENCH, plan="static_superheat", catalogue=CATALOGUE),
        ("fit", str(BENCH), "--plan", "static_superheat", "--catalogue", str(CATALOGUE)),
    ),
}


@pytest.mark.parametrize("name", SAME)
def test_a_function_answers_as_its_command(name, capsys):
    call, arguments = SAME[name]
    answer = call()
    code = main(list(arguments))
    shown = capsys.readouterr().out
    assert as_json(answer) == answered(capsys, *arguments)
    assert answer.passed == (code == 0)
    assert str(answer) == shown.rstrip("\n")
    assert re.search("<table|<svg", answer._repr_html_()) and not answer.frame().empty


@pytest.mark.parametrize("command", [name for name in COMMANDS if name not in NO_ANSWER])
def test_an_option_is_a_parameter_of_the_function(command):
    options = {action.dest for action in COMMANDS[command]._actions}
    parameters = set(inspect.signature(getattr(tablegen, command.split()[0])).parameters)
    # What is written is the answer's own, as is what a fit found.
    options -= {"help", "demo", "json", "csv", "output", "paper", "fragment"}
    # A terminal shows a bar without being asked; checks of properties have the units of their
    # sources, and records those that they were written in.
    assert (options - parameters, parameters - options) == (
        {"units"} if command in ("verify", "again") else set(),
        {"progress"} if command in ("audit", "compare") else set(),
    )


def test_the_desk_has_a_parameter_for_each_option():
    options = {action.dest for action in COMMANDS["desk"]._actions} - {"help", "demo"}
    assert options == set(inspect.signature(tablegen.desk).parameters)


def test_import_is_a_function_of_another_name_for_python_has_a_word_of_its_own():
    options = {action.dest for action in COMMANDS["import"]._actions} - {"help", "demo"}
    assert options == set(inspect.signature(tablegen.import_tables).parameters)


@pytest.mark.slow
def test_an_audit_and_its_release(capsys, tmp_path):
    folder = small_catalogue(tmp_path / "configs", ["alder"], {"R134a": ["R134a"]}, ["walk_in_medium"])
    assert main(["build", "--catalogue", str(folder), "--output", str(tmp_path)]) == 0
    capsys.readouterr()
    release, asked = tmp_path / "demo", {"box_difference": "10 delta_degF", "units": "SI"}
    answer = tablegen.audit(folder, release=release, **asked)
    arguments = ("audit", "--catalogue", str(folder), "--release", str(release))
    given = (*arguments, "--box-difference", "10 delta_degF", "--units", "SI")
    assert as_json(answer) == answered(capsys, *given)
    assert answer.passed and not tablegen.audit(folder, release=release, strict=True, **asked).passed
    assert (main([*given]), main([*given, "--strict"])) == (0, 1)
    capsys.readouterr()
    compared = tablegen.compare(release, release)
    assert compared.passed and compared.frame().empty
    assert as_json(compared) == answered(capsys, "compare", str(release), str(release))


def test_a_fit_gives_what_it_found_as_keys_of_a_config_file(capsys, tmp_path):
    answer = tablegen.fit(BENCH, catalogue=CATALOGUE)
    assert main(["fit", str(BENCH), "--catalogue", str(CATALOGUE), "--fragment", str(tmp_path / "own.yaml")]) == 0
    capsys.readouterr()
    assert answer.fragment == (tmp_path / "own.yaml").read_text(encoding="utf-8")
    assert "\nsizes:" in answer.fragment
    assert tablegen.states("R134a").fragment == ""


@pytest.mark.parametrize("ending", [".pdf", ".html", ".txt", ".json", ".csv"])
@pytest.mark.parametrize("name", ["pick", "trace one limit", "table"])
def test_an_answer_is_written_as_a_command_writes_it(name, ending, capsys, tmp_path):
    call, arguments = SAME[name]
    by_function, by_command = tmp_path / f"a{ending}", tmp_path / f"b{ending}"
    call().write(by_function)
    assert main([*arguments, "--csv" if ending == ".csv" else "--output", str(by_command)]) == 0
    capsys.readouterr()
    assert by_function.read_bytes() == by_command.read_bytes()


def test_a_file_of_another_kind_is_refused(tmp_path):
    with pytest.raises(tablegen.RequestError, match=r"^path: .* must end in \.pdf, \.html, \.txt, \.json or \.csv$"):
        tablegen.states().write(tmp_path / "list.docx")


@pytest.mark.parametrize(
    ("call", "arguments", "message"),
    [
        (
            lambda: tablegen.pick("R448A", **{**CASE, "sst": "90 degF"}),
            ("pick", "R448A", *OF_LOAD, "--sst", "90 degF"),
            "{sst}: '90 degF' is not allowed; it must be at least -76 degF and at most 86 degF",
        ),
        (
            lambda: tablegen.pick("R448A", **CASE, overrides=["losses.lift=1"]),
            ("pick", "R448A", *OF_LOAD, "--set", "losses.lift=1"),
            "{set}: losses.lift: 1 is not allowed; it has no unit",
        ),
        (
            lambda: tablegen.retrofit("alder", "63", refrigerant="R404A", **CASE, was_overrides=["lift"]),
            ("retrofit", "alder", "63", "--refrigerant", "R404A", *OF_LOAD, "--was-set", "lift"),
            "{was-set}: 'lift' is not allowed",
        ),
        (
            lambda: tablegen.pick("R448A", sst="24 degF", load="5 kW", catalogue=CATALOGUE),
            ("pick", "R448A", "--sst", "24F", "--load", "5 kW", "--catalogue", str(CATALOGUE)),
            "name one with {application=}",
        ),
        (
            lambda: tablegen.states("R134a", coldest="100 degF", warmest="0 degF"),
            ("states", "R134a", "--coldest", "100F", "--warmest", "0F"),
            "{coldest}/{warmest}: 100.0 degF (37.8 degC) to 0.0 degF (-17.8 degC) is not allowed",
        ),
        (
            lambda: tablegen.fit(BENCH, flow_uncertainty="1 percent", catalogue=CATALOGUE),
            ("fit", str(BENCH), "--flow-uncertainty", "1 percent", "--catalogue", str(CATALOGUE)),
            "{opening-uncertainty}: it is missing",
        ),
    ],
)
def test_a_message_names_the_parameter_or_the_option(call, arguments, message, capsys):
    names = {"set": "overrides", "was-set": "was_overrides", "application=": "application=..."}
    with pytest.raises(tablegen.TablegenError) as found:
        call()
    by_name = re.sub(r"{(.+?)}", lambda match: names.get(match[1], match[1].replace("-", "_")), message)
    assert by_name in str(found.value)
    assert main(list(arguments)) == 2
    assert re.sub(r"{(.+?)=?}", r"--\1", message) in capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "given"), [("sst", 24.0), ("sst", float("nan")), ("load", 0.0), ("load", -5.0), ("load", 1e8)]
)
def test_a_figure_in_si_outside_its_bounds_is_shown_with_its_unit(name, given):
    unit = {"sst": "kelvin", "load": "watt"}[name]
    with pytest.raises(tablegen.RequestError, match=f"^{name}: {given!r} {unit} is not allowed; it must be "):
        tablegen.pick("R448A", **{**CASE, name: given})


def test_dir_shows_the_public_names_and_type_checkers_see_the_same():
    assert dir(tablegen) == sorted(tablegen.__all__)
    tree = ast.parse(Path(tablegen.__file__).read_text(encoding="utf-8"))
    (block,) = (n for n in tree.body if isinstance(n, ast.If) and isinstance(n.test, ast.Name))
    typed = {f"{node.module}.{alias.asname}" for node in block.body for alias in node.names}
    public = set(tablegen.__all__) - {"__version__"}
    assert {name.rpartition(".")[2] for name in typed} == public
    for name in typed:
        module, _, own = name.rpartition(".")
        assert getattr(tablegen, own) is getattr(sys.modules[module], own)
    with pytest.raises(AttributeError, match="choose"):
        _ = tablegen.choose


def test_every_error_is_public_and_in_the_tree_of_the_docstring():
    own = {n: c for n, c in vars(errors).items() if inspect.isclass(c) and issubclass(c, Exception)}
    own = {name: c for name, c in own.items() if c.__module__ == errors.__name__}
    assert len(own) > 10
    for name, error in own.items():
        assert getattr(tablegen, name) is error
        assert name in errors.__doc__
        assert issubclass(error, tablegen.TablegenError) or name in ("BadValue", "TablegenWarning")


def test_import_loads_no_library():
    heavy = ("numpy", "pandas", "scipy", "pydantic", "CoolProp", "fontTools", "reportlab")
    code = f"import sys, tablegen; dir(tablegen); print([n for n in {heavy} if n in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=os.environ, check=True)
    assert done.stdout == "[]\n"


def test_windows_are_those_of_the_data_set():
    table = tablegen.windows("R448A", "walk_in_medium", family="alder", catalogue=CATALOGUE, units="SI")
    own = demo_data().windows
    own = own[(own["refrigerant"] == "R448A") & (own["application"] == "walk_in_medium") & (own["family"] == "alder")]
    assert table["size"].tolist() == own["size"].tolist()
    for column, name in (("min_load [kW]", "min_load_w"), ("max_load [kW]", "max_load_w")):
        pd.testing.assert_series_equal(
            table[column] * 1000.0, own[name].reset_index(drop=True), check_names=False, rtol=1e-9
        )
    assert list(table.columns)[4] == "sst [degC]"
    assert table["max_reason"].tolist() == own["max_reason"].tolist()


def test_quantities_are_texts_or_si():
    kelvin = (24.0 + 459.67) / 1.8
    by_text, by_number = (
        tablegen.pick("R448A", **{**CASE, "sst": sst, "load": load}).frame()
        for sst, load in (("24 degF", "5 kW"), (kelvin, 5000.0))
    )
    assert by_text["max_load_w"].to_numpy() == pytest.approx(by_number["max_load_w"].to_numpy(), rel=1e-9, nan_ok=True)
    with pytest.raises(tablegen.RequestError, match=r"^load: '5 kilo' is not allowed; "):
        tablegen.pick("R448A", **{**CASE, "load": "5 kilo"})


def test_a_conversion_there_and_back():
    there = tablegen.convert("R448A", capacity="5 kW", **CONVERSION)
    back = tablegen.convert("R448A", capacity=there.record()["answer_w"], back=True, **CONVERSION)
    assert back.record()["answer_w"] == pytest.approx(5000.0, rel=1e-12)


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        (lambda: tablegen.windows("R448", "walk_in_medium", catalogue=CATALOGUE), "did you mean R448A"),
        (
            lambda: tablegen.windows("R448A", "walk_in", catalogue=CATALOGUE),
            "'walk_in' is not allowed; an application must be one of walk_in_medium",
        ),
        (lambda: tablegen.pick("R448A", **CASE, family="x"), "a family"),
        (
            lambda: tablegen.pick("R448A", **CASE, units="US"),
            "'US' is not allowed; a unit system must be one of IP, SI",
        ),
        (
            lambda: tablegen.convert(
                "R448A", capacity="5 kW", condensing="95 degF", basis="bubble", sst="24 degF", catalogue=CATALOGUE
            ),
            "give either subcooling or liquid",
        ),
        (lambda: tablegen.suggest(spread=1.5, catalogue=CATALOGUE), "spread: 1.5 is not allowed"),
        (lambda: tablegen.suggest(application="x", catalogue=CATALOGUE), "an application must be one of"),
    ],
)
def test_errors_say_what_is_allowed(asked, message):
    with pytest.raises(tablegen.RequestError, match=message):
        asked()


def test_a_catalogue_is_read_again_when_a_file_changes(tmp_path):
    main(["init", str(tmp_path / "own")])
    path = tmp_path / "own" / "families" / "alder.yaml"
    before = tablegen.windows("R134a", "walk_in_medium", family="alder", catalogue=tmp_path / "own")
    text = path.read_text(encoding="utf-8")
    assert "kv: 11.2 L/h" in text
    path.write_text(text.replace("kv: 11.2 L/h", "kv: 5.6 L/h"), encoding="utf-8")
    after = tablegen.windows("R134a", "walk_in_medium", family="alder", catalogue=tmp_path / "own" / "catalogue.yaml")
    ratio = after["max_load [kBtu/h]"] / before["max_load [kBtu/h]"]
    assert ratio[before["size"] == "11"].dropna().to_numpy() == pytest.approx(0.5, rel=1e-9)
    assert (ratio[before["size"] != "11"].dropna() == 1.0).all()
    path.write_text("nonsense", encoding="utf-8")
    with pytest.raises(tablegen.ConfigError, match=r"alder\.yaml"):
        tablegen.check(tmp_path / "own")


def test_a_check_gives_the_inputs():
    assert list(tablegen.check(CATALOGUE).families) == read_document(CATALOGUE).data["families"]
