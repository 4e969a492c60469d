"""The base case of the loop, a walk-in coil with an invented cross charge, and variants of it; built here, no config is read.

The coil: one circuit of 12 m and 11.7 mm, 1 kW, TD 10 degF, liquid of 96 degF, useful superheat 0.65 TD.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.bulb import ChargeCurve, PointsCurve, SaturationCurve
from tablegen.physics.loop import Circuit, CoilLoop, CoilState, Ultimate, bulb_ultimate, coil_loop
from tablegen.physics.steady_opening import GainAt, SmallestSteady, gain_with_bulb, smallest_steady
from tablegen.physics.valve import FactorySetting, ForceBalance, OpeningCharacteristic, set_at_factory
from tests.registry import refrigerant

PSI, DEGF = 6894.757293168361, 5.0 / 9.0
STOP = 1.2
_CROSS = (43.1, 51.5, 61.4, 72.9, 86.2, 101.4, 118.7, 138.4, 160.5, 185.4)


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def cross_charge() -> ChargeCurve:
    """An invented cross charge for R404A, medium temperature."""
    return PointsCurve(tuple(kelvin(t) for t in range(-10, 81, 10)), tuple(p * PSI for p in _CROSS))


@dataclass(frozen=True, slots=True, kw_only=True)
class LoopCase:
    """One loop; temperatures in degF, superheats and TD in degF, as the trade states them.

    `present_td` is the TD now, that of the rating where it is None.  `has_single_wall_lag` is for the figures of the design,
    which has C_w a (1 - r)/k as the only lag of the wall, and no lead.
    """

    fluid: str = "R404A"
    is_straight: bool = False
    sst: float = 25.0
    td: float = 10.0
    present_td: float | None = None
    static: float = 3.0
    opening: float = 4.0
    bulb_s: float = 30.0
    length_m: float = 12.0
    diameter_m: float = 11.7e-3
    ratio: float = 0.35
    liquid: float = 96.0
    rated_liquid: float = 96.0
    plug: float = 0.5
    margin: float = 1.0
    unbalance: float = 0.0
    drop_psi: float = 100.0
    has_single_wall_lag: bool = False

    @property
    def te(self) -> Floats:
        return np.array([kelvin(self.sst)])

    @property
    def under_pa(self) -> Floats:
        return refrigerant(self.fluid).dew(self.te).pressure_pa

    def state(self, liquid: float, td: float) -> CoilState:
        fluid = refrigerant(self.fluid)
        return CoilState(
            evaporating_temperature_k=self.te,
            evaporating_pressure_pa=self.under_pa,
            liquid_enthalpy_j_kg=fluid.bubble(np.array([kelvin(liquid)])).enthalpy_j_kg,
            vapor_enthalpy_j_kg=fluid.vapor(self.te + 0.65 * self.td * DEGF, self.under_pa).enthalpy_j_kg,
            difference_k=np.array([td * DEGF]),
        )

    @property
    def now(self) -> CoilState:
        return self.state(self.liquid, self.td if self.present_td is None else self.present_td)

    def coil(self) -> CoilLoop:
        circuit = Circuit(
            load_w=1000.0,
            length_m=self.length_m,
            tube_inner_diameter_m=self.diameter_m,
            wall_heat_capacity_j_mk=120.0,
            air_side_share=0.75,
            plug_share=self.plug,
        )
        rated = self.state(self.rated_liquid, self.td)
        coil = coil_loop(refrigerant(self.fluid), circuit, self.ratio, 0.65 * self.td * DEGF, rated, self.now)
        if not self.has_single_wall_lag:
            return coil
        single = circuit.wall_heat_capacity_j_mk * circuit.air_side_share * (1.0 - self.ratio)
        return replace(coil, wall_lag_s=single / coil.conductance_w_mk, wall_lead_s=np.zeros(1))

    def balance(self) -> ForceBalance:
        fluid = refrigerant(self.fluid)
        curve = SaturationCurve(fluid) if self.is_straight else cross_charge()
        setting = FactorySetting(kelvin(32.0), self.static * DEGF, self.opening * DEGF, 100.0 * PSI)
        return set_at_factory(curve, setting, fluid, self.unbalance, None)

    def ultimate(self) -> Ultimate:
        return bulb_ultimate(self.coil(), self.bulb_s, 1.0)

    def gain_at(self) -> GainAt:
        drop = np.array([self.drop_psi * PSI])
        return gain_with_bulb(self.coil(), self.balance(), OpeningCharacteristic(STOP), self.te, self.under_pa, drop)

    def limit(self) -> SmallestSteady:
        return smallest_steady(self.gain_at(), self.ultimate().gain / self.margin, self.now.difference_k)

    @property
    def phi_min(self) -> float:
        return float(self.limit().opening[0])

    @property
    def superheat(self) -> float:
        """Minimum stable superheat [degF]."""
        return float(self.limit().superheat_k[0]) / DEGF
