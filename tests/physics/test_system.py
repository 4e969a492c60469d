"""What an application states and what is made of it, worked by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tablegen.physics import equations as eq
from tablegen.physics import liquid_equations as lineq
from tablegen.physics.arrays import Floats
from tablegen.physics.compressor import CompressorPoint, ConstantCapacity
from tablegen.physics.system import (
    Basis,
    Head,
    HeadCondition,
    LiquidSupply,
    MaximumRule,
    OperatingCondition,
    SuperheatLimits,
)
from tests.builders import system_inputs
from tests.physics.test_valve import one, state
from tests.registry import refrigerant

FLUID = refrigerant("R448A")
HEADS = tuple((Head(pressure_pa=own), LiquidSupply(None, 2.0, 2.0)) for own in (14e5, 10e5, 19e5))
APPLICATION = system_inputs(*HEADS, box_difference_k=6.0)
LIMITS = SuperheatLimits(useful_k=3.0, max_k=6.0, min_k=(2.0, 0.5, 0.25))


def test_the_minimum_stable_superheat_follows_the_load():
    np.testing.assert_allclose(LIMITS.minimum(np.array([0.0, 1.0, 2.0])), [2.0, 2.75, 4.0], rtol=1e-15)
    # Another constant part leaves the rest; 3.1 + 0.5 x 2 + 0.25 x 4.
    other = LIMITS.with_constant_minimum(3.1)
    assert float(other.minimum(np.array(2.0))) == pytest.approx(5.1, rel=1e-15)
    assert float(LIMITS.minimum(np.array(0.0))) == 2.0


def test_a_maximum_superheat_that_is_larger_by_some_kelvin():
    here = state(OperatingCondition.RATING, coil_difference_k=8.0, dry_transfer_units=3.0, vapor_heat_ratio=0.05).state
    share, loss = replace(LIMITS, max_k=None, max_share=0.7), replace(LIMITS, max_k=None, capacity_loss=0.1)
    for limits, rule in (
        (LIMITS, MaximumRule.STATED),
        (share, MaximumRule.SHARE),
        (loss, MaximumRule.CAPACITY_LOSS),
    ):
        assert limits.max_rule is rule
        before = float(limits.maximum(here)[0])
        assert float(limits.with_more(0.5).maximum(here)[0]) == pytest.approx(before + 0.5, rel=1e-12)
        assert float(limits.with_more(0.5).with_more(-0.2).maximum(here)[0]) == pytest.approx(before + 0.3, rel=1e-12)
    assert float(LIMITS.maximum(here)[0]) == 6.0
    assert float(share.maximum(here)[0]) == pytest.approx(5.6, rel=1e-15)


def test_what_no_maximum_superheat_exceeds():
    """The stated one, or its share of the temperature difference; with a loss of capacity all of the difference."""
    for limits, expected in (
        (LIMITS, 6.0),
        (LIMITS.with_more(1.0), 7.0),
        (replace(LIMITS, max_k=None, max_share=0.7), 4.2),
        (replace(LIMITS, max_k=None, max_share=0.7, max_offset_k=0.5), 4.7),
        (replace(LIMITS, max_k=None, capacity_loss=0.1, max_offset_k=-0.5), 5.5),
    ):
        assert replace(APPLICATION, superheat=limits).most_superheat_k == pytest.approx(expected, rel=1e-15)
    unknown = replace(APPLICATION, superheat=replace(LIMITS, max_k=None, max_share=0.7), box_difference_k=None)
    assert np.isnan(unknown.most_superheat_k)


def test_a_condition_is_changed_by_its_name():
    for name in OperatingCondition:
        changed = HeadCondition(name, Head(pressure_pa=12e5), LiquidSupply(290.0))
        found = APPLICATION.with_condition(changed)
        assert found.condition(name) is changed
        for other in set(OperatingCondition) - {name}:
            assert found.condition(other) is APPLICATION.condition(other)
        assert replace(found, **{name.value: APPLICATION.condition(name)}) == APPLICATION


def test_losses_are_changed_one_by_one():
    found = APPLICATION.with_losses(evaporator_pa=12e3, lift_m=2.0)
    assert (found.losses.evaporator_pa, found.losses.lift_m) == (12e3, 2.0)
    assert (found.losses.liquid_line_pa, found.losses.distributor_pa) == (0.0, 0.0)
    assert found.losses.distributor_scaling is APPLICATION.losses.distributor_scaling
    assert replace(found, losses=APPLICATION.losses) == APPLICATION


def test_a_head_with_an_offset_is_that_of_a_temperature_so_much_higher():
    offset = np.array([0.0, 1.5, -2.0])
    for basis, saturated in ((Basis.DEW, FLUID.dew), (Basis.BUBBLE, FLUID.bubble)):
        head = Head(condensing_temperature_k=310.0, basis=basis)
        np.testing.assert_allclose(head.pressures(FLUID, offset), saturated(310.0 + offset).pressure_pa, rtol=1e-15)
    middle = Head(condensing_temperature_k=310.0, basis=Basis.MID)
    pressure = middle.pressures(FLUID, offset)
    mean = 0.5 * (FLUID.dew_temperature(pressure) + FLUID.bubble_temperature(pressure))
    np.testing.assert_allclose(mean, 310.0 + offset, rtol=1e-12)
    stated = Head(pressure_pa=14e5).pressures(FLUID, offset)
    bubble_k = FLUID.bubble_temperature(np.array(14e5))
    np.testing.assert_allclose(FLUID.bubble_temperature(stated), bubble_k + offset, rtol=1e-12)
    # Without an offset a stated pressure is itself, to the last digit.
    assert float(Head(pressure_pa=14e5).pressures(FLUID)) == 14e5


def test_liquid_is_a_range_where_its_subcooling_is_one():
    assert LiquidSupply(None, 2.0, 6.0).is_range
    assert not LiquidSupply(None, 2.0, 2.0).is_range
    # A temperature is stated: no subcooling counts.
    assert not LiquidSupply(300.0, 2.0, 6.0).is_range


@pytest.mark.parametrize(("suction", "discharge"), [((3,), (3,)), ((2, 1), (3,)), ((), (3,)), ((3,), ())])
def test_a_rack_that_keeps_capacity_has_one_flow_at_every_point(suction: tuple[int, ...], discharge: tuple[int, ...]):
    def arrays(shape: tuple[int, ...], value: float) -> Floats:
        return np.full(shape, value)

    point = CompressorPoint(
        suction_dew_k=arrays(suction, 260.0),
        discharge_dew_k=arrays(discharge, 310.0),
        suction_pressure_pa=arrays(suction, 3e5),
        discharge_pressure_pa=arrays(discharge, 14e5),
        suction_density_kg_m3=arrays(suction, 12.0),
    )
    found = ConstantCapacity().relative_flow(point)
    assert found.shape == np.broadcast_shapes(suction, discharge)
    assert (found == 1.0).all()


def test_equations_that_are_printed_by_hand():
    """Kv 1 passes 1 m3/h of water at 1 bar: of 1000 kg/m3 that evaporates with 180 kJ/kg it is a load of 50 kW."""
    per_watt = eq.required_kv(E=1.0, f=1.0, N=eq.FLOW_CONSTANT, dh_r=180e3, rho=1000.0, dp=1e5)
    assert float(per_watt) == pytest.approx(1.0 / 50e3, rel=1e-12)
    # Twice the flow, a quarter of the density, four times the effect: 2 x 2 / 4; four times the drop: half.
    more = eq.required_kv(E=1.0, f=2.0, N=eq.FLOW_CONSTANT, dh_r=720e3, rho=250.0, dp=4e5)
    assert float(more) == pytest.approx(0.5 * float(per_watt), rel=1e-12)
    assert eq.required_kv(E=3.0, f=1.0, N=eq.FLOW_CONSTANT, dh_r=180e3, rho=1000.0, dp=1e5) == pytest.approx(
        3.0 * per_watt, rel=1e-12
    )
    assert eq.load(Kv=0.02, Q_1=one(50e3)) == pytest.approx([1000.0], rel=1e-15)
    # 0.9 of the coil wetted, superheat a third of the difference, vapor with 0.06 of the heat: 0.9 x (1 + 0.02).
    assert eq.coil_capacity(z=0.9, a=0.06, SH=2.0, TD=6.0) == pytest.approx(0.918, rel=1e-15)
    assert lineq.liquid_heat_capacity(h_w=103e3, h_c=100e3, dT_1=2.0) == 1500.0
    # A tenth of the mass is vapor of 20 kg/m3, the rest liquid of 1200: 5 + 0.75 liters a kilogram.
    assert eq.mixture_volume(x=0.1, rho_d=20.0, rho_b=1200.0) == pytest.approx(5.75e-3, rel=1e-14)
    # 2 bar and 9 times 0.1 bar, and 9 times half of 0.4 bar.
    assert eq.outlet_pressure(p_e=2e5, f=3.0, dp_evap=1e4, dp_dist=4e4, v=3.0, v_r=6.0) == pytest.approx(4.7e5)
    # 1 + 0.05 - 0.05 x (8 / 2)^(1 / 2).
    assert eq.volumetric_efficiency(C=0.05, p_h=8e5, p_s=2e5, n=2.0) == pytest.approx(0.95, rel=1e-14)
    assert eq.flow_share(k=0.5, M=1.2, d=0.8) == pytest.approx(0.75, rel=1e-15)
    assert lineq.line_loss(dp_line=20e3, f=3.0) == 180e3
    assert lineq.needed_subcooling(T_hb=310.0, T_n=307.0, dT_g=0.5) == 3.5
    assert lineq.line_heat_share(g_1=6.0, L_g=20.0, Q_g=4000.0) == pytest.approx(0.03, rel=1e-15)
    assert lineq.line_temperature_rise(sigma=0.03, dh_r=140e3, f=0.7, c_l=1500.0) == pytest.approx(4.0, rel=1e-15)
