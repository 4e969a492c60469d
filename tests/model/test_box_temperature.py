"""A box temperature in place of SST: the difference, the TD that counts, and which application a box is answered in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tablegen.errors import RequestError
from tablegen.model.box_temperature import AskedSst, case_sst, sst_of_box
from tablegen.model.inputs import Catalogue
from tablegen.physics.system import SuctionResponse
from tests.demo import demo_catalogue


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def fahrenheit(kelvin: float) -> float:
    return kelvin * 1.8 - 459.67


def with_differences(**degf: float | None) -> Catalogue:
    """The demo with these applications alone, each with a TD of its own [°F]."""
    demo = demo_catalogue()
    own = {}
    for name, td in degf.items():
        td_k = None if td is None else td / 1.8
        systems = {of: replace(one, box_difference_k=td_k) for of, one in demo.applications[name].systems.items()}
        own[name] = replace(demo.applications[name], coil_temperature_difference_k=td_k, systems=systems)
    combinations = tuple(c for c in demo.combinations if c.application in own)
    return replace(demo, applications=own, combinations=combinations)


def balanced(catalogue: Catalogue, name: str, difference_degf: float) -> Catalogue:
    own = catalogue.applications[name]
    systems = {
        of: replace(system, response=SuctionResponse.BALANCED, box_difference_k=difference_degf / 1.8)
        for of, system in own.systems.items()
    }
    return replace(catalogue, applications={**catalogue.applications, name: replace(own, systems=systems)})


# Common practice for walk-ins with medium-profile coils is a TD of 10 °F: a 35 °F cooler then evaporates at 25 °F and a
# -10 °F freezer at -20 °F. The third and fourth, a beer room and a cut flower box, at TDs of other humidity.
@pytest.mark.parametrize(("box", "td", "sst"), [(35, 10, 25), (-10, 10, -20), (36, 12, 24), (34, 8, 26)])
def test_sst_is_the_box_temperature_minus_the_difference(box, td, sst):
    assert fahrenheit(sst_of_box(kelvin(box), td / 1.8)) == pytest.approx(sst, abs=1e-9)


def test_arrays_give_what_floats_give_and_pass_on_what_is_missing():
    box_k, td_k = np.array([kelvin(35), kelvin(-10), np.nan]), np.array([10 / 1.8, np.nan, 10 / 1.8])
    found = sst_of_box(box_k, td_k)
    assert found[0] == sst_of_box(kelvin(35), 10 / 1.8) and np.isnan(found[1:]).all()


def test_the_case_s_difference_comes_before_the_application_s():
    catalogue = with_differences(walk_in_medium=10.0)
    by_default = case_sst(catalogue, "R404A", AskedSst(box_k=kelvin(35)), "walk_in_medium")
    given = case_sst(catalogue, "R404A", AskedSst(box_k=kelvin(35), coil_difference_k=15 / 1.8), "walk_in_medium")
    assert (fahrenheit(by_default.sst_k), fahrenheit(given.sst_k)) == pytest.approx((25.0, 20.0))
    assert by_default.box is not None and by_default.box.is_asked and by_default.box.is_default
    assert given.box is not None and given.box.is_asked and not given.box.is_default
    from_sst = case_sst(catalogue, "R404A", AskedSst(sst_k=kelvin(25)), "walk_in_medium")
    assert from_sst.sst_k == kelvin(25) and from_sst.box is not None and not from_sst.box.is_asked
    assert fahrenheit(from_sst.box.box_k) == pytest.approx(35.0)


def test_without_a_difference_an_sst_has_no_box_and_a_box_no_sst():
    catalogue = with_differences(walk_in_medium=None)
    assert case_sst(catalogue, "R404A", AskedSst(sst_k=kelvin(25)), "walk_in_medium").box is None
    with pytest.raises(RequestError, match=r"^box: walk_in_medium states no coil_temperature_difference"):
        case_sst(catalogue, "R404A", AskedSst(box_k=kelvin(35)), "walk_in_medium")
    asked = AskedSst(box_k=kelvin(35), coil_difference_k=10 / 1.8)
    assert fahrenheit(case_sst(catalogue, "R404A", asked, "walk_in_medium").sst_k) == pytest.approx(25.0)


# The cooler covers 10 to 40 °F, the freezer -40 to 0 °F.
@pytest.mark.parametrize(
    ("box", "cooler", "freezer", "application", "sst"),
    [
        (35, 10, 10, "walk_in_medium", 25),
        (-10, 10, 10, "walk_in_low", -20),
        # At one TD for all an SST of 5 °F falls between the two; at 20 °F the freezer covers it.
        (15, 10, 20, "walk_in_low", -5),
        (15, 4, 10, "walk_in_medium", 11),
        # The cooler states none, and does not cover what the freezer's gives.
        (15, None, 20, "walk_in_low", -5),
        (50, None, None, "", 0),
    ],
)
def test_each_application_has_the_sst_of_its_own_difference(box, cooler, freezer, application, sst):
    catalogue = with_differences(walk_in_medium=cooler, walk_in_low=freezer)
    if not application:
        with pytest.raises(RequestError, match="walk_in_medium and walk_in_low state no coil_temperature_difference"):
            case_sst(catalogue, "R404A", AskedSst(box_k=kelvin(box)), None)
        return
    found = case_sst(catalogue, "R404A", AskedSst(box_k=kelvin(box)), None)
    assert found.application == application
    assert fahrenheit(found.sst_k) == pytest.approx(sst)


@pytest.mark.parametrize(
    ("box", "differences", "message"),
    [
        # 11 °F in the cooler and -5 °F in the freezer: both cover their own.
        (15, {"walk_in_medium": 4.0, "walk_in_low": 20.0}, "R404A: walk_in_medium, walk_in_low; name one"),
        # The second states no TD but covers the SST of the first, so that it may be meant.
        (30, {"walk_in_medium": 10.0, "walk_in_medium_fixed": None}, "R404A: walk_in_medium, walk_in_medium_fixed;"),
        (
            15,
            {"walk_in_medium": 10.0, "walk_in_low": None},
            r"in walk_in_medium that box temperature gives an SST of 5\.0 degF \(-15\.0 degC\), outside 10 to 40 degF .*; walk_in_low "
            r"states no coil_temperature_difference",
        ),
    ],
)
def test_several_or_none_are_listed(box, differences, message):
    with pytest.raises(RequestError, match=message):
        case_sst(with_differences(**differences), "R404A", AskedSst(box_k=kelvin(box)), None)


def test_with_a_difference_the_application_is_the_one_that_covers_the_sst():
    catalogue = with_differences(walk_in_medium=10.0, walk_in_low=None)
    asked = AskedSst(box_k=kelvin(15), coil_difference_k=20 / 1.8)
    assert case_sst(catalogue, "R404A", asked, None).application == "walk_in_low"


def test_the_balance_of_evaporator_and_compressor_has_one_difference():
    catalogue = balanced(with_differences(walk_in_medium=None), "walk_in_medium", 10.0)
    found = case_sst(catalogue, "R404A", AskedSst(box_k=kelvin(35)), "walk_in_medium")
    assert fahrenheit(found.sst_k) == pytest.approx(25.0)
    same, other = (AskedSst(box_k=kelvin(35), coil_difference_k=td / 1.8) for td in (10, 12))
    assert case_sst(catalogue, "R404A", same, "walk_in_medium").sst_k == pytest.approx(found.sst_k)
    with pytest.raises(RequestError, match=r"12\.0 °F \(6\.7 K\) does not match .* a TD of 10\.0 °F"):
        case_sst(catalogue, "R404A", other, "walk_in_medium")
