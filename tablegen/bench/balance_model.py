"""The force balance as a linear problem of least squares.

    p_bulb - p_under = spring + phi gradient + u (dp - middle drop)

for each charge, with one u for all.  A residual is divided by the slope of the charge curve, so that it counts in
kelvin of bulb temperature; where the opening was inferred from flow it weighs less, as its error adds to the bulb's.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tablegen.bench.balance_rows import BalanceRows
from tablegen.bench.robust import Fit, Problem, fit
from tablegen.physics.arrays import Bools, Floats

PORT = "the unbalance of the port"


def spring_name(charge: str) -> str:
    """The parameter of a charge's spring."""
    return f"the spring of charge {charge}"


def gradient_name(charge: str) -> str:
    """The parameter of a charge's gradient."""
    return f"the gradient of charge {charge}"


@dataclass(frozen=True, slots=True)
class BalanceModel:
    """Rows, the charges whose gradient they tell, and whether they tell the port's share."""

    rows: BalanceRows
    with_gradient: tuple[str, ...]
    has_port: bool
    spread: Floats | None = None

    @property
    def unit_pa(self) -> Floats:
        """What turns a deviation of pressure [Pa] into a residual."""
        return self.rows.slope_pa_k if self.spread is None else self.rows.slope_pa_k * self.spread

    def in_kelvin(self, residuals: Floats) -> Floats:
        """Residuals in kelvin of bulb temperature."""
        return residuals if self.spread is None else residuals * self.spread

    def gradient_of(self, values: Floats) -> Floats:
        """The gradient [Pa per rated stroke] of each row's charge, 0 where the rows carry none."""
        found = np.zeros(len(self.rows))
        for charge in self.with_gradient:
            found[self.rows.of(charge)] = values[self.names.index(gradient_name(charge))]
        return found

    def weighted(self) -> BalanceModel:
        """The model with the errors of inferred openings in its weights."""
        if not self.rows.opening_random.any():
            return self
        found = self.fitted()
        off_k = self.gradient_of(found.values) * self.rows.opening_random / self.rows.slope_pa_k
        return replace(self, spread=np.sqrt(1.0 + (off_k / found.scale) ** 2))

    @property
    def middle_drop_pa(self) -> float:
        """Where the port's share is counted from, so that spring and port are told apart as well as they can be."""
        return float(np.median(self.rows.pressure_drop_pa))

    @property
    def names(self) -> tuple[str, ...]:
        """Parameters [Pa], [Pa per rated stroke], [1]."""
        springs = tuple(spring_name(charge) for charge in self.rows.charges)
        gradients = tuple(gradient_name(charge) for charge in self.with_gradient)
        return (*springs, *gradients, *((PORT,) if self.has_port else ()))

    def columns(self) -> Floats:
        """What each parameter is multiplied with [Pa]."""
        rows = self.rows
        own = {charge: rows.of(charge).astype(np.float64) for charge in rows.charges}
        found = [*own.values(), *(own[charge] * rows.opening for charge in self.with_gradient)]
        if self.has_port:
            found.append(rows.pressure_drop_pa - self.middle_drop_pa)
        return np.stack(found, axis=1)

    def fitted(self, is_used: Bools | None = None, more: dict[str, Floats] | None = None) -> Fit:
        """The best fit; `more` are further columns by name, to see whether the rows ask for them."""
        more = more or {}
        columns = np.column_stack([self.columns(), *more.values()]) / self.unit_pa[:, None]
        target = (self.rows.bulb_pa - self.rows.under_pa) / self.unit_pa
        start = np.asarray(np.linalg.lstsq(columns, target, rcond=None)[0], dtype=np.float64)
        problem = Problem((*self.names, *more), lambda x: target - columns @ x, lambda x: -columns, start)
        return fit(problem, is_used)

    def response(self, found: Fit) -> Floats:
        """How the parameters follow the bulb pressure of each row, the rows weighted as in a fit."""
        columns = self.columns() / self.unit_pa[:, None]
        weighted = columns.T * found.weights
        return np.asarray(np.linalg.pinv(weighted @ columns) @ weighted / self.unit_pa)
