"""Scatter and confidence: what the limits at confidence mean, how narrow they are, what drives them."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd

from tablegen.publish.driver_graph import driver_graph, shown
from tablegen.publish.edition import Edition, Part
from tablegen.publish.ledger_page import part_title
from tablegen.publish.page import Heading, paragraph
from tablegen.publish.tables import data_table, facts
from tablegen.publish.vector import FigureFlowable
from tablegen.publish.wording import DASH, NBSP, percent

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether

_BAR_HEIGHT, _FOOT = 15.0, 52.0
_NO_SCATTER = "no scatter is stated"


def confidence_chapter(edition: Edition, width: float) -> list[Flowable]:
    """The chapter; empty where the catalogue says nothing of scatter."""
    confidence = edition.inputs["confidence"]
    frame = edition.data.drivers
    if confidence is None or not len(frame):
        return []
    level, unit = percent(confidence["level"]), edition.words.load_label
    story: list[Flowable] = [
        Heading("Scatter and confidence"),
        *(paragraph(text) for text in _about(edition, confidence)),
        facts(_scatter(edition), width, 8.5),
        paragraph(f"Windows of each group at its example row, {unit}", "caption"),
        _table(edition, frame, confidence, width),
        paragraph(_table_note(confidence), "small"),
    ]
    seen: set[str] = set()
    for part in edition.parts:
        rows = edition.rows(frame, part)
        if part.family in seen or not len(rows):
            continue
        seen.add(part.family)
        story.append(_graph(edition, part, rows, level, width))
    return story


def _about(edition: Edition, confidence: dict[str, Any]) -> list[str]:
    share, level = of_hundred(confidence["share"]), percent(confidence["level"])
    printed = "The limits in the tables of this booklet are" if confidence["is_printed"] else (
        "The tables of this booklet are nominal. The limits in the last column below are"
    )  # fmt: skip
    unsettled = percent(float(edition.data.drivers["unsettled_share"].max()), 1)
    return [
        f"{printed} at confidence: with {level} confidence in the property data, at least {share} valves installed "
        "cover every load between them, either limit taken by itself. Two kinds of uncertainty are kept apart:",
        "Valves differ from one to the next, and so do installations: head pressure controls, subcooling, losses and "
        f"compressor are never exactly as stated. So {share} means valves, each installed in a system of its own.",
        "Property data are off by the same amount for all valves alike, and so are a family's own measured figures. "
        "More valves do not average that out, so it is stated as a range of its own. A property's standard deviation "
        "is half of its stated uncertainty (see the refrigerants).",
        "Each refrigerant of a group is taken at confidence by itself, and the group's window is what all of them have "
        f"in common. Limits are counted over {confidence['samples']:,} quasi-random draws of valves and installations "
        f"(seed {confidence['seed']}); from one set of draws to another a limit moves by a standard deviation of at "
        f"most {unsettled}.",
    ]


def _scatter(edition: Edition) -> list[tuple[str, str]]:
    """What each family and each application scatters by."""
    found = []
    for name, family in edition.inputs["families"].items():
        if any(part.family == name for part in edition.parts):
            found.append((family["display_name"], _of_family(edition, family["scatter"])))
    # Applications that scatter alike stand in one line, refrigerants of one in one sentence.
    titles: dict[str, list[str]] = {}
    for name in dict.fromkeys(part.envelope for part in edition.parts):
        envelope = edition.envelope(name)
        alike: dict[str, list[str]] = {}
        for refrigerant in envelope["envelopes"]:
            own = envelope["scatter"].get(refrigerant)
            alike.setdefault(_of_installation(edition, own) if own else _NO_SCATTER, []).append(refrigerant)
        whose = [text if len(alike) == 1 else f"{', '.join(names)}: {text}" for text, names in alike.items()]
        titles.setdefault(" ".join(whose), []).append(envelope["title"])
    installed = [f"{'; '.join(own)}: {text}" for text, own in titles.items()]
    return found + [("" if i else "Installations", text) for i, text in enumerate(installed)]


def _of_family(edition: Edition, s: dict[str, Any]) -> str:
    words = edition.words
    parts = [f"Kv {percent(s['kv'], 1)}"] if s["kv"] else []
    parts += [f"F_L {percent(s['pressure_recovery'], 1)}"] if s["pressure_recovery"] else []
    parts += [f"static superheat {words.step(s['static_superheat_k'], 2)}"] if s["static_superheat_k"] else []
    parts += [f"opening superheat {words.step(s['opening_superheat_k'], 2)}"] if s["opening_superheat_k"] else []
    parts += [f"unbalance {percent(s['unbalance'], 2)}"] if s["unbalance"] else []
    parts += [f"charge pressure {percent(s['charge_pressure'], 1)}"] if s["charge_pressure"] else []
    return _deviations(parts, s["source"])


def _of_installation(edition: Edition, s: dict[str, Any]) -> str:
    words, parts = edition.words, []
    for head in ("low_head", "high_head"):
        title = head.replace("_", " ")
        parts += [f"{title} {words.drop(s[f'{head}_pa'], 1)}"] if s[f"{head}_pa"] else []
        parts += [f"{title} {words.step(s[f'{head}_k'], 1)}"] if s[f"{head}_k"] else []
    parts += [f"inlet subcooling {words.step(s['inlet_subcooling_k'], 1)}"] if s["inlet_subcooling_k"] else []
    parts += [f"liquid line {words.drop(s['liquid_line_pa'], 1)}"] if s["liquid_line_pa"] else []
    parts += [f"distributor {words.drop(s['distributor_pa'], 1)}"] if s["distributor_pa"] else []
    parts += [f"compressor flow over head {percent(s['flow_change'])} of its change"] if s["flow_change"] else []
    return _deviations(parts, s["source"])


def _deviations(parts: list[str], source: str) -> str:
    end = "" if source.endswith(".") else "."
    return f"standard deviations: {', '.join(parts)}. {source}{end}" if parts else _NO_SCATTER


def _table(edition: Edition, frame: pd.DataFrame, confidence: dict[str, Any], width: float) -> Flowable:
    """A row for each printed part that has an example."""
    words, body = edition.words, []
    for part in edition.parts:
        rows = edition.rows(frame, part)
        if not len(rows):
            continue
        first = rows.iloc[0]
        limits = [rows[rows["limit"] == side].iloc[0] for side in ("min", "max")]
        windows = [
            words.readable_window(*(float(limit[kind]) for limit in limits))
            for kind in ("nominal_load_w", "installed_load_w", "confident_load_w")
        ]
        printed = [DASH.join(w) if w else "none" for w in windows]
        title = f"{part_title(edition, part)}, {edition.envelope(part.envelope)['title']}"
        where = f"{first['size']}, {words.degrees(float(first['sst_k']))}"
        body.append([title, where, *printed[:2], "; ".join(map(_data_range, limits)), printed[2]])
    share, level = of_hundred(confidence["share"]), percent(confidence["level"])
    header = ["Table", "Size, SST (dew)", "Nominal", f"{share} valves", "Property data, min; max",
              f"At confidence ({level})"]  # fmt: skip
    return data_table(header, body, width, numeric=(2, 3, 4, 5), size=8.5)


def _data_range(limit: pd.Series) -> str:
    """How far what all valves share may move a limit either way, as shares of it with that as stated."""
    low, high, stated = (float(limit[f"{kind}_load_w"]) for kind in ("data_low", "data_high", "installed"))
    if math.isnan(low + high + stated):
        return DASH
    changes = [percent(end / stated - 1.0, 1) for end in (low, high)]
    return f"{changes[0].removesuffix(f'{NBSP}%')}/+{changes[1]}"


def _table_note(confidence: dict[str, Any]) -> str:
    share, level = of_hundred(confidence["share"]), percent(confidence["level"])
    return (
        f"{share} valves: these cover each limit if the property data are exactly as stated. Property data: how far "
        f"they may move that limit for all valves alike, with {level} confidence to either side. At confidence: both "
        "together. None: no load is covered."
    )


def _graph(edition: Edition, part: Part, rows: pd.DataFrame, level: str, width: float) -> Flowable:
    """What drives the limits of one part's example."""
    names = edition.data.manifest["drivers"]
    first, share = rows.iloc[0], of_hundred(edition.inputs["confidence"]["share"])
    members = {side: rows.loc[rows["limit"] == side, "refrigerant"].iloc[0] for side in ("min", "max")}
    of = f"{part_title(edition, part)}, {edition.envelope(part.envelope)['title']}"
    at = edition.words.degrees(float(first["sst_k"]))
    title = f"What drives the limits: {of}, size {first['size']} at SST {at} (dew)"
    height = _FOOT + _BAR_HEIGHT * len(shown(rows))
    figure = driver_graph(rows, names)
    note = (
        f"The group's limits, set by {members['min']} (minimum load) and {members['max']} (maximum load). Each source "
        f"alone, from where {level} of it lie above (hatched) to where {level} lie below (grey; for valves and "
        f"installations {share}), in percent of that refrigerant's nominal limit; below the dotted rule what all "
        "valves share. Dashed: the limit at confidence, with all of them."
    )
    return KeepTogether([
        paragraph(title, "caption"), FigureFlowable(figure, width, height, f"{title}. {_in_words(rows, names)}"),
        paragraph(note, "small"),
    ])  # fmt: skip


def _in_words(rows: pd.DataFrame, names: dict[str, str]) -> str:
    """The strongest driver of either limit, for who does not see the graph."""
    texts = []
    for limit, title in (("min", "minimum"), ("max", "maximum")):
        own = rows[rows["limit"] == limit]
        first = own.iloc[0]
        change = 0.5 * abs(float(first["load_at_high_w"] - first["load_at_low_w"])) / float(first["member_load_w"])
        texts.append(f"{title} load most by {names[first['driver']]}, {percent(change, 1)} either way")
    return "; ".join(texts)


def of_hundred(share: float) -> str:
    """So many of a hundred, or of a thousand where that is no whole number."""
    hundreds = 100.0 * share
    return f"{hundreds:.0f} of 100" if abs(hundreds - round(hundreds)) < 1e-9 else f"{10.0 * hundreds:.0f} of 1,000"
