"""Docstrings of the public functions: what they take and return, in units, and examples that are true."""

import ast
import doctest
import importlib
import re
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

import tablegen

MODULES = (
    "tablegen",
    "tablegen.api.bench_data",
    "tablegen.api.catalogues",
    "tablegen.api.conversion",
    "tablegen.api.jobs",
    "tablegen.api.one_case",
    "tablegen.api.one_valve",
    "tablegen.api.refrigerant_data",
    "tablegen.api.swept_heads",
    "tablegen.audits.findings",
    "tablegen.audits.table_checks",
    "tablegen.bench.robust",
    "tablegen.calculation.formula",
    "tablegen.cli.options",
    "tablegen.config.sheet",
    "tablegen.dataset.input_changes",
    "tablegen.model.box_temperature",
    "tablegen.model.names",
    "tablegen.physics.equations",
    "tablegen.physics.flow",
    "tablegen.report.answer",
    "tablegen.report.rounding",
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


ROOT = Path(tablegen.__file__).parent
# What is public: modules without an underscore, whose docstrings are the manual of the package for programmers.
PUBLIC = sorted(p for folder in ("physics", "api") for p in (ROOT / folder).glob("*.py") if not p.name.startswith("_"))
# What other packages are called by.
CALLED = (
    "audits.findings.grouped",
    "audits.heads.tightest_limits",
    "audits.printed_table.tables_of",
    "audits.release_checks.check_release",
    "audits.release_checks.release_of",
    "audits.run.audit",
    "audits.table_checks.turns",
    "audits.tightening.solve_variants",
    "bench.balance_fit.fit_balance",
    "bench.balance_model.fit_charge",
    "bench.fit.fit_bench",
    "bench.flow_fit.fit_flow",
    "bench.flow_law.compare_laws",
    "bench.lack_of_fit.misfits",
    "bench.opening_inferred.infer_openings",
    "bench.robust.chance",
    "bench.robust.fit",
    "bench.robust.quantile",
    "dataset.comparison.changed_windows",
    "dataset.comparison.changes_since",
    "dataset.comparison.compare",
    "dataset.input_changes.changed_inputs",
    "legacy.counterparts.compare_table",
    "legacy.reading.attribute",
)
SECTIONS = ("Parameters", "Returns", "Raises", "References", "Examples", "Attributes")
MEASURED = re.compile(r"\b(Floats|float|Quantity)\b")


def functions(path: Path) -> Iterator[ast.FunctionDef]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    yield from (node for node in tree.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"))


def arguments(function: ast.FunctionDef) -> list[ast.arg]:
    own = function.args
    return [*own.posonlyargs, *own.args, *own.kwonlyargs]


def sections(docstring: str) -> dict[str, str]:
    """The text of each section, by its title; what comes first is called Summary."""
    parts = re.split(rf"(?m)^({'|'.join(SECTIONS)})\n-+$", docstring)
    return {"Summary": parts[0]} | dict(zip(parts[1::2], parts[2::2], strict=True))


def problems(function: ast.FunctionDef) -> list[str]:
    """Where a docstring is not what its function takes and returns, or names no units."""
    docstring = ast.get_docstring(function)
    if not docstring:
        return ["no docstring"]
    found, own = [], sections(docstring)
    names = [a.arg for a in arguments(function)]
    listed = re.findall(r"(?m)^(\w.*?)(?: : .*)?$", own.get("Parameters", ""))
    described = [name.strip() for line in listed for name in line.split(",")]
    if described != names:
        found.append(f"takes {names}, describes {described}")
    returned = ast.unparse(function.returns) if function.returns else "None"
    if returned != "None" and not own.get("Returns", "").strip():
        found.append("does not describe what it returns")
    if any(a.annotation and MEASURED.search(ast.unparse(a.annotation)) for a in arguments(function)):
        found += (
            [] if re.search(r"(?i)\[.+?\]|in any one unit", own.get("Parameters", "")) else ["no unit of what it takes"]
        )
    if MEASURED.search(returned) and not re.search(r"\[.+?\]|same unit", own.get("Returns", "")):
        found.append("no unit of what it returns")
    return found


@pytest.mark.parametrize("path", PUBLIC, ids=lambda path: path.stem)
def test_public_functions_describe_what_they_take_and_return(path: Path):
    wrong = [f"{function.name}: {problem}" for function in functions(path) for problem in problems(function)]
    assert not wrong, "\n" + "\n".join(wrong)


@pytest.mark.parametrize("name", CALLED)
def test_main_functions_of_other_packages_do_so_too(name: str):
    module, _, called = name.rpartition(".")
    (function,) = (f for f in functions(ROOT / f"{module.replace('.', '/')}.py") if f.name == called)
    assert problems(function) == []


@pytest.mark.parametrize(
    ("docstring", "problem"),
    [
        ("Area.\n\nParameters\n----------\nside_m : float [m]\n\nReturns\n-------\nfloat [m2]\n", None),
        ("Area.", "takes ['side_m'], describes []"),
        ("Area.\n\nParameters\n----------\nside : float [m]\n\nReturns\n-------\nfloat [m2]\n", "describes ['side']"),
        ("Area.\n\nParameters\n----------\nside_m : float [m]\n", "does not describe what it returns"),
        (
            "Area.\n\nParameters\n----------\nside_m : float\n\nReturns\n-------\nfloat [m2]\n",
            "no unit of what it takes",
        ),
        (
            "Area.\n\nParameters\n----------\nside_m : float [m]\n\nReturns\n-------\nfloat\n",
            "no unit of what it returns",
        ),
    ],
)
def test_a_wrong_docstring_is_found(docstring: str, problem: str | None):
    source = f"def area(side_m: float) -> float:\n    '''{docstring.replace(chr(10), chr(10) + '    ')}'''\n"
    (function,) = ast.parse(source).body
    found = problems(function)
    assert found == [] if problem is None else any(problem in text for text in found)
