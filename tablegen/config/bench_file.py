"""Read a bench file: CSV with a header of names and units, lines that begin with '#' saying what holds for all rows."""

from __future__ import annotations

import csv
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from tablegen.bench.readings import BenchRows
from tablegen.config._input_files import as_text, read_limited, shown_name
from tablegen.config.bench_columns import COLUMNS, Column, Header, read_header
from tablegen.config.bench_remarks import About, read_remark
from tablegen.errors import BadValue, ConfigError, Problem, unknown
from tablegen.model.names import refrigerant_name
from tablegen.physics.arrays import Bools, Floats, Names

MOST_ROWS = 20_000
_MOST_BYTES = 20_000_000
_MOST_PROBLEMS = 20
_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_FLOW = ("refrigerant", "size", "inlet_pressure", "inlet_temperature", "outlet_pressure", "opening")
_BALANCE = ("inlet_pressure", "outlet_pressure", "opening", "evaporator_pressure")


@dataclass(frozen=True, slots=True)
class Expected:
    """What a bench file may speak of: the family's names, and how its opening and its diaphragm are told.

    `sizes` holds what each is called in print by its key; a row may give either, and reads as the former.
    `full_steps` is None where opening is not counted in steps, `charges` empty where there is no bulb;
    `default_charge` stands where a row names none, "" if it must.
    """

    sizes: Mapping[str, str]
    charges: Collection[str]
    refrigerants: Collection[str]
    default_charge: str = ""
    full_steps: int | None = None
    is_internally_equalized: bool = False


@dataclass(frozen=True, slots=True)
class BenchFile:
    """The rows of a bench file, and what its remarks say of all of them."""

    name: str
    rows: BenchRows
    about: About


def read_bench(path: Path, expected: Expected, site_pressure_pa: float | None = None) -> BenchFile:
    """Read a bench file; `site_pressure_pa` [Pa] goes before the file's own.

    Raises
    ------
    ConfigError
        With every problem, by file, line and column (the first twenty, if there are more).
    """
    shown = shown_name(path)
    reader = _Reader(shown, expected, site_pressure_pa)
    data = read_limited(path, shown, _MOST_BYTES, "give one row a steady state")
    reader.read(as_text(data, shown, "CSV"))
    return BenchFile(path.name, reader.rows(), reader.about)


@dataclass
class _Reader:
    """Goes through the lines once and keeps what is wrong."""

    shown: str
    expected: Expected
    site_pressure_pa: float | None
    about: About = field(default_factory=About)
    header: Header | None = None
    lines: list[int] = field(default_factory=list)
    cells: list[list[str]] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def read(self, text: str) -> None:
        """Sort the lines into remarks, header and rows."""
        for number, line in enumerate(re.split(r"\r\n|\n|\r", text), start=1):
            if line.lstrip().startswith("#"):
                self._remark(number, line)
            elif line.strip(" \t,;"):
                self._row(number, line)
            if len(self.lines) > MOST_ROWS:
                rule = f"more than {MOST_ROWS} rows; give one row for each steady state, not a log of its readings"
                self._wrong(number, "", f"{rule}: they hang together, and every bound would come out too narrow")
                break
            if len(self.problems) >= _MOST_PROBLEMS:
                break
        if self.header is None and not self.problems:
            self._wrong(1, "header", f"the file has none; its first row names columns, as {_example()}")
        if self.header is not None and not self.lines and not self.problems:
            self._wrong(0, "", "the file has no rows below its header")
        if self.header is None or not self.lines:
            self._stop()

    def _remark(self, number: int, line: str) -> None:
        try:
            self.about = read_remark(line, self.about)
        except BadValue as error:
            self._wrong(number, line.lstrip("# \t").partition(":")[0].strip(), str(error))

    def _row(self, number: int, line: str) -> None:
        try:
            cells = [cell.strip() for cell in next(csv.reader([line], strict=True))]
        except csv.Error as error:
            self._wrong(number, "", f"the line is no CSV: {error}")
            return
        if self.header is None:
            self.header, found = read_header(cells)
            for column, text in found:
                self._wrong(number, column, text)
            self._stop()
            self._check_header(number)
            return
        width = self.header.width
        if len(cells) != width:
            # A decimal comma would else shift what stands behind it.
            self._wrong(number, "", f"{len(cells)} cells, where the header has {width}{_comma_hint(cells)}")
            return
        self.lines.append(number)
        self.cells.append(cells)

    def _check_header(self, number: int) -> None:
        """Columns that do not go together, or not with the family."""
        assert self.header is not None
        names = self.header.columns
        if "steps" in names and self.expected.full_steps is None:
            self._wrong(number, "steps", "the family counts no steps; give opening [percent]")
        if "steps" in names and "opening" in names:
            self._wrong(number, "steps", "opening is given too; keep one of them")
        bulb = [n for n in ("charge", "bulb_temperature", "bulb_pressure", "evaporator_pressure") if n in names]
        if bulb and not self.expected.charges:
            self._wrong(number, bulb[0], "the family is electronic: it has no bulb and no balance of forces")
        if "bulb_pressure" in names and names["bulb_pressure"].is_gauge:
            self._wrong(number, "bulb_pressure", "it must be absolute: the bulb is sealed")
        gauges = [name for name, column in names.items() if column.is_gauge and name != "bulb_pressure"]
        if gauges and self._site() is None and "site_pressure" not in names:
            ways = (
                "a column site_pressure [kPa_absolute], a line '# site_pressure: 101.3 kPa_absolute' above the header"
            )
            text = f"a gauge reading needs the atmosphere's pressure: {ways}, or --site-pressure"
            self._wrong(number, gauges[0], text)
        self._stop()

    def _site(self) -> float | None:
        return self.site_pressure_pa if self.site_pressure_pa is not None else self.about.site_pressure_pa

    def _wrong(self, line: int, column: str, text: str) -> None:
        # A name out of a broken header must not break the line of its message.
        self.problems.append(Problem(self.shown, line, column if column.isprintable() else repr(column), text))

    def _stop(self) -> None:
        if self.problems:
            every = sorted(set(self.problems))
            cut = min(_MOST_PROBLEMS, len(every))
            # No line is told in part.
            while 1 < cut < len(every) and every[cut].line == every[cut - 1].line:
                cut -= 1
            kept = every[:cut]
            if more := len(every) - cut:
                kept.append(Problem(self.shown, every[cut].line, "", f"{more} more problems in this line and below"))
            raise ConfigError(kept)

    def rows(self) -> BenchRows:
        """All rows as arrays, every cell looked at."""
        values = {name: self._column(name) for name, column in COLUMNS.items() if column.kind}
        if self.expected.is_internally_equalized:
            values["evaporator_pressure"] = values["outlet_pressure"]
        if self.expected.full_steps is not None and self.header is not None and "steps" in self.header.columns:
            values["opening"] = self._steps(values["steps"], self.expected.full_steps)
        charge = self._names("charge", self.expected.charges, "a charge of the family", self.expected.default_charge)
        names = {
            "refrigerant": self._names("refrigerant", self.expected.refrigerants, "a refrigerant"),
            "size": self._names(
                "size", dict.fromkeys(n for pair in self.expected.sizes.items() for n in pair), "a size of the family"
            ),
        }
        names["size"] = np.array([self.expected.sizes.get(size, size) for size in names["size"]], dtype=object)
        self._stop()
        self._check_complete({**values, **names, "charge": charge})
        self._stop()
        return BenchRows(
            line=np.array(self.lines),
            refrigerant=names["refrigerant"],
            size=names["size"],
            charge=charge,
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
            if _NUMBER.fullmatch(text) is None or not np.isfinite(float(text)):
                self._wrong(self.lines[i], name, f"{text[:40]!r} is not allowed; {_number_rule(text, column)}")
                continue
            found[i] = float(text)
        value = np.asarray(found * column.factor + column.offset)
        if column.is_gauge:
            value = value + self._site_pressures(np.isfinite(value))
        minimum, most = COLUMNS[name].bounds
        # Names the cell as it was written.
        for i in map(int, np.flatnonzero((value < minimum) | (value > most))):
            self._wrong(self.lines[i], name, f"{self.cells[i][column.index]!r} is not allowed; {COLUMNS[name].rule}")
        return value

    def _site_pressures(self, is_read: Bools) -> Floats:
        """The atmosphere of every row [Pa]; a row with a gauge reading must have one."""
        if self.site_pressure_pa is not None:
            return np.full(len(self.lines), self.site_pressure_pa)
        site = self._column("site_pressure")
        if self.about.site_pressure_pa is not None:
            site = np.where(np.isnan(site), self.about.site_pressure_pa, site)
        for i in np.flatnonzero(is_read & np.isnan(site)):
            self._wrong(self.lines[i], "site_pressure", "the cell is empty, and the row has gauge readings")
        return site

    def _steps(self, steps: Floats, full_steps: int) -> Floats:
        for i in np.flatnonzero((steps != np.floor(steps)) | (steps > full_steps)):
            rule = f"steps are whole and at most {full_steps}, the full travel of the family"
            self._wrong(self.lines[i], "steps", f"{steps[i]:g} is not allowed; {rule}")
        return steps / full_steps

    def _names(self, name: str, known: Collection[str], what: str, default: str = "") -> Names:
        assert self.header is not None
        found = np.full(len(self.lines), default, dtype=object)
        column = self.header.columns.get(name)
        for i, cells in enumerate(self.cells):
            text = cells[column.index] if column is not None else ""
            text = refrigerant_name(text) if name == "refrigerant" else text
            if text and text not in known:
                self._wrong(self.lines[i], name, unknown(what, text[:40], known))
            found[i] = text or default
        return found

    def _check_complete(self, values: Mapping[str, Names]) -> None:
        """Every row tells a flow, a balance or a charge, and has all that it needs for it."""
        empty = {n: (v == "") if v.dtype == object else np.isnan(v.astype(np.float64)) for n, v in values.items()}
        for i, number in enumerate(self.lines):
            if empty["mass_flow"][i] and empty["bulb_temperature"][i]:
                self._wrong(number, "", "the row has neither a mass flow nor a bulb temperature, and so tells nothing")
                continue
            has_flow, has_bulb = not empty["mass_flow"][i], not empty["bulb_temperature"][i]
            wanted: list[str] = [*_FLOW] if has_flow else []
            if has_bulb:
                wanted += ["charge"] if not empty["bulb_pressure"][i] else ["charge", *_BALANCE]
            if has_flow and has_bulb and empty["opening"][i]:
                # It follows from the flow, and is of use in the balance alone.
                wanted = [n for n in (*_FLOW, "charge", *_BALANCE) if n != "opening"]
            missing = list(dict.fromkeys(n for n in wanted if empty[n][i]))
            if missing:
                hint = "; a mass flow would do in its place" if missing == ["opening"] and not has_flow else ""
                self._wrong(number, missing[0], f"the cell is empty, and the row {_why(missing)}{hint}")


def _why(missing: list[str]) -> str:
    listed = ", ".join(missing).replace("opening", "opening (or steps)")
    hint = "; name it in the column, or with --charge" if missing[0] == "charge" else ""
    return f"lacks {listed}{hint}"


def _number_rule(text: str, column: Column) -> str:
    if "," in text:
        return "it must be a number with a decimal point and no separator of thousands"
    if "\N{MINUS SIGN}" in text or "\N{EN DASH}" in text:
        return "it must be a number; write its minus as '-'"
    if re.match(r"[+-]?[\d.]+\s*[^\d\s]", text):
        return f"it must be a number alone; its unit stands in the header ({column.unit or 'a count'})"
    return "it must be a number; leave the cell empty where there was no reading"


def _comma_hint(cells: list[str]) -> str:
    return " (is a decimal comma among them?)" if len(cells) > 1 else " (cells are set apart by commas)"


def _example() -> str:
    return "'refrigerant, size, inlet_pressure [psi_absolute], inlet_temperature [degF], ...'"
