"""Whose value a check is against, whether we saw it there, and what came of it; the counts of a frame by these."""

from __future__ import annotations

from enum import StrEnum

import pandas as pd

CHECKED, NOT_CHECKED = "checked against the source", "not checked against the source"
# Where no other document stands behind the figure.
NO_SOURCE = "no outside source"


class Kind(StrEnum):
    """What a check compares with; only `PUBLISHED` counts as verification."""

    PUBLISHED = "published"
    RULE_OF_THUMB = "rule of thumb"
    SECOND = "second implementation"
    SELF = "self-check"


class Verdict(StrEnum):
    """What came of a check; `EXPLAINED` is outside its band for a stated reason that covers such a deviation."""

    PASSES = "passes"
    EXPLAINED = "outside, explained"
    FAILS = "fails"


def counts(frame: pd.DataFrame) -> dict[str, dict[str, int]]:
    """Checks of each kind in a verification frame by verdict; of published values also those seen in their source."""
    found = {}
    for kind in Kind:
        own = frame[frame["kind"] == kind]
        tally = {
            "checks": len(own),
            "passed": int((own["verdict"] == Verdict.PASSES).sum()),
            "outside_explained": int((own["verdict"] == Verdict.EXPLAINED).sum()),
            "failed": int((own["verdict"] == Verdict.FAILS).sum()),
        }
        if kind is Kind.PUBLISHED:
            tally["checked_against_source"] = int((own["provenance"] == CHECKED).sum())
        found[str(kind)] = tally
    return found
