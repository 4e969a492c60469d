"""The answer to `states`: pressure-temperature tables in the units of the reader's choice, and the list of refrigerants."""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from tablegen import __version__
from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Imprint, TableLayout, Value
from tablegen.report.formatter import NBSP
from tablegen.report.refrigerant_text import cautions, composition, gwp_text, uncertainty_text
from tablegen.report.rounding import decimals
from tablegen.unit_table import Unit
from tablegen.units import unit_named
from tablegen.wording import refrigerants
from tablegen.wording import states as wording

if TYPE_CHECKING:
    from tablegen.model.registry import Gwp, PairSource, PropertyUncertainty, RefrigerantRecord
    from tablegen.physics.definition import RefrigerantDefinition
    from tablegen.tables.reference_tables import RefrigerantStates

USUAL_UNITS = {
    "SI": {"temperature": "degC", "pressure": "bar_gauge", "density": "kg/m3", "enthalpy": "kJ/kg"},
    "IP": {"temperature": "degF", "pressure": "psi_gauge", "density": "lb/ft3", "enthalpy": "Btu/lb"},
}
_DIFFERENCES = {"degF": "delta_degF", "degC": "K"}
# Decimals printed in each unit: well below the uncertainty, and enough at the cold end.
_PLACES = {
    "psi_gauge": 1,
    "psi_absolute": 1,
    "bar_gauge": 2,
    "bar_absolute": 3,
    "kPa_gauge": 1,
    "kPa_absolute": 1,
    "MPa_gauge": 4,
    "MPa_absolute": 4,
    "kJ/kg": 1,
    "J/kg": 0,
    "Btu/lb": 2,
    "kg/m3": 1,
    "lb/ft3": 2,
}
# In another unit, decimals that show this step in SI.
_STEPS = {"pressure": 1000.0, "density": 0.1, "enthalpy": 100.0}
# Decimals of an atmosphere, to a pascal or so: it is 1.01325 bar, not 1.0132.
_ATMOSPHERE_PLACES = {"psi_absolute": 3, "bar_absolute": 5, "kPa_absolute": 3, "MPa_absolute": 6}


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class StateUnits:
    """The units of a table; a gauge pressure is read at the site pressure [Pa]."""

    temperature: Unit
    pressure: Unit
    density: Unit
    enthalpy: Unit
    site_pressure_pa: float

    @property
    def difference(self) -> Unit:
        """The unit of the glide."""
        return unit_named("temperature difference", _DIFFERENCES.get(self.temperature.name, "K"))

    @property
    def absolute(self) -> Unit:
        """The unit of pressures that are absolute whatever the table's own are."""
        return unit_named("pressure", self.pressure.name.replace("_gauge", "_absolute"))

    def places(self, kind: str, unit: Unit) -> int:
        """Decimals of a kind of quantity."""
        return _PLACES.get(unit.name, max(0, math.ceil(math.log10(unit.scale / _STEPS[kind]))))


def answer_of_states(found: Sequence[RefrigerantStates], units: StateUnits, version: str) -> Answer:
    """Tables of one refrigerant or several, each with what is known of it; `version` is that of the property library."""
    names = tuple(own.record.definition.name for own in found)
    groups = dict.fromkeys(own.record.safety_group for own in found)
    imprint = Imprint(
        notice=wording.NOTICE(),
        cautions=tuple(dict.fromkeys(text for group in groups for text in cautions(group))),
        origin=wording.ORIGIN(version=f"tablegen {__version__}, {version}"),
        subject=wording.HEADING_OF_SEVERAL(),
        keywords=names,
    )
    sections = [_of_refrigerant(own, units) for own in found]
    if len(sections) == 1:
        return dataclasses.replace(sections[0], imprint=imprint)
    return Answer(
        key="states",
        heading=wording.HEADING_OF_SEVERAL(),
        tables=(_every_row([section.table("states") for section in sections]),),
        sections=tuple(dataclasses.replace(own, key=f"states_{n}") for n, own in enumerate(sections, start=1)),
        imprint=imprint,
    )


def answer_of_list(records: Mapping[str, RefrigerantRecord]) -> Answer:
    """All refrigerants that are known."""
    columns = (
        AnswerColumn(("refrigerant",), refrigerants.REFRIGERANT()),
        AnswerColumn(("safety_group",), refrigerants.SAFETY_GROUP()),
        AnswerColumn(("gwp_reports", "gwp_100_years"), wording.GWP()),
        AnswerColumn(("components", "mass_fractions"), wording.COMPOSITION()),
    )
    rows = (
        (Value.of(name), Value.of(record.safety_group), _gwp(record.gwp), _composition(record.definition))
        for name, record in records.items()
    )
    return Answer(
        key="refrigerants",
        heading=wording.LIST_HEADING(len(records)),
        tables=(AnswerTable(key="refrigerants", columns=columns, rows=tuple(rows)),),
    )


def _of_refrigerant(found: RefrigerantStates, units: StateUnits) -> Answer:
    table = _rows(found, units)
    notes = [wording.READING()] if found.record.is_blend else []
    if any(
        math.isnan(datum) for row in table.rows for value in row for datum in value.data if isinstance(datum, float)
    ):
        notes.append(wording.NOT_COMPUTED())
    return Answer(
        key="states",
        heading=wording.HEADING(refrigerant=found.record.definition.name),
        facts=_facts(found, units),
        tables=(table,),
        notes=tuple(notes),
    )


def _rows(found: RefrigerantStates, units: StateUnits) -> AnswerTable:
    """A row for each temperature; a single component has one saturation pressure and no glide in print."""
    is_blend = found.record.is_blend
    zero = units.site_pressure_pa if units.pressure.is_gauge else 0.0
    pressure, density = units.places("pressure", units.pressure), units.places("density", units.density)
    heat = units.places("enthalpy", units.enthalpy)
    bubble = wording.BUBBLE_PRESSURE if is_blend else wording.SATURATION_PRESSURE
    frame = found.frame
    figures = [units.temperature.of(float(kelvin)) for kelvin in frame["temperature_k"]]
    degrees = 0 if all(abs(figure - round(figure)) < 1e-6 for figure in figures) else 1
    # Key, name ("" where it is not printed), unit, what is subtracted first, decimals.
    columns = (
        ("temperature_k", wording.TEMPERATURE(), units.temperature, 0.0, degrees),
        ("bubble_pressure_pa", bubble(), units.pressure, zero, pressure),
        ("dew_pressure_pa", wording.DEW_PRESSURE() if is_blend else "", units.pressure, zero, pressure),
        ("glide_k", wording.GLIDE() if is_blend else "", units.difference, 0.0, 1),
        ("liquid_density_kg_m3", wording.LIQUID_DENSITY(), units.density, 0.0, density),
        ("vapour_density_kg_m3", wording.VAPOR_DENSITY(), units.density, 0.0, density + 1),
        ("latent_heat_j_kg", wording.LATENT_HEAT(), units.enthalpy, 0.0, heat),
    )
    cells = [
        [Value.measured(float(value), _printer(unit, zero, places)) for value in frame[key]]
        for key, _, unit, zero, places in columns
    ]
    name = Value.exported(found.record.definition.name)
    return AnswerTable(
        key="states",
        columns=(
            AnswerColumn(("refrigerant",)),
            *(
                AnswerColumn((key,), wording.WITH_UNIT(name=name, unit=unit.label) if name else "", ColumnStyle.FIGURES)
                for key, name, unit, _, _ in columns
            ),
        ),
        rows=tuple((name, *row) for row in zip(*cells, strict=True)),
        breaks=_breaks(figures),
        layout=TableLayout.SHEET,
    )


def _breaks(figures: Sequence[float]) -> tuple[int, ...]:
    """Rows of round temperatures, with at least four rows from one to the next."""
    step = figures[1] - figures[0] if len(figures) > 1 else 0.0
    width = next((width for width in (10, 20, 50, 100) if width >= 4.0 * step - 1e-6), 1000)
    return tuple(i for i, figure in enumerate(figures) if i and abs(figure / width - round(figure / width)) < 1e-6)


def _printer(unit: Unit, zero_si: float, places: int) -> Callable[[float], str]:
    return lambda value_si: decimals(unit.of(value_si - zero_si), places)


def _every_row(tables: Sequence[AnswerTable]) -> AnswerTable:
    """The rows of all refrigerants, for export alone."""
    columns = tuple(AnswerColumn(column.keys) for column in tables[0].columns)
    return AnswerTable(key="states", columns=columns, rows=tuple(row for table in tables for row in table.rows))


def _facts(found: RefrigerantStates, units: StateUnits) -> tuple[Fact, ...]:
    """What is known of a refrigerant beside its table."""
    record, temperature = found.record, units.temperature
    facts = [
        Fact.exported("refrigerant", record.definition.name),
        Fact(
            ("safety_group",),
            refrigerants.SAFETY_GROUP(),
            Value(refrigerants.SAFETY[record.safety_group](), (record.safety_group,)),
        ),
        Fact(("gwp_reports", "gwp_100_years"), wording.GWP(), _gwp(record.gwp)),
    ]
    is_named = record.definition.components == (record.definition.name,)
    composition = Fact(
        ("components", "mass_fractions"), "" if is_named else wording.COMPOSITION(), _composition(record.definition)
    )
    facts += [composition, _critical_point(found, units)]
    if found.coldest_k is not None:
        begins = f"{decimals(temperature.of(found.coldest_k), 1)}{NBSP}{temperature.label}"
        text = wording.NOT_BELOW(temperature=begins)
        facts.append(Fact(("coldest_k",), wording.LOWEST_TEMPERATURE(), Value(text, (found.coldest_k,))))
    facts.append(_uncertainty(record.uncertainty))
    if record.pair_sources:
        facts.append(Fact((), wording.PAIRS(), Value(_pairs(record.pair_sources))))
    return (*facts, Fact((), wording.PRESSURES(), Value(_pressure_text(units))))


def _composition(definition: RefrigerantDefinition) -> Value:
    return Value(composition(definition), (definition.components, definition.mass_fractions))


def _gwp(entries: Sequence[Gwp]) -> Value:
    return Value(gwp_text(entries), (tuple(own.report for own in entries), tuple(own.value for own in entries)))


def _uncertainty(found: PropertyUncertainty) -> Fact:
    text = wording.UNCERTAINTY_BECAUSE(uncertainty=uncertainty_text(found), reason=found.reason)
    figures = (found.pressure, found.density, found.enthalpy)
    keys = ("pressure_uncertainty", "density_uncertainty", "enthalpy_uncertainty")
    return Fact(keys, wording.UNCERTAINTY(), Value(text, figures))


def _critical_point(found: RefrigerantStates, units: StateUnits) -> Fact:
    """The critical point, and that the table ends below it where it does."""
    kelvin, pascal = found.critical_temperature_k, found.critical_pressure_pa
    temperature = f"{units.temperature.of(kelvin):.1f}{NBSP}{units.temperature.label}"
    pressure = f"{units.absolute.of(pascal):.4g}{NBSP}{units.absolute.label}"
    text = wording.CRITICAL(temperature=temperature, pressure=pressure)
    if found.end_below_critical_k is not None:
        margin = f"{units.difference.of(found.end_below_critical_k):.1f}{NBSP}{units.difference.label}"
        text = wording.CRITICAL_CUT_SHORT(temperature=temperature, pressure=pressure, margin=margin)
    return Fact(
        ("critical_temperature_k", "critical_pressure_pa"), wording.CRITICAL_POINT(), Value(text, (kelvin, pascal))
    )


def _pressure_text(units: StateUnits) -> str:
    """Gauge or absolute, and where the gauge reads zero."""
    if not units.pressure.is_gauge:
        return wording.ABSOLUTE()
    places = _ATMOSPHERE_PLACES.get(units.absolute.name, 3)
    figure = f"{units.absolute.of(units.site_pressure_pa):.{places}f}"
    return wording.GAUGE(pressure=f"{figure}{NBSP}{units.absolute.label}")


def _pairs(sources: Sequence[PairSource]) -> str:
    """Binary pairs whose parameters are not the property library's, with their sources.

    Those whose sources differ by the name of the second component alone are listed together, so that six components
    still leave space for the table.
    """
    alike: dict[str, list[PairSource]] = {}
    for pair in sources:
        text = re.sub(rf"\b{re.escape(pair.second)}\b", wording.SECOND(), pair.source)
        alike.setdefault(text, []).append(pair)
    return "; ".join(
        wording.PAIRS_OF_SOURCE(
            pairs=", ".join(wording.PAIR(first=pair.first, second=pair.second) for pair in pairs),
            source=source if len(pairs) > 1 else pairs[0].source,
        )
        for source, pairs in alike.items()
    )
