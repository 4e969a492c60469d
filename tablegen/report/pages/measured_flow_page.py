"""Both flow laws compared with published correlations of flow: a graph for each device, figures, and what they mean."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.figure import Figure

from tablegen.physics.flow import FlowLaw
from tablegen.report.formatter import percent
from tablegen.report.pdf import vector
from tablegen.report.pdf.page import BLACK, Heading, paragraph
from tablegen.report.pdf.tables import data_table
from tablegen.report.pdf.vector import FigureFlowable
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.verification.measured_flows import Parity
from tablegen.wording import terms
from tablegen.wording import verification_page as wording
from tablegen.wording.message import listed

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, Table

NUMERIC = (1, 3, 4, 5)
_KG_H = 3600.0
_HEIGHT, _GAP, _SIZE = 250.0, 12.0, 8.5
_BAND = 0.1
# Shape and filling of the points of a law.
_MARKS = {FlowLaw.ORIFICE: ("o", "w"), FlowLaw.CHOKED: ("s", BLACK)}
_BARE = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP")]


def header() -> tuple[str, ...]:
    """The columns of `cells`."""
    return (
        wording.DEVICE(),
        wording.POINTS(),
        wording.LAW(),
        wording.KV(),
        wording.ROOT_MEAN_SQUARE(),
        wording.MAXIMUM(),
    )


def cells(parities: Sequence[Parity]) -> list[list[str]]:
    """A row for each device and law."""
    return [
        [
            wording.DEVICES[parity.device](),
            str(sum(len(series.correlated_kg_s) for series in parity.series)),
            wording.LAWS[law](),
            round_half_even(parity.kv_m3h[law]),
            percent(parity.spread[law], 1),
            percent(parity.maximum[law]),
        ]
        for parity in parities
        for law in _MARKS
    ]


def sources(parities: Sequence[Parity]) -> list[str]:
    """Where the correlations come from, and for which refrigerants they are evaluated."""
    return [
        wording.FLOW_SOURCES[parity.device](
            source=parity.source,
            provenance=terms.PROVENANCES[parity.provenance](),
            refrigerants=listed([series.refrigerant for series in parity.series]),
        )
        for parity in parities
    ]


def meaning(parities: Sequence[Parity]) -> str:
    """What is compared, and what it does not show."""
    return wording.FLOW_MEANING(recovery=f"{parities[0].recovery:g}")


def measured_flow_page(parities: Sequence[Parity], width: float) -> list[Flowable]:
    """The page; nothing where no refrigerant has a correlation."""
    if not parities:
        return []
    half = 0.5 * (width - _GAP)
    devices = [wording.DEVICES[parity.device]() for parity in parities]
    graphs = [
        FigureFlowable(parity_graph(parity), half, _HEIGHT, wording.FLOW_GRAPH(device=device))
        for parity, device in zip(parities, devices, strict=True)
    ]
    row = [graphs[0], "", graphs[1] if len(graphs) > 1 else ""]
    if len(devices) > 1:
        caption = wording.FLOW_CAPTION_BOTH(left=devices[0], right=devices[1])
    else:
        caption = wording.FLOW_CAPTION(device=devices[0])
    return [
        Heading(wording.FLOW_LAWS()),
        Table([row], [half, _GAP, half], style=_BARE, hAlign="LEFT"),
        paragraph(caption, "small"),
        data_table(header(), cells(parities), width, numeric=NUMERIC),
        *(paragraph(text, "small") for text in sources(parities)),
        paragraph(meaning(parities), "small"),
    ]


def parity_graph(parity: Parity) -> Figure:
    """Correlated flow of one device against that of each law [kg/h]."""
    series = [
        (_KG_H * own.correlated_kg_s, {law: _KG_H * own.law_kg_s[law] for law in _MARKS}) for own in parity.series
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
        for law, (marker, filling) in _MARKS.items():
            for y, by_law in series:
                axes.plot(by_law[law], y, ls="none", ms=3.2, mec=BLACK, mew=0.5, marker=marker, mfc=filling)
        for scale, limit, axis in (
            (axes.set_xscale, axes.set_xlim, axes.xaxis),
            (axes.set_yscale, axes.set_ylim, axes.yaxis),
        ):
            scale("log")
            limit(*ends)
            ticks = [t for t in (20, 30, 40, 50, 60, 80, 100, 120, 150, 200, 300, 400) if ends[0] <= t <= ends[1]]
            axis.set_ticks(ticks, [without_zeros(round_half_even(float(t))) for t in ticks])
            axis.set_ticks([], minor=True)
        axes.set_xlabel(wording.LAW_AXIS(device=wording.DEVICES[parity.device]()))
        axes.set_ylabel(wording.CORRELATION_AXIS())
        axes.spines[["top", "right"]].set_visible(False)
    return figure
