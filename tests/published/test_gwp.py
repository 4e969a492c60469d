"""Global warming potentials, compositions and safety groups of the packaged refrigerants, from their sources.

gwp_components.csv has what the reports print of single fluids; every blend is worked out from it again.
compositions.csv has the designation tables: with the registry it compares one copy with another, which finds slips of
the pen and is no verification; that is left to the molar masses, which others worked out.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from CoolProp import CoolProp as coolprop

from tablegen.config import packaged_configs
from tests.registry import registry

HERE = Path(__file__).parent
# From the files, not the registry: its store takes its folder when it is made, and tests are collected before the
# folder of the run is set.
NAMES = sorted(path.stem for path in (packaged_configs() / "refrigerants").glob("*.yaml"))
# Blends are printed as whole numbers.
ROUNDING = 0.5 + 1e-9
# The regulation's 7 and 4 are what the configs say; the library carries other figures.
LIBRARY_DIFFERS = {"R1234ze(E)": 6.0, "R600": 3.0}
# By this report, which does not list them, hydrocarbons count as nothing.
UNLISTED = {"AR5": ("R290", "R600", "R600a", "R601a")}


def table(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


GWP = {(row["component"], row["report"]): row["gwp"] for row in table("gwp_components.csv")}
COMPOSITIONS = {row["refrigerant"]: row for row in table("compositions.csv")}


def component_gwp(name: str, report: str) -> float:
    """What a component adds to a blend; one that is only said to be below 1 counts as nothing."""
    if name in UNLISTED.get(report, ()):
        return 0.0
    printed = GWP[name, report]
    return 0.0 if printed.startswith("<") else float(printed)


def reports(name: str) -> list[str]:
    """The reports that say something of a refrigerant: a single fluid must be in one, a blend is summed."""
    components = registry().records[name].definition.components
    return [r for r in ("AR4", "AR5") if len(components) > 1 or (components[0], r) in GWP]


@pytest.mark.parametrize("name", NAMES)
def test_gwp_is_mass_weighted_from_the_components(name: str) -> None:
    record = registry().records[name]
    given = {g.report: g for g in record.gwp}
    assert list(given) == reports(name)
    shares = dict(zip(record.definition.components, record.definition.mass_fractions, strict=True))
    for report, gwp in given.items():
        if not record.is_blend and GWP[name, report].startswith("<"):
            assert gwp.is_below
            assert gwp.value == float(GWP[name, report].removeprefix("<"))
            continue
        expected = sum(share * component_gwp(component, report) for component, share in shares.items())
        assert not gwp.is_below
        assert gwp.value == pytest.approx(expected, rel=0.0, abs=ROUNDING), report


def test_sources_name_report_and_say_that_they_were_not_checked() -> None:
    for row in table("gwp_components.csv"):
        assert row["provenance"] == "not checked against the source"
        assert row["source"].strip()
    for name, record in registry().records.items():
        for gwp in record.gwp:
            expected = ("IPCC 2007", "517/2014") if gwp.report == "AR4" else ("IPCC 2013",)
            assert any(source in gwp.source for source in expected), name
            assert "not checked against the source" in gwp.source, name
        if record.is_blend and any(c in ("R290", "R600", "R600a", "R601a") for c in record.definition.components):
            assert all("hydrocarbons" in g.source for g in record.gwp), name
        if record.is_blend and any(c.startswith("R1234") for c in record.definition.components):
            assert all("hydrofluoroolefins" in g.source for g in record.gwp), name


@pytest.mark.parametrize("component", sorted({c for c, _ in GWP}))
def test_ar4_is_what_the_property_library_has(component: str) -> None:
    try:
        found = float(coolprop.PropsSI("GWP100", component))
    except ValueError:
        pytest.skip("the library has none")
    expected = float(GWP[component, "AR4"])
    if component in LIBRARY_DIFFERS:
        assert found == LIBRARY_DIFFERS[component] != expected
    else:
        assert found == pytest.approx(expected, abs=0.5)


def test_every_refrigerant_is_in_the_designation_table() -> None:
    assert set(COMPOSITIONS) == set(NAMES)
    provenances = {"checked against the source", "the property library's own", "not checked against the source"}
    assert {row["provenance"] for row in COMPOSITIONS.values()} <= provenances


@pytest.mark.parametrize("name", NAMES)
def test_composition_and_safety_group(name: str) -> None:
    row, record = COMPOSITIONS[name], registry().records[name]
    percents = [float(p) for p in row["mass_percent"].split("/")]
    printed = dict(zip(row["components"].split("/"), percents, strict=True))
    found = dict(zip(record.definition.components, record.definition.mass_fractions, strict=True))
    assert {c: pytest.approx(100.0 * share, abs=1e-9) for c, share in found.items()} == printed
    assert sum(percents) == pytest.approx(100.0)
    assert record.safety_group == row["safety_group"]


STORED = [name for name, row in COMPOSITIONS.items() if row["provenance"] == "the property library's own"]


@pytest.mark.parametrize("name", STORED)
def test_composition_is_the_one_stored_in_the_library(name: str) -> None:
    """Where the table could not be read: the library's own mixture, as moles, gives the same mass percents."""
    state = coolprop.AbstractState("HEOS", f"{name}.mix")
    found = dict(zip(state.fluid_names(), state.get_mass_fractions(), strict=True))
    made_of = registry().records[name].definition
    spelled = [coolprop.get_fluid_param_string(component, "name") for component in made_of.components]
    assert found == pytest.approx(dict(zip(spelled, made_of.mass_fractions, strict=True)), abs=5e-4)
