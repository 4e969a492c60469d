"""The teaching pages of the classroom handout: seasons, forces, the flow equation, the size range, terms."""

from __future__ import annotations

import math

import pandas as pd
from reportlab.platypus import Flowable, KeepTogether, PageBreak

from tablegen.calculation.symbols import symbol
from tablegen.errors import PublishError
from tablegen.model.inputs import PowerElement
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.report.exercise_figures import ExerciseFigures
from tablegen.report.formatter import NBSP, percent, ratio
from tablegen.report.graphs.family_graphs import Limits, charge_graph, superheat_graph
from tablegen.report.graphs.force_drawing import PortDrawing, force_drawing
from tablegen.report.graphs.size_range_strips import Bar, Strip, size_range_drawings
from tablegen.report.handout_figures import HandoutFigures
from tablegen.report.pages.calculation_sheet import formula_table
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.rows import CurveCase, ExampleRow, rows_of
from tablegen.report.table_conditions import TableConditions, charge_text
from tablegen.unit_table import CV_PER_KV
from tablegen.wording import handout as wording
from tablegen.wording import terms
from tablegen.wording.language import date_text

_NEAR_K = 1e-6
# Shares of the width: term, symbol, unit, meaning.
_TERMS = (0.2, 0.13, 0.12, 0.55)
# Of the superheat graph, which is read off, and of the charge graph [pt].
_GRAPH = design.FIGURE_WIDTH, 140.0
_CHARGE_GRAPH = design.FIGURE_WIDTH, 106.0


def force_balance(figures: HandoutFigures) -> list[Flowable]:
    """The forces on the diaphragm, the charge graph and the superheat graph."""
    publication, formatter, part = figures.publication, figures.formatter, figures.part
    case, *_ = rows_of(publication.rows(publication.data.balance, part), CurveCase)
    element, actuator = _thermostatic(figures, case.size)
    balance = actuator.balance
    charges = publication.data.charges
    charges = charges[(charges["family"] == part.family) & (charges["charge"] == element.name)]
    story: list[Flowable] = [
        Heading(wording.FORCES()),
        paragraph(
            wording.BALANCE(
                spring=figures.figure("pressure difference", balance.spring_pa, 3),
                gradient=figures.figure("pressure difference", balance.gradient_pa, 3),
                port=PortDrawing(balance.unbalance).sentence,
            ),
            is_formula=True,
        ),
        DrawingFlowable(
            force_drawing(actuator.is_internally_equalized, balance.unbalance, design.FIGURE_WIDTH),
            wording.FORCE_DRAWING(),
        ),
    ]
    if element.setting is not None:
        caption = wording.CHARGE_GRAPH(charge=element.title, refrigerant=element.setting_refrigerant)
        graph = charge_graph(charges, element.setting, formatter, _CHARGE_GRAPH)
        story += [paragraph(caption, "caption"), DrawingFlowable(graph, terms.GRAPH(caption=caption))]
    superheats = paragraph(_superheats(figures), "small", is_formula=True)
    return [*story, *superheat_curves(figures), superheats, PageBreak()]


def _superheats(figures: HandoutFigures) -> str:
    """How the superheats of valve, rating and compressor go together, with those of the example at the rating point."""
    publication, part = figures.publication, figures.part
    rows = rows_of(publication.rows(publication.data.example, part), ExampleRow)
    rating = next(row for row in rows if row.condition == "rating")
    step = figures.formatter.step
    useful_k = publication.system(part, rating.refrigerant).superheat.useful_k
    return wording.SUPERHEATS(operating=step(rating.superheat_k), useful=step(useful_k))


def superheat_window(figures: HandoutFigures, case: CurveCase) -> Limits:
    """The window and the superheats that the superheat graph shows."""
    publication, part = figures.publication, figures.part
    limits = publication.system(part, case.refrigerant).superheat
    curves = publication.rows(publication.data.superheat, part)
    most_k = float(curves["max_superheat_k"].min())
    return Limits(*publication.printed.own_window(part, case), limits.min_k[0], most_k)


def superheat_curves(figures: HandoutFigures) -> list[Flowable]:
    """The superheat graph of the handout's size, to read a superheat off."""
    publication, formatter, part = figures.publication, figures.formatter, figures.part
    curves = publication.rows(publication.data.superheat, part)
    case, *_ = rows_of(publication.rows(publication.data.balance, part), CurveCase)
    caption = wording.SUPERHEAT_GRAPH(size=case.size, refrigerant=case.refrigerant, sst=figures.sst(case.sst_k))
    window = superheat_window(figures, case)
    return [
        paragraph(caption, "caption"),
        DrawingFlowable(superheat_graph(curves, window, formatter, _GRAPH, is_read_off=True), caption),
        paragraph(wording.ABOUT_SUPERHEAT(refrigerant=case.refrigerant), "small"),
    ]


def _thermostatic(figures: HandoutFigures, size: str) -> tuple[PowerElement, ThermostaticActuator]:
    """The bulb charge of the handout's part in a size; electronic valves have no forces to teach."""
    element = figures.publication.power_element(figures.part, size)
    if element is None or not isinstance(element.actuator, ThermostaticActuator):
        raise PublishError(wording.NO_CHARGE(family=figures.part.family))
    return element, element.actuator


def flow_equation(figures: HandoutFigures, worked: pd.DataFrame, width: float) -> list[Flowable]:
    """The flow equation step by step at the rating point and at the low head, with units at each step."""
    formatter, own = figures.formatter, ExerciseFigures(figures)
    rating, low = (worked[worked["condition"] == condition].iloc[0] for condition in ("rating", "low_head"))
    size = str(rating["size"])
    example = wording.EXAMPLE(
        refrigerant=rating["refrigerant"],
        sst=figures.sst(rating["sst_k"]),
        load=figures.load(rating["load_w"]),
        size=size,
        name=own.name,
        kv=own.coefficient(rating["kv_rated_m3h"]).text,
    )
    coefficient = wording.COEFFICIENT[formatter.system](constant=own.constant_text, cv=f"{CV_PER_KV:g}")
    story: list[Flowable] = [
        Heading(wording.FLOW_EQUATION()),
        paragraph(wording.ABOUT_FLOW(name=own.name, coefficient=coefficient), is_formula=True),
        paragraph(example),
    ]
    for row in (rating, low):
        story.append(Heading(wording.AT_CONDITION[str(row["condition"])](), 2))
        steps = enumerate(own.flow_steps(row), start=1)
        story += [paragraph(text, "step", f"{i}.", is_formula=True) for i, text in steps]
    changes = [
        [wording.FLOW_RATIO(), *(ratio(row["flow_ratio"], 3) for row in (rating, low))],
        [wording.PORT_DROP(), *(formatter.drop(row["pressure_drop_pa"]) for row in (rating, low))],
        [wording.REQUIRED(name=own.name), *(own.own_required(row).text for row in (rating, low))],
        [wording.KV_SHARE(size=size), *(percent(row["kv_share"]) for row in (rating, low))],
    ]
    header = ["", terms.condition_title("rating"), terms.condition_title("low_head")]
    return [
        *story,
        paragraph(wording.CHANGES(), "caption"),
        data_table(header, changes, width, numeric=(1, 2)),
    ]


def size_range(figures: HandoutFigures) -> list[Flowable]:
    """Strips at the coldest, the example's and the warmest suction temperature, and how to read them."""
    publication, part, catalogue = figures.publication, figures.part, figures.publication.catalogue
    windows = [row for row in publication.windows(part) if math.isfinite(row.min_load_w + row.max_load_w)]
    example_k = catalogue.applications[part.application].example_sst_k
    ends = min(row.sst_k for row in windows), max(row.sst_k for row in windows)
    strips = [
        Strip(figures.sst(sst_k), bars)
        for sst_k in sorted({ends[0], example_k, ends[1]}, reverse=True)
        if (
            bars := [
                Bar(row.size, row.min_load_w, row.max_load_w) for row in windows if abs(row.sst_k - sst_k) < _NEAR_K
            ]
        )
    ]
    about = wording.ABOUT_STRIPS(
        family=catalogue.families[part.family].title,
        group=catalogue.groups[part.group].title,
        application=catalogue.applications[part.application].title,
        unit=figures.formatter.load_label,
    )
    return [
        Heading(wording.STRIPS()),
        paragraph(about),
        *(paragraph(step(), "step", f"{i}.", is_formula=True) for i, step in enumerate(wording.STRIP_STEPS, start=1)),
        *(
            DrawingFlowable(drawing, wording.STRIP_FIGURE(title=title))
            for title, drawing in size_range_drawings(strips, figures.formatter, design.FIGURE_WIDTH)
        ),
        PageBreak(),
    ]


def glossary(figures: HandoutFigures, width: float) -> list[Flowable]:
    """Terms with symbols and units, the conditions that the figures are valid for, cautions."""
    publication, part = figures.publication, figures.part
    header = [wording.TERM(), wording.SYMBOL(), wording.UNIT(), wording.MEANING()]
    data = wording.DATA_LINE(data=publication.data.fingerprint, date=date_text(publication.date))
    conditions = [
        *TableConditions.of(publication, part).facts(),
        (wording.CHARGE(), charge_text(publication, part)),
        (wording.DATA(), data),
    ]
    printing = publication.catalogue.printing
    own = filter(None, (*printing.company.cautions, printing.company.disclaimer))
    cautions = (printing.notice, *(caution() for caution in wording.CAUTIONS), *own)
    return [
        Heading(wording.TERMS()),
        formula_table(header, _terms(figures), [width * share for share in _TERMS], (1, 3)),
        Heading(wording.CONDITIONS(), 2),
        facts(conditions, width, design.NOTE),
        # No caution is alone on a page.
        KeepTogether([Heading(wording.CAUTIONS_TITLE(), 2), *(paragraph(text, "step", mark="–") for text in cautions)]),
    ]


def _terms(figures: HandoutFigures) -> list[list[str]]:
    """Rows of the glossary: term, symbols, unit, meaning."""
    load, absolute = figures.formatter.load_label, figures.formatter.absolute_label
    # What is drawn and what is calculated with may have different units.
    calculated = ExerciseFigures(figures).absolute_label
    both = ", ".join(dict.fromkeys((absolute, calculated)))
    difference, step = figures.unit("pressure difference"), figures.unit("temperature difference")
    symbols_and_unit: dict[str, tuple[tuple[str, ...], str]] = {
        "load": (("Q",), load),
        "sst": (("SST",), figures.unit("temperature")),
        "head": (("p_h",), figures.unit("pressure gauge")),
        "port": (("p_1", "p_2"), calculated),
        "drop": (("dp",), difference),
        "flow": (("m",), figures.unit("mass flow")),
        "ratio": (("f",), "–"),
        "enthalpy": (("h_l", "h_v"), figures.unit("enthalpy")),
        "density": (("rho",), figures.unit("density")),
        "opening": (("phi",), "%"),
        "superheat": (("SH",), step),
        "static": (("SS",), step),
        "useful": ((), step),
        "bulb": (("p_b",), both),
        "evaporator": (("p_e",), both),
        "under": (("p_u",), absolute),
        "spring": (("p_spring", "p_grad"), difference),
        "unbalance": (("u",), "–"),
        "window": ((), load),
        "glide": ((), step),
        "subcooling": ((), step),
    }
    rows = []
    for key, (term, meaning) in wording.GLOSSARY.items():
        if key == "kv":
            is_us = figures.formatter.system == "IP"
            name, unit, drop = (
                ExerciseFigures(figures).name,
                wording.CV_UNIT() if is_us else "m³/h",
                "psi" if is_us else "bar",
            )
            rows.append([term(), name, unit, meaning(drop=f"1{NBSP}{drop}")])
            continue
        names, unit = symbols_and_unit.get(key, ((), ""))
        rows.append([term(), ", ".join(symbol(name).sign for name in names), unit, meaning()])
    return rows
