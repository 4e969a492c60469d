"""The simulation in time against what is known without it: balances, closed forms, the limit of the loop."""

from __future__ import annotations

import functools

import numpy as np
import pytest

from tablegen.physics.coil_cells import Cells, CoilInTime
from tablegen.physics.loop import Circuit
from tablegen.physics.steady_opening import smallest_steady
from tablegen.physics.valve import OpeningCharacteristic
from tablegen.physics.valve_in_time import SAMPLE_S, Loop, ValveTable, simulate, swing
from tests.physics.loop_cases import DEGF, PSI, LoopCase

_NO_STOP = 9.0
BASE = LoopCase()
# The cases of the known facts of hunting; of SST and refrigerants that the cross charge does not suit, with a straight charge.
CASES = {
    "base": BASE,
    "bulb of 60 s": LoopCase(bulb_s=60.0),
    "opening superheat 8 degF": LoopCase(opening=8.0),
    "TD 15 degF": LoopCase(td=15.0),
    "circuit of 6 m": LoopCase(length_m=6.0),
    "liquid of 60 degF": LoopCase(liquid=60.0, rated_liquid=60.0),
    "R134a": LoopCase(fluid="R134a", is_straight=True),
    "R410A": LoopCase(fluid="R410A", is_straight=True),
    "R448A": LoopCase(fluid="R448A", is_straight=True),
    "SST 0 degF": LoopCase(sst=0.0, is_straight=True),
    "SST -20 degF": LoopCase(sst=-20.0, is_straight=True),
}


def parts(case: LoopCase, calibration: float = 1.0) -> tuple[CoilInTime, Loop]:
    """The circuit and the loop of a case, without a stop."""
    circuit = Circuit(
        load_w=1000.0,
        length_m=case.length_m,
        tube_inner_diameter_m=case.diameter_m,
        wall_heat_capacity_j_mk=120.0,
        air_side_share=0.75,
        plug_share=case.plug,
    )
    coil = CoilInTime.of(circuit, case.ratio, case.coil(), float(case.te[0]))
    characteristic = OpeningCharacteristic(_NO_STOP)
    table = ValveTable.of(case.balance(), characteristic, coil, float(case.under_pa[0]), case.drop_psi * PSI, _NO_STOP)
    return coil, Loop(table=table, bulb_time_constant_s=case.bulb_s, calibration=calibration)


def period(case: LoopCase) -> float:
    return float(case.ultimate().period_s[0])


@functools.cache
def onset(case: LoopCase) -> float:
    """The opening below which a kick of 1 % grows in the simulation, over the limit of the loop."""
    coil, loop = parts(case)
    shares, span = np.linspace(0.7, 1.2, 26), period(case)
    course = simulate(coil, loop, shares * case.phi_min, duration_s=14.0 * span, kick=0.01)
    early, late = ((course.time_s >= a * span) & (course.time_s < (a + 3.0) * span) for a in (6.0, 11.0))
    grown = np.log(np.ptp(course.opening[late], axis=0) / np.ptp(course.opening[early], axis=0))
    is_full = np.ptp(course.opening[late], axis=0) > 0.1 * shares * case.phi_min
    last = int(np.flatnonzero((grown > 0.0) | is_full).max())
    step = float(np.clip(grown[last] / (grown[last] - grown[last + 1]), 0.0, 1.0))
    return float(shares[last] + step * (shares[last + 1] - shares[last]))


# How far the limit of the loop is from the simulation at most, with half of the delay as dead time.
_NEAR = 0.1


@pytest.mark.slow
def test_onset_of_hunting_is_the_limit_of_the_loop():
    found = {name: onset(case) for name, case in CASES.items()}
    print("\n".join(f"{name:26} {share:.3f} of the limit" for name, share in found.items()))
    for name, share in found.items():
        assert abs(share - 1.0) < _NEAR, name


@pytest.mark.parametrize("name", ["base", "opening superheat 8 degF"])
def test_it_is_steady_above_the_limit_and_swings_below(name):
    case = CASES[name]
    coil, loop = parts(case)
    course = simulate(coil, loop, np.array([1.2, 0.95]) * case.phi_min, duration_s=20.0 * period(case))
    above, below = swing(course, 0), swing(course, 1)
    assert not above.hunts
    assert np.ptp(above.superheat_k) < 0.2
    assert np.isnan(above.period_s)
    assert below.hunts
    assert below.superheat_k[0] < 1.0 < 0.8 * coil.difference_k < below.superheat_k[1]
    assert below.period_s == pytest.approx(period(case), rel=0.2)
    # The balance is over the time in which the swing grows to its full range.
    assert np.all(np.abs(course.imbalance_kg) < 1e-6 * course.fed_kg)
    change = course.liquid_kg[-1] - course.liquid_kg[0]
    assert np.all(np.abs(change) < 0.5 * course.liquid_kg[0])


def test_a_calibration_moves_the_onset_as_it_moves_the_limit():
    coil, loop = parts(BASE, calibration=1.5)
    limit = smallest_steady(BASE.gain_at(), 1.5 * BASE.ultimate().gain, BASE.now.difference_k)
    opening = np.array([1.12, 0.88]) * float(limit.opening[0])
    assert opening[0] < 0.95 * BASE.phi_min
    course = simulate(coil, loop, opening, duration_s=20.0 * period(BASE), kick=0.02)
    assert not swing(course, 0).hunts
    assert swing(course, 1).hunts


def settled(coil: CoilInTime, feed: np.ndarray, cells: int = 80) -> Cells:
    own = Cells(coil, feed, cells)
    for _ in range(1200):
        count = own.steps(feed, SAMPLE_S)
        for _ in range(count):
            own.step(feed, SAMPLE_S / count)
    return own


def test_a_steady_circuit_has_the_superheat_of_two_zones():
    coil, _ = parts(BASE)
    superheat = np.array([2.0, 5.0, 7.0, 9.0]) * DEGF
    own = settled(coil, coil.steady_flow(superheat))
    assert own.superheat_k == pytest.approx(superheat, abs=0.1 * DEGF)
    assert np.all(own.carried_kg_s == 0.0)


def test_more_feed_than_the_circuit_evaporates_leaves_it():
    coil, _ = parts(BASE)
    whole = coil.conductance_w_mk * coil.length_m * coil.difference_k / coil.latent_heat_j_kg
    feed = np.array([1.05 * whole / (1.0 - coil.inlet_quality)])
    own = settled(coil, feed)
    assert own.superheat_k == pytest.approx([0.0])
    assert own.wetted == pytest.approx([1.0])
    # Energy: what is left over of the liquid fed.
    assert own.carried_kg_s == pytest.approx([0.05 * whole], rel=1e-3)


def test_liquid_in_the_circuit_per_flow_is_the_delay_of_the_loop():
    """The mean delay of the end of the liquid is dM/dm of its mass balance, whatever the pattern of flow."""
    coil, _ = parts(BASE)
    flow = coil.steady_flow(np.array([6.0, 7.5]) * DEGF)
    liquid = settled(coil, flow).liquid_kg.sum(axis=1)
    delay = np.diff(liquid) / np.diff(flow * (1.0 - coil.inlet_quality))
    assert delay == pytest.approx(BASE.coil().delay_s, rel=0.03)


def test_the_same_inputs_give_the_same_figures():
    coil, loop = parts(BASE)
    first, again = (simulate(coil, loop, np.array([0.7]), duration_s=60.0) for _ in range(2))
    assert np.array_equal(first.opening, again.opening)
    assert np.array_equal(first.superheat_k, again.superheat_k)


@pytest.mark.slow
def test_finer_cells_change_little():
    coil, loop = parts(BASE)
    opening, span = np.array([0.85 * BASE.phi_min]), period(BASE)
    coarse, fine = (swing(simulate(coil, loop, opening, duration_s=20.0 * span, cells=cells), 0) for cells in (80, 240))
    assert coarse.period_s == pytest.approx(fine.period_s, rel=0.03)
    assert coarse.opening == pytest.approx(fine.opening, abs=0.03)
