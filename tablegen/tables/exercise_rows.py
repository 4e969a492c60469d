"""Frames that exercises are drawn from where the rows of an application are not round in the handout's units.

A handout in °C for tables in rows of whole °F: the same system is solved at whole °C, so that no exercise asks about
−4.4 °C.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping

import numpy as np
import pandas as pd

from tablegen.confidence.confident_limits import scattered_in
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Handout, Printed
from tablegen.physics.arrays import Floats
from tablegen.sweep.groups import group_windows
from tablegen.sweep.sweep import SweepOptions, sweep

# Steps between rows, in printed degrees; the first that gives so many rows is taken.
_STEPS, _FEWEST = (2, 1), 4
_WHOLE = 1e-6


def in_printed(printed: Printed, kelvin: float) -> float:
    """A temperature in printed degrees."""
    return printed.temperature_scale * kelvin + printed.temperature_offset


def in_kelvin(printed: Printed, degrees: float) -> float:
    """A temperature of so many printed degrees [K]."""
    return (degrees - printed.temperature_offset) / printed.temperature_scale


def is_whole(printed: Printed, kelvin: float) -> bool:
    """Whether a temperature is a whole number of printed degrees."""
    degrees = in_printed(printed, kelvin)
    return abs(degrees - round(degrees)) < _WHOLE


def round_rows(printed: Printed, sst_k: Floats) -> Floats:
    """Rows [K] of whole printed degrees between the first and the last; those given if they are, or none are between."""
    if all(is_whole(printed, float(own)) for own in sst_k):
        return sst_k
    low, high = in_printed(printed, float(sst_k[0])), in_printed(printed, float(sst_k[-1]))
    for step in _STEPS:
        degrees = np.arange(math.ceil((low - _WHOLE) / step) * step, high + _WHOLE, step)
        if len(degrees) >= _FEWEST:
            break
    return np.array([in_kelvin(printed, float(own)) for own in degrees]) if len(degrees) > 1 else sst_k


def with_round_rows(
    catalogue: Catalogue, handout: Handout, frames: Mapping[str, pd.DataFrame]
) -> tuple[Catalogue, Mapping[str, pd.DataFrame]]:
    """The catalogue and the frames with states and windows at rows that are round in a handout's units.

    Both are the given ones where those rows are round; else they have only what the handout's family and group need.
    """
    own = catalogue.applications[handout.application]
    rows = round_rows(handout.printed, own.sst_k)
    if rows is own.sst_k:
        return catalogue, frames
    like = {
        name: dataclasses.replace(application, sst_k=rows)
        for name, application in catalogue.applications.items()
        if np.array_equal(application.sst_k, own.sst_k) and application.temperature_range == own.temperature_range
    }
    parts = tuple(
        part
        for part in catalogue.combinations
        if (part.family, part.group) == (handout.family, handout.group) and part.application in like
    )
    few = dataclasses.replace(catalogue, combinations=parts, applications={**catalogue.applications, **like})
    states, windows, _ = sweep(few, SweepOptions(), scattered_in(few))
    return few, {**frames, "states": states, "windows": windows, "group_windows": group_windows(few, windows)}
