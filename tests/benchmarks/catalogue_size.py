"""What a data set costs by the number of families, what windows cost beside a naive loop, and by what computes them.

Run with `python -m tests.benchmarks.catalogue_size [MOST]`, MOST the maximum number of families (1000).  Quote the
ratios: single times depend on the machine.  The naive loop solves every cell by itself, as a spreadsheet does.  Each
data set is computed and written by a process of its own, which states its CPU time and its peak memory; the demo's
families are taken again and again, and then the wide catalogue of `tests.wide`, from its config files on.
"""

from __future__ import annotations

import itertools
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute, compute_windows
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import law_of, solve, unit_window
from tablegen.sweep.parts import Inline, WindowCache
from tablegen.sweep.sweep import SweepOptions
from tablegen.workers import workers
from tests import wide
from tests.large import large_catalogue

CATALOGUE = Path(__file__).parents[2] / "configs" / "catalogue.yaml"
SIZES = (1, 10, 100, 1000)
ROUNDS = 3
NAIVE_CELLS = 200
SHARED = 100
WIDE = 100


def timed(job: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Median wall time of a job [s]."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def naive(catalogue: Catalogue, count: int) -> int:
    """So many cells, each solved by itself; how many there were."""
    cells = (
        (catalogue.families[c.family], size, catalogue.refrigerants[member], catalogue.applications[c.application], i)
        for c in catalogue.combinations
        for member in catalogue.groups[c.group].members
        for size in catalogue.families[c.family].sizes
        for i in range(len(catalogue.applications[c.application].sst_k))
    )
    done = 0
    for family, size, refrigerant, application, i in itertools.islice(cells, 0, 50 * count, 50):
        here = replace(application, sst_k=application.sst_k[i : i + 1])
        window = unit_window(family, solve(refrigerant, here, [law_of(family)]))[2]
        assert window.min_load_w * size.kv_rated_m3h is not None
        done += 1
    return done


def write_data_set(catalogue: Catalogue, start: float = 0.0) -> None:
    """Compute and write a data set in this process; print its windows, CPU time since a start, and peak memory."""
    with tempfile.TemporaryDirectory() as name:
        data = compute(catalogue)
        data.write(Path(name))
        size = sum(path.stat().st_size for path in Path(name).iterdir())
        print(f"{len(data.windows)} {size / 1e6:.0f} {time.process_time() - start:.1f} {peak_mb():.0f}")


def peak_mb() -> float:
    """The most memory that this process took [MB]; NaN where the system does not tell."""
    try:
        import resource
    except ImportError:
        return float("nan")
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def in_a_process(*what: str) -> tuple[int, int, float, int]:
    """Windows, megabytes of files, CPU time [s] and peak memory [MB] of a data set that a process of its own writes."""
    command = [sys.executable, "-m", "tests.benchmarks.catalogue_size", *what]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    windows, size, seconds, memory = done.stdout.split()
    return int(windows), int(size), float(seconds), int(memory)


def data_sets(most: int) -> None:
    """How CPU time and memory of a data set grow with the families."""
    for count in (n for n in SIZES if n <= most):
        windows, size, seconds, memory = in_a_process("--families", str(count))
        print(
            f"{count:5} families, {windows:8} windows, {size:5} MB: data set {seconds:7.1f} s, {memory:5} MB",
            flush=True,
        )
    count = min(WIDE, most)
    windows, size, seconds, memory = in_a_process("--wide", str(count))
    print(
        f"{count} families x {wide.SIZES} sizes x {len(wide.REFRIGERANTS)} refrigerants x 4 applications x 13 SSTs, from its "
        f"files on: {windows} windows, {size} MB: {seconds:.1f} s (60 s), {memory} MB (1000 MB)",
        flush=True,
    )


def main() -> None:
    """Print the figures."""
    if sys.argv[1:2] == ["--families"]:
        write_data_set(large_catalogue(replace(load_catalogue(CATALOGUE), confidence=None), int(sys.argv[2])))
        return
    if sys.argv[1:2] == ["--wide"]:
        with tempfile.TemporaryDirectory() as name:
            path = wide.wide_catalogue(Path(name) / "wide", int(sys.argv[2]))
            start = time.process_time()
            write_data_set(load_catalogue(path), start)
        return
    most = int(sys.argv[1]) if len(sys.argv) > 1 else SIZES[-1]
    data_sets(most)
    demo = replace(load_catalogue(CATALOGUE), confidence=None)
    compute_windows(large_catalogue(demo, 1))
    cost = {}
    for count in (n for n in SIZES if n <= most):
        catalogue = large_catalogue(demo, count)
        rows = len(compute_windows(catalogue).windows)
        seconds = timed(lambda c=catalogue: compute_windows(c), ROUNDS if count < SIZES[-1] else 1)
        cost[count] = seconds, rows
        per_row = 1e6 * seconds / rows
        print(f"{count:5} families, {rows:8} windows: {seconds:7.2f} s, {per_row:6.1f} us a window")
    first, last = min(cost), max(cost)
    ratio = (cost[last][0] / cost[last][1]) / (cost[first][0] / cost[first][1])
    print(f"a window among {last} families over one of {first}: {ratio:.2f}")
    loop = timed(lambda: naive(demo, NAIVE_CELLS)) / naive(demo, NAIVE_CELLS)
    for count, (seconds, rows) in cost.items():
        print(f"naive loop over the sweep of {count} families: {loop * rows / seconds:.0f}")
    shared = large_catalogue(demo, min(SHARED, most))
    inline = timed(lambda: compute_windows(shared))

    def by(pool: Executor) -> float:
        compute_windows(shared, SweepOptions(pool))
        return timed(lambda: compute_windows(shared, SweepOptions(pool)))

    with workers(2) as processes, ThreadPoolExecutor(2) as threads:
        assert processes is not None
        print(f"{min(SHARED, most)} families, share of the time in one thread:")
        print(f"  two processes {by(processes) / inline:.2f}")
        print(f"  two threads {by(threads) / inline:.2f}")
    with tempfile.TemporaryDirectory() as name:
        options = SweepOptions(Inline(), WindowCache(Path(name)))
        first_time = timed(lambda: compute_windows(shared, options), 1)
        print(f"  parts cached: the first time {first_time / inline:.2f}")
        print(f"  all parts found {timed(lambda: compute_windows(shared, options)) / inline:.2f}")


if __name__ == "__main__":
    main()
