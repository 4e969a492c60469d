"""What a fit finds: estimates with bounds, rows off the law, the rows beside the fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

import numpy as np

from tablegen.bench.parameters import LeftOut, NotDetermined, Parameter, Part, Quantity, Shortfall
from tablegen.bench.readings import BenchRows
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.flow import FlowLaw


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """One parameter in SI: value, half-width of its two-sided bound, standard error, and the rows that determine it."""

    parameter: Parameter
    value: float
    half_width: float
    standard_error: float
    rows: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """How specimens differ: standard deviation with its two-sided bound, in SI, of Kv and bulb pressure as a share.

    `freedom` is how many specimens there are beyond the first of each size or charge.
    """

    quantity: Quantity
    deviation: float
    low: float
    high: float
    specimens: int
    freedom: int


@dataclass(frozen=True, slots=True)
class Outlier:
    """A row set aside: how far it is from the fit, in standard deviations and in the unit of its part.

    `residual` is a share of mass flow or bulb pressure [1], or a bulb temperature [K].
    """

    line: int
    part: Part
    residual: float
    deviations: float


class Reading(StrEnum):
    """What differs between rows, and may go with a lack of fit."""

    INLET_SUBCOOLING = "inlet_subcooling"
    CHOKING = "choking"
    PRESSURE_DROP = "pressure_drop"
    OPENING = "opening"
    BULB_TEMPERATURE = "bulb_temperature"
    SIZE = "size"
    REFRIGERANT = "refrigerant"
    LINE = "line"

    @property
    def is_name(self) -> bool:
        """Whether it is a name, not a number."""
        return self in (Reading.SIZE, Reading.REFRIGERANT)

    @property
    def dimension(self) -> str:
        """Kind of quantity, as unit tables name it; "" for names and bare numbers."""
        return {
            Reading.INLET_SUBCOOLING: "temperature difference",
            Reading.CHOKING: "share",
            Reading.PRESSURE_DROP: "pressure difference",
            Reading.OPENING: "share",
            Reading.BULB_TEMPERATURE: "temperature",
        }.get(self, "")


class Third(StrEnum):
    """A third of the rows by value of a reading."""

    LOWEST = "lowest"
    MIDDLE = "middle"
    HIGHEST = "highest"


@dataclass(frozen=True, slots=True, order=True)
class ConditionKey:
    """What rows were taken under: a reading, of one charge where charges are distinguished."""

    reading: Reading
    charge: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LackOfFit:
    """Rows off the law on one side under one condition; they stay in the fit.

    Attributes
    ----------
    part : Part
    condition : ConditionKey
    group : str
        The third of the rows, or the name, where they are farthest off.
    low, high : float
        Range of the condition there in SI, NaN for a name.
    rows : int
        Rows there.
    residual, farthest : float
        Mean residual there, and the one farthest off, in the unit of the part (`Outlier`).
    lines : tuple of int
        The rows there that would have been set aside as outliers.
    chance, error_rate : float
        Of as much in rows that follow the law, all conditions taken together; and up to which chance it is reported.
    also : tuple of ConditionKey
        Conditions that varied along with it, so that the rows do not decide between them.
    """

    part: Part
    condition: ConditionKey
    group: str
    low: float
    high: float
    rows: int
    residual: float
    farthest: float
    lines: tuple[int, ...]
    chance: float
    error_rate: float
    also: tuple[ConditionKey, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LawVerdict:
    """Which flow law the rows support, None if they cannot decide.

    Attributes
    ----------
    law : FlowLaw or None
    reason : Shortfall
        What decides, or why nothing does.
    orifice_scatter, choked_scatter, discharge_scatter : float [1]
        Scatter of mass flow about each law, at its best; NaN where it could not be fitted.
    evidence : float
        Logarithm of the odds for `choked` against `orifice`.
    discharge_evidence : float
        Logarithm of the odds for `discharge_coefficient` against the better of the two others.
    discharge : Shortfall
        Why the rows support a discharge coefficient that follows subcooling and drop, or why they do not.
    rows_beyond : int
        Rows on which the laws differ.
    max_drop : float [1]
        Maximum drop over p_1 - F_F p_v, where choking begins if F_L is 1.
    """

    law: FlowLaw | None
    reason: Shortfall
    orifice_scatter: float
    choked_scatter: float
    discharge_scatter: float
    evidence: float
    discharge_evidence: float
    discharge: Shortfall
    rows_beyond: int
    max_drop: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowTable:
    """The flow rows beside the fit, arrays of one length.

    `residual` is the logarithm of measured over computed flow, `opening_spread` and `drop_spread` its standard
    deviation at the row's opening and at its drop; `choking` the drop over p_1 - F_F p_v, `subcooling_ratio` and
    `drop_ratio` the s and y of the discharge coefficient; `orifice_ratio` the measured
    flow over that of the orifice law with the fitted Kv and characteristic.
    """

    line: Floats
    size: Names
    opening: Floats
    pressure_drop_pa: Floats
    choking: Floats
    subcooling_ratio: Floats
    drop_ratio: Floats
    inlet_subcooling_k: Floats
    refrigerant: Names
    measured_kg_s: Floats
    computed_kg_s: Floats
    residual: Floats
    opening_spread: Floats
    drop_spread: Floats
    orifice_ratio: Floats
    is_used: Bools


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceTable:
    """The balance rows beside the fit, arrays of one length.

    `spring_pa` is bulb pressure less pressure under the diaphragm and the port's share, `fitted_pa` the straight line
    over opening that the fit makes of it; `residual_k` is in kelvin of bulb temperature.
    """

    line: Floats
    charge: Names
    opening: Floats
    size: Names
    pressure_drop_pa: Floats
    bulb_temperature_k: Floats
    spring_pa: Floats
    fitted_pa: Floats
    residual_k: Floats
    is_used: Bools


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """What one part of the fit adds to the whole."""

    estimates: list[Estimate] = field(default_factory=list)
    not_determined: list[NotDetermined] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    outliers: list[Outlier] = field(default_factory=list)
    lack_of_fit: list[LackOfFit] = field(default_factory=list)

    def joined(self, other: Findings) -> Findings:
        """Those of two parts; rows in the order of the file."""
        return Findings(
            estimates=[*self.estimates, *other.estimates],
            not_determined=[*self.not_determined, *other.not_determined],
            left_out=sorted([*self.left_out, *other.left_out], key=lambda row: (row.line, row.part)),
            outliers=sorted([*self.outliers, *other.outliers], key=lambda row: (row.line, row.part)),
            lack_of_fit=[*self.lack_of_fit, *other.lack_of_fit],
        )

    def with_kv(self, found: Sequence[Estimate]) -> Findings:
        """These with more estimates of Kv beside those that they have."""
        at = sum(estimate.parameter.quantity is Quantity.KV for estimate in self.estimates)
        missing = [one for one in self.not_determined if one.parameter != Parameter(Quantity.KV)]
        return replace(self, estimates=[*self.estimates[:at], *found, *self.estimates[at:]], not_determined=missing)

    def refuse(self, parameter: Parameter, reason: Shortfall) -> None:
        """Add a parameter that cannot be determined."""
        self.not_determined.append(NotDetermined(parameter, reason))


@dataclass(frozen=True, slots=True)
class LinearRange:
    """Openings [1] over which the characteristic is linear, and how far from it points could be [1], NaN if unknown."""

    low: float
    high: float
    bend: float


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """A point of a measured charge curve [K], [Pa] and the half-width of its bound [Pa]."""

    temperature_k: float
    pressure_pa: float
    half_width_pa: float


@dataclass(frozen=True, slots=True)
class MeasuredCharge:
    """A measured charge curve: points, the widest of their bounds as a share of pressure, rows used."""

    points: tuple[CurvePoint, ...]
    widest: float
    rows: int


class KvSource(StrEnum):
    """Where Kv and the characteristic come from by which openings are inferred."""

    ROWS = "rows"
    FAMILY = "family"


@dataclass(frozen=True, slots=True, kw_only=True)
class InferredFrom:
    """How openings were inferred from flow.

    `max_error` [1] is the largest of their standard errors; `is_flow_error_known` says whether it has the flow meter's
    share, `exact_sizes` are those whose Kv has no tolerance.
    """

    source: KvSource
    rows: int
    sizes: tuple[str, ...]
    max_error: float
    is_flow_error_known: bool
    exact_sizes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class InferredOpenings:
    """Openings inferred from flow, arrays of one length.

    Attributes
    ----------
    line : array of int
    opening : Floats [1]
    random : Floats [1]
        Standard error by the flow meter and the drop, 0 where nothing is known of them.
    shared : Floats, shape (rows, errors) [1]
        How the opening follows each independent error of one standard deviation that rows share.
    sources : tuple of InferredFrom
    """

    line: Floats
    opening: Floats
    random: Floats
    shared: Floats
    sources: tuple[InferredFrom, ...] = ()

    @property
    def deviation(self) -> Floats:
        """Standard error of each opening."""
        return np.asarray(np.sqrt(self.random**2 + (self.shared**2).sum(axis=1)))

    def filled(self, rows: BenchRows) -> BenchRows:
        """The rows of a file with these openings where none was read."""
        opening = rows.opening.copy()
        opening[np.searchsorted(rows.line, self.line)] = self.opening
        return replace(rows, opening=opening)

    def errors_of(self, line: Floats) -> tuple[Floats, Floats]:
        """`random` and `shared` of rows by their lines, 0 for rows whose opening was read."""
        random, shared = np.zeros(len(line)), np.zeros((len(line), self.shared.shape[1]))
        for i, at in enumerate(np.flatnonzero(self.line == number) for number in line):
            if len(at):
                random[i], shared[i] = self.random[at[0]], self.shared[at[0]]
        return random, shared


NONE_INFERRED = InferredOpenings(
    line=np.zeros(0, dtype=int), opening=np.zeros(0), random=np.zeros(0), shared=np.zeros((0, 0))
)
