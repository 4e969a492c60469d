"""Facts of the trade on the built demonstration.

Each is `common practice`, or a `self-check`: a figure that was worked out from the same property library once, which
finds changes and proves nothing.
"""

from __future__ import annotations

import re

import numpy as np
import pandas as pd
import pytest

from tablegen.dataset.dataset import DataSet
from tablegen.model.inputs import Application, Catalogue, Family
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.physics.bulb import BulbCharge, SaturationCurve
from tablegen.physics.conditions import solve_rating
from tablegen.physics.valve import ForceBalance, static_superheat
from tests.demo import demo_catalogue, demo_data
from tests.registry import refrigerant
from tests.us_units import DELTA_F, PSI_PA, kelvin

# Exact by definition: the pound of 0.45359237 kg, standard gravity, the inch of 25.4 mm, the foot of 0.3048
# m.
SITE_PA = 14.696 * PSI_PA
STATE_KEYS = ["refrigerant", "application", "flow_law", "open_share", "sst_k"]
FLOATED = ["walk_in_medium", "walk_in_low"]
ELECTRONIC = ["hazel", "larch", "juniper"]
# Receiver pressures of a rack, which keeps SST and capacity: no compressor works between its heads.
RACK = "walk_in_r744"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return demo_catalogue()


@pytest.fixture(scope="module")
def demo() -> DataSet:
    return demo_data()


def by_head(demo: DataSet, values: pd.Series) -> pd.DataFrame:
    """One row per refrigerant, application and suction temperature; a column per head, all of them present."""
    keyed = demo.states.assign(value=values)
    wide = keyed.pivot(index=STATE_KEYS, columns="condition", values="value")
    assert wide.notna().all(axis=None)
    return wide


def test_lower_head_raises_compressor_flow(demo: DataSet) -> None:
    # common practice: less lift, more flow, for every row.
    wide = by_head(demo, demo.states["flow_ratio"])
    of_rack = wide.index.get_level_values("application") == RACK
    assert of_rack.any()
    assert (wide["low_head"] > wide["rating"])[~of_rack].all()
    assert (wide["rating"] > wide["high_head"])[~of_rack].all()
    assert np.allclose(wide["rating"], 1.0, rtol=0.0, atol=1e-12)
    capacity = by_head(demo, demo.states["capacity_ratio"])
    assert (capacity["low_head"] > 1.0)[~of_rack].all()
    assert (capacity["high_head"] < 1.0)[~of_rack].all()
    # The coil of the rack keeps its capacity: warmer liquid from the receiver, more flow.
    assert np.allclose(capacity[of_rack], 1.0, rtol=0.0, atol=1e-12)
    assert (wide["low_head"] < wide["high_head"])[of_rack].all()


def test_lower_head_lowers_what_the_valve_passes(demo: DataSet) -> None:
    # common practice: the same port passes less, whether as flow or as load, for every row.
    s = demo.states
    passed = by_head(demo, np.sqrt(s["liquid_density_kg_m3"] * s["effective_pressure_drop_pa"]))
    assert (passed["low_head"] < passed["rating"]).all()
    assert (passed["rating"] < passed["high_head"]).all()
    required_kv = by_head(demo, s["required_kv_m3h_per_kw"])
    assert (required_kv["low_head"] > required_kv["rating"]).all()
    assert (required_kv["rating"] > required_kv["high_head"]).all()


def test_low_head_sets_the_max_load_and_high_head_the_min(demo: DataSet) -> None:
    # common practice: size for winter, check the summer; for a port on which inlet pressure does not push.
    for frame in (demo.windows, demo.group_windows):
        own = frame[frame["application"].isin(FLOATED) & (frame["family"] != "rowan") & frame["max_load_w"].notna()]
        assert len(own) > 1000
        assert set(own["max_condition"]) == {"low_head"}
        # Where static superheat is below what is stable, the head at which the valve needs the least sets the minimum.
        assert set(own.loc[own["min_reason"] != "floodback", "min_condition"]) == {"high_head"}


def test_fixed_head_makes_wider_windows_than_floating_head(demo: DataSet) -> None:
    # common practice: tables for a fixed head promise more than a unit with floating head can cover.
    w = demo.windows.assign(ratio=demo.windows["max_load_w"] / demo.windows["min_load_w"])
    keys = ["family", "refrigerant", "size", "sst_k"]
    for floated, fixed in (("walk_in_medium", "walk_in_medium_fixed"), ("walk_in_low", "walk_in_low_fixed")):
        wide = (
            w[w["application"].isin([floated, fixed])].pivot(index=keys, columns="application", values="ratio").dropna()
        )
        assert len(wide) > 500
        assert (wide[fixed] > wide[floated]).all()


def test_single_ports_are_narrower_and_swing_more(demo: DataSet) -> None:
    # common practice: balanced ports under wide head pressure.
    w = demo.windows.assign(ratio=demo.windows["max_load_w"] / demo.windows["min_load_w"])
    at = w[(w["application"] == "walk_in_medium") & w["family"].isin(["alder", "rowan"])]
    by = at.groupby(["refrigerant", "sst_k", "family"])[["ratio", "superheat_swing_k", "unbalance_swing_k"]].median()
    ratio, swing = by["ratio"].unstack().dropna(), by["superheat_swing_k"].abs().unstack().dropna()
    assert len(ratio) > 50
    assert (ratio["rowan"] < 0.85 * ratio["alder"]).all()
    assert (swing["rowan"] > 2.0 * swing["alder"]).all()
    warned = [text for text in demo.summary.warnings if "unbalanced port" in text]
    assert [text.split(":")[0] for text in warned] == ["rowan, walk_in_medium"]
    # Each difference of temperature in both scales, by exact definition.
    pairs = re.findall(r"([0-9.]+) °F \(([0-9.]+) K\)", warned[0])
    assert len(pairs) == 3 == warned[0].count("°F") == warned[0].count(" K)")
    assert all(abs(float(f) - 1.8 * float(k)) <= 0.05 + 1.8 * 0.05 for f, k in pairs)


def test_above_its_mop_a_gas_charge_feeds_no_more(demo: DataSet) -> None:
    # common practice: the valve closes when the evaporator is above its maximum operating pressure (31 psia here).
    w = demo.windows[(demo.windows["charge"] == "gas-407C-low")]
    states = demo.states[(demo.states["application"] == "walk_in_low") & (demo.states["refrigerant"] == "R407C")]
    pressure = states.groupby("sst_k")["evaporating_pressure_pa"].first().reindex(w["sst_k"]).to_numpy()
    closed = (w["max_reason"] == "above_mop").to_numpy()
    assert 0 < closed.sum() < len(w)
    assert (pressure[closed] > 31.0 * PSI_PA).all()
    assert (pressure[w["max_reason"] == "stop"] < 31.0 * PSI_PA).all()


@pytest.mark.parametrize(
    ("application", "low", "high"), [("walk_in_medium", 123.0, 150.0), ("walk_in_low", 100.0, 150.0)]
)
def test_low_heads_are_where_units_with_floating_head_are_set(
    demo: DataSet, application: str, low: float, high: float
) -> None:
    # common practice: about 123 to 150 psi gauge at medium, 100 to 150 at low temperature, for R404A and its
    # like.
    at = demo.states[(demo.states["application"] == application) & (demo.states["condition"] == "low_head")]
    head_psi = (at["head_pressure_pa"] - SITE_PA) / PSI_PA
    is_low_pressure = at["refrigerant"].isin(["R134a", "R513A"])
    assert head_psi[~is_low_pressure].between(low, high).all()
    assert (~is_low_pressure).any()


def test_low_pressure_refrigerants_float_to_about_70_degf(demo: DataSet) -> None:
    # common practice: the settings above are not for R134a and R513A, whose units float to about 70 degF
    # saturated condensing, the figure of California Title 24 sec. 120.6(b) (by way of a trade article); 5 degF
    # either way is what "about" allows.
    is_one = demo.states["refrigerant"].isin(["R134a", "R513A"]) & (demo.states["condition"] == "low_head")
    at = demo.states[is_one]
    assert len(at) > 0
    assert at["head_bubble_temperature_k"].between(kelvin(65.0), kelvin(75.0)).all()


def test_windows_are_as_wide_as_a_valve_turns_down(catalogue: Catalogue, demo: DataSet) -> None:
    # common practice: a thermostatic valve covers a span of loads of less than 5 : 1, an electronic one of some 10 : 1.  Heads of
    # a rack hardly move, so that there nearly all that an electronic valve turns down is left, and never more.
    for frame in (demo.windows, demo.group_windows):
        ratio = frame["max_load_w"] / frame["min_load_w"]
        electronic = frame["family"].isin(ELECTRONIC)
        assert ratio[~electronic].dropna().between(1.0, 5.0).all()
        on_rack = frame["application"] == RACK
        assert ratio[electronic & ~on_rack].between(2.0, 10.0).all()
        for family, own in ratio[electronic & on_rack].groupby(frame["family"]):
            turndown = full_turndown(catalogue.families[str(family)])
            assert own.between(0.5 * turndown, turndown).all() and turndown < 20.0
        assert ratio[(frame["family"] == "alder") & frame["application"].isin(FLOATED)].dropna().min() > 1.2


def full_turndown(family: Family) -> float:
    """Flow at the maximum opening that control uses over that at the minimum."""
    [element] = family.elements
    assert isinstance(element.actuator, ElectronicActuator)
    ends = np.array([element.actuator.maximum, element.actuator.minimum])
    most, least = family.characteristic.share(ends)
    return float(most / least)


def test_windows_scale_with_rated_kv(demo: DataSet) -> None:
    # From the definition of Kv: twice the Kv, twice the load; frames carry twelve figures, so each value is
    # off by up to 5e-12 of itself and a ratio of two by 1e-11.
    w = demo.windows
    for load in ("min_load_w", "max_load_w", "middle_load_w"):
        per_kv = (w[load] / w["kv_rated_m3h"]).groupby(
            [w[k] for k in ("family", "refrigerant", "application", "sst_k")]
        )
        assert (per_kv.max() / per_kv.min() - 1.0).max() < 1.1e-11


def maximum_superheat(catalogue: Catalogue, application: Application, refrigerant: str) -> float:
    """The smallest maximum superheat over the rows of an application at its rating point [K]."""
    system = application.systems[refrigerant]
    rated = solve_rating(catalogue.refrigerants[refrigerant], system, application.sst_k)
    return float(system.superheat.maximum(rated).min())


def test_static_superheats_over_each_charge(catalogue: Catalogue) -> None:
    # common practice: 3 to 8 degF where a valve is set, less for coils whose TD is small, and 2 to 10 degF anywhere that its
    # charge is meant for.  Static and opening superheat together are what the coil must give at rated stroke: no more
    # than the maximum superheat of any application that the charge is for.
    checked = 0
    for family in catalogue.families.values():
        for element in family.elements:
            if not isinstance(element.actuator, ThermostaticActuator):
                assert family.kind in ("stepper", "pulse_modulated")
                continue
            assert element.setting is not None
            assert 2.5 - 1e-9 <= element.setting.static_superheat_k / DELTA_F <= 8.0
            assert 2.0 - 1e-9 <= element.setting.opening_superheat_k / DELTA_F <= 8.0
            needed = element.setting.static_superheat_k + element.setting.opening_superheat_k
            for application in catalogue.applications.values():
                if application.temperature_range in element.temperature_ranges:
                    assert needed <= maximum_superheat(catalogue, application, element.setting_refrigerant)
            te = np.linspace(*element.actuator.evaporating_k, 46)
            for name in element.refrigerants:
                superheat = static_superheat(element.actuator.balance, catalogue.refrigerants[name], te)
                # A charge above its maximum operating pressure closes the valve on purpose.
                below = ~element.actuator.balance.charge.is_above_limit(te + superheat)
                assert below.any()
                found = superheat[below] / DELTA_F
                assert np.all((found >= 1.5) & (found <= 10.0)), (element.name, name, found.min(), found.max())
                checked += 1
    assert checked >= 13


@pytest.mark.parametrize(
    ("name", "psi_per_ft"),
    [("R404A", 0.431), ("R507A", 0.432), ("R407C", 0.473), ("R22", 0.498), ("R134a", 0.506)],
)
def test_static_lift(catalogue: Catalogue, name: str, psi_per_ft: float) -> None:
    # self-check, to 0.001: 96 degF liquid at the bubble pressure of 105 degF, the walk-in
    # rating.
    fluid = catalogue.refrigerants.get(name)
    if fluid is None:
        fluid = refrigerant(name)
    pressure = fluid.bubble(np.array([kelvin(105.0)])).pressure_pa
    density = float(fluid.liquid(np.array([kelvin(96.0)]), pressure).density_kg_m3[0])
    assert density * 9.80665 * 0.3048 / PSI_PA == pytest.approx(psi_per_ft, abs=5e-4)


@pytest.mark.parametrize(("sst_f", "slope"), [(25.0, 1.402), (-20.0, 0.698)])
def test_pressure_slope_of_r404a(catalogue: Catalogue, sst_f: float, slope: float) -> None:
    # self-check, psi per degF of dew pressure, to 0.001; the central difference errs by 1e-6.
    around = np.array([kelvin(sst_f - 0.05), kelvin(sst_f + 0.05)])
    low, high = catalogue.refrigerants["R404A"].dew(around).pressure_pa
    assert (high - low) / 0.1 / PSI_PA == pytest.approx(slope, abs=5e-4)


@pytest.mark.parametrize(("sst_f", "shift_f"), [(25.0, 0.71), (-20.0, 1.43)])
def test_unbalanced_port_moves_superheat(catalogue: Catalogue, sst_f: float, shift_f: float) -> None:
    """dSH = u d(dp) / (dp/dT): 1 % of area and 100 psi, R404A; a self-check, to 0.01 degF."""
    charge = BulbCharge(SaturationCurve(catalogue.refrigerants["R404A"]))
    te = np.array([kelvin(sst_f)])
    reference = 100.0 * PSI_PA
    balance = ForceBalance(
        charge=charge, spring_pa=0.0, gradient_pa=4.0 * PSI_PA, unbalance=0.01, reference_drop_pa=reference
    )
    # Bulb at the evaporating temperature, so that its slope is the one of that temperature.
    under = charge.pressure(te)
    low, high = (
        float(balance.superheat(np.zeros(1), te, under, np.array([reference + half]))[0])
        for half in (-50.0 * PSI_PA, 50.0 * PSI_PA)
    )
    # The figure uses dew pressure, a bulb bubble pressure: for R404A their slopes differ by less than 1 %.
    assert (high - low) / DELTA_F == pytest.approx(shift_f, abs=0.005 + 0.01 * shift_f)


@pytest.mark.parametrize(
    ("members", "spread"), [(["R404A", "R507A"], 0.10), (["R448A", "R449A", "R407A", "R407F"], 0.20)]
)
def test_members_of_a_group_ask_for_like_ports(demo: DataSet, members: list[str], spread: float) -> None:
    # common practice: one table is for R404A and R507A, and one the R448A family; how much may lie between is our own
    # judgment, about the minimum reserve of sizing, and twice that.
    s = demo.states[demo.states["refrigerant"].isin(members) & demo.states["application"].isin(FLOATED)]
    required_kv = s.groupby(["application", "flow_law", "open_share", "sst_k", "condition"])["required_kv_m3h_per_kw"]
    assert (required_kv.count() == len(members)).all()
    assert (required_kv.max() / required_kv.min() - 1.0).max() < spread
