"""`tablegen states`: pressure-temperature tables as text, CSV or a printed sheet."""

from __future__ import annotations

import argparse
import difflib
import textwrap
from pathlib import Path
from typing import Any

from tablegen.errors import BadValue, RequestError

_RANGES = {"IP": ("-60 degF", "150 degF", "5 delta_degF"), "SI": ("-50 degC", "65 degC", "2.5 K")}
_ATMOSPHERE = "101.325 kPa_absolute"


def add_parser(commands: Any) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "states",
        help="print the pressure-temperature table of a refrigerant",
        description="Pressure-temperature table: bubble and dew pressure, glide, densities, latent heat.",
        epilog="Quantities are written with their unit, as in configs: --coldest '-40 degF'.",
    )
    parser.add_argument("refrigerants", nargs="*", metavar="REFRIGERANT", help="such as R448A; none lists them all")
    parser.add_argument("--configs", type=Path, metavar="DIR",
                        help="folder with own refrigerants/ (default: configs, if there)")  # fmt: skip
    parser.add_argument("--units", choices=("IP", "SI"), default="IP", help="unit system (default: IP)")
    parser.add_argument("--coldest", metavar="T", help="first temperature (default: -60 degF, -50 degC)")
    parser.add_argument("--warmest", metavar="T", help="last temperature (default: 150 degF, 65 degC)")
    parser.add_argument("--step", metavar="DT", help="step (default: 5 delta_degF, 2.5 K)")
    for name, example in (
        ("temperature", "degC"), ("pressure", "kPa_absolute"), ("density", "lb/ft3"), ("enthalpy", "kJ/kg"),
    ):  # fmt: skip
        parser.add_argument(f"--{name}", metavar="UNIT", help=f"unit of one kind, such as {example}")
    parser.add_argument("--site-pressure", default=_ATMOSPHERE, metavar="P",
                        help=f"atmosphere that gauges read from (default: {_ATMOSPHERE})")  # fmt: skip
    parser.add_argument("--output", type=Path, metavar="FILE", help="write FILE: .txt, .csv or .pdf (a printed sheet)")
    parser.add_argument("--csv", action="store_true", help="write CSV in place of text")
    parser.add_argument("--paper", choices=("letter", "a4"), default="letter", help="paper of a printed sheet")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print, or write, the tables asked for."""
    from tablegen.config.refrigerants import load_registry

    suffix = options.output.suffix.lower() if options.output else ""
    if options.output and suffix not in (".txt", ".csv", ".pdf"):
        raise RequestError(f"--output: {options.output} is not allowed; the file must end in .txt, .csv or .pdf")
    folder = options.configs or Path("configs")
    if options.configs and not (folder / "refrigerants").is_dir():
        raise RequestError(f"--configs: {folder} holds no folder 'refrigerants'")
    registry = load_registry(folder if (folder / "refrigerants").is_dir() else None)
    if not options.refrigerants:
        print(_listing(registry))
        return 0
    for name in options.refrigerants:
        if name not in registry:
            raise RequestError(_unknown(name, list(registry)))
    made = _Tables(options, registry)
    if suffix == ".pdf":
        made.print_sheets(options.output, {"letter": "Letter", "a4": "A4"}[options.paper])
        return 0
    text = made.csv() if options.csv or suffix == ".csv" else made.text()
    if options.output:
        from tablegen.catalogue.output import replaced_file

        with replaced_file(options.output) as stage:
            stage.write_text(text, encoding="utf-8")
    else:
        print(text, end="")
    return 0


class _Tables:
    """The frames asked for, and the units that they are printed in."""

    def __init__(self, options: argparse.Namespace, registry: Any) -> None:
        from tablegen.catalogue.record import plain
        from tablegen.catalogue.saturation import saturation_frame, temperature_grid
        from tablegen.publish.saturation import DEFAULT_UNITS, StateUnits
        from tablegen.publish.saturation_sheet import Sheet

        coldest, warmest, step = _RANGES[options.units]
        site = _quantity("--site-pressure", options.site_pressure, "pressure")
        chosen = {k: getattr(options, k) or v for k, v in DEFAULT_UNITS[options.units].items()}
        try:
            self.units = StateUnits(**chosen, site_pressure_pa=site)
        except BadValue as error:
            raise RequestError(f"unit: {error}") from None
        grid = temperature_grid(
            _quantity("--coldest", options.coldest or coldest, "temperature"),
            _quantity("--warmest", options.warmest or warmest, "temperature"),
            _quantity("--step", options.step or step, "temperature difference"),
        )
        self.sheets = []
        for name in options.refrigerants:
            refrigerant = registry[name]
            frame = saturation_frame(refrigerant, grid)
            is_cut = bool(grid[-1] > refrigerant.warmest_k)
            record = plain(registry.records[name])
            critical = refrigerant.critical_temperature_k, refrigerant.critical_pressure_pa
            margin = refrigerant.critical_temperature_k - refrigerant.warmest_k
            self.sheets.append(Sheet(frame, record, *critical, margin, is_cut))

    def text(self) -> str:
        """The tables one after the other, each with what is known of its refrigerant."""
        from tablegen.publish.refrigerant_text import cautions
        from tablegen.publish.saturation import as_text, table_cells
        from tablegen.publish.saturation_sheet import reading, summary

        parts = []
        for sheet in self.sheets:
            is_blend = len(sheet.record["definition"]["components"]) > 1
            head = [f"{label}: {value}" for label, value in summary(sheet, self.units)]
            table = as_text(*table_cells(sheet.frame, self.units, is_blend))
            notes = [*reading(is_blend), *cautions(sheet.record["safety_group"])]
            name = sheet.record["definition"]["name"]
            parts.append("\n".join([name, *_wrapped(head), "", table, "", *_wrapped(notes)]) + "\n")
        return "\n".join(parts).replace("\N{NO-BREAK SPACE}", " ")

    def csv(self) -> str:
        """The tables as one CSV."""
        from tablegen.publish.saturation import as_csv

        return as_csv([sheet.frame for sheet in self.sheets], self.units)

    def print_sheets(self, target: Path, paper: str) -> None:
        """The tables as a PDF, moved into place when it is whole."""
        from tablegen import __version__
        from tablegen.catalogue.output import replaced_file
        from tablegen.catalogue.property_store import library_version
        from tablegen.publish.saturation_sheet import print_sheets

        with replaced_file(target) as stage:
            pages = print_sheets(self.sheets, self.units, paper, f"tablegen {__version__}, {library_version()}", stage)
        print(f"{target}: {pages} page{'s' if pages > 1 else ''}")


def _wrapped(lines: list[str]) -> list[str]:
    """Long lines folded, what follows indented."""
    return [
        folded for line in lines for folded in textwrap.wrap(line, 100, subsequent_indent="  ", break_on_hyphens=False)
    ]


def _quantity(option: str, text: str, kind: str) -> float:
    from tablegen.units import read_pressure, to_si

    try:
        if kind != "pressure":
            return to_si(text, kind)
        reading = read_pressure(text)
    except BadValue as error:
        raise RequestError(f"{option}: {error}") from None
    if reading.is_gauge:
        raise RequestError(f"{option}: {text!r} is not allowed; an atmospheric pressure is absolute")
    return reading.value_pa


def _unknown(name: str, known: list[str]) -> str:
    close = difflib.get_close_matches(name.upper(), [k.upper() for k in known], n=1, cutoff=0.6)
    match = next((k for k in known if close and k.upper() == close[0]), None)
    hint = f" (did you mean {match}?)" if match else ""
    return f"{name!r} is not a refrigerant of the registry{hint}; 'tablegen states' lists them"


def _listing(registry: Any) -> str:
    from tablegen.catalogue.record import plain
    from tablegen.publish.refrigerant_text import composition, gwp_text

    rows = []
    for name, record in registry.records.items():
        entry = plain(record)
        rows.append((name, entry["safety_group"], gwp_text(entry["gwp"]), composition(entry["definition"])))
    widths = [max(len(row[j]) for row in rows) for j in range(4)]
    return "\n".join("  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip() for row in rows)
