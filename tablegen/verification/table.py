"""Every check that bears on some refrigerants, as a list and as the frame of a data set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

import pandas as pd

from tablegen.model.registry import RefrigerantRecord
from tablegen.physics.refrigerants import Refrigerant
from tablegen.verification.allowances import allowance
from tablegen.verification.check import Check
from tablegen.verification.cycles import example_checks
from tablegen.verification.kinds import Kind, Verdict
from tablegen.verification.laws import law_checks
from tablegen.verification.practice import practice_checks
from tablegen.verification.properties import OF_EQUATION, PROPERTIES, computed
from tablegen.verification.published_values import PublishedValue, published_values

# Figures of a computed value that are kept, as in every frame.
_FIGURES = 12


def all_checks(refrigerants: Mapping[str, Refrigerant], records: Mapping[str, RefrigerantRecord]) -> list[Check]:
    """Checks of the refrigerants given, and those that need none.

    Parameters
    ----------
    refrigerants, records : mappings by name, of the same names
    """
    found = [
        *(
            state_check(value, refrigerants[value.refrigerant], records[value.refrigerant])
            for value in published_values()
            if value.refrigerant in refrigerants and value.code not in OF_EQUATION
        ),
        *example_checks(refrigerants),
        *law_checks(),
        *practice_checks(refrigerants),
    ]
    order = list(Kind)
    return sorted(found, key=lambda check: order.index(check.kind))


def state_check(value: PublishedValue, fluid: Refrigerant, record: RefrigerantRecord) -> Check:
    """A value of a refrigerant beside ours."""
    allowed = allowance(value, fluid, record)
    return Check(
        value.kind,
        "refrigerant states",
        value.refrigerant,
        PROPERTIES[value.code].formatter,
        value.condition_formatter,
        value.source,
        value.provenance,
        value.value,
        value.source_unit,
        computed(value, fluid),
        allowed.si,
        f"half the last digit; {allowed.why}",
        explanation=allowed.explanation,
        explained=allowed.explained,
    )


def verification_frame(checks: Sequence[Check]) -> pd.DataFrame:
    """One row a check, values in the unit that the source prints; NaN where ours could not be computed."""
    return pd.DataFrame([_row(check) for check in checks])


def failures(frame: pd.DataFrame) -> list[str]:
    """A line for each check of a verification frame that fails without an explanation."""
    return [
        f"verification: {f'{row.refrigerant} {row.quantity}'.strip()}, {row.condition}: {row.published_text} "
        f"{row.unit} {row.kind} ({row.source}), {row.computed_value:.6g} computed, a deviation of "
        f"{row.allowed_deviation:.2g} {row.deviation_unit} is allowed"
        for row in frame.itertuples()
        if row.verdict == Verdict.FAILS
    ]


def _row(check: Check) -> dict[str, str | float]:
    ours = Decimal(f"{check.unit.of(check.computed):.{_FIGURES}g}")
    return {
        "kind": str(check.kind),
        "subject": check.subject,
        "refrigerant": check.refrigerant,
        "quantity": check.quantity,
        "condition": check.condition,
        "source": check.source,
        "provenance": check.provenance,
        "published_text": check.text,
        "unit": check.unit.text,
        "published_value": float(check.published_decimal),
        "computed_value": float(ours),
        # In decimal, so that no binary noise is written for a deviation of nothing.
        "deviation": 0.0 if check.is_in_band else float(ours - check.published_decimal),
        "allowed_deviation": check.allowed / check.unit.scale,
        "deviation_unit": check.unit.difference,
        "why_allowed": check.why_allowed,
        "verdict": str(check.verdict),
        # Of a check that passes there is nothing to explain.
        "explanation": check.explanation if check.verdict is Verdict.EXPLAINED else "",
    }
