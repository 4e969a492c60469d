"""What installations differ by moves limits as the ordinary pipeline does, by the amounts that are known of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tablegen.confidence.drawn_loads import ScatteredValve, scattered_valve, system_of
from tablegen.confidence.draws import Source, single_draws
from tests.confidence.scattered_valves import rebuilt, solved_for, uncertainties, valve_of
from tests.worked import worked_catalogue

PSI_PA, STEP_F_K = 6894.757, 5.0 / 9.0
SST_10F, SST_24F = 0, 7


def alder(**scatter: float) -> ScatteredValve:
    """Alder on R404A in the cooler with floating head pressure, with another scatter between installations."""
    family = worked_catalogue().families["alder"]
    solved = solved_for(family, "R404A", "walk_in_medium")
    own = {**solved.application.scatter, "R404A": replace(solved.application.scatter["R404A"], **scatter)}
    solved = replace(solved, application=replace(solved.application, scatter=own))
    element = family.element_for("R404A", solved.application.temperature_range)
    return scattered_valve(uncertainties(), family, element, solved, system_of(uncertainties(), solved))


def change(valve: ScatteredValve, source: Source, deviations: float, row: int) -> float:
    """By what share the maximum load changes with one source so many standard deviations off."""
    loads = valve.loads(single_draws({source: deviations})).max_load[:, row]
    return float(loads[1] / loads[-1]) - 1.0


def test_ten_psi_less_low_head_take_eight_percent_of_the_maximum_load():
    """Worked out with the ordinary pipeline, as are the following."""
    assert change(alder(low_head_pa=5.0 * PSI_PA), Source.LOW_HEAD, -2.0, SST_24F) == pytest.approx(-0.08, abs=0.01)


def test_ten_psi_more_in_the_distributor_take_five_percent():
    valve = alder(distributor_pa=5.0 * PSI_PA)
    assert change(valve, Source.DISTRIBUTOR, 2.0, SST_24F) == pytest.approx(-0.05, abs=0.01)


def test_a_degree_more_static_superheat_takes_a_fifth_at_the_coldest_row():
    valve = valve_of(worked_catalogue().families["alder"], "R449A", "walk_in_medium")
    valve = replace(valve, scatter={Source.STATIC_SUPERHEAT: STEP_F_K})
    assert change(valve, Source.STATIC_SUPERHEAT, 1.0, SST_10F) == pytest.approx(-0.21, abs=0.02)


@pytest.mark.parametrize("deviations", [-2.0, -1.0, 0.7, 2.0])
@pytest.mark.parametrize(
    "source",
    [
        Source.LOW_HEAD,
        Source.HIGH_HEAD,
        Source.INLET_SUBCOOLING,
        Source.LIQUID_LINE,
        Source.DISTRIBUTOR,
        Source.FLOW_CHANGE,
    ],
)
def test_each_input_moves_both_limits_as_an_application_written_with_it_does(source, deviations):
    valve = valve_of(worked_catalogue().families["alder"], "R404A", "walk_in_medium")
    draws = single_draws({source: deviations})
    loads = valve.loads(draws)
    minimum, maximum = rebuilt(valve, draws, 1)
    assert loads.min_load[1] == pytest.approx(minimum, rel=2e-5)
    assert loads.max_load[1] == pytest.approx(maximum, rel=2e-5)
    assert not (
        np.allclose(loads.min_load[1], loads.min_load[2], rtol=1e-6)
        and np.allclose(loads.max_load[1], loads.max_load[2], rtol=1e-6)
    )


def test_a_head_setting_may_scatter_by_temperature_as_well():
    """A degree of condensing temperature is about four psi of R404A at this head."""
    by_k = alder(low_head_pa=0.0, low_head_k=2.0 * STEP_F_K)
    by_pa = alder(low_head_pa=8.0 * PSI_PA)
    ratio = change(by_k, Source.LOW_HEAD, -1.0, SST_24F) / change(by_pa, Source.LOW_HEAD, -1.0, SST_24F)
    assert 0.4 < ratio < 0.9


def test_liquid_that_flashes_in_a_draw_covers_no_load():
    valve = alder(inlet_subcooling_k=2.5 * STEP_F_K)
    loads = valve.loads(single_draws({Source.INLET_SUBCOOLING: 2.2}))
    assert np.all(loads.max_load[0] == 0.0)
    assert np.all(np.isinf(loads.min_load[0]))
    assert np.all(loads.max_load[2] > 0.0)
