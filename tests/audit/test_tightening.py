"""Other corners, the other suction response, temperatures between rows: findings against tables made on purpose."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from tablegen.audit.findings import Cell, Kind, Severity, grouped
from tablegen.audit.prints import Prints
from tablegen.audit.run import Audit, audit
from tablegen.cli.audit_words import FindingFormatter
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute_windows
from tablegen.report.formatter import Formatter
from tests.small import HARD, small_catalogue

MEDIUM = "applications/walk_in_medium.yaml"
# Liquid that is lifted high: the colder it is the denser, so that more of the head is lost on the way up.
HIGH_LIFT = [
    (MEDIUM, "lift: 0 ft", "lift: 95 ft"),
    (MEDIUM, "liquid_line: 5 psi", "liquid_line: 1 psi"),
    (MEDIUM, "distributor: 25 psi", "distributor: 0 psi"),
    (MEDIUM, "evaporator: 2 psi", "evaporator: 0 psi"),
    (MEDIUM, "  subcooling: 9 delta_degF", "  subcooling: 45 delta_degF"),
    (MEDIUM, "maximum: 40 degF", "maximum: 30 degF"),
]
LOW_HEAD = '  inlet_subcooling: 5 delta_degF\n  source: "Within'


def with_subcooling(text: str) -> tuple[str, str, str]:
    return (MEDIUM, LOW_HEAD, f'  {text}\n  source: "Within')


def audited(path: Path) -> tuple[Audit, pd.DataFrame, Prints]:
    catalogue = load_catalogue(path)
    tables = compute_windows(catalogue)
    return audit(catalogue, tables=tables), tables.group_windows, Prints.of(catalogue)


def at(frame: pd.DataFrame, cell: Cell, sst_k: float | None = None) -> pd.Series:
    """The window of a finding in another frame of group windows."""
    own = frame[(frame["family"] == cell.family) & (frame["size"].astype(str) == cell.size)]
    own = own[np.isclose(own["sst_k"], cell.sst_k if sst_k is None else sst_k)]
    ((_, row),) = own.iterrows()
    return row


COLUMN = {"minimum": "min_load_w", "maximum": "max_load_w"}


def test_the_other_end_of_a_range_of_subcooling_is_what_a_table_made_for_it_holds(tmp_path):
    parts = (["hazel"], {"one": ["R404A"]}, ["walk_in_medium"])
    ranged = with_subcooling("inlet_subcooling_range: {minimum: 1 K, maximum: 10 K}")
    found, frame, prints = audited(small_catalogue(tmp_path / "a", *parts, [*HIGH_LIFT, ranged]))
    cells = [c for c in found.cells if c.kind is Kind.SUBCOOLING_CORNER]
    assert cells
    assert {c.limit for c in cells} == {"maximum"}
    colder = small_catalogue(tmp_path / "b", *parts, [*HIGH_LIFT, with_subcooling("inlet_subcooling: 10 K")])
    other = compute_windows(load_catalogue(colder)).group_windows
    for cell in cells:
        published = at(frame, cell)
        assert cell.from_load_w == published["max_load_w"]
        assert cell.to_load_w == pytest.approx(at(other, cell)["max_load_w"], rel=1e-9)
        # A fault only where a printed figure promises more.
        is_more = prints.promises_more("maximum", published["min_load_w"], published["max_load_w"], cell.to_load_w)
        assert (cell.severity is Severity.FAULT) == is_more
    # Where the audit says nothing the other end is not tighter.
    named = {(c.size, round(c.sst_k, 6)) for c in cells}
    for (_, own), (_, moved) in zip(frame.iterrows(), other.iterrows(), strict=True):
        if (own["size"], round(own["sst_k"], 6)) not in named and np.isfinite(own["max_load_w"]):
            assert moved["max_load_w"] >= own["max_load_w"] * (1.0 - 2e-6)


def test_the_other_suction_response_is_what_a_table_made_for_it_holds(tmp_path):
    """Hard case of a table of flows: balanced as it stands, held in the other."""
    parts = (["elm"], {"one": ["R404A"]}, ["table_map"])
    found, frame, _ = audited(small_catalogue(tmp_path / "a", *parts, source=HARD))
    held = ("applications/table_map.yaml", "response: balanced", "response: constant")
    other = compute_windows(load_catalogue(small_catalogue(tmp_path / "b", *parts, [held], source=HARD))).group_windows
    cells = [c for c in found.cells if c.kind is Kind.OTHER_RESPONSE]
    assert {(c.limit, c.detail, c.severity) for c in cells} >= {("minimum", "constant", Severity.REMARK)}
    seen = 0
    for (_, own), (_, moved) in zip(frame.iterrows(), other.iterrows(), strict=True):
        for limit, column in COLUMN.items():
            tighter = moved[column] / own[column] - 1.0
            told = [c for c in cells if c.limit == limit and at(frame, c).name == own.name]
            if (tighter > 1e-6) if limit == "minimum" else (tighter < -1e-6):
                (cell,) = told
                assert cell.to_load_w == pytest.approx(moved[column], rel=1e-9)
                seen += 1
            else:
                assert told == []
    assert seen == len([c for c in cells if c.limit])


def test_a_held_application_without_a_box_is_told_not_to_be_run_and_with_one_it_is(tmp_path):
    path = small_catalogue(tmp_path / "a", ["hazel"], {"one": ["R134a"]}, ["walk_in_medium"])
    catalogue = load_catalogue(path)
    found = audit(catalogue)
    assert [c.application for c in found.cells if c.kind is Kind.RESPONSE_NOT_RUN] == ["walk_in_medium"]
    assert Kind.OTHER_RESPONSE not in {c.kind for c in found.cells}
    assumed = audit(catalogue, box_difference_k=5.0)
    assert Kind.RESPONSE_NOT_RUN not in {c.kind for c in assumed.cells}
    given = ("applications/walk_in_medium.yaml", "  response: constant", "  response: constant\n  box_difference: 5 K")
    own = small_catalogue(tmp_path / "b", ["hazel"], {"one": ["R134a"]}, ["walk_in_medium"], [given])
    assert audit(load_catalogue(own)).cells == assumed.cells


def test_a_limit_between_two_rows_is_what_a_finer_table_holds(tmp_path):
    """Hard case: at an edge of the compressor's table the minimum load turns between two rows."""
    grid = "{minimum: 1 degF, maximum: 31 degF, step: 10 delta_degF}"
    two = grid.replace("minimum: 1 ", "minimum: 11 ").replace("31", "21")
    file, example = "applications/table_map.yaml", ("example_sst: 1 degF", "example_sst: 11 degF")
    coarse, fine = ([(file, grid, g), (file, *example)] for g in (two, two.replace("step: 10", "step: 2.5")))
    parts = (["elm"], {"one": ["R404A", "R134a"]}, ["table_map"])
    found, frame, _ = audited(small_catalogue(tmp_path / "a", *parts, coarse, source=HARD))
    other = compute_windows(load_catalogue(small_catalogue(tmp_path / "b", *parts, fine, source=HARD))).group_windows
    cells = [c for c in found.cells if c.kind is Kind.BETWEEN_ROWS and c.limit]
    assert cells
    ten = 10.0 / 1.8
    for cell in cells:
        pair = at(frame, cell), at(frame, cell, cell.sst_k + ten)
        column = COLUMN[cell.limit]
        promised = max(p[column] for p in pair) if cell.limit == "minimum" else min(p[column] for p in pair)
        assert cell.from_load_w == pytest.approx(promised, rel=1e-9)
        assert cell.to_load_w == pytest.approx(at(other, cell, cell.to_sst_k)[column], rel=1e-9)
        assert cell.sst_k < cell.to_sst_k < cell.sst_k + ten
        assert (cell.to_load_w > promised) if cell.limit == "minimum" else (cell.to_load_w < promised)


def test_a_finding_between_heads_is_told_with_head_size_and_both_figures(tmp_path):
    edits = [
        ("families/rowan.yaml", "unbalance: -2 percent", "unbalance: 8 percent"),
        (MEDIUM, "distributor: 25 psi", "distributor: 50 psi"),
    ]
    path = small_catalogue(tmp_path / "a", ["rowan"], {"one": ["R404A"]}, ["walk_in_medium"], edits)
    catalogue = load_catalogue(path)
    found = audit(catalogue)
    faults = [f for f in grouped(found.cells) if f.kind is Kind.BETWEEN_HEADS and f.severity is Severity.FAULT]
    (finding,) = faults
    cell = finding.widest
    formatter = Formatter("IP")
    text = FindingFormatter(formatter, catalogue).line(finding)
    gauge = formatter.gauge(cell.head_pressure_pa, catalogue.applications["walk_in_medium"].site_pressure_pa)
    assert text.startswith("rowan, one, walk_in_medium, sizes ")
    assert f"at {gauge} psi gauge, between the conditions, R404A sets the minimum load tighter by up to" in text
    was, now = (formatter.window(w, w)[0] for w in (cell.from_load_w, cell.to_load_w))
    assert was != now
    assert f"has {was}\N{NO-BREAK SPACE}kBtu/h in the table, {now}\N{NO-BREAK SPACE}kBtu/h there" in text
