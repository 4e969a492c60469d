"""Refrigerant states against published values; each row of refrigerant_values.csv names its source."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from scipy.optimize import brentq

from tablegen.physics.refrigerants import Refrigerant
from tests.registry import refrigerant, registry

NINE = ("R404A", "R507A", "R407A", "R407C", "R407F", "R448A", "R449A", "R134a", "R513A")
ATMOSPHERE_PA = 101325.0
# Exact by definition: the pound of 0.45359237 kg, standard gravity, the inch of 25.4 mm.
PSI_PA = 0.45359237 * 9.80665 / 0.0254**2
SCALES = {
    "MPa": 1e6,
    "kPa": 1e3,
    "bar": 1e5,
    "psia": PSI_PA,
    "kJ/kg": 1e3,
    "kg/m3": 1.0,
    "C": 1.0,
    "F": 5.0 / 9.0,
}
NOT_PUBLISHED = "computed elsewhere, not published"

# IIR reference state: 200 kJ/kg for saturated liquid at 0 degC.
IIR_J_KG = 200e3


class Value(NamedTuple):
    """One row of the CSV."""

    refrigerant: str
    property: str
    condition: str
    value: str
    unit: str
    source: str
    provenance: str

    @property
    def last_digit(self) -> float:
        """One unit of the last printed digit, in SI."""
        decimals = len(self.value.partition(".")[2])
        return 10.0**-decimals * SCALES[self.unit]

    @property
    def si(self) -> float:
        figure = float(self.value)
        if self.unit == "C":
            return figure + 273.15
        if self.unit == "F":
            return (figure + 459.67) * 5.0 / 9.0
        return figure * SCALES[self.unit]


def rows() -> list[Value]:
    with (Path(__file__).parent / "refrigerant_values.csv").open(newline="", encoding="utf-8") as stream:
        return [Value(**row) for row in csv.DictReader(stream)]


VALUES = rows()


def si(text: str) -> float:
    """A condition in SI: absolute temperature or pressure."""
    figure, unit = text.split()
    if unit == "C":
        return float(figure) + 273.15
    if unit == "F":
        return (float(figure) + 459.67) * 5.0 / 9.0
    return float(figure) * SCALES[unit]


def one(value: float) -> np.ndarray:
    return np.array([value])


def mean_temperature_pressure(fluid: Refrigerant, temperature_k: float) -> float:
    """Pressure whose bubble and dew temperatures have this mean [Pa]."""

    def error(pressure: float) -> float:
        both = fluid.bubble_temperature(one(pressure)) + fluid.dew_temperature(one(pressure))
        return float(both[0]) / 2.0 - temperature_k

    bubble = float(fluid.bubble(one(temperature_k)).pressure_pa[0])
    dew = float(fluid.dew(one(temperature_k)).pressure_pa[0])
    return float(brentq(error, 0.99 * dew, 1.01 * bubble, xtol=1e-3))


def computed(value: Value) -> float:
    """What the package gives for a row [SI]."""
    fluid = refrigerant(value.refrigerant)
    parts = value.condition.split("/") if "/" in value.condition else [value.condition]
    at = [si(p) for p in parts] if value.condition != "-" else [np.nan]
    liquid, vapour = fluid.bubble(one(at[0])), fluid.dew(one(at[0]))
    zero = fluid.bubble(one(273.15)).enthalpy_j_kg - IIR_J_KG
    match value.property:
        case "p_critical":
            result = one(fluid.critical_pressure_pa)
        case "p_sat" | "p_bubble":
            result = liquid.pressure_pa
        case "p_dew":
            result = vapour.pressure_pa
        case "p_mid":
            result = (liquid.pressure_pa + vapour.pressure_pa) / 2.0
        case "p_mean":
            result = one(mean_temperature_pressure(fluid, at[0]))
        case "rho_f":
            result = liquid.density_kg_m3
        case "h_fg":
            result = vapour.enthalpy_j_kg - liquid.enthalpy_j_kg
        case "h_f":
            result = liquid.enthalpy_j_kg - zero
        case "h_g":
            result = vapour.enthalpy_j_kg - zero
        case "h_superheated":
            result = fluid.vapour(one(at[1]), one(at[0])).enthalpy_j_kg - zero
        case "effect":
            result = vapour.enthalpy_j_kg - fluid.bubble(one(at[1])).enthalpy_j_kg
        case "effect_mean":
            evaporating, condensing = (one(mean_temperature_pressure(fluid, t)) for t in at)
            result = (
                fluid.dew(fluid.dew_temperature(evaporating)).enthalpy_j_kg
                - fluid.bubble(fluid.bubble_temperature(condensing)).enthalpy_j_kg
            )
        case "t_bubble":
            result = fluid.bubble_temperature(one(ATMOSPHERE_PA))
        case "t_dew":
            result = fluid.dew_temperature(one(ATMOSPHERE_PA))
        case "t_bubble_at_dew":
            result = fluid.bubble_temperature(vapour.pressure_pa)
        case _:
            raise ValueError(f"unknown property {value.property}")
    return float(result[0])


# Second value of each rule: a share of the value that two equations of state may differ by.
SAME_EQUATION = 1e-4
EFFECT = 0.005
CRITICAL = 0.01
BOILING_K = 0.5


def tolerance(value: Value) -> float:
    """Half the last printed digit, and what the equation of state or the source is uncertain by."""
    fluid = refrigerant(value.refrigerant)
    half = 0.5 * value.last_digit
    if value.unit in ("C", "F") and value.property != "t_bubble_at_dew":
        # Boiling points of the designation tables are legacy values: tighter would fail the better model.
        # For the single component the equation of state is the source's own.
        return half + (0.02 if value.refrigerant == "R134a" else BOILING_K)
    if value.property == "t_bubble_at_dew":
        # The stated uncertainty of pressure, over d(ln p)/dT of about 0.025 per kelvin.
        return half + registry().records[value.refrigerant].uncertainty.pressure / 0.025
    if value.property == "p_critical" and len(fluid.definition.components) > 1:
        # A mixture model's critical point depends on the mixing rule: two of them agree to about a percent.
        return half + CRITICAL * value.si
    if value.property == "p_critical":
        # A constant of the equation of state, carried by libraries to different figures: R32 differs by 0.011
        # %.
        return half + 2e-4 * value.si
    if value.property == "h_superheated":
        # The source prints the temperature to 0.1 K; c_p is about 1.04 kJ/(kg K).
        return half + SAME_EQUATION * value.si + 0.05 * 1040.0
    if value.property == "effect_mean":
        # Half a percent of the effect: mixture enthalpies of two models.
        return half + EFFECT * value.si
    if len(fluid.definition.components) == 1:
        # A reference equation of state, the source's own; the handbook rounds the temperature to 0.01 K.
        return half + SAME_EQUATION * value.si
    return half + registry().records[value.refrigerant].uncertainty.pressure * value.si


def label(value: Value) -> str:
    return f"{value.refrigerant} {value.property} {value.condition} {value.value}"


@pytest.mark.parametrize("value", VALUES, ids=label)
def test_agrees_with_its_source(value: Value) -> None:
    assert computed(value) == pytest.approx(value.si, rel=0.0, abs=tolerance(value)), value.source


def test_enough_distinct_published_values() -> None:
    published = [v for v in VALUES if v.provenance != NOT_PUBLISHED and v.refrigerant in NINE]
    distinct = {(v.refrigerant, v.property, v.condition, v.value) for v in published}
    read = {(v.refrigerant, v.property, v.condition) for v in published if v.provenance != "from memory"}
    assert len(distinct) >= 34
    assert len(read) >= 25
    assert {v.refrigerant for v in published} == set(NINE)


def test_every_row_names_source_and_provenance() -> None:
    provenances = {"read in a stored public text", "from memory", NOT_PUBLISHED}
    assert all(v.source.strip() for v in VALUES)
    assert {v.provenance for v in VALUES} <= provenances
    # No value stands twice.
    assert len({v[:4] for v in VALUES}) == len(VALUES)


@pytest.mark.parametrize("name", NINE)
def test_saturation_temperature_inverts_saturation_pressure(name: str) -> None:
    """No published figure: the way back is exact, so that a published pressure checks both directions."""
    fluid = refrigerant(name)
    # The guess behind it is worst at the ends of the range; 215 to 335 K is where valves work.
    at = np.linspace(215.0, 335.0, 60)
    for side, back in ((fluid.bubble, fluid.bubble_temperature), (fluid.dew, fluid.dew_temperature)):
        np.testing.assert_allclose(back(side(at).pressure_pa), at, rtol=0.0, atol=1e-9)
