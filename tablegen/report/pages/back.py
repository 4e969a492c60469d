"""The last pages: order guide, what is left out, revision record."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether

from tablegen.dataset.comparison import change_weight
from tablegen.model.inputs import Family
from tablegen.model.part_numbers import PartNumber
from tablegen.model.publications import Combination, LeaveOutRule
from tablegen.report.formatter import NBSP, percent_range
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, data_tables, facts
from tablegen.report.printed_changes import change_and_reasons, changed_windows_of
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import ChangedRow
from tablegen.report.window_texts import changed_texts
from tablegen.wording import booklet as wording
from tablegen.wording import orders
from tablegen.wording.language import date_text
from tablegen.wording.message import OR, in_clauses, listed

# Some two pages; the file of changes has them all.
MOST_CELLS = 90

# A page of which less than this is left [pt] stays as it is.
_MOST = 420.0


def order_guide(publication: Publication, width: float) -> list[Flowable]:
    """What may be ordered of each printed family; nothing where no family states what it offers."""
    blocks: list[Flowable] = []
    for name, family in _families(publication):
        grids = _number_grids(publication, name, width)
        rows = [*_offered(publication, name), *([] if grids else _part_numbers(publication, name))]
        if rows or grids:
            about = [facts(rows, width, design.NOTE)] if rows else []
            blocks.append(KeepTogether([paragraph(family.display_name, "caption"), *about, *grids]))
    if not blocks:
        return []
    # What follows begins a page, unless most of one is left.
    return [Heading(wording.ORDER_GUIDE()), paragraph(wording.ORDER_NOTE()), *blocks, CondPageBreak(_MOST)]


def has_order_guide(publication: Publication) -> bool:
    """Whether there is a chapter on orders."""
    return any(
        any(_offered(publication, name)) or publication.part_numbers_of(name) for name, _ in _families(publication)
    )


def _families(publication: Publication) -> Iterator[tuple[str, Family]]:
    """Those of which a table is printed."""
    printed = {part.family for part in publication.parts}
    yield from ((name, own) for name, own in publication.catalogue.families.items() if name in printed)


def _offered(publication: Publication, name: str) -> Iterator[tuple[str, str]]:
    family = publication.catalogue.families[name]
    for keys, choices in family.offered.connections:
        sizes = ", ".join(family.size_name(size) for size in keys)
        text = listed(choices, OR)
        yield wording.CONNECTIONS(), wording.CONNECTIONS_OF(len(keys), sizes=sizes, choices=text) if keys else text
    if family.offered.equalizer:
        yield wording.EQUALIZER(), wording.EQUALIZERS[family.offered.equalizer]()
    if family.offered.capillary_m:
        lengths = [publication.formatter.length(meter) for meter in family.offered.capillary_m]
        text = listed(lengths, OR)
        numbers = publication.part_numbers_of(name)
        if len(lengths) > 1 and any(number.capillary_m is None for number in numbers):
            text = wording.CAPILLARY_TO_STATE(lengths=text)
        yield wording.CAPILLARY(), text
    if family.offered.driver:
        yield wording.DRIVER(), family.offered.driver


def _number_grids(publication: Publication, name: str, width: float) -> Sequence[Flowable]:
    """Charges down, sizes across, a part number in each cell; nothing where a cell has several or a number has details."""
    family, own = publication.catalogue.families[name], publication.part_numbers_of(name)
    sizes = [size.name for size in family.sizes]
    cells: dict[tuple[str, str], str] = {}
    for part_number in own:
        for size in [part_number.size] if part_number.size else sizes:
            number = number_text(publication, part_number)
            if number != part_number.number or cells.setdefault((part_number.charge, size), number) != number:
                return []
    titles = {"": "", **{element.name: element.title for element in family.elements}}
    charges = [charge for charge in titles if any(key[0] == charge for key in cells)]
    if not charges:
        return []
    body = [[titles[charge], *(cells.get((charge, size), "") for size in sizes)] for charge in charges]
    header = [wording.PART_NUMBERS(), *(size.display_name for size in family.sizes)]
    return data_tables(header, body, width, size=design.NOTE, figures=fonts.SEMIBOLD)


def _part_numbers(publication: Publication, name: str) -> Iterator[tuple[str, str]]:
    """The sizes with their numbers, a row for each charge that part numbers distinguish."""
    family = publication.catalogue.families[name]
    with_charge = {part_number.charge for part_number in publication.part_numbers_of(name)}
    titles = {element.name: element.title for element in family.elements if element.name in with_charge}
    sizes = [size.name for size in family.sizes]
    for charge in (*titles, ""):
        numbers = {size: numbers_with_charge(publication, name, size, charge) for size in sizes}
        part_numbers = numbers_of_sizes(publication, name, numbers)
        if part_numbers:
            text = (
                wording.PART_NUMBERS_WITH(charge=titles[charge], part_numbers=part_numbers) if charge else part_numbers
            )
            yield wording.PART_NUMBERS(), text


def numbers_of_sizes(publication: Publication, family: str, sizes: Mapping[str, Sequence[str]]) -> str:
    """Sizes (keys) with the numbers that each is ordered by."""
    found = []
    for size, numbers in sizes.items():
        if numbers:
            name = publication.catalogue.families[family].size_name(size)
            text = wording.SIZE_PART_NUMBERS(size=name, numbers=", ".join(numbers))
            found.append(text.replace(" ", NBSP))
    return in_clauses(found)


def numbers_with_charge(publication: Publication, family: str, size: str, charge: str) -> list[str]:
    """Every number of a size (key) that is ordered with a charge, "" for what is ordered with any."""
    own = [number for number in publication.part_numbers_of(family) if number.charge == charge]
    return list(dict.fromkeys(number_text(publication, number) for number in own if number.size in ("", size)))


def numbers_of_size(publication: Publication, family: str, size: str) -> str:
    """Every number of a size, by its display name, whatever it is ordered with."""
    key = next(own.name for own in publication.catalogue.families[family].sizes if own.display_name == size)
    return in_clauses(dict.fromkeys(own.number for own in publication.catalogue.numbered_valves(family, key)))


def number_text(publication: Publication, part_number: PartNumber) -> str:
    """A number with what it depends on beside the charge."""
    details = [orders.EQUALIZER[part_number.equalizer]()] if part_number.equalizer else []
    details += [part_number.connections] if part_number.connections else []
    if part_number.capillary_m is not None:
        details.append(wording.WITH_CAPILLARY(length=publication.formatter.length(part_number.capillary_m)))
    if not details:
        return part_number.number
    return wording.PART_NUMBER_WITH(number=part_number.number, details=", ".join(details))


def has_left_out(publication: Publication) -> bool:
    """Whether a booklet says what it leaves out."""
    rules = publication.catalogue.left_out or (publication.booklet and publication.booklet.left_out)
    return bool(rules) and "left_out" in publication.contents.sections


def left_out(publication: Publication, width: float) -> list[Flowable]:
    """The combinations that are computed but not printed, and those that are not computed, each with its reason."""
    story: list[Flowable] = []
    booklet = publication.booklet
    not_printed = wording.NOT_IN_SERIES if booklet and booklet.is_index else wording.NOT_PRINTED
    for title, rules, computed in (
        (not_printed(), booklet.left_out if booklet else (), publication.catalogue.combinations),
        (wording.NOT_COMPUTED(), publication.catalogue.left_out, ()),
    ):
        if rules:
            story += [paragraph(title, "caption"), _rules_table(publication, rules, computed, width)]
    return [Heading(wording.LEFT_OUT()), *story, paragraph(wording.COUNTED_ONCE(), "small")] if story else []


def _rules_table(
    publication: Publication, rules: Sequence[LeaveOutRule], computed: Collection[Combination], width: float
) -> Flowable:
    """A row for each rule; `computed` are the tables that rules of a booklet choose from, none where a rule is why one is not."""
    catalogue = publication.catalogue
    families = {name: family.display_name for name, family in catalogue.families.items()}
    groups = {name: group.title for name, group in catalogue.groups.items()}
    applications = {name: application.title for name, application in catalogue.applications.items()}
    body, left = [], list(computed)
    for rule in rules:
        taken = [c for c in left if rule.takes(c)]
        left = [c for c in left if not rule.takes(c)]
        body.append(
            [
                _named(rule.families, families, {c.family for c in taken}),
                _named(rule.groups, groups, {c.group for c in taken}),
                _named(rule.applications, applications, {c.application for c in taken}),
                str(rule.count),
                rule.why,
            ]
        )
    header = [wording.FAMILY(), wording.REFRIGERANTS(), wording.APPLICATION(), wording.TABLES(), wording.WHY()]
    return data_table(header, body, width, numeric=[3], size=design.NOTE)


def _named(stated: Collection[str], titles: Mapping[str, str], taken: Collection[str]) -> str:
    """What a rule names; of a rule for all, what it takes where that is not all."""
    own = stated or [name for name in titles if name in taken]
    if not stated and len(own) in (0, len(titles)):
        return wording.ALL()
    return in_clauses(titles[name] for name in own)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """A printed cell that changed: where it is, what it printed and prints."""

    part: Combination
    row: ChangedRow
    earlier: str
    now: str

    @property
    def is_new(self) -> bool:
        return self.row.change_kind == "added"

    @property
    def weight(self) -> float:
        moves = self.row.min_load_change, self.row.max_load_change
        return change_weight(self.row.change_kind, moves, is_open=not math.isnan(self.row.max_load_w))


def revision_record(publication: Publication, width: float) -> list[Flowable]:
    """The record; if an earlier release is given, what this booklet prints differently."""
    header = [wording.REVISION(), wording.DATE(), wording.CHANGE()]
    body = [
        [own.revision, date_text(own.date), text]
        for own in publication.catalogue.printing.revisions
        for text in change_and_reasons(own)
    ]
    story: list[Flowable] = [Heading(wording.REVISION_RECORD()), data_table(header, body, width)]
    changes = publication.changes
    if changes is None:
        return story
    cells = list(_changed(publication))
    text = wording.CHANGED_SINCE(
        revision=changes.revision,
        date=date_text(changes.date),
        fingerprint=changes.fingerprint,
        changed=sum(not own.is_new for own in cells),
        new=sum(own.is_new for own in cells),
        total=sum(len(publication.windows(part)) for part in publication.parts),
        gone=int((changes.cells["change_kind"] == "removed").sum()) if len(changes.cells) else 0,
    )
    story += [Heading(wording.CHANGED_CELLS(), 2), paragraph(text)]
    return [*story, *(_tables(publication, cells, width) if cells else ())]


def _changed(publication: Publication) -> Iterator[_Cell]:
    """The changed cells of the tables that the booklet prints, if their printed figures changed."""
    for part in publication.parts:
        for row in changed_windows_of(publication, part):
            earlier, now = changed_texts(publication.formatter, row)
            yield _Cell(part=part, row=row, earlier=earlier, now=now)


def _tables(publication: Publication, cells: Sequence[_Cell], width: float) -> list[Flowable]:
    """How many cells and how far by table, then the cells of tables that are not new, those that moved most if they are too many."""
    formatter = publication.formatter
    by_part = {part: [c for c in cells if c.part == part] for part in dict.fromkeys(c.part for c in cells)}
    new = {part for part, own in by_part.items() if sum(c.is_new for c in own) == len(publication.windows(part))}
    summary = [
        [publication.full_title(part), str(len(own)), *([wording.NEW()] * 2 if part in new else _moves(own))]
        for part, own in by_part.items()
    ]
    # Chosen by how far they moved, shown in the order of the booklet.
    candidates = [i for i, c in enumerate(cells) if c.part not in new]
    shown = sorted(sorted(candidates, key=lambda i: -cells[i].weight)[:MOST_CELLS])
    body = [
        [publication.full_title(c.part), formatter.temperature(c.row.sst_k), c.row.size, c.earlier, c.now]
        for c in (cells[i] for i in shown)
    ]
    note = wording.CELLS_NOTE(unit=formatter.load_label)
    if len(shown) < len(cells):
        others = len(cells) - len(shown)
        note = wording.LARGEST_CHANGES(unit=formatter.load_label, count=len(shown), others=others)
    sst = wording.SST_COLUMN(unit=formatter.temperature_label)
    about = [wording.TABLE_COLUMN(), wording.CELLS(), wording.MINIMUM_MOVED(), wording.MAXIMUM_MOVED()]
    header = [wording.TABLE_COLUMN(), sst, wording.SIZE(), wording.WAS(), wording.NOW()]
    by_table = data_table(about, summary, width, numeric=range(1, 4), size=design.NOTE)
    if not shown:
        return [by_table]
    return [by_table, paragraph(note, "small"), data_table(header, body, width, numeric=range(1, 5), size=design.NOTE)]


def _moves(cells: Sequence[_Cell]) -> list[str]:
    """How far both limits moved."""
    return [percent_range([getattr(c.row, f"{limit}_load_change") for c in cells]) for limit in ("min", "max")]
