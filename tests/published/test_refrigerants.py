"""Refrigerant states against published values; each row of refrigerant_values.csv names its source.

The values, what the package gives for them and the allowances are those of the verification table; what lies nearer
to the critical point than property tables go is put to the equation of state here.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from CoolProp import CoolProp as coolprop

from tablegen.catalogue.verification.allowances import allowance
from tablegen.catalogue.verification.properties import OF_EQUATION
from tablegen.catalogue.verification.published_values import NOT_PUBLISHED, PublishedValue, published_values
from tablegen.catalogue.verification.table import state_check
from tablegen.physics.equation_of_state import _blend, tabulate
from tablegen.physics.property_table import BUBBLE, DEW
from tablegen.physics.refrigerants import Refrigerant
from tests.registry import refrigerant, registry

NINE = ("R404A", "R507A", "R407A", "R407C", "R407F", "R448A", "R449A", "R134a", "R513A")
VALUES = published_values()
FROM_TABLES = [v for v in VALUES if v.code not in OF_EQUATION]


def label(value: PublishedValue) -> str:
    return f"{value.refrigerant} {value.code} {value.condition} {value.value}"


def one(value: float) -> np.ndarray:
    return np.array([value])


def of_equation(name: str, side: int, temperature_k: float) -> tuple[float, float]:
    """Saturation pressure [Pa] and enthalpy [J/kg] behind the table, for what lies too near the critical point."""
    state = _blend(refrigerant(name).definition)
    state.update(coolprop.QT_INPUTS, side, temperature_k)
    return float(state.p()), float(state.hmass())


@pytest.mark.parametrize("value", FROM_TABLES, ids=label)
def test_agrees_with_its_source(value: PublishedValue) -> None:
    check = state_check(value, refrigerant(value.refrigerant), registry().records[value.refrigerant])
    assert check.computed == pytest.approx(value.si, rel=0.0, abs=check.allowed), value.source
    assert check.passes


@pytest.mark.parametrize("value", [v for v in VALUES if v.code in OF_EQUATION], ids=label)
def test_agrees_with_its_source_near_the_critical_point(value: PublishedValue) -> None:
    name, at = value.refrigerant, value.at
    found = {
        "p_sat_of_equation": lambda: of_equation(name, BUBBLE, at[0])[0],
        "effect_of_equation": lambda: of_equation(name, DEW, at[0])[1] - of_equation(name, BUBBLE, at[1])[1],
    }[value.code]()
    allowed = allowance(value, refrigerant(name), registry().records[name])
    assert found == pytest.approx(value.si, rel=0.0, abs=allowed.si), value.source


@pytest.mark.parametrize("value", FROM_TABLES, ids=label)
def test_a_value_beyond_its_allowance_fails(value: PublishedValue) -> None:
    """The tolerance is not so wide that anything passes: a source moved by twice the allowance fails."""
    fluid, record = refrigerant(value.refrigerant), registry().records[value.refrigerant]
    good = state_check(value, fluid, record)
    scale, decimals = value.source_unit.scale, len(value.value.partition(".")[2]) + 2
    away = 2.01 * good.allowed / scale * (-1.0 if good.deviation > 0.0 else 1.0)
    moved = dataclasses.replace(good, published_text=f"{float(value.value) + away:.{decimals}f}")
    assert not moved.passes


def test_every_value_is_asserted() -> None:
    assert len(VALUES) == 165
    assert len(VALUES) - len(FROM_TABLES) == 2
    # Digits as printed: 0.001 MPa in Table 8, of which a transcription had lost trailing zeros.
    assert all(len(v.value.partition(".")[2]) == 3 for v in VALUES if v.unit == "MPa")


def test_enough_distinct_published_values() -> None:
    published = [v for v in VALUES if v.provenance != NOT_PUBLISHED and v.refrigerant in NINE]
    distinct = {(v.refrigerant, v.code, v.condition, v.value) for v in published}
    read = {(v.refrigerant, v.code, v.condition) for v in published if v.provenance != "from memory"}
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


def test_r744_is_not_tabulated_where_its_equation_is_asked_instead() -> None:
    """30 degC is 1 K below its critical point: printed tables go there, ours do not."""
    assert np.isnan(refrigerant("R744").bubble(one(303.15)).pressure_pa).all()


def test_r502_is_nearer_with_its_own_pair_than_with_the_one_shipped() -> None:
    """The published row is REFPROP's; the library's pair as shipped misses it by 1.1 %, ours by less than half."""
    own = refrigerant("R502")
    bare = dataclasses.replace(own.definition, pairs=())
    shipped = Refrigerant(bare, tabulate(bare))
    (value,) = (v for v in VALUES if v.refrigerant == "R502" and v.condition == "30 C")
    misses = [float(fluid.midpoint_pressure(one(303.15))[0]) / value.si - 1.0 for fluid in (own, shipped)]
    assert misses[0] == pytest.approx(0.0, abs=0.005)
    assert misses[1] == pytest.approx(-0.011, abs=0.002)
