"""Distributor nozzle and solenoid valve beside a pick: worked by hand, against `fluids`, by a second calculation."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from fluids.two_phase_voidage import density_two_phase, homogeneous

import tablegen
from tablegen.answers.case import Case, solve_case
from tablegen.answers.near_valve import NOZZLE_RANGE, PartChoice, PartMisfit, near_the_valve
from tablegen.answers.pick import pick
from tablegen.model.inputs import Catalogue
from tablegen.model.nearby_parts import PartKind, PartSize
from tablegen.model.offered_choices import Approval
from tablegen.model.solving import Solved
from tablegen.report.answers.near_valve import near_section
from tablegen.report.formatter import Formatter
from tests.independent.fluid import Fluid
from tests.independent.reading import Configs
from tests.independent.recalc import REGISTRY
from tests.independent.states import ApplicationStates, State
from tests.us_units import W_PER_KBTU
from tests.worked import WORKED, worked_catalogue

KELVIN_24F = (24.0 + 459.67) / 1.8
PSI = 6894.757293168361
NOZZLE, SOLENOID = PartKind.DISTRIBUTOR_NOZZLE, PartKind.SOLENOID_VALVE
CASE = {"sst": "24 degF", "load": "20 kBtu/h", "application": "walk_in_medium", "catalogue": WORKED}


def solved_case(name: str = "R448A", load_kbtu: float = 20.0, catalogue: Catalogue | None = None):
    case = Case(name, KELVIN_24F, load_kbtu * W_PER_KBTU, "walk_in_medium")
    return solve_case(catalogue or worked_catalogue(), case)


def choices(name: str = "R448A", load_kbtu: float = 20.0, catalogue: Catalogue | None = None) -> dict[str, PartChoice]:
    found = near_the_valve(catalogue or worked_catalogue(), solved_case(name, load_kbtu))
    return {choice.part.kind: choice for choice in found}


def with_part(**changed: object) -> Catalogue:
    """The catalogue with its solenoid valve alone, otherwise in something."""
    part = next(own for own in worked_catalogue().nearby_parts if own.kind is SOLENOID)
    return replace(worked_catalogue(), nearby_parts=(replace(part, **changed),))


def mixtures(member: Solved) -> list[tuple[float, float, float, float]]:
    """Quality, both densities and volume of the mixture at each state of a refrigerant."""
    found = []
    for item in member.states:
        te, state = item.state.evaporating_temperature_k, item.state
        dew = member.refrigerant.dew(te)
        bubble = member.refrigerant.bubble(member.refrigerant.bubble_temperature(dew.pressure_pa))
        quality = (state.liquid_enthalpy_j_kg - bubble.enthalpy_j_kg) / (dew.enthalpy_j_kg - bubble.enthalpy_j_kg)
        own = (quality, bubble.density_kg_m3, dew.density_kg_m3, state.mixture_volume_m3_kg)
        found.append(tuple(float(value[0]) for value in own))
    return found


def test_the_mixture_is_homogeneous_as_a_library_has_it():
    for quality, liquid, vapor, volume in mixtures(solved_case().members[0]):
        void = homogeneous(quality, liquid, vapor)
        assert density_two_phase(void, liquid, vapor) == pytest.approx(1.0 / volume, rel=1e-9)


def test_the_homogeneous_mixture_lies_among_chisholms_multipliers():
    # Two-phase over liquid drop, 1 + (v ratio - 1)(B x (1 - x) + x^2): B is 0.5 for a sharp-edged orifice, 2.3 for a
    # globe valve (Chisholm 1983, not checked against the source). The manual says how far apart they are.
    for name in ("R404A", "R448A", "R134a"):
        for quality, liquid, vapor, volume in mixtures(solved_case(name).members[0]):
            more = liquid / vapor - 1.0
            own = volume * liquid
            low, high = ((1.0 + more * (b * quality * (1.0 - quality) + quality**2)) / own for b in (0.5, 2.3))
            assert 0.59 < low < 0.75
            assert 1.7 < high < 2.05


def scalar_states() -> dict[str, State]:
    """R448A in a walk-in cooler at full flow by the second calculation, by operating condition."""
    configs = Configs(WORKED, REGISTRY)
    solver = ApplicationStates(configs.application("walk_in_medium", "R448A"), Fluid(configs.refrigerants["R448A"]))
    return {state.condition: state for state in solver.rows(KELVIN_24F)}


def test_the_drops_are_those_of_a_second_calculation():
    found, states = choices(), scalar_states()
    for index, condition in enumerate(("low_head", "rating", "high_head")):
        state = states[condition]
        flow_kg_h = 20.0 * W_PER_KBTU / state.rated_effect * state.flow_share * 3600.0
        for kind, volume in ((SOLENOID, 1.0 / state.liquid_density_kg_m3), (NOZZLE, state.mixture_volume_m3_kg)):
            drop_bar = (flow_kg_h * volume / found[kind].size.kv_m3h) ** 2 / (1000.0 * volume)
            assert found[kind].drops_pa[index] == pytest.approx(drop_bar * 1e5, rel=1e-6)


def test_a_nozzle_changes_with_the_head_as_the_limits_assume():
    choice, member = choices()[NOZZLE], solved_case().members[0]
    losses = member.system.losses
    for drop, index in zip(choice.drops_pa, member.at_full_flow().values(), strict=True):
        state = member.states[index].state
        downstream = float((state.outlet_pressure_pa - state.evaporating_pressure_pa)[0])
        distributor = downstream - losses.evaporator_pa * float(state.flow_share[0]) ** 2
        assert drop / distributor == pytest.approx(choice.drops_pa[1] / losses.distributor_pa, rel=1e-9)


@pytest.mark.parametrize("name", ["R448A", "R448A-family", "R134a"])
def test_sizes_follow_their_rules_at_every_load(name):
    last = {NOZZLE: 0.0, SOLENOID: 0.0}
    solved, seen = solved_case(name), set()
    for load in np.geomspace(2.0, 200.0, 40) * W_PER_KBTU:
        for choice in near_the_valve(worked_catalogue(), replace(solved, case=replace(solved.case, load_w=load))):
            part, size, drops = choice.part, choice.size, choice.drops_pa
            seen.add((part.kind, choice.misfit))
            assert size is not None
            assert size.kv_m3h >= last[part.kind]
            last[part.kind] = size.kv_m3h
            if part.kind is NOZZLE:
                ratio = drops[1] / choice.assumed_pa
                assert (max(ratio, 1.0 / ratio) <= NOZZLE_RANGE) is (choice.misfit is None)
                continue
            is_low = choice.range_pa[1] <= part.maximum_drop_pa
            assert is_low is (choice.misfit is not PartMisfit.DROP_ABOVE_MAXIMUM)
            smaller = [own for own in part.sizes if own.kv_m3h < size.kv_m3h]
            if smaller:
                # The next smaller size loses too much.
                assert choice.range_pa[1] * (size.kv_m3h / smaller[-1].kv_m3h) ** 2 > part.maximum_drop_pa
    assert {(NOZZLE, None), (SOLENOID, None), (SOLENOID, PartMisfit.DROP_ABOVE_MAXIMUM)} <= seen


def test_a_nozzle_is_nearer_to_the_assumed_drop_than_its_neighbors():
    choice = choices("R404A")[NOZZLE]
    ratios = [
        abs(math.log(choice.drops_pa[1] * (choice.size.kv_m3h / own.kv_m3h) ** 2 / choice.assumed_pa))
        for own in choice.part.sizes
    ]
    assert choice.part.sizes[ratios.index(min(ratios))] == choice.size
    assert all((a > b) or (b < c) for (a, b), (_, c) in pairwise(pairwise(ratios)))


def test_a_group_has_a_size_for_all_its_refrigerants():
    whole = choices("R448A-family")
    members = worked_catalogue().groups["R448A-family"].members
    for kind, pick_of in ((NOZZLE, 1), (SOLENOID, None)):
        own = [choices(name)[kind] for name in members]
        kv = whole[kind].size.kv_m3h
        drops = [(o.drops_pa[1] if pick_of else o.range_pa[1]) * (o.size.kv_m3h / kv) ** 2 for o in own]
        strictest = max(drops) if kind is SOLENOID else max(drops, key=lambda d: abs(math.log(d / own[0].assumed_pa)))
        assert members[drops.index(strictest)] == whole[kind].refrigerant


UNFIT = {
    "another safety group": ({"approved": Approval(("R290",), ())}, PartMisfit.NOT_APPROVED, "Not approved for R448A"),
    "weak body": ({"working_pressure_gauge_pa": 200 * PSI}, PartMisfit.OVER_PRESSURE, "psig, is above its working"),
    "weak coil": (
        {"allowed_differential_pa": 150 * PSI},
        PartMisfit.OVER_DIFFERENTIAL,
        "opening pressure differential of 150 psi",
    ),
    "too small": (
        {"sizes": (PartSize("1", "1", 0.02), PartSize("2", "2", 0.1))},
        PartMisfit.DROP_ABOVE_MAXIMUM,
        "largest size, 2, reaches",
    ),
    "does not stay open": (
        {"sizes": (PartSize("1", "1", 0.1), PartSize("2", "2", 1.0, 2 * PSI))},
        PartMisfit.DROP_BELOW_MINIMUM,
        "below the 2.0 psi that it needs to stay open",
    ),
}


@pytest.mark.parametrize("case", UNFIT)
def test_a_part_without_a_size_says_why(case):
    changed, misfit, text = UNFIT[case]
    catalogue = with_part(**changed)
    picked = pick(catalogue, Case("R448A", KELVIN_24F, 20 * W_PER_KBTU, "walk_in_medium"))
    [choice] = picked.nearby
    assert choice.misfit is misfit
    section = near_section(catalogue, picked, Formatter("IP"))
    [cells] = section.tables[1].cells()
    assert cells[1] == "Teasel: no size fits"
    assert text in cells[-1].replace("\N{NO-BREAK SPACE}", " ")
    assert not section.notes


def test_a_direct_acting_size_is_taken_where_a_smaller_pilot_operated_one_would_close():
    sizes = (PartSize("1", "1", 0.5, 2.9 * PSI), PartSize("2", "2", 0.8))
    [choice] = near_the_valve(with_part(sizes=sizes), solved_case())
    assert (choice.size.name, choice.misfit) == ("2", None)


def section_of(answer: tablegen.Answer):
    [section] = [own for own in answer.every_section() if own.key == "near_valve"]
    return section


def test_low_flow_of_an_unloaded_compressor_counts():
    # Half the flow has a quarter of the drop, and as the line loses less the liquid is denser by less than a percent.
    full = choices()[SOLENOID].range_pa[0]
    answer = tablegen.pick("R448A", **CASE, overrides=["compressor.minimum_capacity=50 percent"])
    rows = {row["kind"]: row for row in section_of(answer).tables[1].records()}
    assert rows["solenoid_valve"]["minimum_drop_pa"] == pytest.approx(full / 4.0, rel=5e-3)


def test_the_limits_with_the_nozzle_are_found_by_the_note():
    answer = tablegen.pick("R448A", **CASE)
    [note] = [own for own in section_of(answer).notes if "losses.distributor" in own]
    drop = note.replace("\N{NO-BREAK SPACE}", " ").split("to ")[-1].rstrip(".")
    again = section_of(tablegen.pick("R448A", **CASE, overrides=[f"losses.distributor={drop}"]))
    assert not [own for own in again.notes if "losses.distributor" in own]
    before, after = (own.tables[1].records()[0] for own in (section_of(answer), again))
    assert after["size"] == before["size"]
    # The flow at the rating point does not depend on what is lost downstream.
    assert after["rating_drop_pa"] == pytest.approx(before["rating_drop_pa"], rel=1e-9)
    assert after["assumed_drop_pa"] == pytest.approx(after["rating_drop_pa"], rel=2e-3)


def test_nothing_is_said_of_what_is_not_there():
    # Without a distributor there is no nozzle, without a valve no part at all.
    bare = section_of(tablegen.pick("R448A", **CASE, overrides=["losses.distributor=0 psi"]))
    assert [row["kind"] for row in bare.tables[1].records()] == ["solenoid_valve"]
    none = section_of(tablegen.pick("R448A", **{**CASE, "load": "900 kBtu/h"}))
    assert [table.key for table in none.tables] == ["assumed_drops"]
    assert near_the_valve(replace(worked_catalogue(), nearby_parts=()), solved_case()) == ()


def test_each_evaporator_of_a_unit_has_its_own():
    answer = tablegen.pick("R448A", **CASE, split=["25 percent", "75 percent"])
    own = [section for section in answer.every_section() if section.key == "near_valve"]
    small, large = (section.tables[1].records()[1]["kv_m3h"] for section in own)
    assert small < large
