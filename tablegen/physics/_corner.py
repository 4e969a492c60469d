"""One corner of an operating condition: head, one subcooling, one share of flow; what reaches valve and compressor."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tablegen.physics import equations as eq
from tablegen.physics.arrays import Floats
from tablegen.physics.deviation import AS_STATED, InstallationDeviation
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import GRAVITY_M_S2, Head, LiquidSupply, Side, SystemInputs

_LINE_ITERATIONS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """A condition with one subcooling and one share of the compressor's flow.

    Head pressure [Pa], subcooling or temperature of the liquid [K] and the pressures at a stated condensing temperature
    [Pa, NaN without one] are numbers, or arrays along the states.  `off` is what the installation adds; heads and subcooling include it already.
    """

    side: Side
    head_pa: float | Floats
    at_bubble_pa: float | Floats
    at_dew_pa: float | Floats
    liquid_k: float | Floats | None
    subcooling_k: float | Floats
    step: float
    off: InstallationDeviation = AS_STATED

    @classmethod
    def of(
        cls,
        refrigerant: Refrigerant,
        head: Head,
        side: Side,
        liquid: LiquidSupply,
        step: float,
        off: InstallationDeviation,
    ) -> Corner:
        """A corner whose liquid has no range."""
        # An array of no dimension is a number: it has no states to choose from.
        at_head, at_bubble, at_dew = (
            p if p.ndim else float(p) for p in (head.pressures(refrigerant), *head.saturation_pressures(refrigerant))
        )
        return cls(
            side=side,
            head_pa=at_head,
            at_bubble_pa=at_bubble,
            at_dew_pa=at_dew,
            liquid_k=liquid.temperature_k,
            subcooling_k=liquid.min_subcooling_k,
            step=step,
            off=off,
        )

    def at(self, index: NDArray[Any]) -> Corner:
        """The same at some of the states."""
        own = {f.name: getattr(self, f.name) for f in fields(self)}
        chosen = {name: value[index] for name, value in own.items() if isinstance(value, np.ndarray)}
        return replace(self, off=self.off.at(index), **chosen)


def inlet_state(
    refrigerant: Refrigerant,
    system: SystemInputs,
    head_pa: Floats,
    corner: Corner,
    share: Floats,
    rated_density: Floats | None,
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Inlet pressure, liquid temperature, density, enthalpy and bubble pressure there.

    The line's loss depends on the density at its end, so they are iterated; each round shrinks
    the error by about the loss over the head, so a dozen rounds reach the last digit.  Of arrays with
    several rows each is iterated until it has settled, whatever the others do.
    """
    line_pa = system.losses.liquid_line_pa + corner.off.liquid_line_pa
    p1 = head_pa - eq.line_loss(dp_line=line_pa, f=share)
    found: tuple[Floats, ...] = ()
    is_open = np.ones((*p1.shape[:-1], 1), dtype=np.bool_)
    for _ in range(_LINE_ITERATIONS):
        if corner.liquid_k is None:
            tl = refrigerant.bubble_temperature(p1) - corner.subcooling_k
        else:
            tl = np.full_like(p1, corner.liquid_k)
        # Flashing liquid is reported by its pressures; its density is then that of saturated liquid.
        bubble_pa, density, enthalpy = refrigerant.liquid_or_bubble(tl, p1)
        rated_here = density if rated_density is None else rated_density
        friction_only = eq.inlet_pressure(p_h=head_pa, dp_line=line_pa, f=share, rho_r=rated_here, rho=density)
        following = friction_only - eq.lift_pressure(rho=density, g=GRAVITY_M_S2, H=system.losses.lift_m)
        here = following, tl, density, enthalpy, bubble_pa
        found = here if is_open.all() else tuple(np.where(is_open, *pair) for pair in zip(here, found, strict=True))
        is_open &= np.any(np.abs(following - p1) > 1e-13 * head_pa, axis=-1, keepdims=True)
        p1 = found[0]
        if not is_open.any():
            break
    p1, tl, density, enthalpy, bubble_pa = found
    return p1, tl, density, enthalpy, bubble_pa
