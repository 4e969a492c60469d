"""Liquid refrigerant through an expansion port, under one of three flow laws.

All laws share one equation, m = (Kv/3600) sqrt(1000 rho dp_eff / 1e5), and differ in the pressure drop
that drives the flow.  Published evidence on whether a flashing port chokes is split, and the stake is a
factor of 1.3 to 2, so a family names its law and its Kv is used under that law only.  Relative density counts
from 1000 kg/m3; the standard's 999.103 kg/m3 would change a Kv by 0.045 %.

References
----------
IEC 60534-2-1:2011, "Industrial-process control valves - Flow capacity - Sizing equations for fluid flow
under installed conditions": turbulent flow, eq. (1); choked flow, eq. (3); F_F, eq. (4) (equation numbers
not checked against the source).
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from tablegen.physics import equations as eq
from tablegen.physics.arrays import Floats
from tablegen.physics.discharge import DischargeCoefficient, discharge_drop

_SECONDS_PER_HOUR = 3600.0
_BAR_PA = 1.0e5
_WATER_KG_M3 = 1000.0


class FlowLaw(StrEnum):
    """Which pressure drop drives the flow."""

    ORIFICE = "orifice"
    CHOKED = "choked"
    DISCHARGE_COEFFICIENT = "discharge_coefficient"


def effective_pressure_drop(
    law: FlowLaw,
    pressure_drop_pa: Floats,
    inlet_pressure_pa: Floats,
    bubble_pressure_pa: Floats,
    critical_pressure_pa: float | Floats,
    pressure_recovery: float | Floats,
    discharge: DischargeCoefficient | None = None,
) -> Floats:
    """Pressure drop that drives the flow.

    Parameters
    ----------
    law : FlowLaw
        ``orifice``: the whole drop.  ``choked``: at most F_L^2 (p_1 - F_F p_v).  ``discharge_coefficient``: the drop
        times the square of the coefficient over that at its reference point.
    pressure_drop_pa : array
        Drop over the port [Pa].
    inlet_pressure_pa : array
        Inlet pressure, absolute [Pa].
    bubble_pressure_pa : array
        Bubble pressure at the liquid's temperature [Pa].
    critical_pressure_pa : float or array
        [Pa].
    pressure_recovery : float or array
        F_L [1]; used by the choked law alone.
    discharge : DischargeCoefficient, optional
        Used by the law of its name alone, which needs it.

    Returns
    -------
    array
        [Pa]; NaN where the drop is NaN, or the law's range does not hold the state.

    References
    ----------
    IEC 60534-2-1:2011, eqs. (3) and (4) (equation numbers not checked against the source).
    """
    if law is FlowLaw.ORIFICE:
        return np.asarray(pressure_drop_pa, dtype=np.float64)
    if law is FlowLaw.DISCHARGE_COEFFICIENT:
        assert discharge is not None, "the config requires the coefficient with its law"
        ratio = discharge.ratio(pressure_drop_pa, inlet_pressure_pa, bubble_pressure_pa, critical_pressure_pa)
        return discharge_drop(C_d=ratio, dp=np.asarray(pressure_drop_pa, dtype=np.float64))
    factor = eq.critical_pressure_ratio_factor(p_v=bubble_pressure_pa, p_crit=critical_pressure_pa)
    choked = eq.choked_pressure_drop(F_L=pressure_recovery, p_1=inlet_pressure_pa, F_F=factor, p_v=bubble_pressure_pa)
    return eq.effective_pressure_drop(dp=pressure_drop_pa, dp_ch=choked)


def mass_flow(flow_coefficient_m3h: Floats, density_kg_m3: Floats, effective_drop_pa: Floats) -> Floats:
    """Mass flow of liquid through a port.

    Parameters
    ----------
    flow_coefficient_m3h : array
        Kv [m3/h].
    density_kg_m3 : array
        Of the liquid at the inlet [kg/m3].
    effective_drop_pa : array
        Pressure drop that drives the flow [Pa].

    Returns
    -------
    array
        [kg/s]; NaN where the effective drop is negative.

    References
    ----------
    IEC 60534-2-1:2011, eq. (1) (equation number not checked against the source).

    Examples
    --------
    Water of 1000 kg/m3 passes a Kv of 1 m3/h at 1 bar by 1 m3 in an hour:

    >>> print(f"{float(mass_flow(1.0, 1000.0, 1e5)) * 3600.0:.1f} kg")
    1000.0 kg
    """
    drive = np.sqrt(_nan_below_zero(_WATER_KG_M3 * density_kg_m3 * effective_drop_pa / _BAR_PA))
    return np.asarray(flow_coefficient_m3h / _SECONDS_PER_HOUR * drive)


def required_flow_coefficient(flow_kg_s: Floats, density_kg_m3: Floats, effective_drop_pa: Floats) -> Floats:
    """Kv that passes a mass flow: the inverse of `mass_flow`.

    Parameters
    ----------
    flow_kg_s : array
        Mass flow [kg/s].
    density_kg_m3 : array
        Of the liquid at the inlet [kg/m3].
    effective_drop_pa : array
        Pressure drop that drives the flow [Pa].

    Returns
    -------
    array
        Kv [m3/h]; NaN where no drop is left.

    References
    ----------
    IEC 60534-2-1:2011, eq. (1) (equation number not checked against the source).
    """
    drive = np.sqrt(_nan_below_zero(_WATER_KG_M3 * density_kg_m3 * effective_drop_pa / _BAR_PA))
    return np.asarray(flow_kg_s * _SECONDS_PER_HOUR / np.where(drive > 0.0, drive, np.nan))


def drop_at_flow(flow_kg_s: Floats, density_kg_m3: Floats, flow_coefficient_m3h: float | Floats) -> Floats:
    """Pressure drop of a part that a mass flow passes: `mass_flow` solved for the drop.

    Of a flashing mixture the density is the homogeneous one, so that the drop follows flow squared times specific volume.

    Parameters
    ----------
    flow_kg_s : array
        Mass flow [kg/s].
    density_kg_m3 : array
        Of what flows [kg/m3].
    flow_coefficient_m3h : float or array
        Kv [m3/h].

    Returns
    -------
    array
        [Pa].

    References
    ----------
    IEC 60534-2-1:2011, eq. (1) (equation number not checked against the source).

    Examples
    --------
    Water of 1000 kg/m3 at 2 m3/h loses 4 bar in a Kv of 1 m3/h:

    >>> print(f"{float(drop_at_flow(2000.0 / 3600.0, 1000.0, 1.0)) / 1e5:.1f} bar")
    4.0 bar
    """
    volume_m3h = flow_kg_s * _SECONDS_PER_HOUR / density_kg_m3
    return np.asarray(_BAR_PA * density_kg_m3 / _WATER_KG_M3 * (volume_m3h / flow_coefficient_m3h) ** 2)


def _nan_below_zero(value: Floats) -> Floats:
    return np.where(value >= 0.0, value, np.nan)
