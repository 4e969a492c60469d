"""A circuit of an evaporator in the course of time, cut into cells: liquid, wall with fins, and vapor that flows past.

    liquid  dW/dt = m_l,in - m_l,out - evaporation,  m_l,out by Zivi's slip from the liquid in the cell
    vapor   what flashed, what evaporated, and what the liquid displaces: pressure is constant
    wall    C_w dT_w/dt = air side - refrigerant side, whose conductance is that of a wet or of a dry wall

Where the liquid ends is found, not stated: a wet wall evaporates what it can, a cell no more than there is.  No dead time, no
share of plug flow and no fitted constant enters.

The scheme is explicit and conservative (first-order upwind in space, Euler in time), with steps as short as the fastest
liquid asks for.  A mass balance then closes to the last digit, runs of several openings share one step, and a wall that
dries is no event: an adaptive solver would have to find thousands of them.  There is no chance in it: the same inputs give
the same figures.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.loop import Circuit, CoilLoop

# Cells of a circuit; the delays of 80 well-stirred cells spread by 1/sqrt(80) of their mean.
CELLS = 80
# A step is at most these parts of the time in which liquid crosses a cell and of a wet wall's time constant, or so long [s].
_COURANT, _LONGEST_S, _OF_WALL = 0.8, 0.1, 0.1
# Vapor that stands still takes the temperature of its wall; exp() of a sum of exponents stays a number.
_LARGEST_EXPONENT = 640.0
# No flow is smaller [kg/s], so that nothing is divided by zero.
_NO_FLOW = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class CoilInTime:
    """One circuit at one state, at constant pressure: what its cells are made of.

    Attributes
    ----------
    length_m, section_m2 : float
    conductance_w_mk, conductance_ratio : float
        From air to boiling refrigerant for each meter, and that of a dry tube over it [1].
    wall_heat_capacity_j_mk, air_side_share, liquid_holdup_factor : float
        As `loop.Circuit`.
    temperature_k, difference_k : float
        Evaporating temperature (dew), and air above it [K].
    bubble_density_kg_m3, dew_density_kg_m3, latent_heat_j_kg, inlet_quality, vapor_heat_capacity_j_kgk : float
        As `loop.CoilLoop`.
    """

    length_m: float
    section_m2: float
    conductance_w_mk: float
    conductance_ratio: float
    wall_heat_capacity_j_mk: float
    air_side_share: float
    liquid_holdup_factor: float
    temperature_k: float
    difference_k: float
    bubble_density_kg_m3: float
    dew_density_kg_m3: float
    latent_heat_j_kg: float
    inlet_quality: float
    vapor_heat_capacity_j_kgk: float

    @classmethod
    def of(cls, circuit: Circuit, conductance_ratio: float, coil: CoilLoop, temperature_k: float) -> CoilInTime:
        """A circuit at the only state of `coil`, with its evaporating temperature [K]."""
        return cls(
            length_m=circuit.length_m,
            section_m2=circuit.section_m2,
            conductance_w_mk=float(coil.conductance_w_mk[0]),
            conductance_ratio=conductance_ratio,
            wall_heat_capacity_j_mk=circuit.wall_heat_capacity_j_mk,
            air_side_share=circuit.air_side_share,
            liquid_holdup_factor=circuit.liquid_holdup_factor,
            temperature_k=temperature_k,
            difference_k=float(coil.difference_k[0]),
            bubble_density_kg_m3=float(coil.bubble_density_kg_m3[0]),
            dew_density_kg_m3=float(coil.dew_density_kg_m3[0]),
            latent_heat_j_kg=float(coil.latent_heat_j_kg[0]),
            inlet_quality=float(coil.inlet_quality[0]),
            vapor_heat_capacity_j_kgk=float(coil.vapor_heat_capacity_j_kgk[0]),
        )

    @property
    def wetted_effect_j_kg(self) -> float:
        """Heat that evaporates what enters [J/kg]."""
        return (1.0 - self.inlet_quality) * self.latent_heat_j_kg

    @property
    def slip_constant(self) -> float:
        """(rho_dew/rho_bub)^(2/3), Zivi's slip in the void fraction [1]."""
        return float((self.dew_density_kg_m3 / self.bubble_density_kg_m3) ** (2.0 / 3.0))

    def steady_flow(self, superheat_k: Floats) -> Floats:
        """Flow [kg/s] in steady operation with superheats [K] at the outlet, below the temperature difference."""
        # As `loop`: E = -ln(1 - SH/TD) = B (1 - z)/z, with z the wetted share and B = r q/(c_pv TD).
        heat = self.vapor_heat_capacity_j_kgk * self.difference_k
        sensitivity = self.conductance_ratio * self.wetted_effect_j_kg / heat
        wetted = sensitivity / (sensitivity - np.log1p(-np.asarray(superheat_k) / self.difference_k))
        heat_w = self.conductance_w_mk * self.length_m * self.difference_k
        return np.asarray(wetted * heat_w / self.wetted_effect_j_kg)


class Cells:
    """The cells of a circuit in several runs.

    Attributes
    ----------
    liquid_kg, wall_k : array (runs, cells)
        Liquid, and the wall's temperature above that of evaporation.
    superheat_k, wetted, carried_kg_s : array (runs,)
        Superheat at the outlet, wetted share of the wall, liquid that leaves the circuit.
    left_kg : array (runs,)
        Liquid that evaporated or left since `count_from_now`.
    """

    def __init__(self, coil: CoilInTime, feed_kg_s: Floats, cells: int) -> None:
        """About as in steady operation at a feed of each run."""
        k, a, r = coil.conductance_w_mk, coil.air_side_share, coil.conductance_ratio
        length = coil.length_m / cells
        self._coil = coil
        # Air to wall, wall to boiling and wall to superheated refrigerant [W/K of a cell].
        self._air, self._wet, self._dry = k / a * length, k / (1.0 - a) * length, k / (1.0 / r - a) * length
        self._heat_capacity = coil.wall_heat_capacity_j_mk * length
        self._longest_s = min(_LONGEST_S, _OF_WALL * self._heat_capacity / (self._air + self._wet))
        self._full_kg = coil.bubble_density_kg_m3 * coil.section_m2 * length * coil.liquid_holdup_factor
        # Vapor that liquid displaces, by mass.
        self._displaced = coil.dew_density_kg_m3 / coil.bubble_density_kg_m3
        self._still = _LARGEST_EXPONENT / cells
        self._slip = coil.slip_constant
        runs = len(feed_kg_s)
        wet_k, dry_k = (1.0 - a) * coil.difference_k, self._air / (self._air + self._dry) * coil.difference_k
        evaporates = self._wet * wet_k / coil.latent_heat_j_kg
        leaves = ((1.0 - coil.inlet_quality) * feed_kg_s)[:, None] - evaporates * np.arange(1, cells + 1)
        ratio = self._slip * np.maximum(leaves, 0.0) / np.maximum(feed_kg_s[:, None] - leaves, _NO_FLOW)
        self.liquid_kg = self._full_kg * ratio / (1.0 + ratio)
        self.wall_k = np.where(leaves > 0.0, wet_k, dry_k)
        self._evaporation = np.clip(leaves + evaporates, 0.0, evaporates)
        self.superheat_k, self.carried_kg_s = np.zeros(runs), np.zeros(runs)
        self.wetted, self.left_kg = np.ones(runs), np.zeros(runs)

    def count_from_now(self) -> None:
        """Count what evaporates and leaves from now on."""
        self.left_kg = np.zeros_like(self.left_kg)

    def steps(self, feed_kg_s: Floats, interval_s: float) -> int:
        """Into how many steps an interval [s] is to be cut."""
        share = np.minimum(self.liquid_kg / self._full_kg, 1.0)
        speed = self._volume(feed_kg_s) * self._slip / (self._slip * (1.0 - share) + self._displaced * share) ** 2
        crossing_s = self._full_kg / max(float(speed.max()), _NO_FLOW)
        return int(np.ceil(interval_s / min(_COURANT * crossing_s, self._longest_s)))

    def step(self, feed_kg_s: Floats, step_s: float) -> None:
        """A step [s] with a feed of each run."""
        coil = self._coil
        share = np.minimum(self.liquid_kg / self._full_kg, 1.0)
        held, volume = self.liquid_kg / step_s, self._volume(feed_kg_s)
        leaves = np.minimum(volume * share / (self._slip * (1.0 - share) + self._displaced * share), held)
        enters = np.empty_like(leaves)
        enters[:, 0] = (1.0 - coil.inlet_quality) * feed_kg_s
        enters[:, 1:] = leaves[:, :-1]
        wettest = self._wet * self.wall_k / coil.latent_heat_j_kg
        there = held + enters - leaves
        self._evaporation = np.minimum(there, wettest)
        self.liquid_kg = (there - self._evaporation) * step_s
        wet = self._evaporation / wettest
        drawn = self._evaporation * coil.latent_heat_j_kg + self._vapor(volume, leaves, wet)
        warming = self._air * (coil.difference_k - self.wall_k) - drawn
        self.wall_k = self.wall_k + step_s / self._heat_capacity * warming
        self.carried_kg_s, self.wetted = leaves[:, -1], wet.mean(axis=1)
        self.left_kg = self.left_kg + step_s * (self._evaporation.sum(axis=1) + self.carried_kg_s)

    def _volume(self, feed_kg_s: Floats) -> Floats:
        """Volume that flows out of each cell, as vapor [kg/s]: what flashed and evaporated, and the liquid's own."""
        quality = self._coil.inlet_quality
        inlet = (quality + self._displaced * (1.0 - quality)) * feed_kg_s
        flow: Floats = inlet[:, None] + (1.0 - self._displaced) * np.cumsum(self._evaporation, axis=1)
        return flow

    def _vapor(self, volume: Floats, leaves: Floats, wet: Floats) -> Floats:
        """Heat that vapor draws from the walls [W of a cell]; sets the superheat at the outlet.

        A dry stretch of wall warms it on its way; upstream of a cell that liquid leaves all is at saturation.
        """
        flow = np.maximum(volume - self._displaced * leaves, _NO_FLOW) * self._coil.vapor_heat_capacity_j_kgk
        is_wet = np.cumsum(leaves[:, ::-1], axis=1)[:, ::-1] > 0.0
        number = np.where(is_wet, 0.0, np.minimum(self._dry * (1.0 - wet) / flow, self._still))
        along = np.cumsum(number, axis=1)
        warmed = np.where(is_wet, 0.0, self.wall_k) * -np.expm1(-number) * np.exp(along)
        vapor = np.cumsum(warmed, axis=1) * np.exp(-along)
        before = np.zeros_like(vapor)
        before[:, 1:] = vapor[:, :-1]
        self.superheat_k = vapor[:, -1]
        drawn: Floats = flow * (vapor - before)
        return drawn
