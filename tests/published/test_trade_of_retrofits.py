"""Facts of the trade on existing valves; provenance beside each, as in `test_trade`."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import pytest

from tablegen.answers.retrofit import Fitted, Retrofit, retrofit
from tablegen.api.one_valve import _read_systems as read_systems
from tablegen.model.box_temperature import AskedSst
from tests.demo import CATALOGUE
from tests.us_units import W_PER_KBTU


def answer(
    valve: tuple[str, str], refrigerant: str, kbtu_h: float, sets: Sequence[str] = (), degf: float = 24.0, **was: str
) -> Retrofit:
    sst_k, load_w = (degf + 459.67) / 1.8, kbtu_h * W_PER_KBTU
    new, old, _ = read_systems(CATALOGUE, refrigerant, AskedSst(sst_k=sst_k), load_w, "walk_in_medium", sets, **was)
    return retrofit(Fitted(*valve), new, old)[0]


def low_head(psi: int) -> list[str]:
    return [f"low_head.head_pressure={psi} psi_gauge"]


@pytest.mark.parametrize(
    ("valve", "refrigerant"), [(("alder", "63"), "R404A"), (("alder", "63"), "R448A"), (("hazel", "100"), "R404A")]
)
def test_a_lower_head_setting_can_only_starve_a_valve_sooner(valve: tuple[str, str], refrigerant: str) -> None:
    # common practice: with constant SST and flow by the square root a lower head never helps the valve.
    maximum = [answer(valve, refrigerant, 14.0, low_head(psi)).after.max_w for psi in range(170, 95, -15)]
    assert all(after < before for before, after in itertools.pairwise(maximum))


def test_a_size_that_fits_at_fixed_head_pressure_starves_at_floating() -> None:
    # common practice: floating the head of an old unit asks for larger valves or a higher setting.
    found = answer(("alder", "63"), "R404A", 14.0, low_head(115), was_application="walk_in_medium_fixed")
    assert found.before is not None
    assert found.before.covers and not found.after.covers
    assert found.after.zones[0].zone == "starved" and found.after.zones[-1].zone == "steady"
    assert found.lowest_setting_pa is not None
    assert all(float(c.size) > 63 for c in found.same_charge)


@pytest.mark.parametrize("degf", [10.0, 24.0, 36.0])
def test_a_valve_set_for_r404a_opens_too_early_on_r448a(degf: float) -> None:
    # common practice: R448A has the lower dew pressure at one temperature, so a valve set on R404A opens further and
    # its superheat must be set anew, or the evaporator floods back.
    found = answer(("alder", "63"), "R448A", 15.0, degf=degf, was="R404A")
    before, after = found.before, found.after
    assert before is not None
    assert after.dew_pressure_pa < before.dew_pressure_pa
    assert after.static_superheat_k < 0.0 < before.static_superheat_k
    for old, new in zip(before.heads[1:], after.heads[1:], strict=True):
        assert new.superheat_k < old.superheat_k
        assert new.zone == "flooding"
    assert {zone.zone for zone in after.zones} <= {"starved", "flooding"}


def test_a_valve_set_for_r448a_stays_closed_on_r404a() -> None:
    # common practice, the reverse: the higher pressure of R404A keeps it shut, and it starves.
    after = answer(("alder", "63"), "R404A", 15.0, was="R448A").after
    assert after.static_superheat_k > 6.0
    assert [zone.zone for zone in after.zones] == ["starved"]


def test_r449a_follows_r448a_without_a_change() -> None:
    # common practice: the two are taken for each other at the valve.
    found = answer(("alder", "63"), "R449A", 15.0, was="R448A")
    before, after = found.before, found.after
    assert before is not None
    assert found.fitted.charge == "cross-448-medium"
    assert after.static_superheat_k == pytest.approx(before.static_superheat_k, abs=0.2)
    assert after.max_w == pytest.approx(before.max_w, rel=0.05)
    assert after.min_w == pytest.approx(before.min_w, rel=0.05)
    assert before.covers and after.covers


def test_a_drive_takes_another_refrigerant_by_its_flow_alone() -> None:
    # common practice: an electronic valve has no charge to fit; more latent heat lets it cover a larger load.
    found = answer(("hazel", "160"), "R448A", 15.0, was="R404A")
    assert found.before is not None
    assert found.after.covers and found.before.covers
    assert found.after.max_w > found.before.max_w
    assert found.fitted.spring_pa is None
