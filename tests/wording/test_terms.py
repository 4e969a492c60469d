"""Every value that a data set or a config may have has its printed name, and no name is without a value."""

import pytest

from tablegen.audits import findings
from tablegen.confidence.draws import Source
from tablegen.physics.operating import Zone
from tablegen.physics.reasons import LIMITING, Reason
from tablegen.physics.system import Basis, OperatingCondition, SuctionResponse
from tablegen.verification.check import CheckKind, Provenance
from tablegen.wording import terms


@pytest.mark.parametrize(
    ("values", "names"),
    [
        (OperatingCondition, terms.CONDITIONS),
        (OperatingCondition, terms.CONDITION_TITLES),
        (OperatingCondition, terms.AT_CONDITIONS),
        (OperatingCondition, terms.AT_CONDITION_TITLES),
        (LIMITING, terms.LIMIT_REASONS),
        (Reason, terms.REASONS),
        (Zone, terms.ZONES_EXPLAINED),
        (Basis, terms.BASES),
        (Basis, terms.BASES_EXPLAINED),
        (SuctionResponse, terms.SUCTION_RESPONSES),
        (Source, terms.DRIVERS),
        (findings.FindingKind, terms.FINDINGS),
        (CheckKind, terms.CHECKS),
        (CheckKind, terms.CHECKS_EXPLAINED),
        (Provenance, terms.PROVENANCES),
    ],
)
def test_values_and_names(values, names):
    assert set(map(str, values)) == set(names)
    assert len({name() for name in names.values()}) == len(names)
