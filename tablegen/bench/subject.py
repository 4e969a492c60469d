"""What is known of the valve on the bench before anything is fitted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tablegen.physics.bulb import BulbCharge
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import FactorySetting, OpeningCharacteristic


@dataclass(frozen=True, slots=True)
class ChargeOnBench:
    """One bulb charge of the family, with its setting as the family states it now.

    `takes_points` tells whether its curve may be given by points.
    """

    charge: BulbCharge
    setting: FactorySetting
    refrigerant: Refrigerant
    takes_points: bool = True


@dataclass(frozen=True, slots=True)
class StatedFlow:
    """What the family's file states of the flow, under its own law.

    Kv [m3/h] by size, F_L, the opening characteristic; `kv_deviation` and `recovery_deviation` are standard deviations
    as shares of the value, missing or 0 where the file states no tolerance.
    """

    kv_m3h: Mapping[str, float]
    characteristic: OpeningCharacteristic
    pressure_recovery: float = 1.0
    kv_deviation: Mapping[str, float] = field(default_factory=dict)
    recovery_deviation: float = 0.0


@dataclass(frozen=True, slots=True)
class ValveOnBench:
    """A family: its stop and the minimum opening that it works at [1], its flow law, its charges.

    `has_characteristic` is False for a pulse-modulated valve, whose mean flow follows the time that it is open;
    `stated` is what openings may be inferred by, None where nothing is stated.
    """

    family: str
    stop: float
    min_opening: float
    law: FlowLaw
    has_characteristic: bool = True
    charges: Mapping[str, ChargeOnBench] = field(default_factory=dict)
    stated: StatedFlow | None = None


@dataclass(frozen=True, slots=True)
class FitOptions:
    """How a fit is made.

    Attributes
    ----------
    confidence : float
        Of the two-sided bounds.
    law : FlowLaw or None
        The law to fit; None lets the rows decide.
    openings : tuple of float or None
        Where the characteristic gets its points; None chooses from the rows.
    flow_uncertainty, opening_uncertainty, drop_uncertainty_pa : float or None
        Stated standard uncertainties: of mass flow as a share of the reading, of opening as a share of rated
        stroke, of the pressure drop [Pa]; the first two or none. They weigh the rows; how far these scatter is taken
        from the rows themselves.
    """

    confidence: float = 0.95
    law: FlowLaw | None = None
    openings: tuple[float, ...] | None = None
    flow_uncertainty: float | None = None
    opening_uncertainty: float | None = None
    drop_uncertainty_pa: float | None = None
