"""Limits between the conditions, against scans of heads one by one and against the second calculation."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tablegen.audits.findings import LimitKind
from tablegen.audits.heads import TightestLimits, tightest_limits
from tablegen.config.loader import load_catalogue
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import Solved, laws_of, solve, unit_window
from tablegen.physics.system import Head, HeadCondition, LiquidSupply
from tablegen.physics.windows import Window
from tests.demo import demo_catalogue
from tests.independent.offers import Offers
from tests.independent.recalc import Recalculation, window
from tests.independent.states import ApplicationStates
from tests.small import HARD, small_catalogue
from tests.worked import WORKED

# The port pushes hard against the valve, so that a head between asks for the widest minimum opening.
UNBALANCED = [
    ("families/rowan.yaml", "unbalance: -2 percent", "unbalance: 8 percent"),
    ("applications/walk_in_medium.yaml", "distributor: 25 psi", "distributor: 50 psi"),
]
# A compressor that pumps most at 88 degF, between the low head of R134a and its rating point.
HUMP = [
    (
        "applications/walk_in_medium.yaml",
        "  kind: clearance\n  clearance: 4 percent\n  re_expansion_exponent: 1.1\n",
        "  kind: table\n  suction: [-20 degF, 60 degF]\n  discharge: [40 degF, 72 degF, 88 degF, 105 degF, 160 degF]\n"
        "  flows:\n    - [0.9, 0.9, 1.5, 1.0, 0.9]\n    - [3.6, 3.6, 6.0, 4.0, 3.6]\n",
    )
]


def solved_in(catalogue: Catalogue, refrigerant: str, application: str) -> Solved:
    families = catalogue.families.values()
    return solve(catalogue.refrigerants[refrigerant], catalogue.applications[application], laws_of(families))


def swept_in(
    path: Path, family: str, refrigerant: str, application: str
) -> tuple[Catalogue, Solved, Window, TightestLimits]:
    catalogue = load_catalogue(path)
    solved = solved_in(catalogue, refrigerant, application)
    own = catalogue.families[family]
    return catalogue, solved, unit_window(own, solved)[2], tightest_limits([own], solved)[family]


@pytest.mark.slow
def test_at_the_conditions_the_sweep_meets_the_tables_and_nothing_of_the_demo_is_set_between_them():
    """Constant SST and the orifice law: both limits run one way between two heads."""
    catalogue = demo_catalogue()
    seen = 0
    for refrigerant, application in (
        ("R404A", "walk_in_medium"),
        ("R134a", "walk_in_medium"),
        ("R407C", "walk_in_low"),
    ):
        solved = solved_in(catalogue, refrigerant, application)
        for name, swept in tightest_limits(list(catalogue.families.values()), solved).items():
            unit = unit_window(catalogue.families[name], solved)[2]
            is_open = unit.is_open
            assert not np.any(swept.blocked[is_open] != None)  # noqa: E711 - elementwise over an object array
            assert swept.load_w[LimitKind.MAXIMUM][is_open] == pytest.approx(unit.max_load_w[is_open], rel=1e-9)
            assert swept.load_w[LimitKind.MINIMUM][is_open] == pytest.approx(unit.min_load_w[is_open], rel=1e-9)
            seen += int(is_open.sum())
    assert seen > 100


def subcooling_at(solved: Solved, row: int, head_pa: float) -> float:
    """Inlet subcooling of the conditions, linear in head pressure between them [K]."""
    known = sorted(
        (float(s.state.head_pressure_pa[row]), float(s.state.inlet_subcooling_k[row]))
        for s in solved.states
        if s.response is solved.states[0].response and s.side.serves_max
    )
    return float(np.interp(head_pa, *zip(*known, strict=True)))


def at_one_head(catalogue: Catalogue, solved: Solved, family: str, row: int, head_pa: float) -> Window:
    """The window of one row with another low head: only that head sets it where it is tightest."""
    own = solved.application.systems[solved.refrigerant.name]
    liquid = LiquidSupply(None, *[subcooling_at(solved, row, head_pa)] * 2)
    moved = replace(own, low_head=HeadCondition(own.low_head.condition, Head(pressure_pa=head_pa), liquid))
    application = replace(
        solved.application,
        sst_k=solved.application.sst_k[[row]],
        systems={**solved.application.systems, solved.refrigerant.name: moved},
    )
    again = solve(solved.refrigerant, application, laws_of(catalogue.families.values()))
    return unit_window(catalogue.families[family], again)[2]


@pytest.mark.slow
def test_a_limit_set_between_heads_by_an_unbalanced_port_is_what_a_scan_of_heads_finds(tmp_path):
    path = small_catalogue(tmp_path / "c", ["rowan"], {"one": ["R404A"]}, ["walk_in_medium"], UNBALANCED, WORKED.parent)
    catalogue, solved, unit, swept = swept_in(path, "rowan", "R404A", "walk_in_medium")
    shift = swept.load_w[LimitKind.MINIMUM] / unit.min_load_w - 1.0
    row = int(np.nanargmax(np.where(unit.is_open, shift, np.nan)))
    assert shift[row] > 0.01
    conditions = sorted(float(s.state.head_pressure_pa[row]) for s in solved.states)
    assert conditions[0] < swept.at_pa[LimitKind.MINIMUM][row] < conditions[-1]
    scan = np.linspace(conditions[0], conditions[-1], 61)
    minimum = [at_one_head(catalogue, solved, "rowan", row, head).min_load_w[0] for head in scan]
    # Where it was, the low head gives the table's own limit.
    assert minimum[0] == pytest.approx(unit.min_load_w[row], rel=1e-9)
    best = float(np.nanmax(minimum))
    assert best <= swept.load_w[LimitKind.MINIMUM][row] * (1.0 + 1e-9)
    assert best == pytest.approx(swept.load_w[LimitKind.MINIMUM][row], rel=5e-4)
    assert abs(scan[int(np.nanargmax(minimum))] - swept.at_pa[LimitKind.MINIMUM][row]) <= scan[1] - scan[0]
    here = at_one_head(catalogue, solved, "rowan", row, float(swept.at_pa[LimitKind.MINIMUM][row]))
    assert here.min_load_w[0] == pytest.approx(swept.load_w[LimitKind.MINIMUM][row], rel=1e-9)


@pytest.mark.slow
def test_a_kink_between_heads_is_found_where_it_is(tmp_path):
    """Flow has its hump at a knot of the table, so the maximum load has its dip at the head of that temperature."""
    path = small_catalogue(tmp_path / "c", ["alder"], {"one": ["R134a"]}, ["walk_in_medium"], HUMP, WORKED.parent)
    _, solved, unit, swept = swept_in(path, "alder", "R134a", "walk_in_medium")
    rows = np.flatnonzero(unit.is_open)
    assert rows.size > 5
    knot_k = (88.0 + 459.67) / 1.8
    head_pa = float(solved.refrigerant.dew(np.asarray(knot_k)).pressure_pa)
    assert (swept.load_w[LimitKind.MAXIMUM][rows] < 0.9 * unit.max_load_w[rows]).all()
    assert swept.at_pa[LimitKind.MAXIMUM][rows] == pytest.approx(head_pa, rel=1e-4)


def independent_min(
    again: Recalculation,
    family_name: str,
    refrigerant: str,
    application: str,
    sst_k: float,
    head_pa: float,
    subcooling_k: float,
) -> float:
    """Minimum load at one head alone, per m3/h, by the second calculation."""
    moved = {"head_pressure": f"{head_pa / 1000!r} kPa_absolute", "inlet_subcooling": f"{subcooling_k!r} K"}
    config = dict(again.configs.application(application, refrigerant))
    config["low_head"] = {**moved, "source": "Invented."}
    family, fluid = again.families[family_name], again.fluids[refrigerant]
    valve = Offers(family, family.charge(refrigerant, config["temperature_range"]), config, fluid)
    states = ApplicationStates(config, fluid).rows(sst_k)
    return window([valve.at(state) for state in states if state.condition == "low_head"]).minimum


@pytest.mark.slow
def test_a_limit_between_heads_with_balanced_suction_is_that_of_the_second_calculation(tmp_path):
    """Hard case: a table of flows, box and evaporator constant, a minimum stable superheat by the load, part load."""
    path = small_catalogue(tmp_path / "c", ["fir"], {"one": ["R404A"]}, ["table_map"], source=HARD)
    _, solved, unit, swept = swept_in(path, "fir", "R404A", "table_map")
    shift = np.where(unit.is_open, swept.load_w[LimitKind.MINIMUM] / unit.min_load_w - 1.0, np.nan)
    row = int(np.nanargmax(shift))
    assert shift[row] > 1e-4
    sst_k, at_pa = float(solved.application.sst_k[row]), float(swept.at_pa[LimitKind.MINIMUM][row])
    again, minimum = Recalculation(path), {}
    for head_pa in (0.97 * at_pa, at_pa, 1.03 * at_pa):
        subcooling = subcooling_at(solved, row, head_pa)
        minimum[head_pa] = independent_min(again, "fir", "R404A", "table_map", sst_k, head_pa, subcooling)
    assert minimum[at_pa] == pytest.approx(float(swept.load_w[LimitKind.MINIMUM][row]), rel=1e-6)
    assert max(minimum, key=lambda head: minimum[head]) == at_pa


@pytest.mark.slow
def test_no_sweep_of_the_hard_cases_is_looser_than_their_tables():
    catalogue = load_catalogue(HARD / "catalogue.yaml")
    for refrigerant, application in (("R134a", "table_map"), ("R448A", "plain")):
        solved = solved_in(catalogue, refrigerant, application)
        for name, swept in tightest_limits(list(catalogue.families.values()), solved).items():
            unit = unit_window(catalogue.families[name], solved)[2]
            is_open = unit.is_open
            assert (swept.load_w[LimitKind.MAXIMUM][is_open] <= unit.max_load_w[is_open] * (1.0 + 1e-9)).all()
            assert (swept.load_w[LimitKind.MINIMUM][is_open] >= unit.min_load_w[is_open] * (1.0 - 1e-9)).all()


@pytest.mark.slow
def test_one_head_for_all_conditions_leaves_nothing_between():
    """A head fixed at the rating point the year round, which no config may say, is set between nothing."""
    catalogue = demo_catalogue()
    application = catalogue.applications["walk_in_medium"]
    own = application.systems["R404A"]
    one = {name: replace(getattr(own, name), head=own.rating.head) for name in ("low_head", "high_head")}
    changed = replace(application, systems={"R404A": replace(own, **one)})
    family = catalogue.families["hazel"]
    solved = solve(catalogue.refrigerants["R404A"], changed, laws_of([family]))
    unit, swept = unit_window(family, solved)[2], tightest_limits([family], solved)["hazel"]
    assert unit.is_open.all()
    assert not (swept.load_w[LimitKind.MAXIMUM] < unit.max_load_w).any()
    assert not (swept.load_w[LimitKind.MINIMUM] > unit.min_load_w).any()
