"""Port designs in print: the family's table of them, and every graph, exercise and number of a size by its own port."""

from __future__ import annotations

import io
import math

import numpy as np
import pytest

from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import DataSet
from tablegen.model.solving import laws_of, solve, unit_window
from tablegen.report.publications.booklet import print_booklet
from tests.demo import page_texts
from tests.small import small_catalogue

FAMILY = "families/alder.yaml"
DESIGNS = """
port_designs:
  - design: low-lift
    opening: {stop: 110 percent, reserve_in_limits: 100 percent, minimum_stable: 20 percent}
    port: {unbalance: 1 percent}
    working_pressure: 500 psi_gauge
  - design: wide
    opening: {stop: 130 percent, reserve_in_limits: 100 percent, minimum_stable: 15 percent}
    port: {unbalance: -0.5 percent}
    connection_loss: {kv: 0.25 m3/h, size_kv: without_connections}
model_code: {pattern: "A{size}{charge}", codes: {charge: {cross-448-medium: H}}}

equalizer: external
"""


@pytest.fixture(scope="module")
def data(tmp_path_factory) -> DataSet:
    edits = [
        (FAMILY, "{size: 22, kv: 22.4 L/h}", "{size: 22, kv: 22.4 L/h, port_design: low-lift}"),
        (FAMILY, "{size: 32, kv: 31.5 L/h}", "{size: 32, display: 1/4, kv: 31.5 L/h, port_design: low-lift}"),
        # The middle size, which examples and handouts are about.
        (FAMILY, "{size: 45, kv: 45.0 L/h}", "{size: 45, kv: 45.0 L/h, port_design: wide}"),
        (FAMILY, "\nequalizer: external\n", DESIGNS),
        ("publications/handout.yaml", "group: R448A-family", "group: R448A"),
    ]
    path = small_catalogue(
        tmp_path_factory.mktemp("designs") / "configs",
        ["alder"],
        {"R448A": ["R448A"]},
        ["walk_in_medium"],
        edits,
        more="publications: [booklet, handout]\n",
    )
    # Rules for what this catalogue does not have would be no use.
    booklet = path.parent / "publications" / "booklet.yaml"
    text = booklet.read_text(encoding="utf-8")
    booklet.write_text(text[: text.index("# What is computed but not printed")], encoding="utf-8")
    return compute(load_catalogue(path))


@pytest.mark.slow
def test_the_booklet_shows_designs_and_codes(data):
    target = io.BytesIO()
    print_booklet(data, "booklet", target)
    texts = [" ".join(page.split()) for page in page_texts(target.getvalue())]
    (family,) = [page for page in texts if "Mechanical stop, share of rated stroke" in page]
    for words in (
        "low-lift",
        "wide",
        "110 %",
        "130 %",
        "500 psig",
        "−0.5 %",
        "0.250",
        "1/4",
        "11, 16, 63, 90, 125, 180",
    ):
        assert words in family.replace("\N{NO-BREAK SPACE}", " "), words
    assert any("A1/4H" in page and "A45H" in page for page in texts)
    # Under the window table each size has its own pressures.
    assert any("sizes 22, 1/4: working pressure 500 psig" in page.replace("\N{NO-BREAK SPACE}", " ") for page in texts)


@pytest.mark.slow
def test_what_is_shown_of_the_example_is_of_its_port(data):
    forces = data.limit_forces.set_index("limit")
    assert (forces["size"] == "45").all()
    # Of the limits one is at the stop of its design.
    assert forces.loc["max", "opening"] == pytest.approx(1.3)
    assert forces.loc["min", "opening"] >= 0.15 - 1e-12
    zones = data.exercises[data.exercises["exercise_kind"] == "zone"]
    assert set(zones["min_opening"]) == {0.15}
    assert data.balance["min_opening"].min() >= 0.15 - 1e-12
    assert data.balance["max_opening"].max() == pytest.approx(1.3)


@pytest.mark.slow
def test_the_smaller_size_of_a_graph_has_its_own_limit(data):
    (name,) = set(data.balance["smaller_size"])
    assert name == "22"
    family = data.catalogue.families["alder"]
    part = family.with_design_of(name)
    assert part.port_design == "low-lift"
    application = data.catalogue.applications["walk_in_medium"]
    solved = solve(data.catalogue.refrigerants["R448A"], application, laws_of([family]))
    row = int(np.flatnonzero(application.sst_k == application.example_sst_k)[0])
    most = float(unit_window(part, solved)[2].max_load_w[row]) * part.sizes[0].kv_rated_m3h
    drawn = (data.balance["smaller_max_w"] / data.balance["capacity_ratio"]).min()
    assert math.isclose(drawn, most, rel_tol=1e-6)
