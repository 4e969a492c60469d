"""What a fit starts from: readings of a test bench row by row, the valve that was tested, how the fit is made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.bulb import BulbCharge
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import FactorySetting, OpeningCharacteristic


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchRows:
    """Rows of a bench file; arrays of one length, NaN or "" where a row has no such reading.

    Attributes
    ----------
    line : array of int
        Line of the file, by which a row is named.
    refrigerant, size, charge : array of str
        What was tested; `charge` names the bulb charge of the family.
    specimen : array of str
        Which valve of several that are alike; "" in every row where only one was tested.
    inlet_pressure_pa, inlet_temperature_k, outlet_pressure_pa : Floats [Pa], [K], [Pa]
        Liquid upstream of the valve, and absolute pressure downstream of it.
    flow_kg_s : Floats [kg/s]
    opening : Floats [1]
        Share of rated stroke, of full travel, or of the time that the valve is open.
    bulb_temperature_k, bulb_pressure_pa, evaporator_pressure_pa : Floats [K], [Pa], [Pa]
        Pressures absolute; the evaporator's is the one that acts under the diaphragm.
    """

    line: Floats
    refrigerant: Names
    size: Names
    charge: Names
    specimen: Names
    inlet_pressure_pa: Floats
    inlet_temperature_k: Floats
    outlet_pressure_pa: Floats
    flow_kg_s: Floats
    opening: Floats
    bulb_temperature_k: Floats
    bulb_pressure_pa: Floats
    evaporator_pressure_pa: Floats

    @property
    def has_specimens(self) -> bool:
        """Whether rows say which of several valves they are of."""
        return bool((self.specimen != "").any())

    @property
    def has_flow(self) -> Bools:
        """Rows with a mass flow and an opening."""
        return np.asarray(np.isfinite(self.flow_kg_s) & np.isfinite(self.opening))

    @property
    def has_charge(self) -> Bools:
        """Rows with temperature and pressure of the bulb."""
        return np.isfinite(self.bulb_temperature_k) & np.isfinite(self.bulb_pressure_pa)

    @property
    def has_balance(self) -> Bools:
        """Rows with a bulb temperature, an opening and the pressures that act on the diaphragm."""
        readings = (self.bulb_temperature_k, self.opening, self.evaporator_pressure_pa, self.outlet_pressure_pa)
        return np.asarray(np.isfinite(readings).all(axis=0))

    @property
    def lacks_opening(self) -> Bools:
        """Rows of a force balance that have a mass flow in place of an opening."""
        readings = (self.bulb_temperature_k, self.flow_kg_s, self.evaporator_pressure_pa, self.outlet_pressure_pa)
        return np.asarray(np.isfinite(readings).all(axis=0) & np.isnan(self.opening))


@dataclass(frozen=True, slots=True)
class ChargeOnBench:
    """One bulb charge of the family, with its setting as the family states it now.

    `takes_points` says whether its curve may be given by points.
    """

    charge: BulbCharge
    setting: FactorySetting
    refrigerant: Refrigerant
    takes_points: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedFlow:
    """What the family's file states of the flow, under its own flow law.

    Attributes
    ----------
    kv_m3h : mapping of str to float [m3/h]
        Rated Kv by size.
    characteristic : OpeningCharacteristic
    pressure_recovery : float [1]
        F_L.
    discharge : DischargeCoefficient or None
    kv_deviation : mapping of str to float [1]
        Standard deviation of each Kv as a share of it; missing where the file states no tolerance.
    recovery_deviation : float [1]
        The same of F_L, 0 without a tolerance.
    """

    kv_m3h: Mapping[str, float]
    characteristic: OpeningCharacteristic
    pressure_recovery: float = 1.0
    discharge: DischargeCoefficient | None = None
    kv_deviation: Mapping[str, float] = field(default_factory=dict)
    recovery_deviation: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveOnBench:
    """The family that was tested.

    Attributes
    ----------
    family : str
    stop, min_opening : float [1]
        Opening at the mechanical stop, and the minimum opening at which the valve operates.
    law : FlowLaw
        Of the family's file.
    has_characteristic : bool
        False for a pulse-modulated valve, whose mean flow follows the time that it is open.
    charges : mapping of str to ChargeOnBench
    has_own_ports : bool
        Whether each charge was tested in a port of its own, with an unbalance of its own.
    stated : StatedFlow or None
        What openings may be inferred by.
    """

    family: str
    stop: float
    min_opening: float
    law: FlowLaw
    has_characteristic: bool = True
    charges: Mapping[str, ChargeOnBench] = field(default_factory=dict)
    has_own_ports: bool = False
    stated: StatedFlow | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FitOptions:
    """How a fit is made.

    Attributes
    ----------
    confidence : float [1]
        Of the two-sided bounds.
    law : FlowLaw or None
        The law to fit; None lets the rows decide.
    openings : tuple of float [1] or None
        Where the characteristic gets its points; None chooses from the rows.
    flow_uncertainty, opening_uncertainty, drop_uncertainty_pa : float or None [1], [1], [Pa]
        Stated standard uncertainties: of mass flow as a share of the reading, of opening as a share of rated
        stroke, of the pressure drop; the first two or none.  They weight the rows; how far these scatter is taken
        from the rows themselves.
    """

    confidence: float = 0.95
    law: FlowLaw | None = None
    openings: tuple[float, ...] | None = None
    flow_uncertainty: float | None = None
    opening_uncertainty: float | None = None
    drop_uncertainty_pa: float | None = None
