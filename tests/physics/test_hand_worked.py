"""A force balance and a port worked out on paper, from handbook figures and printed intermediate results.

Nothing here is taken from the package: pressures, densities and enthalpies of R134a are those printed in the
ASHRAE Handbook - Fundamentals, thermophysical properties of refrigerants, R134a saturation table (not
checked against the source; most are also among the published values that the refrigerant itself is compared with):

    degC      -30      -10        0       10       20       30       40
    kPa     84.38   200.60   292.80   414.61   571.71   770.20   1016.6

    10 degC: 190.74 kJ/kg of evaporation, liquid 1261.0 kg/m3, vapor 0.04944 m3/kg
    40 degC: liquid 1146.7 kg/m3, 256.41 kJ/kg;  -10 degC: vapor 392.66 kJ/kg

A printed figure is good for half its last digit, and every tolerance below is the sum of those halves.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from tablegen.physics.arrays import Floats
from tablegen.physics.bulb import SaturationCurve
from tablegen.physics.conditions import solve_conditions
from tablegen.physics.flow import FlowLaw, effective_pressure_drop, mass_flow, required_flow_coefficient
from tablegen.physics.operating import required_kv_per_watt
from tablegen.physics.system import (
    Basis,
    DistributorScaling,
    Head,
    LiquidSupply,
    Losses,
)
from tablegen.physics.valve import FactorySetting, ForceBalance, set_at_factory, static_superheat
from tests.builders import system_inputs
from tests.registry import refrigerant

HANDBOOK_KPA = {-30.0: 84.38, -10.0: 200.60, 0.0: 292.80, 10.0: 414.61, 20.0: 571.71, 30.0: 770.20}
# Half the last printed digit of a pressure in kPa.
HALF_KPA = 0.005


def kelvin(degc: float) -> float:
    return degc + 273.15


def one(value: float) -> Floats:
    return np.array([value])


@dataclass(frozen=True, slots=True)
class StraightCharge:
    """An invented charge of 10 kPa per kelvin, 300 kPa at 0 degC: exact on paper."""

    range_k: tuple[float, float] = (kelvin(-25.0), kelvin(30.0))

    def pressure(self, temperature_k: Floats) -> Floats:
        temperature_k = np.asarray(temperature_k, dtype=np.float64)
        inside = (temperature_k >= self.range_k[0]) & (temperature_k <= self.range_k[1])
        return np.where(inside, 300e3 + 10e3 * (temperature_k - 273.15), np.nan)

    def temperature(self, pressure_pa: Floats) -> Floats:
        found = 273.15 + (np.asarray(pressure_pa, dtype=np.float64) - 300e3) / 10e3
        return np.where((found >= self.range_k[0]) & (found <= self.range_k[1]), found, np.nan)


def straight(unbalance: float, mop_pa: float | None = None) -> ForceBalance:
    """Set at a bulb of 4 degC: static superheat 4 K, 5 K to rated stroke, 600 kPa over the port."""
    setting = FactorySetting(kelvin(4.0), 4.0, 5.0, 600e3)
    return set_at_factory(StraightCharge(), setting, refrigerant("R134a"), unbalance, mop_pa)


def liquid(unbalance: float, mop_pa: float | None = None) -> ForceBalance:
    """R134a on R134a, set at a bulb of 10 degC: static superheat 10 K, 10 K to rated stroke, 600 kPa."""
    fluid = refrigerant("R134a")
    return set_at_factory(
        SaturationCurve(fluid), FactorySetting(kelvin(10.0), 10.0, 10.0, 600e3), fluid, unbalance, mop_pa
    )


def opening(balance: ForceBalance, te_c: float, superheat_k: float, drop_pa: float = 600e3) -> float:
    """The package's opening, on R134a with an external equalizer."""
    te = one(kelvin(te_c))
    under = refrigerant("R134a").dew(te).pressure_pa
    return float(balance.opening(te + superheat_k, under, one(drop_pa))[0])


def superheat(balance: ForceBalance, phi: float, te_c: float, drop_pa: float) -> float:
    """The package's superheat, on R134a with an external equalizer."""
    te = one(kelvin(te_c))
    under = refrigerant("R134a").dew(te).pressure_pa
    return float(balance.superheat(one(phi), te, under, one(drop_pa))[0])


@pytest.mark.parametrize(("degc", "kpa"), HANDBOOK_KPA.items())
def test_the_handbook_figures_are_the_refrigerant_s(degc: float, kpa: float) -> None:
    """The sums below use these; R134a itself is tested elsewhere."""
    assert float(refrigerant("R134a").dew(one(kelvin(degc))).pressure_pa[0]) / 1e3 == pytest.approx(kpa, abs=HALF_KPA)


# ---- a straight charge ----


def test_spring_and_gradient_of_the_straight_charge() -> None:
    """Bulb 4 degC: 340 kPa. It just opens at 4 K, so R134a evaporates at 0 degC: 292.80. Spring 47.20 kPa.

    Five kelvin more open it to rated stroke, evaporator constant: 390 - 340 = 50 kPa.
    """
    balance = straight(0.02)
    assert balance.spring_pa / 1e3 == pytest.approx(340.0 - 292.80, abs=HALF_KPA)
    assert balance.spring_pa / 1e3 == pytest.approx(47.20, abs=HALF_KPA)
    assert balance.gradient_pa / 1e3 == pytest.approx(50.0, abs=1e-9)


@pytest.mark.parametrize(
    ("te_c", "superheat_k", "phi"),
    [
        # Bulb -4 degC: 260.00 kPa. Against it 200.60 + 47.20 = 247.80. Left 12.20 of 50: 0.2440.
        (-10.0, 6.0, 0.2440),
        # Bulb 8 degC: 380.00. Against it 292.80 + 47.20 = 340.00. Left 40.00 of 50: 0.8000.
        (0.0, 8.0, 0.8000),
        # Bulb 18 degC: 480.00. Against it 414.61 + 47.20 = 461.81. Left 18.19 of 50: 0.3638.
        (10.0, 8.0, 0.3638),
        # Bulb 14 degC: 440.00, which is 21.81 short: shut, -0.4362.
        (10.0, 4.0, -0.4362),
    ],
)
def test_opening_of_the_straight_charge(te_c: float, superheat_k: float, phi: float) -> None:
    # Two printed pressures over 50 kPa.
    assert opening(straight(0.0), te_c, superheat_k) == pytest.approx(phi, abs=2.0 * HALF_KPA / 50.0)


def test_static_superheat_moves_with_the_evaporator() -> None:
    """Set to 4 K at 0 degC; at -10 degC 247.80 kPa is the bulb at -5.22 degC, at 10 degC 461.81 at 16.181 degC."""
    te = np.array([kelvin(-10.0), kelvin(0.0), kelvin(10.0)])
    found = static_superheat(straight(0.02), refrigerant("R134a"), te)
    np.testing.assert_allclose(found, [4.780, 4.000, 6.181], rtol=0.0, atol=2.0 * HALF_KPA / 10.0)


@pytest.mark.parametrize(("unbalance", "shift_k"), [(0.0, 0.0), (0.02, 1.0), (-0.02, -1.0)])
def test_unbalance_costs_superheat(unbalance: float, shift_k: float) -> None:
    """u (dp' - dp) = 0.02 x 500 kPa = 10.00 kPa, and the bulb gives 10 kPa per kelvin: 1.000 K, exactly.

    Winter 350 kPa, summer 850 kPa over the port, half open at -10 degC:
        winter  200.60 + 47.20 + 0.02 (350 - 600) + 25.00 = 267.80 kPa, bulb -3.22 degC, superheat 6.780 K
        summer  200.60 + 47.20 + 0.02 (850 - 600) + 25.00 = 277.80 kPa, bulb -2.22 degC, superheat 7.780 K
    """
    balance = straight(unbalance)
    winter, summer = (superheat(balance, 0.5, -10.0, drop) for drop in (350e3, 850e3))
    assert summer - winter == pytest.approx(shift_k, abs=1e-9)
    if unbalance == 0.02:
        assert winter == pytest.approx(6.780, abs=2.0 * HALF_KPA / 10.0)
        assert summer == pytest.approx(7.780, abs=2.0 * HALF_KPA / 10.0)


def test_unbalance_costs_opening() -> None:
    """The same 10.00 kPa of 50 at one superheat: 6 K at -10 degC.

    350 kPa:  260.00 - 247.80 + 5.00 = 17.20, 0.3440;   850 kPa:  260.00 - 247.80 - 5.00 = 7.20, 0.1440
    """
    balance = straight(0.02)
    found = [opening(balance, -10.0, 6.0, drop) for drop in (350e3, 600e3, 850e3)]
    np.testing.assert_allclose(found, [0.3440, 0.2440, 0.1440], rtol=0.0, atol=2.0 * HALF_KPA / 50.0)
    assert found[0] - found[2] == pytest.approx(0.2, abs=1e-12)


# The valve is to close at an evaporator of 10 degC: 414.61 kPa. There the bulb balances 461.81.
MOP_PA = 414.61e3


def test_maximum_operating_pressure_of_the_straight_charge() -> None:
    """(461.81 - 300) / 10 = 16.181 degC is T_m, 289.331 K; at 300 K gas of 461.81 x 300/289.331 = 478.84 kPa.

    300 K is 26.85 degC, where the curve alone would give 568.50 kPa.
    """
    charge = straight(0.0, MOP_PA).charge
    assert charge.limit_temperature_k == pytest.approx(289.331, abs=0.0005 + HALF_KPA / 10.0)
    assert float(charge.pressure(one(300.0))[0]) / 1e3 == pytest.approx(478.84, abs=2.0 * HALF_KPA + 0.0008)
    # Below T_m nothing changes.
    assert float(charge.pressure(one(kelvin(8.0)))[0]) / 1e3 == pytest.approx(380.0, abs=1e-9)


def test_opening_above_the_maximum_operating_pressure() -> None:
    """8 K at 10 degC: bulb 291.15 K, 461.81 x 291.15/289.331 = 464.713 kPa; 2.903 of 50 left: 0.0581, not 0.3638."""
    assert opening(straight(0.0, MOP_PA), 10.0, 8.0) == pytest.approx(0.0581, abs=0.00005 + 2.0 * HALF_KPA / 50.0)


# ---- R134a on R134a ----


def test_spring_and_gradient_of_the_liquid_charge() -> None:
    """Bulb 10 degC: 414.61; evaporator 10 K colder: 292.80. Spring 121.81 kPa.

    Ten kelvin more to rated stroke: 571.71 - 414.61 = 157.10 kPa.
    """
    balance = liquid(0.0)
    assert balance.spring_pa / 1e3 == pytest.approx(121.81, abs=2.0 * HALF_KPA)
    assert balance.gradient_pa / 1e3 == pytest.approx(157.10, abs=2.0 * HALF_KPA)


@pytest.mark.parametrize(
    ("te_c", "superheat_k", "phi"),
    [
        # 571.71 - 292.80 - 121.81 = 157.10 of 157.10, as set.
        (0.0, 20.0, 1.0000),
        # 414.61 - 200.60 - 121.81 = 92.20 of 157.10.
        (-10.0, 20.0, 0.5869),
        # 571.71 - 414.61 - 121.81 = 35.29 of 157.10.
        (10.0, 10.0, 0.2246),
        # 292.80 - 200.60 - 121.81 = -29.61 of 157.10: a straight charge set warm stays shut in the cold.
        (-10.0, 10.0, -0.1885),
        # 292.80 - 84.38 - 121.81 = 86.61 of 157.10: it takes 30 K there.
        (-30.0, 30.0, 0.5513),
    ],
)
def test_opening_of_the_liquid_charge(te_c: float, superheat_k: float, phi: float) -> None:
    # Four printed pressures in the numerator, two (of weight phi) in the gradient, and phi's own last digit.
    assert opening(liquid(0.0), te_c, superheat_k) == pytest.approx(phi, abs=6.0 * HALF_KPA / 157.1 + 0.00005)


def test_unbalance_costs_less_superheat_where_the_bulb_is_steep() -> None:
    """Bulb at 10 degC, 5.00 kPa either way of it: 10.00 kPa over the slope of R134a there.

    Clapeyron:  dp/dT = 190.74 / (283.15 x (0.04944 - 1/1261.0)) = 190.74 / (283.15 x 0.048647) = 13.847 kPa/K
    Shift:      10.00 / 13.847 = 0.7222 K;  with u = -0.02 as much the other way
    """
    for unbalance, shift_k in ((0.02, 0.7222), (-0.02, -0.7222)):
        balance = liquid(unbalance)
        # The opening that 20 K give at -10 degC and 600 kPa: the bulb is at 10 degC.
        phi = opening(balance, -10.0, 20.0)
        winter, summer = (superheat(balance, phi, -10.0, drop) for drop in (350e3, 850e3))
        # Of v = 0.04944 +- 0.000005, 1e-4 of the shift; h 3e-5; even terms in +-5 kPa cancel, the next is 3e-5.
        assert summer - winter == pytest.approx(shift_k, abs=0.00005 + 1.6e-4 * 0.7222)


def test_maximum_operating_pressure_of_the_liquid_charge() -> None:
    """449.90 + 121.81 = 571.71 kPa is R134a at 20 degC: T_m = 293.15 K.

    At 30 degC gas of 571.71 x 303.15/293.15 = 591.21 kPa, not the liquid's 770.20.
    """
    charge = liquid(0.0, 449.90e3).charge
    # Printed pressures over R134a's slope at 20 degC, 17.7 kPa/K.
    assert charge.limit_temperature_k == pytest.approx(293.15, abs=3.0 * HALF_KPA / 17.7)
    assert float(charge.pressure(one(kelvin(30.0)))[0]) / 1e3 == pytest.approx(591.21, abs=4.0 * HALF_KPA)
    # Evaporator 10 degC, 20 K: 591.21 - 414.61 - 121.81 = 54.79 of 157.10.
    assert opening(liquid(0.0, 449.90e3), 10.0, 20.0) == pytest.approx(0.3488, abs=7.0 * HALF_KPA / 157.1 + 0.00005)


# ---- the port ----

# Effect 392.66 - 256.41 = 136.25 kJ/kg;  10 kW:  10 / 136.25 = 0.073394 kg/s.
FLOW_KG_S = 0.073394
# Drop 1016.6 - 200.6 = 816.0 kPa = 8.160 bar;  sqrt(1000 x 1146.7 x 8.160) = sqrt(9 357 072) = 3058.93.
# Kv = 3600 x 0.073394 / 3058.93 = 264.218 / 3058.93 = 0.086376 m3/h.
KV_M3H = 0.086376
# Choked, F_L 0.9, saturated liquid, p_c 4059.3:  F_F = 0.96 - 0.28 sqrt(1016.6/4059.3) = 0.96 - 0.28 x 0.500437
# = 0.819878;  0.81 x (1016.6 - 0.819878 x 1016.6) = 148.32 kPa;  sqrt(1146700 x 1.4832) = 1304.15;
# Kv = 264.218 / 1304.15 = 0.202598 m3/h, 2.3455 times the orifice's.
CHOKED_KPA, CHOKED_KV_M3H = 148.32, 0.202598


def test_port_by_hand() -> None:
    found = required_flow_coefficient(one(FLOW_KG_S), one(1146.7), one(816.0e3))
    assert float(found[0]) == pytest.approx(KV_M3H, rel=1e-5)
    assert float(mass_flow(one(KV_M3H), one(1146.7), one(816.0e3))[0]) == pytest.approx(FLOW_KG_S, rel=1e-5)


def test_choked_port_by_hand() -> None:
    drop = effective_pressure_drop(FlowLaw.CHOKED, one(816.0e3), one(1016.6e3), one(1016.6e3), 4059.3e3, 0.9)
    assert float(drop[0]) / 1e3 == pytest.approx(CHOKED_KPA, abs=0.005)
    found = required_flow_coefficient(one(FLOW_KG_S), one(1146.7), drop)
    assert float(found[0]) == pytest.approx(CHOKED_KV_M3H, rel=4e-5)


def test_required_kv_by_hand() -> None:
    """The whole way from a rating to the port: 40 degC liquid, -10 degC evaporator, no losses, no useful superheat.

    The head is 3.4 kPa above the liquid's bubble pressure, or the liquid would flash: 1020.0 kPa, drop 819.4,
    Kv = 264.218 / sqrt(1146700 x 8.194) = 264.218 / 3065.30 = 0.086196 m3/h for 10 kW.
    """
    fluid = refrigerant("R134a")
    supply = LiquidSupply(temperature_k=kelvin(40.0))
    head = Head(pressure_pa=1020.0e3, basis=Basis.DEW)
    losses = Losses(
        liquid_line_pa=0.0,
        lift_m=0.0,
        evaporator_pa=0.0,
        distributor_pa=0.0,
        distributor_scaling=DistributorScaling.FLOW_SQUARED,
    )
    system = system_inputs((head, supply), (head, supply), (head, supply), losses=losses)
    rated, states = solve_conditions(fluid, system, one(kelvin(-10.0)))
    required_kv = required_kv_per_watt(states[1], rated, fluid, FlowLaw.ORIFICE, float("nan"))
    # Enthalpies are good for 0.01 of 136.25 kJ/kg, the density for 0.05 of 1146.7, the drop for 0.005 of 819.4;
    # 3.4 kPa press the liquid by 2e-5.
    assert float(required_kv[0]) * 10e3 == pytest.approx(0.086196, rel=7.4e-5 + 2.2e-5 + 1e-5 + 1e-5)
