"""`tablegen trace`: one printed window worked out step by step."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tablegen.cli.options import APPLICATION_HELP, application_notes, read_quantity
from tablegen.cli.pick import NO_VALVE, SST_RANGE
from tablegen.model.names import refrigerant_name

_SIDES = ("minimum", "maximum")
SOURCES = (
    "Sources: equation of state: {library} by way of property tables, compositions after ASHRAE 34; flow equation, "
    "choked flow, F_F: IEC 60534-2-1; polynomial: AHRI 540; force balance: static equilibrium of the moving part; the "
    "rest are definitions, balances and the assumptions named. N is the flow in kg/h of one Kv at 1 kg/m³ and 1 kPa. "
    "Recalculating from the printed figures may change the last digit."
)
SHEET_NOTE = (
    "States by {library}, compositions after ASHRAE 34. Equations in kPa, kJ/kg, kg/m³ and kW (N = 3.16228, E = 3600); "
    "in steps: 'tablegen trace'."
)


def add_parser(commands: Any, catalogue_argument: Callable[[argparse.ArgumentParser, bool], None]) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "trace",
        help="work out a printed window step by step",
        description="Work out a window of the tables again, from the config's figures to the rounded number: each step "
        "with its equation, its figures, its source.",
        epilog="Exit codes: 0 the window is open, 1 it is empty, 2 bad input.  Example: tablegen trace alder 90 "
        "R448A-family --sst '24 degF' --application walk_in_medium --demo",
    )
    parser.add_argument("family", metavar="FAMILY")
    parser.add_argument("size", metavar="SIZE")
    parser.add_argument(
        "refrigerant", type=refrigerant_name, metavar="REFRIGERANT", help="a group of the catalogue, or one refrigerant"
    )
    parser.add_argument("--sst", required=True, metavar="T", help="saturated suction temperature (dew), as '24 degF'")
    parser.add_argument("--application", metavar="NAME", help=APPLICATION_HELP)
    parser.add_argument("--limit", choices=_SIDES, help="one limit (default: both)")
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        dest="overrides",
        help="another value for a key of the application, as in 'pick'; repeatable",
    )
    parser.add_argument("--output", type=Path, metavar="FILE", help="print the working on a sheet (PDF) instead")
    parser.add_argument("--paper", choices=("Letter", "A4"), help="paper of the sheet (default: by --units)")
    parser.add_argument(
        "--units", choices=("IP", "SI"), help="units beside those of the working (default: the catalogue's units)"
    )
    parser.add_argument("--json", action="store_true", help="the whole working as JSON, in SI")
    catalogue_argument(parser, True)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print the working."""
    from tablegen.answers.case import Case, members_of
    from tablegen.answers.trace import trace
    from tablegen.cli.answer_words import formatter_of
    from tablegen.cli.trace_text import text_of
    from tablegen.cli.trace_words import in_words
    from tablegen.config.case_catalogue import load_case, loader_of, origins_of
    from tablegen.model.property_store import library_version
    from tablegen.report.formatter import CAUTION

    sst_k = read_quantity("--sst", options.sst, "temperature", SST_RANGE)
    path = options.catalogue_path(options)
    own = load_case(loader_of(path, None), options.refrigerant, sst_k, options.application, options.overrides)
    catalogue, application = own.catalogue, own.application
    # A window is the same for every load; a case always has one.
    case = Case(options.refrigerant, sst_k, 1000.0, application)
    found = trace(catalogue, case, options.family, options.size, bool(options.overrides))
    origins = {
        member: origins_of(path, application, member, found.family, options.overrides)
        for member in members_of(catalogue, options.refrigerant)
    }
    units = options.units or catalogue.printing.units
    sides = _SIDES if options.limit is None else (options.limit,)
    formatter = in_words(catalogue, found, origins, formatter_of(catalogue, units), sides)
    if options.output is not None:
        _print_sheet(options, catalogue, formatter, units)
    elif options.json:
        from tablegen.dataset.to_json import plain

        print(json.dumps(plain(formatter), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        notes = application_notes(own, options.overrides)
        print(text_of(formatter, notes, SOURCES.format(library=library_version()), catalogue.printing.notice, CAUTION))
    return NO_VALVE if found.obstacle is not None else 0


def _print_sheet(options: argparse.Namespace, catalogue: Any, formatter: Any, units: str) -> None:
    """Print the sheet aside and move it into place."""
    from tablegen.cli.trace_sheet import sheet_of
    from tablegen.files import replace_file
    from tablegen.model.property_store import library_version
    from tablegen.report.formatter import CAUTION
    from tablegen.report.pages.calculation_sheet import print_calculation

    printing = catalogue.printing
    about = f"Revision {printing.revision} of {printing.date.isoformat()}."
    sheet = sheet_of(formatter, about, [SHEET_NOTE.format(library=library_version()), CAUTION])
    paper = options.paper or ("A4" if units == "SI" else "Letter")
    with replace_file(options.output) as aside:
        print_calculation(sheet, paper, printing.notice, printing.date, aside)
    print(f"{options.output}: {formatter.valve}, {formatter.printed}")
