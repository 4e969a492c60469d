"""From a catalogue's inputs to its data set."""

from __future__ import annotations

from collections.abc import Callable

from tablegen.catalogue.charts import chart_frame, territory_frame
from tablegen.catalogue.curves import charge_frame, sizes_frame, superheat_frame
from tablegen.catalogue.dataset import DataSet, sealed
from tablegen.catalogue.example import example_frame, examples_of
from tablegen.catalogue.exercises import exercise_frame
from tablegen.catalogue.groups import group_windows
from tablegen.catalogue.heads import balance_frame
from tablegen.catalogue.inputs import Catalogue
from tablegen.catalogue.record import manifest
from tablegen.catalogue.restating import restating_frame
from tablegen.catalogue.saturation import sheet_frame
from tablegen.catalogue.scatter.frame import driver_frame
from tablegen.catalogue.scatter.tables import scattered_in
from tablegen.catalogue.sweep import sweep
from tablegen.catalogue.verification.table import all_checks, verification_frame


def compute(catalogue: Catalogue, advance: Callable[[str], None] = lambda _: None) -> DataSet:
    """Compute the data set of a catalogue.

    Parameters
    ----------
    catalogue : Catalogue
    advance : callable, optional
        Told the name of each refrigerant and envelope as it is done, for a progress display.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    """
    scattered = scattered_in(catalogue)
    states, windows, solved_by = sweep(catalogue, advance, scattered)
    examples = examples_of(catalogue, solved_by, scattered)
    grouped = group_windows(catalogue, windows)
    frames = {
        "states": states,
        "windows": windows,
        "group_windows": grouped,
        "balance": balance_frame(examples),
        "example": example_frame(examples),
        "superheat": superheat_frame(examples),
        "charges": charge_frame(catalogue),
        "sizes": sizes_frame(catalogue),
        "drivers": driver_frame(examples, scattered),
        "charts": chart_frame(catalogue, grouped),
        "territories": territory_frame(catalogue, grouped),
        "saturation": sheet_frame(catalogue.refrigerants.values()),
        "restating": restating_frame(catalogue, solved_by),
        "verification": verification_frame(all_checks(catalogue.refrigerants, catalogue.records)),
    }
    frames["exercises"] = exercise_frame(catalogue, frames)
    return sealed(frames, manifest(catalogue, frames, solved_by))
