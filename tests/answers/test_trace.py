"""Traces: every printed window of the demo comes out of its calculation, and every line of it as printed."""

from __future__ import annotations

import functools
import re
from pathlib import Path

import numpy as np
import pytest

from tablegen.answers.case import Case, members_of
from tablegen.answers.trace import trace
from tablegen.calculation.valve_steps import MemberCalculation, member_calculation
from tablegen.config.loader import load_catalogue
from tablegen.config.origins import origins_of
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import Solved, laws_of, solve, unit_window
from tablegen.physics.reasons import Reason
from tablegen.report.answers.trace import window_text
from tablegen.report.answers.trace_lines import TraceLines, lines_of_trace
from tablegen.report.formatter import Formatter
from tests.demo import CATALOGUE, demo_catalogue, demo_data

HARD = Path(__file__).resolve().parents[1] / "data" / "hard_cases" / "catalogue.yaml"


@functools.cache
def hard_catalogue() -> Catalogue:
    return load_catalogue(HARD)


@functools.cache
def solved_for(name: str, refrigerant: str, application: str) -> Solved:
    catalogue = demo_catalogue() if name == "demo" else hard_catalogue()
    families = catalogue.families.values()
    return solve(catalogue.refrigerants[refrigerant], catalogue.applications[application], laws_of(families))


@functools.cache
def calculation_of(name: str, family: str, refrigerant: str, application: str) -> MemberCalculation | None:
    catalogue = demo_catalogue() if name == "demo" else hard_catalogue()
    return member_calculation(catalogue, solved_for(name, refrigerant, application), catalogue.families[family])


def limits(calculation: MemberCalculation) -> tuple[np.ndarray, np.ndarray]:
    """Minimum and maximum load for each m3/h of rated Kv along the grid."""
    minimum = np.max([load for _, load in calculation.loads(False)], axis=0)
    return minimum, np.min([load for _, load in calculation.loads(True)], axis=0)


def test_every_printed_cell_of_the_demo_is_what_its_calculation_comes_to():
    """Printed figure by printed figure, in both unit systems; an empty cell is checked by `test_an_empty_cell...`."""
    checked = 0
    systems = Formatter("IP"), Formatter("SI")
    parts = demo_data().group_windows.groupby(["family", "group", "application"], sort=False)
    for (family, group, application), rows in parts:
        members = demo_catalogue().groups[group].members
        found = [limits(calculation_of("demo", family, member, application)) for member in members]
        minimum, maximum = np.max([f[0] for f in found], axis=0), np.min([f[1] for f in found], axis=0)
        grid = demo_catalogue().applications[application].sst_k
        for _, row in rows[rows["max_load_w"].notna()].iterrows():
            at = int(np.argmin(np.abs(grid - row["sst_k"])))
            kv = row["kv_rated_m3h"]
            for formatter in systems:
                printed = formatter.window(row["min_load_w"], row["max_load_w"])
                assert formatter.window(minimum[at] * kv, maximum[at] * kv) == printed
            checked += 1
    assert checked == demo_data().group_windows["max_load_w"].notna().sum() > 3000


@pytest.mark.parametrize("name", ["demo", pytest.param("hard", marks=pytest.mark.slow)])
def test_every_limit_is_what_its_calculation_comes_to(name):
    catalogue = demo_catalogue() if name == "demo" else hard_catalogue()
    checked = 0
    parts = {(c.family, m, c.application) for c in catalogue.combinations for m in catalogue.groups[c.group].members}
    for family, refrigerant, application in sorted(parts):
        calculation = calculation_of(name, family, refrigerant, application)
        if calculation is None:
            continue
        _, _, unit = unit_window(catalogue.families[family], solved_for(name, refrigerant, application))
        is_open = np.isfinite(unit.max_load_w)
        for own, theirs in zip(limits(calculation), (unit.min_load_w, unit.max_load_w), strict=True):
            assert own[is_open] == pytest.approx(theirs[is_open], rel=1e-10)
        checked += int(is_open.sum())
    assert checked > (1000 if name == "demo" else 100)


@functools.cache
def lines_of(path: Path, family: str, size: str, refrigerant: str, application: str, sst_k: float) -> TraceLines:
    catalogue = demo_catalogue() if path == CATALOGUE else hard_catalogue()
    found = trace(catalogue, Case(refrigerant, sst_k, 1000.0, application), family, size)
    members = members_of(catalogue, refrigerant)
    origins = {m: origins_of(path, application, m, family) for m in members}
    return lines_of_trace(found, size, origins, Formatter("IP"))


def cases() -> list[tuple[Path, str, str, str, str, float]]:
    """A cell of each printed part of the demo, and of each family in each application of the hard cases."""
    chosen = []
    for path, catalogue in ((CATALOGUE, demo_catalogue()), (HARD, hard_catalogue())):
        seen = {(c.family, c.group, c.application): None for c in catalogue.combinations}
        for number, (family, group, application) in enumerate(seen):
            grid, sizes = catalogue.applications[application].sst_k, catalogue.families[family].sizes
            size = sizes[number % len(sizes)].name
            chosen.append((path, family, size, group, application, float(grid[(3 * number) % len(grid)])))
    return chosen


@pytest.mark.slow
def test_every_figure_of_the_config_is_where_the_trace_says():
    checked = 0
    for path, family, *rest in cases()[::2]:
        of_family = (path.parent / "families" / f"{family}.yaml").read_text(encoding="utf-8")
        for line in lines_of(path, family, *rest).given:
            for origin in line.origins:
                written = (path.parent / origin.file).read_text(encoding="utf-8").splitlines()[origin.line - 1]
                key = re.split(r"[.\[]", origin.key)[-1].rstrip("]")
                assert key.isdigit() or f"{key}:" in written, (origin, written)
                checked += 1
            # What no file states: the cell's temperature, and shares that are then none.
            is_default = line.name == "r_lim" and re.search(r"^ *reserve_in_limits:", of_family, re.MULTILINE) is None
            assert line.origins or line.name in ("SST", "dT_s") or is_default, line
    assert checked > 500


@pytest.mark.parametrize("name", ["demo", pytest.param("hard", marks=pytest.mark.slow)])
def test_an_empty_cell_has_its_reason_and_what_is_compared_fails(name):
    path, catalogue = (CATALOGUE, demo_catalogue()) if name == "demo" else (HARD, hard_catalogue())
    seen: dict[str, int] = {}
    parts = {(c.family, m, c.application) for c in catalogue.combinations for m in catalogue.groups[c.group].members}
    for family, refrigerant, application in sorted(parts):
        _, _, unit = unit_window(catalogue.families[family], solved_for(name, refrigerant, application))
        for at in np.flatnonzero(~np.isfinite(unit.max_load_w)):
            reason = Reason(unit.max_reason[at])
            if seen.get(reason, 0) > 2:
                continue
            seen[reason] = seen.get(reason, 0) + 1
            size = catalogue.families[family].sizes[0].name
            sst_k = float(catalogue.applications[application].sst_k[at])
            found = trace(catalogue, Case(refrigerant, sst_k, 1000.0, application), family, size)
            assert found.obstacle is not None
            assert found.obstacle.limit.reason == reason
            assert window_text(found, Formatter("IP")).startswith("no load window: ")
            if reason is not Reason.NO_CHARGE:
                # Without a charge nothing is computed.
                assert lines_of(path, family, size, refrigerant, application, sst_k).given
            if reason is Reason.CROSSED:
                assert found.minimum.load_w >= found.maximum.load_w
            elif found.obstacle.compared:
                values = found.obstacle.calculations[-1][1].values
                left, *right = (float(values[quantity]) for quantity in found.obstacle.compared)
                assert left <= (right[0] if right else 0.0)
    assert set(seen) >= (
        {Reason.ABOVE_MOP, Reason.CROSSED}
        if name == "demo"
        else {
            Reason.FLASHING,
            Reason.NO_PRESSURE_DROP,
            Reason.OVER_DIFFERENTIAL,
            Reason.OVER_PRESSURE,
            Reason.STAYS_CLOSED,
            Reason.CHARGE_RANGE,
            Reason.COMPRESSOR_MAP,
            Reason.PROPERTY_RANGE,
            Reason.NO_BALANCE,
        }
    )


def test_the_binding_head_and_member_have_the_tightest_load():
    lines = lines_of(CATALOGUE, "alder", "90", "R448A-family", "walk_in_medium", (24.0 + 459.67) / 1.8)
    for own, tightest in zip(lines.limits, (max, min), strict=True):
        limit = own.limit
        assert tightest(limit.states, key=lambda row: row[1])[0] == limit.binding
        assert tightest(limit.members, key=lambda row: row[1])[0] == limit.limit.member
        assert [state for state, _ in limit.states].count(limit.binding) == 1
