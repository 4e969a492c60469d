"""The XML of a workbook's parts: what a sheet has beside its cells, styles, names, and how the parts refer to each other."""

from __future__ import annotations

import datetime
import html
import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

# What XML has no way to write; half a pair of surrogates is no character.
_NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_NBSP, _LONGEST = "\N{NO-BREAK SPACE}", 32767
# Readers take this for a character by its number; so does what it is written with here, for the underscore.
_ESCAPE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_SPREADSHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_DATE = "%Y-%m-%dT%H:%M:%SZ"
# Styles are counted in bits: one that is bold and wraps its text at the top of the cell is the sum of both.  What is
# typed into an input cell is a text, whatever it begins with, unless the style is also a number's.
BOLD, TOP, QUOTED, LARGE, INPUT, NUMBER, LEFT, MONEY = 1, 2, 4, 8, 16, 32, 64, 128
_STYLES = 256
# The format's own numbers for texts, and for figures with two decimals.
_AS_TEXT, _TWO_DECIMALS = 49, 4
# Of a line of a wrapped text [points], and of its letters and those of a heading in widths of a column.
_LINE, LETTER_WIDTH, _BOLD_WIDTH = 15, 1.05, 1.15
_HIDDEN = ' state="hidden"'
# Of a footer, with its codes; and of the texts of a cell's rule.
_LONGEST_FOOTER, _LONGEST_TITLE, _LONGEST_HINT = 255, 32, 255


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What may be typed into a cell.

    Attributes
    ----------
    cell : str
    kind : str
        "list", "decimal" or "custom", as the format calls them.
    formula : str
        The range of the list, the lowest number, or a condition.
    upper : str
        The highest number; without one, any above the lowest.
    message : str
        What the message says if something else is typed.
    is_strict : bool
        Whether something else is refused, or only asked about.
    """

    cell: str
    kind: str
    formula: str
    upper: str = ""
    message: str = ""
    is_strict: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet; on paper it lies on its side, as wide as the page.

    Attributes
    ----------
    title : str
    widths : sequence of float
        Of each column [characters].
    frozen : tuple of int
        Rows and columns that stay in view.
    filtered : int
        The row with the buttons of a filter, counted from 1; 0 for none. Rows above and it are not sorted.
    repeated : int
        How many rows from the first stand on top of every printed page.
    footer : tuple of str
        At the left and in the center of every printed page, whose number is at the right.
    choices : sequence of Choice
    is_hidden : bool
    printed : int
        How many columns, from the first, are printed; 0 for all.
    sums : int
        Rows at the end that a filter leaves in place.
    """

    title: str
    widths: Sequence[float]
    frozen: tuple[int, int] = (0, 0)
    filtered: int = 0
    repeated: int = 0
    footer: tuple[str, str] = ("", "")
    choices: Sequence[Choice] = ()
    is_hidden: bool = False
    printed: int = 0
    sums: int = 0

    @property
    def quoted(self) -> str:
        """The title as formulas name it."""
        return "'" + clean(self.title).replace("'", "''") + "'"


def letters(column: int) -> str:
    """The name of a column, counted from 0: A to Z, then AA."""
    return (letters(column // 26 - 1) if column >= 26 else "") + chr(ord("A") + column % 26)


def clean(text: str) -> str:
    """What a cell may contain; a space that does not break is for paper."""
    return _NOT_XML.sub("", text.replace(_NBSP, " "))[:_LONGEST]


def escaped(text: str) -> str:
    """A text as XML writes it."""
    return html.escape(_ESCAPE.sub("_x005F_", clean(text)))


def row_height(widths: Sequence[float], styles: Sequence[int], values: Sequence[object]) -> str:
    """The height of a row whose texts are wrapped; not every reader finds it by itself."""
    if not any(style & TOP for style in styles):
        return ""
    lines = (
        sum(
            len(textwrap.wrap(line, max(1, int(width / (_BOLD_WIDTH if style & BOLD else LETTER_WIDTH))))) or 1
            for line in clean(value).splitlines()
        )
        for width, style, value in zip(widths, styles, values, strict=True)
        if style & TOP and isinstance(value, str)
    )
    return f' ht="{_LINE * max(lines, default=1)}" customHeight="1"'


def sheet_head(sheet: Sheet, rows: int, is_first: bool) -> str:
    """A sheet up to its rows."""
    selected = ' tabSelected="1"' if is_first else ""
    view = f'<sheetView{selected} workbookViewId="0"/>'
    if any(sheet.frozen):
        view = f'<sheetView{selected} workbookViewId="0">{_pane(*sheet.frozen)}</sheetView>'
    widths = "".join(
        f'<col min="{i}" max="{i}" width="{width:g}" customWidth="1"/>' for i, width in enumerate(sheet.widths, start=1)
    )
    area = f"A1:{letters(len(sheet.widths) - 1)}{max(rows, 1)}"
    return (
        f'{HEAD}<worksheet xmlns="{_MAIN}"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr><dimension ref="{area}"/>'
        f'<sheetViews>{view}</sheetViews><sheetFormatPr defaultRowHeight="15"/><cols>{widths}</cols><sheetData>'
    )


def _pane(rows: int, columns: int) -> str:
    """The part of a sheet that moves below and beside what is frozen."""
    corner = f"{letters(columns)}{rows + 1}"
    splits = (f' xSplit="{columns}"' if columns else "") + (f' ySplit="{rows}"' if rows else "")
    panes = [("topRight", columns), ("bottomLeft", rows), ("bottomRight", rows and columns)]
    own = [name for name, is_there in panes if is_there]
    selections = "".join(
        f'<selection pane="{name}"' + (f' activeCell="{corner}" sqref="{corner}"/>' if name == own[-1] else "/>")
        for name in own
    )
    return f'<pane{splits} topLeftCell="{corner}" activePane="{own[-1]}" state="frozen"/>{selections}'


def sheet_tail(sheet: Sheet, rows: int) -> str:
    """A sheet after its rows."""
    last = letters(len(sheet.widths) - 1)
    buttons = f'<autoFilter ref="A{sheet.filtered}:{last}{rows - sheet.sums}"/>' if sheet.filtered else ""
    rules = "".join(map(_rule, sheet.choices))
    rules = f'<dataValidations count="{len(sheet.choices)}">{rules}</dataValidations>' if rules else ""
    return (
        f"</sheetData>{buttons}{rules}"
        '<pageMargins left="0.5" right="0.5" top="0.6" bottom="0.75" header="0.3" footer="0.3"/>'
        '<pageSetup orientation="landscape" fitToWidth="1" fitToHeight="0"/>'
        f"<headerFooter><oddFooter>{_footer(*sheet.footer)}</oddFooter></headerFooter></worksheet>"
    )


def _rule(choice: Choice) -> str:
    operator = "" if choice.upper or choice.kind != "decimal" else ' operator="greaterThan"'
    second = f"<formula2>{escaped(choice.upper)}</formula2>" if choice.upper else ""
    style = "" if choice.is_strict else ' errorStyle="warning"'
    said = f' error="{escaped(choice.message[:_LONGEST_HINT])}"' if choice.message else ""
    return (
        f'<dataValidation type="{choice.kind}"{style}{operator} allowBlank="1" showInputMessage="1" '
        f'showErrorMessage="1"{said} sqref="{choice.cell}"><formula1>{escaped(choice.formula)}</formula1>{second}'
        "</dataValidation>"
    )


def _footer(left: str, center: str) -> str:
    """The line at the foot of a page; its texts are cut where it would be longer than a reader allows."""
    page = "&R&P / &N"
    own_left = _footer_text(left, _LONGEST_FOOTER // 2)
    head = f"&L{own_left}&C" if own_left else "&C"
    return escaped(head + _footer_text(center, _LONGEST_FOOTER - len(head) - len(page)) + page)


def _footer_text(text: str, most: int) -> str:
    """A text in a footer, where `&` begins a code."""
    doubled = clean(text).replace("\n", " ").replace("&", "&&")
    if len(doubled) <= most:
        return doubled
    # No code is cut in two.
    cut = doubled[: most - 1]
    odd = (len(cut) - len(cut.rstrip("&"))) % 2
    return cut[: len(cut) - odd] + "\N{HORIZONTAL ELLIPSIS}"


def shared(texts: Iterable[str]) -> str:
    """The texts of all cells."""
    items = "".join(f'<si><t xml:space="preserve">{text}</t></si>' for text in texts)
    return f'<sst xmlns="{_MAIN}">{items}</sst>'


def styles() -> str:
    """Every sum of the style bits."""
    font = '<name val="Calibri"/><family val="2"/>'
    fonts = [f'<font>{bold}<sz val="{size}"/>{font}</font>' for size in (11, 14) for bold in ("", "<b/>")]
    edges = "".join(f'<{side} style="thin"><color auto="1"/></{side}>' for side in ("left", "right", "top", "bottom"))
    cells = "".join(map(_cell_style, range(_STYLES)))
    return (
        f'<styleSheet xmlns="{_MAIN}"><fonts count="4">{"".join(fonts)}</fonts>'
        '<fills count="3"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill>'
        '<fill><patternFill patternType="solid"><fgColor rgb="FFFFF7D6"/></patternFill></fill></fills>'
        '<borders count="2"><border><left/><right/><top/><bottom/><diagonal/></border>'
        f"<border>{edges}<diagonal/></border></borders>"
        '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
        f'<cellXfs count="{_STYLES}">{cells}</cellXfs>'
        '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
    )


def _cell_style(style: int) -> str:
    font = (style & BOLD) + (2 if style & LARGE else 0)
    is_input = bool(style & INPUT)
    # Texts and figures of a form stand one below the other.
    aligned = (' horizontal="left"' if style & (LEFT + INPUT) else "") + (
        ' vertical="top" wrapText="1"' if style & TOP else ""
    )
    form = _TWO_DECIMALS if style & MONEY else _AS_TEXT if is_input and not style & NUMBER else 0
    return (
        f'<xf numFmtId="{form}" fontId="{font}" fillId="{2 * is_input}" borderId="{1 * is_input}" xfId="0"'
        + (' quotePrefix="1"' if style & QUOTED else "")
        + (' applyFont="1"' if font else "")
        + (' applyNumberFormat="1"' if style & MONEY and not is_input else "")
        + (' applyNumberFormat="1" applyFill="1" applyBorder="1"' if is_input else "")
        + (f' applyAlignment="1"><alignment{aligned}/></xf>' if aligned else "/>")
    )


def book(sheets: Sequence[tuple[Sheet, int]]) -> str:
    """The list of sheets with the number of rows of each, and their areas that have names."""
    listed = "".join(
        f'<sheet name="{escaped(sheet.title)}" sheetId="{i}"{_HIDDEN if sheet.is_hidden else ""} r:id="rId{i}"/>'
        for i, (sheet, _) in enumerate(sheets, start=1)
    )
    names: list[str] = []
    for i, (sheet, rows) in enumerate(sheets):
        if sheet.filtered:
            area = f"$A${sheet.filtered}:${letters(len(sheet.widths) - 1)}${rows - sheet.sums}"
            names.append(_name("_xlnm._FilterDatabase", i, f"{sheet.quoted}!{area}", ' hidden="1"'))
        if sheet.printed:
            names.append(_name("_xlnm.Print_Area", i, f"{sheet.quoted}!$A$1:${letters(sheet.printed - 1)}${rows}"))
        if sheet.repeated:
            names.append(_name("_xlnm.Print_Titles", i, f"{sheet.quoted}!$1:${sheet.repeated}"))
    defined = f"<definedNames>{''.join(names)}</definedNames>" if names else ""
    return (
        f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}"><bookViews><workbookView/></bookViews>'
        f'<sheets>{listed}</sheets>{defined}<calcPr fullCalcOnLoad="1"/></workbook>'
    )


def _name(name: str, sheet: int, area: str, more: str = "") -> str:
    return f'<definedName name="{name}" localSheetId="{sheet}"{more}>{escaped(area)}</definedName>'


def core(title: str, creator: str, description: str, date: datetime.date) -> str:
    """What the workbook says about itself."""
    stamp = datetime.datetime.combine(date, datetime.time()).strftime(_DATE)
    dates = "".join(
        f'<dcterms:{name} xsi:type="dcterms:W3CDTF">{stamp}</dcterms:{name}>' for name in ("created", "modified")
    )
    return (
        f'<cp:coreProperties xmlns:cp="{_PACKAGE}/metadata/core-properties" xmlns:dc="http://purl.org/dc/elements/1.1/" '
        'xmlns:dcterms="http://purl.org/dc/terms/" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">'
        f"<dc:title>{escaped(title)}</dc:title><dc:creator>{escaped(creator)}</dc:creator>"
        f"<dc:description>{escaped(description)}</dc:description>{dates}</cp:coreProperties>"
    )


def book_relations(sheets: int) -> str:
    """What the list of sheets refers to."""
    return _relations(
        [
            *((f"{_OFFICE}/worksheet", f"worksheets/sheet{i}.xml") for i in range(1, sheets + 1)),
            (f"{_OFFICE}/styles", "styles.xml"),
            (f"{_OFFICE}/sharedStrings", "sharedStrings.xml"),
        ]
    )


def package_relations() -> str:
    """Where a reader begins."""
    return _relations(
        [
            (f"{_OFFICE}/officeDocument", "xl/workbook.xml"),
            (f"{_PACKAGE}/relationships/metadata/core-properties", "docProps/core.xml"),
        ]
    )


def _relations(targets: Iterable[tuple[str, str]]) -> str:
    items = "".join(
        f'<Relationship Id="rId{i}" Type="{kind}" Target="{target}"/>' for i, (kind, target) in enumerate(targets, 1)
    )
    return f'<Relationships xmlns="{_PACKAGE}/relationships">{items}</Relationships>'


def content_types(sheets: int) -> str:
    """What kind each part is of."""
    own = {
        "/xl/workbook.xml": f"{_SPREADSHEET}.sheet.main+xml",
        **{f"/xl/worksheets/sheet{i}.xml": f"{_SPREADSHEET}.worksheet+xml" for i in range(1, sheets + 1)},
        "/xl/styles.xml": f"{_SPREADSHEET}.styles+xml",
        "/xl/sharedStrings.xml": f"{_SPREADSHEET}.sharedStrings+xml",
        "/docProps/core.xml": "application/vnd.openxmlformats-package.core-properties+xml",
    }
    items = "".join(f'<Override PartName="{name}" ContentType="{kind}"/>' for name, kind in own.items())
    return (
        f'<Types xmlns="{_PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Default Extension="xml" ContentType="application/xml"/>{items}</Types>'
    )
