"""The printed pressure-temperature sheet: the handout of a counter or a class."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd

from tablegen.publish.columns import Columns
from tablegen.publish.page import Document, Heading, paragraph
from tablegen.publish.refrigerant_text import cautions, composition, gwp_text, safety, uncertainty_text
from tablegen.publish.saturation import StateUnits, table_cells
from tablegen.publish.tables import facts
from tablegen.publish.wording import NBSP
from tablegen.units import unit_named

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, PageBreak

_NOTE_HEIGHT = 14.0
NOTICE = "Computed from equations of state; check against the equipment maker's data before use."


@dataclass(frozen=True, slots=True)
class Sheet:
    """One refrigerant: its table, its record as plain values, its critical point and the margin below it, in SI."""

    frame: pd.DataFrame
    record: dict[str, Any]
    critical_temperature_k: float
    critical_pressure_pa: float
    margin_k: float
    is_cut_short: bool


def print_sheets(sheets: Sequence[Sheet], units: StateUnits, paper: str, version: str, target: Path) -> int:
    """Print a page (or more) for each refrigerant; return the number of pages.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    names = [s.record["definition"]["name"] for s in sheets]
    title = f"Pressure and temperature: {names[0]}" if len(names) == 1 else "Pressure and temperature of refrigerants"
    document = Document(
        target, paper, title, date=None, notice=NOTICE, subject="Saturation of refrigerants", keywords=names
    )
    story: list[Flowable] = []
    for sheet in sheets:
        if story:
            story.append(PageBreak())
        story += _page(sheet, units, version, document.frame_width)
    return document.build(story)


def _page(sheet: Sheet, units: StateUnits, version: str, width: float) -> list[Flowable]:
    definition = sheet.record["definition"]
    is_blend = len(definition["components"]) > 1
    header, rows = table_cells(sheet.frame, units, is_blend)
    temperature = unit_named("temperature", units.temperature)
    tens = [
        i for i, kelvin in enumerate(sheet.frame["temperature_k"])
        if i and abs(temperature.of(kelvin) / 10 - round(temperature.of(kelvin) / 10)) < 1e-6
    ]  # fmt: skip
    notes = [
        *(paragraph(text, "small") for text in (*reading(is_blend), *cautions(sheet.record["safety_group"]))),
        paragraph(f"Computed with {version}.", "small"),
    ]
    reserve = sum(note.wrap(width, 1000.0)[1] + note.getSpaceAfter() for note in notes) + _NOTE_HEIGHT
    split: list[tuple[str, str]] = [tuple(h.rsplit(", ", 1)) for h in header]  # type: ignore[misc]
    return [
        Heading(f"{definition['name']}: pressure and temperature at saturation"),
        facts(summary(sheet, units), width, 8.5),
        Columns(split, rows, tens, reserve),
        *notes,
    ]


def summary(sheet: Sheet, units: StateUnits) -> list[tuple[str, str]]:
    """Label and value of what stands above a table."""
    record = sheet.record
    pairs = [
        ("Safety group", safety(record["safety_group"])),
        ("GWP, 100 years", gwp_text(record["gwp"])),
    ]
    if len(record["definition"]["components"]) > 1:
        pairs.append(("Mass percent", composition(record["definition"])))
    pairs += [
        ("Critical point", critical_text(sheet, units)),
        ("Uncertainty", f"{uncertainty_text(record['uncertainty'])}: {record['uncertainty']['reason']}"),
        ("Pressures", pressure_text(units)),
    ]
    return pairs


def critical_text(sheet: Sheet, units: StateUnits) -> str:
    """The critical point, and that the table ends below it where it does."""
    pressure, temperature = unit_named("pressure", units.pressure), unit_named("temperature", units.temperature)
    zero = units.site_pressure_pa if units.is_gauge else 0.0
    text = (
        f"{temperature.of(sheet.critical_temperature_k):.1f}{NBSP}{temperature.label}, "
        f"{pressure.of(sheet.critical_pressure_pa - zero):.4g}{NBSP}{pressure.label}"
    )
    if not sheet.is_cut_short:
        return text
    margin = unit_named("temperature difference", units.difference)
    return f"{text}; the table ends {margin.of(sheet.margin_k):.1f}{NBSP}{margin.label} below it"


def pressure_text(units: StateUnits) -> str:
    """Gauge or absolute, and where the gauge stands."""
    if not units.is_gauge:
        return "absolute"
    unit = unit_named("pressure", units.pressure.replace("_gauge", "_absolute"))
    return f"gauge, at an atmospheric pressure of {unit.of(units.site_pressure_pa):.5g}{NBSP}{unit.label}"


def reading(is_blend: bool) -> list[str]:
    """How a table is read."""
    if not is_blend:
        return []
    return [
        "Superheat counts from the dew column, subcooling from the bubble column. Glide: how much warmer the last "
        "liquid boils than the first. Glide and latent heat are those at the bubble pressure of the row."
    ]
