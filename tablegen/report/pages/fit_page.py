"""The printed pages of a fit: what is told and how well, and the residuals that show it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from tablegen.report.fit_words import (
    estimate_cells,
    estimate_header,
    lack_of_fit_lines,
    law_text,
    left_out_lines,
    not_told_cells,
    notes,
    outlier_lines,
    scatter_lines,
)
from tablegen.report.formatter import Formatter, percent
from tablegen.report.graphs.fit_graphs import balance_graph, balance_residuals, flow_residuals, law_graph, parity_graph
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.tables import data_table, formulas
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.refrigerant_text import cautions

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether, PageBreak, Table

_HEIGHT, _LOW = 270.0, 205.0
_GAP = 12.0
_BARE = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP")]


def print_fit(
    record: Mapping[str, Any], units: str, paper: str, notice: str, safety_groups: Sequence[str], target: Path
) -> int:
    """Print a fit from its record as plain values; return the number of pages.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    formatter = Formatter(units)
    title = f"Bench data of {record['name']}"
    document = Document(target, paper, title, date=None, notice=notice, subject="Parameters of a valve family")
    width = document.frame_width
    story: list[Flowable] = [*_summary(record, formatter, width, safety_groups)]
    if record["flow"] is not None:
        story += [PageBreak(), *_flow(record, formatter, width)]
    if record["balance"] is not None:
        story += [PageBreak(), *_balance(record, formatter, width)]
    return document.build(story)


def _summary(
    record: Mapping[str, Any], formatter: Formatter, width: float, safety_groups: Sequence[str]
) -> list[Flowable]:
    facts = [("Readings", f"{record['source']}, {record['rows_read']} rows; {', '.join(record['refrigerants'])}")]
    if record["flow"] is not None:
        facts.append(("Flow law", law_text(record["flow"])))
    facts += scatter_lines(record, formatter)
    story: list[Flowable] = [Heading(f"{record['title']}: fit of bench data"), formulas(facts, width, 9.0)]
    cells = estimate_cells(record, formatter)
    if cells:
        story += [
            paragraph("What the rows tell", "caption"),
            data_table(estimate_header(record["confidence"]), cells, width, numeric=(1, 2, 4, 5)),
        ]
    if told := not_told_cells(record):
        pairs = [(what, f"{why}. Missing: {test}.") for what, why, test in told]
        caption = "What they do not tell, and the test that is missing"
        story += [paragraph(caption, "caption"), formulas(pairs, width, 9.0)]
    for caption, lines in (
        ("Lack of fit", lack_of_fit_lines(record, formatter)),
        ("Outliers, set aside", outlier_lines(record, formatter)),
        ("Rows left out", left_out_lines(record)),
    ):
        if lines:
            items = [paragraph(f"{line[0].upper()}{line[1:]}.", "note", "•") for line in lines]
            story += [paragraph(caption, "caption"), *items]
    story.append(paragraph("How to read it", "caption"))
    more = [f"Fragment: {note}." for note in record["fragment_notes"]]
    heed = list(dict.fromkeys(text for group in safety_groups for text in cautions(group)))
    return [*story, *(paragraph(text, "small") for text in (*notes(record), *more, *heed))]


def _lacks(record: Mapping[str, Any], part: str) -> list[Mapping[str, Any]]:
    return [lack for lack in record["findings"]["lack_of_fit"] if lack["part"] == part]


def _marked(lacks: Sequence[Mapping[str, Any]]) -> str:
    return " Lack of fit: the filled rows below the bracket lie off the law on one side." if lacks else ""


def _flow(record: Mapping[str, Any], formatter: Formatter, width: float) -> list[Flowable]:
    flow, lacks = record["flow"], _lacks(record, "flow")
    recovery = next((e["value"] for e in record["findings"]["estimates"] if e["key"] == "pressure_recovery"), None)
    half = 0.5 * (width - _GAP)
    law_alt, parity_alt = "Measured flow over that of the orifice law", "Measured against computed mass flow"
    law = FigureFlowable(law_graph(flow, recovery), half, _HEIGHT, law_alt)
    parity = FigureFlowable(parity_graph(flow, formatter), half, _HEIGHT, parity_alt)
    residuals = FigureFlowable(
        flow_residuals(flow, lacks, formatter),
        width,
        _LOW,
        "Residuals of mass flow against what the rows were taken under",
    )
    stands = f"under the law {flow['law']}" if flow["law"] else "which holds under either law"
    beyond = percent(flow["verdict"]["max_drop"])
    return [
        Heading("Mass flow"),
        paragraph("The laws, and measured beside computed flow", "caption"),
        Table([[law, "", parity]], [half, _GAP, half], style=_BARE, hAlign="LEFT"),
        paragraph(
            "Left: flow over that of the orifice law, against the drop over p₁ − F_F p_v, where choking begins at a "
            f"recovery factor F_L of 1; rows reach {beyond} of it. Rows on the level line follow the whole drop, rows "
            f"on the falling one choke. Right: the fit, {stands}.",
            "small",
            is_formula=True,
        ),
        KeepTogether(
            [
                paragraph("Residuals of mass flow", "caption"),
                residuals,
                paragraph(
                    "Measured over computed flow. Dotted: twice the scatter, by drop, by opening, and that of the flow "
                    "meter alone. Crosses are outliers, with their lines in the file; one that lies far out is drawn at "
                    f"the edge. A slope or a bow speaks of something that the fit leaves out.{_marked(lacks)}",
                    "small",
                ),
            ]
        ),
    ]


def _balance(record: Mapping[str, Any], formatter: Formatter, width: float) -> list[Flowable]:
    balance, lacks = record["balance"], _lacks(record, "balance")
    spring = FigureFlowable(
        balance_graph(balance, formatter), width, _HEIGHT, "Graph of spring pressure against opening"
    )
    residuals = FigureFlowable(
        balance_residuals(balance, lacks, formatter),
        width,
        _LOW,
        "Residuals of bulb temperature against what the rows were taken under",
    )
    return [
        Heading("Balance of forces"),
        paragraph("Spring and gradient", "caption"),
        spring,
        paragraph(
            "Bulb pressure less pressure under the diaphragm, the port's share taken off: at no opening it is the "
            "spring of the setting, its slope the gradient.",
            "small",
        ),
        KeepTogether(
            [
                paragraph("Residuals of bulb temperature", "caption"),
                residuals,
                paragraph(
                    f"Bulb temperature less that of the balance. Dotted: twice the scatter.{_marked(lacks)}", "small"
                ),
            ]
        ),
    ]
