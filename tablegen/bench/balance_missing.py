"""What balance rows leave open: why a setting is not told, and which test is missing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.bench.balance_model import PORT, BalanceModel, gradient_name, spring_name
from tablegen.bench.balance_rows import BalanceRows
from tablegen.bench.lack_of_fit import Misfit
from tablegen.bench.robust import Fit, chance
from tablegen.errors import both_scales
from tablegen.physics.arrays import Bools, Floats
from tablegen.physics.valve import FactorySetting

# Rows that a charge needs.
FEWEST = 5
# A gradient needs openings as far apart, a setting one as small, an opening superheat one as great [1].
OPENINGS_APART, _NEARLY_SHUT, _NEARLY_RATED = 0.3, 0.4, 0.8
# How far the setting's bulb temperature may lie beyond those of the rows [K].
_BEYOND_K = 5.0
# A surer sign is asked of a model that is taken to be wrong than of a row.
_SURELY = 1e-3
_PSI_KPA = 6.894757
# What is known to be there, yet is so small [K], is no matter.
_NO_MATTER_K = 0.1
_OVER_BULB = "opening over bulb temperature at held evaporator pressure and drop"

Why = tuple[str, str]


@dataclass(frozen=True, slots=True)
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


def port_missing(found: BalanceFit) -> Why | None:
    """Why the unbalance is not told, and the missing test; None where it is."""
    test = "the same openings at another inlet pressure, a half or twice the drop"
    drops = found.rows.pressure_drop_pa
    if not found.model.has_port:
        low, high = drops.min() / 1e3, drops.max() / 1e3
        in_psi = f"{low / _PSI_KPA:.0f} to {high / _PSI_KPA:.0f} psi"
        return f"all rows have about one drop, {low:.0f} to {high:.0f} kPa ({in_psi})", test
    if PORT in found.fit.undetermined:
        others = ", ".join(name for name in found.fit.undetermined if name != PORT)
        return f"the rows tell it only together with {others}: opening and drop went up and down as one", test
    return None


def static_missing(found: BalanceFit, charge: str, setting: FactorySetting) -> Why | None:
    """Why the static superheat of a charge is not told, and the missing test; None where it is."""
    if (why := _setting_missing(found, charge, setting)) is not None:
        return why
    minimum = float(found.rows.opening[found.used(charge)].min())
    if minimum > _NEARLY_SHUT:
        text = f"the valve just opens at the static superheat, and no row opens less than {100 * minimum:.0f} percent"
        return text, "rows at 10 to 30 percent opening"
    return _set_apart(found, charge)


def opening_missing(found: BalanceFit, charge: str, setting: FactorySetting) -> Why | None:
    """As `static_missing`, of the opening superheat."""
    if (why := _setting_missing(found, charge, setting)) is not None:
        return why
    most = float(found.rows.opening[found.used(charge)].max())
    if most < _NEARLY_RATED:
        text = f"it counts to rated stroke, and no row opens more than {100 * most:.0f} percent"
        return text, "rows with a warmer bulb, up to 100 percent opening"
    return None


def _setting_missing(found: BalanceFit, charge: str, setting: FactorySetting) -> Why | None:
    used = found.used(charge)
    if (count := int(used.sum())) < FEWEST:
        return f"{count} rows can be used", f"at least {FEWEST} rows, at openings from nearly shut to rated stroke"
    if charge not in found.model.with_gradient:
        opening = 100.0 * found.rows.opening[used]
        return f"all rows have about one opening, {opening.min():.0f} to {opening.max():.0f} percent", _OVER_BULB
    if {spring_name(charge), gradient_name(charge)} & set(found.fit.undetermined):
        test = "several openings at held drop, and several drops at held opening"
        return f"the rows tell only a sum of {', '.join(found.fit.undetermined)}", test
    bulb, at = found.rows.bulb_temperature_k[used], setting.bulb_temperature_k
    if not bulb.min() - _BEYOND_K <= at <= bulb.max() + _BEYOND_K:
        low, high = both_scales(float(bulb.min())), both_scales(float(bulb.max()))
        text = f"the family is set at a bulb temperature of {both_scales(at)}, and the rows have {low} to {high}"
        return text, f"rows with the bulb near {both_scales(at)}"
    return None


def _set_apart(found: BalanceFit, charge: str) -> Why | None:
    """Whether the sizes tested with one charge have settings of their own."""
    used = found.used(charge)
    sizes = [str(size) for size in dict.fromkeys(found.rows.size[used]) if size]
    if len(sizes) < 2:
        return None
    # In pascal, as the spring.
    slope = float(np.median(found.rows.slope_pa_k[used]))
    more = {f"size {size}": slope * (used & (found.rows.size == size)) for size in sizes[1:]}
    if _asked_for(found, more) < _NO_MATTER_K:
        return None
    return f"the valves of sizes {', '.join(sizes)} are not set alike", "one setting for all, or a file for each"


def _asked_for(found: BalanceFit, more: dict[str, Floats]) -> float:
    """The maximum of the parameters of more columns [K], if the rows surely ask for them; else 0."""
    wider = found.model.fitted(found.fit.is_used, more)
    if wider.undetermined or chance(found.model.fitted(found.fit.is_used), wider) >= _SURELY:
        return 0.0
    return float(np.abs(wider.values[-len(more) :]).max())
