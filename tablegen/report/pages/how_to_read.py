"""How to read a window table: one window of the catalogue, step by step, on two facing pages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, PageBreak, Spacer

from tablegen.model.booklet_contents import CONFIDENCE
from tablegen.model.publications import Combination
from tablegen.report.condition_stations import condition_axis
from tablegen.report.formatter import DASH, percent
from tablegen.report.graphs.condition_strip import condition_strip
from tablegen.report.graphs.reading_graphs import (
    Excerpt,
    ExcerptRow,
    Lane,
    application_list,
    between_rows,
    load_on_ruler,
    most_columns,
    table_excerpt,
    two_limits,
)
from tablegen.report.pages.back import has_order_guide
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.page_references import referring
from tablegen.report.pdf.page_sides import LeftPage
from tablegen.report.pdf.panels import Beside
from tablegen.report.pdf.paragraphs import STYLES, sized
from tablegen.report.pdf.tables import facts
from tablegen.report.publications.application_pictograms import application_pictograms
from tablegen.report.publications.chapters import chapter_here, see
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import ExampleRow, WindowRow, is_same_temperature, rows_of
from tablegen.report.table_conditions import valve_facts
from tablegen.report.window_texts import example_rows, has_nominal, size_names, temperatures_of
from tablegen.units import print_unit
from tablegen.wording import booklet, booklet_pages, terms
from tablegen.wording import how_to_read as wording
from tablegen.wording.message import in_clauses, listed

# Sizes, rows and applications that are shown; share of the width for the number of a step; space around a step [pt].
_SIZES, _ROWS, _APPLICATIONS, _NUMBERS, _SPACE = 5, 5, 6, 0.06, 5.0
# Limits that are set where the valve cannot close further, by what it does below them.
_BELOW = {
    "stability": (wording.HUNTS, wording.TOO_LARGE_HUNTS),
    "hunts": (wording.HUNTS, wording.TOO_LARGE_HUNTS),
    "floodback": (wording.FLOODS, wording.TOO_LARGE_FLOODS),
}
_BELOW_OTHERS = wording.TOO_FAR_OPEN, wording.TOO_LARGE


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reading:
    """One load read from one table: its row, the sizes that are shown of it, the size that is chosen."""

    publication: Publication
    part: Combination
    refrigerant: str
    load_w: float
    sst_k: float
    rows: Sequence[WindowRow]
    across: Sequence[WindowRow]
    chosen: WindowRow

    @property
    def load(self) -> str:
        """The load as it is printed."""
        formatter = self.publication.formatter
        return formatter.with_load_unit(formatter.load(self.load_w))

    @property
    def sst(self) -> str:
        return self.publication.formatter.degrees(self.sst_k)

    def covers(self, row: WindowRow) -> bool:
        return row.min_load_w <= self.load_w <= row.max_load_w

    @property
    def fitting(self) -> str:
        """The sizes that cover the load."""
        return listed([row.size for row in self.across if self.covers(row)])

    def window(self, row: WindowRow) -> tuple[str, str]:
        """Limits as printed, the second with the unit."""
        minimum, maximum = self.publication.formatter.window(row.min_load_w, row.max_load_w)
        return minimum, self.publication.formatter.with_load_unit(maximum)


def how_to_read(publication: Publication, width: float) -> list[Flowable]:
    """A left and a right page; nothing where no example has a window."""
    reading = _reading(publication)
    if reading is None:
        return []
    catalogue, part = publication.catalogue, reading.part
    example = wording.EXAMPLE(
        refrigerant=reading.refrigerant, sst=reading.sst, load=reading.load, table=publication.full_title(part)
    )
    site = catalogue.applications[part.application].site_pressure_pa
    rating = publication.formatter.condition(publication.system(part).rating, site)
    row_text = wording.WHICH_ROW_TEXT
    if catalogue.applications[part.application].coil_temperature_difference_k is not None:
        row_text = wording.WHICH_ROW_BOX
    load_text = wording.WHICH_LOAD_TEXT(rating=rating, load=reading.load, sizes=reading.fitting)
    if has_nominal(catalogue, part.family):
        ton = publication.formatter.nominal_unit()
        load_text = " ".join((load_text, wording.NOMINAL_TEXT(), *([wording.TON(load=ton)] if ton else [])))
    choose, confidence = wording.CHOOSE_TEXT(size=reading.chosen.size), catalogue.confidence
    if confidence is not None and not confidence.is_printed:
        choose = f"{choose} {wording.CHOOSE_AT_CONFIDENCE(level=percent(confidence.level), see=see(publication, *CONFIDENCE))}"
    return [
        LeftPage(),
        Heading(wording.TITLE()),
        paragraph(wording.WHY()),
        paragraph(example, "continued"),
        *_application_step(reading, width),
        *_step(publication, "2", wording.WHICH_ROW(), row_text(sst=reading.sst)),
        *_step(publication, "3", wording.WHICH_LOAD(), load_text),
        _excerpt(reading, width),
        PageBreak(),
        *_step(publication, "4", wording.CHOOSE(), choose, chapter_here(publication, *CONFIDENCE)),
        _ruler(reading, width),
        *_step(publication, "5", wording.LIMITS(), wording.LIMITS_TEXT()),
        *_limits(reading, width),
        *_between(reading, width),
        *_order_step(reading, width),
        PageBreak(),
    ]


def _reading(publication: Publication) -> _Reading | None:
    """The example of the first table that has one."""
    for part in publication.parts:
        examples = rows_of(publication.rows(publication.data.example, part), ExampleRow)
        if not examples:
            continue
        first, rows = examples[0], publication.windows(part)
        across = [row for row in example_rows(publication, part, rows) if row.min_load_w < row.max_load_w]
        chosen = next(row for row in across if row.size == first.size)
        return _Reading(
            publication=publication,
            part=part,
            refrigerant=first.refrigerant,
            load_w=first.load_w,
            sst_k=first.sst_k,
            rows=rows,
            across=across,
            chosen=chosen,
        )
    return None


def _step(publication: Publication, number: str, title: str, text: str, chapter: str = "") -> Iterator[Flowable]:
    """A rule, the number of a step, what to do, and how it is here; with the page of a chapter that the text may name."""
    accent = HexColor(publication.catalogue.printing.company.accent or design.DEFAULT_ACCENT)
    numbered = sized(number, ParagraphStyle("number", STYLES["h2"], textColor=accent), design.TITLE)
    own = referring(text, chapter, STYLES["body"]) if chapter else paragraph(text)
    yield Spacer(1, _SPACE)
    yield Beside([numbered], [sized(title, STYLES["h2"], design.COMPANY), own], _NUMBERS, _SPACE)


def _application_step(reading: _Reading, width: float) -> Iterator[Flowable]:
    """The heads of the example's table on their axis, and what the pictograms stand for."""
    publication, part = reading.publication, reading.part
    application = publication.catalogue.applications[part.application].title
    text = wording.WHICH_TABLE_TEXT(application=application)
    yield from _step(publication, "1", wording.WHICH_TABLE(), text)
    keys = [name for name, _ in publication.applications()]
    # The own one and those around it, if they are too many.
    start = max(0, min(keys.index(part.application) - _APPLICATIONS // 2, len(keys) - _APPLICATIONS))
    shown = keys[start : start + _APPLICATIONS]
    names = [(publication.catalogue.applications[key].title, application_pictograms(publication, key)) for key in shown]
    own = shown.index(part.application)
    alt = wording.APPLICATIONS_ALT(applications=in_clauses(name for name, _ in names), application=application)
    yield DrawingFlowable(application_list(names, own, width), alt)
    yield Spacer(1, 2 * _SPACE)
    axis = condition_axis(publication, part)
    yield DrawingFlowable(condition_strip(axis, width), booklet_pages.STRIP_ALT(stations=axis.alt))


def _excerpt(reading: _Reading, width: float) -> Flowable:
    """The rows beside the example's, and the sizes beside the chosen one."""
    publication, part = reading.publication, reading.part
    formatter, application = publication.formatter, publication.catalogue.applications[part.application]
    names = size_names(reading.rows)
    count = min(_SIZES, most_columns([*names, *(_cell(reading, row) for row in reading.rows)], width))
    start = max(0, min(names.index(reading.chosen.size) - count // 2, len(names) - count))
    shown = names[start : start + count]
    temperatures = temperatures_of(reading.rows)
    place = next(i for i, kelvin in enumerate(temperatures) if is_same_temperature(kelvin, reading.sst_k))
    first = max(0, min(place - _ROWS // 2, len(temperatures) - _ROWS))
    kelvin, difference_k = temperatures[first : first + _ROWS], application.coil_temperature_difference_k
    printed = dict(zip(temperatures, formatter.temperatures(temperatures), strict=True))
    boxes = [""] * len(kelvin)
    if difference_k is not None:
        boxes = formatter.temperatures([own + difference_k for own in kelvin])
    windows = {(row.sst_k, row.size): row for row in reading.rows}
    degrees = formatter.temperature_label
    excerpt = Excerpt(
        sizes=shown,
        rows=[
            ExcerptRow(
                box=box,
                sst=printed[own],
                cells=[_cell(reading, windows[own, size]) for size in shown],
                is_own=own == temperatures[place],
            )
            for own, box in zip(kelvin, boxes, strict=True)
        ],
        covering=[reading.covers(windows[temperatures[place], size]) for size in shown],
        chosen=shown.index(reading.chosen.size),
        box_label="" if difference_k is None else booklet_pages.BOX_COLUMN(unit=degrees),
        sst_label=booklet_pages.SST_OF_TABLE(unit=degrees),
    )
    alt = wording.EXCERPT_ALT(
        table=publication.full_title(part),
        sst=reading.sst,
        size=reading.chosen.size,
        window=_range(*reading.window(reading.chosen)),
        sizes=reading.fitting,
        load=reading.load,
    )
    return DrawingFlowable(table_excerpt(excerpt, width), alt)


def _range(minimum: str, maximum: str) -> str:
    return terms.RANGE(low=minimum, high=maximum)


def _cell(reading: _Reading, row: WindowRow) -> str:
    limits = reading.publication.formatter.readable_window(row.min_load_w, row.max_load_w)
    return DASH.join(limits) if limits else DASH


def _ruler(reading: _Reading, width: float) -> Flowable:
    """Sizes that cover the load, and their neighbors, with what the load means to each."""
    formatter = reading.publication.formatter
    unit = print_unit("load", formatter.system, formatter.load_unit)
    fitting = [i for i, row in enumerate(reading.across) if reading.covers(row)]
    shown = reading.across[max(0, fitting[0] - 2) : fitting[-1] + 3]
    lanes = [
        Lane(
            name=row.size,
            low=unit.of(row.min_load_w),
            high=unit.of(row.max_load_w),
            limits=formatter.window(row.min_load_w, row.max_load_w),
            verdict=_verdict(reading, row),
            is_covering=reading.covers(row),
            is_chosen=row is reading.chosen,
        )
        for row in shown
    ]
    drawing = load_on_ruler(lanes, unit.of(reading.load_w), reading.load, width)
    texts = (
        wording.LANE_ALT(size=row.size, window=_range(*reading.window(row)), verdict=_verdict(reading, row))
        for row in shown
    )
    return DrawingFlowable(drawing, wording.RULER_ALT(load=reading.load, lanes=" ".join(texts)))


def _verdict(reading: _Reading, row: WindowRow) -> str:
    if reading.load_w > row.max_load_w:
        return wording.TOO_SMALL(condition=terms.at_condition(row.max_condition))
    if reading.load_w < row.min_load_w:
        _, message = _BELOW.get(row.min_reason, _BELOW_OTHERS)
        return message(condition=terms.at_condition(row.min_condition))
    return wording.LARGEST_MARGIN() if row is reading.chosen else wording.FITS()


def _limits(reading: _Reading, width: float) -> Iterator[Flowable]:
    """The chosen window between what is below and what is above it, and what sets each limit."""
    row = reading.chosen
    below = _BELOW.get(row.min_reason, _BELOW_OTHERS)[0]()
    words = below, wording.COVERS(), wording.STARVES()
    minimum, maximum = reading.window(row)
    alt = wording.LIMITS_ALT(minimum=minimum, maximum=maximum, below=words[0], inside=words[1], above=words[2])
    yield DrawingFlowable(two_limits((minimum, maximum), words, width), alt)
    reasons = [
        message(size=row.size, condition=terms.at_condition(condition), reason=terms.reason(reason))
        for message, condition, reason in (
            (wording.MINIMUM_SET, row.min_condition, row.min_reason),
            (wording.MAXIMUM_SET, row.max_condition, row.max_reason),
        )
    ]
    yield paragraph(" ".join(reasons))
    yield paragraph(wording.OTHER_LOSSES())


def _between(reading: _Reading, width: float) -> Iterator[Flowable]:
    """The chosen size in its row and in the row beside it; nothing where there is one row."""
    publication, formatter = reading.publication, reading.publication.formatter
    unit = print_unit("load", formatter.system, formatter.load_unit)
    others = [row for row in reading.rows if row.size == reading.chosen.size and row.min_load_w < row.max_load_w]
    others = sorted(
        (row for row in others if row.sst_k != reading.sst_k), key=lambda own: abs(own.sst_k - reading.sst_k)
    )
    if not others:
        return
    pair = sorted((reading.chosen, others[0]), key=lambda own: -own.sst_k)
    low, high = max(row.min_load_w for row in pair), min(row.max_load_w for row in pair)
    if low >= high:
        return
    names = [formatter.degrees(row.sst_k) for row in pair]
    minimum, maximum = formatter.window(low, high)
    window = _range(minimum, formatter.with_load_unit(maximum))
    text = wording.BETWEEN_TEXT(first=names[0], second=names[1], size=reading.chosen.size, window=window)
    yield from _step(publication, "6", wording.BETWEEN(), text)
    lanes = [
        Lane(
            name=wording.ROW_NAME(sst=name),
            low=unit.of(row.min_load_w),
            high=unit.of(row.max_load_w),
            limits=formatter.window(row.min_load_w, row.max_load_w),
        )
        for name, row in zip(names, pair, strict=True)
    ]
    drawing = between_rows(lanes, (unit.of(low), unit.of(high)), width)
    yield DrawingFlowable(drawing, wording.BETWEEN_ALT(size=reading.chosen.size, window=window))


def _order_step(reading: _Reading, width: float) -> Iterator[Flowable]:
    """What is ordered: size, charge or drive, valve."""
    publication, part = reading.publication, reading.part
    text = wording.ORDER_TEXT()
    if "order_guide" in publication.contents.sections and has_order_guide(publication):
        text = f"{text} {wording.ORDER_STATES()}"
    yield from _step(publication, "7", wording.ORDER(), text, booklet.ORDER_GUIDE())
    valve = wording.ORDERED(family=publication.family(part.family), size=reading.chosen.size)
    yield facts([(wording.ORDER_VALVE(), valve), *valve_facts(publication, part)], width, design.TABLE)
