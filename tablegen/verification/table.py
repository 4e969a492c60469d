"""Every check of some refrigerants, as a list, as the frame of a data set, and counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

import pandas as pd

from tablegen.model.registry import RefrigerantRecord
from tablegen.physics.refrigerants import Refrigerant
from tablegen.verification.allowances import allowance
from tablegen.verification.check import Check, CheckKind, Provenance, Verdict
from tablegen.verification.published_values import OF_EQUATION, PublishedValue, computed, published_values
from tablegen.verification.worked_cases import cycle_checks, law_checks, rule_checks
from tablegen.wording import terms
from tablegen.wording import verification as wording

# Figures of a computed value, as in every frame.
_FIGURES = 12


def all_checks(refrigerants: Mapping[str, Refrigerant], records: Mapping[str, RefrigerantRecord]) -> list[Check]:
    """Checks of the given refrigerants, and those that need none.

    Parameters
    ----------
    refrigerants, records : mapping
        By name, with the same names.

    Returns
    -------
    list of Check
        Published values first, self-checks last.
    """
    found = [
        *(
            state_check(value, refrigerants[value.refrigerant], records[value.refrigerant])
            for value in published_values()
            if value.refrigerant in refrigerants and value.code not in OF_EQUATION
        ),
        *cycle_checks(refrigerants),
        *law_checks(),
        *rule_checks(refrigerants),
    ]
    order = list(CheckKind)
    return sorted(found, key=lambda check: order.index(check.kind))


def state_check(value: PublishedValue, fluid: Refrigerant, record: RefrigerantRecord) -> Check:
    """A published value of a refrigerant beside ours.

    Parameters
    ----------
    value : PublishedValue
    fluid : Refrigerant
    record : RefrigerantRecord
        States how uncertain the refrigerant's properties are.
    """
    allowed = allowance(value, fluid, record)
    return Check(
        kind=value.kind,
        subject=wording.STATES(),
        refrigerant=value.refrigerant,
        quantity=wording.PROPERTIES[value.code](),
        condition=value.condition_text,
        source=value.source,
        provenance=value.provenance,
        published_text=value.value,
        unit=value.source_unit,
        computed=computed(value, fluid),
        allowed=allowed.si,
        why_allowed=wording.HALF_DIGIT_AND(also=allowed.why),
        explanation=allowed.explanation,
        explained=allowed.explained,
    )


def verification_frame(checks: Sequence[Check]) -> pd.DataFrame:
    """One row a check, values in the unit that the source prints; NaN where ours could not be computed."""
    return pd.DataFrame([_row(check) for check in checks])


def counts(frame: pd.DataFrame) -> dict[str, dict[str, int]]:
    """Checks of each kind in a verification frame by verdict; of published values also those seen in their source."""
    found = {}
    for kind in CheckKind:
        own = frame[frame["kind"] == kind]
        tally = {
            "checks": len(own),
            "passed": int((own["verdict"] == Verdict.PASSES).sum()),
            "outside_explained": int((own["verdict"] == Verdict.EXPLAINED).sum()),
            "failed": int((own["verdict"] == Verdict.FAILS).sum()),
        }
        if kind is CheckKind.PUBLISHED:
            tally["checked_against_source"] = int((own["provenance"] == Provenance.CHECKED).sum())
        found[str(kind)] = tally
    return found


def failures(frame: pd.DataFrame) -> list[str]:
    """A line for each check of a verification frame that fails without an explanation."""
    return [
        wording.FAILURE(
            quantity=f"{row['refrigerant']} {row['quantity']}".strip(),
            condition=row["condition"],
            published=row["published_text"],
            unit=row["unit"],
            kind=terms.CHECKS[row["kind"]](),
            source=row["source"],
            computed=f"{row['computed_value']:.6g}",
            allowed=f"{row['allowed_deviation']:.2g}",
            difference=row["deviation_unit"],
        )
        for row in frame[frame["verdict"] == Verdict.FAILS].to_dict("records")
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
        "provenance": str(check.provenance),
        "published_text": check.text,
        "unit": check.unit.text,
        "published_value": float(check.published_decimal),
        "computed_value": float(ours),
        # In decimal, so that a deviation of zero is written without binary noise.
        "deviation": 0.0 if check.is_in_band else float(ours - check.published_decimal),
        "allowed_deviation": check.allowed / check.unit.scale,
        "deviation_unit": check.unit.difference,
        "why_allowed": check.why_allowed,
        "verdict": str(check.verdict),
        # A check that passes has nothing to explain.
        "explanation": check.explanation if check.verdict is Verdict.EXPLAINED else "",
    }
