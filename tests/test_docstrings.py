"""Docstrings of the public functions: their examples are true."""

import doctest
import importlib
from types import ModuleType

import pytest

MODULES = (
    "tablegen",
    "tablegen.api.one_case",
    "tablegen.api.catalogues",
    "tablegen.calculation.formula",
    "tablegen.cli.options",
    "tablegen.glossary",
    "tablegen.model.names",
    "tablegen.report.answer",
    "tablegen.report.rounding",
    "tablegen.report.text",
    "tablegen.tables.selection_map",
    "tablegen.verification.check",
    "tablegen.wording.message",
)


@pytest.fixture
def module(request: pytest.FixtureRequest) -> ModuleType:
    return importlib.import_module(request.param)


@pytest.mark.parametrize("module", MODULES, indirect=True)
def test_examples_are_true(module):
    found = doctest.testmod(module)
    assert found.failed == 0
    assert found.attempted > 0
