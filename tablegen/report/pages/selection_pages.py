"""Pages that lead to the right table: whether the tables apply, which part for which system, restated capacities."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from tablegen.report.formatter import DASH
from tablegen.report.heads_text import BASIS_FORMATTER
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, data_tables, facts
from tablegen.report.publications.publication import Publication
from tablegen.report.rounding import decimals

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether

# Blocks of columns in one table of factors.
_ABREAST = 2
QUESTIONS = (
    (
        "Is it a walk-in?",
        "Refrigerated storage that can be walked into, under 3,000 ft² (279 m²): a cooler above 32 °F (0 °C), a freezer at or below it (United States, 10 CFR 431.302 as it stood before the amendment of 2024; elsewhere the code of the site). The tables hold for other rooms too where their conditions are met, but the rule that makes heads float is for walk-ins.",
    ),
    (
        "Is the condensing unit new or replaced?",
        "New dedicated units are built to float their head in cold weather to meet the efficiency rule (10 CFR 431.306). A valve kept from the old unit was picked for a fixed head: check it in the table of the new one.",
    ),
    (
        "Is the head floating?",
        "Ask for the lowest setting of the head-pressure control, and whether condenser fans follow it. Floating: an application whose low head is that setting. Held up all year: an application of fixed head, if there is one.",
    ),
    (
        "Does liquid climb, or come from far?",
        "A column of liquid or a long line takes pressure before the valve: use an application that has it, and see that the liquid is subcooled enough.",
    ),
    (
        "Anything else?",
        "Other refrigerants, other heads, unlisted losses, several evaporators on one line: have the valve computed for the case. Local codes, the equipment maker and licensed practice decide.",
    ),
)


def applicability(publication: Publication, width: float) -> list[Flowable]:
    """Whether the tables are for a system, and which part is."""
    return [
        Heading("Do these tables apply?"),
        facts(list(QUESTIONS), width, 9.0),
        KeepTogether(
            [
                Heading("Which part for which system"),
                paragraph("The families that each application is printed for. An empty cell: not in this booklet."),
                *_selector(publication, width),
            ]
        ),
    ]


def _selector(publication: Publication, width: float) -> Sequence[Flowable]:
    """Applications down, refrigerant groups across, the printed families in the cells."""
    inputs = publication.inputs
    groups = list(inputs["groups"])
    body = []
    for name, parts in publication.applications():
        row = [inputs["applications"][name]["title"]]
        for group in groups:
            families = [publication.family(p.family) for p in parts if p.group == group]
            row.append(", ".join(families))
        body.append(row)
    return data_tables(["Application", *(inputs["groups"][g]["title"] for g in groups)], body, width, size=8.5)


def conversion(publication: Publication, width: float) -> list[Flowable]:
    """Factor tables, for the first application of each kind that a group is printed for."""
    frame = publication.data.conversion
    if frame.empty:
        return []
    story: list[Flowable] = [
        Heading("A capacity stated at other temperatures"),
        paragraph(
            "The tables take the capacity at the rating point. A capacity stated at another condensing temperature and "
            "another subcooling of the liquid, at the same SST, is multiplied by the factor below; worked out with the "
            "compressor of the application, so that another compressor moves it by a few percent. For a group the factors "
            "of its members are given from the smallest to the largest: multiply by both, and choose a size that covers "
            "both loads. Between two rows take the factor in proportion. For another SST or application of the same kind "
            "the factors are only close; have the case computed. The condensing temperature must be that of the basis "
            "named; one on another basis first becomes a pressure (see the refrigerant's own table)."
        ),
    ]
    blocks = [
        (group, own) for group in publication.inputs["groups"] for own in _by_kind(publication, frame, group).values()
    ]
    for pair in (blocks[i : i + _ABREAST] for i in range(0, len(blocks), _ABREAST)):
        story.append(KeepTogether(_factors(publication, pair, width)))
    return story


def _by_kind(publication: Publication, frame: pd.DataFrame, group: str) -> dict[str, pd.DataFrame]:
    """The factors of a group for the first application of each kind that it is printed for."""
    first: dict[str, pd.DataFrame] = {}
    for name, parts in publication.applications():
        own = frame[(frame["application"] == name) & frame["refrigerant"].isin(publication.members(group))]
        if any(part.group == group for part in parts) and len(own):
            first.setdefault(publication.application(name)["temperature_range"], own)
    return first


def _factors(publication: Publication, blocks: list[tuple[str, pd.DataFrame]], width: float) -> list[Flowable]:
    """One table: condensing temperatures down, the subcoolings of each block across."""
    formatter = publication.formatter
    groups = list(dict.fromkeys(publication.inputs["groups"][group]["title"] for group, _ in blocks))
    header, about, columns = [f"Condensing, {formatter.temperature_label}"], [], []
    for group, own in blocks:
        first, title = own.iloc[0], publication.inputs["groups"][group]["title"]
        application = publication.application(first["application"])["title"]
        about.append(f"{application} at SST {formatter.degrees(float(first['sst_k']))} (dew)")
        for step in sorted(set(own["subcooling_k"])):
            header.append(f"{application if len(groups) == 1 else title}, subcooled {formatter.step(step)}")
            columns.append(own[own["subcooling_k"] == step])
    body = []
    for condensing in sorted({float(k) for _, own in blocks for k in own["condensing_temperature_k"]}):
        cells = [own[(own["condensing_temperature_k"] - condensing).abs() < 1e-6] for own in columns]
        factors = [_span(cell["capacity_factor"]) if len(cell) else DASH for cell in cells]
        body.append([formatter.temperature(condensing), *factors])
    title = f"{'; '.join(groups)}: {'; '.join(dict.fromkeys(about))}; condensing at "
    title += BASIS_FORMATTER[blocks[0][1].iloc[0]["basis"]]
    return [paragraph(title, "caption"), data_table(header, body, width, numeric=range(len(header)), size=8.5)]


def _span(factors: pd.Series) -> str:
    """Minimum to maximum of the members; blank where a member has none."""
    if factors.isna().any():
        return DASH
    low, high = decimals(float(factors.min()), 2), decimals(float(factors.max()), 2)
    return low if low == high else f"{low}{DASH}{high}"
