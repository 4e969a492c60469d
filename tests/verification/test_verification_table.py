"""The verification frame: rows calculated independently, failures reported, no refrigerant that the catalogue does not use."""

import dataclasses
import re

import numpy as np
import pandas as pd
import pytest
from CoolProp import CoolProp as coolprop

from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.dataset.summary import summarize
from tablegen.model.solving import laws_of, solve
from tablegen.verification.allowances import SOURCE_HAS_THE_EQUATION
from tablegen.verification.check import UNITS, Check, CheckKind, Provenance
from tablegen.verification.published_values import OF_EQUATION, molar_mass, published_values
from tablegen.verification.table import all_checks, counts, failures, verification_frame
from tablegen.wording.columns import COLUMNS
from tests.demo import demo_catalogue, demo_data
from tests.registry import refrigerant, registry
from tests.us_units import PSI_PA

NUMBERS = ["published_value", "computed_value", "deviation", "allowed_deviation"]


@pytest.fixture(scope="module")
def frame() -> pd.DataFrame:
    return demo_data().verification


def only(frame: pd.DataFrame, **wanted: str) -> pd.Series:
    for column, value in wanted.items():
        frame = frame[frame[column] == value]
    assert len(frame) == 1
    return frame.iloc[0]


def subset(*names: str) -> list[Check]:
    records = {name: registry().records[name] for name in names}
    return all_checks({name: refrigerant(name) for name in names}, records)


def test_every_check_of_the_demo_passes_or_is_explained(frame):
    outside = frame[frame["verdict"] != "passes"]
    assert set(outside["verdict"]) == {"outside_explained"}
    assert list(outside["refrigerant"]) == ["R404A", "R507A"]
    assert set(outside["quantity"]) == {"compressor loss"}
    passing = frame[frame["verdict"] == "passes"]
    assert (passing["deviation"].abs() <= passing["allowed_deviation"]).all()
    assert (outside["deviation"].abs() > outside["allowed_deviation"]).all()
    assert (outside["explanation"] != "").all() and (passing["explanation"] == "").all()
    assert frame[NUMBERS].notna().all(axis=None)
    # Known and printed, so nothing to be warned of.
    assert not [text for text in demo_data().summary.warnings if text.startswith("verification")]


def test_only_published_values_are_counted(frame):
    tally = demo_data().summary.verification
    assert tally == counts(frame)
    assert list(tally) == ["published", "rule_of_thumb", "second_implementation", "self_check"]
    for kind, own in tally.items():
        assert own["checks"] == (frame["kind"] == kind).sum()
        assert own["checks"] == own["passed"] + own["outside_explained"] + own["failed"]
    published = frame[frame["kind"] == "published"]
    assert tally["published"]["checked_against_source"] == (published["provenance"] == Provenance.CHECKED).sum() > 5
    # By kinds, published first.
    assert list(dict.fromkeys(frame["kind"])) == list(tally)
    # What came from the property library that the tables are made of is no published value.
    assert not published["source"].str.contains("another program|property library|teqp|by hand").any()


def test_only_refrigerants_of_the_catalogue(frame):
    used = set(demo_catalogue().refrigerants)
    assert set(frame["refrigerant"]) - {""} == used
    # Near a critical point a value is of the equation of state, which has no table there: tests/published has it.
    expected = sum(v.refrigerant in used and v.code not in OF_EQUATION for v in published_values())
    assert (frame["subject"] == "refrigerant states").sum() == expected > 80


def test_no_table_of_another_refrigerant_is_looked_up():
    asked = set()

    class Looked(dict):
        def __getitem__(self, name):
            asked.add(name)
            return super().__getitem__(name)

    fluids = Looked({"R404A": refrigerant("R404A")})
    all_checks(fluids, {"R404A": registry().records["R404A"]})
    assert asked == {"R404A"}


# Worked here from the property library itself, not through tables or the package's properties.
def test_a_pressure_a_density_and_a_boiling_point(frame):
    row = only(frame, quantity="saturation pressure", condition="30 degC", published_text="0.770")
    assert row["unit"] == "MPa"
    assert row["computed_value"] == pytest.approx(coolprop.PropsSI("P", "T", 303.15, "Q", 0, "R134a") / 1e6, rel=1e-7)
    # Half of 0.001 MPa; 0.01 % for the equation, 0.005 K of printed temperature at 3.6 % of pressure per kelvin.
    assert row["allowed_deviation"] == pytest.approx(0.0005 + 0.770 * (1e-4 + 0.005 * 0.036), rel=1e-9)
    row = only(frame, quantity="density, saturated liquid", condition="25 degC")
    assert row["computed_value"] == pytest.approx(coolprop.PropsSI("D", "T", 298.15, "Q", 0, "R134a"), rel=1e-7)
    assert row["allowed_deviation"] == pytest.approx(0.05 + 1e-4 * 1206.7, rel=1e-9)
    row = only(frame, quantity="bubble temperature", refrigerant="R134a")
    boiling = coolprop.PropsSI("T", "P", 101325.0, "Q", 0, "R134a") - 273.15
    assert row["computed_value"] == pytest.approx(boiling, abs=1e-5)
    assert (row["unit"], row["deviation_unit"]) == ("degC", "K")
    assert row["deviation"] == pytest.approx(boiling + 26.1, abs=1e-5)
    assert row["allowed_deviation"] == pytest.approx(0.05 + 0.02, rel=1e-9)


def test_a_pressure_in_psi_at_a_temperature_in_fahrenheit(frame):
    row = only(frame, refrigerant="R134a", unit="psia")
    kelvin = (105.0 + 459.67) / 1.8
    expected = coolprop.PropsSI("P", "T", kelvin, "Q", 0, "R134a") / PSI_PA
    assert row["computed_value"] == pytest.approx(expected, rel=1e-7)
    assert row["deviation"] == pytest.approx(expected - 149.6, abs=2e-5)


def test_molar_masses_are_those_of_the_designation_tables(frame):
    row = only(frame, quantity="molar mass", refrigerant="R448A")
    assert (row["published_text"], row["unit"], row["condition"]) == ("86.3", "kg/kmol", "nominal composition")
    shares = {"R32": 0.26, "R125": 0.26, "R1234yf": 0.2, "R134a": 0.21, "R1234ze(E)": 0.07}
    moles = sum(share / coolprop.PropsSI("M", name) for name, share in shares.items())
    assert row["computed_value"] == pytest.approx(1e3 / moles, rel=1e-4)


def test_a_component_without_a_formula_fails(frame):
    record = registry().records["R404A"]
    definition = dataclasses.replace(record.definition, components=("R125", "R143a", "R1336mzz(Z)"))
    assert np.isnan(molar_mass(definition))


def test_rows_that_need_no_refrigerant(frame):
    # IEC 60534-2-1: F_F = 0.96 - 0.28 sqrt(p_v / p_c); Kv = 10 Q sqrt((rho / rho0) / dp), in m3/h and kPa, the second
    # choked at F_L^2 (p_1 - F_F p_v).
    factor = 0.96 - 0.28 * (70.1 / 22120.0) ** 0.5
    drops = {"164.995": 460.0, "238.058": 0.36 * (680.0 - factor * 70.1)}
    recovery = {"164.995": 0.9, "238.058": 0.6}
    assert only(frame, published_text="0.94424")["computed_value"] == pytest.approx(factor, rel=1e-10)
    for kv, drop in drops.items():
        expected = 3600.0 * 10.0 * 0.1 / recovery[kv] * recovery[kv] * (965.4 / 999.103 / drop) ** 0.5
        assert only(frame, published_text=kv)["computed_value"] == pytest.approx(expected, rel=1e-9)
    # 1 + 2 x 2 + 3 x 3 + 4 x 4 + 5 x 6 + 6 x 9 + 7 x 8 + 8 x 12 + 9 x 18 + 10 x 27
    assert only(frame, published_text="698")["computed_value"] == pytest.approx(698.0, rel=1e-11)


def test_the_demo_is_rated_where_the_standard_rates():
    states = demo_data().states
    at = states[(states["application"] == "walk_in_medium") & (states["condition"] == "rating")]
    assert np.allclose(at["liquid_temperature_k"] * 1.8 - 459.67, 96.0, rtol=0.0, atol=1e-8)


def test_the_handbook_cycle_comes_with_its_refrigerant(frame):
    assert not (frame["subject"] == "cycle").any()
    (cycle,) = (c for c in subset("R22") if c.subject == "cycle")
    assert cycle.passes
    assert cycle.computed == pytest.approx(0.04322, abs=5e-6 + 0.0012 * 0.04322)


def test_without_refrigerants_the_laws_remain():
    assert {c.subject for c in all_checks({}, {})} == {"flow laws", "compressors"}
    assert all(c.passes for c in all_checks({}, {}))


def test_near_critical_rows_are_left_to_the_tests_and_no_row_lacks_a_value():
    checks = subset("R744")
    assert all(c.passes for c in checks)
    assert {c.condition for c in checks if c.subject == "refrigerant states"} == {
        "-40 degC",
        "-31.67 degC",
        "-20 degC",
        "0 degC",
        "critical point",
    }


def test_every_check_of_all_refrigerants_passes_or_is_explained():
    frame = verification_frame(subset(*registry()))
    assert failures(frame) == []
    published = frame[frame["kind"] == "published"]
    assert len(published) == 98
    assert (frame[["kind", "source", "provenance", "why_allowed"]] != "").all(axis=None)
    outside = published[published["verdict"] == "outside_explained"]
    assert set(outside["refrigerant"]) == {"R408A", "R417A", "R444B", "R454C"}


def test_the_same_equation_in_another_program_is_no_published_value():
    """What finds errors of computing alone (pure fluids by one equation of state, one mixture model) is not counted."""
    frame = verification_frame(subset(*registry()))
    published, second = (frame[frame["kind"] == kind] for kind in (CheckKind.PUBLISHED, CheckKind.SECOND))
    same = "one equation of state|one mixture model|two programs|a critical constant"
    assert not published["why_allowed"].str.contains(same).any()
    assert set(published["refrigerant"]).isdisjoint(SOURCE_HAS_THE_EQUATION)
    of_refprop = published["source"].str.contains(r"REFPROP 9\)|CYCLE_D")
    assert set(published.loc[of_refprop, "refrigerant"]) == {"R717", "R1234yf", "R1234ze(E)"}
    assert second["why_allowed"].str.contains(same).sum() > 77


def test_a_reason_says_how_far_boiling_points_are_off():
    """Where an uncertainty rests on boiling points of the designation tables, its reason has the largest deviation."""
    frame = verification_frame(subset(*registry()))
    points = frame[frame["unit"].eq("degC") & ~frame["source"].str.contains("REFPROP 9")]
    largest = points["deviation"].abs().groupby(points["refrigerant"]).max()
    stated = {}
    for name, record in registry().records.items():
        assert "published values within" not in record.uncertainty.reason
        if found := re.search(r"designation tables.* up to ([\d.]+) K off", record.uncertainty.reason):
            stated[name] = found[1]
    assert set(stated) == {"R404A", "R407A", "R407C", "R407F", "R407H", "R410A", "R507A"}
    for name, text in stated.items():
        assert f"{largest[name]:.{len(text.partition('.')[2])}f}" == text, name


def test_a_band_is_missed_by_the_distance_from_its_nearer_end():
    check = next(c for c in subset("R134a") if c.upper_text)
    for ours, deviation in ((0.04, -0.01), (0.05, 0.0), (0.07, 0.0), (0.097, 0.007)):
        moved = dataclasses.replace(check, computed=ours)
        assert moved.deviation == pytest.approx(deviation, abs=1e-12)
        assert moved.passes == (deviation == 0.0)
        (row,) = verification_frame([moved]).to_dict("records")
        assert row["deviation"] == pytest.approx(100.0 * deviation, abs=1e-10)


def test_a_perturbed_value_fails_and_is_reported(monkeypatch):
    """A source that says 0.774 MPa instead of 0.770: no silence, in frame, counts and warnings."""
    wrong = tuple(dataclasses.replace(v, value="0.774") if v.value == "0.770" else v for v in published_values())
    monkeypatch.setattr("tablegen.verification.table.published_values", lambda: wrong)
    frame = verification_frame(subset("R134a"))
    bad = frame[frame["verdict"] == "fails"]
    assert list(bad["published_text"]) == ["0.774"]
    assert failures(frame) == [
        "verification: R134a saturation pressure, 30 degC: 0.774 MPa second implementation (ASHRAE Handbook "
        "Fundamentals ch. 29 (edition inferred: 2017), Table 8 (CYCLE_D/REFPROP)), 0.770196 computed, a deviation of "
        "0.00072 MPa is allowed"
    ]
    frames = {name: getattr(demo_data(), name) for name in FRAMES}
    # The summary needs a solved refrigerant of each application.
    catalogue, laws = demo_catalogue(), laws_of(demo_catalogue().families.values())
    first = {own: catalogue.refrigerants_in(own)[0] for own in catalogue.applications}
    solved_by = {
        (name, own): solve(catalogue.refrigerants[name], catalogue.applications[own], laws)
        for own, name in first.items()
    }
    summary = summarize(catalogue, {**frames, "verification": frame}, solved_by)
    tally = summary.verification["second_implementation"]
    assert (tally["failed"], tally["passed"]) == (1, tally["checks"] - 1)
    assert failures(frame)[0] in summary.warnings


def test_an_explanation_covers_only_what_it_states():
    (check,) = (c for c in subset("R444B") if c.quantity == "dew temperature")
    assert check.verdict == "outside_explained"
    assert "hydrofluoroolefin pairs" in check.explanation
    # 4 % of pressure are 0.8 K.
    worse = dataclasses.replace(check, computed=check.computed + 0.5)
    assert worse.verdict == "fails"
    assert failures(verification_frame([check])) == []
    assert len(failures(verification_frame([worse]))) == 1


def test_what_cannot_be_computed_fails():
    check = dataclasses.replace(subset("R134a")[0], computed=float("nan"))
    assert not check.passes
    frame = verification_frame([check])
    assert frame["verdict"].tolist() == ["fails"]
    assert len(failures(frame)) == 1
    assert not dataclasses.replace(subset("R134a")[0], allowed=float("nan")).passes


def test_units_go_to_si_and_back():
    for unit in UNITS.values():
        assert unit.of(unit.si(12.5)) == pytest.approx(12.5, rel=1e-13)
    assert UNITS["psia"].si(1.0) == pytest.approx(PSI_PA, rel=1e-15)
    assert UNITS["C"].si(0.0) == 273.15
    assert UNITS["F"].si(-459.67) == 0.0


def test_columns_are_described_or_text(frame):
    numeric = list(frame.select_dtypes(include=np.number).columns)
    assert numeric == NUMBERS
    assert set(numeric) <= set(COLUMNS)
    assert all(pd.api.types.is_string_dtype(frame[c]) for c in frame.columns if c not in numeric)
    # A figure as printed keeps its zeros through the file.
    assert "0.770" in set(frame["published_text"])
    assert "1" in set(frame["unit"])


def test_provenance_says_whether_the_source_was_checked_and_nothing_else():
    frame = verification_frame(subset(*registry()))
    assert (frame.groupby("source")["provenance"].nunique() == 1).all()
    assert set(frame["provenance"]) == {Provenance.CHECKED, Provenance.NOT_CHECKED, Provenance.NO_SOURCE}
    assert set(frame.loc[frame["provenance"] == Provenance.NO_SOURCE, "kind"]) == {
        CheckKind.SELF,
        CheckKind.RULE_OF_THUMB,
    }
    assert set(frame.loc[frame["kind"] == CheckKind.RULE_OF_THUMB, "provenance"]) == {Provenance.NO_SOURCE}
    assert not frame["source"].str.contains("memory|stored|public text|elsewhere").any()


def test_the_frame_is_the_same_each_time():
    again = verification_frame(all_checks(demo_catalogue().refrigerants, demo_catalogue().records))
    frames = {name: getattr(demo_data(), name) for name in FRAMES}
    made = DataSet.of(demo_catalogue(), demo_data().summary, {**frames, "verification": again})
    assert made.files_sha256 == demo_data().files_sha256
