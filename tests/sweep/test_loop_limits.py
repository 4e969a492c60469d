"""Minimum loads from the loop of valve, coil and bulb in a catalogue: keys, limits, trace, zones, limits at confidence."""

from __future__ import annotations

import functools
import tempfile
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest

from tablegen.answers.case import Case
from tablegen.answers.trace import trace
from tablegen.cli.main import main
from tablegen.confidence.drawn_loads import Uncertainties, scattered_valve, system_of
from tablegen.confidence.draws import Source, single_draws
from tablegen.config.loader import load_catalogue
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import Solved, law_of, laws_of, solve, unit_window
from tablegen.physics.actuators import coil_delays
from tablegen.physics.loop import bulb_ultimate
from tablegen.physics.operating import Zone, operating_point
from tablegen.physics.reasons import Reason
from tests.small import Edit, small_catalogue
from tests.worked import WORKED

APPLICATION, ALDER, HAZEL = "applications/walk_in_medium.yaml", "families/alder.yaml", "families/hazel.yaml"
SETTING = "    setting:\n      refrigerant: R404A\n      bulb_temperature: 32 degF\n"
COIL = """coil:
  conductance_ratio: 35 percent
  circuit_load: 1 kW
  circuit_length: 12 m
  tube_inner_diameter: 11.7 mm
  wall_heat_capacity: 120 J/(m K)
  air_side_share: 75 percent
  plug_share: 50 percent
  calibration: 3
  source: Assumed.
stability: {method: loop, gain_margin: 1.3}
"""
CONTROLLER = """controller:
  gain: 1 percent/K
  integral_time: 90 s
  sensor_lag: 15 s
  delay: 5 s
  superheat: 3 K
  source: Assumed.
"""


def edits(coil: str = COIL, bulb: str = "    bulb_time_constant: 60 s\n", controller: str = CONTROLLER) -> list[Edit]:
    return [
        (APPLICATION, "compressor:\n", f"{coil}compressor:\n"),
        (ALDER, SETTING, bulb + SETTING),
        (HAZEL, "kind: stepper\n", f"kind: stepper\n{controller}"),
    ]


def catalogue_file(folder: Path, changes: Iterable[Edit]) -> Path:
    parts = ["alder", "hazel"], {"R404A": ["R404A"]}, ["walk_in_medium"]
    return small_catalogue(folder, *parts, changes, WORKED.parent)


@functools.cache
def catalogue() -> Catalogue:
    with tempfile.TemporaryDirectory() as folder:
        return load_catalogue(catalogue_file(Path(folder) / "configs", edits()))


@functools.cache
def solved() -> Solved:
    whole = catalogue()
    application, fluid = whole.applications["walk_in_medium"], whole.refrigerants["R404A"]
    return solve(fluid, application, laws_of(whole.families.values()))


def test_minimum_loads_are_where_the_gain_is_what_the_margin_allows():
    family = catalogue().families["alder"]
    _, valve, unit = unit_window(family, solved())
    assert valve is not None
    assert set(unit.min_reason[unit.is_open]) == {Reason.HUNTS}
    rule = solved().system.superheat
    for row in np.flatnonzero(unit.is_open)[::4]:
        index = next(i for i, own in enumerate(solved().states) if own.condition == unit.min_condition[row])
        item, required_kv = solved().states[index].at([row]), solved().required_kvs[law_of(family).key][index][[row]]
        opening = unit.min_load_w[[row]] * required_kv
        state = item.state
        balance = valve.actuator.balance
        superheat = balance.superheat(
            opening, state.evaporating_temperature_k, state.evaporating_pressure_pa, state.pressure_drop_pa
        )
        # The gain by difference: how much flow comes back, by a small change of superheat in the force balance.
        bulb_k, step = state.evaporating_temperature_k + superheat, 1e-4
        more, less = (
            balance.opening(bulb_k + off, state.evaporating_pressure_pa, state.pressure_drop_pa)
            for off in (step, -step)
        )
        per_kelvin = np.log(more / less) / (2.0 * step)
        gain = (state.coil_difference_k - superheat) * state.dry_transfer_units * per_kelvin
        allowed = bulb_ultimate(coil_delays(state), 60.0, 3.0).gain / 1.3
        assert float(gain[0]) == pytest.approx(float(allowed[0]), rel=1e-6)
        # Below it the valve hunts, above it it does not.
        for share, zone in ((0.999, Zone.HUNTS), (1.001, Zone.STEADY)):
            point = operating_point(valve, item, required_kv, share * unit.min_load_w[[row]], rule)
            assert point.zone[0] == zone


def test_the_trace_comes_to_the_limit_and_names_its_steps():
    for family in ("alder", "hazel"):
        size = catalogue().families[family].sizes[3].name
        case = Case(refrigerant="R404A", application="walk_in_medium", sst_k=268.705555555, load_w=1000.0)
        found = trace(catalogue(), case, family, size)
        assert found.minimum is not None
        values = found.minimum.valve.values
        assert {"B", "t_d", "w_u", "P_u", "K_u", "K_0", "phi_min"} <= set(values)
        if family == "alder":
            assert float(values["K_0"]) == pytest.approx(float(values["K_all"]), rel=1e-6)
            assert float(values["phi_min"]) > 0.05


def test_conductance_ratio_and_delay_move_the_minimum_at_confidence():
    whole, family = catalogue(), catalogue().families["alder"]
    element = family.element_for("R404A", "medium_temperature")
    assert element is not None
    system = system_of(Uncertainties(whole.uncertainty, whole.settings), solved())
    valve = scattered_valve(Uncertainties(whole.uncertainty, whole.settings), family, element, solved(), system)
    loads = valve.loads(single_draws({Source.KV: 1.0}))
    _, _, unit = unit_window(family, solved())
    inside = unit.is_open
    np.testing.assert_allclose(loads.min_load[-1][inside], unit.min_load_w[inside], rtol=1e-5)


@pytest.mark.parametrize(
    ("change", "line"),
    [
        ({"bulb": ""}, "alder.yaml:"),
        ({"controller": ""}, "hazel.yaml:"),
        ({"coil": COIL.replace("  plug_share: 50 percent\n", "")}, "method loop also needs coil.plug_share"),
        (
            {"coil": COIL.replace("wall_heat_capacity: 120 J/(m K)", "wall_heat_capacity: 120 W/K")},
            "wall_heat_capacity",
        ),
        ({"coil": COIL.replace("gain_margin: 1.3", "gain_margin: 0.9")}, "gain_margin: 0.9"),
    ],
)
def test_what_is_missing_is_one_clear_line(tmp_path, capsys, change: dict[str, str], line: str):
    file = catalogue_file(tmp_path / "configs", edits(**change))
    assert main(["check", "--catalogue", str(file)]) == 2
    lines = [own for own in capsys.readouterr().err.splitlines() if own.strip()]
    assert len([own for own in lines if line in own]) >= 1, lines


def test_a_balanced_suction_is_refused(tmp_path, capsys):
    changes = [*edits(), (APPLICATION, "response: constant", "response: balanced")]
    assert main(["check", "--catalogue", str(catalogue_file(tmp_path / "configs", changes))]) == 2
    assert "suction.response: constant" in capsys.readouterr().err
