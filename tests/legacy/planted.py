"""Old tables with a known truth: limits of the demo with one input changed, by other names, rounded, with noise."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pandas as pd

from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute_windows
from tests.small import Edit, small_catalogue
from tests.worked import WORKED

W_PER_KBTU_H = 293.0710701722222
GROUPS = {"R404A-R507A": ["R404A", "R507A"], "R134a": ["R134a"]}
STOP: Edit = ("families/alder.yaml", "stop: 120 percent", "stop: 100 percent")
DISTRIBUTOR: Edit = ("applications/walk_in_medium.yaml", "distributor: 25 psi", "distributor: 10 psi")
LOW_HEAD: Edit = ("applications/walk_in_medium.yaml", "head_pressure: 135 psi_gauge", "head_pressure: 115 psi_gauge")
# Alder with two port designs, one with a loss in its connections, and a size by another name in print.
DESIGNS: tuple[Edit, ...] = (
    ("families/alder.yaml", "{size: 22, kv: 22.4 L/h}", "{size: 22, kv: 22.4 L/h, port_design: narrow}"),
    ("families/alder.yaml", "{size: 32, kv: 31.5 L/h}", "{size: 32, display: 1/4, kv: 31.5 L/h, port_design: narrow}"),
    ("families/alder.yaml", "{size: 45, kv: 45.0 L/h}", "{size: 45, kv: 45.0 L/h, port_design: wide}"),
    (
        "families/alder.yaml",
        "\nequalizer: external\n",
        """
port_designs:
  - {design: narrow, opening: {stop: 110 percent, reserve_in_limits: 100 percent, minimum_stable: 20 percent}, working_pressure: 500 psi_gauge}
  - design: wide
    opening: {stop: 130 percent, reserve_in_limits: 100 percent, minimum_stable: 15 percent}
    connection_loss: {kv: 0.25 m3/h, size_kv: without_connections}

equalizer: external
""",
    ),
)
HEADINGS = ("Model", "Code", "Refr.", "Use", "Evap (degF)", "Low [kBtu/h]", "High [kBtu/h]", "Price")
MAPPING = """\
columns:
  family: Model
  size: Code
  refrigerant: Refr.
  application: Use
  sst: Evap
  minimum: Low
  maximum: High
names:
  families: {Old Line: alder}
  sizes: {P-11: 11, P-16: 16, P-22: 22, P-32: 32, P-45: 45, P-63: 63, P-90: 90, P-125: 125, P-180: 180}
  refrigerants: {404A / 507: R404A-R507A}
  applications: {Cooler: walk_in_medium}
"""


def old_windows(
    folder: Path,
    edits: Iterable[Edit] = (),
    groups: dict[str, list[str]] | None = None,
    application: str = "walk_in_medium",
    source: Path = WORKED.parent,
) -> pd.DataFrame:
    """The group windows of Alder with some inputs changed in their files, those that are open."""
    path = small_catalogue(folder, ["alder"], groups or GROUPS, [application], edits, source)
    frame = compute_windows(load_catalogue(path)).group_windows
    return frame[frame["max_load_w"].notna()].reset_index(drop=True)


def noisy(frame: pd.DataFrame, share: float, seed: int) -> pd.DataFrame:
    """The limits times a random factor, with three figures in kBtu/h."""
    draws = np.exp(share * np.random.default_rng(seed).standard_normal((len(frame), 2)))
    found = frame.copy()
    for i, name in enumerate(("min_load_w", "max_load_w")):
        figures = [float(f"{value:.3g}") for value in frame[name] / W_PER_KBTU_H * draws[:, i]]
        found[name] = np.array(figures) * W_PER_KBTU_H
    return found


def written(folder: Path, frame: pd.DataFrame, limits: tuple[str, ...] = ("min", "max")) -> tuple[Path, Path]:
    """The table and its mapping file."""
    table, mapping = folder / "old.csv", folder / "old.yaml"
    names = {"R404A-R507A": "404A / 507", "R134a": "R-134A"}
    with table.open("w", newline="", encoding="utf-8") as stream:
        writer = csv.writer(stream)
        writer.writerow(HEADINGS)
        for row in frame.itertuples():
            figures = [
                f"{getattr(row, f'{limit}_load_w') / W_PER_KBTU_H:.3g}" if limit in limits else "-"
                for limit in ("min", "max")
            ]
            sst = f"{row.sst_k * 1.8 - 459.67:.6g}"
            writer.writerow(
                ["Old line", f"P-{row.size}", names.get(row.group, row.group), "cooler", sst, *figures, "12"]
            )
    mapping.write_text(MAPPING, encoding="utf-8")
    return table, mapping
