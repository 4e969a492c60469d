"""The assumptions of some tables as a frame of the data set: of each temperature range the first table."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Combination
from tablegen.sweep.frames import Columns, joined
from tablegen.sweep.parts import WindowCache
from tablegen.tables.assumption_weights import TableWeights, weights_of

_TEXTS = ("family", "group", "application", "size", "assumption", "origin", "measure")
_FIGURES = ("sst_k", "step", "min_at_step_down", "min_at_step_up", "max_at_step_down", "max_at_step_up")


def assumption_frame(catalogue: Catalogue, cache: WindowCache | None = None) -> pd.DataFrame:
    """One row per assumption that moves a limit, the strongest first; what is in the `cache` is not computed again.

    Returns
    -------
    DataFrame
        `step` in the SI unit of its `measure`; the change of a limit [1] with the step taken down and up, infinite where
        the step leaves no limit, NaN where the table has no such step.
    """
    parts = [_cached(catalogue, part, cache) for part in _first_tables(catalogue)]
    filled = [own for own in parts if len(own["sst_k"])]
    return pd.DataFrame(joined(filled) if filled else None, columns=[*_TEXTS, *_FIGURES])


def _first_tables(catalogue: Catalogue) -> Iterator[Combination]:
    seen = set()
    for part in catalogue.combinations:
        temperature_range = catalogue.applications[part.application].temperature_range
        if temperature_range not in seen:
            seen.add(temperature_range)
            yield part


def _cached(catalogue: Catalogue, part: Combination, cache: WindowCache | None) -> Columns:
    members = catalogue.groups[part.group].members
    application, family = catalogue.applications[part.application], catalogue.families[part.family]
    found = None
    if cache is not None:
        refrigerants = [catalogue.refrigerants[name] for name in members]
        settings = dict(sorted(catalogue.settings.items()))
        key = cache.key_of("assumptions", part, family, application, refrigerants, settings)
        found = cache.read(key)
    if found is None:
        found = _columns(weights_of(catalogue, part, members, application.example_sst_k))
        if cache is not None:
            cache.write(key, found)
    return found


def _columns(found: TableWeights) -> Columns:
    part, weights = found.part, found.weights
    texts = [
        (
            part.family,
            part.group,
            part.application,
            found.size,
            own.assumed.value,
            own.step.origin.value,
            own.step.measure.value,
        )
        for own in weights
    ]
    figures = [(found.sst_k, own.step.size, *own.changes) for own in weights]
    words = np.array(texts, dtype=object).reshape(-1, len(_TEXTS))
    numbers = np.array(figures, dtype=np.float64).reshape(-1, len(_FIGURES))
    return dict(zip((*_TEXTS, *_FIGURES), (*words.T, *numbers.T), strict=True))
