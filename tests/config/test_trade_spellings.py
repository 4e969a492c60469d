"""A catalogue written in the spellings of the trade is the same as one written in config names."""

from pathlib import Path

import pytest

from tablegen.config.loader import load_catalogue
from tablegen.config.starter import start_catalogue
from tablegen.sweep.identity import identity

SPELLINGS = {
    "R404A": "R-404A",
    "R507A": "r507a",
    "R448A": "448A",
    "R134a": "R134A",
    "R32,": "R-32,",
    "psi_gauge": "psig",
    "psi_absolute": "psia",
    "kPa_absolute": "kPaa",
    " degF": "°F",
    "percent": "%",
    "kBtu/h": "MBH",
    "ton_refrigeration": "tons",
    "delta_°F": "delta F",
    " L/h": "l/h",
}


# Keys that are texts, names or names of units.
UNCHANGED = {
    "source",
    "note",
    "title",
    "name",
    "display",
    "why",
    "flow_law_reason",
    "group",
    "charge",
    "load_unit",
    "temperatures_in",
}


def written_in_the_trade(path: Path) -> None:
    lines = []
    for line in path.read_text(encoding="utf-8").splitlines():
        key, colon, value = line.partition(": ")
        if key.strip(" -") not in UNCHANGED:
            for name, trade in SPELLINGS.items():
                value = value.replace(name, trade)
        lines.append(key + colon + value)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


@pytest.mark.parametrize("part", ["applications", "families", "groups"])
def test_a_catalogue_in_the_spellings_of_the_trade_is_the_same(part, tmp_path):
    start_catalogue(tmp_path / "one", None)
    start_catalogue(tmp_path / "two", None)
    changed = 0
    folder = tmp_path / "two"
    for path in [folder / "groups.yaml"] if part == "groups" else (folder / part).glob("*.yaml"):
        before = path.read_bytes()
        written_in_the_trade(path)
        changed += path.read_bytes() != before
    assert changed
    one, two = (load_catalogue(tmp_path / name / "catalogue.yaml") for name in ("one", "two"))
    assert identity(getattr(one, part)) == identity(getattr(two, part))
