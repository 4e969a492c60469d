"""How long a warm build of the demo takes, beside a naive loop over the same property states.

Run with `python -m tests.benchmarks.build`.  Quote the ratios: single times depend on the machine.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from CoolProp.CoolProp import PropsSI

from tablegen.building import build
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.report.publications.booklet import print_booklet

CATALOGUE = Path(__file__).parents[2] / "configs" / "catalogue.yaml"
ROUNDS = 3
# One high-level call for each of these a state: how a spreadsheet with a property add-in works.
NAIVE_CALLS = (("P", "T", "Q", 1), ("P", "T", "Q", 0), ("D", "T", "Q", 0), ("H", "T", "Q", 0), ("H", "T", "Q", 1))
NAIVE_STATES = 60


def timed(job: Callable[[], object]) -> float:
    """Median wall time of a job [s], after one round to warm up."""
    job()
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def naive(count: int) -> None:
    """High-level calls for R448A by its components, cold each time."""
    mixture = "R32[0.4312]&R125[0.1869]&R1234yf[0.1513]&R134a[0.1776]&R1234ze(E)[0.0530]"
    for i in range(count):
        for output, name, second, quality in NAIVE_CALLS:
            PropsSI(output, name, 240.0 + 0.5 * i, second, quality, f"HEOS::{mixture}")


def main() -> None:
    """Print the figures."""
    catalogue = load_catalogue(CATALOGUE)
    data = compute(catalogue)
    with tempfile.TemporaryDirectory() as folder:
        whole = timed(lambda: build(CATALOGUE, Path(folder)))
        sweep = timed(lambda: compute(load_catalogue(CATALOGUE)))
        booklet = timed(lambda: print_booklet(data, "booklet", Path(folder) / "b.pdf"))
    loop = timed(lambda: naive(NAIVE_STATES)) / NAIVE_STATES
    states = len(data.states)
    print(f"warm build {whole:.2f} s for {states} states and {len(data.windows)} windows")
    print(f"  share of configs, states and windows {sweep / whole:.2f}, of the booklet {booklet / whole:.2f}, the rest")
    print("  for the spreadsheet, the graph files, the attachments and the other publications")
    print(f"booklet {booklet:.2f} s, share of the limit of 10 s: {booklet / 10.0:.2f}")
    share = states * loop / whole
    print(f"naive loop {1000 * loop:.1f} ms a state; its {states} states over the whole build {share:.1f}")


if __name__ == "__main__":
    main()
