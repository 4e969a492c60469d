"""Read a bench file: CSV with a header of names and units, and remarks about all rows in lines that begin with '#'."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from tablegen.bench.readings import BenchRows
from tablegen.config._input_files import csv_text, read_limited, shown_name
from tablegen.config.bench_header import COLUMNS, About, Header, read_header, read_remark
from tablegen.config.csv_rows import csv_rows, has_decimal_comma, separator_of
from tablegen.config.import_problems import joined_by_line
from tablegen.errors import BadValue, ConfigError, FileProblem, unknown
from tablegen.model.names import refrigerant_name
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.units import plain_number
from tablegen.wording import bench as wording
from tablegen.wording import config_errors, input_errors

MAX_ROWS = 20_000
_MAX_BYTES = 20_000_000
_MAX_PROBLEMS = 20
_SPECIMEN = re.compile(r"[\w.-]{1,40}")
_FLOW = ("refrigerant", "size", "inlet_pressure", "inlet_temperature", "outlet_pressure", "opening")
_BALANCE = ("inlet_pressure", "outlet_pressure", "opening", "evaporator_pressure")


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a bench file may name: the family's sizes and charges, and how its opening is measured.

    `sizes` has the name in print of each by its key; a row may give either, and gets the name in print.
    `full_steps` is None where opening is not counted in steps, `charges` empty where there is no bulb;
    `default_charge` is the charge of a row that names none, "" if it must name one.  Without `has_readings` its rows are
    conditions that may be set, with an evaporator pressure for a force balance too.
    """

    sizes: Mapping[str, str]
    charges: Collection[str]
    refrigerants: Collection[str]
    default_charge: str = ""
    full_steps: int | None = None
    is_internally_equalized: bool = False
    has_readings: bool = True


@dataclass(frozen=True, slots=True)
class BenchFile:
    """The rows of a bench file, and what its remarks say about all of them."""

    name: str
    rows: BenchRows
    about: About


def read_bench(path: Path, expected: Expected, site_pressure_pa: float | None = None) -> BenchFile:
    """Read a bench file; `site_pressure_pa` [Pa] goes before the file's own.

    Raises ConfigError with every problem, by file, line and column (the first twenty, if there are more).
    """
    shown = shown_name(path)
    reader = _Reader(shown=shown, expected=expected, site_pressure_pa=site_pressure_pa)
    data = read_limited(path, shown, _MAX_BYTES, wording.READINGS_ARE_FEW())
    reader.read(csv_text(data, shown))
    return BenchFile(path.name, reader.rows(), reader.about)


@dataclass(kw_only=True)
class _Reader:
    """Goes through the lines once and notes what is wrong."""

    shown: str
    expected: Expected
    site_pressure_pa: float | None
    about: About = field(default_factory=About)
    header: Header | None = None
    has_decimal_comma: bool = False
    lines: list[int] = field(default_factory=list)
    cells: list[list[str]] = field(default_factory=list)
    problems: list[FileProblem] = field(default_factory=list)

    def read(self, text: str) -> None:
        """Sort the lines into remarks, header and rows."""
        separator = separator_of(text)
        self.has_decimal_comma = has_decimal_comma(separator)
        for row in csv_rows(text, separator):
            number, cells = row.line, [cell.strip() for cell in row.cells]
            if row.wrong:
                self._wrong(number, "", input_errors.NOT_CSV(reason=row.wrong))
            elif row.is_remark:
                self._remark(number, cells[0])
            elif any(cells):
                self._row(number, cells)
            if len(self.lines) > MAX_ROWS:
                self._wrong(number, "", wording.TOO_MANY_ROWS(count=MAX_ROWS))
                break
            if len(self.problems) >= _MAX_PROBLEMS:
                break
        if self.header is None and not self.problems:
            self._wrong(1, input_errors.HEADER(), wording.NO_HEADER())
        if self.header is not None and not self.lines and not self.problems:
            self._wrong(0, "", wording.NO_ROWS())
        if self.header is None or not self.lines:
            self._stop()

    def _remark(self, number: int, line: str) -> None:
        try:
            self.about = read_remark(line, self.about)
        except BadValue as error:
            self._wrong(number, line.lstrip("# \t").partition(":")[0].strip(), str(error))

    def _row(self, number: int, cells: list[str]) -> None:
        if self.header is None:
            self.header, found = read_header(cells)
            for column, text in found:
                self._wrong(number, column, text)
            self._stop()
            self._check_header(number)
            return
        width = self.header.width
        if len(cells) != width:
            # A decimal comma would shift the cells after it.
            says = wording.WIDTH if len(cells) > 1 else wording.WIDTH_OF_ONE
            self._wrong(number, "", says(count=len(cells), width=width))
            return
        self.lines.append(number)
        self.cells.append(cells)

    def _check_header(self, number: int) -> None:
        """Columns that do not go together, or not with the family."""
        assert self.header is not None
        names = self.header.columns
        if "steps" in names and self.expected.full_steps is None:
            self._wrong(number, "steps", wording.NO_STEPS())
        if "steps" in names and "opening" in names:
            self._wrong(number, "steps", wording.STEPS_AND_OPENING())
        bulb = [n for n in ("charge", "bulb_temperature", "bulb_pressure", "evaporator_pressure") if n in names]
        if bulb and not self.expected.charges:
            self._wrong(number, bulb[0], wording.ELECTRONIC())
        if "bulb_pressure" in names and names["bulb_pressure"].unit.is_gauge:
            self._wrong(number, "bulb_pressure", config_errors.BULB_IS_SEALED())
        gauges = [name for name, column in names.items() if column.unit.is_gauge and name != "bulb_pressure"]
        if gauges and self._site() is None and "site_pressure" not in names:
            self._wrong(number, gauges[0], wording.ATMOSPHERE_MISSING())
        self._stop()

    def _site(self) -> float | None:
        return self.site_pressure_pa if self.site_pressure_pa is not None else self.about.site_pressure_pa

    def _wrong(self, line: int, column: str, text: str) -> None:
        # A name out of a broken header must not break the line of its message.
        self.problems.append(FileProblem(self.shown, line, column if column.isprintable() else repr(column), text))

    def _refuse(self, line: int, column: str, value: str, rule: str) -> None:
        self._wrong(line, column, str(BadValue(value, rule)))

    def _stop(self) -> None:
        if self.problems:
            every = sorted(joined_by_line(self.problems))
            cut = min(_MAX_PROBLEMS, len(every))
            # No line is reported in part.
            while 1 < cut < len(every) and every[cut].line == every[cut - 1].line:
                cut -= 1
            shown = every[:cut]
            if more := len(every) - cut:
                shown.append(FileProblem(self.shown, every[cut].line, "", wording.MORE_ERRORS(more)))
            raise ConfigError(shown)

    def rows(self) -> BenchRows:
        """All rows as arrays, with every cell checked."""
        expected = self.expected
        values = {name: self._column(name) for name, column in COLUMNS.items() if column.kind}
        if expected.is_internally_equalized:
            values["evaporator_pressure"] = values["outlet_pressure"]
        if expected.full_steps is not None and self.header is not None and "steps" in self.header.columns:
            values["opening"] = self._steps(values["steps"], expected.full_steps)
        charge = self._names("charge", expected.charges, wording.A_CHARGE(), expected.default_charge)
        refrigerant = self._names("refrigerant", expected.refrigerants, input_errors.A_REFRIGERANT())
        size = self._names("size", expected.sizes.values(), wording.A_SIZE(), also=expected.sizes)
        size = np.array([expected.sizes.get(name, name) for name in size], dtype=object)
        self._stop()
        self._check_complete({**values, "refrigerant": refrigerant, "size": size, "charge": charge})
        self._stop()
        return BenchRows(
            line=np.array(self.lines),
            refrigerant=refrigerant,
            size=size,
            charge=charge,
            specimen=self._specimens(size),
            inlet_pressure_pa=values["inlet_pressure"],
            inlet_temperature_k=values["inlet_temperature"],
            outlet_pressure_pa=values["outlet_pressure"],
            flow_kg_s=values["mass_flow"],
            opening=values["opening"],
            bulb_temperature_k=values["bulb_temperature"],
            bulb_pressure_pa=values["bulb_pressure"],
            evaporator_pressure_pa=values["evaporator_pressure"],
        )

    def _column(self, name: str) -> Floats:
        """One column in SI; NaN where it has no reading."""
        assert self.header is not None
        found = np.full(len(self.lines), np.nan)
        column = self.header.columns.get(name)
        if column is None:
            return found
        for i, cells in enumerate(self.cells):
            text = cells[column.index]
            if not text:
                continue
            number = plain_number(text.replace(",", ".", 1) if self.has_decimal_comma and "." not in text else text)
            if number is None:
                self._refuse(self.lines[i], name, repr(text[:40]), _number_rule(text, column.unit.name))
                continue
            found[i] = number
        value = np.asarray(found * column.unit.scale + column.unit.offset)
        if column.unit.is_gauge:
            value = value + self._site_pressures(np.isfinite(value))
        (minimum, maximum), rule = COLUMNS[name].bounds, COLUMNS[name].rule
        assert rule
        # Names the cell as it was written.
        for i in map(int, np.flatnonzero((value < minimum) | (value > maximum))):
            self._refuse(self.lines[i], name, repr(self.cells[i][column.index]), rule())
        return value

    def _site_pressures(self, is_read: Bools) -> Floats:
        """The atmosphere of every row [Pa]; a row with a gauge reading must have one."""
        if self.site_pressure_pa is not None:
            return np.full(len(self.lines), self.site_pressure_pa)
        site = self._column("site_pressure")
        if self.about.site_pressure_pa is not None:
            site = np.where(np.isnan(site), self.about.site_pressure_pa, site)
        for i in np.flatnonzero(is_read & np.isnan(site)):
            self._wrong(self.lines[i], "site_pressure", wording.NO_ATMOSPHERE())
        return site

    def _steps(self, steps: Floats, full_steps: int) -> Floats:
        for i in np.flatnonzero((steps != np.floor(steps)) | (steps > full_steps)):
            self._refuse(self.lines[i], "steps", f"{steps[i]:g}", wording.STEPS(count=full_steps))
        return steps / full_steps

    def _names(
        self, name: str, known: Collection[str], what: str, default: str = "", also: Collection[str] = ()
    ) -> Names:
        """A column of names that are known; those of `also` are taken too."""
        assert self.header is not None
        found = np.full(len(self.lines), default, dtype=object)
        column = self.header.columns.get(name)
        for i, cells in enumerate(self.cells):
            text = cells[column.index] if column is not None else ""
            own = refrigerant_name(text) if name == "refrigerant" else text
            if own and own not in known and own not in also:
                self._wrong(self.lines[i], name, unknown(what, own[:40], known, text[:40]))
            found[i] = own or default
        return found

    def _specimens(self, size: Names) -> Names:
        """The specimen of each row: one valve, with one size and one charge; none, or of every row."""
        assert self.header is not None
        column = self.header.columns.get("specimen")
        found = np.full(len(self.lines), "", dtype=object)
        if column is None or not any(cells[column.index] for cells in self.cells):
            return found
        by_row = self.header.columns.get("charge")
        seen: dict[tuple[str, str], tuple[str, int]] = {}
        for i, cells in enumerate(self.cells):
            found[i] = name = cells[column.index]
            if _SPECIMEN.fullmatch(name) is None:
                rule = wording.SPECIMEN() if name else wording.NO_SPECIMEN()
                self._refuse(self.lines[i], "specimen", repr(name[:40]), rule)
            for kind, own in (("size", size[i]), ("charge", "" if by_row is None else cells[by_row.index])):
                before, line = seen.setdefault((name, kind), (own, self.lines[i])) if own else (own, 0)
                if before != own:
                    rule = wording.ONE_VALVE(kind=kind, own=own, before=before, line=line)
                    self._refuse(self.lines[i], "specimen", repr(name[:40]), rule)
        self._stop()
        return found

    def _check_complete(self, values: Mapping[str, Names]) -> None:
        """Every row is of a flow, a balance or a charge, and has all that it needs for it."""
        empty = {n: (v == "") if v.dtype == object else np.isnan(v.astype(np.float64)) for n, v in values.items()}
        for i, number in enumerate(self.lines):
            has_flow, has_bulb = not empty["mass_flow"][i], not empty["bulb_temperature"][i]
            if not self.expected.has_readings:
                has_flow, has_bulb = True, False
            if not has_flow and not has_bulb:
                self._wrong(number, "", wording.NO_READING())
                continue
            wanted: list[str] = [*_FLOW] if has_flow else []
            if has_bulb:
                wanted += ["charge"] if not empty["bulb_pressure"][i] else ["charge", *_BALANCE]
            if self.expected.has_readings:
                # A row counts for what it says without one.
                wanted = [n for n in wanted if n != "opening"]
            missing = list(dict.fromkeys(n for n in wanted if empty[n][i]))
            if missing:
                listed = ", ".join(wording.OPENING_OR_STEPS() if n == "opening" else n for n in missing)
                says = wording.ROW_LACKS_CHARGE if missing[0] == "charge" else wording.ROW_LACKS
                self._wrong(number, missing[0], says(columns=listed))


def _number_rule(text: str, unit: str) -> str:
    if "," in text:
        return wording.NUMBER_WITH_POINT()
    if "\N{MINUS SIGN}" in text or "\N{EN DASH}" in text:
        return wording.NUMBER_WITH_MINUS()
    if re.match(r"[+-]?[\d.]+\s*[^\d\s]", text):
        return wording.NUMBER_ALONE(unit=unit) if unit else wording.COUNT_ALONE()
    return wording.NUMBER()
