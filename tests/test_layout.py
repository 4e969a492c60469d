"""How files and names are laid out: one idea a file and one name for it, nothing that the formatter or mypy cannot see."""

import ast
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
LINES = range(30, 451)
# Files of a command, or of like ones, bear one name in each of these: what is computed, the function, the options, what
# is said.
BY_COMMAND = ("answers", "api", "cli", "report/answers")
# What a bench fit computes is no answer for a case; it is a package of its own.
COMPUTED_ELSEWHERE = ("bench/fit.py",)
# A wording module bears the name of the module whose sentences it has.
WORDING = "wording"
# Python gives these their names, or the manual's generator.
NAMED_BY_OTHERS = ("__init__.py", "__main__.py", "conf.py")
FIVE = "".join(f"    {name}: int\n" for name in "abcde") + "x = 1\n" * 40
# Colors and weights of lines of what is printed stand in one module.
PRINTED, DESIGN = ("report/pdf/", "report/graphs/", "report/pages/", "report/publications/"), "report/pdf/design.py"
OWN_LOOK = re.compile(r'"#[0-9A-Fa-f]{6}"|Pen\([0-9]|fontSize=[0-9]|[^_a-z]size=[0-9]')
WITHOUT_ANY = ("report/pages", "report/publications")


def broken(package: Path, tests: Path) -> set[str]:
    """Every rule that is broken, as 'rule: what'."""
    files = sorted(package.rglob("*.py"))
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in files}
    found = {f"two classes: {name}" for name in twice(classes(trees.values()))}
    found |= {f"two files: {name}" for name in twice(names(package, files))}
    for path, tree in trees.items():
        place = path.relative_to(package).as_posix()
        text = path.read_text(encoding="utf-8")
        of_wording = place.startswith(f"{WORDING}/")
        if path.name not in NAMED_BY_OTHERS and not of_wording and text.count("\n") not in LINES:
            found.add(f"lines: {place}")
        nodes = list(ast.walk(tree))
        if any(isinstance(node, ast.Attribute) and node.attr == "__class__" for node in nodes):
            found.add(f"__class__: {place}")
        if place.startswith(WITHOUT_ANY) and any(isinstance(n, ast.Name) and n.id == "Any" for n in nodes):
            found.add(f"Any: {place}")
        found |= {f"positions: {name}" for name in taking_positions(tree)}
        if place.startswith(PRINTED) and place != DESIGN and OWN_LOOK.search(text):
            found.add(f"own look: {place}")
    for path in (*files, *tests.rglob("*.py")):
        if any(mark in path.read_text(encoding="utf-8") for mark in ("# fmt" + ": skip", "# fmt" + ": off")):
            found.add(f"not formatted: {path.relative_to(package.parent).as_posix()}")
    return found


def taking_positions(tree: ast.Module) -> Iterator[str]:
    """Data classes of more fields than one remembers the order of, that still take them by position."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.ClassDef):
            continue
        marks = [ast.unparse(mark) for mark in node.decorator_list if "dataclass" in ast.unparse(mark)]
        if marks and "kw_only=True" not in marks[0] and sum(isinstance(n, ast.AnnAssign) for n in node.body) > 4:
            yield node.name


def classes(trees: Iterable[ast.Module]) -> Iterator[str]:
    for tree in trees:
        yield from (node.name for node in ast.walk(tree) if isinstance(node, ast.ClassDef))


def names(package: Path, files: list[Path]) -> Iterator[str]:
    """Names of files; of a command's files, one."""
    by_command = {path.name for path in files if path.relative_to(package).parent.as_posix() in BY_COMMAND}
    for path in files:
        place = path.relative_to(package)
        if path.name in NAMED_BY_OTHERS or place.as_posix() in COMPUTED_ELSEWHERE:
            continue
        if place.parent.as_posix() not in (*BY_COMMAND, WORDING):
            yield path.name
    yield from by_command


def twice(all_names: Iterator[str]) -> list[str]:
    count: dict[str, int] = defaultdict(int)
    for name in all_names:
        count[name] += 1
    return sorted(name for name, number in count.items() if number > 1)


def test_files_and_names_keep_the_layout():
    new = broken(ROOT / "tablegen", ROOT / "tests")
    assert not new, "\n" + "\n".join(sorted(new))


@pytest.mark.parametrize(
    ("files", "found"),
    [
        ({"a.py": "class A: ...", "b/c.py": "class A: ..."}, {"two classes: A"}),
        ({"a.py": "class A:\n    class B: ...", "b.py": "class B: ..."}, {"two classes: B"}),
        ({"x/a.py": "", "y/a.py": ""}, {"two files: a.py"}),
        ({"x/__init__.py": "", "y/__init__.py": ""}, set()),
        ({"answers/pick.py": "", "cli/pick.py": "", "report/answers/pick.py": "", "wording/pick.py": ""}, set()),
        ({"answers/pick.py": "", "bench/pick.py": ""}, {"two files: pick.py"}),
        ({"report/a.py": "", "wording/a.py": ""}, set()),
        ({"a.py": "x = 1\n" * 29}, {"lines: a.py"}),
        ({"a.py": "x = 1\n" * 451}, {"lines: a.py"}),
        ({"wording/a.py": "x = 1\n" * 3}, set()),
        ({"a.py": "x.__class__ = int"}, {"__class__: a.py"}),
        ({"report/pages/a.py": "x: dict[str, Any] = {}"}, {"Any: report/pages/a.py"}),
        ({"report/a.py": "x: dict[str, Any] = {}"}, set()),
        ({"report/graphs/a.py": "x = Pen(0.5)"}, {"own look: report/graphs/a.py"}),
        ({"report/pages/a.py": 'x = "#00FF00"'}, {"own look: report/pages/a.py"}),
        ({"report/pages/a.py": "x = data_table(rows, size=8.5)"}, {"own look: report/pages/a.py"}),
        ({"report/pdf/design.py": 'GREEN = "#00FF00"'}, set()),
        ({"a.py": f"@dataclass(frozen=True)\nclass A:\n{FIVE}"}, {"positions: A"}),
        ({"a.py": f"@dataclass\nclass A:\n{FIVE}"}, {"positions: A"}),
        ({"a.py": f"@dataclass(kw_only=True)\nclass A:\n{FIVE}"}, set()),
        ({"a.py": f"class A(NamedTuple):\n{FIVE}"}, set()),
        ({"a.py": "x = 1  # fmt" + ": skip"}, {"not formatted: package/a.py"}),
    ],
)
def test_a_broken_rule_is_found(files: dict[str, str], found: set[str], tmp_path: Path):
    for place, text in files.items():
        path = tmp_path / "package" / place
        path.parent.mkdir(parents=True, exist_ok=True)
        # Long enough, where length is not in question.
        path.write_text(text if text.count("\n") > 1 else text + "\n" * 40, encoding="utf-8")
    assert broken(tmp_path / "package", tmp_path / "tests") == found
