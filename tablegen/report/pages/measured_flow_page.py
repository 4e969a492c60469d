"""Both flow laws compared with published correlations of flow: a graph for each device, figures, and what they mean."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from matplotlib.figure import Figure

from tablegen.report.formatter import percent, spelt
from tablegen.report.pdf import vector
from tablegen.report.pdf.page import BLACK, Heading, paragraph
from tablegen.report.pdf.tables import data_table
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.wording import terms

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, Table

TITLE = "Flow laws compared with published correlations"
HEADER = ("Device", "Points", "Law", "Kv, m³/h", "Root mean square", "Max")
NUMERIC = (1, 3, 4, 5)
_KG_H = 3600.0
_HEIGHT, _GAP, _SIZE = 250.0, 12.0, 8.5
_BAND = 0.1
# One device: its series, Kv and deviations by law, as plain values.
Parity = Mapping[str, Any]
_MARKS: dict[str, dict[str, Any]] = {
    "orifice": {"marker": "o", "mfc": "w"},
    "choked": {"marker": "s", "mfc": BLACK},
}
_BARE = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP")]


def cells(parities: Sequence[Parity]) -> list[list[str]]:
    """A row for each device and law."""
    return [
        [
            parity["device"],
            str(sum(len(s["correlated_kg_s"]) for s in parity["series"])),
            law,
            round_half_even(parity["kv_m3h"][law]),
            percent(parity["spread"][law], 1),
            percent(parity["maximum"][law]),
        ]
        for parity in parities
        for law in _MARKS
    ]


def sources(parities: Sequence[Parity]) -> list[str]:
    """Where the correlations come from, and for which refrigerants they are asked."""
    return [
        f"{parity['device'][0].upper()}{parity['device'][1:]}: {parity['source']} ({terms.PROVENANCES[parity['provenance']]()}), for "
        f"{spelt([s['refrigerant'] for s in parity['series']])}"
        for parity in parities
    ]


def meaning(parities: Sequence[Parity]) -> str:
    """What is compared, and what it does not show."""
    recovery = parities[0]["recovery"]
    return (
        "We found no table of measured flows that we may cite, so both laws are compared with published correlations, "
        "each law with the one Kv that suits all points of a device best. What is left says how well a law "
        "follows head and subcooling. Coefficients are cited as facts of the papers named, of which nothing else is "
        f"reproduced. The choked law has a recovery factor of {recovery:g}. Heads are those of summer; "
        "the correlations do not cover floating head pressure in winter. A family names its law with a reason, and "
        "there is no default: where nothing is known of a port, the law that leaves less is the better guess."
    )


def measured_flow_page(parities: Sequence[Parity], width: float) -> list[Flowable]:
    """The page; nothing where no refrigerant has a correlation."""
    if not parities:
        return []
    half = 0.5 * (width - _GAP)
    graphs = [
        FigureFlowable(parity_graph(p), half, _HEIGHT, f"Correlated against computed flow of the {p['device']}")
        for p in parities
    ]
    row = [graphs[0], "", graphs[1] if len(graphs) > 1 else ""]
    names = f"Left: {parities[0]['device']}." + (f" Right: {parities[1]['device']}." if len(parities) > 1 else "")
    caption = (
        f"{names} Open circles: orifice law; filled squares: choked law. The line is parity; dotted, 10 % to "
        "either side."
    )
    return [
        Heading(TITLE),
        Table([row], [half, _GAP, half], style=_BARE, hAlign="LEFT"),
        paragraph(caption, "small"),
        data_table(HEADER, cells(parities), width, numeric=NUMERIC),
        *(paragraph(f"{text}.", "small") for text in sources(parities)),
        paragraph(meaning(parities), "small"),
    ]


def parity_graph(parity: Parity) -> Figure:
    """Correlated flow of one device against that of each law [kg/h]."""
    series = [
        (_KG_H * np.array(s["correlated_kg_s"]), {law: _KG_H * np.array(s["law_kg_s"][law]) for law in _MARKS})
        for s in parity["series"]
    ]
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        every = np.concatenate([values for y, by_law in series for values in (y, *by_law.values())])
        low, high = float(every.min()), float(every.max())
        ends = np.array([0.93 * low, 1.07 * high])
        axes.plot(ends, ends, color=BLACK, lw=0.9, zorder=0)
        for side in (1.0 - _BAND, 1.0 + _BAND):
            axes.plot(ends, side * ends, color=BLACK, lw=0.7, ls=(0, (1, 2)), zorder=0)
        for law, mark in _MARKS.items():
            for y, by_law in series:
                axes.plot(by_law[law], y, ls="none", ms=3.2, mec=BLACK, mew=0.5, **mark)
        for scale, limit, axis in (
            (axes.set_xscale, axes.set_xlim, axes.xaxis),
            (axes.set_yscale, axes.set_ylim, axes.yaxis),
        ):
            scale("log")
            limit(*ends)
            ticks = [t for t in (20, 30, 40, 50, 60, 80, 100, 120, 150, 200, 300, 400) if ends[0] <= t <= ends[1]]
            axis.set_ticks(ticks, [without_zeros(round_half_even(float(t))) for t in ticks])
            axis.set_ticks([], minor=True)
        axes.set_xlabel(f"by the law with one Kv, kg/h ({parity['device']})")
        axes.set_ylabel("by the correlation, kg/h")
        axes.spines[["top", "right"]].set_visible(False)
    return figure
