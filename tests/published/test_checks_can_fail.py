"""Every check that is left can fail: a plausible error of ours does not pass it."""

from __future__ import annotations

import dataclasses
import functools

import pytest

from tablegen.verification import table, worked_cases
from tablegen.verification.check import Check, CheckKind, Verdict
from tablegen.verification.published_values import molar_mass
from tests.registry import refrigerant, registry


@functools.cache
def checks() -> list[Check]:
    return table.all_checks({name: refrigerant(name) for name in registry()}, registry().records)


def verdict(check: Check, computed: float) -> Verdict:
    return dataclasses.replace(check, computed=computed).verdict


@pytest.mark.parametrize("factor", [0.9, 1.1, -1.0])
def test_ten_percent_or_the_wrong_sign_fails(factor: float) -> None:
    """In the unit of the source, so that a temperature moves by its degrees; a loss moves by its capacity."""
    passed = []
    for check in checks():
        printed = check.unit.of(check.computed)
        wrong = check.unit.si(factor * printed)
        if check.kind is CheckKind.RULE_OF_THUMB and factor > 0.0:
            wrong = 1.0 - factor * (1.0 - check.computed)
        if verdict(check, wrong) is not Verdict.FAILS:
            passed.append((check.refrigerant, check.quantity, check.condition))
    assert passed == []


def test_a_loss_by_flow_alone_is_below_the_band() -> None:
    """Forgetting that warmer liquid boils more of itself off is the usual slip."""
    for check in (c for c in checks() if c.quantity == "compressor loss"):
        state = worked_cases._at_high_head(refrigerant(check.refrigerant))
        assert verdict(check, 1.0 - float(state.flow_ratio[0])) is Verdict.FAILS


def test_bands_are_those_of_their_rule() -> None:
    bands = {c.text for c in checks() if c.upper_text}
    assert bands == {"5 to 9"}
    losses = {c.refrigerant: c for c in checks() if c.quantity == "compressor loss"}
    outside = {name for name, check in losses.items() if check.verdict is Verdict.EXPLAINED}
    assert outside == {"R404A", "R507A"}
    for name in outside:
        # The reason gives the parts by numbers, and reaches to 10 %.
        assert "by the enthalpy of warmer liquid" in losses[name].explanation
        assert verdict(losses[name], 0.101) is Verdict.FAILS
    assert verdict(losses["R134a"], 0.095) is Verdict.FAILS


def test_one_percent_of_a_blend_in_another_component_shows_in_its_molar_mass() -> None:
    """Between components of like molar mass (R134a and the hydrofluoroolefins) it cannot; between others it does."""
    by_name = {c.refrigerant: c for c in checks() if c.quantity == "molar mass"}
    for name, first, second in (("R448A", 0, 1), ("R404A", 0, 2), ("R407C", 0, 2), ("R454C", 0, 1), ("R410A", 0, 1)):
        definition = registry().records[name].definition
        shares = list(definition.mass_fractions)
        shares[first] += 0.01
        shares[second] -= 0.01
        wrong = dataclasses.replace(definition, mass_fractions=tuple(shares))
        assert by_name[name].passes
        assert verdict(by_name[name], molar_mass(wrong)) is Verdict.FAILS, name


def test_nothing_is_checked_by_its_own_formula() -> None:
    gone = {
        "mass share",
        "liquid at the valve",
        "port of that flow, Kv",
        "largest unchoked drop",
        "superheat moved by a port",
        "compressor gain",
        "valve loss",
        "group spread",
        "mean of both pressures",
        "volumetric efficiency",
        "mass flow, lb/h",
    }
    assert gone.isdisjoint(c.quantity for c in checks())
    assert {c.quantity for c in checks() if c.kind is CheckKind.SELF} == {
        "mid-point pressure",
        "bubble temperature",
        "polynomial of ten terms",
    }
