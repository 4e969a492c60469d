"""Parts beside the valve, sized by the same flow: distributor nozzles and the solenoid valves of the liquid line."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tablegen.model.offered_choices import Approval


class PartKind(StrEnum):
    """What a part is."""

    DISTRIBUTOR_NOZZLE = "distributor_nozzle"
    SOLENOID_VALVE = "solenoid_valve"


@dataclass(frozen=True, slots=True)
class PartSize:
    """One size: its key, name in print, Kv [m3/h], and the drop [Pa] below which a pilot-operated valve does not stay open.

    The drop is 0 for a direct-acting valve and for a nozzle.
    """

    name: str
    display_name: str
    kv_m3h: float
    minimum_drop_pa: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class NearbyPart:
    """The size range of one part.

    Attributes
    ----------
    name, display_name : str
        Key in files and data, and name in print.
    working_pressure_gauge_pa : float
        Maximum working pressure; infinite where nothing is stated, as for a nozzle.
    allowed_differential_pa : float
        Maximum pressure drop that a solenoid valve opens against.
    maximum_drop_pa : float
        Maximum pressure drop at full flow that is wanted of a solenoid valve.
    """

    name: str
    display_name: str
    kind: PartKind
    approved: Approval
    sizes: tuple[PartSize, ...]
    working_pressure_gauge_pa: float = float("inf")
    allowed_differential_pa: float = float("inf")
    maximum_drop_pa: float = float("inf")

    def called(self, size: PartSize) -> str:
        """The part with one of its sizes, as in print."""
        return f"{self.display_name} {size.display_name}"
