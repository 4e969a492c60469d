"""`tablegen cross`: what replaces every valve of another catalogue."""

from __future__ import annotations

import argparse
from pathlib import Path

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_of
from tablegen.wording import command_line, stock, suggest
from tablegen.wording import cross_list as wording


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "cross", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("other", type=Path, metavar="OTHER", help=wording.OTHER_HELP())
    parser.add_argument("--stock", type=Path, metavar="FILE", help=stock.STOCK_HELP())
    parser.add_argument("--application", metavar="NAME", help=suggest.APPLICATION_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS(), wording.OUTPUT_HELP())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Compute both catalogues, and give the list."""
    from tablegen.api.cross_list import cross

    check_files(options, is_list=True, read=(options.stock,))
    answer = cross(
        options.other,
        application=options.application,
        stock=options.stock,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    return deliver(answer, options)
