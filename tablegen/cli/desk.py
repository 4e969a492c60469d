"""`tablegen desk`: a server for a browser on this computer."""

from __future__ import annotations

import argparse
from pathlib import Path

from tablegen.cli.deliver import UNIT_SYSTEMS
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_of, whole
from tablegen.wording import command_line
from tablegen.wording import desk as wording
from tablegen.wording import stock as stock_wording

_LOOPBACK, _PORT = "127.0.0.1", 8777


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "desk", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("--host", default=_LOOPBACK, metavar="ADDRESS", help=wording.HOST_HELP(default=_LOOPBACK))
    parser.add_argument("--port", type=whole, metavar="N", help=wording.PORT_HELP(default=_PORT))
    parser.add_argument("--no-browser", action="store_false", dest="browser", help=wording.NO_BROWSER_HELP())
    parser.add_argument("--stock", type=Path, metavar="FILE", help=stock_wording.STOCK_HELP())
    units_help = command_line.UNITS_HELP(default=command_line.CATALOGUE_UNITS())
    parser.add_argument("--units", choices=UNIT_SYSTEMS, type=str.upper, help=units_help)
    add_catalogue_options(parser)
    parser.set_defaults(run=run_desk)


def run_desk(options: argparse.Namespace) -> ExitCode:
    """Answer until interrupted."""
    from tablegen.api.desk import desk

    desk(
        host=options.host,
        port=options.port,
        browser=options.browser,
        stock=options.stock,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    return ExitCode.DONE
