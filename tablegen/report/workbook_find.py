"""The workbook's first sheet: an application, a refrigerant, an SST and a load are chosen, and plain formulas find the sizes.

The rule is that of the phone page: the printed limits of the row, or the stricter ones of the rows on either side.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from tablegen.report import workbook_formulas as cells
from tablegen.report.company_texts import workbook_footer
from tablegen.report.publications.publication import Publication
from tablegen.report.workbook_formulas import FindSheets, write_calculation, write_lists, write_lookup
from tablegen.report.workbook_lookup import Lookup
from tablegen.report.workbook_opening import FoundAnswer, WindowVerdict
from tablegen.report.xlsx import BOLD, INPUT, LARGE, LEFT, NUMBER, TOP, Choice, Formula, Sheet, Value, Workbook
from tablegen.units import print_unit
from tablegen.wording import workbook as wording
from tablegen.wording.language import date_text

# Sizes listed at most.
_MOST_LISTED = 25
_WIDTHS = (42, 44, 22, 22, 16, 12, 24)
_Row = list[tuple[Value, int]]


def first_sheet(book: Workbook, publication: Publication) -> FindSheets | None:
    """Write the sheet; nothing where no size is offered for anything."""
    lookup = Lookup.of(publication)
    if not lookup.applications:
        return None
    sheets = FindSheets.of(lookup)
    rows = [*_inputs(publication, sheets), *_answer(publication, sheets), *_notes(publication)]
    footer = workbook_footer(publication.catalogue.printing, publication.data.fingerprint)
    sheet = Sheet(title=wording.FIND(), widths=_WIDTHS, footer=footer, choices=_choices(sheets))
    book.write(sheet, len(rows), map(_filled, rows))
    return sheets


def sheets_behind(book: Workbook, sheets: FindSheets) -> None:
    """Write the hidden sheets that the first one reads."""
    write_lists(book, sheets)
    write_lookup(book, sheets)
    write_calculation(book, sheets)


def _filled(row: _Row) -> tuple[Sequence[int], Sequence[Value]]:
    """The styles and the values of a row in all columns."""
    filled = row + [(None, 0)] * (len(_WIDTHS) - len(row))
    return [style for _, style in filled], [value for value, _ in filled]


def _inputs(publication: Publication, sheets: FindSheets) -> list[_Row]:
    """The rows down to the last input."""
    formatter, opening = publication.formatter, sheets.opening
    degrees, step = formatter.temperature_label, print_unit("temperature difference", formatter.system).label
    text, figure = INPUT, INPUT + NUMBER
    low, high, used = (sheets.value(row) for row in (cells.LOW, cells.HIGH, cells.TD_USED))
    application, sst = opening.application, opening.application.sst[opening.row]
    of_box = f'IF(ISNUMBER({sheets.asked(cells.BOX)}),{sheets.value(cells.SST_USED)},"")'
    rows: list[_Row] = [
        [(wording.FIND(), BOLD + LARGE)],
        [(publication.catalogue.printing.title, 0)],
        [(wording.FILL_IN(), 0)],
        [(wording.APPLICATION(), BOLD), (application.title, text)],
        [(wording.GROUP_OR_REFRIGERANT(), BOLD), (opening.block.subject, text)],
        [(wording.FAMILY(), BOLD), (wording.ALL_FAMILIES(), text)],
        [
            (wording.with_unit(wording.SST(), degrees), BOLD),
            (sst, figure),
            (wording.LOWEST_HIGHEST(), 0),
            (Formula(low, application.sst[0]), 0),
            (Formula(high, application.sst[-1]), 0),
        ],
        [
            (wording.with_unit(wording.BOX(), degrees), BOLD),
            (None, figure),
            (wording.SST_OF_BOX(), 0),
            (Formula(of_box, ""), 0),
        ],
        [
            (wording.with_unit(wording.TD(), step), BOLD),
            (None, figure),
            (wording.TD_STATED(), 0),
            (Formula(used, application.td or ""), 0),
        ],
        [(wording.with_unit(wording.LOAD_ASKED(), formatter.load_label), BOLD), (opening.load, figure)],
    ]
    stock = publication.catalogue.stock
    dated = [(wording.STOCK_OF(date=date_text(stock.date)), 0)] if stock and stock.date else []
    rows.append([(wording.STOCK_ONLY(), BOLD), (wording.YES(), text), *dated] if sheets.data.has_stock else [])
    return [*rows, []]


def _answer(publication: Publication, sheets: FindSheets) -> list[_Row]:
    """The verdict, the sizes that cover the load, and the nearest ones where none does."""
    opening, value, has_stock = sheets.opening, sheets.value, sheets.data.has_stock
    listed, fitting = opening.listed, opening.fitting
    valves = [row.valve for row in opening.block.rows]
    next_is = valves[fitting[0]] if has_stock and fitting and fitting[0] not in listed else ""
    code, best = value(cells.CODE), value(cells.BEST)
    first = f"IF({code}={FoundAnswer.COVERED:d},{sheets.nth(1)},0)"
    is_next = f"AND({code}>={FoundAnswer.COVERED:d},{best}>0,{best}<>{first},{value(cells.STOCK_ONLY)}=1)"
    unit = publication.formatter.load_label
    heads = [wording.VALVE(), wording.PART_NUMBER()]
    heads += [wording.with_unit(wording.LOAD[limit](), unit) for limit in ("min", "max")]
    heads += [wording.MARGIN(), *((wording.IN_STOCK(), wording.LOCATION()) if has_stock else ())]
    rows: list[_Row] = [
        [(wording.ANSWER(), BOLD), (Formula(sheets.said(code), wording.ANSWERS[opening.answer - 1]()), BOLD)],
        [
            (wording.FIRST_CHOICE(), BOLD),
            (Formula(_of_size(sheets, "B", first), valves[listed[0]] if listed else ""), BOLD),
        ],
        [
            (wording.NEXT_NOT_IN_STOCK(), 0),
            (Formula(_of_size(sheets, "B", f"IF({is_next},{best},0)"), next_is), 0),
        ]
        if has_stock
        else [],
        _rows_used(publication, sheets),
        [],
        [(head, BOLD + TOP) for head in heads],
    ]
    return rows + [_size_row(sheets, place) for place in range(1, min(_MOST_LISTED, sheets.most_sizes) + 1)]


def _rows_used(publication: Publication, sheets: FindSheets) -> _Row:
    """The suction temperatures of the rows that are read."""
    at, following = sheets.value(cells.AT), sheets.value(cells.NEXT)
    sst, start, opening = sheets.suction(), sheets.value(cells.SST_FROM), sheets.opening
    return [
        (wording.with_unit(wording.ROWS_USED(), publication.formatter.temperature_label), 0),
        (Formula(f'IF({at}=0,"",INDEX({sst},{start}+{at}-1))', opening.application.sst[opening.row]), LEFT),
        (Formula(f'IF({at}={following},"",INDEX({sst},{start}+{following}-1))', ""), 0),
        (Formula(f'IF({at}={following},"",{sheets.said(str(cells.STRICTER))})', ""), 0),
    ]


def _of_size(sheets: FindSheets, column: str, size: str) -> str:
    """What the limits have in a column for a size by its number; nothing for 0."""
    # An empty cell is a text and no zero.
    return f'IF({size}=0,"",{sheets.of_size(column, size)}&"")'


def _size_row(sheets: FindSheets, place: int) -> _Row:
    """The size in a place: valve, part numbers, limits, margin or why it does not fit, and what is in stock."""
    opening, size = sheets.opening, sheets.nth(place)
    shown = opening.shown[place - 1] if place <= len(opening.shown) else None
    row = None if shown is None else opening.block.rows[shown]
    limits: tuple[str | float, str | float] = ("", "")
    last: str | float = ""
    if shown is not None:
        own = opening.sizes[shown]
        limits = own.limits or limits
        # As printed elsewhere, a margin is never above itself.
        last = math.floor(round(100.0 * own.margin, 6)) / 100.0
        last = {WindowVerdict.TOO_SMALL: wording.TOO_SMALL(), WindowVerdict.TOO_LARGE: wording.TOO_LARGE()}.get(
            own.verdict, last
        )
    verdict, margin = (f"INDEX({sheets.each(column)},{size})" for column in "FG")
    small, large = (sheets.said(str(number)) for number in (cells.TOO_SMALL, cells.TOO_LARGE))
    why = f"IF({verdict}={WindowVerdict.TOO_SMALL:d},{small},{large})"
    found = [
        Formula(_of_size(sheets, "B", size), row.valve if row else ""),
        Formula(_of_size(sheets, "C", size), row.part_numbers if row else ""),
        *(
            Formula(f'IF({size}=0,"",INDEX({sheets.each(column)},{size}))', limit)
            for column, limit in zip("CD", limits, strict=True)
        ),
        Formula(f'IF({size}=0,"",IF({verdict}={WindowVerdict.FITS:d},INT(ROUND(100*{margin},6))/100,{why}))', last),
    ]
    if sheets.data.has_stock:
        found += [
            Formula(f'IF({size}=0,"",{sheets.of_size("D", size)})', row.stock if row else ""),
            Formula(_of_size(sheets, "E", size), row.location if row else ""),
        ]
    # Under their headings, for figures and words share columns.
    return [(own_formula, LEFT) for own_formula in found]


def _notes(publication: Publication) -> list[_Row]:
    """What the answer rests on."""
    texts = (wording.MARGIN_IS(), wording.LIMITS_PRINTED(), publication.catalogue.printing.notice)
    rows: list[_Row] = [[(text, 0)] for text in texts]
    return [[], *rows]


def _choices(sheets: FindSheets) -> list[Choice]:
    """What may be typed into each input."""
    value, lists = sheets.value, sheets.lists
    count = len(sheets.data.applications), len(sheets.data.families) + 1
    subjects = f"OFFSET({lists}!$H$1,MAX(1,{value(cells.BLOCK_FROM)}),0,MAX(1,{value(cells.BLOCK_COUNT)}),1)"
    sst = f"OFFSET({lists}!$G$1,MAX(1,{value(cells.SST_FROM)}),0,MAX(1,{value(cells.SST_COUNT)}),1)"
    said = [answer() for answer in wording.ANSWERS]
    found = [
        _list(cells.APPLICATION, sheets.listed("A", count[0]), said[0]),
        _list(cells.REFRIGERANT, subjects, said[1]),
        _list(cells.FAMILY, sheets.listed("L", count[1]), said[2]),
        Choice(cell=f"B{cells.SST}", kind="list", formula=sst, message=wording.BETWEEN_ROWS(), is_strict=False),
        Choice(
            cell=f"B{cells.BOX}",
            kind="decimal",
            formula=value(cells.BOX_LOW),
            upper=value(cells.BOX_HIGH),
            message=said[8],
        ),
        Choice(cell=f"B{cells.TD}", kind="decimal", formula="0", message=said[7]),
        Choice(cell=f"B{cells.LOAD}", kind="decimal", formula="0", message=said[9]),
    ]
    return [*found, _list(cells.STOCK, sheets.listed("M", 2), said[3])] if sheets.data.has_stock else found


def _list(row: int, cells_of_list: str, message: str) -> Choice:
    return Choice(cell=f"B{row}", kind="list", formula=cells_of_list, message=message)
