"""Readings of a test bench, row by row, in SI."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Bools, Floats, Names


@dataclass(frozen=True, slots=True)
class BenchRows:
    """Rows of a bench file; arrays of one length, NaN or "" where a row has no such reading.

    Attributes
    ----------
    line : array of int
        Line of the file, by which a row is named.
    refrigerant, size, charge : array of str
        What was tested; `charge` names the bulb charge of the family.
    inlet_pressure_pa, inlet_temperature_k, outlet_pressure_pa : Floats [Pa], [K], [Pa]
        Liquid before the valve, and absolute pressure behind it.
    flow_kg_s : Floats [kg/s]
    opening : Floats [1]
        Share of rated stroke, of full travel, or of the time that the valve is open.
    bulb_temperature_k, bulb_pressure_pa, evaporator_pressure_pa : Floats [K], [Pa], [Pa]
        Pressures absolute; the evaporator's is the one that stands under the diaphragm.
    """

    line: Floats
    refrigerant: Names
    size: Names
    charge: Names
    inlet_pressure_pa: Floats
    inlet_temperature_k: Floats
    outlet_pressure_pa: Floats
    flow_kg_s: Floats
    opening: Floats
    bulb_temperature_k: Floats
    bulb_pressure_pa: Floats
    evaporator_pressure_pa: Floats

    @property
    def tells_flow(self) -> Bools:
        """Rows with a mass flow and an opening."""
        return np.asarray(np.isfinite(self.flow_kg_s) & np.isfinite(self.opening))

    @property
    def tells_charge(self) -> Bools:
        """Rows with temperature and pressure of the bulb."""
        return np.isfinite(self.bulb_temperature_k) & np.isfinite(self.bulb_pressure_pa)

    @property
    def lacks_opening(self) -> Bools:
        """Rows of a balance that have a mass flow in place of an opening."""
        readings = (self.bulb_temperature_k, self.flow_kg_s, self.evaporator_pressure_pa, self.outlet_pressure_pa)
        return np.asarray(np.isfinite(readings).all(axis=0) & np.isnan(self.opening))

    @property
    def tells_balance(self) -> Bools:
        """Rows with a bulb temperature beside an opening and what else acts on the diaphragm."""
        readings = (self.bulb_temperature_k, self.opening, self.evaporator_pressure_pa, self.outlet_pressure_pa)
        return np.asarray(np.isfinite(readings).all(axis=0))
