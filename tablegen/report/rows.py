"""Rows of a data set's frames as the pages read them: one class for each frame, its fields named as the columns."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable

    import pandas as pd

    from tablegen.physics.state import State
    from tablegen.physics.system import SuperheatLimits

# Temperatures that are the same [K]: one may have been written in another unit.
_SAME_K = 1e-6


def is_same_temperature(first_k: float, second_k: float) -> bool:
    """Whether two temperatures [K] are those of one row."""
    return abs(first_k - second_k) < _SAME_K


class WindowRow(NamedTuple):
    """The window of a size at one suction temperature [K]: limits [W], NaN where there is none, and what sets each."""

    size: str
    sst_k: float
    min_load_w: float
    max_load_w: float
    min_member: str
    max_member: str
    min_condition: str
    max_condition: str
    min_reason: str
    max_reason: str


def window_at(windows: Iterable[WindowRow], size: str, sst_k: float) -> WindowRow:
    """The window of a size at a suction temperature [K] that its table has."""
    return next(row for row in windows if row.size == size and is_same_temperature(row.sst_k, sst_k))


class ConfidentWindow(NamedTuple):
    """The nominal maximum load [W] of a size at one suction temperature [K], NaN for none; its limits at confidence, and
    why none is left there.
    """

    size: str
    sst_k: float
    max_load_w: float
    confident_min_load_w: float
    confident_max_load_w: float
    confident_reason: str


class OwnWindow(NamedTuple):
    """The window of a size on one refrigerant at one suction temperature [K]: limits [W], and how superheat moves [K]."""

    refrigerant: str
    size: str
    sst_k: float
    min_load_w: float
    max_load_w: float
    superheat_swing_k: float
    unbalance_swing_k: float


class ExampleRow(NamedTuple):
    """The example of a table at one operating condition: what the system does, and how far the valve is open."""

    refrigerant: str
    sst_k: float
    size: str
    kv_rated_m3h: float
    load_w: float
    condition: str
    head_pressure_pa: float
    liquid_temperature_k: float
    flow_ratio: float
    mass_flow_kg_s: float
    capacity_w: float
    pressure_drop_pa: float
    required_kv_m3h: float
    opening: float
    superheat_k: float


class HeadState(NamedTuple):
    """A refrigerant at one operating condition of an application, as far as no valve bears on it.

    Condensing pressures [Pa] are NaN where the head is given as a pressure, `liquid_temperature_k` where the state
    cannot be computed.
    """

    condition: str
    head_pressure_pa: float
    head_bubble_temperature_k: float
    head_dew_temperature_k: float
    condensing_bubble_pressure_pa: float
    condensing_dew_pressure_pa: float
    liquid_temperature_k: float
    condenser_subcooling_k: float
    needed_subcooling_k: float
    inlet_density_kg_m3: float
    liquid_density_kg_m3: float
    inlet_pressure_pa: float
    outlet_pressure_pa: float
    evaporating_pressure_pa: float
    suction_pressure_pa: float
    liquid_enthalpy_j_kg: float
    vapor_enthalpy_j_kg: float
    flow_share: float
    max_superheat_k: float

    @classmethod
    def of(cls, condition: str, state: State, limits: SuperheatLimits, row: int = 0) -> HeadState:
        """One row of a state's arrays."""
        own = [getattr(state, name) for name in cls._fields[1:-1]] + [limits.maximum(state)]
        return cls(condition, *(float(values[row]) for values in own))

    @property
    def effect_j_kg(self) -> float:
        """Refrigerating effect of the vapor at the evaporator's outlet [J/kg]."""
        return self.vapor_enthalpy_j_kg - self.liquid_enthalpy_j_kg


class CurveCase(NamedTuple):
    """What the curves of an example are drawn for, and where the next smaller size meets the system [Pa], or NaN."""

    refrigerant: str
    sst_k: float
    size: str
    smaller_size: str
    load_w: float
    smaller_crossing_pa: float


class ConversionRow(NamedTuple):
    """The factor [1] by which a capacity at other temperatures [K] is multiplied; NaN where it cannot be computed."""

    refrigerant: str
    application: str
    sst_k: float
    condensing_temperature_k: float
    basis: str
    subcooling_k: float
    capacity_factor: float


class MapCell(NamedTuple):
    """A cell of a selection map: loads [W] and suction temperatures [K], and the sizes that cover all of it."""

    load_above_w: float
    load_upto_w: float
    sst_from_k: float
    sst_to_k: float
    first_size: str
    second_size: str


class ChartCell(NamedTuple):
    """A cell of a counter chart: loads [W], suction temperatures [K], sizes, and what two sizes cover of it [W].

    A size is "" and a load NaN where there is none.
    """

    load_above_w: float
    load_upto_w: float
    sst_from_k: float
    sst_to_k: float
    first_size: str
    second_size: str
    coverage: str
    lower_size: str
    lower_upto_w: float
    upper_size: str
    upper_from_w: float


class DriverRow(NamedTuple):
    """What one source of scatter does to a limit of an example: loads [W], NaN where there is none."""

    size: str
    sst_k: float
    refrigerant: str
    limit: str
    driver: str
    is_shared: bool
    nominal_load_w: float
    member_load_w: float
    installed_load_w: float
    confident_load_w: float
    data_low_load_w: float
    data_high_load_w: float
    load_at_low_w: float
    load_at_high_w: float
    spread_between_draws: float


class MinimumOpeningRow(NamedTuple):
    """Stated minimum opening and that of the loop [1], with superheat there, period and time constants of the bulb [s]."""

    refrigerant: str
    condition: str
    sst_k: float
    assumed_opening: float
    loop_opening: float
    loop_superheat_k: float
    loop_superheat_share: float
    loop_period_s: float
    bulb_time_s: float
    needed_bulb_time_s: float


class FlowLawRow(NamedTuple):
    """Flow of one port at a condensing temperature [K] over that at the rating point, by a law or a correlation."""

    refrigerant: str
    application: str
    flow_source: str
    sst_k: float
    inlet_subcooling_k: float
    condensing_temperature_k: float
    relative_mass_flow: float
    is_published_range: bool


class AssumptionRow(NamedTuple):
    """What a step of one assumption does to the limits of a table: changes [1], NaN for no step, infinite for no limit."""

    size: str
    sst_k: float
    assumption: str
    origin: str
    measure: str
    step: float
    min_at_step_down: float
    min_at_step_up: float
    max_at_step_down: float
    max_at_step_up: float


class ChangedRow(NamedTuple):
    """A window that differs from an earlier release: limits [W] and their changes [1], NaN where there is none."""

    size: str
    sst_k: float
    change_kind: str
    earlier_min_load_w: float
    earlier_max_load_w: float
    min_load_w: float
    max_load_w: float
    min_load_change: float
    max_load_change: float


class LimitForces(NamedTuple):
    """The valve of an example at one limit of its window, [W], [Pa], [K] and opening [1]."""

    refrigerant: str
    sst_k: float
    size: str
    limit: str
    condition: str
    limit_reason: str
    load_w: float
    head_pressure_pa: float
    liquid_temperature_k: float
    pressure_drop_pa: float
    opening: float
    superheat_k: float
    max_superheat_k: float
    bulb_temperature_k: float
    bulb_pressure_pa: float
    under_pressure_pa: float
    spring_closing_pa: float


Row = TypeVar("Row", bound=tuple[object, ...])


def rows_of(frame: pd.DataFrame, kind: type[Row]) -> list[Row]:
    """The rows of a frame as named tuples of a kind, without the columns that it does not name."""
    if frame.empty:
        return []
    columns = [frame[name].tolist() for name in kind.__annotations__]
    return [tuple.__new__(kind, values) for values in zip(*columns, strict=True)]
