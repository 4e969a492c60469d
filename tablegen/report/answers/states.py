"""The answer to `states`: pressure-temperature tables in the units of the reader's choice, and the list of refrigerants."""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from tablegen import __version__
from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Imprint, TableLayout, Value
from tablegen.report.formatter import NBSP
from tablegen.report.refrigerant_text import cautions, composition, gwp_text, uncertainty_text
from tablegen.report.rounding import MINUS, decimals
from tablegen.unit_table import Unit
from tablegen.units import unit_named
from tablegen.wording import refrigerants
from tablegen.wording import states as wording

if TYPE_CHECKING:
    from tablegen.model.registry import Gwp, PairSource, PropertyUncertainty, RefrigerantRecord
    from tablegen.physics.definition import RefrigerantDefinition
    from tablegen.tables.reference_tables import RefrigerantStates

USUAL_UNITS = {
    "SI": {
        "temperature": "degC",
        "pressure": "bar_gauge",
        "density": "kg/m3",
        "enthalpy": "kJ/kg",
        "entropy": "kJ/(kg K)",
    },
    "IP": {
        "temperature": "degF",
        "pressure": "psi_gauge",
        "density": "lb/ft3",
        "enthalpy": "Btu/lb",
        "entropy": "Btu/(lb degF)",
    },
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
    "kJ/(kg K)": 4,
    "Btu/(lb degF)": 4,
}
# An inch of mercury at 0 degC [Pa], in which gauges of the United States read below the atmosphere.
_INCH_OF_MERCURY = 3386.389
_VACUUM = "*"
# In another unit, decimals that show this step in SI.
_STEPS = {"pressure": 1000.0, "density": 0.1, "enthalpy": 100.0, "entropy": 0.1}
# Decimals of an atmosphere, to a pascal or so: it is 1.01325 bar, not 1.0132.
_ATMOSPHERE_PLACES = {"psi_absolute": 3, "bar_absolute": 5, "kPa_absolute": 3, "MPa_absolute": 6}


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class StateUnits:
    """The units of a table; a gauge pressure is read at the site pressure [Pa]."""

    temperature: Unit
    pressure: Unit
    density: Unit
    enthalpy: Unit
    entropy: Unit
    site_pressure_pa: float

    @property
    def is_vacuum_in_mercury(self) -> bool:
        """Whether a pressure below the atmosphere is read in inches of mercury."""
        return self.pressure.name == "psi_gauge"

    @property
    def has_us_zero(self) -> bool:
        """Whether enthalpy and entropy count from saturated liquid at -40 degF."""
        return self.enthalpy.name == "Btu/lb"

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


def answer_of_states(
    found: Sequence[RefrigerantStates], units: StateUnits, version: str, columns: Sequence[str] = wording.USUAL_COLUMNS
) -> Answer:
    """Tables of one refrigerant or several, each with what is known of it.

    `version` is that of the property library; `columns` are those that are printed, of `wording.states.COLUMNS`: all are exported.
    """
    names = tuple(own.record.definition.name for own in found)
    imprint = Imprint(
        notice=wording.NOTICE(),
        cautions=cautions(own.record for own in found),
        origin=wording.ORIGIN(version=f"tablegen {__version__}, {version}"),
        subject=wording.HEADING_OF_SEVERAL(),
        keywords=names,
    )
    sections = [_of_refrigerant(own, units, columns) for own in found]
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


def _of_refrigerant(found: RefrigerantStates, units: StateUnits, columns: Sequence[str]) -> Answer:
    table = _rows(found, units, columns)
    printed = {"pressure" if own == "absolute" else own for own in columns}
    reading = " ".join(text() for own, text in wording.READING.items() if own in printed)
    notes = [reading] if found.record.is_blend and reading else []
    if {"enthalpy", "entropy"} & set(columns):
        notes.append(wording.US_ZERO() if units.has_us_zero else wording.SI_ZERO())
    if any(value.text.startswith(_VACUUM) for row in table.rows for value in row):
        notes.append(wording.VACUUM())
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


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class _StateColumn:
    """A printed or exported column: of the choice `group`, its key, name ("" where it is not printed), unit, and printer.

    Without a key it is printed alone: another column has its figures. `of` is the column of the frame.
    """

    group: str
    of: str
    name: str
    unit: Unit
    print_si: Callable[[float], str]
    key: str = ""

    def value(self, si: float) -> Value:
        """A cell."""
        return Value.measured(si, self.print_si) if self.key else Value(Value.measured(si, self.print_si).text)


def _rows(found: RefrigerantStates, units: StateUnits, chosen: Sequence[str]) -> AnswerTable:
    """A row for each temperature; a single component has one saturation pressure and no glide in print."""
    frame = found.frame
    figures = [units.temperature.of(float(kelvin)) for kelvin in frame["temperature_k"]]
    degrees = 0 if all(abs(figure - round(figure)) < 1e-6 for figure in figures) else 1
    temperature = _StateColumn(
        group="",
        of="temperature_k",
        key="temperature_k",
        name=wording.TEMPERATURE(),
        unit=units.temperature,
        print_si=_printer(units.temperature, 0.0, degrees),
    )
    columns = [temperature, *_columns(found, units)]
    printed = [c.name if c.group in ("", *chosen) else "" for c in columns]
    # What is printed alone is not there where it is not printed.
    kept = [(c, name) for c, name in zip(columns, printed, strict=True) if c.key or name]
    name = Value.exported(found.record.definition.name)
    cells = [[c.value(float(si)) for si in frame[c.of]] for c, _ in kept]
    return AnswerTable(
        key="states",
        columns=(
            AnswerColumn(("refrigerant",)),
            *(
                AnswerColumn(
                    (c.key,) if c.key else (),
                    wording.WITH_UNIT(name=label, unit=c.unit.label) if label else "",
                    ColumnStyle.FIGURES,
                )
                for c, label in kept
            ),
        ),
        rows=tuple((name, *row) for row in zip(*cells, strict=True)),
        breaks=_breaks(figures),
        layout=TableLayout.SHEET,
    )


def _columns(found: RefrigerantStates, units: StateUnits) -> Iterator[_StateColumn]:
    """Every column beside the temperature."""
    is_blend, density = found.record.is_blend, units.places("density", units.density)
    bubble = (wording.BUBBLE_PRESSURE if is_blend else wording.SATURATION_PRESSURE)()
    pressures = (("bubble_pressure_pa", bubble), ("dew_pressure_pa", wording.DEW_PRESSURE() if is_blend else ""))
    heat = units.places("enthalpy", units.enthalpy)

    def column(group: str, key: str, name: str, unit: Unit, places: int, zero: float = 0.0) -> _StateColumn:
        return _StateColumn(group=group, of=key, key=key, name=name, unit=unit, print_si=_printer(unit, zero, places))

    for key, name in pressures:
        yield _StateColumn(
            group="pressure", of=key, key=key, name=name, unit=units.pressure, print_si=_pressure_printer(units)
        )
    if units.pressure.is_gauge:
        absolute = _printer(units.absolute, 0.0, units.places("pressure", units.absolute))
        for key, name in pressures:
            yield _StateColumn(group="absolute", of=key, name=name, unit=units.absolute, print_si=absolute)
    yield column("glide", "glide_k", wording.GLIDE() if is_blend else "", units.difference, 1)
    yield column("density", "liquid_density_kg_m3", wording.LIQUID_DENSITY(), units.density, density)
    yield column("density", "vapor_density_kg_m3", wording.VAPOR_DENSITY(), units.density, density + 1)
    yield column("latent_heat", "latent_heat_j_kg", wording.LATENT_HEAT(), units.enthalpy, heat)
    enthalpy_zero, entropy_zero = found.us_zero if units.has_us_zero else (0.0, 0.0)
    for key, label in (("liquid", wording.LIQUID_ENTHALPY), ("vapor", wording.VAPOR_ENTHALPY)):
        yield column("enthalpy", f"{key}_enthalpy_j_kg", label(), units.enthalpy, heat, enthalpy_zero)
    places = units.places("entropy", units.entropy)
    for key, label in (("liquid", wording.LIQUID_ENTROPY), ("vapor", wording.VAPOR_ENTROPY)):
        yield column("entropy", f"{key}_entropy_j_kg_k", label(), units.entropy, places, entropy_zero)


def _pressure_printer(units: StateUnits) -> Callable[[float], str]:
    """Prints a pressure; below the atmosphere as a gauge of the United States reads it, marked."""
    zero = units.site_pressure_pa if units.pressure.is_gauge else 0.0
    usual = _printer(units.pressure, zero, units.places("pressure", units.pressure))

    def printed(pascal: float) -> str:
        if not (units.is_vacuum_in_mercury and usual(pascal).startswith(MINUS)):
            return usual(pascal)
        return f"{_VACUUM}{decimals((zero - pascal) / _INCH_OF_MERCURY, 1)}"

    return printed


def _breaks(figures: Sequence[float]) -> tuple[int, ...]:
    """Rows of round temperatures, with at least four rows from one to the next."""
    step = figures[1] - figures[0] if len(figures) > 1 else 0.0
    width = next((width for width in (10, 20, 50, 100) if width >= 4.0 * step - 1e-6), 1000)
    return tuple(i for i, figure in enumerate(figures) if i and abs(figure / width - round(figure / width)) < 1e-6)


def _printer(unit: Unit, zero_si: float, places: int) -> Callable[[float], str]:
    return lambda value_si: decimals(unit.of(value_si - zero_si), places)


def _every_row(tables: Sequence[AnswerTable]) -> AnswerTable:
    """The rows of all refrigerants, for export alone."""
    # A single component may print less, but exports the same.
    columns = tuple(AnswerColumn(column.keys) for column in tables[0].columns if column.keys)
    rows = (
        tuple(value for column, value in zip(table.columns, row, strict=True) if column.keys)
        for table in tables
        for row in table.rows
    )
    return AnswerTable(key="states", columns=columns, rows=tuple(rows))


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
    message = wording.GAUGE_WITH_MERCURY if units.is_vacuum_in_mercury else wording.GAUGE
    return message(pressure=f"{figure}{NBSP}{units.absolute.label}")


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
