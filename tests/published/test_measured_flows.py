"""Correlations of measured flows by states of the property library; parity by hand.

No flow here was measured or printed by another hand: these are checks of our arithmetic.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from CoolProp import CoolProp as coolprop

from tablegen.physics.flow import FlowLaw
from tablegen.verification.check import Provenance
from tablegen.verification.measured_flows import LAWS, Parity, parities, short_tube_flow, valve_flow
from tests.registry import refrigerant

NAMES = ("R22", "R134a", "R407C", "R410A")


def found() -> list[Parity]:
    return parities({name: refrigerant(name) for name in NAMES})


def test_correlations_name_their_papers_and_say_that_these_were_not_checked() -> None:
    tube, valve = found()
    assert "Payne" in tube.source and "HVAC&R Research 10 (2004)" in tube.source
    assert "W. Li" in valve.source and "Applied Thermal Engineering 53 (2013)" in valve.source
    assert {tube.provenance, valve.provenance} == {Provenance.NOT_CHECKED}


@pytest.mark.parametrize("name", ["R22", "R134a"])
@pytest.mark.parametrize(("inlet", "subcooling"), [(1.2e6, 2.0), (1.5e6, 8.0), (2.0e6, 13.0)])
def test_a_short_tube_by_states_of_the_library(name: str, inlet: float, subcooling: float) -> None:
    def of(key: str, *state: object) -> float:
        return coolprop.PropsSI(key, *state, name)

    critical = of("pcrit")
    at = of("T", "P", inlet, "Q", 0) - subcooling
    liquid, vapor = of("D", "T", at, "Q", 0), of("D", "T", at, "Q", 1)
    pi3, pi6, pi9 = (inlet - of("P", "T", at, "Q", 0)) / critical, vapor / liquid, subcooling / of("Tcrit")
    upper = 0.38811 + 11.427 * pi3 - 14.194 * pi9 + 1.0703 * pi6 - 0.091928 * math.log(20.0 / 1.2)
    flux = upper / (1.0 + 21.425 * pi3 - 581.95 * pi9**2) * math.sqrt(liquid * critical)
    found = short_tube_flow(refrigerant(name), np.array([inlet]), np.array([subcooling]), 1.2e-3, 20e-3)
    assert found == pytest.approx(flux * math.pi * 1.2e-3**2 / 4.0, rel=1e-6)


def test_a_valve_by_states_of_the_library() -> None:
    p1, p2 = 1.6e6, 6e5
    at = coolprop.PropsSI("T", "P", p1, "Q", 0, "R22") - 5.0
    rho = coolprop.PropsSI("D", "T", at, "P", p1, "R22")
    critical_c = coolprop.PropsSI("Tcrit", "R22") - 273.15
    coefficient = 1.066 * 0.5**0.8006 * (5.0 / critical_c) ** 0.0609
    coefficient *= 1.0 - (1.0 - p2 / p1) / (3.0 * 1.17 / 1.4 * 0.84)
    flow = valve_flow(refrigerant("R22"), np.array([p1]), np.array([p2]), np.array([5.0]), 0.5, 1.17)
    assert flow == pytest.approx(coefficient * math.sqrt(2.0 * rho * (p1 - p2)), rel=1e-6)


def test_each_law_has_the_kv_that_fits_all_points_of_its_device() -> None:
    for parity in found():
        for law in LAWS:
            ratios = np.concatenate([s.law_kg_s[law] / s.correlated_kg_s for s in parity.series])
            assert np.log(ratios).mean() == pytest.approx(0.0, abs=1e-12)
            assert parity.spread[law] == pytest.approx(np.sqrt(((ratios - 1.0) ** 2).mean()))
            assert parity.maximum[law] == pytest.approx(np.abs(ratios - 1.0).max())


def test_flow_of_the_orifice_law_is_the_root_of_drop_times_density() -> None:
    [tube, _] = found()
    series = tube.series[0]
    fluid = refrigerant(series.refrigerant)
    # The first point: 35 degC, 1.5 K, to a dew point of 7 degC.
    inlet, outlet = fluid.bubble(np.array([308.15])).pressure_pa, fluid.dew(np.array([280.15])).pressure_pa
    density = fluid.liquid(np.array([306.65]), inlet).density_kg_m3
    flow = tube.kv_m3h[FlowLaw.ORIFICE] / 3600.0 * np.sqrt(1000.0 * density * (inlet - outlet) / 1e5)
    assert series.law_kg_s[FlowLaw.ORIFICE][0] == pytest.approx(flow[0], rel=1e-12)


def test_short_tubes_choke() -> None:
    # Kim and O'Neal 1995 (abstract read): flow hardly knows the outlet once that is below the bubble pressure.
    tube, valve = found()
    assert tube.spread[FlowLaw.CHOKED] < 0.06 < 2.0 * tube.spread[FlowLaw.CHOKED] < tube.spread[FlowLaw.ORIFICE]
    # Of valves the two are nearer to each other.
    assert valve.spread[FlowLaw.CHOKED] < valve.spread[FlowLaw.ORIFICE] < 2.0 * valve.spread[FlowLaw.CHOKED]


def test_only_refrigerants_that_were_measured_have_a_part() -> None:
    assert parities({"R448A": refrigerant("R448A")}) == []
    [only] = parities({"R134a": refrigerant("R134a")})
    assert [s.refrigerant for s in only.series] == ["R134a"]
