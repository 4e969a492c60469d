"""Flow of one port over condensing temperature: by states of the property library, one temperature at a time."""

from __future__ import annotations

import functools
import math

import pandas as pd
import pytest
from CoolProp import CoolProp as coolprop

from tablegen.verification.flow_over_head import flow_law_frame
from tablegen.verification.measured_flows import short_tube_flow
from tests.demo import demo_catalogue
from tests.registry import refrigerant


@functools.cache
def frame() -> pd.DataFrame:
    return flow_law_frame(demo_catalogue())


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def subcooling_f(name: str = "R404A") -> float:
    """Subcooling at low head that the first application of the demo states, in degF."""
    catalogue = demo_catalogue()
    system = catalogue.applications["walk_in_medium"].systems[name]
    return round(1.8 * float(system.low_head.liquid.min_subcooling_k), 9)


def flow(source: str, fahrenheit: float, name: str = "R404A") -> float:
    own = frame()
    own = own[(own["refrigerant"] == name) & (own["flow_source"] == source)]
    assert own["inlet_subcooling_k"].iloc[0] == pytest.approx(subcooling_f(name) / 1.8, abs=1e-9)
    return float(own.loc[(own["condensing_temperature_k"] - kelvin(fahrenheit)).abs().idxmin(), "relative_mass_flow"])


def state(fahrenheit: float) -> tuple[float, float, float, float, float]:
    """Inlet, outlet and bubble pressure, density at the inlet, volume of the mixture: R404A, evaporating at 24 degF."""

    def of(key: str, *at: object) -> float:
        return coolprop.PropsSI(key, *at, "R404A.mix")

    liquid_k = kelvin(fahrenheit - subcooling_f())
    p1, p2, pv = (
        of("P", "T", kelvin(fahrenheit), "Q", 0),
        of("P", "T", kelvin(24.0), "Q", 1),
        of("P", "T", liquid_k, "Q", 0),
    )
    rho, h = (of(key, "T|liquid", liquid_k, "P", p1) for key in "DH")
    bubble, dew = (of("H", "P", p2, "Q", q) for q in (0, 1))
    x = (h - bubble) / (dew - bubble)
    volume = x / of("D", "P", p2, "Q", 1) + (1.0 - x) / of("D", "P", p2, "Q", 0)
    return p1, p2, pv, rho, volume


@pytest.mark.parametrize("fahrenheit", [65.0, 85.0, 130.0])
def test_flows_by_states_of_the_library(fahrenheit: float) -> None:
    (p1, p2, pv, rho, v), (q1, q2, qv, rho_r, v_r) = state(fahrenheit), state(105.0)
    plain = math.sqrt(rho * (p1 - p2) / (rho_r * (q1 - q2)))
    assert flow("orifice", fahrenheit) == pytest.approx(plain, rel=3e-3)
    # C_D = 0.02005 sqrt(rho) + 0.634 v (Wile 1935, from memory).
    ratio = (0.02005 * math.sqrt(rho) + 0.634 * v) / (0.02005 * math.sqrt(rho_r) + 0.634 * v_r)
    assert flow("wile_1935", fahrenheit) == pytest.approx(plain * ratio, rel=3e-3)
    critical = 3.7289e6
    s = (p1 - pv) / (q1 - qv)
    y = (1.0 - p2 / p1) / (1.0 - q2 / q1)
    assert flow("discharge_coefficient", fahrenheit) == pytest.approx(plain * s**0.06 * y**-0.12, rel=4e-3)

    def limit(p: float, bubble: float) -> float:
        return 0.81 * (p - (0.96 - 0.28 * math.sqrt(bubble / critical)) * bubble)

    choked = math.sqrt(rho * min(p1 - p2, limit(p1, pv)) / (rho_r * min(q1 - q2, limit(q1, qv))))
    assert flow("choked", fahrenheit) == pytest.approx(choked, rel=5e-3)


def test_every_line_passes_the_rating_point() -> None:
    for source in frame()["flow_source"].unique():
        for name in ("R404A", "R448A"):
            assert flow(source, 105.0, name) == pytest.approx(1.0, abs=1e-12)


def test_the_short_tube_is_the_published_one() -> None:
    """R22 at 1.355 MPa, 5.6 K of subcooling, 1.34 by 12.7 mm: 0.02802 kg/s (self-check of two open-source codes)."""
    found = short_tube_flow(
        refrigerant("R22"), pd.array([1.355e6]).to_numpy(), pd.array([5.6]).to_numpy(), 1.34e-3, 12.7e-3
    )
    assert float(found[0]) == pytest.approx(0.02802, abs=5e-6)
    own = frame()
    own = own[(own["flow_source"] == "payne_oneal_2004") & own["is_published_range"]]
    # 35 to 54 degC.
    assert own["condensing_temperature_k"].min() >= 308.15 and own["condensing_temperature_k"].max() <= 327.15
    assert not frame().loc[frame()["flow_source"] == "wile_1935", "is_published_range"].any()
