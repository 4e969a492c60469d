"""Scatter and confidence: which confidence the tables hold at, what it costs, what drives it."""

from __future__ import annotations

from typing import Any

import pandas as pd

from tablegen.publish.driver_graph import driver_graph, shown
from tablegen.publish.edition import Edition, Part
from tablegen.publish.ledger_page import part_title
from tablegen.publish.page import Heading, paragraph
from tablegen.publish.tables import data_table, facts
from tablegen.publish.vector import FigureFlowable
from tablegen.publish.wording import DASH, percent

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether

_BAR_HEIGHT, _FOOT = 15.0, 52.0


def confidence_chapter(edition: Edition, width: float) -> list[Flowable]:
    """The chapter; empty where the catalogue says nothing of scatter."""
    confidence = edition.inputs["confidence"]
    frame = edition.data.drivers
    if confidence is None or not len(frame):
        return []
    level, unit = percent(confidence["level"]), edition.words.load_label
    story: list[Flowable] = [
        Heading("Scatter and confidence"),
        paragraph(_about(edition, confidence, level)),
        facts(_scatter(edition), width, 8.5),
        paragraph(f"Windows of the example rows, {unit}: nominal and at {level} confidence", "caption"),
        _table(edition, frame, level, width),
    ]
    seen: set[str] = set()
    for part in edition.parts:
        rows = edition.rows(frame, part)
        if part.family in seen or not len(rows):
            continue
        seen.add(part.family)
        story.append(_graph(edition, part, rows, level, width))
    return story


def _about(edition: Edition, confidence: dict[str, Any], level: str) -> str:
    held = (
        f"Every table of this booklet holds at a one-sided confidence of {level}"
        if confidence["is_printed"]
        else f"The tables of this booklet are nominal; the limits at a one-sided confidence of {level} stand here"
    )
    unsettled = percent(float(edition.data.drivers["unsettled_share"].max()), 1)
    return (
        f"{held}. No two valves are alike, and no property is known exactly. At a confidence of {level} the greatest "
        f"load is one that {level} of all cases, as valve and properties scatter together, pass at every head, and the "
        f"least load one at which {level} of them are steady. It is counted over {confidence['samples']:,} "
        f"quasi-random draws of everything named below (seed {confidence['seed']}); from one set of draws to another a "
        f"limit moves by a standard deviation of {unsettled} at most. Properties are drawn with half of their stated "
        "uncertainty as a standard deviation (see the refrigerants); a measured value also with its tolerance, where "
        "the family gives one."
    )


def _scatter(edition: Edition) -> list[tuple[str, str]]:
    """What each family scatters by."""
    words, found = edition.words, []
    for name, family in edition.inputs["families"].items():
        if not any(part.family == name for part in edition.parts):
            continue
        s = family["scatter"]
        parts = [f"Kv {percent(s['kv'], 1)}"] if s["kv"] else []
        parts += [f"F_L {percent(s['pressure_recovery'], 1)}"] if s["pressure_recovery"] else []
        parts += [f"static superheat {words.step(s['static_superheat_k'], 2)}"] if s["static_superheat_k"] else []
        parts += [f"opening superheat {words.step(s['opening_superheat_k'], 2)}"] if s["opening_superheat_k"] else []
        parts += [f"unbalance {percent(s['unbalance'], 2)}"] if s["unbalance"] else []
        parts += [f"charge pressure {percent(s['charge_pressure'], 1)}"] if s["charge_pressure"] else []
        text = f"standard deviations: {', '.join(parts)}. {s['source']}" if parts else "no scatter is stated"
        found.append((family["display_name"], text))
    return found


def _table(edition: Edition, frame: pd.DataFrame, level: str, width: float) -> Flowable:
    """A row for each printed part that has an example."""
    words, body = edition.words, []
    for part in edition.parts:
        rows = edition.rows(frame, part)
        if not len(rows):
            continue
        first = rows.iloc[0]
        windows = [
            words.readable_window(*(float(rows.loc[rows["limit"] == side, kind].iloc[0]) for side in ("min", "max")))
            for kind in ("nominal_load_w", "confident_load_w")
        ]
        title = f"{part_title(edition, part)}, {edition.envelope(part.envelope)['title']}"
        where = f"{first['size']}, {first['refrigerant']}, {words.degrees(float(first['sst_k']))}"
        body.append([title, where, *(DASH.join(w) if w else "none" for w in windows)])
    header = ["Table", "Size, refrigerant, SST (dew)", "Nominal", f"At {level}"]
    return data_table(header, body, width, numeric=(2, 3), size=8.5)


def _graph(edition: Edition, part: Part, rows: pd.DataFrame, level: str, width: float) -> Flowable:
    """What drives the limits of one part's example."""
    names = edition.data.manifest["drivers"]
    first = rows.iloc[0]
    of = f"{part_title(edition, part)}, {edition.envelope(part.envelope)['title']}"
    at = edition.words.degrees(float(first["sst_k"]))
    title = f"What drives the limits: {of}, size {first['size']} on {first['refrigerant']} at SST {at} (dew)"
    height = _FOOT + _BAR_HEIGHT * len(shown(rows))
    figure = driver_graph(rows, names, level)
    note = (
        f"Each source alone, from where {level} of it lie above (hatched) to where {level} lie below (grey); change of "
        f"the nominal limit in percent. Dashed: the limit at {level} with all of them together."
    )
    return KeepTogether([
        paragraph(title, "caption"), FigureFlowable(figure, width, height, f"{title}. {_in_words(rows, names)}"),
        paragraph(note, "small"),
    ])  # fmt: skip


def _in_words(rows: pd.DataFrame, names: dict[str, str]) -> str:
    """The strongest driver of either limit, for who does not see the graph."""
    texts = []
    for limit, title in (("min", "least"), ("max", "greatest")):
        own = rows[rows["limit"] == limit]
        first = own.iloc[0]
        change = 0.5 * abs(float(first["load_at_high_w"] - first["load_at_low_w"])) / float(first["nominal_load_w"])
        texts.append(f"{title} load most by {names[first['driver']]}, {percent(change, 1)} either way")
    return "; ".join(texts)
