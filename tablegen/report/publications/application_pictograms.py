"""Which pictograms an application has: cooler or freezer, how its head pressure is controlled, what its liquid line is like."""

from __future__ import annotations

from collections.abc import Iterator

from tablegen.report.pdf.pictograms import Pictogram
from tablegen.report.publications.publication import Publication

# By the temperature range of an application.
BOXES = {"medium_temperature": Pictogram.COOLER, "low_temperature": Pictogram.FREEZER}
# Liquid lines are laid out for some 35 kPa (5 psi) or less at the rating point (common practice); twice that is a long one.
_LONG_LINE_PA = 70e3


def application_pictograms(publication: Publication, name: str) -> tuple[Pictogram, ...]:
    """The pictograms of an application by its key, in the order that they are printed in; of other temperature ranges no box."""
    return tuple(_pictograms(publication, name))


def _pictograms(publication: Publication, name: str) -> Iterator[Pictogram]:
    application = publication.catalogue.applications[name]
    if application.temperature_range in BOXES:
        yield BOXES[application.temperature_range]
    refrigerant = next(publication.members(part.group)[0] for part in publication.parts if part.application == name)
    yield Pictogram.FLOATING_HEAD if publication.is_floated(name, refrigerant) else Pictogram.FIXED_HEAD
    losses = application.systems[refrigerant].losses
    if losses.lift_m > 0.0:
        yield Pictogram.LIQUID_RISER
    if losses.liquid_line_pa > _LONG_LINE_PA:
        yield Pictogram.LONG_LINE
