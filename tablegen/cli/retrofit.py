"""`tablegen retrofit`: an existing valve on a new condensing unit, perhaps with another refrigerant."""

from __future__ import annotations

import argparse

from tablegen.cli.deliver import add_answer_options, check_files, deliver
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
from tablegen.wording import retrofit as wording

_LOAD_RANGE = ("0 W", "10000 kW")


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "retrofit", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("family", metavar="FAMILY", help=wording.FAMILY_HELP())
    parser.add_argument("size", metavar="SIZE", help=wording.SIZE_HELP())
    parser.add_argument(
        "--refrigerant", type=refrigerant_name, required=True, metavar="NAME", help=wording.REFRIGERANT_HELP()
    )
    parser.add_argument("--load", required=True, metavar="Q", help=wording.LOAD_HELP())
    add_case_options(parser)
    parser.add_argument("--was", type=refrigerant_name, metavar="NAME", help=wording.WAS_HELP())
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
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Check the valve, and give the answer."""
    from tablegen import __version__
    from tablegen.answers.retrofit import Fitted, retrofit
    from tablegen.model.property_store import library_version
    from tablegen.report.answers.retrofit import answer_of_retrofit
    from tablegen.report.formatter import Formatter
    from tablegen.systems import read_systems

    check_files(options)
    sst_k = read_quantity("--sst", options.sst, "temperature", SST_RANGE)
    load_w = read_quantity("--load", options.load, "load", _LOAD_RANGE)
    was_load_w = None
    if options.was_load is not None:
        was_load_w = read_quantity("--was-load", options.was_load, "load", _LOAD_RANGE)
    new, old = read_systems(
        catalogue_path(options),
        options.refrigerant,
        sst_k,
        load_w,
        options.application,
        options.overrides,
        was=options.was,
        was_load_w=was_load_w,
        was_application=options.was_application,
        was_overrides=options.was_overrides,
    )
    found, curve = retrofit(Fitted(options.family, options.size, options.charge), new, old)
    printing = new.catalogue.printing
    units = options.units or printing.units
    answer = answer_of_retrofit(
        new.catalogue,
        found,
        curve,
        Formatter.beside(units, printing.units, printing.load_unit),
        f"tablegen {__version__}, {library_version()}",
        overrides=options.overrides,
        old_overrides=options.was_overrides,
    )
    deliver(answer, options, units)
    return ExitCode.DONE if found.after.covers else ExitCode.NO
