"""The revision notice: what changed since an earlier release, which loads a size no longer covers, what to take instead."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import IO

from reportlab.platypus import Flowable

from tablegen.dataset.comparison import CHANGE_KINDS
from tablegen.dataset.dataset import Changes, DataSet
from tablegen.model.booklet_contents import WHOLE_BOOKLET
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Booklet, Combination
from tablegen.report.company_texts import document_mark
from tablegen.report.formatter import percent_range
from tablegen.report.graphs.lost_range_graph import LostBar, lost_range_graph
from tablegen.report.lost_ranges import Cell, LostRange, TableLosses, table_losses, widest_row
from tablegen.report.pages.loss_table import LossTable, LossTableFlowable, loss_blocks
from tablegen.report.pages.notice_band import NoticeBand
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.page_flow import SLACK, Room, height, with_breaks
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.printed_changes import change_and_reasons, reasons_of
from tablegen.report.publications.own_typeface import in_own_typeface
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.publications.publication import Publication
from tablegen.report.rounding import round_half_even
from tablegen.wording import booklet as pages
from tablegen.wording import revision_notice as wording
from tablegen.wording.language import date_text, figure, number
from tablegen.wording.message import in_clauses, listed

NOTICE = "revision-notice"
# Sizes in one graph.
_MOST_BARS = 14
# Above the band, so that a notice of one table is one sheet with it [pt].
_TOP = 44.0
# No more of a page is left empty for a table that begins on the next, so that none is half empty but the last.
_MOST_EMPTY = 0.5


def notice_booklets(catalogue: Catalogue) -> list[Booklet]:
    """A notice for each way in which the first booklet is printed, of all tables that any booklet prints that way.

    Without a booklet there is none. The name is that of the notice's file.
    """
    if not catalogue.booklets:
        return []
    first = catalogue.booklets[0].series or catalogue.booklets[0].printed.publication
    found: dict[tuple[str, str, str], Booklet] = {}
    for own in catalogue.booklets:
        key = own.printed.paper, own.printed.units, own.printed.load_unit
        if key not in found and (own.series or own.printed.publication) == first:
            suffix = "-".join(key).replace("/", "").replace("_", "-").lower() if found else ""
            name = f"{NOTICE}-{suffix}" if suffix else NOTICE
            printed = dataclasses.replace(own.printed, name=name)
            # A notice is of every row.
            found[key] = dataclasses.replace(own, printed=printed, combinations=(), contents=WHOLE_BOOKLET)
    for own in catalogue.booklets:
        key = own.printed.paper, own.printed.units, own.printed.load_unit
        if key in found:
            together = dict.fromkeys((*found[key].combinations, *own.combinations))
            found[key] = dataclasses.replace(found[key], combinations=tuple(together))
    return list(found.values())


@in_own_typeface
def print_revision_notice(data: DataSet | PrintedData, own: Booklet, changes: Changes, target: Path | IO[bytes]) -> int:
    """Print what changed since an earlier release to a path or a binary file; return its number of pages.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    publication = Publication.of(data, own, changes)
    printing = publication.catalogue.printing
    document = Document(
        target,
        own.printed.paper,
        wording.TITLE(),
        date=publication.date,
        notice=printing.notice,
        author=printing.company.name,
        subject=wording.SUBJECT(),
        mark=document_mark(printing, own.printed),
        top_margin=_TOP,
        accent=printing.company.accent or design.DEFAULT_ACCENT,
    )
    width = document.frame_width
    changed = table_losses(publication, changes)
    lost = [table for table in changed if not table.is_empty]
    story: list[Flowable] = [
        _band(publication, changes, own),
        facts([*_what(publication, changes, changed, lost), *_questions(publication, changes)], width, design.BODY),
    ]
    if changes.gone:
        gone = [paragraph(_gone_title(titles)) for titles in changes.gone]
        story += [Heading(wording.NO_LONGER_PRINTED(), 2), paragraph(wording.GONE()), *gone]
    if len(changed) > 1:
        heading = wording.TABLES() if lost else wording.CHANGED_TABLES()
        story += [Heading(heading, 2), *_summary(publication, lost or changed, width)]
    example = ""
    for table in lost:
        section = _section(publication, table, changes, width)
        # One example says how to read all tables.
        if not example and (example := _example(publication, table, changes)):
            section.append(paragraph(example))
        needed = section[0].getSpaceBefore() + height(section, width)
        story += [
            Room(min(needed, _MOST_EMPTY * document.frame_height)),
            *with_breaks(section, width, document.frame_height - SLACK),
        ]
    return document.build(story)


def _band(publication: Publication, changes: Changes, own: Booklet) -> NoticeBand:
    printing = publication.catalogue.printing
    document = printing.company.documents.get(own.series or own.printed.publication, "")
    replaced = wording.REPLACED(
        document=wording.NUMBERED(number=document or printing.title),
        old=wording.REVISION(revision=changes.revision),
        old_date=date_text(changes.date),
        new=wording.REVISION(revision=printing.revision),
        new_date=date_text(publication.date),
    )
    whose = (
        wording.OF_COMPANY(title=printing.title, company=printing.company.name) if document else printing.company.name
    )
    return NoticeBand(wording.TITLE(), [replaced, whose])


def _what(
    publication: Publication, changes: Changes, changed: Sequence[TableLosses], lost: Sequence[TableLosses]
) -> Iterator[tuple[str, str]]:
    """What changed, and what to do."""
    printing = publication.catalogue.printing
    rows = [row for table in changed for row in table.changed]
    changed_now, new, removed = (sum(row.change_kind == kind for row in rows) for kind in CHANGE_KINDS)
    total = sum(len(publication.windows(part)) for part in publication.parts)
    for own in printing.revisions_since(changes.revision):
        yield from ((wording.WHAT_CHANGED(), text) for text in change_and_reasons(own))
    texts = [wording.COUNTED(changed_now, total=str(total - new), revision=changes.revision)]
    if changed_now:
        ends = ([row.min_load_change for row in rows], [row.max_load_change for row in rows])
        texts.append(wording.MOVED(minimum=percent_range(ends[0]), maximum=percent_range(ends[1])))
    texts += [counted(count) for counted, count in ((wording.NEW, new), (wording.REMOVED, removed)) if count]
    yield wording.HOW_FAR(), " ".join(texts)
    if not lost and not changes.gone:
        yield wording.WHAT_TO_DO(), wording.NOTHING_LOST(old=changes.revision, new=printing.revision)
        return
    steps = [wording.VALVES_CHOSEN(old=changes.revision), wording.NEW_SYSTEMS(new=printing.revision)]
    if charts := _charts(publication, [table.part for table in changed]):
        steps.append(wording.CHARTS(old=changes.revision, charts=listed(charts)))
    yield wording.WHAT_TO_DO(), " ".join(steps)


def _gone_title(titles: tuple[str, str, str]) -> str:
    family, group, application = titles
    return pages.TABLE_IN_APPLICATION(table=pages.TABLE(family=family, group=group), application=application)


def _charts(publication: Publication, parts: Sequence[Combination]) -> list[str]:
    """The counter charts that show a changed table, by their number or title."""
    numbers = publication.catalogue.printing.company.documents
    shown = {
        chart.printed.publication: numbers.get(chart.printed.publication, chart.title)
        for chart in publication.catalogue.charts
        for part in parts
        if (part.family, part.application) == (chart.family, chart.application) and part.group in chart.groups
    }
    return list(shown.values())


def _questions(publication: Publication, changes: Changes) -> list[tuple[str, str]]:
    """Whom to ask, with what at hand."""
    company = publication.catalogue.printing.company
    ready = wording.HAVE_READY(old_data=changes.fingerprint, new_data=publication.data.fingerprint)
    contact = [wording.LABELED(label=label, value=value) for label, value in company.contact]
    return [(wording.QUESTIONS(), " ".join([f"{in_clauses([company.name, *contact])}.", ready]))]


def _summary(publication: Publication, tables: Sequence[TableLosses], width: float) -> list[Flowable]:
    """A row for each table: how many of its windows changed, and how far."""
    body = []
    for table in tables:
        counted = str(len(table.changed)), str(len(publication.windows(table.part)))
        body.append(
            [
                publication.full_title(table.part),
                wording.NEW_TABLE() if table.is_new else wording.PART_OF(count=counted[0], total=counted[1]),
                percent_range([row.min_load_change for row in table.changed]),
                percent_range([row.max_load_change for row in table.changed]),
            ]
        )
    header = [wording.TABLE(), wording.CELLS(), wording.MINIMUM(), wording.MAXIMUM()]
    return [data_table(header, body, width, numeric=range(1, 4), size=design.NOTE)]


def _section(publication: Publication, table: TableLosses, changes: Changes, width: float) -> list[Flowable]:
    """One table: its graph, the ranges, what to take instead, and how to read them."""
    formatter, revision = publication.formatter, publication.catalogue.printing.revision
    sst_k = _drawn_k(publication, table)
    bars = [_bar(table, size, sst_k) for size in table.lost_at(sst_k)]
    sst = formatter.degrees(sst_k)
    reasons = reasons_of(publication, table.part)
    since = publication.catalogue.printing.revisions_since(changes.revision)
    if len(reasons) == len({reason.why for own in since for reason in own.reasons}):
        # All of them are on the first page.
        reasons = []
    story: list[Flowable] = [
        Heading(publication.full_title(table.part), 2),
        *([paragraph(pages.WHY_CHANGED(reasons=" ".join(reasons)))] if reasons else []),
        paragraph(wording.LOST_AT(sst=sst), "caption"),
    ]
    # In even shares, so that none is a graph of one bar below a full one.
    count = -(-len(bars) // _MOST_BARS)
    share = -(-len(bars) // count)
    for shown in (bars[i : i + share] for i in range(0, len(bars), share)):
        ranges = wording.GRAPH_ALT(sst=sst, ranges=in_clauses(map(_range_text, shown)))
        story.append(DrawingFlowable(lost_range_graph(shown, formatter, width), ranges))
    is_marked, tables = False, list[LossTableFlowable]()
    for caption, lost in ((wording.UPPER, table.upper), (wording.LOWER, table.lower)):
        if lost:
            own = _table(publication, table, lost)
            is_marked |= any(named.endswith(wording.MARK) for named in own.instead)
            story.append(paragraph(caption(unit=formatter.load_label), "caption"))
            tables = [LossTableFlowable(block) for block in loss_blocks(own, width)]
            story += tables
    instead = (
        wording.INSTEAD_NOTE_MARKED(new=revision, mark=wording.MARK)
        if is_marked
        else wording.INSTEAD_NOTE(new=revision)
    )
    note = paragraph(" ".join([wording.GRAPH_NOTE(old=changes.revision, new=revision), instead]), "small")
    # On the page of the last rows.
    tables[-1].reserve = tables[-1].getSpaceAfter() + height([note], width)
    return [*story, note]


def _drawn_k(publication: Publication, table: TableLosses) -> float:
    """The suction temperature [K] of the graph and of the example."""
    return widest_row(table, publication.catalogue.applications[table.part.application].example_sst_k)


def _range_text(bar: LostBar) -> str:
    ranges = [f"{figure(f'{low:g}')} \N{EN DASH} {figure(f'{high:g}')}" for low, high in bar.lost]
    return wording.RANGE_ALT(size=bar.size, ranges=listed(ranges))


def _bar(table: TableLosses, size: str, sst_k: float) -> LostBar:
    cell = size, sst_k
    lost = [own for own in (table.lower.get(cell), table.upper.get(cell)) if own is not None]
    return LostBar(size, table.now.get(cell), [(number(own.start), number(own.end)) for own in lost])


def _table(publication: Publication, table: TableLosses, lost: Mapping[Cell, LostRange]) -> LossTable:
    """The ranges of one side, of the sizes and suction temperatures that have any.

    A mark is at those that the size to take instead does not cover, and at that size.
    """
    formatter = publication.formatter
    sizes = [size for size in table.sizes if any(name == size for name, _ in lost)]
    temperatures = [sst_k for sst_k in table.sst_k if any(own == sst_k for _, own in lost)]
    instead = {size: table.instead(size, lost) for size in sizes}
    open_cells = {
        (size, sst_k)
        for (size, sst_k), own in lost.items()
        if instead[size] and not table.covers(instead[size], own, sst_k)
    }
    marked = {size for size, _ in open_cells}
    cells = {cell: f"{own.text}{wording.MARK if cell in open_cells else ''}" for cell, own in lost.items()}
    called = formatter.temperatures(temperatures)
    return LossTable(
        stub=wording.SST(unit=formatter.temperature_label),
        heads=sizes,
        rows=[
            (label, [cells.get((size, sst_k), "") for size in sizes])
            for label, sst_k in zip(called, temperatures, strict=True)
        ],
        instead=[f"{instead[size] or wording.ASK()}{wording.MARK if size in marked else ''}" for size in sizes],
    )


def _example(publication: Publication, table: TableLosses, changes: Changes) -> str:
    """A load in the upper range of the middle size that has one at the SST that is drawn; "" where none has."""
    sst_k = _drawn_k(publication, table)
    sizes = [size for size in table.sizes if (size, sst_k) in table.upper and (size, sst_k) in table.now]
    if not sizes:
        return ""
    # One with a size to take instead, if there is one; best the one that the table names.
    others = {size: table.instead_at(size, table.upper, sst_k) for size in sizes}
    as_named = [size for size in sizes if others[size] and others[size] == table.instead(size, table.upper)]
    chosen = as_named or [size for size in sizes if others[size]] or sizes
    size = chosen[len(chosen) // 2]
    lost, other = table.upper[size, sst_k], others[size]
    load = round_half_even((number(lost.start) * number(lost.end)) ** 0.5)
    if not number(lost.start) < number(load) <= number(lost.end):
        load = lost.end
    formatter = publication.formatter
    stated = {
        "sst": formatter.degrees(sst_k),
        "load": formatter.with_load_unit(load),
        "old": changes.revision,
        "size": size,
        "old_max": lost.end,
        "new": publication.catalogue.printing.revision,
        "new_max": lost.start,
    }
    if not other:
        return wording.EXAMPLE_ASK(**stated)
    return wording.EXAMPLE(**stated, instead=other, from_load=table.now[other, sst_k][0])
