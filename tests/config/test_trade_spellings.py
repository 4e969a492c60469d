"""A catalogue written in the spellings of the trade is the same as one written in config names."""

from pathlib import Path

import pytest

from tablegen.config.loader import load_catalogue
from tablegen.config.starter import start_catalogue
from tablegen.sweep.identity import identity

SPELLINGS = {
    "psi_gauge": "psig", "psi_absolute": "psia", "kPa_absolute": "kPaa", " degF": "°F", "percent": "%", "kBtu/h": "MBH",
    "ton_refrigeration": "tons", "delta_°F": "delta F", " L/h": "l/h",
}  # fmt: skip


def written_in_the_trade(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    lines = []
    for line in text.splitlines():
        key, colon, value = line.partition(": ")
        # Keys that name a unit, and texts, stay as they are.
        if not colon or key.strip(" -") in ("source", "note", "load_unit", "temperatures_in", "why", "flow_law_reason"):
            lines.append(line)
            continue
        for name, trade in SPELLINGS.items():
            value = value.replace(name, trade)
        lines.append(key + colon + value)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


@pytest.mark.parametrize("part", ["applications", "families"])
def test_a_catalogue_in_the_spellings_of_the_trade_is_the_same(part, tmp_path):
    start_catalogue(tmp_path / "one", None)
    start_catalogue(tmp_path / "two", None)
    changed = 0
    for path in (tmp_path / "two" / part).glob("*.yaml"):
        before = path.read_bytes()
        written_in_the_trade(path)
        changed += path.read_bytes() != before
    assert changed > 1
    one, two = (load_catalogue(tmp_path / name / "catalogue.yaml") for name in ("one", "two"))
    assert identity(getattr(one, part)) == identity(getattr(two, part))
