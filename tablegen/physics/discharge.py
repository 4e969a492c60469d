"""A discharge coefficient that follows subcooling and pressure drop: the flow coefficient of a port away from its rating.

    s = (p_1 - p_v)/p_c        y = (p_1 - p_2)/p_1        C = (s/s_ref)^a (y/y_ref)^b        dp_eff = C^2 dp

With b = 0 flow follows the square root of the drop; with b = -0.5 it no longer depends on the outlet pressure, as that of
a port that chokes. Power laws like this one are fitted to measured flows of expansion valves within the range measured,
and are used within it alone.

References
----------
Payne and O'Neal (2004), "A mass flowrate correlation for refrigerants and refrigerant mixtures flowing through short
tubes": the dimensionless subcooling, pi_3 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Bools, Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class DischargeCoefficient:
    """A discharge coefficient that follows subcooling and drop, over that at a reference point; all values [1].

    ``subcooling`` and ``drop`` bound s = (p_1 - p_v)/p_c and y = (p_1 - p_2)/p_1 where it may be used.
    """

    subcooling_exponent: float
    drop_exponent: float
    reference_subcooling: float
    reference_drop: float
    subcooling: tuple[float, float]
    drop: tuple[float, float]

    def ratio(
        self,
        pressure_drop_pa: Floats,
        inlet_pressure_pa: Floats,
        bubble_pressure_pa: Floats,
        critical_pressure_pa: float | Floats,
    ) -> Floats:
        """The coefficient over that at the reference point [1]; NaN where s or y is outside its range.

        Parameters
        ----------
        pressure_drop_pa : array
            Drop over the port [Pa].
        inlet_pressure_pa : array
            Inlet pressure, absolute [Pa].
        bubble_pressure_pa : array
            Bubble pressure at the liquid's temperature [Pa].
        critical_pressure_pa : float or array
            [Pa].

        Returns
        -------
        array [1]
        """
        s = subcooling_ratio(p_1=inlet_pressure_pa, p_v=bubble_pressure_pa, p_crit=critical_pressure_pa)
        y = drop_ratio(dp=pressure_drop_pa, p_1=inlet_pressure_pa)
        inside = _within(s, self.subcooling) & _within(y, self.drop)
        return discharge_ratio(
            s_c=np.where(inside, s, np.nan),
            s_n=self.reference_subcooling,
            a_d=self.subcooling_exponent,
            y_p=np.where(inside, y, np.nan),
            y_n=self.reference_drop,
            b_d=self.drop_exponent,
        )


def subcooling_ratio(p_1: Floats, p_v: Floats, p_crit: float | Floats) -> Floats:
    """Subcooling at the inlet as a pressure, over the critical pressure.

    Parameters
    ----------
    p_1, p_v, p_crit : array [Pa]

    Returns
    -------
    array [1]

    References
    ----------
    Payne and O'Neal (2004), dimensionless group pi_3 (from memory).
    """
    return (p_1 - p_v) / p_crit


def drop_ratio(dp: Floats, p_1: Floats) -> Floats:
    """Pressure drop over inlet pressure.

    Parameters
    ----------
    dp, p_1 : array [Pa]

    Returns
    -------
    array [1]
    """
    return dp / p_1


def discharge_ratio(s_c: Floats, s_n: float, a_d: float, y_p: Floats, y_n: float, b_d: float) -> Floats:
    """Discharge coefficient over that at its reference point.

    Parameters
    ----------
    s_c : array [1]
    s_n, a_d : float [1]
    y_p : array [1]
    y_n, b_d : float [1]

    Returns
    -------
    array [1]
    """
    return (s_c / s_n) ** a_d * (y_p / y_n) ** b_d


def discharge_drop(C_d: Floats, dp: Floats) -> Floats:
    """Pressure drop that drives the flow where the discharge coefficient is C_d times that at the reference point.

    Parameters
    ----------
    C_d : array [1]
    dp : array [Pa]

    Returns
    -------
    array [Pa]
    """
    return C_d**2 * dp


def _within(value: Floats, bounds: tuple[float, float]) -> Bools:
    # A share written in percent may differ in the last digit.
    slack = 1e-12
    return np.asarray((value >= bounds[0] - slack) & (value <= bounds[1] + slack))
