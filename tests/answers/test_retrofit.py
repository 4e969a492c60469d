"""An existing valve on a new system: against the tables, a second calculation, and the valve itself at every head."""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

import tablegen
from tablegen.answers.case import Case
from tablegen.answers.existing_valve import InstalledValve, System
from tablegen.answers.pick import pick
from tablegen.answers.retrofit import Fitted, Retrofit, retrofit
from tablegen.api.one_valve import _read_systems as read_systems
from tablegen.cli.main import main
from tablegen.errors import RequestError
from tablegen.model.box_temperature import AskedSst
from tablegen.model.solving import law_of
from tablegen.physics.operating import Zone
from tablegen.sweep.head_sweep import head_lines, states_along
from tests.demo import CATALOGUE, demo_data
from tests.independent.fluid import Fluid
from tests.independent.law import required_kv_per_watt as scalar_required_kv
from tests.independent.reading import number
from tests.independent.recalc import Recalculation
from tests.independent.states import ApplicationStates, State
from tests.independent.valve import Charge, Family
from tests.us_units import W_PER_KBTU
from tests.worked import WORKED, copy_of_worked

KELVIN_24F = (24.0 + 459.67) / 1.8
AT_24F = AskedSst(sst_k=KELVIN_24F)
LOW = "low_head.head_pressure="
HERE = {"application": "walk_in_medium", "catalogue": WORKED}


def systems(
    refrigerant: str,
    kbtu_h: float,
    sets: Sequence[str] = (),
    application: str = "walk_in_medium",
    catalogue: Path = WORKED,
    **was: object,
) -> tuple[System, System | None]:
    new, old, _ = read_systems(catalogue, refrigerant, AT_24F, kbtu_h * W_PER_KBTU, application, sets, **was)
    return new, old


def answer(
    family: str,
    size: str,
    refrigerant: str,
    kbtu_h: float,
    sets: Sequence[str] = (),
    charge: str | None = None,
    **more: object,
) -> Retrofit:
    return retrofit(Fitted(family, size, charge), *systems(refrigerant, kbtu_h, sets, **more))[0]


def serving(family: str, size: str, system: System, charge: str) -> InstalledValve:
    own = system.catalogue.families[family]
    return InstalledValve(
        system, own, next(s for s in own.sizes if s.name == size), next(t for t in own.elements if t.name == charge)
    )


BALANCED = ["suction.response=stricter", "suction.box_difference=10 delta_degF"]
STEPPED = [
    "compressor.minimum_capacity=60 percent",
    "low_head.inlet_subcooling_range.minimum=4 delta_degF",
    "low_head.inlet_subcooling_range.maximum=9 delta_degF",
]
# Family, size, charge in it, refrigerant, load [kBtu/h], overrides: starving, hunting, floodback, and parts of each.
CASES = [
    ("alder", "63", "cross-404-medium", "R404A", 14.0, [f"{LOW}110 psi_gauge"]),
    ("alder", "180", "cross-404-medium", "R404A", 16.0, []),
    ("alder", "45", "cross-404-medium", "R448A", 15.0, [f"{LOW}120 psi_gauge"]),
    ("alder", "90", "cross-448-medium", "R407C", 14.0, []),
    ("alder", "63", "cross-448-medium", "R404A", 16.0, []),
    ("rowan", "6.3", "cross-404-medium", "R507A", 18.0, []),
    ("hazel", "100", "stepper", "R448A", 20.0, [f"{LOW}100 psi_gauge"]),
    ("larch", "125", "pulse", "R448A", 24.0, []),
]


@pytest.mark.parametrize(("family", "size"), [("alder", "90"), ("rowan", "6.3"), ("hazel", "160"), ("larch", "125")])
@pytest.mark.parametrize("refrigerant", ["R404A", "R448A"])
def test_with_nothing_changed_the_window_is_the_tables(family: str, size: str, refrigerant: str) -> None:
    found = answer(family, size, refrigerant, 15.0, catalogue=CATALOGUE)
    assert found.before is None
    rows = demo_data().windows
    own = rows[(rows["family"] == family) & (rows["size"] == size) & (rows["refrigerant"] == refrigerant)]
    row = own[(own["application"] == "walk_in_medium") & ((own["sst_k"] - KELVIN_24F).abs() < 1e-6)].iloc[0]
    valve = found.after.valve
    assert (valve.charge, found.fitted.charge) == (row["charge"], row["charge"])
    # The data set carries twelve figures, of suction temperatures too.
    assert valve.minimum.load_w == pytest.approx(row["min_load_w"], rel=1e-9)
    assert valve.maximum.load_w == pytest.approx(row["max_load_w"], rel=1e-9)
    # Under the demo's heads no limit lies between them.
    assert (found.after.min_w, found.after.max_w) == pytest.approx(
        (valve.minimum.load_w, valve.maximum.load_w), rel=1e-9
    )
    assert found.after.covers == (valve.verdict == "fits")


@functools.cache
def again() -> Recalculation:
    return Recalculation(WORKED)


def scalar(family: str, charge: str, refrigerant: str) -> tuple[Family, Charge, Fluid]:
    """A family, one of its charges, and a refrigerant that the charge need not be meant for."""
    fluids = again().fluids
    if refrigerant not in fluids:
        fluids[refrigerant] = Fluid(again().configs.refrigerants[refrigerant])
    own = again().families[family]
    return own, next(c for c in own.charges if c.name == charge), fluids[refrigerant]


def scalar_states(refrigerant: str, **low_head: str) -> list[State]:
    """The states of a cooler with keys of its low head otherwise."""
    config = dict(again().configs.application("walk_in_medium", refrigerant))
    config["low_head"] = {**config["low_head"], **low_head}
    return list(ApplicationStates(config, again().fluids[refrigerant]).rows(KELVIN_24F))


@pytest.mark.parametrize(
    ("family", "size", "charge", "refrigerant"),
    [
        ("alder", "63", "cross-404-medium", "R507A"),
        ("alder", "90", "cross-448-medium", "R449B"),
        ("alder", "90", "cross-448-medium", "R22"),
        ("alder", "90", "cross-448-medium", "R407H"),
        ("rowan", "10", "cross-448-medium", "R454A"),
        ("alder", "63", "cross-404-medium", "R448A"),
        ("alder", "63", "cross-448-medium", "R404A"),
    ],
)
def test_another_refrigerant_meets_the_old_setting_as_a_second_calculation_has_it(
    family: str, size: str, charge: str, refrigerant: str
) -> None:
    """Spring, gradient, static superheat and window by scalar code that imports nothing of the package."""
    own, set_charge, fluid = scalar(family, charge, refrigerant)
    # The head that the refrigerant's own tables have, not one moved to another's condensing temperature.
    found = answer(family, size, refrigerant, 15.0, [f"{LOW}135 psi_gauge"], charge)
    assert found.fitted.spring_pa == pytest.approx(set_charge.spring, rel=1e-6)
    assert found.fitted.gradient_pa == pytest.approx(set_charge.gradient, rel=1e-6)
    p_e = fluid.p_dew(KELVIN_24F)
    static = set_charge.temperature(p_e + set_charge.spring) - KELVIN_24F
    assert found.after.static_superheat_k == pytest.approx(static, abs=1e-5)
    config = again().configs.application("walk_in_medium", refrigerant)
    unit = again()._unit_window(own, set_charge, config, refrigerant, scalar_states(refrigerant))
    kv = dict(own.sizes)[size]
    valve = found.after.valve
    if math.isnan(unit["max_load_w"]):
        assert valve.verdict == "no_window"
    else:
        assert valve.minimum.load_w == pytest.approx(unit["min_load_w"] * kv, rel=1e-6)
        assert valve.maximum.load_w == pytest.approx(unit["max_load_w"] * kv, rel=1e-6)
    assert (valve.minimum.reason, valve.maximum.reason) == (unit["min_reason"], unit["max_reason"])


def test_the_spring_stays_whatever_refrigerant_follows() -> None:
    names = ("R404A", "R448A", "R452A", "R22", "R454C")
    found = [answer("alder", "63", name, 15.0, charge="cross-404-medium").fitted for name in names]
    assert len({(f.spring_pa, f.gradient_pa, f.setting_refrigerant, f.charge) for f in found}) == 1
    own = answer("alder", "63", "R448A", 15.0).fitted
    assert own.charge == "cross-448-medium" and own.spring_pa != found[0].spring_pa


def zones_of_the_valve(work: InstalledValve, heads_pa: Sequence[float]) -> list[set[str]]:
    """What the valve itself does at some heads, on every side and under every response: where it settles."""
    heads = np.asarray(heads_pa, dtype=np.float64)
    load_w = work.system.case.load_w / work.size.kv_rated_m3h
    names: list[set[str]] = [set() for _ in heads]
    for line in head_lines(work.member):
        states = states_along(work.member, [line], heads)
        point = states.operating_point(work.valve, law_of(work.family), load_w)
        for own, zone in zip(names, point.zone, strict=True):
            # A side of less flow bears on the minimum load alone.
            if zone != Zone.STARVED or line.side.serves_max:
                own.add(str(zone))
    return names


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c[0]}-{c[1]}-{c[3]}-{c[2]}")
def test_zones_meet_where_the_valve_changes(case: tuple) -> None:
    """A pascal on either side of each border the operating point has another name, that of the zone."""
    family, size, charge, refrigerant, load, sets = case
    work = serving(family, size, systems(refrigerant, load, sets)[0], charge)
    served = work.operation()
    zones = served.zones
    heads = [h.head_pressure_pa for h in served.heads]
    assert (zones[0].from_pa, zones[-1].to_pa) == (min(heads), max(heads))
    assert not served.covers
    for below, above in itertools.pairwise(zones):
        assert below.to_pa == above.from_pa
        first, second = zones_of_the_valve(work, [below.to_pa - 1.0, below.to_pa + 1.0])
        assert below.zone in first
        assert above.zone in second
        assert first != second


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c[0]}-{c[1]}-{c[3]}-{c[2]}")
def test_inside_a_zone_the_valve_is_what_the_zone_says(case: tuple) -> None:
    family, size, charge, refrigerant, load, sets = case
    work = serving(family, size, systems(refrigerant, load, sets)[0], charge)
    zones = work.operation().zones
    heads = np.random.default_rng(8).uniform(zones[0].from_pa, zones[-1].to_pa, 200)
    for head, names in zip(heads, zones_of_the_valve(work, heads), strict=True):
        zone = next(z for z in zones if z.from_pa <= head <= z.to_pa)
        assert names == {zone.zone}


@pytest.mark.parametrize(
    ("sets", "load"),
    [
        (BALANCED, 20.0),
        (STEPPED, 25.0),
        ([*BALANCED, *STEPPED], 26.0),
        pytest.param([*BALANCED, *STEPPED], 12.0, marks=pytest.mark.slow),
    ],
)
def test_every_response_and_side_counts_at_every_head(sets: list[str], load: float) -> None:
    """What a pick checks at the three conditions is checked at every head between."""
    work = serving("alder", "90", systems("R448A", load, [*sets, f"{LOW}110 psi_gauge"])[0], "cross-448-medium")
    served = work.operation()
    for zone in served.zones:
        for names in zones_of_the_valve(work, np.linspace(zone.from_pa, zone.to_pa, 22)[1:-1]):
            assert (names == {"steady"}) == (zone.zone == "steady"), (zone, names)
    assert served.min_w >= served.valve.minimum.load_w * (1.0 - 1e-9)
    assert served.max_w <= served.valve.maximum.load_w * (1.0 + 1e-9)
    assert served.covers == (served.min_w <= served.load_w <= served.max_w)


def test_a_border_is_where_a_second_calculation_has_the_max_load() -> None:
    found = answer("alder", "63", "R404A", 16.0, [f"{LOW}115 psi_gauge"])
    below, above = found.after.zones
    assert (below.zone, above.zone) == ("starved", "steady")
    family, charge, fluid = scalar("alder", "cross-404-medium", "R404A")
    psi = number("1 psi")
    known = {s.condition: s for s in scalar_states("R404A", head_pressure="115 psi_gauge")}
    low, rating = known["low_head"], known["rating"]
    # Linear in head between the low head and the rating point.
    share = (below.to_pa - low.head_pressure_pa) / (rating.head_pressure_pa - low.head_pressure_pa)
    subcooling = (1.0 - share) * low.inlet_subcooling_k + share * rating.inlet_subcooling_k
    moved = scalar_states(
        "R404A", head_pressure=f"{below.to_pa / psi!r} psi_absolute", inlet_subcooling=f"{subcooling!r} K"
    )
    state = next(s for s in moved if s.condition == "low_head")
    required_kv = scalar_required_kv(state, family.law.at(state, fluid.p_critical), state.rated_effect)
    opening = min(charge.opening(state, number("10 delta_degF"), False), family.stop)
    assert dict(family.sizes)["63"] * opening / required_kv * 1e3 == pytest.approx(16.0 * W_PER_KBTU, rel=1e-6)


@pytest.mark.slow
@pytest.mark.parametrize("sets", [[], BALANCED])
def test_at_the_lowest_setting_the_max_load_is_the_load(sets: list[str]) -> None:
    found = answer("alder", "63", "R448A", 21.0, [*sets, f"{LOW}110 psi_gauge"])
    setting = found.lowest_setting_pa
    assert setting is not None and not found.after.covers
    at = answer("alder", "63", "R448A", 21.0, [*sets, f"{LOW}{setting / 1e3!r} kPa_absolute"])
    assert at.after.valve.maximum.condition == "low_head"
    assert at.after.valve.maximum.load_w == pytest.approx(21.0 * W_PER_KBTU, rel=1e-8)
    above, below = (
        answer("alder", "63", "R448A", 21.0, [*sets, f"{LOW}{(setting + step) / 1e3!r} kPa_absolute"])
        for step in (100.0, -100.0)
    )
    assert above.after.covers and not below.after.covers
    assert above.lowest_setting_pa is None


def test_a_load_that_meets_a_limit_to_the_last_digit_is_answered() -> None:
    # At the lowest setting the limit at a condition is the load within the rounding of arrays, on either side of it.
    zones = [
        tablegen.retrofit(*("alder", "45"), refrigerant="R448A", was="R404A", sst="24F", load=load, **HERE).frame()[
            "zone"
        ]
        for load in ("19.75 kBtu/h", "19.7501 kBtu/h")
    ]
    assert zones[0].tolist() == zones[1].tolist()


def test_a_curve_without_a_point_is_drawn_as_nothing() -> None:
    shown = tablegen.retrofit(
        *("alder", "45"), refrigerant="R448A", was="R404A", sst="24F", load="16 kBtu/h", **HERE
    )._repr_html_()
    assert "<svg" in shown


@pytest.mark.slow
def test_a_setting_is_found_where_liquid_flashes_upstream_below_it() -> None:
    """No limit is there to follow: the valve may not work at the low head at all."""
    sets = ["losses.lift=45 ft", "low_head.liquid_temperature=62 degF"]

    def ask(head: str) -> Retrofit:
        return answer("alder", "125", "R404A", 18.0, [*sets, f"{LOW}{head}"])

    found = ask("135 psi_gauge")
    assert (found.after.zones[0].zone, found.after.zones[0].reason) == ("not_working", "flashing")
    setting = found.lowest_setting_pa
    assert setting is not None
    held = [ask(f"{(setting + step) / 1e3!r} kPa_absolute").after.covers for step in (-100.0, 100.0)]
    assert held == [False, True]


@pytest.mark.slow
def test_where_tables_are_at_a_confidence_the_answer_is(tmp_path: Path) -> None:
    """The window is the confident one of a pick; the load at every head and the setting are judged by it."""
    path = copy_of_worked(tmp_path / "configs")
    text = path.read_text(encoding="utf-8")
    assert "samples: 1024, seed: 1, tables: nominal" in text
    path.write_text(
        text.replace("samples: 1024, seed: 1, tables: nominal", "samples: 256, seed: 1, tables: at_confidence"),
        encoding="utf-8",
    )

    def ask(kbtu_h: float, head: str) -> Retrofit:
        new, old, _ = read_systems(path, "R404A", AT_24F, kbtu_h * W_PER_KBTU, "walk_in_medium", [f"{LOW}{head}"])
        return retrofit(Fitted("alder", "63"), new, old)[0]

    found = ask(13.3, "120 psi_gauge")
    nominal = answer("alder", "63", "R404A", 13.3, [f"{LOW}120 psi_gauge"])
    assert nominal.after.covers and not found.after.covers
    catalogue = read_systems(path, "R404A", AT_24F, 1.0, "walk_in_medium", [f"{LOW}120 psi_gauge"])[0].catalogue
    picked = pick(catalogue, Case("R404A", KELVIN_24F, 13.3 * W_PER_KBTU, "walk_in_medium"), "alder")
    assert found.after.valve == next(c for c in picked.candidates if c.size == "63")
    assert found.after.confidence == pytest.approx(0.95) and nominal.after.confidence is None
    assert found.after.max_w == pytest.approx(found.after.valve.maximum.load_w, rel=1e-9)
    setting = found.lowest_setting_pa
    assert setting is not None
    at = ask(13.3, f"{setting / 1e3!r} kPa_absolute")
    assert at.after.covers
    assert at.after.valve.maximum.load_w == pytest.approx(13.3 * W_PER_KBTU, rel=1e-6)


def test_no_setting_is_named_that_would_not_help() -> None:
    # It starves at the rating point itself, or hunts at the high head whatever the low one is.
    assert answer("alder", "45", "R404A", 20.0).lowest_setting_pa is None
    assert answer("alder", "180", "R404A", 16.0).lowest_setting_pa is None
    flooding = answer("alder", "45", "R448A", 20.0, [f"{LOW}120 psi_gauge"], "cross-404-medium")
    assert {z.zone for z in flooding.after.zones} == {"starved", "flooding"}
    assert flooding.lowest_setting_pa is None


@pytest.mark.slow
@pytest.mark.parametrize(
    ("charge", "refrigerant", "load"), [("cross-404-medium", "R404A", 14.0), ("cross-448-medium", "R449A", 20.0)]
)
def test_sizes_that_are_named_cover_the_load_and_others_do_not(charge: str, refrigerant: str, load: float) -> None:
    system, _ = systems(refrigerant, load, [f"{LOW}110 psi_gauge"])
    family = system.catalogue.families["alder"]
    found, _ = retrofit(Fitted("alder", "63", charge), system)
    holding = {s.name for s in family.sizes if serving("alder", s.name, system, charge).operation().covers}
    assert {c.size for c in found.same_charge} == holding
    assert 0 < len(holding) < len(family.sizes)
    margins = [c.margin for c in found.same_charge]
    assert margins == sorted(margins, reverse=True)


def test_the_charge_offered_for_the_new_refrigerant_is_an_answer_of_its_own() -> None:
    found = answer("alder", "45", "R448A", 15.0, was="R404A")
    assert found.fitted.charge == "cross-404-medium" and found.offered_charge == "cross-448-medium"
    assert found.same_charge == ()
    assert {c.size for c in found.other_charge} == {"45", "63", "90"}
    assert all(c.charge == "cross-448-medium" for c in found.other_charge)


def test_before_is_the_old_system_as_it_was() -> None:
    found = answer(
        "alder",
        "63",
        "R448A",
        14.0,
        [f"{LOW}120 psi_gauge"],
        was="R404A",
        was_application="walk_in_medium_fixed",
        was_load_w=13.0 * W_PER_KBTU,
    )
    alone = answer("alder", "63", "R404A", 13.0, application="walk_in_medium_fixed")
    assert found.before == alone.after
    # Without a word on its application it is the new one's without the overrides.
    plain = answer("alder", "63", "R404A", 14.0, [f"{LOW}120 psi_gauge"])
    assert plain.before == answer("alder", "63", "R404A", 14.0).after
    assert plain.before.heads[0].head_pressure_pa > plain.after.heads[0].head_pressure_pa


def test_a_refrigerant_of_no_group_is_taken_at_the_condensing_temperature_that_the_setting_means() -> None:
    system, _ = systems("R22", 20.0)
    work = serving("alder", "90", system, "cross-448-medium")
    reference = system.catalogue.refrigerants["R404A"]
    head = np.asarray(system.catalogue.applications["walk_in_medium"].systems["R404A"].low_head.head.pressure_pa)
    served = work.operation()
    assert served.moved_heads == ("low_head",)
    assert float(work.member.refrigerant.bubble_temperature(np.asarray(served.heads[0].head_pressure_pa))) == (
        pytest.approx(float(reference.bubble_temperature(head)), abs=1e-6)
    )
    set_on_purpose = answer("alder", "90", "R22", 20.0, [f"{LOW}135 psi_gauge"], "cross-448-medium").after
    assert set_on_purpose.moved_heads == ()
    assert set_on_purpose.heads[0].head_pressure_pa == pytest.approx(float(head), rel=1e-12)


def test_a_valve_that_opens_too_little_starves_a_load_and_hunts_with_a_small_one() -> None:
    """It is set for R448A, and R404A keeps it shut up to 12.9 degF of superheat."""
    for maximum, load, zone in (("10", 16.0, "starved"), ("13.5", 16.0, "starved"), ("13.5", 0.2, "hunts")):
        sets = [f"superheat.maximum={maximum} delta_degF"]
        found = answer("alder", "63", "R404A", load, sets, charge="cross-448-medium").after
        assert [z.zone for z in found.zones] == [zone]
        assert found.zones[0].reason == "stays_closed" and math.isnan(found.zones[0].margin)


@pytest.mark.parametrize(
    ("fitted", "message"),
    [
        (Fitted("aldr", "45"), "did you mean alder?"),
        (Fitted("alder", "46"), "a size of Alder must be one of 11, 16, 22, 32, 45"),
        (Fitted("alder", "45", "cross-404-med"), "did you mean cross-404-medium?"),
    ],
)
def test_a_valve_that_is_not_in_the_catalogue_is_reported(fitted: Fitted, message: str) -> None:
    with pytest.raises(RequestError) as caught:
        retrofit(fitted, *systems("R404A", 15.0))
    assert message in str(caught.value)


def test_an_existing_valve_is_named_by_its_part_number(capsys):
    asked = ["--refrigerant", "R404A", "--sst", "24F", "--load", "14 kBtu/h", "--application", "walk_in_medium"]
    at = ["--catalogue", str(WORKED)]
    first = main(["retrofit", "alder", "45", *asked, "--charge", "cross-404-medium", *at])
    by_name = capsys.readouterr().out
    assert (main(["retrofit", "71-0105", *asked, *at]), capsys.readouterr().out) == (first, by_name)
    assert main(["retrofit", "71-9999", *asked, *at]) == 2
    line = capsys.readouterr().err.strip()
    assert line == (
        "--family: '71-9999' is not a part number of the catalogue; give one, or family and size of the existing valve"
    )
