"""Which flow law the rows support.

The laws part where the drop exceeds F_L^2 (p_1 - F_F p_v).  As F_L is at most 1, rows that follow the square root well
beyond p_1 - F_F p_v speak against choking whatever F_L is; rows that flatten before speak for it.  Rows that do neither
leave the question open.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tablegen.bench.flow_model import FlowModel
from tablegen.bench.flow_rows import FlowRows
from tablegen.bench.result import LawVerdict
from tablegen.bench.robust import Fit, loss
from tablegen.physics.flow import FlowLaw

# A hundred to one.
_EVIDENCE = math.log(100.0)
_FEWEST = 4
# A row speaks once the laws part by this share of the drop.
_BEYOND = 1.05


@dataclass(frozen=True, slots=True)
class Comparison:
    """The verdict, and what was fitted under either law."""

    verdict: LawVerdict
    orifice_model: FlowModel
    orifice: Fit
    choked_model: FlowModel
    choked: Fit

    @property
    def better(self) -> tuple[FlowModel, Fit]:
        """Model and fit of the law that lies nearer to the rows."""
        if self.verdict.evidence > 0.0:
            return self.choked_model, self.choked
        return self.orifice_model, self.orifice


def compare_laws(rows: FlowRows, nodes: tuple[float, ...] | None, near: Comparison | None = None) -> Comparison:
    """Fit both laws to every row, and see which of them the rows support.

    `near` is a comparison of the same rows with other weights, to begin from.
    """
    every = np.ones(len(rows), dtype=bool)
    start, held = (None, None) if near is None else (near.choked.values, near.choked_model.recovery)
    orifice_model, orifice = FlowModel(rows, FlowLaw.ORIFICE, nodes).fitted(every)
    choked_model, choked = FlowModel(rows, FlowLaw.CHOKED, nodes, held).fitted(every, start)
    unit = min(orifice.scale, choked.scale)
    evidence = float(loss(orifice.residuals / unit).sum() - loss(choked.residuals / unit).sum())
    if choked_model.recovery is None:
        # What one more parameter fits of mere scatter (Schwarz).
        evidence -= 0.5 * math.log(len(rows))
    recovery = math.exp(choked_model.log_recovery(choked.values))
    beyond = int((rows.choking > _BEYOND * recovery**2).sum())
    before = int((rows.choking < recovery**2 / _BEYOND).sum())
    law, why, test = _decided(rows, evidence, beyond, before)
    scatters = (_relative(orifice, rows), _relative(choked, rows))
    verdict = LawVerdict(law, why, test, *scatters, evidence, beyond, float(rows.choking.max()))
    return Comparison(verdict, orifice_model, orifice, choked_model, choked)


def _relative(fit: Fit, rows: FlowRows) -> float:
    """Scatter of mass flow, by a loss that a few rows cannot run away with."""
    spread = float(np.median(rows.spread))
    return spread * fit.scale * math.sqrt(2.0 * float(loss(fit.residuals / fit.scale).mean()))


def _decided(rows: FlowRows, evidence: float, beyond: int, before: int) -> tuple[FlowLaw | None, str, str]:
    maximum = int(np.argmax(rows.choking))
    most = float(rows.choking[maximum])
    if evidence > _EVIDENCE and beyond >= _FEWEST:
        return FlowLaw.CHOKED, f"flow stops growing with the drop in {beyond} rows", ""
    past_limit = int((rows.choking > _BEYOND).sum())
    if past_limit == 0:
        return (
            None,
            f"no row has a drop beyond p1 - F_F pv, where choking sets in whatever F_L is (the maximum, line "
            f"{rows.line[maximum]}, is {100.0 * most:.0f} percent of it)",
            "rows with a lower outlet pressure or warmer liquid",
        )
    if past_limit < _FEWEST:
        return (
            None,
            f"only {past_limit} row{'s have' if past_limit > 1 else ' has'} a drop beyond p1 - F_F pv, and {_FEWEST} "
            "are needed",
            "more rows with a lower outlet pressure or warmer liquid",
        )
    if before < _FEWEST and evidence > -_EVIDENCE:
        return (
            None,
            "every row may be choked, and then only the product of Kv and F_L shows",
            "rows with a small drop: a higher outlet pressure, or colder liquid",
        )
    if evidence < -_EVIDENCE:
        return FlowLaw.ORIFICE, f"flow grows with the drop in {past_limit} rows beyond p1 - F_F pv", ""
    return (
        None,
        "both laws fit the rows alike",
        "rows of the same opening with drops from a third of p1 - F_F pv to twice as much",
    )
