"""What is public is described: docstrings, the columns of the data set, the README."""

import argparse
import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest

from tablegen.cli.main import _parser
from tablegen.dataset.dataset import FRAMES
from tablegen.physics.reasons import EMPTYING, LIMITING
from tablegen.wording.columns import COLUMNS, is_text
from tests.demo import demo_data

ROOT = Path(__file__).resolve().parents[1]
PHYSICS = sorted((ROOT / "tablegen" / "physics").glob("*.py"))
UNIT_ENDINGS = ("_k", "_pa", "_w", "_m3h", "_kg_m3", "_m3_kg", "_j_kg", "_m3h_per_kw", "_m", "_kg_s")


def public_things(path: Path) -> Iterator[tuple[str, ast.AST]]:
    """Public functions and classes of a module, and public methods of its public classes."""
    definitions = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if not isinstance(node, definitions) or node.name.startswith("_"):
            continue
        yield node.name, node
        if isinstance(node, ast.ClassDef):
            for inner in node.body:
                if isinstance(inner, definitions) and not inner.name.startswith("_"):
                    yield f"{node.name}.{inner.name}", inner


@pytest.mark.parametrize("path", PHYSICS, ids=lambda p: p.stem)
def test_every_public_name_of_the_physics_has_a_docstring(path):
    assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert [name for name, node in public_things(path) if not ast.get_docstring(node)] == []


@pytest.mark.parametrize("name", FRAMES)
def test_every_column_is_described_and_is_text_where_its_description_says_so(name):
    frame: pd.DataFrame = getattr(demo_data(), name)
    assert [column for column in frame.columns if column not in COLUMNS] == []
    text = {c for c in frame.columns if pd.api.types.is_string_dtype(frame[c])}
    assert text == {c for c in frame.columns if is_text(c)}


def test_the_dictionary_of_columns_names_all_and_nothing_else():
    written = demo_data().columns()
    assert list(written.columns) == ["file", "column", "unit", "meaning"]
    assert set(written["column"]) == set(COLUMNS) - {"change_kind"}
    assert not written.duplicated(["file", "column"]).any()


def test_unit_in_the_name_of_a_column_is_its_unit():
    endings = {
        "K": "_k",
        "Pa": "_pa",
        "W": "_w",
        "m3/h": "_m3h",
        "kg/m3": "_kg_m3",
        "m3/kg": "_m3_kg",
        "J/kg": "_j_kg",
        "m3/h per kW": "_m3h_per_kw",
        "kg/s": "_kg_s",
    }
    for name, column in COLUMNS.items():
        assert name.endswith(endings.get(column.unit or "", "")), name
        assert column.unit in endings or not name.endswith(UNIT_ENDINGS), name


def test_columns_without_a_unit_of_their_own_name_it_in_each_row():
    in_row = {name for name, column in COLUMNS.items() if column.unit == ""}
    assert in_row == {"published_value", "computed_value", "deviation", "allowed_deviation", "value_si"}


def commands() -> list[str]:
    (sub,) = (a for a in _parser()._actions if isinstance(a, argparse._SubParsersAction))
    return list(sub.choices)


def test_readme_names_every_command():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert len(commands()) >= 3
    assert [c for c in commands() if not re.search(rf"(tablegen {c}\b|`{c}`)", text)] == []


def test_the_manual_lists_every_reason_that_a_limit_can_carry():
    text = (ROOT / "tablegen" / "manual" / "method.md").read_text(encoding="utf-8")
    sentence = text.split("## Reasons")[1].split("An empty window")[0]
    setting, emptying = sentence.split("These leave a window empty")
    assert set(re.findall(r"^\| `(\w+)`", setting, re.M)) == LIMITING
    assert set(re.findall(r"^\| `(\w+)`", emptying, re.M)) == EMPTYING


def test_the_manual_says_when_a_gas_charge_loses_control():
    # common practice: the charge condenses at the coldest point, which must be the bulb, not the power element.
    text = (ROOT / "tablegen" / "manual" / "assumptions.md").read_text(encoding="utf-8")
    assert "a power element colder than the bulb" in text
    assert "a bulb colder than the" not in text
