"""Limits at a confidence against the ordinary pipeline rebuilt draw by draw, normal quantiles, and what must hold."""

from __future__ import annotations

import functools
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from tablegen.catalogue.inputs import Confidence, Family, ProductionScatter, Tolerance
from tablegen.catalogue.registry import PropertyUncertainty
from tablegen.catalogue.scatter.confidence import (
    Uncertain,
    at_confidence,
    confident_limits,
    drivers,
    kv_share,
    scattered_valve,
    system_of,
    unsettled,
)
from tablegen.catalogue.scatter.draws import Draws, Source, normal_draws, single_draws
from tablegen.catalogue.scatter.tables import Scattered, printed_window
from tablegen.catalogue.solving import Solved, laws_of, solve, unit_window
from tablegen.physics.deviation import DeviatingRefrigerant, PropertyDeviation
from tablegen.physics.flow import FlowLaw
from tablegen.physics.reasons import Reason
from tablegen.physics.valve import set_at_factory
from tests.demo import demo_catalogue

NOTHING = PropertyUncertainty(0.0, 0.0, 0.0, "")
KV_SHARE = 0.02


def tolerance(deviation: float) -> Tolerance:
    return Tolerance(deviation, "invented for tests")


def unscattered(family: Family) -> Family:
    """A family whose valves are all alike."""
    return replace(family, scatter=ProductionScatter())


def scattering(family: Family, law: FlowLaw | None = None) -> Family:
    """A family with a tolerance on everything that may have one."""
    trims = tuple(
        replace(t, static_superheat_tolerance=tolerance(0.25), opening_superheat_tolerance=tolerance(0.12),
                charge_pressure_tolerance=tolerance(0.004)) if t.setting else t
        for t in family.trims
    )  # fmt: skip
    sizes = tuple(replace(s, kv_tolerance=tolerance(KV_SHARE * s.kv_rated_m3h)) for s in family.sizes)
    made = replace(unscattered(family), trims=trims, sizes=sizes, unbalance_tolerance=tolerance(0.001))
    if law is FlowLaw.CHOKED:
        made = replace(made, flow_law=law, pressure_recovery=0.85, pressure_recovery_tolerance=tolerance(0.02))
    return made


@functools.cache
def known() -> Uncertain:
    return Uncertain(demo_catalogue().uncertainty, demo_catalogue().settings)


def solved_for(family: Family, refrigerant: str, envelope: str) -> Solved:
    catalogue = demo_catalogue()
    return solve(catalogue.refrigerants[refrigerant], catalogue.applications[envelope], laws_of([family]))


def valve_of(family: Family, refrigerant: str, envelope: str, own: Uncertain | None = None):
    solved = solved_for(family, refrigerant, envelope)
    trim = family.trim_for(refrigerant, solved.application.application)
    own = own or known()
    return scattered_valve(own, family, trim, solved, system_of(own, solved))


CASES = [
    ("alder", "R448A", "walk_in_medium", None),
    ("alder", "R449A", "walk_in_low", None),
    ("alder", "R407C", "walk_in_low", None),
    ("alder", "R404A", "walk_in_medium_lift", None),
    ("rowan", "R404A", "walk_in_medium", None),
    ("hazel", "R448A", "walk_in_medium", None),
    ("alder", "R448A", "walk_in_medium", FlowLaw.CHOKED),
]


def rebuilt(family: Family, refrigerant: str, envelope: str, draws: Draws, i: int) -> tuple[np.ndarray, np.ndarray]:
    """The window of one draw by the ordinary pipeline: another refrigerant, another setting, all solved anew."""
    catalogue, z = demo_catalogue(), {source: float(draws.of(source)[i]) for source in Source}
    valve = valve_of(family, refrigerant, envelope)
    s = valve.scatter
    shares = s.pressure * z[Source.PRESSURE], s.density * z[Source.DENSITY], s.enthalpy * z[Source.ENTHALPY]
    off = PropertyDeviation(*shares)
    fluid = DeviatingRefrigerant(catalogue.refrigerants[refrigerant], off)
    trim, application = valve.trim, catalogue.applications[envelope]
    recovery = family.pressure_recovery + s.pressure_recovery * z[Source.PRESSURE_RECOVERY]
    made = replace(family, pressure_recovery=recovery)
    if trim.setting is not None:
        own = trim.setting_refrigerant == refrigerant
        shift = s.pressure * z[Source.PRESSURE] if own else s.setting_pressure * z[Source.SETTING_PRESSURE]
        setting_fluid = DeviatingRefrigerant(catalogue.settings[trim.setting_refrigerant], PropertyDeviation(shift))
        setting = replace(
            trim.setting,
            static_superheat_k=trim.setting.static_superheat_k + s.static_superheat_k * z[Source.STATIC_SUPERHEAT],
            opening_superheat_k=trim.setting.opening_superheat_k + s.opening_superheat_k * z[Source.OPENING_SUPERHEAT],
        )

        class Curve:
            """The charge with its drawn pressure."""

            curve = trim.actuator.balance.charge.curve
            range_k = curve.range_k

            def pressure(self, temperature_k):
                return self.curve.pressure(temperature_k) * (1.0 + s.charge_pressure * z[Source.CHARGE_PRESSURE])

            def temperature(self, pressure_pa):
                return self.curve.temperature(pressure_pa / (1.0 + s.charge_pressure * z[Source.CHARGE_PRESSURE]))

        unbalance = trim.actuator.balance.unbalance + s.unbalance * z[Source.UNBALANCE]
        balance = set_at_factory(Curve(), setting, setting_fluid, unbalance, trim.maximum_operating_pressure_pa)
        made = replace(made, trims=(replace(trim, actuator=replace(trim.actuator, balance=balance)),))
    _, _, window = unit_window(made, solve(fluid, application, laws_of([made])))
    return window.min_load_w, window.max_load_w


@pytest.mark.parametrize(("name", "refrigerant", "envelope", "law"), CASES)
def test_every_draw_is_the_window_of_a_valve_built_and_solved_anew(name, refrigerant, envelope, law):
    family = scattering(demo_catalogue().families[name], law)
    draws = normal_draws(256, 3)
    loads = valve_of(family, refrigerant, envelope).loads(draws)
    for i in range(0, 256, 43):
        least, greatest = rebuilt(family, refrigerant, envelope, draws, i)
        is_open = np.isfinite(greatest)
        assert is_open.any()
        assert loads.least[i][is_open] == pytest.approx(least[is_open], rel=2e-4)
        assert loads.greatest[i][is_open] == pytest.approx(greatest[is_open], rel=2e-4)
        # What cannot hold a load at all holds none here either, or its limits cross.
        assert np.all(loads.least[i][~is_open] >= loads.greatest[i][~is_open] * (1.0 - 2e-4))


def test_without_any_scatter_limits_are_the_nominal_ones():
    none = Uncertain(dict.fromkeys(demo_catalogue().uncertainty, NOTHING), demo_catalogue().settings)
    family = unscattered(demo_catalogue().families["alder"])
    limits = confident_limits(valve_of(family, "R448A", "walk_in_medium", none), Confidence(0.99, 256, 1, True))
    _, _, unit = unit_window(family, solved_for(family, "R448A", "walk_in_medium"))
    assert limits["45"].least == pytest.approx(unit.min_load_w, rel=1e-12)
    assert limits["45"].greatest == pytest.approx(unit.max_load_w, rel=1e-12)


@pytest.mark.parametrize("level", [0.8, 0.95, 0.99])
def test_scatter_of_kv_alone_moves_limits_by_the_normal_quantile(level):
    none = Uncertain(dict.fromkeys(demo_catalogue().uncertainty, NOTHING), demo_catalogue().settings)
    family = unscattered(demo_catalogue().families["hazel"])
    valve = valve_of(family, "R448A", "walk_in_medium", none)
    draws = normal_draws(4096, 1)
    limits = at_confidence(valve.loads(draws), draws, KV_SHARE, level)
    _, _, unit = unit_window(family, valve.solved)
    shift = KV_SHARE * NormalDist().inv_cdf(level)
    assert limits.least / unit.min_load_w == pytest.approx(np.full(16, 1.0 + shift), abs=2e-4)
    assert limits.greatest / unit.max_load_w == pytest.approx(np.full(16, 1.0 - shift), abs=2e-4)


def test_independent_scatter_adds_up_in_squares():
    """Enthalpy and Kv both divide or multiply the load, so their shares add in quadrature to first order."""
    own = {name: PropertyUncertainty(0.0, 0.0, 0.04, "") for name in demo_catalogue().uncertainty}
    family = unscattered(demo_catalogue().families["hazel"])
    valve = valve_of(family, "R448A", "walk_in_medium", Uncertain(own, demo_catalogue().settings))
    draws = normal_draws(4096, 1)
    limits = at_confidence(valve.loads(draws), draws, KV_SHARE, 0.95)
    _, _, unit = unit_window(family, valve.solved)
    shift = NormalDist().inv_cdf(0.95) * np.hypot(KV_SHARE, 0.04 / 2.0)
    assert limits.greatest / unit.max_load_w == pytest.approx(np.full(16, 1.0 - shift), abs=1.5e-3)


@pytest.mark.parametrize(("name", "refrigerant", "envelope", "law"), CASES)
def test_more_confidence_is_a_narrower_window(name, refrigerant, envelope, law):
    family = scattering(demo_catalogue().families[name], law)
    valve = valve_of(family, refrigerant, envelope)
    size = family.sizes[0].name
    _, _, unit = unit_window(family, valve.solved)
    is_open = unit.is_open
    last = unit.min_load_w[is_open], unit.max_load_w[is_open]
    for level in (0.75, 0.9, 0.95, 0.99):
        limits = confident_limits(valve, Confidence(level, 512, 2, True))[size]
        assert np.all(limits.least[is_open] > last[0])
        assert np.all(limits.greatest[is_open] < last[1])
        last = limits.least[is_open], limits.greatest[is_open]


def test_share_of_draws_that_hold_a_limit_is_the_confidence():
    """The quantile by counting, with other draws than those that gave the limit."""
    family = scattering(demo_catalogue().families["alder"])
    valve = valve_of(family, "R448A", "walk_in_medium")
    limits = confident_limits(valve, Confidence(0.95, 4096, 1, True))["45"]
    draws = normal_draws(4096, 99)
    loads = valve.loads(draws)
    kv = 1.0 + KV_SHARE * draws.of(Source.KV)[:, None]
    assert np.mean(loads.greatest * kv >= limits.greatest, axis=0) == pytest.approx(np.full(16, 0.95), abs=0.004)
    assert np.mean(loads.least * kv <= limits.least, axis=0) == pytest.approx(np.full(16, 0.95), abs=0.004)


def test_a_driver_is_the_limit_with_that_source_alone():
    family = scattering(demo_catalogue().families["alder"])
    valve = valve_of(family, "R449A", "walk_in_medium")
    found = {(d.source, d.is_greatest): d for d in drivers(valve, KV_SHARE, 0.95, 2)}
    z = NormalDist().inv_cdf(0.95)
    assert found[Source.KV, True].at_high == pytest.approx(1.0 + z * KV_SHARE, rel=1e-9)
    draws = single_draws(z)
    _, _, unit = unit_window(family, valve.solved)
    for source, row in ((Source.STATIC_SUPERHEAT, 2), (Source.PRESSURE, 2)):
        place = 2 * list(Source).index(source) + 1
        _, greatest = rebuilt(family, "R449A", "walk_in_medium", draws, place)
        assert found[source, True].at_high == pytest.approx(greatest[row] / unit.max_load_w[row], rel=2e-4)


def test_a_row_bound_by_superheat_is_driven_by_the_setting_and_one_bound_by_the_stop_is_not():
    """Facts of the trade (common practice): what a stop limits a setting does not move."""
    family = scattering(demo_catalogue().families["alder"])
    valve = valve_of(family, "R449A", "walk_in_medium")
    _, _, unit = unit_window(family, valve.solved)
    at = {str(reason): int(i) for i, reason in enumerate(unit.max_reason)}
    by_stop = {d.source for d in drivers(valve, KV_SHARE, 0.75, at["stop"]) if d.is_greatest}
    by_superheat = {d.source for d in drivers(valve, KV_SHARE, 0.75, at["superheat"]) if d.is_greatest}
    assert Source.STATIC_SUPERHEAT not in by_stop
    assert {Source.STATIC_SUPERHEAT, Source.OPENING_SUPERHEAT} <= by_superheat


def test_more_draws_settle_a_limit_better():
    valve = valve_of(scattering(demo_catalogue().families["alder"]), "R448A", "walk_in_medium")
    few = unsettled(valve, Confidence(0.95, 256, 1, True), KV_SHARE, 7)
    many = unsettled(valve, Confidence(0.95, 4096, 1, True), KV_SHARE, 7)
    assert max(many) < max(few)
    assert max(many) < 1e-3


def test_same_seed_same_limits_and_another_seed_nearly_so():
    valve = valve_of(scattering(demo_catalogue().families["alder"]), "R448A", "walk_in_medium")
    first, again, other = (confident_limits(valve, Confidence(0.95, 1024, s, True))["45"].greatest for s in (1, 1, 2))
    assert first.tolist() == again.tolist()
    assert other.tolist() != first.tolist()
    assert other == pytest.approx(first, rel=0.01)


def test_limits_that_cross_empty_the_window_and_say_so():
    family = scattering(demo_catalogue().families["rowan"])
    solved = solved_for(family, "R404A", "walk_in_medium")
    scattered = Scattered(Confidence(0.999, 512, 1, True), known())
    _, _, unit = unit_window(family, solved)
    window = printed_window(unit, scattered.limits(family, solved)[family.sizes[0].name], True)
    lost = unit.is_open & ~window.is_open
    assert lost.any()
    assert {str(reason) for reason in window.max_reason[lost]} == {str(Reason.CONFIDENCE)}
    assert printed_window(unit, scattered.limits(family, solved)[family.sizes[0].name], False) is unit


def test_scatter_from_valve_to_valve_and_a_measured_tolerance_add_in_squares():
    family = scattering(demo_catalogue().families["alder"])
    scattered = replace(family, scatter=ProductionScatter(kv=0.03, static_superheat_k=0.4))
    valve = valve_of(scattered, "R448A", "walk_in_medium")
    assert kv_share(scattered, scattered.sizes[0]) == pytest.approx(np.hypot(KV_SHARE, 0.03))
    assert valve.scatter.static_superheat_k == pytest.approx(np.hypot(0.25, 0.4))
