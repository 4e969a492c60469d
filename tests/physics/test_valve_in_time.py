"""The simulation in time against what is known without it: balances, closed forms, the limit of the loop."""

from __future__ import annotations

import functools
from dataclasses import replace

import numpy as np
import pytest

from tablegen.physics.coil_cells import Cells, CoilInTime
from tablegen.physics.loop import Circuit
from tablegen.physics.steady_opening import smallest_steady
from tablegen.physics.valve import OpeningCharacteristic
from tablegen.physics.valve_in_time import SAMPLE_S, Course, Loop, ValveTable, simulate, swing
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


# What is made of the figures.


def course(opening: np.ndarray, superheat: np.ndarray, wetted: np.ndarray, carried: np.ndarray) -> Course:
    """Figures of one run, made up, in the second column."""
    times = len(opening)

    def second(column: np.ndarray) -> np.ndarray:
        return np.column_stack([np.full(times, 77.0), column])

    none = np.zeros(2)
    return Course(
        time_s=SAMPLE_S * np.arange(times),
        opening=second(opening),
        superheat_k=second(superheat),
        bulb_superheat_k=second(superheat),
        wetted=second(wetted),
        carried_kg_s=second(carried),
        liquid_kg=second(wetted),
        fed_kg=none,
        imbalance_kg=none,
    )


def waves(sizes: tuple[float, float, float, float], period_s: float, count: int) -> np.ndarray:
    """A sine about 0.5 whose size is another in each quarter of its time."""
    at = np.arange(count)
    size = np.repeat(sizes, -(-count // 4))[:count]
    return 0.5 + size * np.sin(2.0 * np.pi * SAMPLE_S * at / period_s + 0.4)


@pytest.mark.parametrize(
    ("sizes", "hunts"),
    [
        # Only the second quarter and the last are compared: a swing that loses more than a twentieth of itself dies away.
        ((9.0, 0.10, 0.3, 0.097), True),
        ((9.0, 0.10, 0.3, 0.093), False),
        ((0.0, 0.10, 0.0, 0.2), True),
        # What moves by less than a millionth is at rest.
        ((0.0, 0.0, 0.0, 4e-7), False),
        ((0.0, 0.0, 0.0, 6e-7), True),
    ],
)
def test_a_swing_hunts_where_it_does_not_die_away(sizes, hunts):
    opening = waves(sizes, 37.3, 1200)
    still = np.zeros(1200)
    found = swing(course(opening, still, still, still), 1)
    assert found.hunts is hunts
    assert np.isfinite(found.period_s) == hunts


def test_a_swing_is_read_off_the_second_half():
    count, period_s = 1003, 61.7
    opening = waves((0.2, 0.2, 0.2, 0.2), period_s, count)
    wave = np.sin(2.0 * np.pi * SAMPLE_S * np.arange(count) / period_s + 0.4)
    superheat, wetted, carried = 4.0 + 2.0 * wave, 0.8 + 0.1 * wave, 1e-3 * np.maximum(wave - 0.5, 0.0)
    # Just before the half, and not counted.
    early = slice(count // 2 - 60, count // 2)
    superheat[early], wetted[early], carried[early] = -9.0, 7.0, 1.0
    found = swing(course(opening, superheat, wetted, carried), 1)
    assert found.period_s == pytest.approx(period_s, rel=2e-5)
    assert found.superheat_k == pytest.approx((2.0, 6.0), abs=2e-3)
    assert found.opening == pytest.approx((0.3, 0.7), abs=2e-4)
    assert found.wetted == pytest.approx((0.7, 0.9), abs=1e-4)
    # A sine is above a half for a third of its period: of 4.06 periods here.
    assert found.liquid_share == pytest.approx(1.0 / 3.0, abs=0.02)


@pytest.mark.parametrize(("period_s", "crossings"), [(140.0, 2), (300.0, 1)])
def test_a_period_needs_two_crossings(period_s, crossings):
    opening = waves((0.2, 0.2, 0.2, 0.2), period_s, 1200)
    still = np.zeros(1200)
    found = swing(course(opening, still, still, still), 1)
    assert found.hunts
    half = opening[600:] - opening[600:].mean()
    assert int(((half[:-1] < 0.0) & (half[1:] >= 0.0)).sum()) == crossings
    assert np.isnan(found.period_s) if crossings == 1 else found.period_s == pytest.approx(period_s, rel=1e-3)


def test_figures_that_are_exactly_the_mean_are_one_crossing():
    opening = np.tile(0.5 + 0.25 * np.array([0.0, 1.0, 1.0, 1.0, 0.0, -1.0, -1.0, -1.0]), 32)
    still = np.zeros(len(opening))
    assert swing(course(opening, still, still, still), 1).period_s == 8 * SAMPLE_S


def test_a_bulb_that_feels_nothing_leaves_the_feed_with_its_kick():
    """Liquid fed: the flow of steady operation for 30 s, and a tenth more for the first 20 s, less what flashes."""
    coil, loop = parts(BASE)
    opening = np.array([0.9, 1.1])
    found = simulate(coil, replace(loop, bulb_time_constant_s=1e12), opening, duration_s=30.0, cells=10)
    superheat = np.interp(opening, loop.table.opening, loop.table.bulb_k) - coil.temperature_k
    liquid = (1.0 - coil.inlet_quality) * coil.steady_flow(superheat)
    np.testing.assert_allclose(found.fed_kg, 32.0 * liquid, rtol=1e-9)
    assert found.fed_kg.dtype == found.imbalance_kg.dtype == np.float64
    np.testing.assert_allclose(found.imbalance_kg, 0.0, atol=1e-12)
    assert {own.shape for own in (found.opening, found.superheat_k, found.wetted, found.liquid_kg)} == {(60, 2)}
    assert (found.time_s == np.arange(0.0, 30.0, 0.5)).all()
    # It rests before the kick, and the bulb stays as it was.
    np.testing.assert_allclose(found.bulb_superheat_k, np.broadcast_to(found.superheat_k[0], (60, 2)), rtol=1e-9)
    asked = np.interp(coil.temperature_k + found.superheat_k[0], loop.table.bulb_k, loop.table.opening)
    np.testing.assert_allclose(found.opening, np.broadcast_to(asked, (60, 2)), rtol=1e-9)
    # More feed wets more of the wall, holds more liquid, and leaves less superheat; nothing leaves as liquid.
    for own in (found.wetted, found.liquid_kg, -found.superheat_k):
        assert (own[40] > own[0]).all()
    assert (found.carried_kg_s == 0.0).all()
    heat = coil.conductance_w_mk * coil.length_m * coil.difference_k
    wetted = coil.steady_flow(superheat) * coil.wetted_effect_j_kg / heat
    np.testing.assert_allclose(found.wetted[0], wetted, rtol=0.05)


def test_it_begins_at_rest():
    """Four minutes settle it: twice as long leaves the same superheat."""
    coil, loop = parts(BASE)
    once, twice = (
        simulate(coil, loop, np.array([1.0]), duration_s=1.0, cells=10, **settle).superheat_k[0]
        for settle in ({}, {"settle_s": 480.0})
    )
    np.testing.assert_allclose(once, twice, rtol=1e-9)


def test_the_bulb_follows_as_a_lag_of_the_first_order():
    coil, loop = parts(BASE)
    found = simulate(coil, loop, np.array([1.0]), duration_s=60.0, settle_s=60.0, cells=10)
    superheat, bulb = found.superheat_k[:, 0], found.bulb_superheat_k[:, 0]
    gap = superheat - bulb
    risen = np.cumsum(0.5 * (gap[1:] + gap[:-1])) * SAMPLE_S / BASE.bulb_s
    np.testing.assert_allclose(bulb[1:] - bulb[0], risen, atol=0.01 * float(np.ptp(bulb)))
    asked = np.interp(coil.temperature_k + bulb, loop.table.bulb_k, loop.table.opening)
    np.testing.assert_allclose(found.opening[1:, 0], asked[1:], atol=0.03 * float(np.ptp(asked)))


def test_seat_and_stop_bound_the_opening():
    coil, loop = parts(BASE)
    stop = 0.75
    table = replace(loop.table, stop=stop, share=np.clip(loop.table.opening, 0.0, stop))
    found = simulate(
        coil,
        replace(loop, table=table),
        np.array([0.55]),
        duration_s=150.0,
        kick=1.5,
        kick_s=60.0,
        settle_s=60.0,
        cells=10,
    )
    assert found.opening.min() == 0.0 and found.opening.max() == stop


@pytest.mark.parametrize("stop", [0.8, 1.2])
def test_a_table_of_a_valve_is_its_force_balance_between_seat_and_stop(stop):
    coil, _ = parts(BASE)
    balance, under, drop = BASE.balance(), float(BASE.under_pa[0]), BASE.drop_psi * PSI
    table = ValveTable.of(balance, OpeningCharacteristic(stop), coil, under, drop, stop)
    assert table.stop == stop
    assert (table.share == np.clip(table.opening, 0.0, stop)).all()
    assert table.share.min() == 0.0 and table.share.max() == stop
    # Far enough on both sides for a bulb that runs beyond the evaporating temperature and that of the air.
    te, box = coil.temperature_k, coil.temperature_k + coil.difference_k
    assert (table.bulb_k[0], table.bulb_k[-1]) == pytest.approx((te - 15.0, box + 15.0), abs=1e-9)
    # Between two of its temperatures it is as good as the balance itself.
    between = np.linspace(te, box, 97)
    exact = balance.opening(between, np.asarray(under), np.asarray(drop))
    np.testing.assert_allclose(np.interp(between, table.bulb_k, table.opening), exact, atol=1e-6)
