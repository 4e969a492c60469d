"""Mutation testing of the physics, outside the ordinary run: `python -m tests.mutants`.

mutmut changes one thing at a time in `tablegen/physics` and finds which tests meet it (`[tool.mutmut]` in pyproject.toml
names them); `mutant_runs` runs them. What no test notices must be listed in `survivors.csv` with the reason; the command
fails where one is not, where one that is listed is gone, or where fewer than 93 of 100 are noticed. `--again` runs those
alone that survived last time, or whose function changed; `--report` reads the last run without another.
"""

from __future__ import annotations

import argparse
import ast
import csv
import difflib
import json
import os
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]
MUTANTS = ROOT / "mutants"
SURVIVORS = Path(__file__).with_name("survivors.csv")
MIN_SHARE = 0.93
# mutmut runs at least one mutant: those of a small module, whose names this begins.
FEW = "tablegen.physics.state.*"
# Exit codes of mutmut by what became of a mutant.
SURVIVED, NO_TESTS = 0, (5, 33)
ALIVE = (SURVIVED, *NO_TESTS)


class Survivor(NamedTuple):
    """What was changed in which function."""

    function: str
    was: str
    became: str


def outcomes() -> dict[str, int | None]:
    """The exit code of every mutant by its name; None where it was not run."""
    found: dict[str, int | None] = {}
    for path in sorted(MUTANTS.glob("tablegen/physics/*.py.meta")):
        found |= json.loads(path.read_text(encoding="utf-8"))["exit_code_by_key"]
    return found


def survivor(key: str) -> Survivor:
    """A mutant by its name, as the change that it is."""
    module, name = key.rsplit(".", 1)
    function = name.rpartition("__mutmut_")[0]
    path = MUTANTS / Path(*module.split(".")).with_suffix(".py")
    was, became = (_lines(path)[f"{function}__mutmut_{kind}"] for kind in ("orig", name.rpartition("_")[2]))
    changed = [line for line in difflib.ndiff(was[1:], became[1:]) if line[:2] in ("- ", "+ ")]
    old, new = (" ".join(line[2:].strip() for line in changed if line[0] == sign) for sign in "-+")
    readable = function.removeprefix("x_").replace("xǁ", "").replace("ǁ", ".")
    return Survivor(f"{module.rpartition('.')[2]}.{readable}", old, new)


_files: dict[Path, dict[str, list[str]]] = {}


def _lines(path: Path) -> dict[str, list[str]]:
    """The lines of every function of a file of mutants, by its name."""
    if path not in _files:
        text = path.read_text(encoding="utf-8")
        lines = text.splitlines()
        functions = (node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.FunctionDef))
        _files[path] = {node.name: lines[node.lineno - 1 : node.end_lineno] for node in functions}
    return _files[path]


def known() -> dict[Survivor, str]:
    """The survivors that are listed, each with its reason."""
    with SURVIVORS.open(encoding="utf-8", newline="") as handle:
        return {Survivor(r["function"], r["was"], r["became"]): r["why"] for r in csv.DictReader(handle)}


def report(found: dict[str, int | None]) -> Iterator[str]:
    """The shares by module, then each survivor that is not listed."""
    by_module: dict[str, Counter[str]] = {}
    for key, code in found.items():
        kind = "not run" if code is None else "alive" if code in ALIVE else "killed"
        by_module.setdefault(key.split(".")[2], Counter())[kind] += 1
    for module, counts in sorted(by_module.items()):
        yield f"{module:20} {counts['killed']:5} killed {counts['alive']:4} alive {counts['not run']:4} not run"
    total: Counter[str] = sum(by_module.values(), Counter())
    ran = total["killed"] + total["alive"]
    yield f"{'all':20} {total['killed']:5} of {ran} killed, {total['killed'] / max(ran, 1):.1%}"
    listed = known()
    alive = [survivor(key) for key, code in found.items() if code in ALIVE]
    for own in alive:
        if own not in listed:
            yield f"not listed: {own.function}: {own.was}  ->  {own.became}"
    there = {survivor(key) for key in found}
    for own in sorted(set(listed) - set(alive)):
        kind = "noticed by now" if own in there else "listed and gone"
        yield f"{kind}: {own.function}: {own.was}  ->  {own.became}"


def run(workers: int, again: bool) -> None:
    """Make the mutants anew where their source changed, and run the tests on all of them, or on those alive or not run."""
    # Which test meets what is found anew.
    (MUTANTS / "mutmut-stats.json").unlink(missing_ok=True)
    environment = {**os.environ, "TABLEGEN_TEST_CACHE": str(MUTANTS.with_name("mutants-tables"))}
    subprocess.run([sys.executable, "-m", "mutmut", "run", FEW], cwd=ROOT, env=environment, check=False)
    names = [key for key, code in outcomes().items() if not again or code is None or code in ALIVE]
    listed = MUTANTS / "names.txt"
    listed.write_text("\n".join(names), encoding="utf-8")
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["mutmut"]
    options = settings["pytest_add_cli_args"] + settings["pytest_add_cli_args_test_selection"]
    command = [sys.executable, "-m", "tests.mutant_runs", listed.name, str(workers), *options]
    environment["PYTHONPATH"] = str(MUTANTS)
    subprocess.run(command, cwd=MUTANTS, env=environment | {"MUTANT_UNDER_TEST": ""}, check=False)


def main() -> int:
    """Run, and compare with the list."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--again", action="store_true")
    parser.add_argument("--report", action="store_true")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    options = parser.parse_args()
    if not options.report:
        run(options.workers, options.again)
    found = outcomes()
    lines = list(report(found))
    print("\n".join(lines))
    killed = sum(code is not None and code not in ALIVE for code in found.values())
    is_enough = bool(found) and None not in found.values() and killed >= MIN_SHARE * len(found)
    return 0 if is_enough and not any("listed" in line for line in lines) else 1


if __name__ == "__main__":
    sys.exit(main())
