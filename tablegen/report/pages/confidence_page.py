"""Scatter and confidence: what the limits at confidence mean, how narrow they are, what drives them."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd

from tablegen.report.formatter import DASH, NBSP, percent
from tablegen.report.graphs.driver_graph import driver_graph, shown
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.publications.publication import Part, Publication

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether

_BAR_HEIGHT, _FOOT = 12.5, 52.0
_NO_SCATTER = "no scatter is stated"
_TABLE_TITLE = "Windows of each group at its example row"
_SETTING = (
    "A charge is set at the factory on one refrigerant, its setting refrigerant (named above each table). An error in "
    "that refrigerant's dew pressure moves the static superheat of every valve with the charge, whatever refrigerant "
    "the valve is then used with."
)


def confidence_chapter(publication: Publication, width: float) -> list[Flowable]:
    """The chapter; empty where the catalogue says nothing of scatter."""
    confidence = publication.inputs["confidence"]
    frame = publication.data.drivers
    if confidence is None or not len(frame):
        return []
    level, unit = percent(confidence["level"]), publication.formatter.load_label
    story: list[Flowable] = [
        Heading("Scatter and confidence"),
        *(paragraph(text) for text in _about(publication, confidence)),
        facts(_scatter(publication), width, 8.5),
        paragraph(f"{_TABLE_TITLE}, {unit}", "caption"),
        _table(publication, frame, confidence, width),
        paragraph(_table_note(confidence), "small"),
    ]
    seen: set[str] = set()
    for part in publication.parts:
        rows = publication.rows(frame, part)
        if part.family in seen or not len(rows):
            continue
        seen.add(part.family)
        story.append(_graph(publication, part, rows, level, width))
    return story


def _about(publication: Publication, confidence: dict[str, Any]) -> list[str]:
    share, level = of_hundred(confidence["share"]), percent(confidence["level"])
    printed = (
        "The limits in the tables of this booklet are"
        if confidence["is_printed"]
        else (
            f"The tables of this booklet are nominal. The last column of the table “{_TABLE_TITLE}” in this chapter is"
        )
    )
    unsettled = percent(float(publication.data.drivers["unsettled_share"].max()), 1)
    return [
        f"{printed} at confidence. With {level} confidence in what all valves share, at least {share} installed valves "
        f"cover the minimum load, and at least {share} cover the maximum load, each limit taken separately. Both "
        f"limits together are then covered by at least {of_hundred(_of_both(confidence['share']))}. Two kinds of "
        "uncertainty are kept apart:",
        "Valves differ from one to the next, and so do installations: head pressure controls, subcooling, losses and "
        f"compressor are never exactly as stated. So {share} means valves, each installed in a system of its own.",
        "Property data are off by the same amount for all valves alike, and so are a family's own measured figures. "
        "More valves do not average that out, so it is stated as a range of its own. A property's standard deviation "
        "is half of its stated uncertainty (see the refrigerants).",
        *(
            _SETTING
            for part in publication.parts[:1]
            if any(publication.is_thermostatic(p.family) for p in publication.parts)
        ),
        "Each refrigerant of a group is taken at confidence by itself, and the group's window is what all of them have "
        f"in common. Limits are counted over {confidence['samples']:,} quasi-random draws of valves and installations "
        f"(seed {confidence['seed']}); from one set of draws to another a limit moves by a standard deviation of at "
        f"most {unsettled}.",
    ]


def _scatter(publication: Publication) -> list[tuple[str, str]]:
    """What each family and each application scatters by."""
    found = []
    for name, family in publication.inputs["families"].items():
        if any(part.family == name for part in publication.parts):
            found.append((family["display_name"], _of_family(publication, family["scatter"])))
    # Applications that scatter alike stand in one line, refrigerants of one in one sentence.
    titles: dict[str, list[str]] = {}
    for name in dict.fromkeys(part.application for part in publication.parts):
        application = publication.application(name)
        alike: dict[str, list[str]] = {}
        for refrigerant in application["systems"]:
            own = application["scatter"].get(refrigerant)
            alike.setdefault(_of_installation(publication, own) if own else _NO_SCATTER, []).append(refrigerant)
        whose = [text if len(alike) == 1 else f"{', '.join(names)}: {text}" for text, names in alike.items()]
        titles.setdefault(" ".join(whose), []).append(application["title"])
    installed = [f"{'; '.join(own)}: {text}" for text, own in titles.items()]
    return found + [("" if i else "Installations", text) for i, text in enumerate(installed)]


def _of_family(publication: Publication, s: dict[str, Any]) -> str:
    formatter = publication.formatter
    parts = [f"Kv {percent(s['kv'], 1)}"] if s["kv"] else []
    parts += [f"F_L {percent(s['pressure_recovery'], 1)}"] if s["pressure_recovery"] else []
    parts += [f"static superheat {formatter.step(s['static_superheat_k'], 2)}"] if s["static_superheat_k"] else []
    parts += [f"opening superheat {formatter.step(s['opening_superheat_k'], 2)}"] if s["opening_superheat_k"] else []
    parts += [f"unbalance {percent(s['unbalance'], 2)} of diaphragm area"] if s["unbalance"] else []
    parts += [f"charge pressure {percent(s['charge_pressure'], 1)}"] if s["charge_pressure"] else []
    return _deviations(parts, s["source"])


def _of_installation(publication: Publication, s: dict[str, Any]) -> str:
    formatter, parts = publication.formatter, []
    for head in ("low_head", "high_head"):
        title = head.replace("_", " ")
        parts += [f"{title} {formatter.drop(s[f'{head}_pa'], 1)}"] if s[f"{head}_pa"] else []
        parts += [f"{title} {formatter.step(s[f'{head}_k'], 1)}"] if s[f"{head}_k"] else []
    parts += [f"inlet subcooling {formatter.step(s['inlet_subcooling_k'], 1)}"] if s["inlet_subcooling_k"] else []
    parts += [f"liquid line {formatter.drop(s['liquid_line_pa'], 1)}"] if s["liquid_line_pa"] else []
    parts += [f"distributor {formatter.drop(s['distributor_pa'], 1)}"] if s["distributor_pa"] else []
    if s["flow_change"]:
        parts.append(f"compressor flow {percent(s['flow_change'])} of its change from the rating point")
    return _deviations(parts, s["source"])


def _deviations(parts: list[str], source: str) -> str:
    end = "" if source.endswith(".") else "."
    return f"standard deviations: {', '.join(parts)}. {source}{end}" if parts else _NO_SCATTER


def _table(publication: Publication, frame: pd.DataFrame, confidence: dict[str, Any], width: float) -> Flowable:
    """A row for each printed part that has an example."""
    formatter, body = publication.formatter, []
    for part in publication.parts:
        rows = publication.rows(frame, part)
        if not len(rows):
            continue
        first = rows.iloc[0]
        limits = [rows[rows["limit"] == side].iloc[0] for side in ("min", "max")]
        windows = [
            formatter.readable_window(*(float(limit[kind]) for limit in limits))
            for kind in ("nominal_load_w", "installed_load_w", "confident_load_w")
        ]
        printed = [DASH.join(w) if w else "none" for w in windows]
        title = publication.full_title(part)
        where = f"{first['size']}, {formatter.degrees(float(first['sst_k']))}"
        body.append([title, where, *printed[:2], "; ".join(map(_data_range, limits)), printed[2]])
    share, level = of_hundred(confidence["share"]), percent(confidence["level"])
    header = [
        "Table",
        "Size, SST (dew)",
        "Nominal",
        f"{share} valves",
        "Shared by all valves, min; max",
        f"At confidence ({level})",
    ]
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
    level_out = percent(1.0 - confidence["level"])
    return (
        f"{share} valves: at each limit this many cover the load if everything that all valves share is exactly as "
        "stated. Shared by all valves: how far property data and the family's measured figures may move that limit, "
        f"with {level} confidence one-sided each way (at most {level_out} lie beyond either end). At confidence: both "
        "together. None: no load is covered."
    )


def _graph(publication: Publication, part: Part, rows: pd.DataFrame, level: str, width: float) -> Flowable:
    """What drives the limits of one part's example."""
    names = publication.data.manifest["drivers"]
    first, share = rows.iloc[0], of_hundred(publication.inputs["confidence"]["share"])
    members = {side: rows.loc[rows["limit"] == side, "refrigerant"].iloc[0] for side in ("min", "max")}
    of = publication.full_title(part)
    at = publication.formatter.degrees(float(first["sst_k"]))
    title = f"What drives the limits: {of}, size {first['size']} at SST {at} (dew)"
    height = _FOOT + _BAR_HEIGHT * len(shown(rows))
    figure = driver_graph(rows, names)
    note = (
        f"The group's limits, set by {members['min']} (minimum load) and {members['max']} (maximum load). Each bar is "
        f"one source alone, in % of that refrigerant's nominal limit. {level} of the values that the source gives the "
        f"limit lie above the bar's hatched end, and {level} below its gray end (for valves and installations "
        f"{share}). Below the dotted rule stands what all valves share. Dashed: the limit at confidence, with all "
        f"sources.{_crossed(publication, rows)}"
    )
    return KeepTogether(
        [
            paragraph(title, "caption"),
            FigureFlowable(figure, width, height, f"{title}. {_in_words(rows, names)}"),
            paragraph(note, "small"),
        ]
    )


def _crossed(publication: Publication, rows: pd.DataFrame) -> str:
    """A sentence where the limits at confidence leave no load between them."""
    low, high = (float(rows.loc[rows["limit"] == side, "confident_load_w"].iloc[0]) for side in ("min", "max"))
    if publication.formatter.readable_window(low, high) is not None:
        return ""
    return (
        " At confidence the minimum load is not below the maximum load: no load is covered, and the table above has "
        "“none”."
    )


def _of_both(share: float) -> float:
    """The share of valves that cover two limits at least, where `share` of them cover each (Bonferroni)."""
    return 2.0 * share - 1.0


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
