"""How long the property tables of the whole registry take, cold and warm, beside high-level calls for each state.

Run with `python -m tests.benchmarks.properties`.  Quote the ratios: single times depend on the machine.
The limits are those the project set itself: 10 s cold (with packaged critical points), 0.3 s warm.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from CoolProp.CoolProp import PropsSI

from tablegen.config.refrigerant_files import load_registry
from tablegen.model.property_store import PropertyStore
from tablegen.model.registry import RefrigerantRecord
from tablegen.physics.refrigerants import Refrigerant

WARM_ROUNDS = 5
COLD_LIMIT_S, WARM_LIMIT_S = 10.0, 0.3
# States of the naive loop: bubble and dew on a grid, every one by a high-level call of its own.
NAIVE = ("R134a", "R404A", "R448A")
GRID_K = np.linspace(225.0, 320.0, 30)
# Warm look-up in a process of its own, after numpy is there: the tables, and nothing that an earlier round left.
FRESH = """
import sys, time
import numpy, numpy.polynomial, zipfile
from tablegen.model.property_store import PropertyStore
from tablegen.config.refrigerant_files import load_registry
records = load_registry().records
from pathlib import Path
start = time.perf_counter()
store = PropertyStore(Path(sys.argv[1]))
for record in records.values():
    store.refrigerant(record.definition)
print(time.perf_counter() - start)
assert "CoolProp" not in sys.modules
"""


def timed(job: Callable[[], object]) -> float:
    """Wall time of a job [s]."""
    start = time.perf_counter()
    job()
    return time.perf_counter() - start


def build_all(records: dict[str, RefrigerantRecord], folder: Path) -> list[Refrigerant]:
    """Every table, by a store that knows nothing yet."""
    store = PropertyStore(folder)
    return [store.refrigerant(record.definition) for record in records.values()]


def naive(record: RefrigerantRecord) -> None:
    """Pressure, density and enthalpy of both saturated states: one high-level call for each figure."""
    parts = zip(record.definition.components, record.definition.mass_fractions, strict=True)
    masses = {name: share / PropsSI("M", name) for name, share in parts}
    total = sum(masses.values())
    name = "HEOS::" + "&".join(f"{n}[{m / total:.8f}]" for n, m in masses.items())
    if len(masses) == 1:
        name = f"HEOS::{record.definition.components[0]}"
    for temperature in GRID_K:
        for quality in (0, 1):
            for output in ("P", "D", "H"):
                PropsSI(output, "T", float(temperature), "Q", quality, name)


def by_table(refrigerant: Refrigerant) -> None:
    """The same figures from the table."""
    refrigerant.bubble(GRID_K)
    refrigerant.dew(GRID_K)


def main() -> None:
    """Print the figures."""
    records = load_registry().records
    # The library itself takes two seconds to load; that is not the tables' time.
    build_all({"R134a": records["R134a"]}, Path(tempfile.mkdtemp()))
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        cold = timed(lambda: build_all(records, folder))
        size = sum(f.stat().st_size for f in folder.iterdir())
        command = [sys.executable, "-c", FRESH, name]
        runs = [subprocess.run(command, capture_output=True, text=True, check=True).stdout for _ in range(WARM_ROUNDS)]
        warm = statistics.median(map(float, runs))
        made = {r.name: r for r in build_all(records, folder)}
    print(f"{len(records)} refrigerants, {size / 1e6:.1f} MB of tables")
    print(f"cold {cold:.2f} s, share of the limit of {COLD_LIMIT_S:g} s: {cold / COLD_LIMIT_S:.2f}")
    print(f"warm {warm:.3f} s, share of the limit of {WARM_LIMIT_S:g} s: {warm / WARM_LIMIT_S:.2f}")
    print(f"cold over warm {cold / warm:.0f}")
    for refrigerant in NAIVE:
        loop = timed(lambda n=refrigerant: naive(records[n]))
        table = min(timed(lambda n=refrigerant: by_table(made[n])) for _ in range(20))
        one = timed(lambda n=refrigerant: PropertyStore(Path(tempfile.mkdtemp())).refrigerant(records[n].definition))
        print(
            f"{refrigerant}: naive loop over {2 * len(GRID_K)} states {loop:.3f} s, that is {loop / table:.0f} times "
            f"the table's own, and {loop / one:.1f} times the building of the whole table"
        )


if __name__ == "__main__":
    main()
