"""The demo's old guide, made from a known truth: `python -m tests.legacy.demo_guide` writes it anew."""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.legacy.planted import W_PER_KBTU_H, noisy, old_windows
from tests.small import DEMO, Edit

GUIDE = DEMO / "legacy" / "old_guide.csv"
LOW_HEAD: Edit = ("applications/walk_in_medium.yaml", "head_pressure: 135 psi_gauge", "head_pressure: 165 psi_gauge")
# Rows every 5 degF, where the demo has one every 2.
ROWS: tuple[Edit, ...] = (
    ("applications/walk_in_medium.yaml", "step: 2 delta_degF", "step: 5 delta_degF"),
    ("applications/walk_in_medium.yaml", "example_sst: 24 degF", "example_sst: 25 degF"),
)
NAMES = {"R404A-R507A": "404A / 507A", "R134a": "R-134A"}
HEADER = "Series,Port,Refrigerant,Evaporating (degF),Minimum (kBtu/h),Maximum (kBtu/h)"
# The old series has one size more, below the smallest, of this share of its Kv.
SMALLER = 0.71


def text_of_guide(folder: Path) -> str:
    """The whole file; a catalogue with the old low head is left in the folder."""
    frame = noisy(old_windows(folder / "old", (LOW_HEAD, *ROWS), source=DEMO), 0.01, 20261125)
    lines = [HEADER]
    for group, own in frame.groupby("group", sort=False):
        sizes = list(dict.fromkeys(own["size"]))
        for port, (size, share) in zip(
            "abcdefghij", [(sizes[0], SMALLER), *((size, 1.0) for size in sizes)], strict=True
        ):
            for row in own[own["size"] == size].sort_values("sst_k").itertuples():
                limits = (f"{share * w / W_PER_KBTU_H:.3g}" for w in (row.min_load_w, row.max_load_w))
                sst = f"{row.sst_k * 1.8 - 459.67:.0f}"
                lines.append(",".join(["Old line", port, NAMES[str(group)], sst, *limits]))
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        GUIDE.write_text(text_of_guide(Path(folder)), encoding="utf-8")
