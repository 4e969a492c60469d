"""Tests on mutants, each in a process of its own: `python -m tests.mutant_runs NAMES` in the folder that mutmut makes.

mutmut itself starts pytest for every mutant, which then looks for hundreds of tests by name and runs them in any order.
Here they are found once. Each mutant is a fork of that process and runs the tests that meet it, quickest first, up to the
first that fails.
"""

from __future__ import annotations

import json
import os
import signal
import sys
from collections import defaultdict
from pathlib import Path

import pytest
from _pytest.runner import runtestprotocol

METAS = Path("tablegen/physics")
# As mutmut has them.
KILLED, SURVIVED, UNTESTED = 1, 0, 33
# A mutant that takes so many times as long as its tests, and so many seconds, does not end.
_PATIENCE, _LEAST_S = 15, 60


class Mutants:
    """The plugin: in place of the tests, what they make of each mutant."""

    def __init__(self, names: list[str], workers: int) -> None:
        stats = json.loads(Path("mutmut-stats.json").read_text(encoding="utf-8"))
        self._met, self._seconds = stats["tests_by_mangled_function_name"], stats["duration_by_test"]
        self._names, self._workers = names, workers
        self._running: dict[int, str] = {}
        self._codes: dict[str, int] = {}

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Once all tests are found."""
        items = {item.nodeid: item for item in session.items}
        for name in self._names:
            tests = self._met.get(name.rpartition("__mutmut_")[0], [])
            own = sorted((t for t in tests if t in items), key=lambda test: self._seconds.get(test, 0.0))
            if not own:
                self._codes[name] = UNTESTED
                continue
            if len(self._running) >= self._workers:
                self._wait()
            if (child := os.fork()) == 0:
                self._run(name, [items[test] for test in own], sum(self._seconds.get(test, 0.0) for test in own))
            self._running[child] = name
        while self._running:
            self._wait()
        self._write()
        return True

    def _run(self, name: str, tests: list[pytest.Item], seconds: float) -> None:
        """In the child, which ends here: a mutant that does not end is ended by the alarm."""
        code = KILLED
        try:
            nothing = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nothing, 1)
            os.dup2(nothing, 2)
            os.environ["MUTANT_UNDER_TEST"] = name
            signal.alarm(round(_PATIENCE * seconds) + _LEAST_S)
            if all(not report.failed for test in tests for report in runtestprotocol(test, log=False)):
                code = SURVIVED
        finally:
            os._exit(code)

    def _wait(self) -> None:
        child, status = os.wait()
        self._codes[self._running.pop(child)] = os.waitstatus_to_exitcode(status)
        if len(self._codes) % 50 == 0:
            alive = sum(code in (SURVIVED, UNTESTED) for code in self._codes.values())
            print(f"{len(self._codes)} of {len(self._names)}, {alive} alive", file=sys.stderr, flush=True)
            self._write()

    def _write(self) -> None:
        """Into the files of mutmut, so that a run that is broken off is not lost."""
        by_module: dict[str, dict[str, int]] = defaultdict(dict)
        for name, code in self._codes.items():
            by_module[name.split(".")[2]][name] = code
        for module, codes in by_module.items():
            path = METAS / f"{module}.py.meta"
            meta = json.loads(path.read_text(encoding="utf-8"))
            meta["exit_code_by_key"] |= codes
            path.write_text(json.dumps(meta, indent=4), encoding="utf-8")


def main(names: Path, workers: int, options: list[str]) -> int:
    """Run the mutants that a file names, one a line, with the options and tests that pytest is given."""
    plugin = Mutants(names.read_text(encoding="utf-8").split(), workers)
    return int(pytest.main(["--rootdir=.", "-q", *options], plugins=[plugin]))


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), int(sys.argv[2]), sys.argv[3:]))
