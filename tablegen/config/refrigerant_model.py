"""Config of one refrigerant: what it is made of, how dangerous it is, how well it is known."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config.fields import AtKey, Model, Name, Pressure, Share, Temperature, Text

# Names as the property library spells them; the components of the blends that the trade uses.
COMPONENTS = (
    "R22", "R32", "R115", "R124", "R125", "R134a", "R142b", "R143a", "R152a", "R218", "R227EA", "R236FA", "R245fa",
    "R290", "R600", "R600a", "R601", "R601a", "R717", "R744", "R1234yf", "R1234ze(E)", "R1233zd(E)", "R1270",
)  # fmt: skip


class RefrigerantModel(Model):
    """One refrigerant; components by mass, nominal composition of ASHRAE 34."""

    refrigerant: Name
    safety_group: Literal["A1", "A2L", "A2", "A3", "B1", "B2L", "B2", "B3"]
    components: Annotated[dict[Name, Share], Field(min_length=1)]
    composition_source: Text
    pressure_uncertainty: Share
    uncertainty_reason: Text
    critical_temperature: Temperature | None = None
    critical_pressure: Pressure | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        total = sum(self.components.values())
        if abs(total - 1.0) > 1e-6:
            text = f"a sum of mass fractions of {100 * total:.6g} percent is not allowed; they must sum to 100 percent"
            raise AtKey("components", text)
        if (self.critical_temperature is None) != (self.critical_pressure is None):
            raise ValueError("critical_temperature and critical_pressure are given together or not at all")
        if self.critical_pressure is not None and self.critical_pressure.is_gauge:
            raise AtKey("critical_pressure", "it must be absolute")
        return self
