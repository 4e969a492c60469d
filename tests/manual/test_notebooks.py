"""The notebooks run from top to bottom, state no figure that a cell does not compute, and are stored without outputs."""

import ast
import functools
import json
import re
from pathlib import Path

import pytest

import tablegen

FOLDER = Path(tablegen.__file__).parent / "manual" / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))
LESSONS = [path for path in NOTEBOOKS if not path.stem.endswith("_answers")]
each = pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)


@functools.cache
def cells(path: Path) -> list[tuple[str, str]]:
    """Kind and text of each cell."""
    return [(c["cell_type"], "".join(c["source"])) for c in json.loads(path.read_text(encoding="utf-8"))["cells"]]


def stated(texts: list[str], trees: list[ast.Module]) -> list[str]:
    """Lines of a text that have a digit left when the phrases of assertions, and what calls are given, are taken out."""
    asserted = [node for tree in trees for node in ast.walk(tree) if isinstance(node, ast.Assert)]
    compared = [c.value for own in asserted for c in ast.walk(own.test) if isinstance(c, ast.Constant)]
    arguments = [
        value.value
        for tree in trees
        for value in ast.walk(tree)
        if isinstance(value, ast.Constant) and isinstance(value.value, str) and re.search(r"[A-Za-z]", value.value)
    ]
    given = [text.replace("degF", "°F") for text in arguments if len(text) < 20]
    phrases = sorted({p for p in (*compared, *given) if isinstance(p, str) and re.search(r"\d", p)}, key=len)
    left = []
    for text in texts:
        # Code that the reader may try, and the numbers of a list, state nothing.
        text = re.sub(r"`[^`]*`|^\d+\. ", " ", text, flags=re.M)
        text = " ".join(text.split())
        for phrase in reversed(phrases):
            text = re.sub(rf"(?<![\d.]){re.escape(phrase)}(?![\d]|\.\d)", " ", text)
        left += [part for part in re.split(r"(?<=[.:;]) ", text) if re.search(r"\d", part)]
    return left


def test_there_are_two_lessons_with_their_answers_beside_them():
    lessons = ["first_window", "floating_head_pressure"]
    assert [path.stem for path in LESSONS] == lessons
    assert {path.stem for path in NOTEBOOKS} == {*lessons, *(f"{own}_answers" for own in lessons)}


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_answers_no_question_and_its_checks_say_what_a_change_means(path, capsys):
    code = [text for kind, text in cells(path) if kind == "code"]
    assert any("Questions for the class" in text for kind, text in cells(path) if kind == "markdown")
    assert not any("for the teacher" in text for _, text in cells(path))
    checks = [own for text in code for own in ast.walk(ast.parse(text)) if isinstance(own, ast.Assert)]
    assert len(checks) > 10
    assert all(isinstance(own.msg, ast.Name) and own.msg.id == "UNCHANGED" for own in checks)
    changed = "\n".join(code).replace('8 kBtu/h"', '7 kBtu/h"')
    with pytest.raises(AssertionError, match="The text states this figure for the original inputs"):
        exec(changed, {})
    capsys.readouterr()


@each
def test_every_cell_runs_in_order_and_what_it_shows_is_shown(path, capsys):
    scope: dict[str, object] = {}
    shown = 0
    for kind, text in cells(path):
        if kind != "code":
            continue
        *before, last = ast.parse(text).body
        is_shown = isinstance(last, ast.Expr)
        rest = ast.Module(before if is_shown else [*before, last], [])
        exec(compile(rest, path.name, "exec"), scope)
        if is_shown:
            value = eval(compile(ast.Expression(last.value), path.name, "eval"), scope)
            assert len(value._repr_html_() if hasattr(value, "_repr_html_") else str(value)) > 100
            shown += 1
    assert shown > 2 or path not in LESSONS
    capsys.readouterr()


@each
def test_every_figure_of_the_text_is_computed_in_a_cell(path):
    texts = [text for kind, text in cells(path) if kind == "markdown"]
    trees = [ast.parse(text) for kind, text in cells(path) if kind == "code"]
    assert stated(texts, trees) == []
    if path not in LESSONS:
        return
    # A sentence with another figure is found.
    figure = next(match[1] for text in texts if (match := re.search(r" (\d+\.\d) kBtu/h", text)))
    changed = [text.replace(figure, f"{float(figure) + 1.0:.1f}") for text in texts]
    assert changed != texts and stated(changed, trees)


@each
def test_it_is_stored_as_a_notebook_without_outputs(path):
    content = path.read_bytes().decode("utf-8")
    book = json.loads(content)
    assert content == json.dumps(book, indent=1, ensure_ascii=False) + "\n"
    assert (book["nbformat"], book["nbformat_minor"]) == (4, 5)
    names = [cell["id"] for cell in book["cells"]]
    assert len(set(names)) == len(names) and all(re.fullmatch(r"[a-z0-9-]{1,64}", name) for name in names)
    for cell in book["cells"]:
        assert cell["metadata"] == {}
        if cell["cell_type"] == "code":
            assert cell["outputs"] == [] and cell["execution_count"] is None


@each
def test_it_needs_nothing_but_what_the_package_needs(path):
    imported = {
        name.split(".")[0]
        for kind, text in cells(path)
        if kind == "code"
        for node in ast.walk(ast.parse(text))
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module]
            if isinstance(node, ast.ImportFrom)
            else []
        )
    }
    assert imported <= {"tablegen", "numpy", "pandas", "math"}
