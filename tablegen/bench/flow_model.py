"""The flow equation as a problem of least squares in logarithms.

    ln K = ln Kv + ln c(phi) + 1/2 min(0, ln(F_L^2 (p_1 - F_F p_v) / dp))

K is the flow coefficient that the whole drop asks for; the last term is there under the law `choked` alone.  A
residual is a relative deviation of mass flow, as a flow meter's error is one of its reading.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.interpolate import PchipInterpolator

from tablegen.bench.flow_rows import FlowRows
from tablegen.bench.robust import Fit, Problem, best_start, fit
from tablegen.physics.arrays import Bools, Floats
from tablegen.physics.flow import FlowLaw

RECOVERY = "F_L"
_STEP = 1e-6
_LOG_SHARES = (-12.0, 3.0)
_RECOVERY_STARTS = (0.5, 0.7, 0.9)
# Openings: apart by more they are two settings; a setting is at a round place if it is as near; a point keeps this
# distance from the next and has as many rows.
_GAP, _NEAR, _APART, _FEWEST = 0.03, 0.04, 0.07, 3
# Openings that lie within this speak of one place, not of a curve.
_ONE_OPENING = 0.1


@dataclass(frozen=True, slots=True)
class FlowModel:
    """Rows, law, and where the characteristic has free points; none where it is linear.

    `recovery` holds F_L where it is not fitted.
    """

    rows: FlowRows
    law: FlowLaw
    nodes: tuple[float, ...] | None = None
    recovery: float | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """Parameters, each the logarithm of what it names."""
        kv = tuple(kv_name(size) for size in self.rows.sizes)
        shares = tuple(share_name(node) for node in self.nodes or ())
        return (*kv, *shares, *((RECOVERY,) if self._fits_recovery else ()))

    @property
    def _fits_recovery(self) -> bool:
        return self.law is FlowLaw.CHOKED and self.recovery is None

    def start(self, recovery: float = 0.8) -> Floats:
        """Where a search begins: Kv of the median row with a linear characteristic."""
        rows = self.rows
        choke = np.zeros(len(rows)) if self.law is FlowLaw.ORIFICE else _choke(rows.choking, np.log(recovery))
        apart = rows.log_coefficient - np.log(rows.opening) - choke
        kv = [float(np.median(apart[rows.size == i])) for i in range(len(rows.sizes))]
        shares = [float(np.log(node)) for node in self.nodes or ()]
        return np.array([*kv, *shares, *([np.log(recovery)] if self._fits_recovery else [])])

    def log_share(self, values: Floats, opening: Floats) -> Floats:
        """ln c at openings."""
        if self.nodes is None:
            return np.asarray(np.log(opening))
        return self._log_shares(values[None, :], opening)[:, 0]

    def _log_shares(self, values: Floats, opening: Floats) -> Floats:
        """ln c, a column for each row of parameters; making one curve of many takes no longer than one of one."""
        first, nodes = len(self.rows.sizes), self.nodes or ()
        at = np.array([0.0, 1.0, *nodes])
        ends = np.broadcast_to([0.0, 1.0], (len(values), 2))
        # A search may try what no characteristic can be.
        free = np.exp(np.clip(values[:, first : first + len(nodes)], *_LOG_SHARES))
        share = np.concatenate([ends, free], axis=1)
        order = np.argsort(at)
        return np.asarray(np.log(PchipInterpolator(at[order], share[:, order].T)(opening)))

    def log_recovery(self, values: Floats) -> float:
        """ln F_L; 0 under the orifice law, where nothing hangs on it."""
        if self.law is FlowLaw.ORIFICE:
            return 0.0
        return float(values[-1]) if self.recovery is None else float(np.log(self.recovery))

    def choke(self, values: Floats) -> Floats:
        """What choking takes from ln K, 0 or below."""
        if self.law is FlowLaw.ORIFICE:
            return np.zeros(len(self.rows))
        return _choke(self.rows.choking, self.log_recovery(values))

    def computed(self, values: Floats) -> Floats:
        """ln K of every row."""
        return np.asarray(values[self.rows.size] + self.log_share(values, self.rows.opening) + self.choke(values))

    def residuals(self, values: Floats) -> Floats:
        """Measured less computed, over the stated spread."""
        return np.asarray((self.rows.log_coefficient - self.computed(values)) / self.rows.spread)

    def jacobian(self, values: Floats) -> Floats:
        """Derivatives of the residuals."""
        rows, first = self.rows, len(self.rows.sizes)
        found = np.zeros((len(rows), len(values)))
        found[np.arange(len(rows)), rows.size] = 1.0
        if self.nodes is not None:
            free = slice(first, first + len(self.nodes))
            moved = values + _STEP * np.eye(len(values))[free]
            shares = self._log_shares(np.vstack([values, moved]), rows.opening)
            found[:, free] = (shares[:, 1:] - shares[:, :1]) / _STEP
        if self._fits_recovery:
            found[:, -1] = self.choke(values) < 0.0
        return np.asarray(-found / rows.spread[:, None])

    def fitted(self, is_used: Bools | None = None, start: Floats | None = None) -> tuple[FlowModel, Fit]:
        """The best fit; F_L stays at 1 where the rows would have it greater, for then none of them chokes.

        Where a row begins to choke the sum of losses has a kink, so without a `start` the search begins from several
        F_L.
        """
        starts = [self.start(f) for f in _RECOVERY_STARTS] if self._fits_recovery else [self.start()]
        problem = Problem(self.names, self.residuals, self.jacobian, starts[0])
        if start is None:
            start = starts[0] if len(starts) == 1 else best_start(problem, starts)
        best = fit(replace(problem, start=start), is_used)
        if self._fits_recovery and best.values[-1] > 0.0:
            return FlowModel(self.rows, self.law, self.nodes, 1.0).fitted(is_used)
        return self, best

    def points(self, values: Floats) -> tuple[tuple[float, float], ...]:
        """The characteristic's points with (0, 0) and (1, 1), none where it is linear."""
        if self.nodes is None:
            return ()
        first = len(self.rows.sizes)
        shares = np.exp(values[first : first + len(self.nodes)])
        return tuple(sorted([(0.0, 0.0), (1.0, 1.0), *zip(self.nodes, map(float, shares), strict=True)]))


def _choke(choking: Floats, log_recovery: float) -> Floats:
    return np.asarray(0.5 * np.minimum(0.0, 2.0 * log_recovery - np.log(choking)))


def kv_name(size: str) -> str:
    """The parameter of a size."""
    return f"Kv of size {size}"


def share_name(node: float) -> str:
    """The parameter of a point."""
    return f"the share of Kv at {100.0 * node:.4g} percent opening"


def points_chosen(opening: Floats, stop: float, asked: Sequence[float] | None) -> tuple[float, ...] | None:
    """Openings beside 0 and 100 percent at which the characteristic gets points; None where the rows carry none.

    Rows at settings of the bench give a point to each setting; a sweep gets one at every quarter.
    """
    ordered = np.sort(opening)
    if asked is None and ordered[-1] - ordered[0] < _ONE_OPENING:
        return None
    nodes = _centres(ordered, stop) if asked is None else [node for node in asked if node != 1.0]
    if ordered[-1] > max([1.0, *nodes]):
        # Without it the rows above would lie off the curve.
        nodes = [node for node in nodes if stop - node >= _APART] + [stop]
    return tuple(sorted(nodes)) or None


def _centres(ordered: Floats, stop: float) -> list[float]:
    ends = (1.0, stop)
    nodes: list[float] = []
    groups = np.split(ordered, np.flatnonzero(np.diff(ordered) > _GAP) + 1)
    if any(group[-1] - group[0] > 2.0 * _GAP for group in groups):
        groups = [ordered[np.abs(ordered - at) <= 0.125] for at in (0.25, 0.5, 0.75, stop) if at <= ordered[-1] + _GAP]
        centres = [0.25, 0.5, 0.75, stop]
    else:
        centres = [round(float(np.median(group)), 2) for group in groups]
    for centre, group in zip(centres, groups, strict=False):
        at = next((end for end in ends if abs(centre - end) <= _NEAR), centre)
        if len(group) >= _FEWEST and at != 1.0 and all(abs(at - other) >= _APART for other in (0.0, 1.0, *nodes)):
            nodes.append(at)
    return nodes
