"""`tablegen table`: one window table as a draft."""

from __future__ import annotations

import argparse
from pathlib import Path

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_of
from tablegen.wording import command_line
from tablegen.wording import table as wording


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "table", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("family", metavar="FAMILY", help=wording.FAMILY_HELP())
    parser.add_argument("refrigerant", metavar="REFRIGERANT", help=command_line.REFRIGERANT_OR_GROUP())
    parser.add_argument("--application", required=True, metavar="NAME", help=wording.APPLICATION_HELP())
    parser.add_argument("--since", type=Path, metavar="DIR", help=command_line.BUILD_SINCE_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Compute the table, and give it."""
    from tablegen.api.one_table import table

    check_files(options)
    answer = table(
        options.family,
        options.refrigerant,
        application=options.application,
        since=options.since,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    return deliver(answer, options)
