"""Every refrigerant of the registry, over the whole range in which valves work: no state is missing or out of line."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from tablegen.config import packaged_configs
from tablegen.physics.arrays import Floats
from tests.registry import refrigerant, registry

# From the files, not the registry: its store takes its folder when it is made, and tests are collected before the
# folder of the run is set.
NAMES = sorted(path.stem for path in (packaged_configs() / "refrigerants").glob("*.yaml"))
# -60 and 150 degF, what the sheets and applications reach.
COLDEST_K, WARMEST_K = 222.04, 338.7
CRITICAL_MARGIN_K = 5.0
STEP_K = 1.0
# A difference of more than this multiple of the median of its neighbors, five on either side, is a spoiled state.
# The largest honest one is 1.4 for pressures and densities and 2.0 for the enthalpies, 6 K below a critical point.
JUMP = 2.5
REACH = 5
# The vapor enthalpy is flat at its peak, where the differences around are themselves close to nothing: a jump
# must also exceed this share of the local latent heat.  The largest honest difference is 0.034 of it per kelvin.
ENTHALPY_FLOOR = 0.002
# Pressures agree within this where a blend is an azeotrope: what the tables leave of an equation of state.
SAME_PRESSURE = 1e-7
COLUMNS = (
    "bubble pressure",
    "dew pressure",
    "liquid density",
    "vapor density",
    "liquid enthalpy",
    "vapor enthalpy",
)


def columns(name: str) -> tuple[Floats, dict[str, Floats]]:
    """Temperatures and saturated properties of a refrigerant."""
    fluid = refrigerant(name)
    at = np.arange(max(COLDEST_K, fluid.coldest_k), fluid.critical_temperature_k - CRITICAL_MARGIN_K, STEP_K)
    liquid, vapor = fluid.bubble(at), fluid.dew(at)
    pairs = zip(liquid[1:], vapor[1:], strict=True)
    return at, dict(zip(COLUMNS, itertools.chain.from_iterable(pairs), strict=True))


def jumps(column: Floats, floor: Floats | float = 0.0) -> list[int]:
    """Points where a first difference is out of line with its neighbors, or is no number."""
    steps = np.abs(np.diff(column))
    minimum = np.broadcast_to(floor, steps.shape)
    found = []
    for i, step in enumerate(steps):
        around = np.concatenate([steps[max(0, i - REACH) : i], steps[i + 1 : i + 1 + REACH]])
        # Written so that NaN counts as a jump.
        if not step <= JUMP * np.nanmedian(around) + minimum[i]:
            found.append(i)
    return found


def enthalpy_floor(found: dict[str, Floats]) -> Floats:
    return ENTHALPY_FLOOR * (found["vapor enthalpy"] - found["liquid enthalpy"])[1:]


@pytest.mark.parametrize("name", NAMES)
def test_saturation_rises_and_falls_as_it_must(name: str) -> None:
    at, found = columns(name)
    assert len(at) > 70
    for column in ("bubble pressure", "dew pressure", "vapor density", "liquid enthalpy"):
        assert (np.diff(found[column]) > 0.0).all(), column
    assert (np.diff(found["liquid density"]) < 0.0).all()
    rises = np.diff(found["vapor enthalpy"]) > 0.0
    # One peak at most: once it falls it never rises again.
    assert not (rises[1:] & ~rises[:-1]).any()
    assert (found["vapor enthalpy"] > found["liquid enthalpy"]).all()
    assert (found["liquid density"] > found["vapor density"]).all()
    if registry().records[name].is_blend:
        assert (found["bubble pressure"] >= found["dew pressure"] * (1.0 - SAME_PRESSURE)).all()
    else:
        np.testing.assert_allclose(found["bubble pressure"], found["dew pressure"], rtol=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_no_state_is_out_of_line_with_its_neighbors(name: str) -> None:
    _, found = columns(name)
    floor = enthalpy_floor(found)
    for column, values in found.items():
        assert jumps(values, floor if "enthalpy" in column else 0.0) == [], column


@pytest.mark.parametrize("column", COLUMNS)
@pytest.mark.parametrize("place", [0, 1, 40, 70, -2, -1])
def test_one_spoiled_state_is_found(column: str, place: int) -> None:
    """The check has teeth: a state off by a quarter (of the latent heat, for enthalpy) shows, wherever it is."""
    _, found = columns("R407C")
    floor = enthalpy_floor(found) if "enthalpy" in column else 0.0
    spoiled = found[column].copy()
    latent = found["vapor enthalpy"] - found["liquid enthalpy"]
    spoiled[place] += 0.25 * latent[place] if "enthalpy" in column else 0.25 * spoiled[place]
    assert jumps(spoiled, floor)
    spoiled[place] = np.nan
    assert jumps(spoiled, floor)


@pytest.mark.parametrize("name", NAMES)
def test_every_state_is_finite_where_sheets_reach(name: str) -> None:
    """From -60 degF to 150 degF, or to 3 K below the critical temperature where that is less."""
    fluid = refrigerant(name)
    assert fluid.coldest_k <= COLDEST_K
    at = np.append(np.arange(COLDEST_K, min(WARMEST_K, fluid.warmest_k), 0.25), min(WARMEST_K, fluid.warmest_k))
    for state in (fluid.bubble(at), fluid.dew(at)):
        assert all(np.isfinite(values).all() for values in state)
    for back, state in ((fluid.bubble_temperature, fluid.bubble(at)), (fluid.dew_temperature, fluid.dew(at))):
        np.testing.assert_allclose(back(state.pressure_pa), at, rtol=0.0, atol=1e-8)


def test_the_registry_is_what_the_folder_contains() -> None:
    assert sorted(registry()) == NAMES
    assert len(NAMES) >= 40


def test_r744_has_no_saturation_above_its_critical_point() -> None:
    fluid = refrigerant("R744")
    above = np.linspace(304.13, 360.0, 50)
    for state in (fluid.bubble(above), fluid.dew(above)):
        assert np.isnan(state.pressure_pa).all()
        assert np.isnan(state.density_kg_m3).all()
        assert np.isnan(state.enthalpy_j_kg).all()
    assert np.isnan(fluid.bubble_temperature(np.array([7.4e6, 9e6]))).all()
    assert fluid.critical_temperature_k == pytest.approx(304.13, abs=0.01)
