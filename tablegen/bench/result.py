"""What a fit says: estimates with bounds, what is not told and which test is missing, rows that stand out."""

from __future__ import annotations

from dataclasses import dataclass, field

from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.flow import FlowLaw


@dataclass(frozen=True, slots=True)
class Estimate:
    """One parameter: `kind` of quantity, value and half-width of its two-sided bound in SI, rows that tell it.

    `key` is the name of the parameter in a family's file, `of` the size, charge or opening that it belongs to.
    """

    key: str
    of: str
    label: str
    kind: str
    value: float
    half_width: float
    standard_error: float
    rows: int

    @property
    def part(self) -> str:
        """The part of the fit that gives it."""
        return "flow" if self.key in ("kv", "pressure_recovery", "opening") else "balance"


@dataclass(frozen=True, slots=True)
class NotDetermined:
    """A parameter that the rows cannot tell: why, and the test that is missing."""

    key: str
    of: str
    label: str
    why: str
    test: str


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A row that cannot be used for a part of the fit, and why."""

    line: int
    part: str
    why: str


@dataclass(frozen=True, slots=True)
class Outlier:
    """A row set aside: how far it lies from the fit, in the unit of its part and in standard deviations."""

    line: int
    part: str
    residual: float
    deviations: float


@dataclass(frozen=True, slots=True)
class LackOfFit:
    """Rows that lie off the law on one side under one condition; they are kept in the fit.

    Attributes
    ----------
    part : str
    condition, words, kind : str
        Key, words and kind of quantity of the condition; `kind` is "" for names, "count" for a bare number.
    group : str
        The third of the rows (`lowest`, `middle`, `highest`) or the name where they lie farthest off.
    low, high : float
        Range of the condition there in SI, NaN for a name.
    rows : int
        Rows there.
    residual, farthest : float
        Mean residual there, and the one farthest off, in the unit of the part.
    lines : tuple of int
        The rows there that would have been set aside as outliers.
    chance, error_rate : float
        Of as much in rows that follow the law, all conditions taken together; and up to which chance it is reported.
    also : tuple of str
        Words of conditions that varied along with it, so that the rows do not decide between them.
    suspect : str
        What to suspect.
    """

    part: str
    condition: str
    label: str
    kind: str
    group: str
    low: float
    high: float
    rows: int
    residual: float
    farthest: float
    lines: tuple[int, ...]
    chance: float
    error_rate: float
    also: tuple[str, ...]
    suspect: str


@dataclass(frozen=True, slots=True)
class LawVerdict:
    """Which flow law the rows support, None if they cannot decide.

    Attributes
    ----------
    law : FlowLaw or None
    why, test : str
        What decides; or why nothing does, and the test that is missing.
    orifice_scatter, choked_scatter : float [1]
        Scatter of mass flow about either law, at its best; NaN where it could not be fitted.
    evidence : float
        Logarithm of the odds for `choked` against `orifice`.
    rows_beyond : int
        Rows on which the laws differ.
    max_drop : float [1]
        Maximum drop over p_1 - F_F p_v, where choking begins if F_L is 1.
    """

    law: FlowLaw | None
    why: str
    test: str
    orifice_scatter: float
    choked_scatter: float
    evidence: float
    rows_beyond: int
    max_drop: float


@dataclass(frozen=True, slots=True)
class FlowPicture:
    """The flow rows beside the fit, arrays of one length: what a graph needs.

    `residual` is the logarithm of measured over computed flow, `opening_spread` and `drop_spread` its standard
    deviation at the row's opening and at its drop; `choking` the drop over p_1 - F_F p_v; `orifice_ratio` the measured
    flow over that of the orifice law with the fitted Kv and characteristic.
    """

    line: Floats
    size: Names
    opening: Floats
    pressure_drop_pa: Floats
    choking: Floats
    inlet_subcooling_k: Floats
    refrigerant: Names
    measured_kg_s: Floats
    computed_kg_s: Floats
    residual: Floats
    opening_spread: Floats
    drop_spread: Floats
    orifice_ratio: Floats
    is_used: Bools


@dataclass(frozen=True, slots=True)
class BalancePicture:
    """The balance rows beside the fit; `force_pa` is bulb pressure less what stands under the diaphragm.

    `spring_pa` is `force_pa` less the port's share, which the fit makes a straight line over opening; `residual_k` in
    kelvin of bulb temperature.
    """

    line: Floats
    charge: Names
    opening: Floats
    size: Names
    pressure_drop_pa: Floats
    bulb_temperature_k: Floats
    spring_pa: Floats
    line_pa: Floats
    residual_k: Floats
    is_used: Bools


@dataclass(frozen=True, slots=True)
class Findings:
    """What one part of the fit adds to the whole."""

    estimates: list[Estimate] = field(default_factory=list)
    not_determined: list[NotDetermined] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    outliers: list[Outlier] = field(default_factory=list)
    lack_of_fit: list[LackOfFit] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class FlowResult:
    """The flow part.

    Attributes
    ----------
    law, verdict : FlowLaw or None, LawVerdict
        The law that the estimates stand under, None where they hold under either.
    points : tuple or None
        The characteristic [opening, share of Kv], empty where it is linear, None where it is not told.
    flow_scatter, opening_scatter, drop_scatter_pa : float [1], [1], [Pa]
        Standard deviations that the rows show: of mass flow as a share of the reading, of opening as a share of
        rated stroke (0 where residuals do not widen towards small openings), of the pressure drop.
    over_stated : float
        Those over what the instruments are stated to be good for; NaN where nothing is stated.
    rows, names, correlation, picture
        Rows used, parameters and their correlation, rows beside the fit.
    """

    law: FlowLaw | None
    verdict: LawVerdict
    points: tuple[tuple[float, float], ...] | None
    flow_scatter: float
    opening_scatter: float
    drop_scatter_pa: float
    over_stated: float
    rows: int
    names: tuple[str, ...]
    correlation: Floats
    picture: FlowPicture


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


@dataclass(frozen=True, slots=True)
class InferredOpening:
    """An opening inferred from flow [1], by line, with its standard error."""

    line: int
    opening: float
    standard_error: float


@dataclass(frozen=True, slots=True)
class BalanceResult:
    """The balance part.

    Drop that the setting stands for [Pa] by charge, measured curves, scatter [K], rows, openings inferred from flow.
    """

    reference_drop_pa: dict[str, float]
    curves: dict[str, MeasuredCharge]
    scatter_k: float
    rows: int
    names: tuple[str, ...]
    correlation: Floats
    inferred: tuple[InferredOpening, ...]
    picture: BalancePicture


@dataclass(frozen=True, slots=True)
class BenchResult:
    """All that a bench file says of a family."""

    family: str
    confidence: float
    flow: FlowResult | None
    balance: BalanceResult | None
    findings: Findings

    def estimate(self, key: str, of: str = "") -> Estimate | None:
        """One estimate, None where it is not told."""
        return next((e for e in self.findings.estimates if (e.key, e.of) == (key, of)), None)
