"""What a valve offers: opening against superheat and back, and the share of Kv at an opening.

Force balance on the diaphragm, all terms in Pa:

    p_bulb(T_e + SH) = p_under + p_spring0 + phi p_grad + u (dp - dp_ref)

Left closes nothing: bulb pressure opens the valve, the pressure under the diaphragm and the spring close
it, and an unbalanced port adds u (dp - dp_ref), u = net unbalanced port area over diaphragm area, positive
where inlet pressure closes.  It is static equilibrium of one moving part; the source is Newton's first law.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tablegen.physics import valve_equations as veq
from tablegen.physics.arrays import Floats, snapped
from tablegen.physics.bulb import BulbCharge, ChargeCurve, limit_temperature
from tablegen.physics.connection import relative_slope_with_connections, share_of_port, share_with_connections
from tablegen.physics.monotone import MonotoneCubic
from tablegen.physics.refrigerants import Refrigerant
from tablegen.wording import input_errors as wording


@dataclass(frozen=True, slots=True)
class FactorySetting:
    """How a valve is set at the factory, on its setting refrigerant.

    Bulb temperature T_b0 [K], static superheat SS [K] (where it just opens), opening superheat OS [K]
    (from just open to rated stroke, at constant evaporator pressure), pressure drop during the setting [Pa].
    """

    bulb_temperature_k: float
    static_superheat_k: float
    opening_superheat_k: float
    pressure_drop_pa: float


@dataclass(frozen=True, slots=True)
class Stem:
    """What turns the spring of a thermostatic valve: one turn clockwise, and how far it turns from the factory setting.

    `superheat_per_turn_k` is what the first turn clockwise adds to the static superheat [K] at the factory setting;
    turns [1] count from there, clockwise above zero.
    """

    superheat_per_turn_k: float
    min_turns: float
    max_turns: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ForceBalance:
    """A set thermostatic element: charge, spring [Pa], gradient [Pa per rated stroke], unbalance u [1], dp_ref [Pa]."""

    charge: BulbCharge
    spring_pa: float
    gradient_pa: float
    unbalance: float
    reference_drop_pa: float

    def opening(self, bulb_temperature_k: Floats, under_pa: Floats, pressure_drop_pa: Floats) -> Floats:
        """Opening phi, share of rated stroke [1], not bounded by the stops; NaN outside the charge curve."""
        return veq.opening(
            p_b=self.charge.pressure(bulb_temperature_k),
            p_u=under_pa,
            p_spring=self.spring_pa,
            u=self.unbalance,
            dp=pressure_drop_pa,
            dp_ref=self.reference_drop_pa,
            p_grad=self.gradient_pa,
        )

    def superheat(
        self, opening: Floats, evaporating_temperature_k: Floats, under_pa: Floats, pressure_drop_pa: Floats
    ) -> Floats:
        """Operating superheat SH [K] at an opening phi [1]: the inverse of `opening`."""
        closing = under_pa + self.spring_pa + self.unbalance * (pressure_drop_pa - self.reference_drop_pa)
        bulb = self.charge.temperature(np.asarray(closing + opening * self.gradient_pa))
        return bulb - evaporating_temperature_k


def set_at_factory(
    curve: ChargeCurve, setting: FactorySetting, refrigerant: Refrigerant, unbalance: float, mop_pa: float | None
) -> ForceBalance:
    """The force balance that a factory setting gives; constant thereafter, whatever refrigerant follows.

    p_spring0 = p_bulb(T_b0) - p_dew(T_b0 - SS);  p_grad = p_bulb(T_b0 + OS) - p_bulb(T_b0).

    Parameters
    ----------
    curve : ChargeCurve
    setting : FactorySetting
    refrigerant : Refrigerant
        The setting refrigerant.
    unbalance : float
        Net unbalanced port area over diaphragm area, positive where inlet pressure closes [1].
    mop_pa : float or None
        Maximum operating pressure, absolute [Pa]; None without one.

    Returns
    -------
    ForceBalance

    Raises
    ------
    ValueError
        If the curve does not reach the setting, the spring would have to pull, or the MOP is off the curve.
    """
    bulb_k = np.asarray(setting.bulb_temperature_k)
    at_setting = float(curve.pressure(bulb_k))
    opened = float(curve.pressure(bulb_k + setting.opening_superheat_k))
    dew = float(refrigerant.dew(bulb_k - setting.static_superheat_k).pressure_pa)
    spring = veq.spring_pressure(p_b0=at_setting, p_e0=dew)
    gradient = veq.spring_gradient(p_b1=opened, p_b0=at_setting)
    if not np.isfinite([spring, gradient]).all():
        raise ValueError(wording.SETTING_OFF_CURVE())
    if spring <= 0.0 or gradient <= 0.0:
        raise ValueError(wording.SETTING_FORCES(spring=f"{spring / 1000:.1f}", gradient=f"{gradient / 1000:.1f}"))
    limit = np.inf
    if mop_pa is not None:
        limit = limit_temperature(curve, mop_pa, spring)
        if not np.isfinite(limit):
            raise ValueError(wording.MOP_OFF_CURVE())
    return ForceBalance(
        charge=BulbCharge(curve, limit),
        spring_pa=spring,
        gradient_pa=gradient,
        unbalance=unbalance,
        reference_drop_pa=setting.pressure_drop_pa,
    )


def spring_per_turn(setting: FactorySetting, stem: Stem, refrigerant: Refrigerant) -> float:
    """Spring pressure that one turn clockwise adds, the same at each turn, for a spring is linear (Hooke's law).

    p_turn = p_dew(T_b0 - SS) - p_dew(T_b0 - SS - SS_turn): with the bulb at T_b0 the valve just opens at an evaporator
    pressure that is lower by what the spring adds.

    Parameters
    ----------
    setting : FactorySetting
    stem : Stem
    refrigerant : Refrigerant
        The setting refrigerant.

    Returns
    -------
    float
        [Pa]
    """
    dew_k = setting.bulb_temperature_k - setting.static_superheat_k
    before, turned = refrigerant.dew(np.array([dew_k, dew_k - stem.superheat_per_turn_k])).pressure_pa
    return float(before - turned)


def spring_at(
    curve: ChargeCurve, setting: FactorySetting, refrigerant: Refrigerant, static_superheat_k: float
) -> float:
    """Spring pressure with which a valve has a static superheat at the bulb temperature of its factory setting.

    Parameters
    ----------
    curve : ChargeCurve
    setting : FactorySetting
    refrigerant : Refrigerant
        The setting refrigerant.
    static_superheat_k : float
        [K]

    Returns
    -------
    float
        [Pa]
    """
    bulb_k = np.asarray(setting.bulb_temperature_k)
    dew = refrigerant.dew(bulb_k - static_superheat_k).pressure_pa
    return float(veq.spring_pressure(p_b0=float(curve.pressure(bulb_k)), p_e0=float(dew)))


def static_superheat_with(
    curve: ChargeCurve, setting: FactorySetting, refrigerant: Refrigerant, spring_pa: float
) -> float:
    """The inverse of `spring_at`.

    Parameters
    ----------
    curve : ChargeCurve
    setting : FactorySetting
    refrigerant : Refrigerant
        The setting refrigerant.
    spring_pa : float
        [Pa]

    Returns
    -------
    float
        [K]; NaN where the refrigerant has no dew point at so low a pressure.
    """
    bulb_k = np.asarray(setting.bulb_temperature_k)
    opens_at = curve.pressure(bulb_k) - spring_pa
    return float(bulb_k - refrigerant.dew_temperature(opens_at))


def static_superheat(balance: ForceBalance, refrigerant: Refrigerant, evaporating_temperature_k: Floats) -> Floats:
    """Superheat at which the valve just opens on a refrigerant, at the reference pressure drop.

    Parameters
    ----------
    balance : ForceBalance
    refrigerant : Refrigerant
    evaporating_temperature_k : array
        Dew temperature [K].

    Returns
    -------
    array
        [K]; NaN outside the charge curve.
    """
    under = refrigerant.dew(evaporating_temperature_k).pressure_pa
    zero = np.zeros_like(under)
    return balance.superheat(zero, evaporating_temperature_k, under, np.full_like(under, balance.reference_drop_pa))


@dataclass(frozen=True, slots=True)
class OpeningCharacteristic:
    """Share of rated Kv over opening, c(1) = 1, up to the stop; linear unless points are given.

    Points ascend from (0, 0) and must reach `stop`; they are joined by a monotone (PCHIP) curve.  They are the port's own:
    with `connection_ratio`, Kv of the port over that of its connections, the share is that of both in series.
    """

    stop: float
    points: tuple[tuple[float, float], ...] = ()
    connection_ratio: float | None = None
    _curve: MonotoneCubic | None = field(default=None, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if self.points:
            opening, share = zip(*self.points, strict=True)
            object.__setattr__(self, "_curve", MonotoneCubic.through(np.array(opening), np.array(share)))

    def share(self, opening: Floats) -> Floats:
        """Kv(phi) / Kv_rated [1]; NaN outside 0 to the stop."""
        opening = np.asarray(opening, dtype=np.float64)
        share = self.port_share(opening)
        if self.connection_ratio is not None:
            share = share_with_connections(share, self.connection_ratio)
        return np.where((opening >= 0.0) & (opening <= self.stop), share, np.nan)

    def relative_slope(self, opening: Floats) -> Floats:
        """Relative change of Kv for each unit of opening, c'/c [1]; beyond the stop that at the stop."""
        opening = np.minimum(np.asarray(opening, dtype=np.float64), self.stop)
        with np.errstate(divide="ignore", invalid="ignore"):
            found = 1.0 / opening if self._curve is None else self._curve.slope(opening) / self._curve(opening)
            if self.connection_ratio is not None:
                found = relative_slope_with_connections(found, self.port_share(opening), self.connection_ratio)
        return np.asarray(found)

    @property
    def curve(self) -> MonotoneCubic | None:
        """The curve through the points; None where the share is the opening."""
        return self._curve

    def port_share(self, opening: Floats) -> Floats:
        """The port's share of its own Kv [1], without connections."""
        return opening if self._curve is None else self._curve(opening)

    def opening(self, share: Floats) -> Floats:
        """The opening [1] that gives a share of rated Kv [1]; NaN beyond the stop."""
        share = np.asarray(share, dtype=np.float64)
        if self.connection_ratio is not None:
            share = share_of_port(share, self.connection_ratio)
        found = snapped(share if self._curve is None else self._curve.inverse(share), (0.0, self.stop))
        return np.where((found >= 0.0) & (found <= self.stop), found, np.nan)
