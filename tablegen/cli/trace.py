"""`tablegen trace`: one load window calculated step by step."""

from __future__ import annotations

import argparse

from tablegen.cli.deliver import add_answer_options, check_files, deliver, is_pdf
from tablegen.cli.options import (
    Commands,
    ExitCode,
    add_case_options,
    add_catalogue_options,
    catalogue_path,
    read_quantity,
)
from tablegen.cli.pick import SST_RANGE
from tablegen.model.names import refrigerant_name
from tablegen.wording import command_line
from tablegen.wording import trace as wording

_SIDES = ("minimum", "maximum")
# A window is the same for every load; a case always has one.
_ANY_LOAD_W = 1000.0


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "trace", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("family", metavar="FAMILY")
    parser.add_argument("size", metavar="SIZE")
    parser.add_argument("refrigerant", type=refrigerant_name, metavar="REFRIGERANT", help=wording.GROUP_HELP())
    add_case_options(parser)
    parser.add_argument("--limit", choices=_SIDES, help=wording.LIMIT_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Calculate the window; on paper as a sheet of one page, elsewhere step by step."""
    from tablegen.answers.case import Case, members_of
    from tablegen.answers.trace import trace
    from tablegen.config.case_catalogue import load_case, loader_of
    from tablegen.config.origins import origins_of
    from tablegen.model.property_store import library_version
    from tablegen.report.answers.trace import answer_of_trace
    from tablegen.report.formatter import Formatter

    check_files(options)
    sst_k = read_quantity("--sst", options.sst, "temperature", SST_RANGE)
    path = catalogue_path(options)
    own = load_case(loader_of(path, None), options.refrigerant, sst_k, options.application, options.overrides)
    catalogue, application = own.catalogue, own.application
    case = Case(options.refrigerant, sst_k, _ANY_LOAD_W, application)
    found = trace(catalogue, case, options.family, options.size, bool(options.overrides))
    origins = {
        member: origins_of(path, application, member, found.family, options.overrides)
        for member in members_of(catalogue, options.refrigerant)
    }
    units = options.units or catalogue.printing.units
    formatter = Formatter.beside(units, catalogue.printing.units, catalogue.printing.load_unit)
    sides = _SIDES if options.limit is None else (options.limit,)
    answer = answer_of_trace(
        catalogue,
        found,
        origins,
        formatter,
        library_version(),
        sides=sides,
        was_chosen=own.was_chosen,
        overrides=options.overrides,
    )
    sheet = None
    if is_pdf(options):
        from tablegen.report.answers.trace_sheet import sheet_of_trace

        sheet = sheet_of_trace(catalogue, found, origins, formatter, library_version(), sides)
    deliver(answer, options, units, sheet)
    return ExitCode.NO if found.obstacle is not None else ExitCode.DONE
