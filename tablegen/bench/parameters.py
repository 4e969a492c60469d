"""What is fitted, and why rows do not determine it: closed lists with figures.

`tablegen.wording.bench` has the words for them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from tablegen.physics.flow import FlowLaw

_NAN = float("nan")


class Part(StrEnum):
    """The parts of a fit, which share no parameter."""

    FLOW = "flow"
    BALANCE = "balance"
    CHARGE = "charge"


class Quantity(StrEnum):
    """What is fitted; most are named as in a family's file."""

    KV = "kv"
    FLOW_LAW = "flow_law"
    PRESSURE_RECOVERY = "pressure_recovery"
    SUBCOOLING_EXPONENT = "subcooling_exponent"
    DROP_EXPONENT = "drop_exponent"
    OPENING = "opening"
    STATIC_SUPERHEAT = "static_superheat"
    OPENING_SUPERHEAT = "opening_superheat"
    UNBALANCE = "unbalance"
    CHARGE_CURVE = "charge_curve"
    SPRING = "spring"
    GRADIENT = "gradient"

    @property
    def part(self) -> Part:
        """The part of the fit that gives it."""
        flow = (Quantity.KV, Quantity.FLOW_LAW, Quantity.PRESSURE_RECOVERY, Quantity.OPENING)
        is_flow = self in flow or self.is_exponent
        return Part.FLOW if is_flow else Part.BALANCE

    @property
    def is_exponent(self) -> bool:
        """Whether it is an exponent of the discharge coefficient, which is fitted as it is."""
        return self in (Quantity.SUBCOOLING_EXPONENT, Quantity.DROP_EXPONENT)

    @property
    def dimension(self) -> str:
        """Kind of quantity of an estimate, as unit tables name it; "number" for one that has no unit of its own."""
        if self.is_exponent:
            return "number"
        if self is Quantity.KV:
            return "flow coefficient"
        is_superheat = self in (Quantity.STATIC_SUPERHEAT, Quantity.OPENING_SUPERHEAT)
        return "temperature difference" if is_superheat else "share"


@dataclass(frozen=True, slots=True)
class Parameter:
    """One unknown of a fit: `of` which size or charge it is, and of which point of the characteristic [1]."""

    quantity: Quantity
    of: str = ""
    opening: float | None = None


class Why(StrEnum):
    """Why a parameter cannot be determined, or what decides the flow law.  Each asks for a test of its own.

    In brackets the figures that a `Shortfall` has.
    """

    # Flow.
    NO_FLOW_ROWS = "no_flow_rows"
    FEW_FLOW_ROWS = "few_flow_rows"  # rows, needed (unknowns)
    FEW_OF_SIZE = "few_of_size"  # rows, needed
    NO_FLOW_LAW = "no_flow_law"  # law, value (share of rows off it), scatter [1]
    ONLY_PRODUCT = "only_product"
    LAW_UNDECIDED = "law_undecided"
    KV_BELOW_RATED = "kv_below_rated"  # high (opening)
    KV_ONLY_WITH = "kv_only_with"  # parameters
    KV_BOUND = "kv_bound"  # value (share)
    NO_CHOKING = "no_choking"  # high (drop over the limit)
    RECOVERY_BOUND = "recovery_bound"  # value (share), rows
    SHARES_OPEN = "shares_open"  # parameters
    NOT_ASCENDING = "not_ascending"
    FLOW_ONE_OPENING = "flow_one_opening"  # low, high; wanted_low, wanted_high
    TRAVEL_LOW = "travel_low"  # low; wanted_low
    TRAVEL_HIGH = "travel_high"  # high; wanted_high
    # The flow law.
    FLOW_LEVELS_OFF = "flow_levels_off"  # rows
    FLOW_GROWS = "flow_grows"  # rows
    NONE_BEYOND = "none_beyond"  # line, high (drop over the limit)
    FEW_BEYOND = "few_beyond"  # rows, needed
    ALL_MAY_CHOKE = "all_may_choke"
    LAWS_ALIKE = "laws_alike"
    # The discharge coefficient.
    EXPONENTS_FIT = "exponents_fit"
    EXPONENTS_NEEDLESS = "exponents_needless"
    EXPONENTS_LACK_FIT = "exponents_lack_fit"
    SUBCOOLING_ALIKE = "subcooling_alike"  # low, high (of critical pressure); value (ratio), wanted_high (ratio)
    DROPS_ALIKE = "drops_alike"  # low, high (of inlet pressure); value (ratio), wanted_high (ratio)
    EXPONENT_BOUND = "exponent_bound"  # value
    EXPONENT_BEYOND = "exponent_beyond"  # value, low, high
    # The force balance.
    NO_BALANCE_ROWS = "no_balance_rows"  # rows
    FEW_BALANCE_ROWS = "few_balance_rows"  # rows, needed (unknowns)
    NO_BALANCE = "no_balance"  # value (share of rows off it), scatter [K]
    UNBALANCE_BOUND = "unbalance_bound"  # value
    SUPERHEAT_BOUND = "superheat_bound"  # value [K]
    CURVE_TOO_SHORT = "curve_too_short"
    ONE_DROP = "one_drop"  # low, high [Pa]
    PORT_ONLY_WITH = "port_only_with"  # parameters
    STATIC_TOO_OPEN = "static_too_open"  # low (opening)
    OPENING_BELOW_RATED = "opening_below_rated"  # high (opening)
    FEW_OF_CHARGE = "few_of_charge"  # rows, needed
    BALANCE_ONE_OPENING = "balance_one_opening"  # low, high
    ONLY_SUM = "only_sum"  # parameters
    SETTING_FAR = "setting_far"  # low, high; wanted_low [K]
    SET_DIFFERENTLY = "set_differently"  # sizes
    # The charge curve.
    FEW_TEMPERATURES = "few_temperatures"  # rows, temperatures
    NOT_RISING = "not_rising"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """A `Why` with its figures, in SI: what the rows have (`low`, `high`), and what is wanted of them."""

    why: Why
    rows: int = field(default=0, kw_only=True)
    needed: int = field(default=0, kw_only=True)
    temperatures: int = field(default=0, kw_only=True)
    line: int = field(default=0, kw_only=True)
    value: float = field(default=_NAN, kw_only=True)
    scatter: float = field(default=_NAN, kw_only=True)
    low: float = field(default=_NAN, kw_only=True)
    high: float = field(default=_NAN, kw_only=True)
    wanted_low: float = field(default=_NAN, kw_only=True)
    wanted_high: float = field(default=_NAN, kw_only=True)
    law: FlowLaw | None = field(default=None, kw_only=True)
    parameters: tuple[Parameter, ...] = field(default=(), kw_only=True)
    sizes: tuple[str, ...] = field(default=(), kw_only=True)


@dataclass(frozen=True, slots=True)
class NotDetermined:
    """A parameter that cannot be determined from these rows, and why."""

    parameter: Parameter
    reason: Shortfall


class Unusable(StrEnum):
    """Why a row cannot be used."""

    NO_OPENING = "no_opening"
    NO_OPENING_NO_FLOW = "no_opening_no_flow"
    NO_LIQUID = "no_liquid"
    FLASHES = "flashes"
    NO_DROP = "no_drop"
    BEYOND_STOP = "beyond_stop"
    NEARLY_SHUT = "nearly_shut"
    SHUT = "shut"
    ON_STOP = "on_stop"
    OFF_CHARGE_CURVE = "off_charge_curve"
    ABOVE_MOP = "above_mop"
    # A flow from which no opening can be inferred; the last three with a figure.
    KV_UNKNOWN = "kv_unknown"
    KV_OF_OTHER_LAW = "kv_of_other_law"
    FLOW_LACKS_FIT = "flow_lacks_fit"
    FLOW_FOLLOWS_NO_LAW = "flow_follows_no_law"
    INFERRED_BEYOND_STOP = "inferred_beyond_stop"
    INFERRED_NEAR_STOP = "inferred_near_stop"
    INFERRED_UNCERTAIN = "inferred_uncertain"


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A row that cannot be used for a part of the fit, and why.

    `value` is the share of Kv that a flow takes, the inferred opening or its standard error [1]; NaN for other reasons.
    """

    line: int
    part: Part
    why: Unusable
    size: str = ""
    value: float = _NAN
