"""Pages that lead to the right table: whether the tables apply, which part for which system, restated capacities."""

from __future__ import annotations

import pandas as pd

from tablegen.publish.edition import Edition
from tablegen.publish.heads_text import BASIS_WORDS
from tablegen.publish.page import Heading, paragraph
from tablegen.publish.rounding import decimals
from tablegen.publish.tables import data_table, facts
from tablegen.publish.wording import DASH

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether

QUESTIONS = (
    ("Is it a walk-in?", "Refrigerated storage that can be walked into, under 3,000 ft² (279 m²): a cooler above 32 °F (0 °C), a freezer at or below it (United States, 10 CFR 431.302 as it stood before the amendment of 2024; elsewhere the code of the site). The tables hold for other rooms too where their conditions are met, but the rule that makes heads float is for walk-ins."),
    ("Is the condensing unit new or replaced?", "New dedicated units are built to float their head in cold weather to meet the efficiency rule (10 CFR 431.306). A valve kept from the old unit was picked for a fixed head: check it in the table of the new one."),
    ("Is the head floated?", "Ask for the lowest setting of the head-pressure control, and whether condenser fans follow it. Floated: an application whose low head is that setting. Held up all year: an application of fixed head, if there is one."),
    ("Does liquid climb, or come from far?", "A column of liquid or a long line takes pressure before the valve: use an application that has it, and see that the liquid is subcooled enough."),
    ("Anything else?", "Other refrigerants, other heads, unlisted losses, several evaporators on one line: have the valve computed for the case. Local codes, the equipment maker and licensed practice decide."),
)  # fmt: skip


def applicability(edition: Edition, width: float) -> list[Flowable]:
    """Whether the tables are for a system, and which part is."""
    return [
        Heading("Do these tables apply?"),
        facts(list(QUESTIONS), width, 9.0),
        KeepTogether(
            [
                Heading("Which part for which system"),
                paragraph("The families that each application is printed for. An empty cell: not in this booklet."),
                _selector(edition, width),
            ]
        ),
    ]


def _selector(edition: Edition, width: float) -> Flowable:
    """Applications down, refrigerant groups across, the printed families in the cells."""
    inputs = edition.inputs
    groups = list(inputs["groups"])
    body = []
    for name, parts in edition.envelopes():
        row = [inputs["envelopes"][name]["title"]]
        for group in groups:
            families = [inputs["families"][p.family]["title"].split()[0] for p in parts if p.group == group]
            row.append(", ".join(families))
        body.append(row)
    return data_table(["Application", *(inputs["groups"][g]["title"] for g in groups)], body, width, size=8.5)


def restating(edition: Edition, width: float) -> list[Flowable]:
    """Factor tables, for the first application that each group is printed for."""
    frame = edition.data.restating
    if frame.empty:
        return []
    story: list[Flowable] = [
        Heading("A capacity stated at other temperatures"),
        paragraph(
            "The tables take the capacity at the rating point. A capacity stated at another condensing temperature and "
            "another subcooling of the liquid, at the same SST, is multiplied by the factor below; worked out with the "
            "compressor of the application, so that another compressor moves it by a few percent. For a group the factors "
            "of its members are given from the least to the greatest."
        ),
    ]
    done = set()
    for name, parts in edition.envelopes():
        for group in dict.fromkeys(p.group for p in parts):
            own = frame[(frame["envelope"] == name) & frame["refrigerant"].isin(edition.members(group))]
            if group in done or own.empty:
                continue
            done.add(group)
            story.append(KeepTogether(_factors(edition, name, group, own, width)))
    return story


def _factors(edition: Edition, envelope: str, group: str, own: pd.DataFrame, width: float) -> list[Flowable]:
    words = edition.words
    first = own.iloc[0]
    steps = sorted(set(own["subcooling_k"]))
    header = [f"Condensing, {words.temperature_label}", *(f"subcooled {words.step(s)}" for s in steps)]
    body = []
    for condensing in sorted(set(own["condensing_temperature_k"])):
        row = [words.temperature(float(condensing))]
        for step in steps:
            cell = own[(own["condensing_temperature_k"] == condensing) & (own["subcooling_k"] == step)]
            row.append(_span(cell["capacity_factor"]))
        body.append(row)
    title = edition.inputs["groups"][group]["title"]
    about = (
        f"{title}, {edition.envelope(envelope)['title']}, SST {words.degrees(float(first['sst_k']))} (dew); condensing at "
        f"{BASIS_WORDS[first['basis']]}"
    )
    return [paragraph(about, "caption"), data_table(header, body, width, numeric=range(len(header)), size=8.5)]


def _span(factors: pd.Series) -> str:
    """Least to greatest of the members; blank where a member has none."""
    if factors.isna().any():
        return DASH
    low, high = decimals(float(factors.min()), 2), decimals(float(factors.max()), 2)
    return low if low == high else f"{low}{DASH}{high}"
