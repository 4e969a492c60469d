"""The cover: whose booklet it is, its title, and its load windows as a picture that says what it is about."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.platypus import Flowable, HRFlowable, PageBreak, Spacer

from tablegen.model.inputs import Family
from tablegen.model.publications import Combination
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.weave import Band, lowest_weave, weave
from tablegen.report.pages.letterheads import cover_head
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import paragraph
from tablegen.report.pdf.page_flow import height
from tablegen.report.pdf.paragraphs import cover_title
from tablegen.report.pdf.tables import facts
from tablegen.report.publications.application_pictograms import application_pictograms
from tablegen.report.publications.chapters import booklet_of_chapters, chapter_titles
from tablegen.report.publications.publication import Publication
from tablegen.wording import cover as wording
from tablegen.wording import terms
from tablegen.wording.message import in_clauses, listed

# Height for one suction temperature above which threads lie too far apart, and what the layout may be off by [pt].
_TALLEST, _SLACK = 24.0, 12.0
# Families up to which each is named by its title.
_TITLES = 4


@dataclass(frozen=True, slots=True)
class _Picture:
    """What is drawn: a family with a group of refrigerants, in each application that has a table for them."""

    parts: Sequence[Combination]
    bands: Sequence[Band]


def cover(publication: Publication, width: float, page: float) -> list[Flowable]:
    """One page: company and document, title, picture, scope.

    Parameters
    ----------
    publication : Publication
    width, page : float
        What the page has room for [pt].
    """
    printing = publication.catalogue.printing
    families = _families(publication)
    picture = _picture(publication) if publication.contents.has_tables else _Picture((), ())
    above: list[Flowable] = [
        cover_head(publication),
        HRFlowable(
            width="100%", thickness=design.ACCENT_RULE, color=printing.company.accent or "black", spaceBefore=10
        ),
        Spacer(1, 18),
        cover_title(publication.document_title, width),
        *([paragraph(families[0].title, "cover_company"), Spacer(1, 4)] if len(families) == 1 else []),
        paragraph(_subtitle(publication)),
        Spacer(1, 8),
    ]
    for count in range(len(picture.bands), -1, -1):
        shown = _Picture(picture.parts[:count], picture.bands[:count])
        caption = [paragraph(_caption(publication, shown), "small")] if count else []
        below: list[Flowable] = [
            HRFlowable(width="100%", thickness=design.RULE, color="black", spaceBefore=6, spaceAfter=4),
            facts(_scope(publication, shown), width, design.TABLE),
        ]
        room = page - height([*above, *caption, *below], width) - _SLACK
        if not count or lowest_weave(shown.bands, width) <= room:
            break
    tall, drawn = 0.0, []
    if shown.bands:
        tallest = sum(_TALLEST * round(1.0 / band.step) for band in shown.bands)
        tall = min(room, max(lowest_weave(shown.bands, width), tallest))
        drawn = [DrawingFlowable(weave(shown.bands, publication.formatter, width, tall), _alt(publication, shown))]
    # What is left is above the scope, which is at the foot of the page.
    return [*above, *drawn, *caption, Spacer(1, max(room - tall, 0.0)), *below, PageBreak()]


def _subtitle(publication: Publication) -> str:
    """What the tables are; of a document without tables what it has, and of which booklet."""
    contents = publication.contents
    if contents.has_tables:
        return wording.SUBTITLE()
    chapters = listed(chapter_titles(contents.sections))
    return wording.ENGINEERING(booklet=booklet_of_chapters(publication), chapters=chapters)


def _families(publication: Publication) -> list[Family]:
    """The families that the booklet has tables of; one alone is named under the title."""
    printed = {part.family for part in publication.parts}
    return [own for name, own in publication.catalogue.families.items() if name in printed]


def _picture(publication: Publication) -> _Picture:
    """The family and the group that have most tables, the first of these that has an open window."""
    of_pair: dict[tuple[str, str], list[Combination]] = {}
    for part in publication.parts:
        if any(not math.isnan(row.min_load_w) for row in publication.windows(part)):
            of_pair.setdefault((part.family, part.group), []).append(part)
    chosen = max(of_pair.values(), key=len, default=[])
    order = list(publication.catalogue.applications)
    parts = sorted(chosen, key=lambda part: order.index(part.application))
    return _Picture(parts, [_band(publication, part) for part in parts])


def _band(publication: Publication, part: Combination) -> Band:
    application = publication.catalogue.applications[part.application]
    suction = _span(publication.formatter, publication.sst_k(part.application))
    pictograms = application_pictograms(publication, part.application)
    return Band(application.title, wording.SUCTION(sst=suction), pictograms, publication.windows(part))


def _span(formatter: Formatter, kelvin: Sequence[float]) -> str:
    """The coldest to the warmest suction temperature, in a word that is read in small type better than a dash."""
    low, high = min(kelvin), max(kelvin)
    return (
        formatter.degrees(low)
        if low == high
        else terms.RANGE(low=formatter.temperature(low), high=formatter.degrees(high))
    )


def _caption(publication: Publication, picture: _Picture) -> str:
    part = picture.parts[0]
    return wording.CAPTION(
        family=publication.family(part.family), refrigerants=publication.catalogue.groups[part.group].title
    )


def _alt(publication: Publication, picture: _Picture) -> str:
    """The caption, and from which to which load the windows of each band reach."""
    texts = []
    for band in picture.bands:
        rows = [row for *_, row in band.windows()]
        low, high = publication.formatter.window(
            min(row.min_load_w for row in rows), max(row.max_load_w for row in rows)
        )
        loads = terms.RANGE(low=low, high=publication.formatter.with_load_unit(high))
        texts.append(wording.BAND_ALT(application=band.name, sst=band.suction, loads=loads))
    return terms.GRAPH(caption=" ".join((_caption(publication, picture), *texts)))


def _scope(publication: Publication, picture: _Picture) -> list[tuple[str, str]]:
    """What the booklet is about, as far as the picture does not say so."""
    catalogue, formatter = publication.catalogue, publication.formatter
    families, printed = _families(publication), {part.group for part in publication.parts}
    groups = [own for name, own in catalogue.groups.items() if name in printed]
    applications = [catalogue.applications[name] for name, _ in publication.applications()]
    units = (formatter.load_label, formatter.temperature_label, formatter.gauge_label)
    rows = [(wording.REFRIGERANTS(), in_clauses(listed(own.members) for own in groups))]
    if len(families) != 1:
        names = [own.title if len(families) <= _TITLES else own.display_name for own in families]
        rows.insert(0, (wording.FAMILIES(), in_clauses(names)))
    if len(picture.bands) < len(applications):
        kelvin = [value for own in applications for value in publication.sst_k(own.name)]
        suction = wording.SUCTION(sst=_span(formatter, kelvin))
        rows.append((wording.APPLICATIONS(), in_clauses((*(own.title for own in applications), suction))))
    return [*rows, (wording.UNITS(), ", ".join(units))]
