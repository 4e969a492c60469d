"""How long a single answer takes, first in a process and later ones, beside importing the property library alone.

Run with `python -m tests.benchmarks.desk`.  Quote the ratios: single times depend on the machine.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

from tablegen.config.project import load_catalogue
from tablegen.desk.case import Case
from tablegen.desk.pick import pick
from tests.demo import CATALOGUE

ROUNDS = 5
LATER = 40
ASK = ["-m", "tablegen", "pick", "R448A", "--sst", "24 degF", "--load", "20 kBtu/h", "--catalogue", str(CATALOGUE)]


def process(*arguments: str) -> float:
    """Median wall time of a process [s], after one round to warm up."""
    times = []
    for _ in range(ROUNDS + 1):
        start = time.perf_counter()
        subprocess.run([sys.executable, *arguments], check=True, capture_output=True)
        times.append(time.perf_counter() - start)
    return statistics.median(times[1:])


def later() -> float:
    """Median time of an answer in a process that has given one [s], another case each time."""
    catalogue = load_catalogue(CATALOGUE)
    names = [name for name in catalogue.refrigerants if name != "R407C"]
    times = []
    for i in range(LATER):
        case = Case(names[i % len(names)], 262.0 + 0.2 * i, 3000.0 + 100.0 * i, "walk_in_medium")
        start = time.perf_counter()
        pick(catalogue, case)
        times.append(time.perf_counter() - start)
    return statistics.median(times[1:])


def main() -> None:
    """Print the figures."""
    library = process("-c", "import CoolProp.CoolProp")
    first, again = process(*ASK), later()
    print(f"import of the property library {library:.2f} s")
    print(f"first answer of a process, tables warm: {first:.2f} s, {first / library:.2f} of it")
    print(f"later answers {1000 * again:.0f} ms, {again / library:.4f} of it")


if __name__ == "__main__":
    main()
