"""Charts and handouts that would show nothing, found before anything else is computed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from tablegen.confidence.confident_limits import scattered_in
from tablegen.dataset.compute import compute_windows
from tablegen.errors import both_scales
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Combination
from tablegen.sweep.parts import SystemPart, WindowCache
from tablegen.sweep.sweep import systems_of
from tablegen.tables.selection_map import chart_frame
from tablegen.wording import offers, terms

_SAME_K = 1e-6


@dataclass(frozen=True, slots=True)
class EmptyPrint:
    """A counter chart or handout, by the name of its file, with a group that it would show nothing of, and why."""

    name: str
    group: str
    why: str


def empty_prints(catalogue: Catalogue) -> Iterator[EmptyPrint]:
    """Every counter chart without a size in any cell, and every handout without a window for its example.

    Only the tables that they are made of are computed, and those once as long as their inputs stay as they are.
    """
    charts = [
        (chart, Combination(chart.family, group, chart.application))
        for chart in catalogue.charts
        for group in chart.groups
    ]
    handouts = {own: Combination(own.family, own.group, own.application) for own in catalogue.handouts}
    wanted = {part for _, part in charts} | set(handouts.values())
    few = replace(catalogue, combinations=tuple(c for c in catalogue.combinations if c in wanted))
    if not few.combinations:
        return
    grouped = _group_windows(few)
    cells = chart_frame(few, grouped)
    filled = cells[cells["first_size"] != ""] if len(cells) else cells
    shown = set(zip(filled["publication"], filled["group"], strict=True)) if len(filled) else set()
    for chart, part in charts:
        if (chart.printed.name, part.group) not in shown:
            own = _of(grouped, part)
            own = own[own["size"].astype(str).isin(chart.stock[part.group])]
            yield EmptyPrint(chart.printed.name, part.group, _why(own))
    for handout, part in handouts.items():
        own = _of(grouped, part)
        if own["max_load_w"].isna().all():
            yield EmptyPrint(handout.printed.name, part.group, _why(own))
        elif text := _no_example(few, part, own):
            yield EmptyPrint(handout.printed.name, part.group, text)


def _group_windows(few: Catalogue) -> pd.DataFrame:
    """The windows that are printed, from the cache where nothing that they follow from has changed."""
    # Nominal windows are quickly had; those at a confidence take time, and count where they are what is printed.
    scattered = scattered_in(few)
    if scattered is not None and not scattered.is_printed:
        scattered = None
    cache, systems = WindowCache(), systems_of(few)
    about = [scattered and scattered.about(own.refrigerant.name, own.families) for own in systems]
    parts = [SystemPart.of(own.refrigerant, own.application, ()) for own in systems]
    groups = {own.group: few.groups[own.group].members for own in few.combinations}
    key = cache.key_of("group windows", few.combinations, groups, parts, [own.families for own in systems], about)
    found = cache.read(key)
    if found is None:
        grouped = compute_windows(few, scattered=scattered).group_windows
        found = {str(name): np.asarray(values) for name, values in grouped.items()}
        cache.write(key, found)
    return pd.DataFrame(found)


def _of(grouped: pd.DataFrame, part: Combination) -> pd.DataFrame:
    is_part = (grouped["family"] == part.family) & (grouped["group"] == part.group)
    own: pd.DataFrame = grouped[is_part & (grouped["application"] == part.application)]
    return own


def _no_example(catalogue: Catalogue, part: Combination, own: pd.DataFrame) -> str:
    """Why the example that a handout is made of has no window: that of the middle size at the example's temperature."""
    sizes, sst_k = catalogue.families[part.family].sizes, catalogue.applications[part.application].example_sst_k
    middle = sizes[len(sizes) // 2]
    row = own[(own["size"].astype(str) == middle.name) & ((own["sst_k"] - sst_k).abs() < _SAME_K)].iloc[0]
    if row["max_load_w"] > row["min_load_w"]:
        return ""
    return offers.EXAMPLE_WITHOUT_WINDOW(
        size=middle.display_name,
        sst=both_scales(sst_k),
        application=part.application,
        reason=terms.reason(str(row["max_reason"])),
    )


def _why(own: pd.DataFrame) -> str:
    """The reason of most of the empty windows; that none covers a row of the chart, where some are open."""
    is_open = own["max_load_w"].notna()
    if is_open.any():
        ratio = (own["max_load_w"] / own["min_load_w"]).max()
        most = own.loc[is_open, "max_reason"].value_counts().index[0]
        return offers.NO_ROW_COVERED(ratio=f"{ratio:.2f}", reason=terms.reason(str(most)))
    most = own["max_reason"].value_counts().index[0]
    return offers.EVERY_WINDOW_EMPTY(reason=terms.reason(str(most)))
