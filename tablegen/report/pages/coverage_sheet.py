"""An audit on one page: how the size ranges cover the load axis, and what was found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import IO

from reportlab.lib.units import mm
from reportlab.platypus import Flowable

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.coverage_graph import Strip, coverage_figure, height_for, most_strips
from tablegen.report.pdf.page import Document, Heading, fitting, height, paragraph
from tablegen.report.pdf.vector import FigureFlowable

_TOP = 12 * mm
# The picture takes no more than this share of the page while there is anything to say under it.
_PICTURE_SHARE = 0.62
_SLACK = 4.0


@dataclass(frozen=True, slots=True)
class CoverageSheet:
    """A sheet as a value; every string is printed as it stands.

    Of strips that do not all fit those with faults go first, and the others are counted; of `lines` as many are
    printed as fit.
    """

    title: str
    subject: str
    about: Sequence[str]
    strips: Sequence[Strip]
    reading: str
    alt: str
    counts: Sequence[str]
    lines: Sequence[str]
    notes: Sequence[str]


def print_coverage(
    sheet: CoverageSheet, formatter: Formatter, paper: str, notice: str, day: date, target: Path | IO[bytes]
) -> int:
    """Print a sheet; return its number of pages.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    document = Document(target, paper, sheet.title, date=day, notice=notice, subject=sheet.subject, top_margin=_TOP)
    width, room = document.frame_width, document.frame_height
    head: list[Flowable] = [Heading(sheet.title), *(paragraph(text, "small") for text in sheet.about)]
    strips = _chosen(sheet.strips, most_strips(_PICTURE_SHARE * room))
    left_out = len(sheet.strips) - len(strips)
    reading = sheet.reading + (f" Not drawn for want of room: {left_out} tables more." if left_out else "")
    foot: list[Flowable] = [paragraph(text, "small") for text in (reading, *sheet.counts)]
    notes: list[Flowable] = [paragraph(text, "small") for text in sheet.notes]
    story = head
    used = height([*head, *foot, *notes], width)
    if strips:
        tall = height_for(len(strips), min(_PICTURE_SHARE * room, room - used - _SLACK))
        story.append(FigureFlowable(coverage_figure(strips, formatter, width, tall), width, tall, alt=sheet.alt))
        used += tall
    lines = [paragraph(text, "small") for text in sheet.lines]
    return document.build([*story, *foot, *fitting(lines, _more, width, room - used - _SLACK), *notes])


def _chosen(strips: Sequence[Strip], most: int) -> list[Strip]:
    """As many as fit, those with faults before the others, in their order."""
    wanted = sorted(range(len(strips)), key=lambda i: not strips[i].is_faulty)[:most]
    return [strips[i] for i in sorted(wanted)]


def _more(count: int) -> Flowable:
    return paragraph(f"{count} lines more: see the text of the audit.", "small")
