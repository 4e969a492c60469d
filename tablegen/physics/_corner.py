"""One corner of an operating condition: head, one subcooling, one share of flow; what reaches valve and compressor."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tablegen.physics import liquid_equations as lineq
from tablegen.physics._flashing_line import flashing_inlet, mixture
from tablegen.physics.arrays import Floats
from tablegen.physics.deviation import AS_STATED, InstallationDeviation
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import GRAVITY_M_S2, Head, LiquidSupply, Side, SystemInputs

_LINE_ITERATIONS = 60
_NEEDED_ITERATIONS = 30
# Difference of temperature over which the heat capacity of the liquid is taken [K].
CAPACITY_STEP_K = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """A condition with one subcooling and one share of the compressor's flow.

    Head pressure [Pa], subcooling or temperature of the liquid [K] and the pressures at a stated condensing temperature
    [Pa, NaN without one] are numbers, or arrays along the states.  Subcooling counts at the outlet of condenser or
    receiver where `is_at_condenser`, else at the valve inlet.  `off` is what the installation adds; heads and subcooling
    include it already.
    `open_share` is the share of time [1] in which the flow passes: of a pulse-modulated valve at its maximum duty, below 1.
    """

    side: Side
    head_pa: float | Floats
    at_bubble_pa: float | Floats
    at_dew_pa: float | Floats
    liquid_k: float | Floats | None
    subcooling_k: float | Floats
    step: float
    is_at_condenser: bool = False
    off: InstallationDeviation = AS_STATED
    open_share: float = 1.0

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
            is_at_condenser=liquid.is_at_condenser,
            off=off,
        )

    def at(self, index: NDArray[Any]) -> Corner:
        """The same at some of the states."""
        own = {f.name: getattr(self, f.name) for f in fields(self)}
        chosen = {name: value[index] for name, value in own.items() if isinstance(value, np.ndarray)}
        return replace(self, off=self.off.at(index), **chosen)


@dataclass(frozen=True, slots=True, kw_only=True)
class Inlet:
    """What reaches the valve, arrays of one shape: at its inlet, and at the outlet of condenser or receiver.

    `liquid_density_kg_m3` is that of the liquid alone, `density_kg_m3` that of liquid and vapor; `quality` is the share
    of vapor by mass, NaN where no inlet pressure carries the flow.  Subcoolings count at the outlet of condenser or
    receiver: what the state has there, and what it takes to keep the valve inlet free of vapor.
    """

    pressure_pa: Floats
    liquid_k: Floats
    liquid_density_kg_m3: Floats
    enthalpy_j_kg: Floats
    bubble_pa: Floats
    quality: Floats
    density_kg_m3: Floats
    condenser_subcooling_k: Floats
    needed_subcooling_k: Floats


def reach_inlet(
    refrigerant: Refrigerant,
    system: SystemInputs,
    head_pa: Floats,
    corner: Corner,
    share: Floats,
    vapor_enthalpy: Floats,
    rated: tuple[Floats, Floats] | None,
    with_needed: bool,
) -> Inlet:
    """The liquid from the outlet of condenser or receiver to the valve inlet.

    Parameters
    ----------
    refrigerant : Refrigerant
    system : SystemInputs
    head_pa : array [Pa]
    corner : Corner
    share : array [1]
        Flow over rated flow.
    vapor_enthalpy : array [J/kg]
        At the end of useful superheat.
    rated : tuple of array, or None
        Liquid density [kg/m3] and refrigerating effect [J/kg] of the rating point; None for the rating point itself.
    with_needed : bool
        Whether the subcooling needed is computed; else it is NaN.

    Returns
    -------
    Inlet
    """
    head_k, mean = refrigerant.bubble_temperature(head_pa), share * corner.open_share
    rated_density, rated_effect = (None, None) if rated is None else rated
    liquid_k, rise_k = corner.liquid_k, np.zeros_like(head_pa)
    if corner.is_at_condenser and corner.liquid_k is None:
        outlet_k = head_k - corner.subcooling_k
        if system.feed.heat is not None and rated_effect is not None:
            rise_k = _rise(refrigerant, system, outlet_k, head_pa, mean, rated_effect)
        liquid_k = outlet_k + rise_k
    p1, tl, density, enthalpy, bubble_pa = inlet_state(
        refrigerant, system, head_pa, corner, share, rated_density, liquid_k
    )
    quality, inlet_density = inlet_mixture(refrigerant, p1, bubble_pa, density, enthalpy)
    if system.feed.heat is not None and not corner.is_at_condenser:
        effect = vapor_enthalpy - enthalpy if rated_effect is None else rated_effect
        rise_k = _rise(refrigerant, system, tl, head_pa, mean, effect)
    needed = np.full_like(head_pa, np.nan)
    if with_needed:
        own_density = density if rated_density is None else rated_density
        least_pa = _bubble_inlet(refrigerant, system, head_pa, corner, share, own_density)
        needed = lineq.needed_subcooling(T_hb=head_k, T_n=refrigerant.bubble_temperature(least_pa), dT_g=rise_k)
    return Inlet(
        pressure_pa=p1,
        liquid_k=tl,
        liquid_density_kg_m3=density,
        enthalpy_j_kg=enthalpy,
        bubble_pa=bubble_pa,
        quality=quality,
        density_kg_m3=inlet_density,
        condenser_subcooling_k=head_k - (tl - rise_k),
        needed_subcooling_k=needed,
    )


def _rise(
    refrigerant: Refrigerant, system: SystemInputs, at_k: Floats, head_pa: Floats, share: Floats, effect: Floats
) -> Floats:
    """Rise of the liquid's temperature along the line [K], with its heat capacity at a temperature [K]."""
    assert system.feed.heat is not None
    warm, cold = (refrigerant.liquid_or_bubble(t, head_pa)[2] for t in (at_k, at_k - CAPACITY_STEP_K))
    capacity = lineq.liquid_heat_capacity(h_w=warm, h_c=cold, dT_1=CAPACITY_STEP_K)
    return np.asarray(lineq.line_temperature_rise(sigma=system.feed.heat.share, dh_r=effect, f=share, c_l=capacity))


def _bubble_inlet(
    refrigerant: Refrigerant,
    system: SystemInputs,
    head_pa: Floats,
    corner: Corner,
    share: Floats,
    rated_density: Floats,
) -> Floats:
    """Inlet pressure [Pa] of liquid that is just at its bubble point there."""
    line_pa = system.losses.liquid_line_pa + corner.off.liquid_line_pa
    p1 = head_pa - lineq.line_loss(dp_line=line_pa, f=share)
    for _ in range(_NEEDED_ITERATIONS):
        density = refrigerant.bubble(refrigerant.bubble_temperature(p1)).density_kg_m3
        friction_only = lineq.inlet_pressure(p_h=head_pa, dp_line=line_pa, f=share, rho_r=rated_density, rho=density)
        following = friction_only - lineq.lift_pressure(rho=density, g=GRAVITY_M_S2, H=system.losses.lift_m)
        is_open = np.any(np.abs(following - p1) > 1e-12 * head_pa)
        p1 = following
        if not is_open:
            break
    return p1


def inlet_mixture(
    refrigerant: Refrigerant, inlet_pa: Floats, bubble_pa: Floats, density: Floats, enthalpy: Floats
) -> tuple[Floats, Floats]:
    """Vapor at the inlet by mass [1], and density of liquid and vapor there [kg/m3]: those of the liquid above its bubble pressure."""
    flashes = inlet_pa < bubble_pa
    none = np.where(np.isnan(inlet_pa), np.nan, 0.0)
    if not flashes.any():
        return none, density
    quality, flashed = mixture(refrigerant, inlet_pa, enthalpy)
    return np.where(flashes, quality, none), np.where(flashes, flashed, density)


def inlet_state(
    refrigerant: Refrigerant,
    system: SystemInputs,
    head_pa: Floats,
    corner: Corner,
    share: Floats,
    rated_density: Floats | None,
    liquid_k: float | Floats | None,
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Inlet pressure, liquid temperature, density, enthalpy and bubble pressure there.

    The line's loss depends on the density at its end, so they are iterated; each round shrinks
    the error by about the loss over the head, so a dozen rounds reach the last digit.  Of arrays with
    several rows each is iterated until it has settled, whatever the others do.

    Where limits count with vapor, liquid that would arrive below its bubble pressure goes on as liquid and vapor; the
    pressure is NaN where none carries the flow.
    """
    line_pa = system.losses.liquid_line_pa + corner.off.liquid_line_pa
    counts_vapor = system.feed.inlet_vapor > 0.0
    p1 = head_pa - lineq.line_loss(dp_line=line_pa, f=share)
    found: tuple[Floats, ...] = ()
    is_open = np.ones((*p1.shape[:-1], 1), dtype=np.bool_)
    for _ in range(_LINE_ITERATIONS):
        if liquid_k is None:
            tl = refrigerant.bubble_temperature(p1) - corner.subcooling_k
        else:
            tl = np.full_like(p1, liquid_k)
        # Flashing liquid is reported by its pressures; its density is then that of saturated liquid.
        bubble_pa, density, enthalpy = refrigerant.liquid_or_bubble(tl, p1)
        rated_here = density if rated_density is None else rated_density
        friction_only = lineq.inlet_pressure(p_h=head_pa, dp_line=line_pa, f=share, rho_r=rated_here, rho=density)
        following = friction_only - lineq.lift_pressure(rho=density, g=GRAVITY_M_S2, H=system.losses.lift_m)
        here = following, tl, density, enthalpy, bubble_pa
        found = here if is_open.all() else tuple(np.where(is_open, *pair) for pair in zip(here, found, strict=True))
        is_open &= np.any(np.abs(following - p1) > 1e-13 * head_pa, axis=-1, keepdims=True)
        p1 = found[0]
        if not is_open.any():
            break
    p1, tl, density, enthalpy, bubble_pa = found
    if counts_vapor:
        p1 = flashing_inlet(refrigerant, p1, bubble_pa, density, enthalpy, system.losses.lift_m)
    return p1, tl, density, enthalpy, bubble_pa
