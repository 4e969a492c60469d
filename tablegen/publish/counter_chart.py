"""The counter chart: one page a refrigerant group, to be read from a metre away, in black alone."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from pathlib import Path
from typing import IO, Any

import pandas as pd

from tablegen.catalogue.dataset import DataSet
from tablegen.errors import PublishError
from tablegen.publish import fonts
from tablegen.publish.edition import Edition, Part
from tablegen.publish.heads_text import charge_text, head_text, losses_text, superheat_text
from tablegen.publish.page import BLACK, Document, Heading, paragraph
from tablegen.publish.rounding import round_half_even
from tablegen.publish.structure import COLUMN, ROW, Tags, tags
from tablegen.publish.tables import facts
from tablegen.publish.wording import DASH, Words
from tablegen.units import print_unit

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, PageBreak

# A capital of 4.7 mm is legible from a metre away (16 minutes of arc); the lowest digits, 1 and 4, are
# 3 % lower than the face's capitals.
_SIZE = 4.7 * 72.0 / 25.4 / (0.97 * fonts.CAP_HEIGHT)
_SMALL, _LABEL = 11.0, 15.0
_ROW = 27.0
_HEAD = 34.0
_LABEL_WIDTH = 104.0
_HEAVY, _THIN = 2.2, 0.35
CAUTION = (
    "Refrigerants are under pressure and some burn: local codes, the equipment maker's instructions and licensed "
    "practice come first. The chart holds only for the conditions below; measure superheat at the running system."
)


def print_counter_chart(data: DataSet, name: str, target: Path | IO[bytes]) -> int:
    """Print one counter chart of a data set; return its number of pages.

    Raises
    ------
    PublishError
        If the chart has no cell, a text does not fit its place or a glyph is missing.
    """
    edition, chart = Edition.printed(data, "charts", name)
    document = Document(
        target, edition.paper(chart), chart["title"], date=edition.date, notice=edition.printing["notice"],
        author=chart["house"], subject="Counter chart of expansion valve sizes", keywords=list(chart["groups"]),
    )  # fmt: skip
    story: list[Flowable] = []
    for group in chart["groups"]:
        if story:
            story.append(PageBreak())
        story += _page(edition, chart, group, document.frame_width)
    return document.build(story)


def _page(edition: Edition, chart: dict[str, Any], group: str, width: float) -> list[Flowable]:
    part = Part(chart["family"], group, chart["envelope"])
    of_part = edition.rows(edition.data.charts, part)
    cells: pd.DataFrame = of_part[of_part["edition"] == chart["printed"]["name"]]
    if cells.empty or not (cells["first_size"] != "").any():
        raise PublishError(f"{chart['printed']['name']}: no size in stock serves {group}; the chart would be empty")
    words = edition.words
    family = edition.inputs["families"][part.family]["title"]
    return [
        paragraph(f"{chart['house']} – telephone {chart['telephone']}", "house"),
        Heading(edition.inputs["groups"][group]["title"]),
        paragraph(f"{chart['title']}: {family}, {edition.envelope(part.envelope)['title'].lower()}"),
        ChartFlowable(_cells(cells, words), words),
        paragraph(_unserved(cells, words), "small"),
        *(paragraph(text, "step", mark=str(i)) for i, text in enumerate(_steps(edition, chart), start=1)),
        paragraph(CAUTION, "small"),
        facts(_conditions(edition, part), width, 8.0),
    ]


def _cells(cells: pd.DataFrame, words: Words) -> dict[str, Any]:
    """Rows by load, greatest first; columns by suction temperature, coldest first."""
    loads = sorted({(float(a), float(b)) for a, b in zip(cells["load_above_w"], cells["load_upto_w"], strict=True)})
    columns = sorted({(float(a), float(b)) for a, b in zip(cells["sst_from_k"], cells["sst_to_k"], strict=True)})
    by = {
        (float(r["load_above_w"]), float(r["sst_from_k"])): (str(r["first_size"]), str(r["second_size"]))
        for _, r in cells.iterrows()
    }
    # Rows above and below which nothing is served say nothing.
    served = [i for i, (above, _) in enumerate(loads) if any(by[above, low][0] for low, _ in columns)]
    loads = loads[served[0] : served[-1] + 1]
    return {
        "rows": [(_load_range(a, b, words), [by[a, low] for low, _ in columns]) for a, b in reversed(loads)],
        "columns": [f"{words.temperature(a)} to {words.temperature(b)}" for a, b in columns],
    }


def _load_range(above_w: float, upto_w: float, words: Words) -> str:
    unit = print_unit("load", words.system, words.load_unit)
    return f"{_plain(unit.of(above_w))}{DASH}{_plain(unit.of(upto_w))}"


def _plain(value: float) -> str:
    """A step of the ladder without trailing zeros."""
    text = round_half_even(value)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _unserved(cells: pd.DataFrame, words: Words) -> str:
    """The loads between the stock's least and greatest that no size kept serves, by column."""
    start = f"Loads in {words.load_label} at the rating point."
    columns = 0
    where: dict[str, list[str]] = {}
    for edges, column in cells.groupby(["sst_from_k", "sst_to_k"]):
        columns += 1
        low, high = map(float, edges)  # type: ignore[arg-type]
        name = f"{words.temperature(low)} to {words.degrees(high)}"
        rows = column.sort_values("load_above_w")
        is_served = (rows["first_size"] != "").tolist()
        if not any(is_served):
            where.setdefault("any load", []).append(name)
            continue
        first, last = is_served.index(True), len(is_served) - 1 - is_served[::-1].index(True)
        gaps = [i for i in range(first, last) if not is_served[i]]
        for _, run in itertools.groupby(enumerate(gaps), lambda pair: pair[1] - pair[0]):
            places = [i for _, i in run]
            above, upto = rows["load_above_w"].iloc[places[0]], rows["load_upto_w"].iloc[places[-1]]
            where.setdefault(_load_range(float(above), float(upto), words), []).append(name)
    if not where:
        return f"{start} Every load between the ends of the chart is served from stock."
    parts = [span if len(names) == columns else f"{span} at {' and '.join(names)}" for span, names in where.items()]
    return f"{start} Not served from stock between the ends of the chart: {'; '.join(parts)}."


def _steps(edition: Edition, chart: dict[str, Any]) -> Sequence[str]:
    words = edition.words
    rating = edition.envelope(chart["envelope"])["envelopes"]
    point = next(iter(rating.values()))["rating"]
    liquid = words.degrees(point["liquid"]["temperature_k"])
    return (
        f"Load: the system's capacity at its rating point (liquid {liquid}). Take the row whose first figure is below "
        "it and whose second is not.",
        f"Temperature: the saturated suction temperature (SST, dew point) in {words.temperature_label}. Take the "
        "column that holds it.",
        "The large figure is the size; the small one beside it fits too. An empty cell: nothing in stock holds all of "
        "it, so ask.",
    )


def _conditions(edition: Edition, part: Part) -> list[tuple[str, str]]:
    return [
        ("Low head", head_text(edition, part, "low_head")),
        ("High head", head_text(edition, part, "high_head")),
        ("Losses", losses_text(edition, part)),
        ("Superheat", superheat_text(edition, part)),
        ("Charge", charge_text(edition, part)),
        ("Data", f"{edition.data.fingerprint}, revision {edition.printing['revision']}, {edition.date.isoformat()}"),
    ]


class ChartFlowable(Flowable):
    """Rows of sizes with a heavy frontier wherever the first choice changes."""

    def __init__(self, cells: dict[str, Any], words: Words) -> None:
        super().__init__()
        self.rows, self.columns = cells["rows"], cells["columns"]
        self.corner = (f"load, {words.load_label}", f"SST, {words.temperature_label}")
        self.spaceBefore, self.spaceAfter = 4.0, 6.0
        for text in (*self.columns, *(t for label, row in self.rows for t in (label, *itertools.chain(*row)))):
            fonts.check_glyphs(text, fonts.BOLD)

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as the frame, as high as its rows."""
        self.width = aW
        self.height = _HEAD + _ROW * len(self.rows)
        return aW, self.height

    def draw(self) -> None:
        """Set labels, sizes, thin rules and the frontier."""
        canvas: Any = self.canv
        step = (self.width - _LABEL_WIDTH) / len(self.columns)
        edges = [_LABEL_WIDTH + step * j for j in range(len(self.columns) + 1)]
        canvas.setStrokeColor(BLACK)
        structure = tags(canvas)
        with structure.element("Table"):
            self._head(structure, edges, step)
            for i, (label, row) in enumerate(self.rows):
                base = self.height - _HEAD - _ROW * (i + 1)
                self._line(0, base + _ROW, self.width, base + _ROW, _HEAVY if i == 0 else _THIN)
                with structure.element("TR"):
                    with structure.marked("TH", ROW):
                        canvas.setFont(fonts.BOLD, _LABEL)
                        middle = base + 0.5 * (_ROW - fonts.CAP_HEIGHT * _LABEL)
                        canvas.drawRightString(_LABEL_WIDTH - 12, middle, label)
                    for (first, second), left in zip(row, edges, strict=False):
                        with structure.marked("TD"):
                            self._cell(first, second, left, base, step)
        self._line(0, 0, self.width, 0, _HEAVY)
        self._frontier(edges)

    def _head(self, structure: Tags, edges: Sequence[float], step: float) -> None:
        canvas: Any = self.canv
        with structure.element("TR"):
            with structure.marked("TH", COLUMN):
                canvas.setFont(fonts.SEMIBOLD, _SMALL)
                canvas.drawRightString(_LABEL_WIDTH - 12, self.height - _HEAD + 8, self.corner[0])
                canvas.drawRightString(_LABEL_WIDTH - 12, self.height - _HEAD + 21, self.corner[1])
            for label, left in zip(self.columns, edges, strict=False):
                with structure.marked("TH", COLUMN):
                    canvas.setFont(fonts.BOLD, _LABEL)
                    canvas.drawCentredString(left + step / 2, self.height - _HEAD + 12, label)

    def _cell(self, first: str, second: str, left: float, base: float, step: float) -> None:
        if not first:
            return
        canvas: Any = self.canv
        middle = base + 0.5 * (_ROW - fonts.CAP_HEIGHT * _SIZE)
        size = _SIZE
        if fonts.text_width(first, fonts.BOLD, size) > 0.5 * step:
            raise PublishError(f"size {first!r} is too long for a counter chart of {len(self.columns)} columns")
        canvas.setFont(fonts.BOLD, size)
        canvas.drawCentredString(left + 0.42 * step, middle, first)
        if second:
            canvas.setFont(fonts.REGULAR, _SMALL)
            canvas.drawString(left + 0.42 * step + 0.5 * fonts.text_width(first, fonts.BOLD, size) + 7, middle, second)

    def _frontier(self, edges: list[float]) -> None:
        """Heavy strokes between cells whose first choice differs."""
        for i, (_, row) in enumerate(self.rows):
            top = self.height - _HEAD - _ROW * i
            for j, (first, _) in enumerate(row):
                if j and row[j - 1][0] != first:
                    self._line(edges[j], top, edges[j], top - _ROW, _HEAVY)
                if i and self.rows[i - 1][1][j][0] != first:
                    self._line(edges[j], top, edges[j + 1], top, _HEAVY)

    def _line(self, x1: float, y1: float, x2: float, y2: float, weight: float) -> None:
        canvas: Any = self.canv
        canvas.setLineWidth(weight)
        canvas.setLineCap(2)
        canvas.line(x1, y1, x2, y2)
