"""What charts and labels state of a table in a few words: what to be careful of, and what loads are rated at."""

from __future__ import annotations

from tablegen.model.publications import Combination
from tablegen.report.publications.publication import Publication
from tablegen.report.refrigerant_text import by_hazard
from tablegen.wording import counter_chart as wording


def safety_notes(publication: Publication, group: str) -> list[str]:
    """The safety groups of a group's refrigerants that one has to be careful of, each in a word; none for A1."""
    return list(by_hazard(publication.catalogue.records, publication.members(group)))


def rated(publication: Publication, part: Combination) -> str:
    """The rating point of a table, and whether it has a liquid riser."""
    formatter, system = publication.formatter, publication.system(part)
    site = publication.catalogue.applications[part.application].site_pressure_pa
    head = formatter.head(system.rating.head, site)
    if system.losses.lift_m:
        return wording.RATED_WITH_RISER(head=head, lift=formatter.length(system.losses.lift_m))
    return wording.RATED_WITHOUT_RISER(head=head)
