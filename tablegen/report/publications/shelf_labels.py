"""Labels for a wholesaler's shelf: one for each size in stock and refrigerant group, on label sheets."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from reportlab.platypus import Flowable, PageBreak

from tablegen.dataset.dataset import DataSet
from tablegen.model.inputs import PowerElement
from tablegen.model.publications import Combination, ShelfLabels
from tablegen.report.condition_stations import condition_axis
from tablegen.report.formatter import DASH, NBSP
from tablegen.report.pages.label_page import LabelPage, label_boxes
from tablegen.report.pages.shelf_label import LabelWindow, ShelfLabel, set_labels
from tablegen.report.pages.stocked_valves import locations, order_numbers
from tablegen.report.pdf.page import Document
from tablegen.report.publications.application_pictograms import BOXES
from tablegen.report.publications.own_typeface import in_own_typeface
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.publications.publication import Publication, named
from tablegen.report.rows import WindowRow, window_at
from tablegen.report.window_texts import rated, safety_notes
from tablegen.wording import shelf_labels as wording
from tablegen.wording.language import date_text
from tablegen.wording.refrigerants import LICENSED


@in_own_typeface
def print_shelf_labels(data: DataSet | PrintedData, name: str, target: Path | IO[bytes]) -> int:
    """Print the labels of one publication of a data set.

    Returns
    -------
    int
        The number of sheets.

    Raises
    ------
    PublishError
        If a text does not fit its label or a glyph is missing.
    """
    publication = Publication.of(data)
    catalogue = publication.catalogue
    own = named(catalogue.labels, name)
    publication = Publication.of(publication.printed, own)
    application = catalogue.applications[own.application].title
    document = Document(
        target,
        own.printed.paper,
        wording.TITLE(family=publication.family(own.family), application=application),
        date=catalogue.printing.date,
        author=own.wholesaler,
        subject=wording.SUBJECT(),
        keywords=list(own.groups),
        side_margin=0.0,
        top_margin=0.0,
        foot_margin=0.0,
        has_head=False,
        has_foot=False,
    )
    boxes = label_boxes(own.sheet, document.page_size)
    labels = set_labels(list(_labels(publication, own)), boxes[0].width, boxes[0].height)
    story: list[Flowable] = []
    free = boxes[own.sheet.first - 1 :]
    while labels:
        page = LabelPage(labels[: len(free)], free)
        story += [PageBreak(), page] if story else [page]
        labels, free = labels[len(free) :], boxes
    return document.build(story)


def _labels(publication: Publication, own: ShelfLabels) -> Iterator[ShelfLabel]:
    """A label for each group and size in stock, sizes in the order of the family."""
    catalogue = publication.catalogue
    application = catalogue.applications[own.application]
    for group in own.groups:
        part = Combination(own.family, group, own.application)
        windows = publication.windows(part)
        names = ", ".join(publication.members(group))
        refrigerants = " \N{MIDDLE DOT} ".join((names, *safety_notes(publication, group)))
        for size in catalogue.families[own.family].sizes:
            if size.name in own.stock[group]:
                yield ShelfLabel(
                    size=size.display_name,
                    family=publication.family(own.family),
                    application=application.title,
                    group=catalogue.groups[group].title,
                    refrigerants=refrigerants,
                    windows=tuple(
                        _window(publication, part, window_at(windows, size.display_name, sst_k)) for sst_k in own.sst_k
                    ),
                    order=_order(publication, part, size.name),
                    notes=_notes(publication, own, part),
                    pictogram=BOXES.get(application.temperature_range),
                )


def _window(publication: Publication, part: Combination, row: WindowRow) -> LabelWindow:
    """The window of a size at a suction temperature, as the booklet prints it."""
    formatter, sst_k = publication.formatter, row.sst_k
    difference_k = publication.catalogue.applications[part.application].coil_temperature_difference_k
    box = "" if difference_k is None else formatter.degrees(sst_k + difference_k)
    window = formatter.readable_window(row.min_load_w, row.max_load_w)
    if window is None:
        reason = row.max_reason if math.isnan(row.max_load_w) else "crossed"
        return LabelWindow(sst=formatter.degrees(sst_k), box=box, reason=wording.EMPTY_REASONS[reason]())
    return LabelWindow(sst=formatter.degrees(sst_k), box=box, load=formatter.with_load_unit(DASH.join(window)))


def _order(publication: Publication, part: Combination, size: str) -> str:
    """The part numbers of a size (key) with the charge of the table, the charge, and where it is stored."""
    element, numbers = publication.power_element(part), order_numbers(publication, part, size)
    places = locations(publication, part, size)
    texts = [wording.PART_NUMBER(numbers=", ".join(own.replace(" ", NBSP) for own in numbers))] if numbers else []
    texts += [_charge(publication, part, element)] if element else []
    texts += [wording.LOCATION(locations=", ".join(places)).replace(" ", NBSP)] if places else []
    return " \N{MIDDLE DOT} ".join(texts)


def _charge(publication: Publication, part: Combination, element: PowerElement) -> str:
    """A charge by what it is for, or by its title where another of its family is for the same."""

    def purpose(one: PowerElement) -> tuple[tuple[str, ...], tuple[str, ...]]:
        return one.refrigerants, one.temperature_ranges

    catalogue = publication.catalogue
    same = [own for own in catalogue.families[part.family].elements if purpose(own) == purpose(element)]
    if not element.refrigerants or len(same) > 1:
        return element.title
    kind = catalogue.applications[part.application].temperature_range
    text = wording.CHARGE_FOR_RANGE.get(kind, wording.CHARGE_FOR) if element.temperature_ranges else wording.CHARGE_FOR
    members = publication.members(part.group)
    others = [own for own in element.refrigerants if own not in members]
    return text(refrigerants=", ".join([*(own for own in members if own in element.refrigerants), *others]))


def _notes(publication: Publication, own: ShelfLabels, part: Combination) -> str:
    """For which head pressures the loads are, what to check, the notice, whose label it is and from which data."""
    printing = publication.catalogue.printing
    axis = condition_axis(publication, part)
    low, *_, high = axis.stations
    heads = wording.HEADS(low=low.pressure, high=high.pressure, unit=publication.formatter.gauge_label)
    data = wording.DATA_LINE(
        data=publication.data.fingerprint, revision=printing.revision, date=date_text(publication.date)
    )
    checked = (heads, wording.RATED(rated=rated(publication, part)), wording.CHECK(), LICENSED())
    return " ".join(filter(None, (*checked, printing.notice, f"{own.wholesaler}.", data)))
