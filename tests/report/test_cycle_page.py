"""The pressure-enthalpy diagram and its page: figures of the data set, points on their lines, a blank one."""

import dataclasses
import io
import re

import numpy as np
import pytest

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.pressure_enthalpy_graph import PressureEnthalpy, alternative_text, pressure_enthalpy_graph
from tablegen.report.pages.cycle_page import cycle_page
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable, Label
from tablegen.report.pdf.page import Document
from tests.demo import (
    booklet_publication,
    demo_booklet,
    demo_data,
    demo_handout,
    page_texts,
    with_inputs,
)
from tests.report.drawings import points, shapes

J_KG = {"IP": 2326.0, "SI": 1000.0}
PA = {"IP": 6894.757293168, "SI": 1000.0}


def of_the_example() -> tuple[PressureEnthalpy, dict[str, dict[str, float]]]:
    """The diagram of the demo's first example, and its rows by condition."""
    data = demo_data()
    rows = data.example[(data.example["application"] == "walk_in_medium") & (data.example["refrigerant"] == "R404A")]
    first = rows[rows["family"] == "alder"]
    heads = booklet_publication(data).heads("walk_in_medium", "R404A", float(first["sst_k"].iloc[0]))
    lines = data.pressure_enthalpy
    own = lines[(lines["application"] == "walk_in_medium") & (lines["refrigerant"] == "R404A")]
    cycles = [heads[condition] for condition in ("low_head", "rating", "high_head")]
    return PressureEnthalpy.of(own, cycles, 101325.0), first.set_index("condition").to_dict("index")


@pytest.mark.parametrize("units", ["IP", pytest.param("SI", marks=pytest.mark.slow)])
def test_the_page_prints_the_figures_of_the_data_set(units):
    _, rows = of_the_example()
    diagram, _ = of_the_example()
    [text] = [
        t
        for t in page_texts(demo_booklet(units, "letter" if units == "IP" else "a4")[1])
        if "isentropic" in t and "evaporator" in t
    ]
    text = " ".join(text.split())
    conditions = [rows[name] for name in ("low_head", "rating", "high_head")]

    def row(*figures: str) -> str:
        return r"\s".join(re.escape(figure) for figure in figures)

    drops = [f"{r['pressure_drop_pa'] / PA[units]:.0f}" for r in conditions]
    effects = [f"{(c.vapor_enthalpy_j_kg - c.liquid_enthalpy_j_kg) / J_KG[units]:.1f}" for c in diagram.cycles]
    for figures in (drops, effects, [f"{100 * r['opening']:.0f}\N{NO-BREAK SPACE}%" for r in conditions]):
        assert re.search(row(*figures).replace("\N{NO-BREAK SPACE}", r"\s").replace("\\\xa0", r"\s"), text), figures
    for figures in (drops, effects):
        # In the table, and each beside its bar or on its ruler.
        assert all(text.count(figure) >= 2 for figure in figures)
    ratio = rows["low_head"]["required_kv_m3h"] / rows["rating"]["required_kv_m3h"]
    assert f"the required Kv is {ratio:.2f} times that of the rating point" in text


def test_the_states_are_on_the_lines_of_the_same_model():
    diagram, _ = of_the_example()
    for cycle in diagram.cycles:
        # Subcooled liquid is left of the dome, what the bulb feels right of it.
        assert cycle.liquid_enthalpy_j_kg < diagram.bubble.at(cycle.head_pressure_pa)
        assert cycle.vapor_enthalpy_j_kg > diagram.dew.at(cycle.evaporating_pressure_pa)
        assert cycle.suction_pressure_pa < cycle.evaporating_pressure_pa < cycle.outlet_pressure_pa
        assert np.isfinite(diagram.compression.at(cycle.head_pressure_pa))
    assert diagram.compression.pressure_pa[0] == pytest.approx(diagram.cycles[0].suction_pressure_pa)
    start = diagram.compression.enthalpy_j_kg[0]
    assert start > diagram.cycles[0].vapor_enthalpy_j_kg


def test_every_example_has_its_dome_and_compression():
    data = demo_data()
    wanted = set(zip(data.example["application"], data.example["refrigerant"], strict=True))
    lines = data.pressure_enthalpy
    assert {(a, r) for (a, r), _ in lines.groupby(["application", "refrigerant"])} == wanted
    assert lines["enthalpy_j_kg"].notna().all()
    assert (lines.groupby(["application", "refrigerant", "curve"])["pressure_pa"].is_monotonic_increasing).all()


def labels(drawing) -> list[str]:
    return [item.text for item in drawing.items if isinstance(item, Label)]


def test_a_blank_diagram_has_dome_and_axes_alone():
    diagram, _ = of_the_example()
    blank = dataclasses.replace(diagram, is_blank=True)
    drawn = pressure_enthalpy_graph(blank, Formatter("IP"), (490.0, 300.0))
    assert not [text for text in labels(drawn) if re.search("head|valve|evaporator", text)]
    assert "300" in labels(drawn)
    assert "saturated vapor" in alternative_text(blank, Formatter("IP"), "R404A")


def test_the_drop_of_low_head_is_inside_the_dome():
    """At the left of its bar it would be on the line of saturated liquid."""
    diagram, _ = of_the_example()
    drawn = pressure_enthalpy_graph(diagram, Formatter("IP"), (490.0, 300.0))
    low, *_ = sorted(diagram.cycles, key=lambda own: own.head_pressure_pa)
    text = f"{(low.inlet_pressure_pa - low.outlet_pressure_pa) / PA['IP']:.0f}"
    [label] = [item for item in drawn.items if isinstance(item, Label) and item.text == text and item.size > 9.0]
    # Bars are as wide as that.
    bars = sorted({round(points(own)[0][0], 1) for own in shapes(drawn) if own.fill == design.ACCENT})
    assert label.x > bars[0]


@pytest.mark.parametrize("application", ["walk_in_low", "walk_in_medium_fixed", "walk_in_medium_lift"])
def test_drops_stand_apart_from_bars_in_every_application(application):
    """Heads that are near each other, a column of liquid, a low suction pressure."""
    data = demo_data()
    applications = {application: data.catalogue.applications[application]}
    own = tuple(c for c in data.catalogue.combinations if c.application == application)
    booklet = dataclasses.replace(data.catalogue.booklets[0], combinations=own)
    publication = booklet_publication(with_inputs(data, booklets=(booklet,), applications=applications))
    story = cycle_page(publication, 490.0)
    [drawing] = [part.drawing for part in story if isinstance(part, DrawingFlowable)]
    texts = [item for item in drawing.items if isinstance(item, Label) and not item.is_upright]
    assert len({(round(t.x, 1), round(t.y, 1)) for t in texts}) == len(texts)
    for i, first in enumerate(texts):
        for second in texts[i + 1 :]:
            apart = first.x + first.width < second.x or second.x + second.width < first.x
            assert apart or abs(first.y - second.y) > 0.6 * min(first.size, second.size), (first.text, second.text)


def test_the_superheat_of_an_electronic_valve_is_not_the_valve_s():
    data = demo_data()
    own = tuple(c for c in data.catalogue.combinations if c.family == "hazel")
    booklet = dataclasses.replace(data.catalogue.booklets[0], combinations=own)
    target = io.BytesIO()
    publication = booklet_publication(with_inputs(data, booklets=(booklet,)))
    Document(target, "Letter", "title", date=None).build(cycle_page(publication, 490.0))
    [text] = page_texts(target.getvalue())
    assert "Opening of size" in text and "Operating superheat" not in text


def test_the_handout_shows_the_cycle_of_its_own_table():
    data = demo_data()
    own = data.catalogue.handouts[0]
    rows = data.example[
        (data.example[["family", "group", "application"]] == [own.family, own.group, own.application]).all(axis=1)
    ]
    [text] = [t for t in page_texts(demo_handout("handout")[0]) if "isentropic" in t]
    assert f"{rows['refrigerant'].iloc[0]} in " in text
    drops = [f"{pressure / PA['IP']:.0f}" for pressure in rows["pressure_drop_pa"]]
    assert re.search(r"Pressure drop of the valve, psi\s+" + r"\s+".join(drops), text)


def test_without_an_example_there_is_no_page():
    data = demo_data()
    empty = dataclasses.replace(data, example=data.example.iloc[:0])
    assert cycle_page(booklet_publication(empty), 490.0) == []
