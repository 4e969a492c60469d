"""Axes to draw into, at the end of a handout: the pressure-enthalpy diagram, balance and superheat of its example.

With the ranges of the handout's own graphs, so that a student's drawing can be compared with them.
"""

from __future__ import annotations

from dataclasses import replace

from reportlab.platypus import Flowable, PageBreak

from tablegen.report.answers.diagram import zero_text
from tablegen.report.graphs.balance_graph import BalanceCurves, balance_graph
from tablegen.report.graphs.family_graphs import superheat_graph
from tablegen.report.graphs.pressure_enthalpy_graph import alternative_text, pressure_enthalpy_graph
from tablegen.report.handout_figures import HandoutFigures
from tablegen.report.pages.cycle_page import GRAPH_HEIGHT, cycle_diagram
from tablegen.report.pages.handout_pages import superheat_window
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.rows import CurveCase, rows_of
from tablegen.wording import blank_axes as wording

# The diagram is as high as the solved one, the others higher than theirs.
_DIAGRAM, _GRAPH = (design.FIGURE_WIDTH, GRAPH_HEIGHT), (design.FIGURE_WIDTH, 270.0)


def blank_pages(figures: HandoutFigures) -> list[Flowable]:
    """A page with the axes of the diagram and its dome, and one with those of balance and superheat."""
    publication, formatter, part = figures.publication, figures.formatter, figures.part
    story: list[Flowable] = [PageBreak(), Heading(wording.TITLE()), paragraph(wording.ABOUT())]
    found = cycle_diagram(publication, [part])
    case, *_ = rows_of(publication.rows(publication.data.balance, part), CurveCase)
    if found is not None:
        blank = replace(found, is_blank=True)
        story += [
            paragraph(wording.DIAGRAM(refrigerant=case.refrigerant), "caption"),
            DrawingFlowable(
                pressure_enthalpy_graph(blank, formatter, _DIAGRAM),
                alternative_text(blank, formatter, case.refrigerant),
            ),
            paragraph(wording.ZERO(zero=zero_text(formatter.system)), "note", "•"),
            PageBreak(),
        ]
    application = publication.catalogue.applications[part.application]
    curves = BalanceCurves.of(publication.rows(publication.data.balance, part), formatter, application.site_pressure_pa)
    heads = publication.named_heads(part.application, case)
    window = superheat_window(figures, case)
    superheat = publication.rows(publication.data.superheat, part)
    return [
        *story,
        paragraph(wording.BALANCE(), "caption"),
        DrawingFlowable(balance_graph(curves, heads, _GRAPH, is_blank=True), wording.BALANCE()),
        paragraph(wording.SUPERHEAT(), "caption"),
        DrawingFlowable(superheat_graph(superheat, window, formatter, _GRAPH, is_blank=True), wording.SUPERHEAT()),
    ]
