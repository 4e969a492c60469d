"""`tablegen again`: whether recorded answers are still valid."""

from __future__ import annotations

import argparse
from pathlib import Path

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_of
from tablegen.wording import again as wording
from tablegen.wording import command_line


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "again", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("record", type=Path, metavar="RECORD", help=wording.RECORD_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Check the records, each in its own units, and give the answer."""
    from tablegen.api.again import again

    check_files(options)
    return deliver(again(options.record, catalogue=catalogue_of(options)), options)
