"""Flow of one port from a cold to a hot day, under each flow law and by published correlations, over that at the rating point.

No loss upstream or downstream is counted: what differs is the law alone.  Each correlation is that of its own device, a
short tube or an orifice, with the refrigerants and conditions that its authors measured; beyond them, and for other
refrigerants, it is drawn to be seen and proves nothing.

References
----------
Payne and O'Neal (2004): see `tablegen.verification.measured_flows`.
D. D. Wile, "The measurement of expansion valve capacity", Refrigerating Engineering 8 (1935): discharge coefficient
C_D = 0.02005 sqrt(rho_l) + 0.634 v, rho_l of the liquid at the inlet [kg/m3], v of the mixture at the outlet [m3/kg]
(from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tablegen.model.inputs import Application, Catalogue
from tablegen.physics import equations as eq
from tablegen.physics.arrays import Bools, Floats
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw, effective_pressure_drop
from tablegen.physics.refrigerants import Refrigerant
from tablegen.verification.measured_flows import RECOVERY, short_tube_flow

if TYPE_CHECKING:
    import pandas as pd

_ZERO_F_K, _CELSIUS_K = 459.67, 273.15
# Condensing temperatures, 65 to 130 degF.
CONDENSING_K = (np.arange(65.0, 131.0, 1.0) + _ZERO_F_K) / 1.8
RATING_K = (105.0 + _ZERO_F_K) / 1.8
# Of print, where the catalogue has them.
_REFRIGERANTS = ("R404A", "R448A")
# Where no family states exponents: invented, of the size that published power laws of expansion valves have.
TYPICAL = DischargeCoefficient(
    subcooling_exponent=0.06,
    drop_exponent=-0.12,
    reference_subcooling=0.05,
    reference_drop=0.6,
    subcooling=(1e-6, 1.0),
    drop=(1e-6, 1.0),
)
SHORT_TUBE, ORIFICE_1935 = "payne_oneal_2004", "wile_1935"
_TUBE_M, _TUBE_LENGTH_M = 1.34e-3, 12.7e-3
# Condensing temperatures that the short tubes were measured at (not checked against the source).
_TUBE_RANGE_K = (35.0 + _CELSIUS_K, 54.0 + _CELSIUS_K)
COLUMNS = (
    "refrigerant",
    "application",
    "flow_source",
    "sst_k",
    "inlet_subcooling_k",
    "condensing_temperature_k",
    "relative_mass_flow",
    "is_published_range",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _PortOverHeads:
    """One port with its liquid along condensing temperatures, the last of which is that of the rating point."""

    fluid: Refrigerant
    inlet_pa: Floats
    outlet_pa: Floats
    bubble_pa: Floats
    density_kg_m3: Floats
    enthalpy_j_kg: Floats
    subcooling_k: float

    @classmethod
    def of(cls, fluid: Refrigerant, sst_k: float, subcooling_k: float) -> _PortOverHeads:
        condensing = np.append(CONDENSING_K, RATING_K)
        inlet = fluid.bubble(condensing).pressure_pa
        liquid = fluid.liquid(condensing - subcooling_k, inlet)
        return cls(
            fluid=fluid,
            inlet_pa=inlet,
            outlet_pa=np.full(condensing.shape, float(fluid.dew(np.array([sst_k])).pressure_pa[0])),
            bubble_pa=fluid.bubble(condensing - subcooling_k).pressure_pa,
            density_kg_m3=liquid.density_kg_m3,
            enthalpy_j_kg=liquid.enthalpy_j_kg,
            subcooling_k=subcooling_k,
        )

    def by_law(self, law: FlowLaw, discharge: DischargeCoefficient) -> Floats:
        """Flow of one Kv, in any unit."""
        drop = effective_pressure_drop(
            law,
            self.inlet_pa - self.outlet_pa,
            self.inlet_pa,
            self.bubble_pa,
            self.fluid.critical_pressure_pa,
            RECOVERY,
            discharge,
        )
        return np.asarray(np.sqrt(self.density_kg_m3 * drop))

    def short_tube(self) -> Floats:
        """Flow of a short tube [kg/s]."""
        subcooling = np.full(self.inlet_pa.shape, self.subcooling_k)
        return short_tube_flow(self.fluid, self.inlet_pa, subcooling, _TUBE_M, _TUBE_LENGTH_M)

    def wile(self) -> Floats:
        """Flow of an orifice by Wile's discharge coefficient, in any unit."""
        bubble_k = self.fluid.bubble_temperature(self.outlet_pa)
        bubble, dew = self.fluid.bubble(bubble_k), self.fluid.dew(self.fluid.dew_temperature(self.outlet_pa))
        quality = eq.vapor_quality(h_l=self.enthalpy_j_kg, h_b=bubble.enthalpy_j_kg, h_d=dew.enthalpy_j_kg)
        volume = eq.mixture_volume(x=quality, rho_d=dew.density_kg_m3, rho_b=bubble.density_kg_m3)
        coefficient = 0.02005 * np.sqrt(self.density_kg_m3) + 0.634 * volume
        return np.asarray(coefficient * np.sqrt(self.density_kg_m3 * (self.inlet_pa - self.outlet_pa)))


def flow_law_frame(catalogue: Catalogue) -> pd.DataFrame:
    """Flow over that at the rating point, in the first application of each refrigerant shown; no rows without any.

    Parameters
    ----------
    catalogue : Catalogue
    """
    import pandas as pd

    own = (family.discharge for family in catalogue.families.values() if family.discharge is not None)
    discharge = next(own, TYPICAL)
    rows = [row for name, application in _shown(catalogue) for row in _rows(catalogue, name, application, discharge)]
    return pd.DataFrame(rows, columns=list(COLUMNS))


def _shown(catalogue: Catalogue) -> Iterator[tuple[str, Application]]:
    for name in _REFRIGERANTS:
        for application in catalogue.applications.values():
            if name in catalogue.refrigerants_in(application.name):
                yield name, application
                break


def _rows(
    catalogue: Catalogue, name: str, application: Application, discharge: DischargeCoefficient
) -> Iterator[tuple[object, ...]]:
    subcooling = application.systems[name].low_head.liquid.min_subcooling_k
    port = _PortOverHeads.of(catalogue.refrigerants[name], application.example_sst_k, subcooling)
    of_tube = (_TUBE_RANGE_K[0] <= CONDENSING_K) & (_TUBE_RANGE_K[1] >= CONDENSING_K)
    every, none = np.ones(CONDENSING_K.shape, dtype=bool), np.zeros(CONDENSING_K.shape, dtype=bool)
    series: Iterable[tuple[str, Floats, Bools]] = (
        *((law.value, port.by_law(law, discharge), every) for law in FlowLaw),
        (SHORT_TUBE, port.short_tube(), of_tube),
        (ORIFICE_1935, port.wile(), none),
    )
    for source, flow, inside in series:
        for condensing, relative, is_inside in zip(CONDENSING_K, flow[:-1] / flow[-1], inside, strict=True):
            values = float(condensing), float(relative), bool(is_inside)
            yield name, application.name, source, application.example_sst_k, subcooling, *values
