"""Which module may import what, read from the syntax tree so that imports inside functions count too."""

import ast
import functools
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "tablegen"
MODULES = {
    ".".join(p.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): p
    for p in sorted(PACKAGE.rglob("*.py"))
}
# A library, and the modules or packages that alone may import it.
ALONE = {
    "CoolProp": ("tablegen.physics.equation_of_state",),
    "pint": ("tablegen.units",),
    "fontTools": ("tablegen.report.graphs.svg",),
    "reportlab": ("tablegen.report", "tablegen.config.truetype"),
    "pydantic": ("tablegen.config",),
    "pydantic_core": ("tablegen.config",),
    "ruamel": ("tablegen.config.yaml_text",),
    "openpyxl": ("tablegen.config", "tablegen.audits.read_back"),
    "pypdfium2": ("tablegen.audits.read_back", "tablegen.report.graphs.graph_files"),
    "tqdm": ("tablegen.progress",),
    "platformdirs": ("tablegen.cache",),
    "filelock": ("tablegen.files",),
    "starlette": ("tablegen.web",),
    "uvicorn": ("tablegen.web.server",),
    "argparse": ("tablegen.cli.main", "tablegen.cli"),
}
# A package of ours, and all that it may import of ours.
OURS = {
    "tablegen.physics": ("tablegen.errors", "tablegen.wording", "tablegen.physics"),
    "tablegen.model": (
        *(
            BASE := (
                "tablegen.errors",
                "tablegen.cache",
                "tablegen.wording",
                "tablegen.__version__",
                "tablegen.physics",
            )
        ),
        "tablegen.model",
    ),
    "tablegen.bench": ("tablegen.errors", "tablegen.wording", "tablegen.physics", "tablegen.bench"),
    "tablegen.confidence": (*BASE, "tablegen.model", "tablegen.confidence"),
    "tablegen.calculation": (*BASE, "tablegen.model", "tablegen.calculation"),
    "tablegen.verification": (
        *BASE,
        "tablegen.model",
        "tablegen.units",
        "tablegen.unit_table",
        "tablegen.verification",
    ),
    "tablegen.sweep": (
        *(COMPUTED := (*BASE, "tablegen.model", "tablegen.confidence", "tablegen.calculation")),
        "tablegen.sweep",
    ),
    "tablegen.tables": (*COMPUTED, "tablegen.sweep", "tablegen.tables"),
    "tablegen.dataset": (
        *COMPUTED,
        "tablegen.files",
        "tablegen.verification",
        "tablegen.sweep",
        "tablegen.tables",
        "tablegen.dataset",
    ),
    "tablegen.answers": (*COMPUTED, "tablegen.sweep", "tablegen.tables", "tablegen.answers"),
    "tablegen.legacy": (*BASE, "tablegen.model", "tablegen.legacy"),
    # It judges what is printed, so it knows how figures become text, but sets no page.
    "tablegen.audits": (
        *COMPUTED,
        "tablegen.files",
        "tablegen.units",
        "tablegen.unit_table",
        "tablegen.verification",
        "tablegen.sweep",
        "tablegen.tables",
        "tablegen.dataset",
        "tablegen.report.formatter",
        "tablegen.audits",
    ),
    "tablegen.config": (
        *COMPUTED,
        "tablegen.files",
        "tablegen.units",
        "tablegen.unit_table",
        "tablegen.bench.readings",
        "tablegen.legacy.table_rows",
        "tablegen.sweep",
        "tablegen.tables",
        "tablegen.dataset",
        "tablegen.answers.order",
        "tablegen.config",
    ),
    "tablegen.report": (
        *COMPUTED,
        "tablegen.units",
        "tablegen.unit_table",
        "tablegen.verification",
        "tablegen.sweep",
        "tablegen.tables",
        "tablegen.dataset",
        "tablegen.answers",
        "tablegen.audits",
        "tablegen.bench",
        "tablegen.legacy",
        "tablegen.files",
        "tablegen.report",
    ),
    "tablegen.units": ("tablegen.errors", "tablegen.wording", "tablegen.unit_table"),
    "tablegen.unit_table": ("tablegen.wording",),
    "tablegen.wording": ("tablegen.wording",),
    "tablegen.cache": ("tablegen.errors", "tablegen.files", "tablegen.own_folder", "tablegen.wording"),
    "tablegen.own_folder": ("tablegen.wording",),
    "tablegen.files": ("tablegen.errors", "tablegen.wording"),
    "tablegen.errors": ("tablegen.wording",),
}
# Numbers in, numbers out.
PURE = ("tablegen.physics", "tablegen.bench")
NOT_IN_PHYSICS = ("logging", "time", "os", "sys", "pathlib", "datetime", "random", "warnings", "pandas")
NOT_CALLED_IN_PHYSICS = ("open", "print", "input")


def within(name: str, places: tuple[str, ...]) -> bool:
    return any(name == place or name.startswith(place + ".") for place in places)


def imports(tree: ast.AST, module: str, is_package: bool) -> Iterator[tuple[int, str]]:
    """Line and dotted name of everything imported anywhere in a module, relative imports resolved."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                above = module.split(".") if is_package else module.split(".")[:-1]
                above = above[: len(above) - node.level + 1]
                base = ".".join([*above, *filter(None, [node.module])])
            for alias in node.names:
                yield node.lineno, f"{base}.{alias.name}"
        elif isinstance(node, ast.Call) and _is_import_call(node.func):
            first = node.args[0] if node.args else None
            known = isinstance(first, ast.Constant) and isinstance(first.value, str)
            yield node.lineno, first.value if known else "(computed import)"


def _is_import_call(function: ast.expr) -> bool:
    name = function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")
    return name in ("__import__", "import_module")


@functools.cache
def imports_of(module: str) -> tuple[tuple[int, str], ...]:
    """Of a module of the package."""
    path = MODULES[module]
    return tuple(imports(ast.parse(path.read_text(encoding="utf-8")), module, path.name == "__init__.py"))


def broken_rules(source: str, module: str, is_package: bool = False) -> list[str]:
    """Every rule that a module breaks, as 'line: what'."""
    tree = ast.parse(source)
    found = []
    for line, name in imports(tree, module, is_package):
        top = name.split(".")[0]
        if name == "(computed import)":
            found.append(f"{line}: {name}")
        if top in ALONE and not within(module, ALONE[top]):
            found.append(f"{line}: {top} is imported")
        for package, allowed in OURS.items():
            if within(module, (package,)) and top == "tablegen" and not within(name, allowed):
                found.append(f"{line}: {name} is imported")
        if within(module, PURE) and top in NOT_IN_PHYSICS:
            found.append(f"{line}: {top} is imported")
    if within(module, PURE):
        for node in ast.walk(tree):
            if isinstance(node, ast.Name) and node.id in NOT_CALLED_IN_PHYSICS:
                found.append(f"{node.lineno}: {node.id} is used")
    return found


@pytest.mark.parametrize("module", MODULES)
def test_module_keeps_the_rules(module):
    path = MODULES[module]
    assert broken_rules(path.read_text(encoding="utf-8"), module, path.name == "__init__.py") == []


@pytest.mark.parametrize("library", ["CoolProp", "fontTools", "reportlab", "pydantic", "ruamel"])
def test_rule_is_about_a_library_that_is_used_where_it_may_be(library):
    users = [module for module in MODULES for _, name in imports_of(module) if name.split(".")[0] == library]
    assert users
    assert all(within(user, ALONE[library]) for user in users)


@pytest.mark.parametrize(
    ("module", "source", "expected"),
    [
        ("tablegen.report.pdf.page", "import CoolProp", "1: CoolProp is imported"),
        ("tablegen.report.pdf.page", "def f():\n    from CoolProp.CoolProp import PropsSI", "2: CoolProp is imported"),
        ("tablegen.config.fields", "import pint.errors as e", "1: pint is imported"),
        ("tablegen.report.pdf.page", "from fontTools import ttLib", "1: fontTools is imported"),
        ("tablegen.sweep.sweep", "import os, reportlab", "1: reportlab is imported"),
        (
            "tablegen.sweep.sweep",
            "from . import build, record\nfrom .. import config",
            "2: tablegen.config is imported",
        ),
        ("tablegen.sweep.sweep", "from ..units import to_si", "1: tablegen.units.to_si is imported"),
        ("tablegen.physics.flow", "from tablegen import catalogue", "1: tablegen.catalogue is imported"),
        ("tablegen.physics.flow", "from .. import units", "1: tablegen.units is imported"),
        ("tablegen.physics.flow", "import tablegen", "1: tablegen is imported"),
        ("tablegen.physics.flow", "import logging", "1: logging is imported"),
        ("tablegen.physics.flow", "print(1)", "1: print is used"),
        ("tablegen.bench.robust", "import pathlib", "1: pathlib is imported"),
        ("tablegen.bench.fit", "from tablegen.model import inputs", "1: tablegen.model.inputs is imported"),
        ("tablegen.report.pages.fit_page", "from tablegen.cli import fit", "1: tablegen.cli.fit is imported"),
        ("tablegen.physics.flow", "def f(p):\n    return open(p)", "2: open is used"),
        (
            "tablegen.config.loader",
            "from tablegen.report.pdf.page import Heading",
            "1: tablegen.report.pdf.page.Heading is imported",
        ),
        (
            "tablegen.report.pdf.page",
            "from tablegen.config.loader import load_catalogue",
            "1: tablegen.config.loader.load_catalogue is imported",
        ),
        (
            "tablegen.audits.table_checks",
            "from tablegen.report.pdf.page import Heading",
            "1: tablegen.report.pdf.page.Heading is imported",
        ),
        ("tablegen.audits.release_checks", "import pypdfium2", "1: pypdfium2 is imported"),
        (
            "tablegen.report.pdf.page",
            "import importlib\nimportlib.import_module('CoolProp')",
            "2: CoolProp is imported",
        ),
        ("tablegen.report.pdf.page", "__import__(name)", "1: (computed import)"),
        (
            "tablegen.units",
            "if TYPE_CHECKING:\n    from tablegen.config import fields",
            "2: tablegen.config.fields is imported",
        ),
    ],
)
def test_checker_catches_a_broken_rule(module, source, expected):
    assert broken_rules(source, module) == [expected]


def test_checker_lets_the_allowed_pass():
    assert broken_rules("from . import flow\nfrom tablegen.errors import PropertyError", "tablegen.physics.valve") == []
    assert broken_rules("from tablegen import __version__", "tablegen.dataset.manifest") == []
    assert broken_rules("from . import flow", "tablegen.physics", is_package=True) == []
