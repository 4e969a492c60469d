"""The sheet of a trace has each figure of the config files beside its own symbol: the PDF is read back."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tests.demo import CATALOGUE, page_texts
from tests.small import small_catalogue

MEDIUM = ["--sst", "24 degF", "--application", "walk_in_medium"]
CELLS = [
    ["alder", "90", "R448A-family", *MEDIUM],
    ["alder", "90", "R448A-family", *MEDIUM, "--units", "SI", "--paper", "a4"],
    ["rowan", "6.3", "R404A-R507A", *MEDIUM],
    ["hazel", "250", "R404A-R507A", *MEDIUM],
    ["larch", "200", "R448A-family", *MEDIUM],
    ["alder", "45", "R404A-R507A", "--sst", "24 degF", "--application", "walk_in_medium_lift"],
]
DESIGNS = """
port_designs:
  - design: large_port_with_a_long_name
    opening: {stop: 115 percent, minimum_stable: 22 percent, characteristic: linear}
    port: {unbalance: 0.3 percent}
"""


def with_port_designs(folder: Path) -> Path:
    """The demo's valve with a size of a port design, whose keys are long."""
    made = small_catalogue(folder, ["alder"], {"R404A": ["R404A"]}, ["walk_in_medium"])
    file = folder / "families" / "alder.yaml"
    text = file.read_text(encoding="utf-8")
    text, count = re.subn(r"(- \{size: 90, kv: [^}]*)\}", r"\1, port_design: large_port_with_a_long_name}", text)
    assert count == 1
    file.write_text(text + DESIGNS, encoding="utf-8")
    return made


def squeezed(text: str) -> str:
    """Without spaces and the marks of indices."""
    return re.sub(r"[\s\u00a0_]", "", text)


def check(cell: list[str], catalogue: Path, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = folder / "sheet.pdf"
    assert main(["trace", *cell, "--catalogue", str(catalogue), "--output", str(target), "--json"]) == 0
    given = json.loads(capsys.readouterr().out)["tables"]["given"]
    assert (
        main(["trace", *cell[: cell.index("--paper") if "--paper" in cell else None], "--catalogue", str(catalogue)])
        == 0
    )
    lines = capsys.readouterr().out.split("Constants\n")[0].splitlines()
    found = squeezed("".join(page_texts(target.read_bytes())))
    checked = 0
    for number, line in enumerate(lines):
        own = re.match(r" *(\S+)  = (\S+)(?:\u00a0| )?(\S*)   ", line)
        key = re.match(r" +([\w.\[\]]+): ", lines[number + 1]) if number + 1 < len(lines) else None
        if own is None or key is None or re.fullmatch(r"C\d+", own[1]):
            continue
        assert squeezed(f"{own[1]}{own[2]}{own[3]}{key[1]}") in found, line
        checked += 1
    assert checked >= 15 and checked <= len(given)


@pytest.mark.parametrize("cell", CELLS, ids=lambda cell: "-".join(cell[:2] + cell[4:7:2]))
def test_each_figure_is_beside_its_symbol(cell, tmp_path, capsys):
    check(cell, CATALOGUE, tmp_path, capsys)


@pytest.mark.slow
def test_where_the_keys_are_too_long_for_two_columns(tmp_path, capsys):
    check(["alder", "90", "R404A", *MEDIUM], with_port_designs(tmp_path / "own"), tmp_path, capsys)
