"""The refrigerants of a booklet: what they are, how well they are known, how similar those of a group are."""

from __future__ import annotations

import math
from collections.abc import Sequence

from reportlab.platypus import Flowable, KeepTogether

from tablegen.model.publications import Combination
from tablegen.model.registry import RefrigerantRecord
from tablegen.report.formatter import percent
from tablegen.report.graphs.dendrogram import dendrogram_figure
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.fonts import wrapped
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.publications.publication import Publication
from tablegen.report.refrigerant_text import composition, gwp
from tablegen.sweep.groups import GroupSimilarity
from tablegen.tables.suggest_groups import Suggestion
from tablegen.wording import refrigerants as wording
from tablegen.wording.message import in_clauses

_NONE = "–"
_LEAF_HEIGHT, _AXIS_HEIGHT = 12.0, 54.0
_A_ROW = 2
# Leaves that a tree on one page can have; type size and width of its title, a share of the page's width.
_MOST_LEAVES, _TITLE_SIZE, _TITLE_SHARE = 42, design.TABLE, 0.38


def refrigerants(publication: Publication, width: float) -> list[Flowable]:
    """Composition, safety group, warming potential, uncertainty with its reasons."""
    records = publication.catalogue.records
    reports = sorted({entry.report for record in records.values() for entry in record.gwp})
    header = [
        wording.REFRIGERANT(),
        wording.SAFETY_GROUP(),
        *(wording.GWP(report=report) for report in reports),
        wording.COMPOSITION(),
        wording.PRESSURE(),
        wording.DENSITY(),
        wording.ENTHALPY(),
    ]
    body = [[name, *_row(record, reports)] for name, record in records.items()]
    first = 2 + len(reports)
    numeric = (*range(2, first), first + 1, first + 2, first + 3)
    return [
        Heading(wording.REFRIGERANTS()),
        paragraph(wording.ABOUT()),
        data_table(header, body, width, numeric=numeric, size=design.NOTE),
        *_pressures(publication, width),
        paragraph(wording.REASONS(), "caption"),
        facts(_reasons(publication), width, design.NOTE),
        *_pairs(publication, width),
    ]


def _row(record: RefrigerantRecord, reports: Sequence[str]) -> list[str]:
    """What is printed of a refrigerant after its name."""
    figures, uncertainty = {entry.report: gwp(entry) for entry in record.gwp}, record.uncertainty
    return [
        record.safety_group,
        *(figures.get(report, _NONE) for report in reports),
        composition(record.definition),
        *(percent(share, 1) for share in (uncertainty.pressure, uncertainty.density, uncertainty.enthalpy)),
    ]


def _pressures(publication: Publication, width: float) -> list[Flowable]:
    """Bubble and dew pressure of each refrigerant at a few temperatures, and its glide."""
    frame, formatter = publication.data.saturation, publication.formatter
    if frame.empty:
        return []
    temperatures = list(dict.fromkeys(frame["temperature_k"].astype(float)))
    site_pa = next(iter(publication.catalogue.applications.values())).site_pressure_pa
    header = [
        wording.REFRIGERANT(),
        *(wording.AT(temperature=formatter.degrees(kelvin)) for kelvin in temperatures),
        wording.GLIDE_AT(temperature=formatter.degrees(temperatures[-1])),
    ]
    body = []
    for name, own in frame.groupby("refrigerant", sort=False):
        row = [str(name)]
        for _, state in own.iterrows():
            pair = [float(state[f"{side}_pressure_pa"]) for side in ("bubble", "dew")]
            # A single component has one pressure; above the critical point there is none.
            shown = dict.fromkeys(formatter.gauge(pascal, site_pa) for pascal in pair if not math.isnan(pascal))
            row.append("/".join(shown) or _NONE)
        glide_k = float(own["glide_k"].iloc[-1])
        body.append([*row, _NONE if math.isnan(glide_k) else formatter.step(glide_k, 1)])
    caption = paragraph(wording.PRESSURES(unit=formatter.gauge_label), "caption")
    return [caption, data_table(header, body, width, numeric=range(1, len(header)), size=design.NOTE)]


def _reasons(publication: Publication) -> list[tuple[str, str]]:
    """Refrigerants by the reason of their uncertainty, in order of appearance."""
    by_reason: dict[str, list[str]] = {}
    for name, record in publication.catalogue.records.items():
        by_reason.setdefault(record.uncertainty.reason, []).append(name)
    return [(", ".join(names), reason) for reason, names in by_reason.items()]


def _pairs(publication: Publication, width: float) -> list[Flowable]:
    """Where parameters of binary pairs come from that are not the property library's."""
    pairs = [
        (wording.PAIR(refrigerant=name, first=pair.first, second=pair.second), pair.source)
        for name, record in publication.catalogue.records.items()
        for pair in record.pair_sources
    ]
    return [paragraph(wording.PAIRS(), "caption"), facts(pairs, width, design.NOTE)] if pairs else []


def similarity(publication: Publication, width: float) -> list[Flowable]:
    """How similar the members of each printed group are, and which groups the refrigerants would make.

    Trees are drawn for the applications that are printed for several groups, all of them if there is none such.
    """
    return [*_groups(publication, width), *_trees(publication)]


def _groups(publication: Publication, width: float) -> list[Flowable]:
    """One row for each group and application; of the families the one whose windows are narrowed most."""
    catalogue, printed = publication.catalogue, set(publication.parts)
    narrowest: dict[tuple[str, str], GroupSimilarity] = {}
    for entry in publication.data.summary.groups:
        key = entry.group, entry.application
        if Combination(entry.family, *key) not in printed or math.isnan(entry.min_width_share):
            continue
        if len(catalogue.groups[entry.group].members) < 2:
            continue
        if key not in narrowest or entry.min_width_share < narrowest[key].min_width_share:
            narrowest[key] = entry
    body = [
        [
            catalogue.groups[group].title,
            catalogue.applications[application].title,
            percent(entry.required_kv_spread, 1),
            percent(entry.min_width_share),
            publication.family(entry.family),
        ]
        for (group, application), entry in narrowest.items()
    ]
    if not body:
        return []
    header = [
        wording.GROUP(),
        wording.APPLICATION(),
        wording.SPREAD(),
        wording.NARROWEST(),
        wording.NARROWEST_IN(),
    ]
    return [
        paragraph(wording.SIMILARITY(), "caption"),
        data_table(header, body, width, numeric=(2, 3), size=design.NOTE),
    ]


def _trees(publication: Publication) -> list[Flowable]:
    """The trees of the applications, two abreast, with what they show."""
    groups = {name: {part.group for part in parts} for name, parts in publication.applications()}
    several = {name for name, of_it in groups.items() if len(of_it) > 1} or set(groups)
    found = [tree for tree in publication.data.summary.suggestions if tree.merges and tree.application in several]
    drawn = [tree for tree in found if len(tree.names) <= _MOST_LEAVES]
    too_many = [paragraph(wording.TOO_MANY(count=_MOST_LEAVES), "small")] if len(drawn) < len(found) else []
    if not drawn:
        return [*too_many]
    story: list[Flowable] = []
    for start in range(0, len(drawn), _A_ROW):
        row = drawn[start : start + _A_ROW]
        titles = [_tree_title(publication, tree, found) for tree in row]
        shown = [
            "\n".join(wrapped(title, fonts.SEMIBOLD, _TITLE_SIZE, _TITLE_SHARE * design.FIGURE_WIDTH))
            for title in titles
        ]
        lines = max(title.count("\n") for title in shown)
        height = _AXIS_HEIGHT + _LEAF_HEIGHT * max(len(tree.names) for tree in row) + 1.2 * _TITLE_SIZE * lines
        share = design.FIGURE_WIDTH if len(row) == _A_ROW else design.FIGURE_WIDTH / _A_ROW
        alt = wording.TREES_ALT(titles=in_clauses(titles))
        story.append(DrawingFlowable(dendrogram_figure(row, shown, (share, height)), alt))
    lead = wording.ABOUT_TREES(cut=percent(found[0].cut), table=wording.SIMILARITY())
    opening = [paragraph(wording.TREES(), "caption"), paragraph(lead), story[0]]
    return [KeepTogether(opening), *story[1:], *too_many]


def _tree_title(publication: Publication, tree: Suggestion, trees: Sequence[Suggestion]) -> str:
    """The application, with the flow law where there are trees of both."""
    title = publication.catalogue.applications[tree.application].title
    if sum(other.application == tree.application for other in trees) == 1:
        return title
    return wording.TREE(application=title, law=wording.LAWS[tree.flow_law]())
