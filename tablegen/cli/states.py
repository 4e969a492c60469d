"""`tablegen states`: pressure-temperature tables as text, CSV or a printed sheet."""

from __future__ import annotations

import argparse
import textwrap
from pathlib import Path
from typing import Any

from tablegen.cli.options import add_registry_option, read_quantity, registry_of
from tablegen.cli.text_table import aligned
from tablegen.errors import BadValue, OutputError, RequestError
from tablegen.model.names import refrigerant_name

_RANGES = {"IP": ("-60 degF", "150 degF", "5 delta_degF"), "SI": ("-50 degC", "65 degC", "2.5 K")}
_ATMOSPHERE = "101.325 kPa_absolute"
# From the deepest mine to the highest road: what lies outside is a gauge reading or another unit.
_SITE_PRESSURES_PA = 50e3, 110e3
_MOST_ROWS = 2000
_KINDS = ("temperature", "pressure", "density", "enthalpy")


def add_parser(commands: Any) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "states",
        help="print the pressure-temperature table of a refrigerant",
        description="Pressure-temperature table: bubble and dew pressure, glide, densities, latent heat.",
        epilog="Quantities are written with their unit, as in configs: --coldest '-40 degF'.",
    )
    parser.add_argument(
        "refrigerants",
        type=refrigerant_name,
        nargs="*",
        metavar="REFRIGERANT",
        help="such as R448A; none lists them all",
    )
    add_registry_option(parser)
    parser.add_argument("--units", choices=("IP", "SI"), default="IP", help="unit system (default: IP)")
    parser.add_argument("--coldest", metavar="T", help="first temperature (default: -60 degF, -50 degC)")
    parser.add_argument("--warmest", metavar="T", help="last temperature (default: 150 degF, 65 degC)")
    parser.add_argument("--step", metavar="DT", help="step (default: 5 delta_degF, 2.5 K)")
    for name, example in (
        ("temperature", "degC"),
        ("pressure", "kPa_absolute"),
        ("density", "lb/ft3"),
        ("enthalpy", "kJ/kg"),
    ):
        parser.add_argument(f"--{name}", metavar="UNIT", help=f"unit of one kind, such as {example}")
    parser.add_argument(
        "--site-pressure",
        default=_ATMOSPHERE,
        metavar="P",
        help=f"atmosphere that gauges read from (default: {_ATMOSPHERE})",
    )
    parser.add_argument("--output", metavar="FILE", help="write FILE: .txt, .csv or .pdf (a printed sheet)")
    parser.add_argument("--csv", action="store_true", help="write CSV in place of text")
    parser.add_argument("--paper", choices=("letter", "a4"), default="letter", help="paper of a printed sheet")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print, or write, the tables asked for."""
    target = None if options.output is None else _target(options)
    if options.csv and not options.refrigerants:
        raise RequestError("--csv: it needs a refrigerant, as in 'tablegen states R448A --csv'")
    registry = registry_of(options)
    if not options.refrigerants:
        print(_listing(registry))
        return 0
    for name in options.refrigerants:
        if name not in registry:
            raise RequestError(_unknown(name, list(registry)))
    made = _Tables(options, registry)
    if target is None:
        print(made.csv() if options.csv else made.text(), end="")
        return 0
    try:
        print(made.write(target, {"letter": "Letter", "a4": "A4"}[options.paper]))
    except OutputError as error:
        raise OutputError(f"--output: {error}") from error
    return 0


def _target(options: argparse.Namespace) -> Path:
    """The file to write, looked at before anything is computed."""
    path = Path(options.output)
    why = ""
    if not options.output.strip():
        why = "it names no file"
    elif path.is_dir():
        why = "it is a folder; name a file that ends in .txt, .csv or .pdf"
    elif path.suffix.lower() not in (".txt", ".csv", ".pdf"):
        why = "the file must end in .txt, .csv or .pdf"
    elif not path.parent.is_dir():
        why = f"the folder {str(path.parent)!r} does not exist"
    elif options.csv and path.suffix.lower() != ".csv":
        why = "with --csv the file must end in .csv"
    elif not options.refrigerants:
        why = "it needs a refrigerant, as in 'tablegen states R448A --output sheet.pdf'"
    if why:
        raise RequestError(f"--output: {options.output!r} is not allowed; {why}")
    return path


class _Tables:
    """The frames asked for, and the units that they are printed in."""

    def __init__(self, options: argparse.Namespace, registry: Any) -> None:
        from tablegen.report.pages.saturation_rows import DEFAULT_UNITS, StateUnits
        from tablegen.report.pages.saturation_sheet import Sheet
        from tablegen.tables.reference_tables import saturation_frame

        chosen = {kind: _unit(kind, getattr(options, kind), DEFAULT_UNITS[options.units][kind]) for kind in _KINDS}
        self.units = StateUnits(**chosen, site_pressure_pa=_site_pressure(options.site_pressure))
        grid = _grid(options)
        self.sheets = []
        for name in dict.fromkeys(options.refrigerants):
            refrigerant = registry[name]
            try:
                frame = saturation_frame(refrigerant, grid)
            except RequestError as error:
                raise RequestError(f"--coldest/--warmest: {error}") from None
            self.sheets.append(
                Sheet(
                    frame,
                    registry.records[name],
                    refrigerant.critical_temperature_k,
                    refrigerant.critical_pressure_pa,
                    refrigerant.critical_temperature_k - refrigerant.warmest_k,
                    bool(grid[-1] > refrigerant.warmest_k),
                    # As the table itself, which takes a temperature that misses its edge by rounding.
                    refrigerant.coldest_k if grid[0] < refrigerant.coldest_k - 1e-6 else None,
                )
            )

    def text(self) -> str:
        """The tables one after the other, each with what is known of its refrigerant."""
        from tablegen.report.pages.saturation_rows import as_text, table_cells
        from tablegen.report.pages.saturation_sheet import reading, summary
        from tablegen.report.refrigerant_text import cautions

        parts = []
        for sheet in self.sheets:
            is_blend = sheet.record.is_blend
            head = [f"{label}: {value}" for label, value in summary(sheet, self.units)]
            header, rows = table_cells(sheet.frame, self.units, is_blend)
            table = as_text(header, rows)
            notes = [*reading(is_blend, rows), *cautions(sheet.record.safety_group)]
            name = sheet.record.definition.name
            parts.append("\n".join([name, *_wrapped(head), "", table, "", *_wrapped(notes)]) + "\n")
        return "\n".join(parts).replace("\N{NO-BREAK SPACE}", " ")

    def csv(self) -> str:
        """The tables as one CSV."""
        from tablegen.report.pages.saturation_rows import as_csv

        return as_csv([sheet.frame for sheet in self.sheets], self.units)

    def write(self, target: Path, paper: str) -> str:
        """The tables in a file of the kind that its name tells, moved into place when whole; a line about it."""
        from tablegen import __version__
        from tablegen.files import replace_file
        from tablegen.model.property_store import library_version
        from tablegen.report.pages.saturation_sheet import print_sheets

        suffix = target.suffix.lower()
        if suffix == ".pdf":
            version = f"tablegen {__version__}, {library_version()}"
            with replace_file(target) as stage:
                pages = print_sheets(self.sheets, self.units, paper, version, stage)
            return f"{target}: {pages} page{'s' if pages > 1 else ''}"
        text = self.csv() if suffix == ".csv" else self.text()
        with replace_file(target) as stage:
            stage.write_text(text, encoding="utf-8")
        tables, rows = len(self.sheets), sum(len(sheet.frame) for sheet in self.sheets)
        return f"{target}: {tables} table{'s' if tables > 1 else ''}, {rows} row{'s' if rows > 1 else ''}"


def _wrapped(lines: list[str]) -> list[str]:
    """Long lines folded, what follows indented."""
    return [
        folded for line in lines for folded in textwrap.wrap(line, 100, subsequent_indent="  ", break_on_hyphens=False)
    ]


def _unit(kind: str, given: str | None, usual: str) -> str:
    from tablegen.units import unit_named

    if given is None:
        return usual
    try:
        return unit_named(kind, given).name
    except BadValue as error:
        raise RequestError(f"--{kind}: {error}") from None


def _grid(options: argparse.Namespace) -> Any:
    """The temperatures asked for [K]."""
    from tablegen.errors import both_scales
    from tablegen.tables.reference_tables import row_count, temperature_grid

    usual = dict(zip(("coldest", "warmest", "step"), _RANGES[options.units], strict=True))
    texts = {name: text if getattr(options, name) is None else getattr(options, name) for name, text in usual.items()}
    coldest, warmest = (read_quantity(f"--{name}", texts[name], "temperature") for name in ("coldest", "warmest"))
    step = read_quantity("--step", texts["step"], "temperature difference")
    if step <= 0.0:
        raise RequestError(f"--step: {texts['step']!r} is not allowed; it must be above 0")
    if warmest < coldest:
        raise RequestError(
            f"--coldest/--warmest: {both_scales(coldest)} to {both_scales(warmest)} is not allowed; the coldest "
            "temperature must not lie above the warmest"
        )
    count = row_count(coldest, warmest, step)
    if count > _MOST_ROWS:
        raise RequestError(
            f"--step: {texts['step']!r} is not allowed; it gives {count} rows, and a table has at most {_MOST_ROWS} "
            "(take a greater step)"
        )
    return temperature_grid(coldest, warmest, step)


def _site_pressure(text: str) -> float:
    from tablegen.units import read_pressure

    try:
        reading = read_pressure(text)
    except BadValue as error:
        raise RequestError(f"--site-pressure: {error}") from None
    if reading.is_gauge:
        raise RequestError(f"--site-pressure: {text!r} is not allowed; an atmospheric pressure is absolute")
    minimum, most = _SITE_PRESSURES_PA
    if not minimum <= reading.value_pa <= most:
        raise RequestError(
            f"--site-pressure: {text!r} is not allowed; an atmospheric pressure is between {minimum / 1e3:g} and "
            f"{most / 1e3:g} kPa absolute (7.3 and 16 psi)"
        )
    return reading.value_pa


def _unknown(name: str, known: list[str]) -> str:
    from tablegen.errors import near

    return f"{name!r} is not a refrigerant of the registry{near(name, known)}; 'tablegen states' lists them"


def _listing(registry: Any) -> str:
    from tablegen.report.refrigerant_text import composition, gwp_text

    rows = [
        (name, record.safety_group, gwp_text(record.gwp), composition(record.definition))
        for name, record in registry.records.items()
    ]
    return "\n".join(aligned(rows))
