"""What charts and labels state of a table in a few words: what to be careful of, and what loads are rated at."""

from __future__ import annotations

from tablegen.model.publications import Combination
from tablegen.report.publications.publication import Publication
from tablegen.wording import counter_chart as wording


def safety_notes(publication: Publication, group: str) -> list[str]:
    """The safety groups of a group's refrigerants that one has to be careful of, each in a word; none for A1."""
    records = publication.catalogue.records
    groups = dict.fromkeys(records[member].safety_group for member in publication.members(group))
    return [note for note in map(_safety, groups) if note]


def _safety(group: str) -> str:
    """A safety group to be careful of, in a word; nothing for A1."""
    is_flammable, is_toxic = group[1] != "1", group[0] == "B"
    if is_flammable and is_toxic:
        return wording.FLAMMABLE_AND_TOXIC(group=group)
    if is_flammable:
        return wording.FLAMMABLE(group=group)
    return wording.TOXIC(group=group) if is_toxic else ""


def rated(publication: Publication, part: Combination) -> str:
    """The rating point of a table, and whether it has a liquid riser."""
    formatter, system = publication.formatter, publication.system(part)
    site = publication.catalogue.applications[part.application].site_pressure_pa
    head = formatter.head(system.rating.head, site)
    if system.losses.lift_m:
        return wording.RATED_WITH_RISER(head=head, lift=formatter.length(system.losses.lift_m))
    return wording.RATED_WITHOUT_RISER(head=head)
