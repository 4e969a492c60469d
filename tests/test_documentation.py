"""What is public is described: docstrings, the glossary of data-set columns, the README."""

import argparse
import ast
import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from tablegen.cli.main import _parser
from tablegen.config.loader import load_catalogue
from tablegen.glossary import UNITS
from tablegen.model.solving import law_of as flow_law_of
from tablegen.model.solving import solve
from tablegen.physics.reasons import EMPTYING, LIMITING
from tablegen.sweep.frames import STATE_COLUMNS, states_frame, windows_frame
from tablegen.wording.columns_explained import MEANINGS

ROOT = Path(__file__).resolve().parents[1]
PHYSICS = sorted((ROOT / "tablegen" / "physics").glob("*.py"))
UNIT_ENDINGS = ("_k", "_pa", "_w", "_m3h", "_kg_m3", "_m3_kg", "_j_kg", "_m3h_per_kw", "_m", "_kg_s")
# Shares and factors have no unit to end in; they are in the glossary, or here.
PLAIN_NUMBERS = {"f_l"}


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


def described(column: str) -> bool:
    return column in UNITS or column.endswith(UNIT_ENDINGS) or column in PLAIN_NUMBERS


@pytest.fixture(scope="module")
def frames() -> dict[str, pd.DataFrame]:
    """A states and a windows frame of one refrigerant, as the sweep makes them."""
    catalogue = load_catalogue(ROOT / "configs" / "catalogue.yaml")
    application, family = catalogue.applications["walk_in_medium"], catalogue.families["alder"]
    law = flow_law_of(family)
    solved = solve(catalogue.refrigerants["R134a"], application, [law])
    states = states_frame(solved, law, catalogue.records["R134a"].uncertainty)
    return {"states": states, "windows": windows_frame(family, solved)}


def test_every_state_column_is_described():
    assert [c for c in STATE_COLUMNS if not described(c)] == []


@pytest.mark.parametrize("name", ["states", "windows"])
def test_every_numeric_column_ends_in_its_unit_or_is_in_the_glossary(name, frames):
    numeric = frames[name].select_dtypes(include=np.number).columns
    assert len(numeric) > 5
    assert [c for c in numeric if not described(c)] == []


@pytest.mark.parametrize("name", ["states", "windows"])
def test_unit_in_the_name_is_the_unit_of_the_glossary(name, frames):
    endings = {
        "K": "_k",
        "Pa": "_pa",
        "W": "_w",
        "m3/h": "_m3h",
        "kg/m3": "_kg_m3",
        "m3/kg": "_m3_kg",
        "J/kg": "_j_kg",
        "m3/h per kW": "_m3h_per_kw",
        "1": "",
    }
    for column in set(frames[name].columns) & set(UNITS):
        ending = endings[UNITS[column]]
        assert column.endswith(ending)
        assert ending or not column.endswith(UNIT_ENDINGS)


def test_glossary_says_what_each_column_means():
    assert set(MEANINGS) == set(UNITS)
    in_row = {name for name, unit in UNITS.items() if not unit}
    assert in_row == {"published_value", "computed_value", "deviation", "allowed_deviation"}


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
    assert set(re.findall(r"`(\w+)`", emptying)) == EMPTYING


def test_the_manual_says_when_a_gas_charge_loses_control():
    # common practice: the charge condenses at the coldest point, which must be the bulb, not the power element.
    text = (ROOT / "tablegen" / "manual" / "assumptions.md").read_text(encoding="utf-8")
    assert "a power element colder than the bulb" in text
    assert "a bulb colder than the" not in text
