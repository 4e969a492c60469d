"""A head sweep has the windows of the tables in it, states of the operating conditions, and the zones of an existing valve."""

import numpy as np
import pandas as pd
import pytest

import tablegen
from tests.demo import CATALOGUE

CASE = {"sst": "24 degF", "load": "11 kBtu/h", "application": "walk_in_medium", "catalogue": CATALOGUE}
PSI, ATMOSPHERE_PSI = 6894.757, 14.696


@pytest.mark.parametrize(("family", "size"), [("alder", "45"), ("hazel", "160")])
def test_the_tightest_limits_of_a_sweep_are_the_window(family, size):
    sweep = tablegen.head_sweep(family, size, "R448A", **CASE)
    table = tablegen.windows("R448A", "walk_in_medium", family=family, catalogue=CATALOGUE)
    own = table[(table["size"] == size) & (table["sst [degF]"] == 24.0)].iloc[0]
    assert sweep["min_load [kBtu/h]"].max() == pytest.approx(own["min_load [kBtu/h]"], rel=1e-9)
    assert sweep["max_load [kBtu/h]"].min() == pytest.approx(own["max_load [kBtu/h]"], rel=1e-9)
    # The conditions that set them are rows of their own.
    at = sweep.set_index("condition")
    assert at.loc[own["min_condition"], "min_load [kBtu/h]"] == sweep["min_load [kBtu/h]"].max()
    assert at.loc[own["max_condition"], "max_load [kBtu/h]"] == sweep["max_load [kBtu/h]"].min()


def test_what_the_valve_does_is_what_retrofit_says():
    sweep = tablegen.head_sweep("alder", "22", "R448A", **CASE)
    zones = tablegen.retrofit("alder", "22", refrigerant="R448A", **CASE).frame()
    heads = (sweep["head_pressure [psi_gauge]"] + ATMOSPHERE_PSI) * PSI
    for zone, low, high in zones[["zone", "from_pa", "to_pa"]].itertuples(index=False):
        inside = heads.between(low + 1e3, high - 1e3)
        assert inside.any() and (sweep.loc[inside, "zone"] == zone).all()


def test_required_kv_is_that_of_the_flow_equation_by_hand():
    """Kv = m / (N sqrt(rho dp)), N of water: 1 m3/h of 1000 kg/m3 at 1 bar (IEC 60534-2-1)."""
    sweep = tablegen.head_sweep("alder", "45", "R448A", **CASE, units="SI")
    at = sweep.set_index("condition").loc["low_head"]
    liquid = tablegen.states("R448A").frame()
    density = np.interp(
        at["liquid_temperature [degC]"] + 273.15, liquid["temperature_k"], liquid["liquid_density_kg_m3"]
    )
    by_hand = at["mass_flow [kg/h]"] / np.sqrt(1000.0 * density * at["pressure_drop [kPa]"] / 100.0)
    # The table is of saturated liquid, that at the valve is a little denser.
    assert at["required_kv [m3/h]"] == pytest.approx(by_hand, rel=0.005)
    assert at["opening [%]"] == pytest.approx(100.0 * at["required_kv [m3/h]"] / 0.045, rel=1e-9)


def test_units_change_nothing_but_the_figures():
    ip, si = (tablegen.head_sweep("hazel", "160", "R448A", **CASE, units=units) for units in ("IP", "SI"))
    assert si["superheat [K]"].isna().all()  # the controller's
    np.testing.assert_allclose(ip["capacity [kBtu/h]"] / 3.412142, si["capacity [kW]"], rtol=1e-6)
    np.testing.assert_allclose(ip["head_pressure [psi_gauge]"] * PSI / 1e5, si["head_pressure [bar_gauge]"], rtol=1e-6)
    np.testing.assert_allclose(ip["liquid_temperature [degF]"], si["liquid_temperature [degC]"] * 1.8 + 32.0)
    pd.testing.assert_series_equal(ip["zone"], si["zone"])
    assert ip["condition"].tolist().count("") == len(ip) - 3


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"size": "46"}, "'46' is not allowed; a size of Alder must be one of"),
        ({"refrigerant": "R448A-family"}, "'R448A-family' is not allowed; a refrigerant must be one of"),
        ({"family": "aldr"}, r"did you mean alder\?"),
        ({"load": None}, "^load: it is missing"),
        ({"sst": "90 degF"}, "^sst: '90 degF' is not allowed"),
        ({"units": "US"}, "'US' is not allowed; a unit system must be one of IP, SI"),
        ({"overrides": ["losses.lift=1"]}, "losses.lift: 1 is not allowed"),
    ],
)
def test_what_is_wrong_is_said_in_a_line(given, message):
    with pytest.raises(tablegen.TablegenError, match=message):
        tablegen.head_sweep(**{"family": "alder", "size": "45", "refrigerant": "R448A", **CASE, **given})
