"""Pictures of the answer to one case, read back from their SVG: what is drawn is what the answer says."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import NamedTuple
from xml.etree import ElementTree

import numpy as np
import pytest

from tablegen import pick
from tablegen.report.answer import NARROW
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.bar_rows import BarRow
from tablegen.report.graphs.pick_graphs import load_window_strip
from tablegen.report.graphs.svg import screen_svg
from tablegen.report.html.answer_page import page
from tablegen.report.pdf.drawing import Label
from tests.worked import WORKED

COOLER = {"sst": "24 degF", "application": "walk_in_medium", "catalogue": WORKED}
BTU_H = 0.29307107017222
# Half a hundredth of a point, which a place is written with, on a scale of some 180 points.
PLACE = 0.02


class Part(NamedTuple):
    """A named path: first and last place across, places of its points, its look."""

    left: float
    right: float
    points: list[tuple[float, float]]
    look: dict[str, str]


class Picture:
    """A figure as a browser gets it: parts by name, and texts with their middles."""

    def __init__(self, figure, key="key"):
        low, high = figure.heights(NARROW)
        self.text = screen_svg(figure.draw(NARROW, 0.5 * (low + high)), figure.alt, key)
        root = ElementTree.fromstring(self.text)
        self.parts, self.texts = {}, []
        for element in root.iter():
            if name := element.get("data-part"):
                self.parts.setdefault(name, []).append(_part(element))
            if element.tag == "text":
                x, y = map(float, element.get("transform")[7:-1].split()[-2:])
                half = 0.5 * float(element.get("textLength"))
                self.texts.append((x + half, y, element.text))

    def words(self):
        return [text for _, _, text in self.texts]

    def ticks(self, axis):
        """Places and values of the figures over the name of an axis."""
        foot = next(y for _, y, text in self.texts if text == axis)
        over = min(y for _, y, text in self.texts if y > foot + 1.0 and re.fullmatch(r"[\d.]+", text))
        return np.array([(x, float(text)) for x, y, text in self.texts if abs(y - over) < 0.1])

    def value(self, axis, place, is_log=False):
        """What a place across means on an axis, from the figures at its ticks alone."""
        x, values = self.ticks(axis).T
        if is_log:
            return float(np.exp(np.polyval(np.polyfit(x, np.log(values), 1), place)))
        return float(np.polyval(np.polyfit(x, values, 1), place))


def _part(element):
    path = element.get("d")
    if box := re.fullmatch(r"M([-\d.]+) ([-\d.]+)h([-\d.]+)v.*", path):
        left, bottom, wide = map(float, box.groups())
        points = [(left, bottom), (left + wide, bottom)]
    else:
        points = [tuple(map(float, own.split())) for own in re.findall(r"[ML]([-\d.]+ [-\d.]+)", path)]
    across = [x for x, _ in points]
    return Part(min(across), max(across), points, dict(element.attrib))


CASES = {
    "thermostatic": ("R448A", "20 kBtu/h", {"family": "alder"}),
    "electronic and others": ("R448A", "20 kBtu/h", {}),
    "a group": ("R448A-family", "11 kBtu/h", {"family": "rowan"}),
    "none fits": ("R448A", "900 kBtu/h", {}),
    "below all": ("R448A", "0.1 kBtu/h", {}),
    "at a limit": ("R404A", "14 kBtu/h", {"family": "larch"}),
}


@pytest.mark.parametrize("name", CASES)
def test_bars_are_the_windows_and_the_load_crosses_those_that_cover_it(name):
    refrigerant, load, more = CASES[name]
    answer = pick(refrigerant, load=load, units="IP", **COOLER, **more)
    strip = Picture(answer.figures[0])
    sizes = {(row["family"].title() + " " + row["size"]): row for row in answer.table("sizes").records()}
    [line] = strip.parts.pop("load")
    x = 0.5 * (line.left + line.right)
    axis = "load, kBtu/h"
    assert strip.value(axis, x, is_log=True) == pytest.approx(float(load.split()[0]), rel=PLACE)
    assert strip.parts
    for valve, [bar] in strip.parts.items():
        row = sizes[valve.split(",")[0]]
        for place, limit in ((bar.left, row["min_load_w"]), (bar.right, row["max_load_w"])):
            assert strip.value(axis, place, is_log=True) == pytest.approx(limit / BTU_H / 1000.0, rel=PLACE)
        assert (bar.left <= x <= bar.right) is (row["verdict"] == "fits")
        # Told apart without color too.
        assert ("stroke-dasharray" in bar.look) is (row["verdict"] != "fits")
    fits = [valve for valve, row in sizes.items() if row["verdict"] == "fits"]
    assert {v for v in strip.parts if "too " not in v} == set(
        sorted(fits, key=lambda v: -sizes[v]["margin"])[:6] if fits else ()
    )
    solid = [
        v for v, [bar] in strip.parts.items() if bar.look["fill"] == "currentColor" and "fill-opacity" not in bar.look
    ]
    assert solid == ([max(fits, key=lambda v: sizes[v]["margin"])] if fits else [])
    assert len(answer.figures) == (3 if fits else 1)


def test_texts_of_the_strip_are_those_of_the_table():
    answer = pick("R448A", load="20 kBtu/h", **COOLER)
    words = Picture(answer.figures[0]).words()
    for family, size, window, *_ in answer.tables[0].cells()[:6]:
        assert f"{family} {size}" in words and window in words


@pytest.mark.parametrize(("family", "has_superheat"), [("alder", True), ("rowan", True), ("hazel", False)])
def test_superheat_and_opening_at_each_head_are_those_of_the_answer(family, has_superheat):
    answer = pick("R448A", load="20 kBtu/h", family=family, **COOLER)
    first = max(answer.table("sizes").records(), key=lambda row: row["margin"])
    figure = answer.figures[1]
    heads = Picture(figure)
    assert ("superheat, °F" in heads.words()) is has_superheat
    for condition, title in (("low_head", "Low head"), ("rating", "Rating point"), ("high_head", "High head")):
        opening = f"{100.0 * first[f'{condition}_opening']:.0f}\N{NO-BREAK SPACE}%"
        assert opening in heads.words() and opening in figure.alt
        [mark] = heads.parts[f"{title}: {opening}"]
        x = 0.5 * (mark.left + mark.right)
        assert heads.value("opening, %", x) == pytest.approx(100.0 * first[f"{condition}_opening"], abs=0.1)
        if has_superheat:
            kelvin = first[f"{condition}_superheat_k"]
            text = f"{1.8 * kelvin:.1f}\N{NO-BREAK SPACE}°F"
            [mark] = heads.parts[f"{title}: {text}"]
            assert text in figure.alt
            assert heads.value("superheat, °F", 0.5 * (mark.left + mark.right)) == pytest.approx(1.8 * kelvin, abs=0.05)


def test_mark_is_at_the_end_of_its_bar_where_the_load_is_the_limit():
    case = {"family": "alder", **COOLER}
    sizes = pick("R448A", load="20 kBtu/h", **case).table("sizes").records()
    limit = next(row for row in sizes if row["size"] == "180")
    at_maximum = pick("R448A", load=limit["max_load_w"], **case)
    first = next(row for row in at_maximum.table("sizes").records() if row["verdict"] == "fits")
    assert limit["max_condition"] == "low_head"
    [low, *others] = at_maximum.figures[1].balance().ranges
    assert (low.condition, first["size"]) == ("low_head", "180")
    assert low.opening == pytest.approx(low.max_opening, rel=1e-6)
    assert all(own.min_opening < own.opening < own.max_opening for own in others)


def test_system_of_the_balance_graph_has_the_load_at_the_rating_point():
    answer = pick("R448A", load="20 kBtu/h", family="alder", **COOLER)
    graph = Picture(answer.figures[2])
    [system] = graph.parts["system"]
    head, load = (np.array(own) for own in zip(*system.points, strict=True))
    up = [(y, float(text)) for x, y, text in graph.texts if x < head[0] and re.fullmatch(r"[\d.]+", text)]
    rating = next(own for own in answer.figures[2].balance().ranges if own.condition == "rating")
    psig = (rating.head_pressure_pa - answer.figures[2].balance().site_pressure_pa) / 6894.757
    x, values = graph.ticks("head pressure, psig").T
    place = np.polyval(np.polyfit(values, x, 1), psig)
    at = np.interp(place, head, load)
    # A text stands on the middle of its tick: the distance is the same at every tick.
    foot, step = up[0], (up[-1][0] - up[0][0]) / (up[-1][1] - up[0][1])
    base = min(y for x, y, text in graph.texts if text == "0" and x < head[0])
    middle = 0.5 * 0.68 * 8.5
    assert (at - base - middle) / step == pytest.approx(20.0, abs=0.3) and foot[1] == 0.0


def test_what_is_not_in_stock_is_white(tmp_path: Path):
    sheet = tmp_path / "stock.csv"
    sheet.write_text("family,size,charge,quantity\nalder,125,cross-448-medium,2\nalder,45,cross-448-medium,1\n")
    answer = pick("R448A", load="20 kBtu/h", family="alder", stock=sheet, **COOLER)
    looks = {name: part.look for name, [part] in Picture(answer.figures[0]).parts.items()}
    assert looks.pop("load")
    assert {name: look["fill"] for name, look in looks.items()} == {
        "Alder 125": "currentColor",
        "Alder 90, not in stock": "Canvas",
        "Alder 63, not in stock": "Canvas",
        "Alder 45, too small": "currentColor",
        "Alder 180, too large": "Canvas",
    }
    assert "fill-opacity" not in looks["Alder 125"]
    assert "White: not in stock." in answer.figures[0].caption


def test_nothing_in_stock_leaves_no_first_choice(tmp_path: Path):
    sheet = tmp_path / "stock.csv"
    sheet.write_text("family,size,charge,quantity\nalder,45,cross-448-medium,1\n")
    [strip] = pick("R448A", load="20 kBtu/h", family="alder", stock=sheet, **COOLER).figures
    assert "Solid" not in strip.caption
    assert [name for name in Picture(strip).parts if "not in stock" in name] == [
        f"Alder {size}, not in stock" for size in ("90", "125", "63")
    ]


def test_a_scale_without_a_round_load_has_figures_all_the_same():
    row = BarRow(name="Alder 90", figures="2.25 to 2.75", low=2.25, high=2.75, is_solid=True)
    drawn = load_window_strip([row], 2.5, "2.50 kW", Formatter("SI"), NARROW)
    labels = [item.text for item in drawn.items if isinstance(item, Label)]
    assert {"2", "2.5", "3.15"} <= set(labels)


def test_a_page_has_every_id_once_and_loads_nothing():
    text = page(pick("R448A", load="20 kBtu/h", split=["30 percent", "70 percent"], **COOLER))
    text += page(pick("R448A", load="20 kBtu/h", **COOLER))
    ids = re.findall(r'\bid="([^"]+)"', text)
    assert len(ids) == len(set(ids)) == text.count('role="img"') + text.count("<clipPath")
    assert all(own in ids for own in re.findall(r'(?:url\(#|labelledby=")([^")]+)', text))
    svg = "".join(re.findall(r"<svg.*?</svg>", text, re.DOTALL))
    assert not re.search(r"<script|\son\w+=|\sstyle=|href|https?:", svg)


def test_pictures_are_the_same_every_time_and_are_no_part_of_a_record():
    first, second = (pick("R448A", load="20 kBtu/h", **COOLER) for _ in range(2))
    assert [Picture(f).text for f in first.figures] == [Picture(f).text for f in second.figures]
    assert not any(math.isnan(own.min_opening) for own in first.figures[1].balance().ranges)
    assert "figure" not in str(first).lower()
