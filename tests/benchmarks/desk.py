"""How long a single answer takes, cold, warm and later in one process, beside importing the property library alone.

Run with `python -m tests.benchmarks.desk`.  Quote the ratios: single times depend on the machine.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tablegen.answers.case import Case
from tablegen.answers.pick import pick
from tablegen.config.loader import load_catalogue
from tests.demo import CATALOGUE

ROUNDS = 5
LATER = 40
ASK = [
    "-m",
    "tablegen",
    "pick",
    "R448A",
    "--sst",
    "24 degF",
    "--load",
    "20 kBtu/h",
    "--application",
    "walk_in_medium",
    "--catalogue",
]


def process(folder: Path, *arguments: str) -> float:
    """Wall time of a process with its own cache folder [s]."""
    start = time.perf_counter()
    subprocess.run(
        [sys.executable, *arguments], check=True, capture_output=True, env={**os.environ, "TABLEGEN_CACHE": str(folder)}
    )
    return time.perf_counter() - start


def first(catalogue: Path) -> tuple[float, float, float]:
    """Median wall times [s]: import of the property library, first answer with nothing cached, and with all of it.

    They take turns, so that a machine that slows down slows all of them; the first round warms the files up.
    """
    rounds = []
    for _ in range(ROUNDS + 1):
        with tempfile.TemporaryDirectory() as name:
            library = process(Path(name), "-c", "import CoolProp.CoolProp")
            rounds.append((library, *(process(Path(name), *ASK, str(catalogue)) for _ in range(2))))
    library, cold, warm = (statistics.median(times) for times in zip(*rounds[1:], strict=True))
    return library, cold, warm


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
    """Print the figures; the ratios are those to the import of the property library."""
    library, cold, warm = first(CATALOGUE)
    again = later()
    print(f"import of the property library {library:.2f} s")
    print(f"first answer, nothing kept: {cold:.2f} s, ratio {cold / library:.2f}")
    print(f"first answer, tables and configs kept: {warm:.2f} s, ratio {warm / library:.2f}")
    print(f"later answers {1000 * again:.0f} ms, ratio {again / library:.4f}")
    with tempfile.TemporaryDirectory() as name:
        shutil.copytree(CATALOGUE.parent, Path(name) / "own")
        library, cold, warm = first(Path(name) / "own" / "catalogue.yaml")
    print(f"a catalogue of one's own, every rule held: cold ratio {cold / library:.2f}, warm {warm / library:.2f}")


if __name__ == "__main__":
    main()
