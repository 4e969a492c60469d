"""`tablegen diagram`: pressure-enthalpy diagrams, and the graphs of a valve, solved or blank."""

from __future__ import annotations

import argparse

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_case_options, add_catalogue_options, catalogue_of
from tablegen.wording import command_line
from tablegen.wording import diagram as wording
from tablegen.wording import pick as pick_wording


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "diagram", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("refrigerant", metavar="REFRIGERANT", help=wording.REFRIGERANT_HELP())
    kinds = wording.KIND_HELP(kinds=", ".join(wording.KINDS), usual=wording.KINDS[0])
    parser.add_argument("--kind", choices=wording.KINDS, default=wording.KINDS[0], metavar="KIND", help=kinds)
    parser.add_argument("--blank", action="store_true", help=wording.BLANK_HELP())
    add_case_options(parser)
    parser.add_argument("--family", metavar="NAME", help=pick_wording.FAMILY_HELP())
    parser.add_argument("--size", metavar="NAME", help=wording.SIZE_HELP())
    parser.add_argument("--load", metavar="Q", help=pick_wording.LOAD_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS(), wording.OUTPUT_HELP())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Compute the diagram, and give it."""
    from tablegen.api.diagrams import diagram

    check_files(options, has_figure=True)
    catalogue = catalogue_of(options)
    if options.catalogue is None and catalogue is not None and not catalogue.exists() and options.application is None:
        # A chart of a refrigerant needs no catalogue.
        catalogue = None
    answer = diagram(
        options.refrigerant,
        kind=options.kind,
        blank=options.blank,
        application=options.application,
        sst=options.sst,
        box=options.box,
        coil_difference=options.coil_difference,
        overrides=options.overrides,
        family=options.family,
        size=options.size,
        load=options.load,
        catalogue=catalogue,
        units=options.units,
    )
    return deliver(answer, options)
