"""Exercises of the handout as printed: question, figures given, calculation and answer, in the handout's units."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pandas as pd

from tablegen.report import printed_valve_exercises as valves
from tablegen.report import printed_window_exercises as windows
from tablegen.report.exercise import Exercise
from tablegen.report.exercise_figures import ExerciseFigures
from tablegen.report.handout_figures import HandoutFigures

_KINDS: Mapping[str, Callable[[ExerciseFigures, pd.Series, pd.DataFrame], Exercise]] = {
    "worked": valves.worked,
    "pick": windows.pick,
    "rounding": windows.rounding,
    "binding": windows.binding,
    "between": windows.between,
    "heads": windows.heads,
    "mass_flow": valves.mass_flow,
    "required_kv": valves.required_kv,
    "both_limits": valves.both_limits,
    "zone": valves.zone,
    "static": valves.static,
    "spring": valves.spring,
}


def printed_exercise(figures: HandoutFigures, row: pd.Series) -> Exercise:
    """One row of the data set's frame `exercises` as printed."""
    tables = figures.publication.data.exercise_tables
    if len(tables):
        tables = tables[(tables["publication"] == row["publication"]) & (tables["exercise"] == row["exercise"])]
    return _KINDS[str(row["exercise_kind"])](ExerciseFigures(figures), row, tables)
