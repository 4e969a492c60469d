"""Config of one refrigerant: what it is made of, how dangerous it is, how well it is known."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config.fields import AtKey, Model, Name, Number, Pressure, Share, Temperature, Text
from tablegen.errors import near

# The single fluids that the property library knows and that the trade uses, alone or in blends.
COMPONENTS = (
    "R12",
    "R13I1",
    "R22",
    "R23",
    "R32",
    "R115",
    "R116",
    "R124",
    "R125",
    "R134a",
    "R142b",
    "R143a",
    "R152a",
    "R161",
    "R170",
    "R218",
    "R227ea",
    "R236ea",
    "R236fa",
    "R245fa",
    "R290",
    "R600",
    "R600a",
    "R601",
    "R601a",
    "R717",
    "R744",
    "R1233zd(E)",
    "R1234yf",
    "R1234ze(E)",
    "R1234ze(Z)",
    "R1243zf",
    "R1270",
    "R1336mzz(E)",
)
# ASHRAE 34, ISO 817.
SafetyGroup = Literal["A1", "A2L", "A2", "A3", "B1", "B2L", "B2", "B3"]
_PARAMETERS = ("beta_t", "gamma_t", "beta_v", "gamma_v")
PairNumber = Annotated[Number, Field(ge=0.5, le=2.0)]


class GwpModel(Model):
    """A global warming potential over 100 years, or the figure that it is below."""

    report: Literal["AR4", "AR5", "AR6"]
    value: Annotated[Number, Field(ge=0.0, le=30000.0)] | None = None
    below: Annotated[Number, Field(gt=0.0, le=30000.0)] | None = None
    source: Text

    @model_validator(mode="after")
    def _one(self) -> Self:
        if (self.value is None) == (self.below is None):
            raise ValueError("exactly one of value and below is required")
        return self


class PairModel(Model):
    """Reducing parameters of a binary pair, in the order of `between`, or the linear rule by name."""

    between: Annotated[list[Name], Field(min_length=2, max_length=2)]
    rule: Literal["linear"] | None = None
    beta_t: PairNumber | None = None
    gamma_t: PairNumber | None = None
    beta_v: PairNumber | None = None
    gamma_v: PairNumber | None = None
    source: Text

    @model_validator(mode="after")
    def _something(self) -> Self:
        if (self.rule is None) == all(getattr(self, name) is None for name in _PARAMETERS):
            raise ValueError(f"either 'rule: linear' or at least one of {', '.join(_PARAMETERS)} is required")
        return self


class UncertaintyModel(Model):
    """How far computed and true values may lie apart: saturation pressure, liquid density, enthalpy differences."""

    pressure: Share
    density: Share
    enthalpy: Share
    reason: Text


class RefrigerantModel(Model):
    """One refrigerant; components by mass, nominal composition of ASHRAE 34."""

    refrigerant: Name
    safety_group: SafetyGroup
    components: Annotated[dict[Name, Share], Field(min_length=1)]
    composition_source: Text
    gwp: Annotated[list[GwpModel], Field(min_length=1)]
    pairs: list[PairModel] = Field(default_factory=list)
    uncertainty: UncertaintyModel
    critical_temperature: Temperature | None = None
    critical_pressure: Pressure | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        total = sum(self.components.values())
        if abs(total - 1.0) > 1e-6:
            text = f"a sum of mass fractions of {100 * total:.6g} percent is not allowed; they must sum to 100 percent"
            raise AtKey("components", text)
        absent = [name for name, share in self.components.items() if share == 0.0]
        if absent:
            raise AtKey("components", absent[0], "a component of 0 percent is not allowed; leave it away")
        reports = [g.report for g in self.gwp]
        if len(set(reports)) < len(reports):
            raise AtKey("gwp", "an assessment report stands twice")
        if (self.critical_temperature is None) != (self.critical_pressure is None):
            raise ValueError("critical_temperature and critical_pressure are given together or not at all")
        if self.critical_pressure is not None and self.critical_pressure.is_gauge:
            raise AtKey("critical_pressure", "it must be absolute")
        self._check_pairs()
        return self

    def _check_pairs(self) -> None:
        seen: set[frozenset[str]] = set()
        for index, pair in enumerate(self.pairs):
            for place, name in enumerate(pair.between):
                if name not in self.components:
                    listed = ", ".join(self.components)
                    text = f"{name!r} is not allowed; it must be a component of the blend: {listed}"
                    raise AtKey("pairs", index, "between", place, text + near(name, self.components))
            key = frozenset(pair.between)
            if len(key) < 2 or key in seen:
                text = "a pair is of two components" if len(key) < 2 else "the pair stands twice, in either order"
                raise AtKey("pairs", index, "between", text)
            seen.add(key)
