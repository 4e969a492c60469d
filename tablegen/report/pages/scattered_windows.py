"""What scatter leaves of the windows of a table whose limits are nominal: how many are empty, and the example's row."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence

from tablegen.model.publications import Combination
from tablegen.physics.reasons import Reason
from tablegen.report.formatter import percent
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import ConfidentWindow, ExampleRow, is_same_temperature, rows_of
from tablegen.report.window_texts import WindowTableRow
from tablegen.wording import confidence as wording


def emptied_by_scatter(
    publication: Publication, part: Combination, sizes: Collection[str] | None = None
) -> tuple[int, int]:
    """How many nominal windows of some sizes of a table, or of all, are open, and how many of these are empty at confidence."""
    rows = [row for row in _windows(publication, part) if sizes is None or row.size in sizes]
    opened = [row for row in rows if not math.isnan(row.max_load_w)]
    return len(opened), sum(row.confident_reason == Reason.CONFIDENCE for row in opened)


def confident_rows(publication: Publication, part: Combination, sizes: Sequence[str]) -> list[WindowTableRow]:
    """The row of a table's example at confidence; none where the table's limits are, or scatter is not computed."""
    confidence = publication.catalogue.confidence
    example_k = publication.catalogue.applications[part.application].example_sst_k
    across = {row.size: row for row in _windows(publication, part) if is_same_temperature(row.sst_k, example_k)}
    if confidence is None or confidence.is_printed or not across:
        return []
    windows = [
        publication.formatter.readable_window(across[size].confident_min_load_w, across[size].confident_max_load_w)
        for size in sizes
    ]
    cells = [window or wording.NO_WINDOW() for window in windows]
    sst = publication.formatter.temperatures([example_k])[0]
    level = percent(confidence.level)
    if publication.catalogue.applications[part.application].coil_temperature_difference_k is None:
        return [WindowTableRow(label=wording.LEVEL_AT(level=level, sst=sst), cells=cells, is_apart=True)]
    # On the two columns of temperatures.
    return [WindowTableRow(label=wording.AT_SST(sst=sst), box=level, cells=cells, is_apart=True)]


def confident_limits(publication: Publication, part: Combination, at: ExampleRow) -> tuple[float, float] | None:
    """The limits at confidence [W] of an example's size at its SST, NaN where there are none; None where scatter is not computed."""
    for row in _windows(publication, part):
        if row.size == at.size and is_same_temperature(row.sst_k, at.sst_k):
            return row.confident_min_load_w, row.confident_max_load_w
    return None


def _windows(publication: Publication, part: Combination) -> list[ConfidentWindow]:
    return rows_of(publication.rows(publication.data.group_windows, part), ConfidentWindow)
