"""The commands as functions: the same answers as the command line, frames in SI, quantities as texts or in SI."""

import ast
import inspect
import json
import os
import subprocess
import sys
from pathlib import Path

import pandas as pd
import pytest

import tablegen
from tablegen import errors
from tablegen.cli.main import main
from tests.demo import CATALOGUE, demo_data

CASE = {"sst": "24 degF", "load": "5 kW", "application": "walk_in_medium", "catalogue": CATALOGUE}


def answered(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, object]:
    """The command line's answer as JSON."""
    main([*arguments, "--catalogue", str(CATALOGUE), "--json"])
    return json.loads(capsys.readouterr().out)


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


def test_a_pick_is_that_of_the_command_line(capsys):
    answer = tablegen.pick("R448A", **CASE)
    record = answered(capsys, "pick", "R448A", "--sst", "24 degF", "--load", "5 kW", "--application", "walk_in_medium")
    sizes = answer.frame()
    pd.testing.assert_frame_equal(sizes, pd.DataFrame(record["tables"]["sizes"])[list(sizes)], check_dtype=False)
    assert answer.record()["first_size"] == record["facts"]["first_size"]
    assert "<table" in answer._repr_html_() and "Alder" in str(answer)


def test_quantities_are_texts_or_si():
    kelvin = (24.0 + 459.67) / 1.8
    by_text, by_number = (
        tablegen.pick("R448A", **{**CASE, "sst": sst, "load": load}).frame()
        for sst, load in (("24 degF", "5 kW"), (kelvin, 5000.0))
    )
    assert by_text["max_load_w"].to_numpy() == pytest.approx(by_number["max_load_w"].to_numpy(), rel=1e-9, nan_ok=True)
    with pytest.raises(tablegen.RequestError, match=r"^load: '5 kilo' is not allowed; "):
        tablegen.pick("R448A", **{**CASE, "load": "5 kilo"})


def test_a_conversion_there_and_back(capsys):
    asked = {
        "condensing": "95 degF",
        "basis": "dew",
        "subcooling": "9 delta_degF",
        "sst": "24 degF",
        "application": "walk_in_medium",
        "catalogue": CATALOGUE,
    }
    there = tablegen.convert("R448A", capacity="5 kW", **asked)
    record = answered(
        capsys,
        *("convert", "R448A", "--capacity", "5 kW", "--condensing", "95 degF", "--basis", "dew"),
        *("--subcooling", "9 delta_degF", "--sst", "24 degF", "--application", "walk_in_medium"),
    )
    assert there.record()["answer_w"] == record["facts"]["answer_w"]
    back = tablegen.convert("R448A", capacity=there.record()["answer_w"], back=True, **asked)
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


def test_suggested_groups_are_those_of_the_command_line(capsys):
    answer = tablegen.suggest(application="walk_in_medium", catalogue=CATALOGUE)
    record = answered(capsys, "suggest", "groups", "--application", "walk_in_medium")
    assert len(answer.sections) == len(record["sections"]) > 1
    assert answer.heading in str(answer)


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
    assert set(tablegen.check(CATALOGUE).families) == {"alder", "hazel", "linden", "rowan"}
