"""`tablegen retrofit` and `tablegen trace`: one valve, on another system or step by step."""

from __future__ import annotations

import argparse

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import (
    Commands,
    ExitCode,
    add_case_options,
    add_catalogue_options,
    add_file_options,
    catalogue_of,
    check_given,
)
from tablegen.wording import command_line, table
from tablegen.wording import retrofit as wording
from tablegen.wording import trace as trace_wording

_SIDES = ("minimum", "maximum")
_DETAILS = ("summary", "steps", "full")


def add_parsers(commands: Commands) -> None:
    """Add both commands to the others."""
    parser = commands.add_parser(
        "retrofit", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("family", nargs="?", metavar="FAMILY", help=wording.FAMILY_HELP())
    parser.add_argument("size", nargs="?", metavar="SIZE", help=wording.SIZE_HELP())
    parser.add_argument("--refrigerant", metavar="NAME", help=wording.REFRIGERANT_HELP())
    parser.add_argument("--load", metavar="Q", help=wording.LOAD_HELP())
    add_case_options(parser)
    parser.add_argument("--was", metavar="NAME", help=wording.WAS_HELP())
    parser.add_argument("--was-application", metavar="NAME", help=wording.WAS_APPLICATION_HELP())
    parser.add_argument(
        "--was-set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        dest="was_overrides",
        help=wording.WAS_SET_HELP(),
    )
    parser.add_argument("--was-load", metavar="Q", help=wording.WAS_LOAD_HELP())
    parser.add_argument("--charge", metavar="NAME", help=wording.CHARGE_HELP())
    spring = parser.add_mutually_exclusive_group()
    spring.add_argument("--static-superheat", metavar="DT", help=wording.STATIC_SUPERHEAT_HELP())
    spring.add_argument("--turns", type=float, metavar="N", help=wording.TURNS_HELP())
    add_file_options(parser)
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run_retrofit)
    _add_trace(commands)


def _add_trace(commands: Commands) -> None:
    parser = commands.add_parser(
        "trace", help=trace_wording.HELP(), description=trace_wording.DESCRIPTION(), epilog=trace_wording.EPILOG()
    )
    parser.add_argument("family", nargs="?", metavar="FAMILY", help=table.FAMILY_HELP())
    parser.add_argument("size", nargs="?", metavar="SIZE", help=wording.SIZE_HELP())
    parser.add_argument("refrigerant", nargs="?", metavar="REFRIGERANT", help=trace_wording.GROUP_HELP())
    add_case_options(parser)
    parser.add_argument("--limit", choices=_SIDES, help=trace_wording.LIMIT_HELP())
    parser.add_argument("--detail", choices=_DETAILS, help=trace_wording.DETAIL_HELP())
    add_file_options(parser)
    add_answer_options(parser, trace_wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run_trace)


def run_retrofit(options: argparse.Namespace) -> ExitCode:
    """Check the valve, and give the answer."""
    from tablegen.api.one_valve import retrofit

    check_files(options)
    check_given(options, "FAMILY", "--refrigerant", "--load", "--sst")
    answer = retrofit(
        options.family,
        options.size,
        refrigerant=options.refrigerant,
        sst=options.sst,
        box=options.box,
        coil_difference=options.coil_difference,
        load=options.load,
        application=options.application,
        overrides=options.overrides,
        was=options.was,
        was_load=options.was_load,
        was_application=options.was_application,
        was_overrides=options.was_overrides,
        charge=options.charge,
        static_superheat=options.static_superheat,
        turns=options.turns,
        case=options.case,
        record=options.record,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    return deliver(answer, options)


def run_trace(options: argparse.Namespace) -> ExitCode:
    """Calculate the window; on paper as a sheet of one page, elsewhere step by step."""
    from tablegen.api.one_valve import trace

    check_files(options)
    check_given(options, "FAMILY", "SIZE", "REFRIGERANT", "--sst")
    answer = trace(
        options.family,
        options.size,
        options.refrigerant,
        sst=options.sst,
        box=options.box,
        coil_difference=options.coil_difference,
        application=options.application,
        overrides=options.overrides,
        limit=options.limit,
        detail=options.detail,
        case=options.case,
        record=options.record,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    return deliver(answer, options)
