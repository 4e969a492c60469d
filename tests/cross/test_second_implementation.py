"""The rows of the verification table that teqp computed: run again here, so that they are what they say."""

from __future__ import annotations

import numpy as np
import pytest
import teqp

from tablegen.verification.check import CheckKind
from tablegen.verification.published_values import PublishedValue, published_values
from tests.cross.test_teqp import CONVERGED, model
from tests.registry import refrigerant

ROWS = [v for v in published_values() if v.source.startswith("teqp ")]


def saturated_pa(name: str, side: str, temperature_k: float) -> float:
    """Saturation pressure by teqp, from Wilson's K-values and densities 1 % off the package's."""
    there, at = model(name), np.array([temperature_k])
    bubble, dew = refrigerant(name).bubble(at), refrigerant(name).dew(at)
    main, other = (bubble, dew) if side == "p_bubble" else (dew, bubble)
    near = float(main.pressure_pa[0])
    k = there.critical_pa / near * np.exp(5.373 * (1.0 + there.acentric) * (1.0 - there.critical_k / temperature_k))
    incipient = there.mole_fractions * (k if side == "p_bubble" else 1.0 / k)
    rho, total = (1.01 * float(phase.density_kg_m3[0]) / there.molar_mass for phase in (main, other))
    found = there.saturated(temperature_k, rho, total * incipient / incipient.sum())
    assert found.residual < CONVERGED
    return found.pressure


def liquid_kg_m3(name: str, pressure_pa: float, temperature_k: float) -> float:
    there = model(name)
    near = float(refrigerant(name).liquid(np.array([temperature_k]), np.array([pressure_pa])).density_kg_m3[0])
    return there.molar_density(temperature_k, pressure_pa, 1.01 * near / there.molar_mass) * there.molar_mass


@pytest.mark.parametrize("value", ROWS, ids=lambda v: f"{v.refrigerant} {v.code} {v.condition}")
def test_row_is_what_teqp_gives(value: PublishedValue) -> None:
    if value.code == "rho_subcooled":
        found = liquid_kg_m3(value.refrigerant, *value.at)
    else:
        found = saturated_pa(value.refrigerant, value.code, *value.at)
    # Half the last digit, and as much for figures that end half-way.
    assert found == pytest.approx(value.si, rel=0.0, abs=0.51 * value.last_digit)


def test_rows_name_the_version() -> None:
    assert len(ROWS) == 13
    assert {v.kind for v in ROWS} == {CheckKind.SECOND}
    assert all(f"teqp {teqp.__version__} " in v.source for v in ROWS)
