"""The handout's third page: both limits of a window in two pictures, and what the answer key says of them."""

import dataclasses
import io
import re

import numpy as np
import pytest

from tablegen.model.publications import Combination
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.superheat_ruler import superheat_ruler
from tablegen.report.graphs.valve_picture import ValveState, valve_picture
from tablegen.report.handout_figures import HandoutFigures
from tablegen.report.pages.two_limits_page import BothLimits
from tablegen.report.publications.handout import print_handout
from tablegen.report.publications.publication import Publication, named
from tests.demo import SETTINGS, demo_data, demo_handout, page_texts, with_inputs
from tests.report.drawings import points, shapes, texts
from tests.us_units import W_PER


def plain(text: str) -> str:
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def both_of(name: str = "handout") -> BothLimits:
    data = demo_data()
    own = named(data.catalogue.handouts, name)
    part = Combination(own.family, own.group, own.application)
    found = BothLimits.of(HandoutFigures(Publication.of(data, own), part))
    assert found is not None
    return found


def test_the_forces_are_in_balance_and_belong_to_the_window():
    frame, windows = demo_data().limit_forces, demo_data().windows
    assert np.allclose(frame["bulb_pressure_pa"], frame["under_pressure_pa"] + frame["spring_closing_pa"])
    assert (frame["spring_closing_pa"] > 0.0).all()
    keys = ["family", "application", "refrigerant", "size"]
    for row in frame.itertuples():
        own = windows[(windows[keys] == [getattr(row, key) for key in keys]).all(axis=1)]
        [own] = own[(own["sst_k"] - row.sst_k).abs() < 1e-6].itertuples()
        assert row.load_w == pytest.approx(getattr(own, f"{row.limit}_load_w"), rel=1e-9)
        assert (row.condition, row.limit_reason) == (
            getattr(own, f"{row.limit}_condition"),
            getattr(own, f"{row.limit}_reason"),
        )
        if row.limit_reason == "stop":
            assert row.opening == pytest.approx(demo_data().catalogue.families[row.family].characteristic.stop)
        limits = demo_data().catalogue.applications[row.application].systems[row.refrigerant].superheat
        if row.limit_reason == "floodback":
            assert row.superheat_k == pytest.approx(limits.min_k[0])
    assert set(frame["limit"]) == {"min", "max"} and len(frame) > 20


@pytest.mark.parametrize("setting", [("IP", "letter"), ("SI", "a4")], ids="-".join)
def test_the_page_and_the_key_print_what_the_data_say(setting):
    name = f"handout{SETTINGS[setting]}"
    both = both_of(name)
    handout, answers = demo_handout(name)
    sheet, key = plain(page_texts(handout)[2]), plain(page_texts(answers)[0])
    assert "One valve at both limits" in sheet
    watt = W_PER[setting[0]]
    for row in (both.low, both.high):
        bulb, under, spring = map(float, both.pressures(row))
        # What a student adds is what is printed.
        assert bulb == pytest.approx(under + spring)
        printed = float(both.loads[row.limit])
        assert printed == pytest.approx(row.load_w / watt, rel=0.004)
        for text in (f"load {both.loads[row.limit]}", f"pin {100 * row.opening:.0f} % open", *both.pressures(row)):
            assert text in sheet, text
        assert f"{both.pressures(row)[0]} = {both.pressures(row)[1]} + {both.pressures(row)[2]}" in key
    # Never beyond the window.
    assert float(both.loads["min"]) * watt >= both.low.load_w and float(both.loads["max"]) * watt <= both.high.load_w
    assert len(re.findall(r"(?<![0-9])[1-6]\. ", sheet)) == 6
    assert f"Yes: its window is {both.loads['min']} to {both.loads['max']}" in key
    assert "Page 3" in key and "The valve is at its minimum stable opening." in key


def test_the_pin_sinks_and_bars_are_equally_high():
    def drawn(share: float, spring: float) -> ValveState:
        return ValveState(
            title="Minimum load",
            at="high head",
            bulb="bulb 29 F",
            liquid="liquid 109 F",
            lines=(("pin", True),),
            share=share,
            bars=(63.5 + spring, 63.5, spring),
            figures=("1", "2", "3"),
            unit="psia",
            largest=80.0,
            is_internal=False,
            enters_below=True,
        )

    tips, tops = [], []
    for share, spring in ((0.2, 9.6), (1.0, 14.4)):
        drawing = valve_picture(drawn(share, spring), 240.0)
        [pin] = shapes(drawing, "pin")
        tips.append(max(y for _, y in points(pin)))
        bulb = points(shapes(drawing, "bulb pressure")[-1])
        stacked = points([shape for shape in shapes(drawing, "spring") if shape.pen and "re" in shape.path][-1])
        assert max(y for _, y in stacked) == pytest.approx(max(y for _, y in bulb), abs=0.02)
        tops.append(max(y for _, y in bulb))
    # The pin is pushed down off its seat.
    assert tips[1] < tips[0] - 5.0 and tops[1] > tops[0]
    assert "equalizer" in texts(drawing)
    assert "equalizer" not in texts(valve_picture(dataclasses.replace(drawn(0.2, 9.6), is_internal=True), 240.0))


def test_the_ruler_is_to_scale():
    drawing = superheat_ruler(
        (5.0 / 3.0, 50.0 / 9.0), [("Minimum load", 3.0), ("Maximum load", 5.0)], Formatter("IP"), 490.0
    )
    ends = {name: points(shapes(drawing, name)[-1]) for name in ("floods back", "steady", "starves")}
    (left, _), (minimum, _) = ends["floods back"]
    (_, _), (maximum, _) = ends["steady"]
    assert (maximum - left) / (minimum - left) == pytest.approx(10.0 / 3.0, rel=1e-3)
    # Too little superheat is liquid at the bulb; too little opening is what hunts.
    assert "floods back" in texts(drawing) and "hunts" not in texts(drawing)
    assert "Minimum load 5.4" in texts(drawing) and "Maximum load 9.0" in texts(drawing)


def test_where_tables_print_limits_at_confidence_the_page_is_left_out():
    data = demo_data()
    printed = dataclasses.replace(data.catalogue.confidence, is_printed=True)
    target = io.BytesIO()
    pages = print_handout(with_inputs(data, confidence=printed), "handout", target)
    texts_of = page_texts(target.getvalue())
    assert pages == len(texts_of) == len(page_texts(demo_handout("handout")[0])) - 1
    assert not any("One valve at both limits" in text for text in texts_of)
