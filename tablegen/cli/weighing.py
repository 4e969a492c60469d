"""`tablegen assumptions`: what a table assumes, and the weight of each assumption."""

from __future__ import annotations

import argparse

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_of
from tablegen.wording import assumption_answer as wording
from tablegen.wording import command_line
from tablegen.wording import table as table_wording


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "assumptions", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("family", metavar="FAMILY", nargs="?", help=wording.FAMILY_HELP())
    parser.add_argument("refrigerant", metavar="REFRIGERANT", nargs="?", help=command_line.REFRIGERANT_OR_GROUP())
    parser.add_argument("--application", metavar="NAME", help=table_wording.APPLICATION_HELP())
    parser.add_argument("--sst", metavar="T", help=wording.SST_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Weigh the assumptions, and give them."""
    from tablegen.api.weighing import assumptions

    check_files(options)
    answer = assumptions(
        options.family,
        options.refrigerant,
        application=options.application,
        sst=options.sst,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    return deliver(answer, options)
