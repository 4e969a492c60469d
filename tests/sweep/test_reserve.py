"""The reserve between rated stroke and the stop: what maximum loads use of it, and what the pages say of it."""

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from tablegen.config.loader import load_catalogue
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import laws_of, solve, unit_window
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.windows import Window
from tablegen.report.table_conditions import reserve_text
from tests.small import Edit, small_catalogue
from tests.worked import WORKED

ALDER = "families/alder.yaml"
STATED = "  reserve_in_limits: 100 percent\n"
OF_DESIGNS: list[Edit] = [
    (ALDER, "{size: 22, kv: 22.4 L/h}", "{size: 22, kv: 22.4 L/h, port_design: narrow}"),
    (ALDER, "{size: 45, kv: 45.0 L/h}", "{size: 45, kv: 45.0 L/h, port_design: without}"),
    (
        ALDER,
        "\nequalizer: external\n",
        """
port_designs:
  - {design: narrow, opening: {stop: 110 percent, minimum_stable: 20 percent}}
  - {design: without, opening: {stop: 100 percent, minimum_stable: 20 percent}}

equalizer: external
""",
    ),
]


def made(folder: Path, *edits: Edit) -> Catalogue:
    parts = ["alder"], {"R404A": ["R404A"]}, ["walk_in_medium"]
    return load_catalogue(small_catalogue(folder / "configs", *parts, edits, WORKED.parent))


def window(catalogue: Catalogue) -> Window:
    family, application = catalogue.families["alder"], catalogue.applications["walk_in_medium"]
    return unit_window(family, solve(catalogue.refrigerants["R404A"], application, laws_of([family])))[2]


def test_without_the_key_maximum_loads_end_at_rated_stroke(tmp_path):
    whole = window(made(tmp_path / "whole"))
    half = window(made(tmp_path / "half", (ALDER, STATED, "  reserve_in_limits: 50 percent\n")))
    none = window(made(tmp_path / "none", (ALDER, STATED, "")))
    # common practice: a maker's reserve of 10 to 40 percent is sold by no table; a linear port with its stop at 120 percent
    # of rated stroke sells 20 percent more with it.
    at_stop = whole.max_reason == "stop"
    assert at_stop.any()
    np.testing.assert_allclose(whole.max_load_w[at_stop] / none.max_load_w[at_stop], 1.2, rtol=1e-12)
    np.testing.assert_allclose(half.max_load_w[at_stop] / none.max_load_w[at_stop], 1.1, rtol=1e-12)
    assert set(none.max_reason[at_stop]) == set(half.max_reason[at_stop]) == {"rated_stroke"}
    np.testing.assert_array_equal(whole.min_load_w, none.min_load_w)


@pytest.mark.parametrize(
    ("share", "sentence"),
    [
        ("", "Maximum loads end at rated stroke; the reserve up to the stop is for pull-down."),
        ("  reserve_in_limits: 25 percent\n", "Maximum loads use 25\N{NO-BREAK SPACE}% of the reserve between"),
        (STATED, "Maximum loads use the whole reserve between rated stroke and the stop; none is left for pull-down."),
    ],
)
def test_a_sentence_says_what_is_sold_of_the_reserve(tmp_path, share, sentence):
    assert reserve_text(made(tmp_path, (ALDER, STATED, share)).families["alder"]).startswith(sentence)


def test_port_designs_state_their_own_share(tmp_path):
    family = made(tmp_path, *OF_DESIGNS).families["alder"]
    text = reserve_text(family)
    assert "Size 22: Maximum loads end at rated stroke" in text
    assert "Sizes 11, 16, 32, 63, 90, 125, 180: Maximum loads use the whole reserve" in text
    # No reserve is left where the stop is at rated stroke.
    assert "45" not in text
    used = {part.port_design: part.elements[0].actuator.widest for part in family.by_design()}
    assert used == {"": 1.2, "narrow": 1.0, "without": 1.0}


def test_an_old_table_that_sold_the_reserve_is_read_as_a_larger_opening():
    from tablegen.legacy.assumptions import OF_FAMILY, Assumption
    from tests.demo import demo_catalogue

    family = demo_catalogue().families["alder"]
    actuator = family.elements[0].actuator
    assert isinstance(actuator, ThermostaticActuator)
    elements = tuple(
        dataclasses.replace(own, actuator=dataclasses.replace(own.actuator, reserve_in_limits=0.0))
        for own in family.elements
    )
    sized = dataclasses.replace(family, elements=elements)
    opening = OF_FAMILY[Assumption.STOP]
    found = opening.given(sized)
    assert found is not None and found.today == (1.0, 1.0)
    changed = opening.changed(sized, 1.2).elements[0].actuator
    assert isinstance(changed, ThermostaticActuator) and changed.widest == 1.2
