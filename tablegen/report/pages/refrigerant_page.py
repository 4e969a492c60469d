"""The refrigerants of a booklet: what they are, how well they are known, how alike they are."""

from __future__ import annotations

import math
from typing import Any

from tablegen.report.formatter import percent
from tablegen.report.graphs.dendrogram import dendrogram_figure
from tablegen.report.pdf import fonts
from tablegen.report.pdf.lines import wrapped
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.publications.publication import Part, Publication
from tablegen.report.refrigerant_text import composition, gwp_by_report

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether

_LEAF_HEIGHT, _AXIS_HEIGHT = 12.0, 54.0
_ALIKE = "How alike the members of a group are"
_A_ROW = 2
# Leaves that a tree on one page has room for; type size and room of its title, a share of the page's width.
_MOST_LEAVES, _TITLE_SIZE, _TITLE_SHARE = 42, 9.0, 0.38
_TOO_MANY = (
    f"Trees of more than {_MOST_LEAVES} refrigerants have no room on a page: see the command 'tablegen suggest groups'."
)
_LAWS = {"orifice": "square-root flow", "choked": "choked flow"}


def refrigerants(publication: Publication, width: float) -> list[Flowable]:
    """Composition, safety group, warming potential, uncertainty with its reasons."""
    records: dict[str, Any] = publication.inputs["refrigerants"]
    reports = sorted({g["report"] for r in records.values() for g in r["gwp"]})
    body = []
    for name, record in records.items():
        figures, uncertainty = gwp_by_report(record["gwp"]), record["uncertainty"]
        body.append(
            [
                name,
                record["safety_group"],
                *(figures.get(report, "–") for report in reports),
                composition(record["definition"]),
                *(percent(uncertainty[key], 1) for key in ("pressure", "density", "enthalpy")),
            ]
        )
    header = [
        "Refrigerant",
        "Safety group",
        *(f"GWP {r}" for r in reports),
        "Composition, mass %",
        "Pressure",
        "Density",
        "Enthalpy",
    ]
    first = 2 + len(reports)
    numeric = (*range(2, first), first + 1, first + 2, first + 3)
    return [
        Heading("Refrigerants"),
        paragraph(
            "The three right-hand columns say how far computed and true values may lie apart: saturation pressure, "
            "liquid density, differences of enthalpy. The limits in the tables are computed with the nominal values. "
            "GWP: global warming potential over 100 years, by assessment report of the IPCC (sources in the data set)."
        ),
        data_table(header, body, width, numeric=numeric, size=8.5),
        *_pressures(publication, width),
        paragraph("Why these uncertainties", "caption"),
        facts(_reasons(records), width, 8.5),
        *_pairs(records, width),
    ]


def _pressures(publication: Publication, width: float) -> list[Flowable]:
    """Bubble and dew pressure of each refrigerant at a few temperatures, and its glide."""
    frame, formatter = publication.data.saturation, publication.formatter
    if frame.empty:
        return []
    temperatures = list(dict.fromkeys(frame["temperature_k"].astype(float)))
    site = next(iter(publication.inputs["applications"].values()))["site_pressure_pa"]
    glide = temperatures[-1]
    header = [
        "Refrigerant",
        *(f"at {formatter.degrees(t)}" for t in temperatures),
        f"Glide at {formatter.degrees(glide)}",
    ]
    body = []
    for name, own in frame.groupby("refrigerant", sort=False):
        row = [str(name)]
        for _, state in own.iterrows():
            pair = [float(state[f"{side}_pressure_pa"]) for side in ("bubble", "dew")]
            # A single component has one pressure; above the critical point there is none.
            shown = dict.fromkeys(formatter.gauge(p, site) for p in pair if not math.isnan(p))
            row.append("/".join(shown) or "–")
        last = float(own["glide_k"].iloc[-1])
        body.append([*row, "–" if math.isnan(last) else formatter.step(last, 1)])
    about = (
        f"Pressures at saturation, bubble/dew point, {formatter.gauge_label}; negative values are below atmospheric "
        "pressure"
    )
    return [paragraph(about, "caption"), data_table(header, body, width, numeric=range(1, len(header)), size=8.5)]


def alikeness(publication: Publication, width: float) -> list[Flowable]:
    """How alike the members of each printed group are, and which groups the refrigerants would make.

    Trees are drawn for the applications that are printed for several groups, all of them if there is none such.
    """
    return [*_groups(publication, width), *_dendrograms(publication, width)]


def _reasons(records: dict[str, Any]) -> list[tuple[str, str]]:
    """Refrigerants by the reason of their uncertainty, in order of appearance."""
    by_reason: dict[str, list[str]] = {}
    for name, record in records.items():
        by_reason.setdefault(record["uncertainty"]["reason"], []).append(name)
    return [(", ".join(names), reason) for reason, names in by_reason.items()]


def _pairs(records: dict[str, Any], width: float) -> list[Flowable]:
    pairs = [
        (f"{name}: {p['first']}/{p['second']}", p["source"])
        for name, record in records.items()
        for p in record["pair_sources"]
    ]
    if not pairs:
        return []
    return [
        paragraph("Binary pairs that are not the property library’s", "caption"),
        facts(pairs, width, 8.5),
    ]


def _groups(publication: Publication, width: float) -> list[Flowable]:
    """One row for each group and application; of the families the one whose windows suffer most."""
    inputs = publication.inputs
    worst: dict[tuple[str, str], dict[str, Any]] = {}
    printed = set(publication.parts)
    for entry in publication.data.manifest["groups"]:
        key = entry["group"], entry["application"]
        if Part(entry["family"], *key) not in printed:
            continue
        if len(inputs["groups"][entry["group"]]["members"]) < 2 or entry["min_width_share"] is None:
            continue
        if key not in worst or entry["min_width_share"] < worst[key]["min_width_share"]:
            worst[key] = entry
    body = [
        [
            inputs["groups"][group]["title"],
            inputs["applications"][application]["title"],
            percent(entry["required_kv_spread"], 1) if entry["required_kv_spread"] is not None else "–",
            percent(entry["min_width_share"]),
            publication.family(entry["family"]),
        ]
        for (group, application), entry in worst.items()
    ]
    if not body:
        return []
    header = [
        "Group",
        "Application",
        "Spread of required Kv per kW",
        "Group’s narrowest window, % of its members’ median",
        "Narrowest in",
    ]
    return [
        paragraph(_ALIKE, "caption"),
        data_table(header, body, width, numeric=(2, 3), size=8.5),
    ]


def _dendrograms(publication: Publication, width: float) -> list[Flowable]:
    groups = {name: {part.group for part in parts} for name, parts in publication.applications()}
    several = {name for name, of_it in groups.items() if len(of_it) > 1} or set(groups)
    found = [s for s in publication.data.manifest["suggestions"] if s["merges"] and s["application"] in several]
    drawn = [s for s in found if len(s["names"]) <= _MOST_LEAVES]
    if not drawn:
        return [paragraph(_TOO_MANY, "small")] if found else []
    story: list[Flowable] = []
    for start in range(0, len(drawn), _A_ROW):
        row = drawn[start : start + _A_ROW]
        titles = [_tree_title(publication, s, found) for s in row]
        shown = ["\n".join(wrapped(title, fonts.SEMIBOLD, _TITLE_SIZE, _TITLE_SHARE * width)) for title in titles]
        lines = max(title.count("\n") for title in shown)
        height = _AXIS_HEIGHT + _LEAF_HEIGHT * max(len(s["names"]) for s in row) + 1.2 * _TITLE_SIZE * lines
        share = width if len(row) == _A_ROW else width / _A_ROW
        story.append(FigureFlowable(dendrogram_figure(row, shown), share, height, f"Trees: {'; '.join(titles)}"))
    cut = percent(found[0]["cut"])
    lead = (
        "Each fork stands at the spread of required Kv per kW that one table for all refrigerants on its branches would have; "
        f"left of the dashed line that spread is at most {cut} (thick). Flow is not all: the members of a group must "
        "also share one bulb setting and belong in equipment of one safety group. The groups of this booklet are those "
        f"of the trade; where they lie beyond the line their windows are narrower, as the table “{_ALIKE}” shows (0 %: "
        "a row is empty)."
    )
    opening = [paragraph("Groups by required Kv per kW", "caption"), paragraph(lead), story[0]]
    rest = [paragraph(_TOO_MANY, "small")] if len(drawn) < len(found) else []
    return [KeepTogether(opening), *story[1:], *rest]


def _tree_title(publication: Publication, tree: dict[str, Any], trees: list[dict[str, Any]]) -> str:
    """The application, with the flow law where there are trees of both."""
    title = str(publication.application(tree["application"])["title"])
    is_alone = sum(t["application"] == tree["application"] for t in trees) == 1
    return title if is_alone else f"{title}, {_LAWS[tree['flow_law']]}"
