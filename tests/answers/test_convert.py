"""Converted capacities against the booklet's factors, by hand from states, there and back, and facts of the trade."""

from __future__ import annotations

import itertools
import json

import numpy as np
import pytest

from tablegen.answers.convert import Stated, convert
from tablegen.cli.main import main
from tablegen.errors import RequestError
from tablegen.physics.system import Basis
from tests.demo import demo_catalogue, demo_data
from tests.registry import refrigerant
from tests.us_units import kelvin
from tests.worked import WORKED, worked_catalogue


def of(name: str, condensing_f: float, subcooling_f: float, application: str = "walk_in_medium", sst_f: float = 24.0):
    """Of the catalogue whose figures stay, with a compressor by its clearance."""
    stated = Stated(
        sst_k=kelvin(sst_f), condensing_k=kelvin(condensing_f), basis=Basis.BUBBLE, subcooling_k=subcooling_f / 1.8
    )
    return convert(worked_catalogue(), name, application, kelvin(sst_f), stated)


@pytest.mark.slow
def test_factors_are_those_of_the_booklet():
    frame = demo_data().conversion
    chosen = frame[frame["application"].isin(["walk_in_medium", "walk_in_low"])].iloc[::7]
    for _, row in chosen.iterrows():
        stated = Stated(
            sst_k=row["sst_k"],
            condensing_k=row["condensing_temperature_k"],
            basis=Basis(row["basis"]),
            subcooling_k=row["subcooling_k"],
        )
        found = convert(demo_catalogue(), row["refrigerant"], row["application"], row["sst_k"], stated)
        # There the line's loss is that of the stated flow, here that of the rated one: microscopic in enthalpy.
        assert found.factor == pytest.approx(row["capacity_factor"], rel=1e-4)
    assert len(chosen) > 50


def test_the_rating_point_itself_is_converted_by_one():
    found = of("R404A", 105.0, 9.0)
    assert found.factor == pytest.approx(1.0, rel=1e-12)
    assert found.min_factor == pytest.approx(1.0) and found.max_factor == pytest.approx(1.0)


def test_by_hand_from_states():
    """R404A, 120 degF bubble, no subcooling, to 105/96 degF at SST 24 degF: eta_v = 1 + C - C r^(1/n), C 4 %, n 1.1."""
    fluid = refrigerant("R404A")
    one = lambda degf: np.array([kelvin(degf)])  # noqa: E731
    suction = float(fluid.dew(one(22.0)).pressure_pa[0])
    heads = [float(fluid.bubble(one(t)).pressure_pa[0]) for t in (105.0, 120.0)]
    eta = [1.04 - 0.04 * (head / suction) ** (1.0 / 1.1) for head in heads]
    gas = float(fluid.vapor(one(24.0 + 6.5), fluid.dew(one(24.0)).pressure_pa).enthalpy_j_kg[0])
    liquid = [
        float(fluid.liquid(one(96.0), np.array([heads[0]])).enthalpy_j_kg[0]),
        float(fluid.bubble(one(120.0)).enthalpy_j_kg[0]),
    ]
    factor = eta[0] * (gas - liquid[0]) / (eta[1] * (gas - liquid[1]))
    # The line's loss of 5 psi upstream of the valve moves the liquid's enthalpy by some joules.
    assert of("R404A", 120.0, 0.0).factor == pytest.approx(factor, rel=5e-4)


def test_there_and_back_between_any_two_conditions():
    """From 120 to the rating and from the rating to 120 are each other's inverse, also with another suction."""
    catalogue = demo_catalogue()
    stated = Stated(sst_k=kelvin(20.0), condensing_k=kelvin(120.0), basis=Basis.DEW, subcooling_k=3.0)
    there = convert(catalogue, "R448A", "walk_in_medium", kelvin(24.0), stated)
    rating = Stated(sst_k=kelvin(20.0), condensing_k=kelvin(105.0), basis=Basis.BUBBLE, subcooling_k=5.0)
    direct = convert(catalogue, "R448A", "walk_in_medium", kelvin(24.0), rating)
    rest = convert(catalogue, "R448A", "walk_in_medium", kelvin(20.0), stated)
    # 24 <- 20 at the rating, times 20 <- 20 from stated to rating.
    assert there.factor == pytest.approx(direct.factor * rest.factor, rel=1e-9)


def test_less_condensing_and_more_subcooling_are_worth_more_capacity():
    # common practice: 5 to 9 % of capacity for 10 degF of condensing temperature where liquid follows it.
    factors = [of("R134a", t, 0.0).factor for t in (95.0, 105.0, 115.0)]
    assert all(0.05 < later / earlier - 1.0 < 0.09 for earlier, later in itertools.pairwise(factors))
    assert of("R134a", 105.0, 9.0).factor < of("R134a", 105.0, 0.0).factor
    found = of("R134a", 125.0, 0.0)
    assert found.min_factor < found.factor < found.max_factor
    assert found.factor == pytest.approx(found.flow_ratio * found.effect_ratio)


@pytest.mark.parametrize(
    ("name", "stated", "message"),
    [
        ("R44", Stated(sst_k=270.0, condensing_k=310.0, basis=Basis.BUBBLE), "a refrigerant must be one of"),
        (
            "R404A",
            Stated(sst_k=270.0, condensing_k=310.0, basis=Basis.BUBBLE, liquid_k=320.0),
            "would be above the bubble point at that head pressure",
        ),
        ("R404A", Stated(sst_k=270.0, condensing_k=360.0, basis=Basis.BUBBLE), "do not cover both conditions"),
    ],
)
def test_what_cannot_be_converted_is_reported(name, stated, message):
    with pytest.raises(RequestError, match=message):
        convert(demo_catalogue(), name, "walk_in_medium", kelvin(24.0), stated)


ASKED = [
    "convert",
    "R448A",
    "--application",
    "walk_in_medium",
    "--capacity",
    "20 kBtu/h",
    "--condensing",
    "120 degF",
    "--basis",
    "dew",
    "--subcooling",
    "5 delta_degF",
    "--sst",
    "24 degF",
    "--catalogue",
    str(WORKED),
]


def test_the_command_goes_there_and_back(capsys):
    assert main(ASKED) == 0
    out = capsys.readouterr().out
    assert "20.0 kBtu/h at the stated condition is 21.7 kBtu/h at the rating point." in out
    assert "(assumption for reciprocating compressors)" in out and "not for the selection of real equipment" in out
    assert main([*ASKED, "--json"]) == 0
    whole = json.loads(capsys.readouterr().out)
    there = whole["facts"]
    assert there["factor"] == pytest.approx(there["flow_ratio"] * there["effect_ratio"])
    assert there["min_answer_w"] < there["answer_w"] < there["max_answer_w"]
    assert [row["capacity_w"] for row in whole["tables"]["conditions"]] == [there["capacity_w"], there["answer_w"]]
    assert main([*ASKED, "--json", "--back"]) == 0
    back = json.loads(capsys.readouterr().out)["facts"]
    assert there["answer_w"] * back["answer_w"] == pytest.approx(there["capacity_w"] ** 2)


def test_a_word_without_basis_is_refused(capsys):
    assert main([word for word in ASKED if word not in ("--basis", "dew")]) == 2
    assert capsys.readouterr().err.startswith("missing: --basis; ")
