"""Why the rows of a force balance do not determine setting, gradient or unbalance."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tablegen.bench.balance_model import PORT, BalanceModel, BalanceRows, gradient, spring
from tablegen.bench.lack_of_fit import Misfit
from tablegen.bench.parameters import Parameter, Quantity, Shortfall, Why
from tablegen.bench.robust import Fit, chance
from tablegen.physics.arrays import Bools, Floats
from tablegen.physics.valve import FactorySetting

# Rows that a charge needs.
MIN_ROWS = 5
# A gradient needs openings as far apart, a setting one as small, an opening superheat one as large [1].
OPENINGS_APART, _NEARLY_SHUT, _NEARLY_RATED = 0.3, 0.4, 0.8
# How far the setting's bulb temperature may be beyond those of the rows [K].
_BEYOND_K = 5.0
# A surer sign is asked of a model that is taken to be wrong than of a row.
_SURELY = 1e-3
# What is known to be there, yet is so small [K], does not count.
_NEGLIGIBLE_K = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceFit:
    """A fit with what it was made of.

    `far_off` are the rows farther off than chance allows; where `misfits` are found they stay in the fit, and every
    bound covers what `refits` give as well.
    """

    rows: BalanceRows
    model: BalanceModel
    fit: Fit
    far_off: Bools
    misfits: list[Misfit]
    refits: list[Fit]

    def used(self, charge: str) -> Bools:
        """The rows of a charge that are no outliers."""
        return self.rows.of(charge) & self.fit.is_used


def port_missing(found: BalanceFit) -> Shortfall | None:
    """Why the unbalance cannot be determined; None where it can."""
    drops = found.rows.pressure_drop_pa
    if not found.model.has_port:
        return Shortfall(Why.ONE_DROP, low=float(drops.min()), high=float(drops.max()))
    if PORT in found.fit.undetermined:
        return Shortfall(Why.PORT_ONLY_WITH, parameters=tuple(name for name in found.fit.undetermined if name != PORT))
    return None


def static_missing(found: BalanceFit, charge: str, setting: FactorySetting) -> Shortfall | None:
    """Why the static superheat of a charge cannot be determined; None where it can."""
    if (reason := _setting_missing(found, charge, setting)) is not None:
        return reason
    minimum = float(found.rows.opening[found.used(charge)].min())
    if minimum > _NEARLY_SHUT:
        return Shortfall(Why.STATIC_TOO_OPEN, low=minimum)
    return _set_differently(found, charge)


def opening_missing(found: BalanceFit, charge: str, setting: FactorySetting) -> Shortfall | None:
    """As `static_missing`, of the opening superheat."""
    if (reason := _setting_missing(found, charge, setting)) is not None:
        return reason
    maximum = float(found.rows.opening[found.used(charge)].max())
    return Shortfall(Why.OPENING_BELOW_RATED, high=maximum) if maximum < _NEARLY_RATED else None


def _setting_missing(found: BalanceFit, charge: str, setting: FactorySetting) -> Shortfall | None:
    used = found.used(charge)
    if (count := int(used.sum())) < MIN_ROWS:
        return Shortfall(Why.FEW_OF_CHARGE, rows=count, needed=MIN_ROWS)
    if charge not in found.model.with_gradient:
        opening = found.rows.opening[used]
        return Shortfall(Why.BALANCE_ONE_OPENING, low=float(opening.min()), high=float(opening.max()))
    if {spring(charge), gradient(charge)} & set(found.fit.undetermined):
        return Shortfall(Why.ONLY_SUM, parameters=found.fit.undetermined)
    bulb, at = found.rows.bulb_temperature_k[used], setting.bulb_temperature_k
    if not bulb.min() - _BEYOND_K <= at <= bulb.max() + _BEYOND_K:
        return Shortfall(Why.SETTING_FAR, low=float(bulb.min()), high=float(bulb.max()), wanted_low=at)
    return None


def _set_differently(found: BalanceFit, charge: str) -> Shortfall | None:
    """Whether the sizes tested with one charge have settings of their own."""
    used = found.used(charge)
    sizes = [str(size) for size in dict.fromkeys(found.rows.size[used]) if size]
    if len(sizes) < 2:
        return None
    # In pascal, as the spring.
    slope = float(np.median(found.rows.slope_pa_k[used]))
    more = {Parameter(Quantity.SPRING, size): slope * (used & (found.rows.size == size)) for size in sizes[1:]}
    if _asked_for(found, more) < _NEGLIGIBLE_K:
        return None
    return Shortfall(Why.SET_DIFFERENTLY, sizes=tuple(sizes))


def _asked_for(found: BalanceFit, more: Mapping[Parameter, Floats]) -> float:
    """The maximum of the parameters of more columns [K], if the rows surely ask for them; else 0."""
    wider = found.model.fitted(found.fit.is_used, more)
    if wider.undetermined or chance(found.model.fitted(found.fit.is_used), wider) >= _SURELY:
        return 0.0
    return float(np.abs(wider.values[-len(more) :]).max())
