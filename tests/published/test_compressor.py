"""The three descriptions of a compressor against independent calculation.

Every coefficient and every row of a table here is invented: there are no data of a real compressor in this project.
What is checked is the arithmetic and the order of terms of AHRI 540, not a machine.
"""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np
import pytest
from numpy.polynomial.polynomial import polyval2d

from tablegen.physics.compressor import (
    ClearanceCompressor,
    Compressor,
    CompressorPoint,
    PolynomialCompressor,
    TableCompressor,
)
from tests.registry import refrigerant

# Mass flow over degF, invented, in the order of AHRI 540; all ten terms count at a rating of 25 and 105 degF.
INVENTED_SET = (150.0, 3.2, -0.35, 0.03, -0.008, 0.0015, 2.0e-4, -1.0e-4, 6.0e-5, -9.0e-6)
# The same set as powers of S (down) and D (across), as numpy's own routine for two variables takes them.
AS_POWERS = np.array(
    [
        [150.0, -0.35, 0.0015, -9.0e-6],
        [3.2, -0.008, 6.0e-5, 0.0],
        [0.03, -1.0e-4, 0.0, 0.0],
        [2.0e-4, 0.0, 0.0, 0.0],
    ]
)


def kelvin(degrees: Any, is_fahrenheit: bool) -> Any:
    degrees = np.asarray(degrees, dtype=np.float64)
    return (degrees + 459.67) / 1.8 if is_fahrenheit else degrees + 273.15


def point(suction_k: Any, discharge_k: Any, ps: Any = 1.0, pd: Any = 1.0, rho: Any = 1.0) -> CompressorPoint:
    arrays = np.broadcast_arrays(*(np.asarray(a, dtype=np.float64) for a in (suction_k, discharge_k, ps, pd, rho)))
    return CompressorPoint(**{f.name: array for f, array in zip(fields(CompressorPoint), arrays, strict=True)})


def polynomial(coefficients: tuple[float, ...], s: float, d: float, is_fahrenheit: bool = True) -> float:
    at = point(kelvin([s], is_fahrenheit), kelvin([d], is_fahrenheit))
    return float(PolynomialCompressor(coefficients, is_fahrenheit).relative_flow(at)[0])


def only(index: int) -> tuple[float, ...]:
    """Coefficients of which C_index alone is 1."""
    return tuple(float(i == index) for i in range(1, 11))


# Term order of AHRI 540: the published formula, worked by hand at S = 2, D = 3.
@pytest.mark.parametrize("is_fahrenheit", [True, False])
@pytest.mark.parametrize(
    ("coefficients", "flow"),
    [(tuple(map(float, range(1, 11))), 698.0), (only(8), 12.0), (only(9), 18.0), (only(10), 27.0)],
)
def test_term_order(coefficients: tuple[float, ...], flow: float, is_fahrenheit: bool) -> None:
    # Degrees pass through kelvin: 300 K in float64 leaves 1e-13 degrees, magnified by the derivative.
    assert polynomial(coefficients, 2.0, 3.0, is_fahrenheit) == pytest.approx(flow, rel=1e-11)


@pytest.mark.parametrize(("s", "d"), [(45.0, 130.0), (25.0, 105.0), (-20.0, 90.0)])
def test_a_set_of_ten_against_numpy(s: float, d: float) -> None:
    assert polynomial(INVENTED_SET, s, d) == pytest.approx(float(polyval2d(s, d, AS_POWERS)), rel=1e-11)


def test_volumetric_efficiency_by_hand() -> None:
    # 1 + C - C r^(1/n) by logarithms: ln 6 / 1.35 = 1.327229, its exponential 3.770582, and 1.04 - 0.150823; at
    # ratio 1 nothing re-expands.
    found = ClearanceCompressor(0.04, 1.35).volumetric_efficiency(np.array([6.0, 1.0]))
    assert found[0] == pytest.approx(0.889177, abs=5e-7)
    assert found[1] == pytest.approx(1.0, abs=1e-15)


def test_nothing_is_pumped_beyond_the_shut_off_ratio() -> None:
    # eta_v = 0 at r = (1 + 1/C)^n, from the same formula.
    shut = (1.0 + 1.0 / 0.04) ** 1.35
    found = ClearanceCompressor(0.04, 1.35).volumetric_efficiency(np.array([0.999 * shut, 1.001 * shut]))
    assert found[0] > 0.0
    assert np.isnan(found[1])


def test_capacity_falls_5_to_9_percent_per_10_degf() -> None:
    """R134a, 0 degC evaporating, 20 K superheat, saturated liquid, clearance 4 %, n 1.1 as in the demo.

    common practice: 5 to 9 % of capacity for each 10 degF of condensing temperature.
    """
    fluid = refrigerant("R134a")
    evaporating, condensing = np.full(3, 273.15), 273.15 + np.array([30.0, 40.0, 50.0])
    suction, liquid = fluid.dew(evaporating), fluid.bubble(condensing)
    gas = fluid.vapor(evaporating + 20.0, suction.pressure_pa)
    at = CompressorPoint(
        suction_dew_k=evaporating,
        discharge_dew_k=condensing,
        suction_pressure_pa=suction.pressure_pa,
        discharge_pressure_pa=liquid.pressure_pa,
        suction_density_kg_m3=gas.density_kg_m3,
    )
    flow = ClearanceCompressor(0.04, 1.1).relative_flow(at)
    capacity = flow * (gas.enthalpy_j_kg - liquid.enthalpy_j_kg)
    per_10_degf = 1.0 - (capacity[1:] / capacity[:-1]) ** (10.0 / 18.0)
    assert np.all((per_10_degf > 0.05) & (per_10_degf < 0.09))


# ---- each form: 50 random states against simple arithmetic ----

SUCTION_F, DISCHARGE_F = (0.0, 10.0, 25.0, 50.0), (70.0, 90.0, 120.0)
FLOWS = ((50.0, 46.0, 41.0), (66.0, 62.0, 55.0), (94.0, 89.0, 80.0), (150.0, 143.0, 131.0))
MAP_K = (
    (kelvin(0.0, True).item(), kelvin(50.0, True).item()),
    (kelvin(70.0, True).item(), kelvin(120.0, True).item()),
)

FORMS: dict[str, Compressor] = {
    "polynomial": PolynomialCompressor(INVENTED_SET, True, *MAP_K),
    "clearance": ClearanceCompressor(0.05, 1.12),
    "table": TableCompressor(tuple(kelvin(SUCTION_F, True).tolist()), tuple(kelvin(DISCHARGE_F, True).tolist()), FLOWS),
}
RATING = (25.0, 105.0, 4.0e5, 16.0e5, 18.0)


def by_hand(form: str, s: float, d: float, ps: float, pd: float, rho: float) -> float:
    """Mass flow to a constant factor, by simple arithmetic."""
    if form == "polynomial":
        c = INVENTED_SET
        quadratic = c[0] + c[1] * s + c[2] * d + c[3] * s * s + c[4] * s * d + c[5] * d * d
        return quadratic + c[6] * s * s * s + c[7] * d * s * s + c[8] * s * d * d + c[9] * d * d * d
    if form == "clearance":
        return rho * (1.05 - 0.05 * (pd / ps) ** (1.0 / 1.12))
    i = max(k for k in range(len(SUCTION_F) - 1) if SUCTION_F[k] <= s)
    j = max(k for k in range(len(DISCHARGE_F) - 1) if DISCHARGE_F[k] <= d)
    x = (s - SUCTION_F[i]) / (SUCTION_F[i + 1] - SUCTION_F[i])
    y = (d - DISCHARGE_F[j]) / (DISCHARGE_F[j + 1] - DISCHARGE_F[j])
    below = FLOWS[i][j] * (1 - x) + FLOWS[i + 1][j] * x
    above = FLOWS[i][j + 1] * (1 - x) + FLOWS[i + 1][j + 1] * x
    return below * (1 - y) + above * y


def at_point(s: float, d: float, ps: float, pd: float, rho: float) -> CompressorPoint:
    return point(kelvin([s], True), kelvin([d], True), ps, pd, rho)


@pytest.mark.parametrize("form", list(FORMS))
def test_flow_ratio_at_random_states(form: str) -> None:
    random = np.random.default_rng(540)
    rated = FORMS[form].relative_flow(at_point(*RATING))
    rated_by_hand = by_hand(form, *RATING)
    for _ in range(50):
        suction_pa = random.uniform(1e5, 6e5)
        state = (
            random.uniform(0.0, 50.0),
            random.uniform(70.0, 120.0),
            suction_pa,
            suction_pa * random.uniform(1.5, 12.0),
            random.uniform(4.0, 30.0),
        )
        ratio = FORMS[form].relative_flow(at_point(*state)) / rated
        # Degrees through kelvin and back: a few 1e-13 degF, 1e-12 of the flow.
        assert float(ratio[0]) == pytest.approx(by_hand(form, *state) / rated_by_hand, rel=1e-11)


@pytest.mark.parametrize("form", list(FORMS))
def test_flow_ratio_is_exactly_one_at_the_rating(form: str) -> None:
    compressor = FORMS[form]
    assert compressor.relative_flow(at_point(*RATING))[0] / compressor.relative_flow(at_point(*RATING))[0] == 1.0


@pytest.mark.parametrize("form", ["polynomial", "table"])
@pytest.mark.parametrize(("s", "d"), [(-0.01, 100.0), (50.01, 100.0), (25.0, 69.99), (25.0, 120.01), (-40.0, 200.0)])
def test_outside_the_map_is_nan(form: str, s: float, d: float) -> None:
    assert np.isnan(FORMS[form].relative_flow(point(kelvin([s], True), kelvin([d], True)))).all()


@pytest.mark.parametrize("form", ["polynomial", "table"])
@pytest.mark.parametrize(("s", "d"), [(0.0, 70.0), (50.0, 120.0), (0.0, 120.0), (50.0, 70.0)])
def test_the_edge_of_the_map_belongs_to_it(form: str, s: float, d: float) -> None:
    found = FORMS[form].relative_flow(point(kelvin([s], True), kelvin([d], True)))
    assert float(found[0]) == pytest.approx(by_hand(form, s, d, 1.0, 1.0, 1.0), rel=1e-9)


def test_a_polynomial_that_turns_negative_is_nan() -> None:
    assert np.isnan(polynomial((-1.0, *(0.0,) * 9), 2.0, 3.0))


def test_a_polynomial_of_small_figures_counts() -> None:
    """Coefficients may be of any unit, kg/s among them; nothing pumped is no flow."""
    assert polynomial((0.25, *(0.0,) * 9), 2.0, 3.0) == 0.25
    assert np.isnan(polynomial((0.0,) * 10, 2.0, 3.0))


@pytest.mark.parametrize("form", list(FORMS))
def test_states_may_be_of_any_shape(form: str) -> None:
    s, d = np.meshgrid([5.0, 20.0, 40.0], [75.0, 110.0])
    found = FORMS[form].relative_flow(point(kelvin(s, True), kelvin(d, True), 3e5, 15e5, 12.0))
    assert found.shape == (2, 3)
    for place in np.ndindex(found.shape):
        assert float(found[place]) == pytest.approx(by_hand(form, s[place], d[place], 3e5, 15e5, 12.0), rel=1e-11)
