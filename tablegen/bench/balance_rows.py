"""Bench rows as the force balance sees them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from tablegen.bench.result import LeftOut
from tablegen.bench.rows import BenchRows
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.bulb import BulbCharge

# As near to shut or to the stop a part rests on its seat, and the forces on it are not in balance.
_AT_REST = 0.01
_SLOPE_STEP_K = 0.02
PART = "balance"
# The errors of inferred openings, of rows by their lines.
OpeningErrors = Callable[[Floats], tuple[Floats, Floats]]


@dataclass(frozen=True, slots=True)
class BalanceRows:
    """Rows with a bulb temperature and an opening, arrays of one length.

    Attributes
    ----------
    charge : array of int
        Place in `charges`.
    under_pa, bulb_pa : Floats [Pa]
        Pressure under the diaphragm, and of the charge at the bulb's temperature.
    slope_pa_k : Floats [Pa/K]
        Of the charge curve there: it turns a deviation of pressure into one of bulb temperature, the reading that is
        minimum well known.
    opening_random, opening_shared : Floats [1], shape (rows,) and (rows, errors)
        Standard error of an inferred opening by its own flow, and how it follows each error that rows share; 0 where
        the opening was read.
    """

    line: Floats
    charges: tuple[str, ...]
    charge: Names
    size: Names
    opening: Floats
    pressure_drop_pa: Floats
    bulb_temperature_k: Floats
    under_pa: Floats
    bulb_pa: Floats
    slope_pa_k: Floats
    opening_random: Floats
    opening_shared: Floats

    def __len__(self) -> int:
        return len(self.line)

    def of(self, charge: str) -> Bools:
        """Whether a row is of a charge."""
        return np.asarray(self.charge == self.charges.index(charge))


def pressure_slope(charge: BulbCharge, temperature_k: Floats) -> Floats:
    """Slope of a charge curve [Pa/K]; within a step of its ends it is that of one side."""
    up, down = (charge.pressure(temperature_k + step) for step in (_SLOPE_STEP_K, -_SLOPE_STEP_K))
    here = charge.pressure(temperature_k)
    both = (up - down) / (2.0 * _SLOPE_STEP_K)
    one = np.where(np.isnan(up), here - down, up - here) / _SLOPE_STEP_K
    return np.where(np.isnan(both), one, both)


def balance_rows(
    rows: BenchRows, charges: Mapping[str, BulbCharge], stop: float, errors: OpeningErrors | None = None
) -> tuple[BalanceRows, list[LeftOut]]:
    """The rows that tell a balance of forces, and those that would but cannot be used."""
    at = np.flatnonzero(rows.tells_balance)
    bulb = rows.bulb_temperature_k[at]
    pressure, slope = np.full((2, len(at)), np.nan)
    is_gas = np.zeros(len(at), dtype=bool)
    for name in dict.fromkeys(map(str, rows.charge[at])):
        own = rows.charge[at] == name
        pressure[own] = charges[name].pressure(bulb[own])
        slope[own] = pressure_slope(charges[name], bulb[own])
        is_gas[own] = charges[name].is_above_limit(bulb[own])
    drop = (rows.inlet_pressure_pa - rows.outlet_pressure_pa)[at]
    reasons = np.full(len(at), "", dtype=object)
    for is_so, why in (
        (rows.opening[at] < _AT_REST, "the valve is shut, so that the forces need not be in balance"),
        (rows.opening[at] > stop - _AT_REST, "the valve rests on its stop, so that the forces are not in balance"),
        (~np.isfinite(pressure), "the charge curve does not reach the bulb temperature"),
        (is_gas, "the bulb is warmer than its maximum operating pressure allows: no liquid is left in it"),
        (drop <= 0.0, "the inlet pressure is not above the outlet pressure"),
    ):
        reasons[(reasons == "") & is_so] = why
    left_out = [LeftOut(int(rows.line[i]), PART, str(why)) for i, why in zip(at, reasons, strict=True) if why]
    keep = reasons == ""
    kept = at[keep]
    names = tuple(dict.fromkeys(map(str, rows.charge[kept])))
    random, shared = (np.zeros(len(kept)), np.zeros((len(kept), 0))) if errors is None else errors(rows.line[kept])
    return BalanceRows(
        rows.line[kept],
        names,
        np.array([names.index(str(c)) for c in rows.charge[kept]], dtype=int),
        rows.size[kept],
        rows.opening[kept],
        drop[keep],
        bulb[keep],
        rows.evaporator_pressure_pa[kept],
        pressure[keep],
        slope[keep],
        random,
        shared,
    ), left_out
