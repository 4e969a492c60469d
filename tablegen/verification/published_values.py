"""Published values of refrigerants, as the package's data file has them, and what the package computes for each.

Two properties, `p_sat_of_equation` and `effect_of_equation`, are nearer to the critical point than property tables go.
The tests compare them with the equation of state itself; here they are left out, and no table of checks shows them.

Molar masses follow from chemical formulas and atomic weights alone.  It is the one figure of a designation table that
somebody else computed from the nominal composition: a share that is one percent off moves it by several tenths of the
last printed digit and more.

References
----------
IUPAC, "Standard atomic weights" (abridged, five digits; not checked against the source).
"""

from __future__ import annotations

import csv
import functools
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import TypeAlias

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.definition import RefrigerantDefinition
from tablegen.physics.refrigerants import Refrigerant
from tablegen.verification.check import UNITS, CheckKind, Provenance, SourceUnit, last_digit
from tablegen.wording import verification as wording

FILE = Path(__file__).resolve().parent / "published" / "refrigerant_values.csv"
OF_EQUATION = ("p_sat_of_equation", "effect_of_equation")
# IIR reference state: 200 kJ/kg for saturated liquid at 0 degC.
_IIR_K, _IIR_J_KG = 273.15, 200e3


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedValue:
    """A row of refrigerant_values.csv: figures as printed, in the unit of the source; `code` names the property."""

    refrigerant: str
    code: str
    condition: str
    value: str
    unit: str
    source: str
    kind: CheckKind
    provenance: Provenance

    @property
    def source_unit(self) -> SourceUnit:
        """The unit with its conversion to SI."""
        return UNITS[self.unit]

    @property
    def si(self) -> float:
        """The value in SI."""
        return self.source_unit.si(float(self.value))

    @property
    def last_digit(self) -> float:
        """One unit of the last printed digit [SI]."""
        return last_digit(self.value) * self.source_unit.scale

    @property
    def at(self) -> tuple[float, ...]:
        """The temperatures and pressures of the condition [SI], in the order of the source."""
        return tuple(UNITS[unit].si(float(figure)) for figure, unit in _parts(self.condition))

    @property
    def condition_text(self) -> str:
        """The condition with the project's spelling of units."""
        parts = [f"{figure} {UNITS[unit].text}" for figure, unit in _parts(self.condition)]
        return ", ".join(parts) or (
            wording.NOMINAL_COMPOSITION() if self.code == "molar_mass" else wording.CRITICAL_POINT()
        )


@functools.cache
def published_values() -> tuple[PublishedValue, ...]:
    """Every row of refrigerant_values.csv."""
    with FILE.open(newline="", encoding="utf-8") as stream:
        return tuple(
            PublishedValue(
                refrigerant=row["refrigerant"],
                code=row["property"],
                condition=row["condition"],
                value=row["value"],
                unit=row["unit"],
                source=row["source"],
                kind=CheckKind(row["kind"]),
                provenance=Provenance(row["provenance"]),
            )
            for row in csv.DictReader(stream)
        )


def computed(value: PublishedValue, fluid: Refrigerant) -> float:
    """What the package computes for a published value [SI]; NaN outside the property tables.

    Raises
    ------
    KeyError
        If no table can give the property.
    """
    return float(_PROPERTIES[value.code](fluid, value.at)[0])


def _parts(condition: str) -> list[tuple[str, str]]:
    """Figures and units; none where the condition is the critical point or the composition."""
    if condition == "-":
        return []
    return [(figure, unit) for figure, unit in (part.split() for part in condition.split("/"))]


def _one(value: float) -> Floats:
    return np.array([value])


def _bubble_pa(fluid: Refrigerant, at: tuple[float, ...]) -> Floats:
    return fluid.bubble(_one(at[0])).pressure_pa


def _dew_pa(fluid: Refrigerant, at: tuple[float, ...]) -> Floats:
    return fluid.dew(_one(at[0])).pressure_pa


def _zero(fluid: Refrigerant) -> Floats:
    """What to subtract from an enthalpy to count it from the IIR reference state [J/kg]."""
    return fluid.bubble(_one(_IIR_K)).enthalpy_j_kg - _IIR_J_KG


def _effect(fluid: Refrigerant, at: tuple[float, ...]) -> Floats:
    """Saturated vapor at the first temperature minus saturated liquid at the last [J/kg]."""
    return fluid.dew(_one(at[0])).enthalpy_j_kg - fluid.bubble(_one(at[-1])).enthalpy_j_kg


@dataclass(frozen=True, slots=True)
class _Evaporator:
    """Dew temperature [K] of an evaporator, and the enthalpy of the liquid that feeds it [J/kg]."""

    dew_k: Floats
    liquid_j_kg: Floats


def _evaporator(fluid: Refrigerant, at: tuple[float, ...]) -> _Evaporator:
    """The evaporator of Table 8: the mean of its inlet and dew temperature is the first of `at`.

    Its inlet is saturated liquid after throttling from the pressure at which bubble and dew temperature have the
    second of `at` as their mean.  The inlet temperature is taken as linear in quality between bubble and dew, which
    is within 0.12 K for the blends in question.
    """
    condensing = fluid.midpoint_pressure(_one(at[1]))
    liquid = fluid.bubble(fluid.bubble_temperature(condensing)).enthalpy_j_kg
    dew_k = _one(at[0])
    # Each round leaves less than a tenth of the error of the last, because glide hardly changes with pressure.
    for _ in range(15):
        vapor = fluid.dew(dew_k)
        bubble_k = fluid.bubble_temperature(vapor.pressure_pa)
        low = fluid.bubble(bubble_k).enthalpy_j_kg
        inlet_k = bubble_k + (liquid - low) / (vapor.enthalpy_j_kg - low) * (dew_k - bubble_k)
        dew_k = at[0] + 0.5 * (dew_k - inlet_k)
    return _Evaporator(dew_k, liquid)


def _inlet_effect(fluid: Refrigerant, at: tuple[float, ...]) -> Floats:
    """Saturated vapor minus saturated liquid of that cycle [J/kg]."""
    evaporator = _evaporator(fluid, at)
    return fluid.dew(evaporator.dew_k).enthalpy_j_kg - evaporator.liquid_j_kg


# A property [SI] from a refrigerant and the figures of the condition [SI], by its code in the data file.
_Property: TypeAlias = Callable[[Refrigerant, tuple[float, ...]], Floats]
_PROPERTIES: Mapping[str, _Property] = MappingProxyType(
    {
        "p_critical": lambda f, at: _one(f.critical_pressure_pa),
        "p_sat": _bubble_pa,
        "p_bubble": _bubble_pa,
        "p_dew": _dew_pa,
        "p_mean": lambda f, at: f.midpoint_pressure(_one(at[0])),
        "rho_f": lambda f, at: f.bubble(_one(at[0])).density_kg_m3,
        "h_fg": _effect,
        "h_f": lambda f, at: f.bubble(_one(at[0])).enthalpy_j_kg - _zero(f),
        "h_g": lambda f, at: f.dew(_one(at[0])).enthalpy_j_kg - _zero(f),
        "h_superheated": lambda f, at: f.vapor(_one(at[1]), _one(at[0])).enthalpy_j_kg - _zero(f),
        "v_superheated": lambda f, at: 1.0 / f.vapor(_one(at[1]), _one(at[0])).density_kg_m3,
        "h_subcooled": lambda f, at: f.liquid(_one(at[1]), _one(at[0])).enthalpy_j_kg - _zero(f),
        "effect": _effect,
        "p_mean_inlet": lambda f, at: f.dew(_evaporator(f, at).dew_k).pressure_pa,
        "effect_inlet": _inlet_effect,
        "t_bubble": lambda f, at: f.bubble_temperature(_one(at[0])),
        "t_dew": lambda f, at: f.dew_temperature(_one(at[0])),
        "rho_subcooled": lambda f, at: f.liquid(_one(at[1]), _one(at[0])).density_kg_m3,
        "molar_mass": lambda f, at: _one(molar_mass(f.definition)),
    }
)

# Atomic weights [kg/kmol].
_ATOMS = {"C": 12.011, "H": 1.008, "F": 18.998, "Cl": 35.45, "O": 15.999, "N": 14.007}
_FORMULAS = {
    "R22": "CHClF2",
    "R32": "CH2F2",
    "R115": "C2ClF5",
    "R124": "C2HClF4",
    "R125": "C2HF5",
    "R134a": "C2H2F4",
    "R142b": "C2H3ClF2",
    "R143a": "C2H3F3",
    "R152a": "C2H4F2",
    "R227ea": "C3HF7",
    "R290": "C3H8",
    "R600": "C4H10",
    "R600a": "C4H10",
    "R601a": "C5H12",
    "R717": "NH3",
    "R744": "CO2",
    "R1234yf": "C3H2F4",
    "R1234ze(E)": "C3H2F4",
}
_ATOM = re.compile(r"([A-Z][a-z]?)(\d*)")


def molar_mass(definition: RefrigerantDefinition) -> float:
    """Molar mass of a refrigerant from its composition by mass.

    Parameters
    ----------
    definition : RefrigerantDefinition

    Returns
    -------
    float
        [kg/mol]; NaN with a component whose chemical formula is not listed here.
    """
    if not set(definition.components) <= set(_FORMULAS):
        return math.nan
    shares = zip(definition.components, definition.mass_fractions, strict=True)
    return 1e-3 / sum(share / _of_formula(_FORMULAS[name]) for name, share in shares)


def _of_formula(formula: str) -> float:
    """Molar mass [kg/kmol]."""
    return sum(_ATOMS[atom] * int(count or 1) for atom, count in _ATOM.findall(formula))
