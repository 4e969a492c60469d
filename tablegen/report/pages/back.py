"""The last pages: what is left out, cautions."""

from __future__ import annotations

from collections.abc import Sequence

from tablegen.model.inputs import LeftOut
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table
from tablegen.report.publications.publication import Publication

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable

CAUTIONS = (
    "Refrigerants are under pressure. Isolate, recover and relieve the pressure before opening any part of a circuit; "
    "control every source of energy while work goes on (29 CFR 1910.147 in the United States).",
    "Liquid refrigerant freezes skin and eyes: wear goggles and gloves; flush eyes with water for fifteen minutes and "
    "see a physician. Vapor is heavier than air and displaces oxygen in pits and closed rooms.",
    "Refrigerants of safety groups A2L, A2, A3, B2L, B2 and B3 are flammable; those of the B groups have higher toxicity "
    "(ASHRAE 34): charge limits, ventilation and detection follow ASHRAE 15 or the code in force at the site.",
    "Do not vent refrigerant while servicing (in the United States 42 USC 7671g(c)); the work is for certified technicians (40 CFR 82.161).",
    "Liquid trapped between shut valves bursts lines as it warms: leave it a way out. Refrigerant in a flame gives toxic fumes. Never use oxygen to test for pressure.",
    "No valve may see a head above its working pressure or a differential above its allowed one. Local codes, the "
    "equipment maker's instructions and licensed practice come before these tables.",
    "A table holds only for the conditions stated on its page. It does not replace measuring superheat at the running system.",
)


def left_out(publication: Publication, width: float) -> list[Flowable]:
    """The combinations that are computed but not printed, and those that are not computed, each with its reason."""
    booklet = publication.booklet.left_out if publication.booklet else ()
    story: list[Flowable] = []
    for title, rules in (
        ("Computed but not printed; it stands in the data set that this booklet carries", booklet),
        ("Not computed", publication.catalogue.left_out),
    ):
        if rules:
            story += [paragraph(title, "caption"), _rules_table(publication, rules, width)]
    once = paragraph("A table that several lines would leave out is counted in the first of them.", "small")
    return [Heading("What this booklet leaves out"), *story, once] if story else []


def _rules_table(publication: Publication, rules: Sequence[LeftOut], width: float) -> Flowable:
    catalogue = publication.catalogue
    body = [
        [
            "; ".join(catalogue.families[name].display_name for name in rule.families) or "all",
            "; ".join(catalogue.groups[name].title for name in rule.groups) or "all",
            "; ".join(catalogue.applications[name].title for name in rule.applications) or "all",
            str(rule.count),
            rule.why,
        ]
        for rule in rules
    ]
    return data_table(["Family", "Refrigerants", "Application", "Tables", "Why"], body, width, numeric=[3], size=8.5)


def cautions() -> list[Flowable]:
    """What to beware of, with what has to be obeyed."""
    return [Heading("Cautions"), *(paragraph(text, "step", mark="•") for text in CAUTIONS)]
