"""An existing valve with its spring set otherwise: by hand from a table of states, and by a second calculation."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

import tablegen
from tablegen.answers.retrofit import Fitted, Retrofit, retrofit
from tablegen.cli.main import main
from tablegen.errors import RequestError
from tablegen.model.spring_setting import AskedSetting, set_spring
from tablegen.physics.valve import Stem
from tests.answers.test_retrofit import KELVIN_24F, again, scalar, scalar_states, systems
from tests.independent.law import required_kv_per_watt as scalar_required_kv
from tests.independent.reading import number
from tests.small import small_catalogue
from tests.us_units import W_PER_KBTU
from tests.worked import WORKED, worked_catalogue

K_PER_F = 1.0 / 1.8
MEDIUM = "cross-404-medium"


def turned(size: str, refrigerant: str, kbtu_h: float, **asked: float) -> Retrofit:
    return retrofit(Fitted("alder", size, MEDIUM, AskedSetting(**asked)), *systems(refrigerant, kbtu_h))[0]


def answer(size: str, refrigerant: str) -> Retrofit:
    return retrofit(Fitted("alder", size, MEDIUM), *systems(refrigerant, 11.0))[0]


def element(charge: str = MEDIUM):
    return next(own for own in worked_catalogue().families["alder"].elements if own.name == charge)


def test_a_turn_by_hand() -> None:
    """R134a, 292.80 kPa at 0 degC and 200.60 kPa at -10 degC (ASHRAE Handbook Fundamentals, saturation table).

    Linear in ln p over 1/T, the slope is 2718 K.  With the bulb at 0 degC and 4 degF of static superheat the valve just
    opens at -2.222 degC, 269.85 kPa; 1.4 degF more is -3.000 degC, 262.17 kPa.  So a turn is 7.68 kPa.
    """
    on = worked_catalogue().settings["R134a"]
    found = set_spring(element("cross-134-medium"), on, AskedSetting(turns=1.0), "Alder")
    assert found.turn_pa == pytest.approx(7.68e3, rel=0.01)
    assert found.spring_pa - found.factory_spring_pa == pytest.approx(found.turn_pa)
    # The first turn clockwise adds what the family says; the second the same pressure, which is more superheat.
    assert found.static_superheat_k == pytest.approx(5.4 * K_PER_F, abs=1e-6)
    second = set_spring(element("cross-134-medium"), on, AskedSetting(turns=2.0), "Alder")
    assert second.spring_pa - found.spring_pa == pytest.approx(found.turn_pa)
    assert second.static_superheat_k > 6.8 * K_PER_F + 1e-4


@pytest.mark.parametrize(
    ("refrigerant", "turns"), [("R404A", 2.5), ("R404A", -1.5), ("R448A", 5.0), ("R507A", 1.25), ("R404A", 0.0)]
)
def test_a_turned_valve_is_that_of_a_second_calculation(refrigerant: str, turns: float) -> None:
    """Spring, static superheat, window, and opening and superheat at all three heads, by scalar code."""
    own, charge, fluid = scalar("alder", MEDIUM, refrigerant)
    own_fluid = scalar("alder", MEDIUM, "R404A")[2]
    dew_k = number("32 degF") - number("3 delta_degF")
    a_turn = own_fluid.p_dew(dew_k) - own_fluid.p_dew(dew_k - number("0.8 delta_degF"))
    factory = charge.spring
    charge.spring = factory + turns * a_turn
    try:
        found = turned("63", refrigerant, 12.0, turns=turns)
        static = charge.temperature(fluid.p_dew(KELVIN_24F) + charge.spring) - KELVIN_24F
        assert found.after.static_superheat_k == pytest.approx(static, abs=1e-5)
        config = again().configs.application("walk_in_medium", refrigerant)
        unit = again()._unit_window(own, charge, config, refrigerant, scalar_states(refrigerant))
        valve, kv = found.after.valve, dict(own.sizes)["63"]
        if math.isnan(unit["max_load_w"]):
            assert valve.verdict == "no_window"
        else:
            assert valve.minimum.load_w == pytest.approx(unit["min_load_w"] * kv, rel=1e-6)
            assert valve.maximum.load_w == pytest.approx(unit["max_load_w"] * kv, rel=1e-6)
        states = {state.condition: state for state in scalar_states(refrigerant)}
        for head in found.after.heads:
            state = states[head.condition]
            per_kw = scalar_required_kv(state, own.law.at(state, fluid.p_critical), state.rated_effect)
            opening = per_kw * 12.0 * W_PER_KBTU / 1e3 / kv
            if opening > own.stop:
                assert math.isnan(head.opening)
                continue
            closing = charge.load(state, False) + opening * charge.gradient
            assert head.opening == pytest.approx(opening, rel=1e-6)
            superheat = charge.temperature(closing) - state.evaporating_temperature_k
            assert head.superheat_k == pytest.approx(superheat, abs=1e-5)
    finally:
        charge.spring = factory


def test_turns_and_superheat_are_two_ways_to_say_it() -> None:
    by_turns = turned("63", "R404A", 11.0, turns=2.0)
    static = by_turns.fitted.setting.static_superheat_k
    by_superheat = turned("63", "R404A", 11.0, static_superheat_k=static)
    assert by_superheat.fitted.setting.turns == pytest.approx(2.0, abs=1e-9)
    assert by_superheat.after.valve.minimum.load_w == pytest.approx(by_turns.after.valve.minimum.load_w)
    # Without a turn nothing changes, neither the valve nor what it does.
    still, untouched = turned("63", "R404A", 11.0, turns=0.0), answer("63", "R404A")
    assert still.after.valve == untouched.after.valve


def test_the_bulb_keeps_its_charge_and_the_mop_falls_by_what_the_spring_gains() -> None:
    gas, on = element("gas-407C-low"), worked_catalogue().settings["R407C"]
    found = set_spring(gas, on, AskedSetting(turns=2.0), "Alder")
    made = found.element
    gained = found.spring_pa - found.factory_spring_pa
    assert gained > 0.0
    assert gas.maximum_operating_pressure_pa - made.maximum_operating_pressure_pa == pytest.approx(gained)
    charge, before = made.actuator.balance.charge, gas.actuator.balance.charge
    assert charge.limit_temperature_k == before.limit_temperature_k
    # At the limit the pressure under the diaphragm that just closes the valve is the MOP.
    at_limit = float(charge.pressure(np.asarray(charge.limit_temperature_k)))
    assert at_limit - found.spring_pa == pytest.approx(made.maximum_operating_pressure_pa)


@pytest.mark.parametrize("has_designs", [False, True], ids=["one port", "port designs"])
def test_a_setting_is_that_of_a_valve_which_leaves_the_factory_so(tmp_path, has_designs) -> None:
    """Limits at confidence too: a turn is what the family's file would say with the static superheat that it makes."""
    one = (["alder"], {"R404A": ["R404A"]}, ["walk_in_medium"])
    confident = "confidence: {share: 95 percent, level: 95 percent, samples: 256, seed: 1, tables: at_confidence}\n"
    other = ("families/alder.yaml", "static_superheat: 3 delta_degF", "static_superheat: 3.8 delta_degF")
    text = (WORKED.parent / "families" / "alder.yaml").read_text(encoding="utf-8")
    if has_designs:
        text = text.replace("{size: 63, kv: 63.0 L/h}", "{size: 63, kv: 63.0 L/h, port_design: wide}")
        text = text.replace("charges:\n", "port_designs: [{design: wide, port: {unbalance: 1 percent}}]\ncharges:\n", 1)
    assert text.count(other[1]) == 2  # the first is that of the medium temperature
    by_turn = small_catalogue(tmp_path / "a", *one, more=confident, source=WORKED.parent)
    by_file = small_catalogue(tmp_path / "b", *one, more=confident, source=WORKED.parent)
    for folder, own in (("a", text), ("b", text.replace(other[1], other[2], 1))):
        (tmp_path / folder / "families" / "alder.yaml").write_text(own, encoding="utf-8")
    asked = {"refrigerant": "R404A", "sst": "24 degF", "load": "11 kBtu/h", "application": "walk_in_medium"}
    rows = [
        tablegen.retrofit("alder", "63", **asked, **more, catalogue=folder).table("systems").records()[-1]
        for folder, more in ((by_turn, {"turns": 1.0}), (by_file, {}))
    ]
    assert rows[0].keys() == rows[1].keys() and rows[0]["confidence"] == pytest.approx(0.95)
    for key, value in rows[0].items():
        if isinstance(value, float) and not math.isnan(value):
            assert value == pytest.approx(rows[1][key], rel=1e-6), key


ASKED = ("--refrigerant", "R404A", "--sst", "24F", "--load", "11 MBH", "--application", "walk_in_medium")
WHERE = ("--catalogue", str(WORKED))


@pytest.mark.parametrize(
    ("valve", "asked", "message"),
    [
        (("alder", "63"), ("--turns", "-2.5"), "--turns: -2.5 turns from the factory setting is not allowed; the stem"),
        (("alder", "63"), ("--turns", "+6"), "of Alder turns from -2 to +5, about 0.8 °F (0.4 K) a turn"),
        (("alder", "63"), ("--static-superheat", "20 K"), "--static-superheat: +33.1 turns from the factory"),
        (("alder", "63"), ("--static-superheat", "5 psi"), "--static-superheat: '5 psi' is not allowed"),
        (("alder", "63"), ("--turns", "inf"), "--turns: inf is not allowed"),
        (("hazel", "100"), ("--turns", "1"), "--turns: Hazel is not a thermostatic valve and has no spring to set"),
        (("rowan", "4"), ("--turns", "1"), "charge cross-404-medium: setting.stem); give --static-superheat instead"),
    ],
)
def test_what_cannot_be_set_is_one_line(valve, asked, message, capsys) -> None:
    assert main(["retrofit", *valve, *ASKED, *asked, *WHERE]) == 2
    out, err = capsys.readouterr()
    assert out == "" and message in err and err.count("\n") == 1


def test_without_a_stem_the_static_superheat_can_still_be_given(capsys) -> None:
    assert main(["retrofit", "rowan", "4", *ASKED, "--static-superheat", "6 delta_degF", *WHERE]) in (0, 1)
    shown = capsys.readouterr().out
    assert "Turns of the stem" not in shown and "Static superheat set" in shown


def test_the_answer_warns_below_the_minimum_static_superheat(capsys) -> None:
    assert main(["retrofit", "alder", "63", *ASKED, "--turns", "-2", *WHERE]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "Factory setting New setting" in shown
    assert "2 counterclockwise from the factory setting" in shown
    assert "below the minimum of 2 °F for this charge: the valve may open without superheat." in shown


def test_a_stem_that_lets_the_spring_go_is_refused_by_line(tmp_path, capsys) -> None:
    folder = small_catalogue(tmp_path / "own", ["alder"], {"R134a": ["R134a"]}, ["walk_in_medium"])
    family = folder.parent / "families" / "alder.yaml" if folder.is_file() else folder / "families" / "alder.yaml"
    text = family.read_text(encoding="utf-8")
    family.write_text(text.replace("minimum: -2, maximum: 5", "minimum: -9, maximum: 5"), encoding="utf-8")
    assert main(["check", "--catalogue", str(folder)]) == 2
    err = capsys.readouterr().err
    assert "setting.stem.turns: at the minimum of its turns the spring exerts no pressure" in err
    family.write_text(text.replace("minimum: -2, maximum: 5", "minimum: 1, maximum: 5"), encoding="utf-8")
    assert main(["check", "--catalogue", str(folder)]) == 2
    assert "the minimum must be at most 0" in capsys.readouterr().err


def test_a_spring_that_would_pull_is_refused() -> None:
    own = dataclasses.replace(element(), stem=Stem(0.8 * K_PER_F, -9.0, 5.0))
    with pytest.raises(RequestError, match="the spring would have to pull"):
        set_spring(own, worked_catalogue().settings["R404A"], AskedSetting(turns=-8.0), "Alder")
