"""Figures that notebooks state, stated anew: `python -m tests.manual.notebook_figures` after the demo has changed.

Each is the text of an `assert`; where it is another now, the assertion and the sentences with it get the new one.
"""

from __future__ import annotations

import ast
import contextlib
import io
import json
import re
from pathlib import Path

import tablegen

FOLDER = Path(tablegen.__file__).parent / "manual" / "notebooks"


def new_figures(source: str, scope: dict[str, object]) -> dict[str, str]:
    """Run a cell; what its assertions state by what is computed, where the two differ."""
    changed = {}
    for statement in ast.parse(source).body:
        compared = statement.test if isinstance(statement, ast.Assert) else None
        is_text = isinstance(compared, ast.Compare) and isinstance(compared.comparators[0], ast.Constant)
        if is_text and isinstance(old := compared.comparators[0].value, str) and isinstance(compared.ops[0], ast.Eq):
            now = eval(compile(ast.Expression(compared.left), "cell", "eval"), scope)
            if now != old:
                changed[old] = now
        else:
            exec(compile(ast.Module([statement], []), "cell", "exec"), scope)
    return changed


def restated(text: str, changed: dict[str, str], wraps: str = r"\s+") -> str:
    """A text with the new figures, also where a phrase goes on in the next line."""
    for old in sorted(changed, key=len, reverse=True):
        phrase = wraps.join(re.escape(word) for word in old.split(" "))
        text = re.sub(rf"(?<![\d.]){phrase}(?!\d|\.\d)", lambda _, old=old: changed[old].replace(" ", "\0"), text)
    return text.replace("\0", " ")


def state_anew(path: Path) -> None:
    """Write a notebook with its figures as they are now."""
    notebook = json.loads(path.read_text(encoding="utf-8"))
    scope: dict[str, object] = {}
    changed: dict[str, str] = {}
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            source = "".join(cell["source"])
            with contextlib.redirect_stdout(io.StringIO()):
                own = new_figures(source, scope)
            changed |= own
            cell["source"] = restated(source, own, " ").splitlines(keepends=True)
    for cell in notebook["cells"]:
        if cell["cell_type"] == "markdown":
            cell["source"] = restated("".join(cell["source"]), changed).splitlines(keepends=True)
    path.write_text(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    for notebook_path in sorted(FOLDER.glob("*.ipynb")):
        state_anew(notebook_path)
