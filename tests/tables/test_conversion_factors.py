"""Factors that convert a capacity to the rating point."""

import numpy as np
import pytest

from tablegen.answers.convert import Stated, convert
from tablegen.physics.system import Basis
from tablegen.tables.reference_tables import SUBCOOLING_K
from tests.demo import demo_data
from tests.us_units import DELTA_F, kelvin
from tests.worked import worked_catalogue


@pytest.fixture(scope="module")
def factors():
    frame = demo_data().conversion
    keys = ["application", "refrigerant", "condensing_temperature_k", "subcooling_k"]
    return frame.set_index(keys)["capacity_factor"].sort_index()


def at(factors, condensing_f, subcooling_k, application="walk_in_medium", refrigerant="R404A"):
    own = factors[application, refrigerant]
    condensing = (condensing_f + 459.67) * DELTA_F
    (found,) = (v for (c, k), v in own.items() if abs(c - condensing) < 0.01 and k == subcooling_k)
    return float(found)


def test_the_rating_point_itself_has_factor_one(factors):
    # 105 degF, 9 degF (5 K) of subcooling: where the medium and low applications are rated.
    for application in ("walk_in_medium", "walk_in_low"):
        for refrigerant in set(factors[application].index.get_level_values(0)):
            assert at(factors, 105.0, 5.0, application, refrigerant) == pytest.approx(1.0, abs=1e-9)


def test_a_factor_grows_with_condensing_and_falls_with_subcooling(factors):
    of_racks = 0
    for (application, refrigerant), own in factors.groupby(["application", "refrigerant"]):
        wide = own.droplevel([0, 1]).unstack()
        if demo_data().catalogue.applications[application].systems[refrigerant].keeps_capacity:
            # A rack with constant SST: the evaporator keeps its capacity, whatever the receiver does.
            assert (wide.to_numpy() == 1.0).all()
            of_racks += 1
            continue
        assert (np.diff(wide.to_numpy(), axis=0) > 0.0).all()
        assert (np.diff(wide.to_numpy(), axis=1) < 0.0).all()
        assert list(wide.columns) == list(SUBCOOLING_K)
    assert 0 < of_racks < len(factors.groupby(["application", "refrigerant"]))


@pytest.mark.parametrize(("refrigerant", "most"), [("R134a", 1.09), ("R404A", 1.13)])
def test_ten_degrees_of_condensing_cost_what_the_trade_says(factors, refrigerant, most):
    # common practice: 5 to 9 % of capacity for 10 degF where the liquid follows the condensing temperature; a
    # medium-temperature clearance machine on R134a and R404A, about 105 degF.
    worked = [
        convert(
            worked_catalogue(),
            refrigerant,
            "walk_in_medium",
            kelvin(24.0),
            Stated(sst_k=kelvin(24.0), condensing_k=kelvin(degf), basis=Basis.BUBBLE, subcooling_k=5.0),
        ).factor
        for degf in (100.0, 110.0)
    ]
    assert 1.05 < worked[1] / worked[0] < most
    # The compressor maps of the demo pump less in summer than that machine, by a few percent for 10 degF.
    lost = at(factors, 110.0, 5.0, refrigerant=refrigerant) / at(factors, 100.0, 5.0, refrigerant=refrigerant)
    assert 1.0 < lost / (worked[1] / worked[0]) < 1.05


def test_a_factor_is_the_inverse_of_the_capacity_ratio_of_the_states(factors):
    # The high head of the demo: 115 degF, 6 degF of subcooling at the condenser; the ratio of the states must lie
    # between the factors of no subcooling and of 9 degF.
    states = demo_data().states
    rows = states[(states["application"] == "walk_in_medium") & (states["condition"] == "high_head")]
    for refrigerant, own in rows.groupby("refrigerant"):
        ratio = float(own.loc[(own["sst_k"] - (24.0 + 459.67) * DELTA_F).abs() < 1e-6, "capacity_ratio"].iloc[0])
        low, high = (at(factors, 115.0, s, refrigerant=refrigerant) for s in (5.0, 0.0))
        assert low < 1.0 / ratio < high
