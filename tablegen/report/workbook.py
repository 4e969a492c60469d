"""The windows as a workbook for buyers: the data set's tables in the catalogue's own units.

Texts come from config files that others may have written: a spreadsheet must never take one for a formula.
"""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from pathlib import Path

import pandas as pd

from tablegen.dataset.dataset import DataSet
from tablegen.errors import PublishError
from tablegen.model.names import workbook_name
from tablegen.report.application_part import part_of_application
from tablegen.report.company_texts import caution_texts, workbook_footer
from tablegen.report.pages.back import numbers_of_size
from tablegen.report.publications.publication import Publication
from tablegen.report.table_conditions import TableConditions
from tablegen.report.workbook_find import first_sheet, sheets_behind
from tablegen.report.workbook_lookup import size_value, sizes_by_kv
from tablegen.report.xlsx import BOLD, TOP, Formula, Properties, Sheet, Value, Workbook, workbook_at
from tablegen.unit_table import CV_PER_KV
from tablegen.units import print_unit
from tablegen.wording import command_line, terms
from tablegen.wording import workbook as wording
from tablegen.wording.cautions import DISCLAIMER
from tablegen.wording.language import number

# A table with more rows takes a spreadsheet program many seconds to open and to sort.
MOST_ROWS = 100_000
_LIMITS = ("min", "max")


@dataclass(frozen=True, slots=True)
class _SheetColumn:
    """A column of a sheet: heading, unit, width [characters], and a value for each row."""

    heading: str
    unit: str
    width: float
    values: Iterable[Value]

    @property
    def head(self) -> str:
        """Heading and unit in one cell, so that the buttons of a filter are on the heading and no sort moves it."""
        return wording.with_unit(self.heading, self.unit)


def write_workbook(data: DataSet, target: Path) -> None:
    """Write the workbook, or one for each application beside one that links to them; the same data give the same bytes.

    Raises
    ------
    PublishError
        If the workbook of one application alone is too large.
    """
    if _most_rows(data) <= MOST_ROWS:
        _write(data, target)
        return
    applications = data.catalogue.applications
    for name, application in applications.items():
        rows = _most_rows(data, name)
        if rows > MOST_ROWS:
            given = {"application": application.title, "rows": f"{rows:,}", "most": f"{MOST_ROWS:,}"}
            raise PublishError(command_line.WORKBOOK_TOO_LARGE(**given))
    for name in applications:
        part = part_of_application(data, name)
        groups, sizes = data.group_windows, data.sizes
        own = replace(
            part,
            group_windows=groups[groups["application"] == name].reset_index(drop=True),
            sizes=sizes[sizes["family"].isin(part.catalogue.families)].reset_index(drop=True),
        )
        _write(own, target.with_name(workbook_name(name)))
    _write_links(data, target)


def _most_rows(data: DataSet, application: str = "") -> int:
    """The rows of the longer of the tables of windows, of one application or all."""
    tables = (data.windows["application"], data.group_windows["application"])
    return max(int((own == application).sum()) if application else len(own) for own in tables)


def _write_links(data: DataSet, target: Path) -> None:
    """Write a workbook that links to those of the applications."""
    publication = Publication.of(data)
    printing = publication.catalogue.printing
    footer = workbook_footer(printing, data.fingerprint)
    rows: list[tuple[Value, Value]] = [(printing.title, None), (wording.EACH_HAS_ITS_OWN(), None)]
    for name, application in publication.catalogue.applications.items():
        file = workbook_name(name)
        rows.append((application.title, Formula(f'HYPERLINK("{file}")', file)))
    with _book(publication, target) as book:
        book.write(
            Sheet(title=wording.WORKBOOKS(), widths=(60, 60), footer=footer), len(rows), (((0, 0), row) for row in rows)
        )
        _about(book, publication)
        _table(book, wording.SIZES(), _sizes(publication), footer)


def _book(publication: Publication, target: Path) -> AbstractContextManager[Workbook]:
    printing = publication.catalogue.printing
    return workbook_at(target, Properties(printing.title, printing.company.name, printing.notice, publication.date))


def _write(data: DataSet, target: Path) -> None:
    """Write a sheet that finds a size, one about the figures, group windows, windows and sizes."""
    publication = Publication.of(data)
    printing = publication.catalogue.printing
    with _book(publication, target) as book:
        find = first_sheet(book, publication)
        _about(book, publication)
        footer = workbook_footer(printing, data.fingerprint)
        _table(book, wording.GROUP_WINDOWS(), _group_windows(publication), footer)
        _table(book, wording.WINDOWS(), _windows(publication), footer)
        _table(book, wording.SIZES(), _sizes(publication), footer)
        if find is not None:
            sheets_behind(book, find)


def _about(book: Workbook, publication: Publication) -> None:
    """Where the figures come from, the point they are stated at, and what to be careful of."""
    formatter, catalogue = publication.formatter, publication.catalogue
    printing = catalogue.printing
    units = wording.UNITS_USED(
        system=formatter.system, load=formatter.load_label, temperature=formatter.temperature_label
    )
    rows = [
        (wording.TITLE(), printing.title),
        (wording.COMPANY(), printing.company.name),
        (wording.NOTICE(), printing.notice),
        (wording.REVISION(), printing.revision),
        (wording.DATE(), printing.date.isoformat()),
        (wording.FINGERPRINT(), publication.data.fingerprint),
        (wording.UNITS(), units),
        (wording.READING(), wording.HOW_TO_READ()),
    ]
    for name, parts in publication.applications():
        rating = TableConditions.of(publication, parts[0]).head("rating")
        group = catalogue.groups[parts[0].group].title
        label = wording.RATING_POINT(application=catalogue.applications[name].title)
        rows.append((label, wording.RATING_POINT_OF(rating=rating, group=group)))
    rows += [(wording.CAUTION(), caution) for caution in caution_texts(printing)]
    rows += [(DISCLAIMER(), printing.company.disclaimer)] if printing.company.disclaimer else []
    footer = workbook_footer(printing, publication.data.fingerprint)
    sheet = Sheet(title=wording.ABOUT(), widths=(34, 100), footer=footer)
    book.write(sheet, len(rows), (((BOLD + TOP, TOP), row) for row in rows))


def _group_windows(publication: Publication) -> list[_SheetColumn]:
    frame, groups = publication.data.group_windows, publication.catalogue.groups
    return [
        *_valve(publication, frame),
        _SheetColumn(wording.REFRIGERANTS(), "", 30, [groups[g].title for g in frame["group"].tolist()]),
        _SheetColumn(wording.MEMBERS(), "", 30, [", ".join(groups[g].members) for g in frame["group"].tolist()]),
        *_application(publication, frame),
        *_limits(publication, frame),
        *(_SheetColumn(wording.SET_BY[limit](), "", 14, frame[f"{limit}_member"].tolist()) for limit in _LIMITS),
    ]


def _windows(publication: Publication) -> list[_SheetColumn]:
    frame, formatter = publication.data.windows, publication.formatter
    charges = {
        (family.name, element.name): element.title
        for family in publication.catalogue.families.values()
        for element in family.elements
    }
    step = print_unit("temperature difference", formatter.system)
    fitted = [charges.get(key, key[1]) for key in zip(frame["family"].tolist(), frame["charge"].tolist(), strict=True)]
    middle = [_nearest(publication, load_w) for load_w in frame["middle_load_w"].tolist()]
    return [
        *_valve(publication, frame),
        _SheetColumn(wording.REFRIGERANT(), "", 13, frame["refrigerant"].tolist()),
        *_application(publication, frame),
        *_limits(publication, frame),
        _SheetColumn(wording.CHARGE(), "", 40, fitted),
        _SheetColumn(wording.MIDDLE_LOAD(), formatter.load_label, 11, middle),
        *(
            _SheetColumn(heading(), step.label, 13, _rounded(map(step.of, frame[column].tolist())))
            for column, heading in wording.SUPERHEATS.items()
        ),
    ]


def _sizes(publication: Publication) -> list[_SheetColumn]:
    frame, families = publication.data.sizes, publication.catalogue.families
    kv = [float(m3h) for m3h in frame["kv_rated_m3h"].tolist()]
    nominal = [_nearest(publication, capacity_w) for capacity_w in frame["nominal_capacity_w"].tolist()]
    part_numbers = [numbers_of_size(publication, *pair) for pair in zip(frame["family"], frame["size"], strict=True)]
    return [
        *_valve(publication, frame),
        _SheetColumn(wording.KV(), "m³/h", 11, kv),
        _SheetColumn(wording.CV(), "US gal/min", 11, [float(f"{m3h * CV_PER_KV:.3g}") for m3h in kv]),
        _SheetColumn(wording.NOMINAL_CAPACITY(), publication.formatter.load_label, 14, nominal),
        _SheetColumn(wording.PART_NUMBER(), "", 24, part_numbers),
        _SheetColumn(wording.FAMILY_TITLE(), "", 60, [families[f].title for f in frame["family"].tolist()]),
    ]


def _valve(publication: Publication, frame: pd.DataFrame) -> list[_SheetColumn]:
    """Family and size as they are printed, and where the size stands in its family, from the smallest up."""
    places = {
        (family.name, size.display_name): place
        for family in publication.catalogue.families.values()
        for place, size in enumerate(sizes_by_kv(family), start=1)
    }
    families, sizes = frame["family"].tolist(), frame["size"].tolist()
    return [
        _SheetColumn(wording.FAMILY(), "", 12, [publication.family(f) for f in families]),
        _SheetColumn(wording.SIZE(), "", 8, [size_value(size) for size in sizes]),
        _SheetColumn(wording.SIZE_PLACE(), "", 10, [places[pair] for pair in zip(families, sizes, strict=True)]),
    ]


def _application(publication: Publication, frame: pd.DataFrame) -> list[_SheetColumn]:
    applications = publication.catalogue.applications
    degrees = print_unit("temperature", publication.formatter.system)
    return [
        _SheetColumn(wording.APPLICATION(), "", 44, [applications[a].title for a in frame["application"].tolist()]),
        _SheetColumn(wording.SST(), degrees.label, 8, _rounded(map(degrees.of, frame["sst_k"].tolist()))),
    ]


def _limits(publication: Publication, frame: pd.DataFrame) -> list[_SheetColumn]:
    """Both loads as printed and what set them, or why there is no window."""
    formatter = publication.formatter
    loads: dict[str, list[float | None]] = {limit: [] for limit in _LIMITS}
    why: list[str] = []
    limits = (frame[column].tolist() for column in ("min_load_w", "max_load_w", "max_reason"))
    for min_w, max_w, reason in zip(*limits, strict=True):
        window = formatter.readable_window(min_w, max_w)
        why.append("" if window else terms.reason(reason) if math.isnan(max_w) else terms.NARROW())
        for limit, figure in zip(_LIMITS, window or (None, None), strict=True):
            loads[limit].append(None if figure is None else number(figure))
    columns = [_SheetColumn(wording.LOAD[limit](), formatter.load_label, 11, loads[limit]) for limit in _LIMITS]
    columns.append(_SheetColumn(wording.NO_WINDOW(), "", 20, why))
    for limit in _LIMITS:
        for heading, width, part, phrase in (
            (wording.SET_AT[limit], 13, "condition", functools.cache(terms.condition)),
            (wording.SET_BECAUSE[limit], 44, "reason", functools.cache(terms.reason)),
        ):
            names = zip(frame[f"{limit}_{part}"].tolist(), why, strict=True)
            columns.append(_SheetColumn(heading(), "", width, ["" if empty else phrase(name) for name, empty in names]))
    return columns


def _nearest(publication: Publication, watt: float) -> float | None:
    return None if math.isnan(watt) else number(publication.formatter.load(watt))


def _rounded(values: Iterable[float]) -> list[float | None]:
    """To a tenth; a zero without a sign."""
    return [None if math.isnan(v) else round(v, 1) + 0.0 for v in values]


def _table(book: Workbook, title: str, columns: Sequence[_SheetColumn], footer: tuple[str, str]) -> None:
    """A table on a sheet of its own."""
    rows = list(zip(*(column.values for column in columns), strict=True))
    widths = [column.width for column in columns]
    sheet = Sheet(title=title, widths=widths, frozen=(1, 2), filtered=1, repeated=1, footer=footer)
    bold, plain = ((style,) * len(columns) for style in (BOLD + TOP, 0))
    heading = (bold, [column.head for column in columns])
    book.write(sheet, len(rows) + 1, itertools.chain([heading], ((plain, row) for row in rows)))
