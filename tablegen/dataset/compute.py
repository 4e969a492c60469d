"""From a catalogue's inputs to its data set."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from tablegen.confidence.confident_limits import Scattered, scattered_in
from tablegen.dataset.dataset import DataSet
from tablegen.dataset.summary import Summary, summarize
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import Solved
from tablegen.sweep.groups import group_windows
from tablegen.sweep.sweep import SweepOptions, sweep
from tablegen.tables.assumption_rows import assumption_frame
from tablegen.tables.calculated_limits import calculated_frame
from tablegen.tables.curves import balance_frame, charge_frame, sizes_frame, superheat_frame
from tablegen.tables.drivers import driver_frame
from tablegen.tables.examples import example_frame, examples_of
from tablegen.tables.exercises import exercise_frames
from tablegen.tables.limit_forces import limit_forces_frame
from tablegen.tables.minimum_openings import minimum_opening_frame
from tablegen.tables.pressure_enthalpy import pressure_enthalpy_frame
from tablegen.tables.reference_tables import conversion_frame, sheet_frame
from tablegen.tables.selection_map import chart_frame, selection_map_frame
from tablegen.verification.flow_over_head import flow_law_frame
from tablegen.verification.table import all_checks, verification_frame


@dataclass(frozen=True, slots=True)
class Tables:
    """What is computed first and all else is made of: states, windows, group windows, and the solved states."""

    states: pd.DataFrame
    windows: pd.DataFrame
    group_windows: pd.DataFrame
    solved_by: dict[tuple[str, str], Solved]


def compute_windows(
    catalogue: Catalogue, options: SweepOptions | None = None, scattered: Scattered | None = None
) -> Tables:
    """The windows of a catalogue, without what is made of them; `options` as for `compute`.

    With `scattered` the limits at its confidence stand beside the nominal ones, or in their place.
    """
    states, windows, solved_by = sweep(catalogue, options or SweepOptions(), scattered)
    return Tables(states, windows, group_windows(catalogue, windows), solved_by)


def compute(catalogue: Catalogue, options: SweepOptions | None = None) -> DataSet:
    """Compute the data set of a catalogue.

    Parameters
    ----------
    catalogue : Catalogue
    options : SweepOptions, optional
        What computes the parts of the sweep, where finished ones are cached, and who is notified; without it this
        thread, no cache, and nobody.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    WorkerError
        If a process that computed a part died.
    """
    frames, summary = _frames(catalogue, options)
    return DataSet.of(catalogue, summary, frames)


def _frames(catalogue: Catalogue, options: SweepOptions | None) -> tuple[dict[str, pd.DataFrame], Summary]:
    """Every frame of a data set by name, which nothing else refers to, and the summary of them."""
    scattered = scattered_in(catalogue)
    tables = compute_windows(catalogue, options, scattered)
    grouped, solved_by = tables.group_windows, tables.solved_by
    examples = examples_of(catalogue, solved_by, scattered)
    frames = {
        "states": tables.states,
        "windows": tables.windows,
        "group_windows": grouped,
        "balance": balance_frame(examples),
        "example": example_frame(examples),
        "superheat": superheat_frame(examples),
        "limit_forces": limit_forces_frame(examples),
        "pressure_enthalpy": pressure_enthalpy_frame(examples),
        "charges": charge_frame(catalogue),
        "sizes": sizes_frame(catalogue),
        "drivers": driver_frame(examples, scattered, catalogue.groups, solved_by, options.cache if options else None),
        "assumptions": assumption_frame(catalogue, options.cache if options else None),
        "minimum_openings": minimum_opening_frame(catalogue, solved_by),
        "flow_laws": flow_law_frame(catalogue),
        "calculated_limits": calculated_frame(
            catalogue, examples, solved_by, {"windows": tables.windows, "group_windows": grouped}
        ),
        "charts": chart_frame(catalogue, grouped),
        "selection_maps": selection_map_frame(catalogue, grouped),
        "saturation": sheet_frame(catalogue.refrigerants.values()),
        "conversion": conversion_frame(catalogue, solved_by),
        "verification": verification_frame(all_checks(catalogue.refrigerants, catalogue.records)),
    }
    frames["exercises"], frames["exercise_tables"] = exercise_frames(catalogue, frames)
    return frames, summarize(catalogue, frames, solved_by)
