"""The curves of the family graphs, against the windows and the force balance."""

import numpy as np
import pytest

from tablegen.physics.actuators import ThermostaticActuator
from tests.demo import demo_catalogue, demo_data

PART = ["family", "group", "application"]


@pytest.fixture(scope="module")
def catalogue():
    return demo_catalogue()


@pytest.fixture(scope="module")
def data():
    return demo_data()


def window_of(data, first):
    w = data.windows
    keys = ["family", "application", "refrigerant", "size"]
    same = np.logical_and.reduce([w[k] == first[k] for k in keys])
    return w[same & ((w["sst_k"] - first["sst_k"]).abs() < 1e-6)].iloc[0]


def test_loads_inside_a_window_are_steady_at_both_heads_and_others_at_one_are_not(data):
    curves = 0
    for _, rows in data.superheat.groupby(PART, sort=False):
        own = window_of(data, rows.iloc[0])
        load = rows["load_w"]
        inside = (load > own["min_load_w"] * (1 + 1e-9)) & (load < own["max_load_w"] * (1 - 1e-9))
        assert set(rows.loc[inside, "zone"]) == {"steady"}
        at_max = rows[(rows["condition"] == own["max_condition"]) & (load > own["max_load_w"] * (1 + 1e-9))]
        assert set(at_max["zone"]) <= {"starved"}
        at_min = rows[(rows["condition"] == own["min_condition"]) & (load < own["min_load_w"] * (1 - 1e-9))]
        expected = "flooding" if own["min_reason"] == "floodback" else "hunts"
        assert set(at_min["zone"]) <= {expected}
        curves += len(at_max) > 0 and len(at_min) > 0
    assert curves >= 20


def test_superheat_rises_with_load_up_to_the_stop(data):
    thermostatic = data.superheat[data.superheat["family"].isin(["alder", "rowan"])]
    for _, rows in thermostatic.groupby([*PART, "condition"], sort=False):
        superheat = rows["superheat_k"].to_numpy()
        known = np.isfinite(superheat)
        assert (np.diff(superheat[known]) > 0.0).all()
        assert known[0]
        # Once beyond the stop there is no superheat at any greater load.
        assert (np.diff(known.astype(int)) <= 0).all()


def test_static_superheat_leads_from_evaporator_and_spring_to_the_bulb(catalogue, data):
    for (family, charge), rows in data.charges.groupby(["family", "charge"], sort=False):
        element = next(t for t in catalogue.families[family].elements if t.name == charge)
        assert isinstance(element.actuator, ThermostaticActuator)
        at = rows["evaporating_temperature_k"].to_numpy() + rows["static_superheat_k"].to_numpy()
        closing = rows["evaporating_pressure_pa"] + rows["spring_pressure_pa"]
        assert element.actuator.balance.charge.pressure(at) == pytest.approx(closing.to_numpy(), rel=1e-9)
    gas = data.charges[data.charges["charge"] == "gas-407C-low"]
    assert gas["is_above_mop"].any()
    assert not data.charges.loc[data.charges["charge"] != "gas-407C-low", "is_above_mop"].any()


def test_system_meets_evaporator_at_the_rating_and_lies_above_it_in_winter(catalogue, data):
    racks = 0
    for (_, group, name), rows in data.balance.groupby(PART, sort=False):
        difference = (rows["compressor_capacity_w"] - rows["evaporator_capacity_w"]) / rows["load_w"]
        system = catalogue.applications[name].systems[catalogue.groups[group].members[0]]
        if system.keeps_capacity:
            assert (difference.abs() < 1e-12).all()
            racks += 1
            continue
        rating = (rows["capacity_ratio"] - 1.0).abs().idxmin()
        # Liquid that takes up heat is warmed from where it leaves, and the rating states it at the valve: the specific heats
        # of the two differ by some per mille.
        assert difference[rating] == pytest.approx(0.0, abs=1e-9 if system.feed.heat is None else 1e-4)
        assert difference.iloc[0] > 0.05
        assert difference.iloc[-1] < 0.0
    assert racks == 1


def test_opening_for_the_load_falls_as_the_head_rises(data):
    for _, rows in data.balance.groupby(PART, sort=False):
        if rows["family"].iloc[0] == "larch" or rows["application"].iloc[0].endswith("_fixed"):
            continue
        assert (np.diff(rows["opening"]) < 0.0).all()
        assert (rows["min_opening"] < rows["opening"]).all()
        assert (rows["opening"] < rows["max_opening"]).all()


def test_nominal_capacities_of_sizes_scale_with_kv(data):
    for _, rows in data.sizes.groupby("family"):
        per = rows["nominal_capacity_w"] / rows["kv_rated_m3h"]
        assert per.max() / per.min() - 1.0 < 1e-10
