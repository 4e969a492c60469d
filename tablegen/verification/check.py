"""One check: a value of a source, ours for the same condition, and how far the two may lie apart."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from tablegen.verification.kinds import Kind, Verdict

# Exact by definition: the pound of 0.45359237 kg, standard gravity, the inch of 25.4 mm,
# the foot of 0.3048 m.
_PSI_PA = 0.45359237 * 9.80665 / 0.0254**2


@dataclass(frozen=True, slots=True)
class SourceUnit:
    """A unit that a source prints in: SI = (figure + `offset`) x `scale`.

    `text` names it beside a value, `difference` beside a deviation, which is never a temperature.
    """

    text: str
    scale: float
    offset: float = 0.0
    difference_text: str = ""

    @property
    def difference(self) -> str:
        """The unit of a deviation."""
        return self.difference_text or self.text

    def si(self, figure: float) -> float:
        """A figure of the source in SI."""
        return (figure + self.offset) * self.scale

    def of(self, si: float) -> float:
        """An SI value in this unit."""
        return si / self.scale - self.offset


# As the data files spell them.  A Kv stays in m3/h, its unit in the physics; a percentage is a share of 1.
UNITS = {
    "MPa": SourceUnit("MPa", 1e6),
    "kPa": SourceUnit("kPa", 1e3),
    "bar": SourceUnit("bar", 1e5),
    "psia": SourceUnit("psia", _PSI_PA, difference_text="psi"),
    "kJ/kg": SourceUnit("kJ/kg", 1e3),
    "kg/m3": SourceUnit("kg/m3", 1.0),
    "m3/kg": SourceUnit("m3/kg", 1.0),
    "kg/s": SourceUnit("kg/s", 1.0),
    "m3/h": SourceUnit("m3/h", 1.0),
    "kg/kmol": SourceUnit("kg/kmol", 1e-3),
    "percent": SourceUnit("percent", 0.01),
    "1": SourceUnit("1", 1.0),
    "C": SourceUnit("degC", 1.0, 273.15, "K"),
    "F": SourceUnit("degF", 5.0 / 9.0, 459.67, "delta_degF"),
}


def last_digit(figure: str) -> float:
    """One unit of the last printed digit of a figure."""
    return float(10.0 ** -len(figure.partition(".")[2]))


@dataclass(frozen=True, slots=True)
class Check:
    """A value of a source beside ours.

    Attributes
    ----------
    kind : Kind
    subject : str
        What is checked: "refrigerant states", "flow laws", ...
    refrigerant : str
        Empty where the check is about none.
    quantity, condition : str
        What the figure is, and at which state it holds.
    source, provenance : str
        Document, publication, table or equation; and whether the figure was checked against it.
    published_text : str
        The figure as its source prints it, or the lower end of a band.
    unit : SourceUnit
        The unit that it is printed in.
    computed, allowed : float
        What the package gives and how far it may lie from the published value, or outside the band [SI]; NaN where
        there is none.
    why_allowed : str
    upper_text : str
        The upper end of a band, within which ours may lie anywhere; empty for a figure.
    explanation, explained : str, float
        Why ours is known to lie outside, and up to which deviation that is the reason [SI].
    """

    kind: Kind
    subject: str
    refrigerant: str
    quantity: str
    condition: str
    source: str
    provenance: str
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
        return f"{self.published_text} to {self.upper_text}" if self.upper_text else self.published_text

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
        """Ours less theirs [SI]; of a band, how far ours lies outside it."""
        return 0.0 if self.is_in_band else self.computed - self.published

    @property
    def is_in_band(self) -> bool:
        """Whether the source has a band and ours lies in it."""
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
