"""What a step of one assumption does to both limits, against the same change stated in the config."""

import math

import pytest

import tablegen
from tablegen.config.case_catalogue import load_with
from tablegen.config.loader import load_catalogue
from tablegen.model.publications import Combination
from tablegen.model.solving import law_of, solve, unit_window
from tablegen.tables.assumed_inputs import AssumedInput, StepKind
from tablegen.tables.assumption_rows import assumption_frame
from tablegen.tables.assumption_steps import STEPS
from tablegen.tables.assumption_weights import weights_of
from tablegen.wording import assumptions as wording
from tests.demo import CATALOGUE, demo_catalogue
from tests.small import HARD, small_catalogue

DERIVED = HARD.with_name("derived_limits")
COEFFICIENT = """flow_law: discharge_coefficient
flow_law_reason: Invented.
discharge_coefficient:
  subcooling_exponent: 0.15
  drop_exponent: -0.2
  reference: {subcooling: 4 percent, drop: 50 percent}
  valid: {subcooling: [1 percent, 20 percent], drop: [20 percent, 90 percent]}
  source: Invented.
"""

PART = Combination("alder", "R448A-family", "walk_in_medium")
MEMBERS = ("R448A", "R449A", "R407A", "R407F")


def weights(catalogue=None, part=PART, members=MEMBERS):
    own = catalogue or demo_catalogue()
    found = weights_of(own, part, members, own.applications[part.application].example_sst_k)
    return {weight.assumed: weight for weight in found.weights}


def limits(*overrides):
    """The common limits of one m3/h in the example's row, as a build computes them."""
    own = load_with(CATALOGUE, PART.application, overrides)
    row = int(abs(own.applications[PART.application].sst_k - own.applications[PART.application].example_sst_k).argmin())

    family = own.families[PART.family].with_design_of("45")
    windows = [
        unit_window(family, solve(own.refrigerants[name], own.applications[PART.application], [law_of(family)]))[2]
        for name in MEMBERS
    ]
    return max(w.min_load_w[row] for w in windows), min(w.max_load_w[row] for w in windows)


@pytest.fixture(scope="module")
def today():
    return limits()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("assumed", "override"),
    [
        (AssumedInput.LIQUID_LINE, "losses.liquid_line=7 psi"),
        (AssumedInput.DISTRIBUTOR, "losses.distributor=30 psi"),
        (AssumedInput.LIFT, "losses.lift=10 ft"),
        (AssumedInput.SUCTION_LINE, "suction.line_loss=3 delta_degF"),
        (AssumedInput.USEFUL_SUPERHEAT, "superheat.useful=7.5 delta_degF"),
        (AssumedInput.HIGH_HEAD, "high_head.condensing_temperature=120 degF"),
        (AssumedInput.RATED_LIQUID, "rating.subcooling=11 delta_degF"),
    ],
)
def test_a_step_does_what_the_same_change_of_the_config_does(assumed, override, today):
    weight = weights()[assumed]
    moved = limits(override)
    ups = (weight.min_changes[1], weight.max_changes[1])
    for limit, before, up in zip(moved, today, ups, strict=True):
        assert limit / before - 1.0 == pytest.approx(up, abs=2e-6)
    assert abs(ups[0]) + abs(ups[1]) > 1e-4


@pytest.mark.slow
def test_limits_go_with_kv_and_the_minimum_with_the_minimum_opening():
    found = weights()
    kv, opening = found[AssumedInput.KV], found[AssumedInput.MINIMUM_OPENING]
    assert kv.changes == pytest.approx((-0.02, 0.02, -0.02, 0.02))
    family = demo_catalogue().families["alder"]
    least = family.elements[0].actuator.min_stable
    # A linear port, and a minimum that the opening sets: 5 points of it.
    assert opening.min_changes == pytest.approx((-0.05 / least, 0.05 / least))
    assert opening.max_changes == (0.0, 0.0)


@pytest.mark.slow
def test_the_strongest_comes_first_and_what_moves_nothing_is_left_out():
    found = list(weights().values())
    assert [own.weight for own in found] == sorted((own.weight for own in found), reverse=True)
    # A bulb has no control reserve.
    assert AssumedInput.MAXIMUM_OPENING not in weights()
    electronic = weights(part=Combination("hazel", "R448A-family", "walk_in_medium"))
    assert AssumedInput.MAXIMUM_OPENING in electronic and AssumedInput.STATIC_SUPERHEAT not in electronic


@pytest.mark.slow
def test_another_choice_is_taken_once():
    for own in weights().values():
        is_choice = own.step.measure is StepKind.OTHER_CHOICE
        assert math.isnan(own.min_changes[0]) or not is_choice


@pytest.mark.slow
def test_the_other_law_of_a_discharge_coefficient_is_that_of_an_orifice(tmp_path):
    """The family states nominal capacities, so that its file with the other law is what the step means."""
    part, found = Combination("juniper", "one", "calm"), []
    edits = [("families/juniper.yaml", COEFFICIENT, "flow_law: orifice\nflow_law_reason: Invented.\n")]
    for name, own in (("as_it_is", []), ("other", edits)):
        path = small_catalogue(tmp_path / name, ["juniper"], {"one": ["R404A"]}, ["calm"], own, source=DERIVED)
        catalogue = load_catalogue(path)
        family = catalogue.families["juniper"]
        solved = solve(catalogue.refrigerants["R404A"], catalogue.applications["calm"], [law_of(family)])
        window = unit_window(family, solved)[2]
        found.append(
            (
                catalogue,
                family.sizes[0].kv_rated_m3h * window.min_load_w[0],
                family.sizes[0].kv_rated_m3h * window.max_load_w[0],
            )
        )
    weight = weights(found[0][0], part, ("R404A",))[AssumedInput.FLOW_LAW]
    assert found[1][1] / found[0][1] - 1.0 == pytest.approx(weight.min_changes[1], abs=2e-6)
    assert found[1][2] / found[0][2] - 1.0 == pytest.approx(weight.max_changes[1], abs=2e-6)
    assert abs(weight.max_changes[1]) > 1e-3


@pytest.mark.slow
def test_a_suction_that_follows_is_kinder_to_the_maximum_than_a_constant_one():
    """As the head falls the compressor pumps more, and the evaporator gets colder until it takes no more (common practice)."""
    own = weights()[AssumedInput.SUCTION_RESPONSE]
    assert own.max_changes[1] > 0.0


def test_every_assumption_and_origin_has_a_name():
    assert set(wording.NAMES) == {own.value for own in AssumedInput}
    assert {step.origin.value for step in STEPS.values()} <= set(wording.ORIGINS)


@pytest.mark.slow
def test_the_data_set_has_the_first_table_of_each_temperature_range():
    frame = assumption_frame(demo_catalogue())
    assert list(dict.fromkeys(frame["application"])) == ["walk_in_medium", "walk_in_low"]
    first = demo_catalogue().combinations[0]
    own = frame[frame["application"] == first.application]
    assert list(own["assumption"]) == list(weights(part=first, members=demo_catalogue().groups[first.group].members))


def test_a_table_is_named_whole_or_not_at_all():
    with pytest.raises(tablegen.RequestError, match="give all three, or none"):
        tablegen.assumptions("alder", catalogue=CATALOGUE)


def test_an_sst_outside_the_application_is_refused():
    with pytest.raises(tablegen.RequestError, match="walk_in_medium covers"):
        tablegen.assumptions("alder", "R448A", application="walk_in_medium", sst="-20 degF", catalogue=CATALOGUE)
