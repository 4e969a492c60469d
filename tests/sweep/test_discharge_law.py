"""A family whose discharge coefficient follows subcooling and drop, from its file to windows, states and traces."""

from __future__ import annotations

import functools
import math
import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tablegen.answers.case import Case
from tablegen.answers.trace import trace
from tablegen.calculation.valve_steps import member_calculation
from tablegen.confidence.confident_limits import scattered_in
from tablegen.config.loader import load_catalogue
from tablegen.config.origins import origins_of
from tablegen.dataset.compute import compute_windows
from tablegen.errors import ConfigError
from tablegen.model.inputs import Catalogue, Confidence
from tablegen.model.solving import Law, Solved, law_of, laws_of, solve, unit_window
from tablegen.physics.flow import FlowLaw
from tablegen.physics.reasons import Reason
from tablegen.report.answers.trace_lines import TraceLines, lines_of_trace
from tablegen.report.formatter import Formatter
from tablegen.sweep.frames import law_values, state_columns, windows_frame
from tests.small import small_catalogue
from tests.worked import WORKED

CONFIDENCE = Confidence(share=0.95, level=0.95, samples=256, seed=1, is_printed=False)
ORIFICE = "flow_law: orifice\n"
LAW = """flow_law: discharge_coefficient
discharge_coefficient:
  subcooling_exponent: {a}
  drop_exponent: {b}
  reference: {{subcooling: 4 percent, drop: 60 percent}}
  valid: {{subcooling: [{low} percent, 20 percent], drop: [10 percent, 95 percent]}}
  source: Invented for this test.
"""


# Its rating has more subcooling, so that a narrow range may hold it.
WARMER = ("families/hazel.yaml", "  subcooling: 1 delta_degF", "  subcooling: 8 delta_degF")


def written(a: float = 0.06, b: float = -0.12, low: float = 0.2) -> str:
    return LAW.format(a=a, b=b, low=low)


@functools.cache
def catalogue_with(law: str) -> Catalogue:
    with tempfile.TemporaryDirectory() as folder:
        edits = [("families/hazel.yaml", ORIFICE, law), WARMER]
        path = small_catalogue(
            Path(folder) / "c",
            ["hazel"],
            {"R404A": ["R404A"], "R448A": ["R448A"]},
            ["walk_in_medium"],
            edits,
            WORKED.parent,
        )
        return load_catalogue(path)


@functools.cache
def solved_in(law: str, refrigerant: str = "R404A") -> Solved:
    catalogue = catalogue_with(law)
    application = catalogue.applications["walk_in_medium"]
    return solve(catalogue.refrigerants[refrigerant], application, laws_of(catalogue.families.values()))


def frame(law: str):
    return windows_frame(catalogue_with(law).families["hazel"], solved_in(law))


LIMITS = ["min_load_w", "max_load_w"]


def test_without_exponents_windows_are_those_of_the_orifice_law_to_the_last_digit():
    for column in LIMITS:
        assert (frame(written(0, 0))[column] == frame(ORIFICE)[column]).all()
        assert (frame(written())[column] != frame(ORIFICE)[column]).all()


def test_loads_change_by_the_coefficient_of_the_state_that_sets_them():
    """At each limit the Kv that one watt takes is divided by C, by hand from the pressures of the state."""
    solved, own = solved_in(written()), law_of(catalogue_with(written()).families["hazel"])
    for item, kv in zip(solved.states, solved.required_kvs[own.key], strict=True):
        state = item.state
        s = (state.inlet_pressure_pa - state.liquid_bubble_pressure_pa) / solved.refrigerant.critical_pressure_pa
        y = 1.0 - state.outlet_pressure_pa / state.inlet_pressure_pa
        plain = Law(FlowLaw.ORIFICE, math.nan).required_kv(item, solved.rated, solved.refrigerant)
        np.testing.assert_allclose(kv, plain / ((s / 0.04) ** 0.06 * (y / 0.6) ** -0.12), rtol=1e-12)


def test_two_laws_that_differ_in_an_exponent_do_not_share_what_was_solved():
    keys = {law_of(catalogue_with(law).families["hazel"]).key for law in (written(), written(0.07), written(b=-0.1))}
    assert len(keys) == 3


def test_states_say_what_the_coefficient_was_made_of():
    solved, catalogue = solved_in(written()), catalogue_with(written())
    columns = state_columns(solved, law_of(catalogue.families["hazel"]), catalogue.records["R404A"].uncertainty)
    assert set(columns["flow_law"]) == {"discharge_coefficient"}
    assert set(columns["subcooling_exponent"]) == {0.06} and set(columns["drop_exponent"]) == {-0.12}
    c = (columns["subcooling_ratio"] / 0.04) ** 0.06 * (columns["drop_ratio"] / 0.6) ** -0.12
    np.testing.assert_allclose(columns["discharge_ratio"], c, rtol=1e-12)
    drive = columns["effective_pressure_drop_pa"] / columns["pressure_drop_pa"]
    np.testing.assert_allclose(drive, c**2, rtol=1e-12)


def test_rows_of_laws_that_differ_in_where_they_are_valid_alone_are_told_apart():
    laws = [law_of(catalogue_with(written(low=low)).families["hazel"]) for low in (0.2, 0.5)]
    wide, narrow = map(law_values, laws)
    assert {key for key in wide if key != "f_l" and wide[key] != narrow[key]} == {"min_valid_subcooling"}
    assert (narrow["min_valid_subcooling"], narrow["max_valid_subcooling"]) == pytest.approx((0.005, 0.2))
    assert (narrow["min_valid_drop"], narrow["max_valid_drop"]) == pytest.approx((0.1, 0.95))


def test_every_limit_is_what_its_calculation_comes_to():
    catalogue, solved = catalogue_with(written()), solved_in(written())
    calculation = member_calculation(catalogue, solved, catalogue.families["hazel"])
    _, _, unit = unit_window(catalogue.families["hazel"], solved)
    assert np.isfinite(unit.max_load_w).all()
    minimum = np.max([load for _, load in calculation.loads(False)], axis=0)
    maximum = np.min([load for _, load in calculation.loads(True)], axis=0)
    np.testing.assert_allclose(minimum, unit.min_load_w, rtol=1e-10)
    np.testing.assert_allclose(maximum, unit.max_load_w, rtol=1e-10)


def lines_of(folder: Path, law: str) -> TraceLines:
    edits = [("families/hazel.yaml", ORIFICE, law)]
    path = small_catalogue(folder / "c", ["hazel"], {"R404A": ["R404A"]}, ["walk_in_medium"], edits, WORKED.parent)
    found = trace(load_catalogue(path), Case("R404A", (24.0 + 459.67) / 1.8, 20e3, "walk_in_medium"), "hazel", "160")
    return lines_of_trace(
        found, "160", {"R404A": origins_of(path, "walk_in_medium", "R404A", "hazel")}, Formatter("IP")
    )


def test_a_trace_shows_each_step_and_where_the_exponents_are(tmp_path):
    lines = lines_of(tmp_path, written())
    origins = {line.name: line.origins for line in lines.given}
    text = (tmp_path / "c" / "families" / "hazel.yaml").read_text().splitlines()
    for name, written_text in (("a_d", "subcooling_exponent: 0.06"), ("b_d", "drop_exponent: -0.12")):
        [origin] = origins[name]
        assert written_text in text[origin.line - 1]


def test_a_trace_of_an_empty_row_compares_with_the_end_that_is_passed(tmp_path):
    catalogue = catalogue_with(written(low=3.6))
    found = trace(catalogue, Case("R404A", (24.0 + 459.67) / 1.8, 20e3, "walk_in_medium"), "hazel", "160")
    assert found.obstacle is not None and found.obstacle.limit.reason == Reason.FLOW_LAW_RANGE
    assert found.obstacle.compared == ("s_c", "s_min")
    values = found.obstacle.calculations[-1][1].values
    assert float(values["s_c"]) < float(values["s_min"]) == pytest.approx(0.036)


def test_outside_the_range_the_row_is_empty_with_its_reason():
    own = written(low=3.6)
    windows = frame(own)
    assert windows["max_load_w"].isna().all()
    assert set(windows["max_reason"]) == {Reason.FLOW_LAW_RANGE} == set(windows["min_reason"])
    catalogue = catalogue_with(own)
    columns = state_columns(solved_in(own), law_of(catalogue.families["hazel"]), catalogue.records["R404A"].uncertainty)
    outside = columns["subcooling_ratio"] < 0.036
    assert 0 < outside.sum() < outside.size
    assert set(columns["reason"][outside]) == {"flow_law_range"} and set(columns["reason"][~outside]) == {""}
    np.testing.assert_array_equal(np.isnan(columns["required_kv_m3h_per_kw"]), outside)


def test_limits_at_confidence_have_the_same_law():
    limits = {}
    for law in (ORIFICE, written(0, 0), written()):
        catalogue = replace(catalogue_with(law), confidence=CONFIDENCE)
        own = scattered_in(catalogue).limits(catalogue.families["hazel"], solved_in(law))["160"]
        limits[law] = own.max_load
        _, _, unit = unit_window(catalogue.families["hazel"], solved_in(law))
        assert (own.max_load < unit.max_load_w).all() and (own.max_load > 0.5 * unit.max_load_w).all()
    np.testing.assert_allclose(limits[written(0, 0)], limits[ORIFICE], rtol=1e-12)
    assert (limits[written()] != limits[ORIFICE]).all()


def test_groups_of_a_whole_sweep_compare_like_with_like():
    found = compute_windows(catalogue_with(written()))
    assert len(found.group_windows)


WRONG = {
    "no coefficient": ("flow_law: discharge_coefficient\n", "flow_law", "discharge_coefficient is required"),
    "coefficient of another law": (
        written().replace("flow_law: discharge_coefficient", "flow_law: orifice"),
        "flow_law",
        "allowed only with it",
    ),
    "b below one half": (written(b=-0.51), "discharge_coefficient.drop_exponent", "-0.5"),
    "b above zero": (written(b=0.1), "discharge_coefficient.drop_exponent", "0"),
    "reference outside": (written(low=4.5), "discharge_coefficient.reference.subcooling", "valid.subcooling"),
    "range from zero": (written(low=0), "discharge_coefficient.valid.subcooling", "above 0"),
    "rating outside": (written(low=2.5), "rating", "outside discharge_coefficient.valid"),
}


@pytest.mark.parametrize("case", WRONG)
def test_problem_is_one_line_at_its_key(tmp_path, case):
    law, key, part = WRONG[case]
    edits = [("families/hazel.yaml", ORIFICE, law)]
    path = small_catalogue(tmp_path / "c", ["hazel"], {"R404A": ["R404A"]}, ["walk_in_medium"], edits, WORKED.parent)
    with pytest.raises(ConfigError) as caught:
        load_catalogue(path)
    [problem] = caught.value.problems
    assert problem.key == key and part in str(problem)
