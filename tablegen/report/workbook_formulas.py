"""The hidden sheets behind the workbook's first one: lists to choose from, limits to look up, and the calculation.

Formulas contain no text of a catalogue or a language; they point to cells that have it.  They use functions that every
spreadsheet has had for long, and read the few rows of one application and refrigerant, however many there are.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, chain, zip_longest

from tablegen.report.workbook_lookup import SST_PLACES, Lookup
from tablegen.report.workbook_opening import TIE, FoundAnswer, OpeningCase, WindowVerdict
from tablegen.report.xlsx import BOLD, Formula, Sheet, Value, Workbook
from tablegen.report.xlsx_parts import letters
from tablegen.wording import workbook as wording

# Rows of the first sheet with its inputs, in column B.
APPLICATION, REFRIGERANT, FAMILY, SST, BOX, TD, LOAD, STOCK = range(4, 12)
# Numbers of other texts.
STRICTER, TOO_SMALL, TOO_LARGE = range(16, 19)
# Rows of the calculation with one value each.
_OWN, SST_FROM, SST_COUNT, _BLOCK, _ROW_FROM, _ROW_COUNT, _FAMILY_AT, TD_USED, SST_USED, LOW, HIGH = range(2, 13)
AT, NEXT, _LOAD_USED, STOCK_ONLY, _WRONG, CODE, FITTING, LISTED, BEST, SMALL, LARGE = range(13, 24)
BLOCK_FROM, BLOCK_COUNT, BOX_LOW, BOX_HIGH = range(24, 28)
# The first row with a size.
_SIZES = 30
_TEXTS = (*wording.ANSWERS, wording.STRICTER, wording.TOO_SMALL, wording.TOO_LARGE)
# Two temperatures nearer than this are one row.
_SAME = "1E-6"
# Two coil temperature differences nearer than this are one; both are rounded.
_NEAR_TD = "0.0101"
_PLACES = SST_PLACES


@dataclass(frozen=True, slots=True, kw_only=True)
class FindSheets:
    """Titles of the sheets as formulas name them, how long their lists are, and how many sizes a case may have."""

    find: str
    lists: str
    lookup: str
    calculation: str
    opening: OpeningCase

    @classmethod
    def of(cls, lookup: Lookup) -> FindSheets:
        """Those for a lookup that has applications."""
        titles = (wording.FIND(), wording.LISTS(), wording.LOOKUP(), wording.CALCULATION())
        find, lists, table, calculation = (Sheet(title=title, widths=()).quoted for title in titles)
        opening = OpeningCase.of(lookup)
        return cls(find=find, lists=lists, lookup=table, calculation=calculation, opening=opening)

    @property
    def data(self) -> Lookup:
        """What is looked up."""
        return self.opening.lookup

    @property
    def most_sizes(self) -> int:
        """How many sizes a case has at most."""
        return max(len(block.rows) for own in self.data.applications for block in own.blocks)

    def asked(self, row: int) -> str:
        """An input."""
        return f"{self.find}!$B${row}"

    def value(self, row: int) -> str:
        """A single value of the calculation."""
        return f"{self.calculation}!$B${row}"

    def each(self, column: str) -> str:
        """A column of the calculation, a cell for each size of the case."""
        return f"{self.calculation}!${column}${_SIZES}:${column}${_SIZES + self.most_sizes - 1}"

    def nth(self, place: int) -> str:
        """Which of the sizes is the one listed in a place, counted from 1; 0 where none is."""
        return f"{self.calculation}!$L${_SIZES + place - 1}"

    def listed(self, column: str, count: int, last: str = "") -> str:
        """A column of the lists, or several, below the heading."""
        return f"{self.lists}!${column}$2:${last or column}${count + 1}"

    def looked_up(self, column: str, last: str = "") -> str:
        """A column of the limits, or several, below the heading."""
        count = sum(len(block.rows) for own in self.data.applications for block in own.blocks)
        return f"{self.lookup}!${column}$2:${last or column}${count + 1}"

    def of_size(self, column: str, size: str) -> str:
        """What a column of the limits has for a size of the case, by its number."""
        return f"INDEX({self.looked_up(column)},INDEX({self.each('B')},{size}))"

    def said(self, number: str) -> str:
        """A text by its number."""
        return f"INDEX({self.listed('N', len(_TEXTS))},{number})"

    def suction(self) -> str:
        """The suction temperatures of all applications."""
        return self.listed("G", sum(len(own.sst) for own in self.data.applications))


def write_lists(book: Workbook, sheets: FindSheets) -> None:
    """The sheet with what is chosen from, where it starts and how long it is, and the answers."""
    data = sheets.data
    applications = data.applications
    blocks = [(i, block) for i, own in enumerate(applications, start=1) for block in own.blocks]
    columns: list[Sequence[Value]] = [
        [own.title for own in applications],
        [own.td for own in applications],
        _starts([len(own.sst) for own in applications]),
        [len(own.sst) for own in applications],
        _starts([len(own.blocks) for own in applications]),
        [len(own.blocks) for own in applications],
        [sst for own in applications for sst in own.sst],
        [block.subject for _, block in blocks],
        [i for i, _ in blocks],
        _starts([len(block.rows) for _, block in blocks]),
        [len(block.rows) for _, block in blocks],
        [wording.ALL_FAMILIES(), *data.families],
        [wording.YES(), wording.NO()],
        [text() for text in _TEXTS],
        [own.refused_td for own in applications],
    ]
    heads = (
        wording.APPLICATION(),
        wording.TD(),
        *[""] * 4,
        wording.SST(),
        wording.GROUP_OR_REFRIGERANT(),
        *[""] * 3,
        wording.FAMILY(),
        wording.STOCK_ONLY(),
        wording.ANSWER(),
        "",
    )
    rows = list(zip_longest(*columns))
    sheet = Sheet(title=wording.LISTS(), widths=[14] * len(columns), is_hidden=True)
    bold, plain = ((style,) * len(columns) for style in (BOLD, 0))
    book.write(sheet, len(rows) + 1, chain([(bold, heads)], ((plain, row) for row in rows)))


def write_lookup(book: Workbook, sheets: FindSheets) -> None:
    """The sheet with the limits of each size: its minimum loads at every SST of its application, then its maximum loads."""
    applications = sheets.data.applications
    rows = [row for own in applications for block in own.blocks for row in block.rows]
    most = max(len(own.sst) for own in applications)
    heads = [wording.FAMILY(), wording.VALVE(), wording.PART_NUMBER(), wording.IN_STOCK(), wording.LOCATION(), ""]
    heads += [wording.LOAD[limit]() for limit in ("min", "max") for _ in range(most)]
    plain, bold = ((style,) * len(heads) for style in (0, BOLD))

    def values() -> Iterator[tuple[Sequence[int], Sequence[Value]]]:
        yield bold, heads
        for row in rows:
            own: list[Value] = [row.family, row.valve, row.part_numbers, row.stock, row.location, int(row.is_in_stock)]
            unused: list[Value] = [None] * (most - len(row.windows))
            for limit in (0, 1):
                own += [window and window[limit] for window in row.windows] + unused
            yield plain, own

    sheet = Sheet(title=wording.LOOKUP(), widths=[12] * len(heads), is_hidden=True)
    book.write(sheet, len(rows) + 1, values())


def write_calculation(book: Workbook, sheets: FindSheets) -> None:
    """The sheet with the calculation: single values, then a row for each size of the case."""
    single = _single_values(sheets)
    rows: list[Sequence[Value]] = [[None] * 12 for _ in range(_SIZES - 1)]
    for row, formula in single.items():
        rows[row - 1] = [None, formula, *[None] * 10]
    rows += _sizes(sheets)
    sheet = Sheet(title=wording.CALCULATION(), widths=[12] * 12, is_hidden=True)
    plain = (0,) * 12
    book.write(sheet, len(rows), ((plain, row) for row in rows))


def _single_values(sheets: FindSheets) -> dict[int, Formula]:
    """The calculation's single values by row."""
    own, opening, data = sheets, sheets.opening, sheets.data
    asked, value = own.asked, own.value
    applications, application = len(data.applications), opening.application
    blocks = sum(len(a.blocks) for a in data.applications)
    families = len(data.families) + 1
    of_application = functools.partial(_one_of, count=applications)
    here, at = value(_OWN), value(AT)
    sst = own.suction()
    own_sst = f"INDEX({sst},{value(SST_FROM)}):INDEX({sst},{value(SST_FROM)}+{value(SST_COUNT)}-1)"
    used, low, high = value(SST_USED), value(LOW), value(HIGH)
    refused = of_application(own.listed("O", applications), here)
    stated = of_application(own.listed("B", applications), here)
    numbers = "".join(f',AND({asked(row)}<>"",NOT(ISNUMBER({asked(row)})))' for row in (SST, BOX, TD)).lstrip(",")
    wrong = [
        f"{here}=0",
        f"{value(_BLOCK)}=0",
        _is_no_family(own),
        f"{value(STOCK_ONLY)}<0",
        f"OR({numbers})",
        f'AND({asked(SST)}="",{asked(BOX)}="")',
        f'AND({asked(SST)}<>"",{asked(BOX)}<>"")',
        f'AND({asked(BOX)}<>"",NOT(ISNUMBER({value(TD_USED)})))',
        f"{at}=0",
        f"{value(_LOAD_USED)}=0",
        f'AND({asked(TD)}<>"",OR(AND({refused}>0,N({asked(TD)})<{stated}-{_NEAR_TD}),'
        f"AND({refused}=2,N({asked(TD)})>{stated}+{_NEAR_TD})))",
    ]
    code = "".join(f"IF({condition},{number}," for number, condition in enumerate(wrong, start=1))
    listed, fitting = len(opening.listed), len(opening.fitting)
    sizes, small, large = opening.sizes, opening.too_small, opening.too_large
    first_sst, last_sst, td = application.sst[0], application.sst[-1], application.td or 0.0
    choice = own.listed("M", 2)
    stock_only = f"IF({asked(STOCK)}=INDEX({choice},1),1,IF({asked(STOCK)}=INDEX({choice},2),0,-1))"
    row = opening.row + 1
    return {
        _OWN: Formula(_place(own.listed("A", applications), asked(APPLICATION)), 1),
        SST_FROM: Formula(of_application(own.listed("C", applications), here), 1),
        SST_COUNT: Formula(of_application(own.listed("D", applications), here), len(application.sst)),
        _BLOCK: Formula(
            f"SUMPRODUCT(({own.listed('H', blocks)}={asked(REFRIGERANT)})*({own.listed('I', blocks)}={here})"
            f"*(ROW({own.listed('H', blocks)})-1))",
            1,
        ),
        _ROW_FROM: Formula(_one_of(own.listed("J", blocks), value(_BLOCK), blocks), 1),
        _ROW_COUNT: Formula(_one_of(own.listed("K", blocks), value(_BLOCK), blocks), len(sizes)),
        _FAMILY_AT: Formula(_place(own.listed("L", families), asked(FAMILY)), 1),
        TD_USED: Formula(
            f'IF({asked(TD)}="",IF({stated}>0,{stated},""),IF(ISNUMBER({asked(TD)}),IF({asked(TD)}>0,{asked(TD)},""),""))',
            application.td or "",
        ),
        SST_USED: Formula(
            f'IF({asked(BOX)}="",IF(ISNUMBER({asked(SST)}),ROUND({asked(SST)},{_PLACES}),""),'
            f"IF(AND(ISNUMBER({asked(BOX)}),ISNUMBER({value(TD_USED)})),"
            f'ROUND({asked(BOX)}-{value(TD_USED)},{_PLACES}),""))',
            application.sst[opening.row],
        ),
        LOW: Formula(f'IF({here}=0,"",INDEX({sst},{value(SST_FROM)}))', first_sst),
        HIGH: Formula(f'IF({here}=0,"",INDEX({sst},{value(SST_FROM)}+{value(SST_COUNT)}-1))', last_sst),
        AT: Formula(
            f"IF({here}=0,0,IF(ISNUMBER({used}),IF(OR({used}<{low}-{_SAME},{used}>{high}+{_SAME}),0,"
            f"MATCH({used}+{_SAME},{own_sst},1)),0))",
            row,
        ),
        NEXT: Formula(
            f"IF({at}=0,0,IF(ABS(INDEX({sst},{value(SST_FROM)}+{at}-1)-{used})<{_SAME},{at},{at}+1))",
            row,
        ),
        _LOAD_USED: Formula(f"IF(ISNUMBER({asked(LOAD)}),MAX(0,{asked(LOAD)}),0)", opening.load),
        STOCK_ONLY: Formula(stock_only if data.has_stock else "0", int(data.has_stock)),
        _WRONG: Formula(f"{code}0{')' * len(wrong)}", 0),
        CODE: Formula(
            f"IF({value(_WRONG)}>0,{value(_WRONG)},IF({value(LISTED)}>0,{FoundAnswer.COVERED:d},IF({value(FITTING)}>0,{FoundAnswer.NOT_IN_STOCK:d},"
            f"IF(SUM({own.each('E')})>0,{FoundAnswer.NOT_COVERED:d},{FoundAnswer.NO_WINDOW:d}))))",
            int(opening.answer),
        ),
        FITTING: Formula(f"COUNT({own.each('H')})", fitting),
        LISTED: Formula(f"COUNT({own.each('I')})", listed),
        BEST: Formula(_first(own.each("H"), "MAX"), opening.fitting[0] + 1 if fitting else 0),
        SMALL: Formula(_first(own.each("J"), "MAX"), 0 if small is None else small + 1),
        LARGE: Formula(_first(own.each("K"), "MIN"), 0 if large is None else large + 1),
        BLOCK_FROM: Formula(of_application(own.listed("E", applications), here), 1),
        BLOCK_COUNT: Formula(of_application(own.listed("F", applications), here), len(application.blocks)),
        BOX_LOW: Formula(f"IF({here}=0,0,{low}+N({value(TD_USED)}))", first_sst + td),
        BOX_HIGH: Formula(f"IF({here}=0,0,{high}+N({value(TD_USED)}))", last_sst + td),
    }


def _is_no_family(sheets: FindSheets) -> str:
    """Whether the family asked for is none, or has no size for the refrigerant and application."""
    families, asked, start = sheets.looked_up("A"), sheets.value(_FAMILY_AT), sheets.value(_ROW_FROM)
    own = f"INDEX({families},{start}):INDEX({families},{start}+{sheets.value(_ROW_COUNT)}-1)"
    return f"IF({asked}=0,1,IF({asked}=1,0,SUMPRODUCT(({own}={asked}-1)*1)=0))"


def _sizes(sheets: FindSheets) -> Iterator[Sequence[Value]]:
    """A row of the calculation for each size of the case."""
    opening, value = sheets.opening, sheets.value
    sizes, listed = opening.sizes, opening.listed
    most = max(len(own.sst) for own in sheets.data.applications)
    windows = sheets.looked_up("G", letters(5 + 2 * most))
    families = sheets.looked_up("A")
    in_stock, load = sheets.looked_up("F"), value(_LOAD_USED)
    at, following = value(AT), value(NEXT)
    for number in range(1, sheets.most_sizes + 1):
        r = _SIZES + number - 1
        size = sizes[number - 1] if number <= len(sizes) else None
        limits = size.limits if size else None
        verdict = size.verdict if size else WindowVerdict.NO_WINDOW
        key = size.margin - number * TIE if size and verdict is WindowVerdict.FITS else ""
        is_listed = number - 1 in listed
        low = [f"INDEX({windows},B{r},{row})" for row in (at, following)]
        high = [f"INDEX({windows},B{r},{most}+{row})" for row in (at, following)]
        yield [
            number,
            Formula(
                f"IF(OR({value(_WRONG)}>0,A{r}>{value(_ROW_COUNT)}),0,{value(_ROW_FROM)}+A{r}-1)", number if size else 0
            ),
            Formula(f"IF(B{r}=0,0,IF(MIN(N({low[0]}),N({low[1]}))=0,0,MAX({low[0]},{low[1]})))", (limits or (0, 0))[0]),
            Formula(f"IF(C{r}=0,0,MIN({high[0]},{high[1]}))", (limits or (0, 0))[1]),
            Formula(
                f"IF(C{r}=0,0,IF(C{r}>=D{r},0,IF({value(_FAMILY_AT)}=1,1,"
                f"IF(INDEX({families},B{r})={value(_FAMILY_AT)}-1,1,0))))",
                int(limits is not None),
            ),
            Formula(
                f"IF(E{r}=0,0,IF({load}<C{r},{WindowVerdict.TOO_LARGE:d},IF({load}>D{r},{WindowVerdict.TOO_SMALL:d},{WindowVerdict.FITS:d})))",
                int(verdict),
            ),
            Formula(
                f"IF(F{r}={WindowVerdict.FITS:d},MIN({load}/C{r},D{r}/{load}),0)",
                size.margin if size else 0,
            ),
            Formula(f'IF(F{r}={WindowVerdict.FITS:d},G{r}-A{r}*{TIE:.0E},"")', key),
            Formula(
                f'IF(F{r}={WindowVerdict.FITS:d},IF({value(STOCK_ONLY)}*(1-INDEX({in_stock},MAX(1,B{r})))=1,"",H{r}),"")',
                key if is_listed else "",
            ),
            Formula(
                f'IF(F{r}={WindowVerdict.TOO_SMALL:d},D{r},"")',
                limits[1] if limits and verdict is WindowVerdict.TOO_SMALL else "",
            ),
            Formula(
                f'IF(F{r}={WindowVerdict.TOO_LARGE:d},C{r},"")',
                limits[0] if limits and verdict is WindowVerdict.TOO_LARGE else "",
            ),
            Formula(_shown(sheets, number), opening.shown[number - 1] + 1 if number <= len(opening.shown) else 0),
        ]


def _shown(sheets: FindSheets, number: int) -> str:
    """Which of the sizes is shown in a place: of those listed, or where none covers the load of the two nearest ones."""
    small, large = sheets.value(SMALL), sheets.value(LARGE)
    nearest = {1: f"IF({small}>0,{small},{large})", 2: f"IF({small}>0,{large},0)"}.get(number, "0")
    listed = f"IF({number}>{sheets.value(LISTED)},0,MATCH(LARGE({sheets.each('I')},{number}),{sheets.each('I')},0))"
    return f"IF({sheets.value(FITTING)}=0,{nearest},{listed})"


def _starts(counts: Sequence[int]) -> list[int]:
    """Where each of some lists begins, counted from 1, that follow each other."""
    return [1, *accumulate(counts, initial=1)][1:-1] if counts else []


def _place(cells: str, asked: str) -> str:
    """Where the cells have what is asked, counted from 1; 0 where they do not."""
    # MATCH would take signs in a text for wildcards.
    return f"SUMPRODUCT(({cells}={asked})*(ROW({cells})-1))"


def _one_of(cells: str, place: str, count: int) -> str:
    """The cell in a place, 0 where there is no place."""
    return f"IF({place}=0,0,INDEX({cells},MIN({count},{place})))"


def _first(cells: str, function: str) -> str:
    """Which of the cells has their highest or lowest number, counted from 1; 0 where none has any."""
    return f"IF(COUNT({cells})=0,0,MATCH({function}({cells}),{cells},0))"
