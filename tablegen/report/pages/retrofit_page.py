"""The sheet about an existing valve: verdict, balance graph, before and after, what would hold."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from pathlib import Path
from typing import IO, Any

import pandas as pd
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer

from tablegen.report.formatter import CAUTION
from tablegen.report.graphs.retrofit_graph import retrofit_graph
from tablegen.report.pages.retrofit_table import comparison
from tablegen.report.pdf.fonts import MIN_SIZE
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.retrofit_words import RetrofitFormatter
from tablegen.wording import terms

_TOP = 12 * mm
# The graph takes what the rest of the page leaves, within these [pt].
_LOWEST, _HIGHEST = 140.0, 320.0
_SLACK = 2.0
# Of the tables; where texts run long the minimum that is read off a sheet.
_SIZE = 8.5
_HATCHED = (
    "Hatched: where the system wants more than the valve passes at its stop or maximum superheat, or less than it is "
    "steady with."
)
_EXPLAINED = (
    "The evaporator's line is its capacity at the suction temperature. Between the three conditions the "
    "subcooling is taken as linear."
)


def print_retrofit(
    told: RetrofitFormatter,
    curve: pd.DataFrame,
    printing: Any,
    version: str,
    paper: str,
    target: str | Path | IO[bytes],
) -> int:
    """Print the sheet; return its number of pages, which is one unless texts run long.

    `curve` is the balance of the new system against head pressure, `printing` what every publication of the catalogue says.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    title = told.title()
    document = Document(
        target,
        paper,
        title,
        date=printing.date,
        notice=printing.notice,
        author=printing.company,
        top_margin=_TOP,
        subject="An existing expansion valve on a new system",
        keywords=[told.answer.after.refrigerant],
    )
    width = document.frame_width
    for size, is_joined in ((_SIZE, False), (MIN_SIZE, False), (MIN_SIZE, True)):
        above, below = _above(told), _below(told, printing, version, width, size, is_joined)
        room = document.frame_height - _height(above, width) - _height(below, width) - _SLACK
        if room >= _LOWEST:
            break
    graph = _graph(told, curve, width, min(max(room, _LOWEST), _HIGHEST))
    return document.build([*above, *graph, *below])


def _height(parts: Sequence[Flowable], width: float) -> float:
    """Height of parts that follow each other; of the spaces between two the larger counts."""
    height = sum(float(part.wrap(width, 10_000.0)[1]) for part in parts)
    gaps = (max(above.getSpaceAfter(), below.getSpaceBefore()) for above, below in itertools.pairwise(parts))
    return height + sum(gaps) + parts[0].getSpaceBefore() + parts[-1].getSpaceAfter()


def _above(told: RetrofitFormatter) -> list[Flowable]:
    answer = told.answer
    parts: list[Flowable] = [Heading(told.title()), paragraph(told.verdict(answer.after, told.valve), "caption")]
    if answer.before is not None:
        parts.append(paragraph(told.verdict(answer.before, "As it was, it")))
    parts.append(paragraph(f"{told.fitted()} {' '.join(f'{line}.' for line in told.system(answer.after))}", "small"))
    return parts


def _graph(told: RetrofitFormatter, curve: pd.DataFrame, width: float, height: float) -> list[Flowable]:
    after = told.answer.after
    heads = {terms.condition(head.condition): head.head_pressure_pa for head in after.heads}
    figure = retrofit_graph(curve, after.zones, told.formatter, after.site_pressure_pa, heads, (width, height))
    alt = f"Graph: capacity of system and valve against head pressure; {told.verdict(after, told.valve)}"
    return [FigureFlowable(figure, width, height, alt)]


def _below(
    told: RetrofitFormatter, printing: Any, version: str, width: float, size: float, is_joined: bool
) -> list[Flowable]:
    """What stands below the graph; joined, sentences follow each other in one paragraph."""
    answer = told.answer
    header, rows = comparison(told)
    explained = _EXPLAINED if answer.after.holds else f"{_HATCHED} {_EXPLAINED}"
    found: list[Flowable] = [paragraph(explained, "small"), facts(told.zones(answer.after), width, size)]
    if told.meanings():
        found.append(paragraph(f"{told.meanings()[0].upper()}{told.meanings()[1:]}.", "small"))
    found.append(data_table(header, rows, width, size=size))
    said = [*told.changes(), *told.warnings(), *told.advice()]
    found += [paragraph(" ".join(said), "small")] if is_joined else [paragraph(t, "note", mark="•") for t in said]
    data = f"{printing.title}, revision {printing.revision}, {printing.date.isoformat()}; computed with {version}."
    found += [Spacer(1, 4), paragraph(" ".join([*told.cautions(), CAUTION, data]), "small")]
    return found
