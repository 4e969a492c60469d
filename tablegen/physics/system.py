"""What a refrigeration application asks of a valve: rating point, head operating conditions, losses, superheat limits.

Frozen inputs in SI; `tablegen.physics.conditions` solves them into states.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Any

import numpy as np

from tablegen.physics import liquid_equations as lineq
from tablegen.physics import valve_equations as veq
from tablegen.physics.arrays import Floats
from tablegen.physics.coil import Coil, superheat_at_loss
from tablegen.physics.compressor import Compressor, ConstantCapacity
from tablegen.physics.loop import Circuit
from tablegen.physics.refrigerants import Refrigerant

if TYPE_CHECKING:
    from tablegen.physics.state import State

GRAVITY_M_S2 = 9.80665


class Basis(StrEnum):
    """Which point a stated condensing temperature means: dew, bubble, or the mean of the two at one pressure."""

    DEW = "dew"
    BUBBLE = "bubble"
    MID = "mid"


class SuctionResponse(StrEnum):
    """What the suction side does when the head moves."""

    CONSTANT = "constant"
    BALANCED = "balanced"
    STRICTER = "stricter"


class Side(StrEnum):
    """Which limit a state is for; both where they need no state of their own.

    With a capacity step and a range of subcooling the minimum load has two states: at the step, and at full
    flow, which may bind it where the minimum stable superheat grows with load.
    """

    BOTH = "both"
    MAX = "max"
    MIN = "min"
    MIN_FULL_FLOW = "min_full_flow"

    @property
    def serves_max(self) -> bool:
        """Whether the maximum load is judged there."""
        return self in (Side.BOTH, Side.MAX)


class MaximumRule(StrEnum):
    """What gives the maximum superheat."""

    STATED = "stated"
    SHARE = "share"
    CAPACITY_LOSS = "capacity_loss"


class Stability(StrEnum):
    """What gives the minimum opening: stated limits, or the loop of valve, coil and bulb or sensor."""

    CONSTANT = "constant"
    LOOP = "loop"


@dataclass(frozen=True, slots=True)
class StabilityRule:
    """What an application says of minimum openings: the method where a family names none, and the loop's gain margin [1].

    `calibration` [1] multiplies the ultimate gain of its coil.
    """

    method: Stability = Stability.CONSTANT
    gain_margin: float = 1.5
    calibration: float = 1.0


class DistributorScaling(StrEnum):
    """How the distributor's loss follows flow."""

    FLASHED_MIXTURE = "flashed_mixture"
    FLOW_SQUARED = "flow_squared"


class Supply(StrEnum):
    """What the head pressures of an application are pressures of, from where the liquid comes."""

    CONDENSER = "condenser"
    INTERMEDIATE_RECEIVER = "intermediate_receiver"


class OperatingCondition(StrEnum):
    """The operating conditions at which a limit must be valid."""

    LOW_HEAD = "low_head"
    RATING = "rating"
    HIGH_HEAD = "high_head"


@dataclass(frozen=True, slots=True)
class Head:
    """Head pressure: absolute [Pa], or a condensing temperature [K] on a basis."""

    pressure_pa: float | None = None
    condensing_temperature_k: float | None = None
    basis: Basis = Basis.DEW

    def pressure(self, refrigerant: Refrigerant) -> float:
        """Absolute head pressure [Pa]; on the mid basis the mean of dew and bubble temperature is the stated one."""
        return float(self.pressures(refrigerant))

    def pressures(self, refrigerant: Refrigerant, offset_k: float | Floats = 0.0) -> Floats:
        """Absolute head pressures [Pa] of a refrigerant that varies along the states, or with an offset [K] of each.

        An offset from a stated pressure counts from its bubble temperature.
        """
        if self.pressure_pa is not None:
            stated = np.asarray(self.pressure_pa, dtype=np.float64)
            if not np.any(offset_k):
                return stated
            return refrigerant.bubble(refrigerant.bubble_temperature(stated) + offset_k).pressure_pa
        temperature = np.asarray(self.condensing_temperature_k + np.asarray(offset_k), dtype=np.float64)
        if self.basis is Basis.MID:
            return refrigerant.midpoint_pressure(temperature)
        side = refrigerant.dew if self.basis is Basis.DEW else refrigerant.bubble
        return side(temperature).pressure_pa

    def bubble_temperature(self, refrigerant: Refrigerant) -> float:
        """The bubble temperature [K] of the head, from which subcooling counts."""
        if self.condensing_temperature_k is not None and self.basis is Basis.BUBBLE:
            return self.condensing_temperature_k
        return float(refrigerant.bubble_temperature(np.asarray(self.pressure(refrigerant))))

    def saturation_pressures(self, refrigerant: Refrigerant) -> tuple[Floats, Floats]:
        """Bubble and dew pressure [Pa] at the stated condensing temperature; NaN where a pressure is stated."""
        if self.condensing_temperature_k is None:
            return np.asarray(np.nan), np.asarray(np.nan)
        temperature = np.asarray(self.condensing_temperature_k, dtype=np.float64)
        return refrigerant.bubble(temperature).pressure_pa, refrigerant.dew(temperature).pressure_pa


@dataclass(frozen=True, slots=True)
class LiquidSupply:
    """The liquid of a condition: its temperature [K] at the valve inlet, or a range of subcooling [K].

    Subcooling counts at the valve inlet or, where `is_at_condenser`, at the outlet of condenser or receiver.
    """

    temperature_k: float | None = None
    min_subcooling_k: float = 0.0
    max_subcooling_k: float = 0.0
    is_at_condenser: bool = False

    @property
    def is_range(self) -> bool:
        """Whether minimum and maximum subcooling differ, so that either limit has a state of its own."""
        return self.temperature_k is None and self.min_subcooling_k != self.max_subcooling_k


@dataclass(frozen=True, slots=True, kw_only=True)
class LineHeat:
    """Heat that the liquid line takes up: for each meter of it [W/m], its length [m], and the rated capacity [W] it is of."""

    per_length_w_m: float
    length_m: float
    capacity_w: float

    @property
    def share(self) -> float:
        """Of the rated capacity [1]."""
        return lineq.line_heat_share(g_1=self.per_length_w_m, L_g=self.length_m, Q_g=self.capacity_w)


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquidFeed:
    """How liquid reaches the valve.

    `inlet_vapor` is the greatest share of vapor by mass at the valve inlet that limits may count with [1]; with 0 liquid
    that flashes upstream of the port is refused.
    """

    inlet_vapor: float = 0.0
    heat: LineHeat | None = None
    supply: Supply = Supply.CONDENSER


@dataclass(frozen=True, slots=True)
class HeadCondition:
    """One condition of E: which it is, its head and its liquid."""

    condition: OperatingCondition
    head: Head
    liquid: LiquidSupply


@dataclass(frozen=True, slots=True, kw_only=True)
class Losses:
    """Losses at rated flow: liquid line, evaporator, distributor [Pa]; lift of the liquid [m], up positive."""

    liquid_line_pa: float
    lift_m: float
    evaporator_pa: float
    distributor_pa: float
    distributor_scaling: DistributorScaling


@dataclass(frozen=True, slots=True, kw_only=True)
class SuperheatLimits:
    """Superheat at the bulb [K]: useful superheat of the rating, maximum allowed, minimum stable.

    The minimum stable superheat is a + b q + c q^2, q the evaporator load over the rated capacity.  The maximum is
    one of three: a superheat `max_k` [K]; a share `max_share` [1] of the coil's temperature difference; or that at
    which its dry end costs the coil a share `capacity_loss` [1] of its capacity.  `max_offset_k` [K] is added to it, to
    see what it weighs.  `stability` says whether the minimum stable superheat counts, or the loop decides.
    """

    useful_k: float
    max_k: float | None
    min_k: tuple[float, float, float]
    max_share: float | None = None
    capacity_loss: float | None = None
    max_offset_k: float = 0.0
    stability: StabilityRule = StabilityRule()

    @property
    def max_rule(self) -> MaximumRule:
        """What gives the maximum superheat."""
        if self.max_k is not None:
            return MaximumRule.STATED
        return MaximumRule.SHARE if self.max_share is not None else MaximumRule.CAPACITY_LOSS

    def maximum(self, state: State) -> Floats:
        """Maximum superheat [K] at each state; NaN where it belongs to a coil of which too little is stated."""
        if self.max_k is not None:
            return np.full_like(state.evaporating_temperature_k, self.max_k + self.max_offset_k)
        if self.max_share is not None:
            return np.asarray(self.max_share * state.coil_difference_k + self.max_offset_k)
        assert self.capacity_loss is not None
        B, a = state.dry_transfer_units, state.vapor_heat_ratio
        return superheat_at_loss(state.coil_difference_k, B, a, self.capacity_loss) + self.max_offset_k

    def with_more(self, by_k: float) -> SuperheatLimits:
        """The same with a maximum that is so much larger [K]."""
        return replace(self, max_offset_k=self.max_offset_k + by_k)

    def with_constant_minimum(self, constant_k: float) -> SuperheatLimits:
        """The same with another constant part of the minimum stable superheat [K]."""
        return replace(self, min_k=(constant_k, *self.min_k[1:]))

    def minimum(self, load_share: Floats) -> Floats:
        """Minimum stable superheat [K] at an evaporator load over the rated capacity [1]."""
        a, b, c = self.min_k
        return np.asarray(veq.min_stable_superheat(a_0=a, a_1=b, a_2=c, q=load_share))


@dataclass(frozen=True, slots=True, kw_only=True)
class SystemInputs:
    """One application for one refrigerant, all in SI.

    `sst_at_compressor` says at which end of the suction line the SST is stated; `suction_loss_k` is the
    line's loss in dew temperature. `box_difference_k`, box minus evaporating temperature at the rating, is
    needed where the response is not constant, and where the maximum superheat belongs to the coil; `coil` is needed
    where that follows from a loss of capacity, with `circuit` where the loop gives minimum openings. `capacity_step` is the compressor's minimum share of flow [1].
    """

    name: str
    sst_at_compressor: bool
    suction_loss_k: float
    response: SuctionResponse
    box_difference_k: float | None
    capacity_step: float
    rating: HeadCondition
    low_head: HeadCondition
    high_head: HeadCondition
    losses: Losses
    superheat: SuperheatLimits
    compressor: Compressor
    return_superheat_k: float
    discharge_loss_pa: float
    feed: LiquidFeed = LiquidFeed()
    coil: Coil | None = None
    circuit: Circuit | None = None

    @property
    def most_superheat_k(self) -> float:
        """What no maximum superheat exceeds at the rating point [K]; NaN where the coil's difference is not stated."""
        own = self.superheat
        if own.max_k is not None:
            return own.max_k + own.max_offset_k
        difference = np.nan if self.box_difference_k is None else self.box_difference_k
        return (own.max_share or 1.0) * difference + own.max_offset_k

    @property
    def conditions(self) -> tuple[HeadCondition, HeadCondition, HeadCondition]:
        """E in ascending head."""
        return self.low_head, self.rating, self.high_head

    def condition(self, name: str) -> HeadCondition:
        """The condition of a name ("low_head", "rating", "high_head")."""
        return next(own for own in self.conditions if own.condition == name)

    def with_condition(self, changed: HeadCondition) -> SystemInputs:
        """The inputs with another condition of the same name."""
        own: dict[str, Any] = {changed.condition.value: changed}
        return replace(self, **own)

    def with_losses(self, **changes: float) -> SystemInputs:
        """The inputs with some losses, or the lift, changed."""
        own: dict[str, Any] = dict(changes)
        return replace(self, losses=replace(self.losses, **own))

    @property
    def keeps_capacity(self) -> bool:
        """Whether a rack holds the SST and the evaporator keeps its capacity at every head."""
        return isinstance(self.compressor, ConstantCapacity)

    @property
    def has_receiver(self) -> bool:
        """Whether the heads are pressures of an intermediate receiver."""
        return self.feed.supply is Supply.INTERMEDIATE_RECEIVER

    @property
    def responses(self) -> tuple[SuctionResponse, ...]:
        """The suction responses to be solved: both where the stricter is wanted."""
        if self.response is SuctionResponse.STRICTER:
            return SuctionResponse.CONSTANT, SuctionResponse.BALANCED
        return (self.response,)
