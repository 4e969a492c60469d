"""Stated minimum openings beside those of the loop: the frame, the method chapter, the application page, the audit."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import numpy as np
import pytest

from tablegen.audits.findings import FindingKind
from tablegen.audits.run import opening_findings
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import DataSet
from tablegen.model.solving import Solved, laws_of, solve
from tablegen.physics.system import OperatingCondition
from tablegen.report.answers.audit_findings import FindingWriter
from tablegen.report.formatter import Formatter
from tablegen.report.minimum_opening_texts import bulb_text, opening
from tablegen.report.publications.booklet import print_booklet
from tests.demo import page_texts
from tests.small import small_catalogue

APPLICATION = "applications/walk_in_medium.yaml"
# A circuit and a bulb with which the loop asks for more than the stated opening.
COIL = {
    "circuit_load: 1.5 kW": "circuit_load: 1 kW",
    "circuit_length: 10 m": "circuit_length: 6 m",
    "tube_inner_diameter: 8 mm": "tube_inner_diameter: 7.9 mm",
    "wall_heat_capacity: 110 J/(m K)": "wall_heat_capacity: 120 J/(m K)",
    "gain_margin: 1}": "gain_margin: 1.3}",
}


@pytest.fixture(scope="module")
def data(tmp_path_factory) -> DataSet:
    edits = [(APPLICATION, old, new) for old, new in COIL.items()]
    folder = tmp_path_factory.mktemp("openings") / "configs"
    groups = {"R404A": ["R404A"]}
    path = small_catalogue(folder, ["alder"], groups, ["walk_in_medium"], edits, more="publications: [booklet]\n")
    booklet = path.parent / "publications" / "booklet.yaml"
    text = booklet.read_text(encoding="utf-8")
    booklet.write_text(text[: text.index("# What is computed but not printed")], encoding="utf-8")
    return compute(load_catalogue(path))


def solved(data: DataSet) -> Solved:
    catalogue = data.catalogue
    application = catalogue.applications["walk_in_medium"]
    return solve(catalogue.refrigerants["R404A"], application, laws_of(catalogue.families.values()))


@pytest.mark.slow
def test_with_the_bulb_that_is_named_the_loop_is_steady_at_the_stated_opening(data):
    [row] = data.minimum_openings.itertuples()
    assert row.loop_opening > row.assumed_opening
    family, states = data.catalogue.families["alder"], solved(data)
    element = family.element_for("R404A", "medium_temperature")
    index = states.at_full_flow()[OperatingCondition(row.condition)]
    at = int(np.argmin(np.abs(states.application.sst_k - row.sst_k)))
    state, limits = states.states[index].at(np.array([at])).state, states.system.superheat
    for bulb_s, wanted in ((row.bulb_time_s, row.loop_opening), (row.needed_bulb_time_s, row.assumed_opening)):
        actuator = replace(element.actuator, bulb_time_constant_s=bulb_s)
        found = actuator.steady(state, limits, family.characteristic)
        assert float(found.opening[0]) == pytest.approx(wanted, rel=1e-6)
    # And no other operating condition asks for more.
    for other in states.at_full_flow().values():
        state = states.states[other].at(np.array([at])).state
        found = element.actuator.steady(state, limits, family.characteristic)
        assert float(found.opening[0]) <= row.loop_opening * (1.0 + 1e-9)


@pytest.mark.slow
def test_method_chapter_and_application_page_say_so(data):
    made = io.BytesIO()
    print_booklet(data, "booklet", made)
    pages = page_texts(made.getvalue())
    [row] = data.minimum_openings.itertuples()
    needed = bulb_text(row.bulb_time_s, row.needed_bulb_time_s)
    [method] = [page for page in pages if "Minimum opening: stated, and by the loop of valve and coil" in page]
    flat = " ".join(method.replace("\N{NO-BREAK SPACE}", " ").split())
    for text in (opening(row.assumed_opening), opening(row.loop_opening), needed):
        assert text.replace("\N{NO-BREAK SPACE}", " ") in flat, text
    together = " ".join(" ".join(pages).split())
    assert "Minimum opening stated, an assumption" in together


@pytest.mark.slow
def test_the_audit_names_the_bulb(data):
    states = solved(data)
    [finding] = opening_findings(data.catalogue, {("R404A", "walk_in_medium"): states})
    assert finding.kind is FindingKind.HUNTS_BY_LOOP
    [row] = data.minimum_openings.itertuples()
    assert finding.needed_bulb_s == pytest.approx(row.needed_bulb_time_s, rel=1e-9)
    assert not math.isinf(finding.needed_bulb_s)
    from tablegen.audits.findings import grouped

    [line] = grouped([finding])
    text = FindingWriter(Formatter("IP"), data.catalogue).text(line)
    assert "would need a bulb of" in text
    assert opening(row.loop_opening) in text
