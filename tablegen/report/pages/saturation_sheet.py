"""The printed pressure-temperature sheet: the handout of a counter or a class."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from tablegen.model.registry import PairSource, RefrigerantRecord
from tablegen.report.formatter import NBSP
from tablegen.report.pages.saturation_rows import BLANK, StateUnits, table_cells
from tablegen.report.pdf.columns import Columns
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.tables import facts
from tablegen.report.refrigerant_text import cautions, composition, gwp_text, uncertainty_text
from tablegen.report.rounding import decimals
from tablegen.units import unit_named
from tablegen.wording import refrigerants as wording

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, PageBreak

_NOTE_HEIGHT = 14.0
_ATMOSPHERE_PLACES = {"psi_absolute": 3, "bar_absolute": 5, "kPa_absolute": 3, "MPa_absolute": 6}
NOTICE = "Computed from equations of state; check against the equipment maker's data before use."


@dataclass(frozen=True, slots=True)
class Sheet:
    """One refrigerant: its table, its record, its critical point and the margin below it, in SI.

    `is_cut_short` tells that the range asked for reaches beyond the table's end; `coldest_k` is where saturation
    begins, if the range asked for reaches below it.
    """

    frame: pd.DataFrame
    record: RefrigerantRecord
    critical_temperature_k: float
    critical_pressure_pa: float
    margin_k: float
    is_cut_short: bool
    coldest_k: float | None = None


def print_sheets(sheets: Sequence[Sheet], units: StateUnits, paper: str, version: str, target: Path) -> int:
    """Print a page (or more) for each refrigerant; return the number of pages.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    names = [s.record.definition.name for s in sheets]
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
    definition, is_blend = sheet.record.definition, sheet.record.is_blend
    header, rows = table_cells(sheet.frame, units, is_blend)
    temperature = unit_named("temperature", units.temperature)
    tens = [
        i
        for i, kelvin in enumerate(sheet.frame["temperature_k"])
        if i and abs(temperature.of(kelvin) / 10 - round(temperature.of(kelvin) / 10)) < 1e-6
    ]
    notes = [
        *(paragraph(text, "small") for text in (*reading(is_blend, rows), *cautions(sheet.record.safety_group))),
        paragraph(f"Computed with {version}.", "small"),
    ]
    reserve = sum(note.wrap(width, 1000.0)[1] + note.getSpaceAfter() for note in notes) + _NOTE_HEIGHT
    split: list[tuple[str, str]] = [tuple(h.rsplit(", ", 1)) for h in header]  # type: ignore[misc]
    return [
        Heading(f"{definition.name}: pressure and temperature at saturation"),
        facts(summary(sheet, units), width, 8.5),
        Columns(split, rows, tens, reserve),
        *notes,
    ]


def summary(sheet: Sheet, units: StateUnits) -> list[tuple[str, str]]:
    """Label and value of what stands above a table."""
    record = sheet.record
    pairs = [
        ("Safety group", wording.SAFETY[record.safety_group]()),
        ("GWP, 100 years", gwp_text(record.gwp)),
    ]
    definition = record.definition
    if definition.components != (definition.name,):
        pairs.append(("Mass %", composition(definition)))
    pairs.append(("Critical point", critical_text(sheet, units)))
    if sheet.coldest_k is not None:
        temperature = unit_named("temperature", units.temperature)
        begins = decimals(temperature.of(sheet.coldest_k), 1)
        pairs.append(("Cold end", f"saturation is not computed below {begins}{NBSP}{temperature.label}"))
    pairs.append(("Uncertainty", f"{uncertainty_text(record.uncertainty)}: {record.uncertainty.reason}"))
    if record.pair_sources:
        pairs.append(("Estimated pairs", pairs_text(record.pair_sources)))
    pairs.append(("Pressures", pressure_text(units)))
    return pairs


def critical_text(sheet: Sheet, units: StateUnits) -> str:
    """The critical point, and that the table ends below it where it does."""
    temperature = unit_named("temperature", units.temperature)
    # A property of the refrigerant, whatever the site: always absolute.
    pressure = unit_named("pressure", units.pressure.replace("_gauge", "_absolute"))
    text = (
        f"{temperature.of(sheet.critical_temperature_k):.1f}{NBSP}{temperature.label}, "
        f"{pressure.of(sheet.critical_pressure_pa):.4g}{NBSP}{pressure.label}"
    )
    if not sheet.is_cut_short:
        return text
    margin = unit_named("temperature difference", units.difference)
    return f"{text}; the table ends {margin.of(sheet.margin_k):.1f}{NBSP}{margin.label} below it"


def pressure_text(units: StateUnits) -> str:
    """Gauge or absolute, and where the gauge stands."""
    if not units.is_gauge:
        return "absolute"
    spelling = units.pressure.replace("_gauge", "_absolute")
    unit = unit_named("pressure", spelling)
    # To a pascal or so: an atmosphere is 1.01325 bar, not 1.0132.
    figure = f"{unit.of(units.site_pressure_pa):.{_ATMOSPHERE_PLACES.get(spelling, 3)}f}"
    return f"gauge, at an atmospheric pressure of {figure}{NBSP}{unit.label}; negative below it"


def reading(is_blend: bool, rows: Sequence[Sequence[str]]) -> list[str]:
    """How a table with these cells is read."""
    found = []
    if is_blend:
        found.append(
            "Superheat counts from the dew column, subcooling from the bubble column. Liquid density is at the bubble "
            "point, vapor density at the dew point of the row's temperature. Glide: dew temperature less bubble "
            "temperature at the bubble pressure of the row; latent heat is at that pressure."
        )
    if any(BLANK in row for row in rows):
        found.append(
            f"{BLANK}: not computed, for the dew point at the bubble pressure of the row lies too close to the "
            "critical point."
        )
    return found


def pairs_text(sources: Sequence[PairSource]) -> str:
    """Binary pairs whose parameters are not the property library's, with their sources.

    Those whose sources differ by the name of the second component alone stand together, so that six components
    still leave room for the table.
    """
    alike: dict[str, list[PairSource]] = {}
    for pair in sources:
        alike.setdefault(re.sub(rf"\b{re.escape(pair.second)}\b", "the second", pair.source), []).append(pair)
    parts = []
    for text, pairs in alike.items():
        source = text if len(pairs) > 1 else pairs[0].source
        names = ", ".join(f"{pair.first}/{pair.second}" for pair in pairs)
        parts.append(f"{names}: {source}")
    return "; ".join(parts)
