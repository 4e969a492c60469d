"""One check: a published value, ours for the same condition, and how far apart the two may be."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from tablegen.unit_table import Unit
from tablegen.units import unit_named
from tablegen.wording import verification as wording


class CheckKind(StrEnum):
    """What a check compares with; only `PUBLISHED` counts as verification."""

    PUBLISHED = "published"
    RULE_OF_THUMB = "rule_of_thumb"
    SECOND = "second_implementation"
    SELF = "self_check"


class Provenance(StrEnum):
    """Whether a figure was checked against its source; `NO_SOURCE` is in no other document."""

    CHECKED = "checked"
    NOT_CHECKED = "not_checked"
    NO_SOURCE = "no_source"


class Verdict(StrEnum):
    """Result of a check; `EXPLAINED` is outside its band for a stated reason that covers such a deviation."""

    PASSES = "passes"
    EXPLAINED = "outside_explained"
    FAILS = "fails"


@dataclass(frozen=True, slots=True)
class SourceUnit:
    """A unit that a source prints in.

    `text` names it beside a value, `difference` beside a deviation, which is never a temperature.
    """

    text: str
    unit: Unit
    difference: str

    @property
    def scale(self) -> float:
        """A difference of one in SI."""
        return self.unit.scale

    def si(self, figure: float) -> float:
        """A figure of the source in SI."""
        return self.unit.to_si(figure)

    def of(self, si: float) -> float:
        """An SI value in this unit."""
        return self.unit.of(si)


# By their names in the data files.  A Kv stays in m3/h, its unit in the physics; a percentage is a share of 1.
_KINDS = {
    "MPa": "pressure difference",
    "kPa": "pressure difference",
    "bar": "pressure difference",
    "kJ/kg": "enthalpy",
    "kg/m3": "density",
    "kg/s": "mass flow",
    "m3/h": "flow coefficient",
    "percent": "share",
}
# Of quantities that nobody writes in a config.
_OTHERS = (Unit(name="m3/kg", scale=1.0), Unit(name="kg/kmol", scale=1e-3), Unit(name="1", scale=1.0))
UNITS = {
    **{text: SourceUnit(text, unit_named(kind, text), text) for text, kind in _KINDS.items()},
    **{unit.name: SourceUnit(unit.name, unit, unit.name) for unit in _OTHERS},
    "psia": SourceUnit("psia", unit_named("pressure", "psia"), "psi"),
    "C": SourceUnit("degC", unit_named("temperature", "degC"), "K"),
    "F": SourceUnit("degF", unit_named("temperature", "degF"), "delta_degF"),
}


def last_digit(figure: str) -> float:
    """One unit of the last printed digit of a figure, in the figure's own unit.

    >>> last_digit("0.770")
    0.001
    """
    return float(10.0 ** -len(figure.partition(".")[2]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A published value beside ours.

    Attributes
    ----------
    kind : CheckKind
    subject : str
        What is checked: "refrigerant states", "flow laws", ...
    refrigerant : str
        Empty for a check of none.
    quantity, condition : str
        What the figure is, and at which state.
    source : str
        Document, table or equation.
    provenance : Provenance
        Whether the figure was checked against the source.
    published_text : str
        The figure as its source prints it, or the lower end of a band.
    unit : SourceUnit
        The unit that it is printed in.
    computed, allowed : float
        Our value, and how far it may be from the published value, or outside the band [SI]; NaN where there is none.
    why_allowed : str
    upper_text : str
        The upper end of a band, inside which every value passes; empty for a figure.
    explanation : str
        Why ours is known to be outside.
    explained : float
        The maximum deviation that the explanation covers [SI].
    """

    kind: CheckKind
    subject: str
    refrigerant: str = ""
    quantity: str
    condition: str
    source: str
    provenance: Provenance
    published_text: str
    unit: SourceUnit
    computed: float
    allowed: float
    why_allowed: str
    upper_text: str = ""
    explanation: str = ""
    explained: float = 0.0

    @property
    def text(self) -> str:
        """The published figure or band as it is printed."""
        if not self.upper_text:
            return self.published_text
        return wording.BAND(low=self.published_text, high=self.upper_text)

    @property
    def published_decimal(self) -> Decimal:
        """The published figure, or the end of a band that ours is nearer to, in its own unit."""
        ends = [Decimal(text) for text in (self.published_text, self.upper_text) if text]
        return min(ends, key=lambda end: abs(self.unit.of(self.computed) - float(end)))

    @property
    def published(self) -> float:
        """The published value, or the nearer end of a band [SI]."""
        return self.unit.si(float(self.published_decimal))

    @property
    def deviation(self) -> float:
        """Our value minus the published one [SI]; for a band, how far ours is outside it."""
        return 0.0 if self.is_in_band else self.computed - self.published

    @property
    def is_in_band(self) -> bool:
        """Whether the source gives a band and our value is inside it."""
        lower, upper = float(self.published_text), float(self.upper_text or "nan")
        return lower <= self.unit.of(self.computed) <= upper

    @property
    def verdict(self) -> Verdict:
        """Whether the deviation is allowed, or else explained; a value that could not be computed fails."""
        if abs(self.deviation) <= self.allowed:
            return Verdict.PASSES
        is_known = bool(self.explanation) and abs(self.deviation) <= self.explained
        return Verdict.EXPLAINED if is_known else Verdict.FAILS

    @property
    def passes(self) -> bool:
        """Whether the deviation is allowed; an explained one is not."""
        return self.verdict is Verdict.PASSES
