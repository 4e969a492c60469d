"""What the package's source says to a reader: its messages, their calls, and sentences outside the wording package."""

import ast
import functools
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
WORDING = ROOT / "tablegen" / "wording"
CLASSES = ("Message", "Plural")


def name_of(path: Path) -> str:
    """A path as lists spell it."""
    return path.relative_to(ROOT).as_posix()


@functools.cache
def tree_of(path: Path) -> ast.Module:
    """The syntax tree of a source file."""
    return ast.parse(path.read_text(encoding="utf-8"))


def package_files() -> list[Path]:
    """Every source file of the package, but for the settings of the manual's generator."""
    return sorted(path for path in (ROOT / "tablegen").rglob("*.py") if path.parent.name != "manual")


@dataclass(frozen=True, slots=True)
class Stated:
    """One message: its texts (None where an argument is no literal), and the constant that it belongs to."""

    module: str
    constant: str
    line: int
    texts: tuple[str | None, ...]
    is_single: bool

    @property
    def placeholders(self) -> frozenset[str]:
        """Names in braces; the count of a plural is not one."""
        found = re.findall(r"{(\w+)[^}]*}", "".join(text or "" for text in self.texts))
        return frozenset(found) - ({"count"} if len(self.texts) == 2 else set())


@functools.cache
def messages() -> tuple[Stated, ...]:
    """Every message of the wording package."""
    found = []
    for path in sorted(WORDING.glob("*.py")):
        for statement in tree_of(path).body:
            if not isinstance(statement, (ast.Assign, ast.AnnAssign)) or statement.value is None:
                continue
            target = statement.targets[0] if isinstance(statement, ast.Assign) else statement.target
            name = target.id if isinstance(target, ast.Name) else ast.unparse(target)
            calls = [node for node in ast.walk(statement.value) if _is_message(node)]
            found += [
                Stated(path.stem, name, call.lineno, tuple(map(_literal, call.args)), call is statement.value)
                for call in calls
            ]
    return tuple(found)


def _is_message(node: ast.AST) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in CLASSES


def _literal(node: ast.expr) -> str | None:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


@dataclass(frozen=True, slots=True)
class Use:
    """A constant of a wording module that is named somewhere; `call` where it is called there."""

    module: str
    constant: str
    where: str
    call: ast.Call | None


@functools.cache
def uses(path: Path) -> tuple[Use, ...]:
    """Constants of wording modules that a file names."""
    return tuple(_uses(path))


def _uses(path: Path) -> Iterator[Use]:
    tree = tree_of(path)
    modules: dict[str, str] = {}
    names: dict[str, tuple[str, str]] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module == "tablegen.wording":
            modules |= {a.asname or a.name: a.name for a in node.names}
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("tablegen.wording."):
            own = (node.module or "").rpartition(".")[2]
            names |= {a.asname or a.name: (own, a.name) for a in node.names}
    if path.parent == WORDING:
        assigned = {stated.constant for stated in messages() if stated.module == path.stem}
        names |= {name: (path.stem, name) for name in assigned}
    called = {id(node.func): node for node in ast.walk(tree) if isinstance(node, ast.Call)}
    for node in ast.walk(tree):
        found = None
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in modules:
            found = modules[node.value.id], node.attr
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
            found = names.get(node.id)
        if found is not None:
            yield Use(*found, f"{name_of(path)}:{node.lineno}", called.get(id(node)))


_WORD = re.compile(
    r"[(\"'\N{LEFT DOUBLE QUOTATION MARK}]*[A-Za-z][A-Za-z'\N{RIGHT SINGLE QUOTATION MARK}-]+[.,;:!?)\"']*"
)
_FILLED = "\0"
# Markup, style sheets, paths and SQL are for programs.
_CODE = re.compile(r"\(\?|\\[bdswS]|[{}<>]=|;\s*}|^\s*(select|@media|\.\w+ ?\{)|^\(?(SELECT|CREATE|INSERT) ")
_PROGRAM_CALLS = ("compile", "getLogger", "namedtuple", "TypeVar", "AssertionError", "NotImplementedError")
# Data of published sources: citations are printed as they are, in every language.
_DATA_KEYWORDS = ("source", "reference", "citation")
_DATA_NAMES = re.compile(r"SOURCE|REFERENCE|CITATION")


def sentences(path: Path) -> Iterator[tuple[int, str]]:
    """Literals of a file that read as words for a user: line and text."""
    tree = tree_of(path)
    skipped: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)):
            # The docstring, and strings that describe an attribute.
            skipped |= {id(s.value) for s in node.body if isinstance(s, ast.Expr) and isinstance(s.value, ast.Constant)}
        elif isinstance(node, ast.Assert) and node.msg is not None:
            skipped |= {id(inner) for inner in ast.walk(node.msg)}
        elif isinstance(node, ast.Assign) and _DATA_NAMES.search(ast.unparse(node.targets[0])):
            skipped |= {id(inner) for inner in ast.walk(node.value)}
        elif isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            own = node.args if called in _PROGRAM_CALLS else []
            own = [*own, *(k.value for k in node.keywords if k.arg in _DATA_KEYWORDS)]
            skipped |= {id(inner) for argument in own for inner in ast.walk(argument)}
    for node in ast.walk(tree):
        if id(node) in skipped:
            continue
        if isinstance(node, ast.JoinedStr):
            skipped |= {id(value) for value in node.values if isinstance(value, ast.Constant)}
            text = "".join(v.value if isinstance(v, ast.Constant) else _FILLED for v in node.values)
            if _reads_as_words(text):
                yield node.lineno, text.replace(_FILLED, "{}")
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and _reads_as_words(node.value):
            yield node.lineno, node.value


def _reads_as_words(text: str) -> bool:
    """Three words in a row, of which values that are filled in count as one; or two that end as a sentence does."""
    if _CODE.search(text):
        return False
    run = real = 0
    for token in text.replace("<br/>", " ").split():
        if _WORD.fullmatch(token):
            run, real = run + 1, real + 1
        elif _FILLED in token:
            run += 1
        else:
            run = real = 0
        if (run >= 3 and real >= 2) or (real >= 2 and token[-1] in ".:;"):
            return True
    return False
