"""What the exercises of one classroom handout are drawn from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue, Family
from tablegen.model.publications import Handout
from tablegen.model.solving import law_of
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import SuperheatLimits
from tablegen.sweep.frames import law_values
from tablegen.tables.exercise_rows import in_kelvin, in_printed

NEAR_K = 1e-6
# Cells of an exercise by column.
Row = dict[str, object]


@dataclass(frozen=True, slots=True)
class Drawn:
    """An exercise: its figures, and the rows of the small table that its question prints."""

    row: Row
    table: tuple[Row, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ExerciseSource:
    """What one handout's exercises are drawn from: open rows of its own part alone, round in its units.

    `curves` are those of the superheat graph, whose rows are the application's own; `is_linear` says whether the Kv of
    their size grows in proportion to its opening.
    """

    handout: Handout
    family: Family
    actuator: ThermostaticActuator | None
    refrigerants: Mapping[str, Refrigerant]
    superheat: SuperheatLimits
    rng: np.random.Generator
    grouped: pd.DataFrame
    members: pd.DataFrame
    states: pd.DataFrame
    curves: pd.DataFrame
    is_linear: bool
    compared: pd.DataFrame
    compared_head_pa: float

    def any_of(self, frame: pd.DataFrame) -> pd.Series:
        """One row, drawn."""
        return frame.iloc[int(self.rng.integers(len(frame)))]

    def any_row(self) -> float:
        """A suction temperature of its rows [K], drawn."""
        return float(self.any_of(self.grouped)["sst_k"])

    def kv_rated(self, size: str) -> float:
        """Rated Kv of a size [m3/h]."""
        return next(own.kv_rated_m3h for own in self.family.sizes if own.name == size)

    @property
    def clear(self) -> float:
        """How far a load is from a limit at least, as a share of it."""
        return self.handout.exercises.clear

    def between(self, colder_k: float, warmer_k: float) -> float | None:
        """A temperature of whole or half printed degrees midway between two rows [K]; None if there is none."""
        printed = self.handout.printed
        middle = in_printed(printed, 0.5 * (colder_k + warmer_k))
        for figure in (round(middle), round(2.0 * middle) / 2.0):
            found = in_kelvin(printed, figure)
            if colder_k + NEAR_K < found < warmer_k - NEAR_K:
                return found
        return None

    def round_load(self, load_w: float) -> float:
        """A load of three figures in the printed unit [W]."""
        return float(f"{load_w / self.handout.printed.load_unit_w:.3g}") * self.handout.printed.load_unit_w

    def figures(self, load_w: float) -> float:
        """A load in units of its third printed figure."""
        value = load_w / self.handout.printed.load_unit_w
        return value / 10.0 ** (math.floor(math.log10(value)) - 2)

    def state(self, refrigerant: str, sst_k: float, condition: str) -> pd.Series:
        """The state of a member at full flow."""
        own = self.states[(self.states["refrigerant"] == refrigerant) & (self.states["condition"] == condition)]
        return own[(own["sst_k"] - sst_k).abs() < NEAR_K].iloc[0]


def source_of(catalogue: Catalogue, handout: Handout, frames: Mapping[str, pd.DataFrame]) -> ExerciseSource:
    """Choose a handout's rows from the frames, and start its random numbers by its seed."""
    family, application = catalogue.families[handout.family], catalogue.applications[handout.application]
    names = catalogue.groups[handout.group].members
    grouped = of_names(
        frames["group_windows"], family=handout.family, group=handout.group, application=handout.application
    )
    windows = of_names(frames["windows"], family=handout.family, application=handout.application)
    curves = frames["superheat"]
    if len(curves):
        curves = of_names(curves, family=handout.family, group=handout.group, application=handout.application)
    # Openings are asked of the size that the curves are for.
    part = family.with_design_of(str(curves["size"].iloc[0])) if len(curves) else family
    element = part.element_for(names[0], application.temperature_range)
    compared, compared_head = _compared(catalogue, handout, frames)
    actuator = element.actuator if element and isinstance(element.actuator, ThermostaticActuator) else None
    return ExerciseSource(
        handout=handout,
        family=family,
        actuator=actuator,
        refrigerants={name: catalogue.refrigerants[name] for name in names},
        superheat=application.systems[names[0]].superheat,
        rng=np.random.default_rng(handout.seed),
        grouped=grouped[grouped["max_load_w"].notna() & grouped["min_load_w"].notna()],
        members=windows[windows["refrigerant"].isin(names)],
        states=_states(family, handout.application, names, frames["states"]),
        curves=curves,
        is_linear=not part.characteristic.points and part.characteristic.connection_ratio is None,
        compared=compared,
        compared_head_pa=compared_head,
    )


def of_names(frame: pd.DataFrame, **names: str) -> pd.DataFrame:
    """The rows whose columns have the given names."""
    for column, name in names.items():
        frame = frame[frame[column] == name]
    return frame


def _states(family: Family, application: str, names: tuple[str, ...], states: pd.DataFrame) -> pd.DataFrame:
    """States at full flow of the members, under the family's flow law and the first response solved."""
    own = of_names(states, application=application)
    for column, value in law_values(law_of(family)).items():
        own = own[own[column].isna() if value != value else own[column] == value]
    own = own[own["refrigerant"].isin(names) & own["limit"].isin(["both", "max"]) & (own["open_share"] == 1.0)]
    response = own["suction_response"].iloc[0]
    return of_names(own, suction_response=response)


def _compared(catalogue: Catalogue, handout: Handout, frames: Mapping[str, pd.DataFrame]) -> tuple[pd.DataFrame, float]:
    """Windows of the same part in the like application with the highest low head, if that is well above its own."""
    member, family = catalogue.groups[handout.group].members[0], catalogue.families[handout.family]
    own = catalogue.applications[handout.application]
    heads = {}
    for c in catalogue.combinations:
        other = catalogue.applications[c.application]
        is_like = other.temperature_range == own.temperature_range and np.array_equal(other.sst_k, own.sst_k)
        if (c.family, c.group) == (handout.family, handout.group) and is_like:
            rows = of_names(_states(family, c.application, (member,), frames["states"]), condition="low_head")
            heads[c.application] = float(rows["head_pressure_pa"].iloc[0])
    best = max(heads, key=heads.__getitem__)
    grouped = frames["group_windows"]
    if heads[best] < 1.05 * heads[handout.application]:
        return grouped.iloc[:0], math.nan
    return of_names(grouped, family=handout.family, group=handout.group, application=best), heads[best]
