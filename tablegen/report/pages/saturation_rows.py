"""Pressure-temperature tables in print: units of the reader's choice, as cells, text and CSV."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from tablegen.report.rounding import decimals
from tablegen.units import Unit, unit_named

# Decimals printed in each unit: well below the uncertainty, and enough at the cold end.
_PLACES = {
    "psi_gauge": 1,
    "psi_absolute": 1,
    "bar_gauge": 2,
    "bar_absolute": 3,
    "kPa_gauge": 1,
    "kPa_absolute": 1,
    "MPa_gauge": 4,
    "MPa_absolute": 4,
    "kJ/kg": 1,
    "J/kg": 0,
    "Btu/lb": 2,
}
_DENSITY_PLACES = {"kg/m3": (1, 2), "lb/ft3": (2, 3)}
_DIFFERENCE = {"degF": "delta_degF", "degC": "K", "K": "K"}
DEFAULT_UNITS = {
    "SI": {"temperature": "degC", "pressure": "bar_gauge", "density": "kg/m3", "enthalpy": "kJ/kg"},
    "IP": {"temperature": "degF", "pressure": "psi_gauge", "density": "lb/ft3", "enthalpy": "Btu/lb"},
}
BLANK = "–"


@dataclass(frozen=True, slots=True)
class StateUnits:
    """The units of a table, spelt as in a config; a gauge pressure is read at the site pressure [Pa].

    Raises
    ------
    BadValue
        If a unit is not one of its kind.
    """

    temperature: str
    pressure: str
    density: str
    enthalpy: str
    site_pressure_pa: float

    def __post_init__(self) -> None:
        for kind in ("temperature", "pressure", "density", "enthalpy"):
            unit_named(kind, getattr(self, kind))

    @property
    def difference(self) -> str:
        """The unit of the glide."""
        return _DIFFERENCE.get(self.temperature, "K")

    @property
    def is_gauge(self) -> bool:
        """Whether pressures are gauge readings."""
        return self.pressure.endswith("_gauge")

    def label(self, kind: str) -> str:
        """A unit as it is printed."""
        spelling = self.difference if kind == "temperature difference" else getattr(self, kind)
        return unit_named(kind, spelling).label

    def columns(self) -> list[tuple[str, Unit, str, float, int]]:
        """Data-set column, unit, CSV name, what is taken off first [SI], decimals; in printed order."""
        pressure, density = unit_named("pressure", self.pressure), unit_named("density", self.density)
        temperature = unit_named("temperature", self.temperature)
        zero = self.site_pressure_pa if self.is_gauge else 0.0
        places = _PLACES.get(self.pressure, _places(pressure, 1000.0))
        few = _places(density, 0.1)
        liquid, vapour = _DENSITY_PLACES.get(self.density, (few, few + 1))
        per, heat = self.density.replace("/", "_per_"), self.enthalpy.replace("/", "_per_")
        enthalpy = unit_named("enthalpy", self.enthalpy)
        difference = unit_named("temperature difference", self.difference)
        return [
            ("temperature_k", temperature, f"temperature_{self.temperature}", 0.0, -1),
            ("bubble_pressure_pa", pressure, f"bubble_pressure_{self.pressure}", zero, places),
            ("dew_pressure_pa", pressure, f"dew_pressure_{self.pressure}", zero, places),
            ("glide_k", difference, f"glide_{self.difference}", 0.0, 1),
            ("liquid_density_kg_m3", density, f"liquid_density_{per}", 0.0, liquid),
            ("vapour_density_kg_m3", density, f"vapour_density_{per}", 0.0, vapour),
            (
                "latent_heat_j_kg",
                enthalpy,
                f"latent_heat_{heat}",
                0.0,
                _PLACES.get(self.enthalpy, _places(enthalpy, 100.0)),
            ),
        ]


def _places(unit: Unit, step_si: float) -> int:
    """Decimals that show a step."""
    return max(0, math.ceil(math.log10(unit.scale / step_si)))


def table_cells(frame: pd.DataFrame, units: StateUnits, is_blend: bool) -> tuple[list[str], list[list[str]]]:
    """Header and rows as printed; a single component has one saturation pressure and no glide."""
    pressure, density = units.label("pressure"), units.label("density")
    names = {
        "temperature_k": f"Temperature, {units.label('temperature')}",
        "bubble_pressure_pa": f"Bubble pressure, {pressure}" if is_blend else f"Saturation pressure, {pressure}",
        "dew_pressure_pa": f"Dew pressure, {pressure}",
        "glide_k": f"Glide, {units.label('temperature difference')}",
        "liquid_density_kg_m3": f"Liquid density, {density}",
        "vapour_density_kg_m3": f"Vapor density, {density}",
        "latent_heat_j_kg": f"Latent heat, {units.label('enthalpy')}",
    }
    chosen = [c for c in units.columns() if is_blend or c[0] not in ("dew_pressure_pa", "glide_k")]
    columns = [_column(frame[name], unit, zero, places) for name, unit, _, zero, places in chosen]
    return [names[name] for name, *_ in chosen], [list(row) for row in zip(*columns, strict=True)]


def _column(values: pd.Series, unit: Unit, zero: float, places: int) -> list[str]:
    figures = [unit.of(float(v) - zero) for v in values]
    if places < 0:
        is_whole = all(abs(f - round(f)) < 1e-6 for f in figures)
        places = 0 if is_whole else 1
    return [BLANK if math.isnan(f) else decimals(f, places) for f in figures]


def as_text(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table in columns for a terminal, flush right, its header on two lines."""
    top, bottom = zip(*((*h.rsplit(", ", 1), "")[:2] for h in header), strict=True)
    lines = [list(top), list(bottom), *map(list, rows)]
    widths = [max(len(line[j]) for line in lines) for j in range(len(header))]
    return "\n".join("  ".join(c.rjust(w) for c, w in zip(line, widths, strict=True)).rstrip() for line in lines)


def as_csv(frames: Sequence[pd.DataFrame], units: StateUnits) -> str:
    """All tables as one CSV: a refrigerant column, seven figures, the unit in each column's name."""
    frame = pd.concat(frames, ignore_index=True)
    columns = {"refrigerant": frame["refrigerant"]}
    for name, unit, header, zero, _ in units.columns():
        columns[header] = pd.Series([unit.of(float(v) - zero) for v in frame[name]])
    return pd.DataFrame(columns).to_csv(index=False, float_format="%.7g", lineterminator="\n")
