"""`tablegen hunt`: a thermostatic valve, its coil and its bulb in time."""

from __future__ import annotations

import argparse
from pathlib import Path

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_case_options, add_catalogue_options, catalogue_of
from tablegen.wording import command_line, diagram, retrofit, table
from tablegen.wording import hunt as wording
from tablegen.wording import pick as pick_wording

_CONDITIONS = ("low_head", "rating", "high_head")


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "hunt", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("family", metavar="FAMILY", help=table.FAMILY_HELP())
    parser.add_argument("size", metavar="SIZE", help=retrofit.SIZE_HELP())
    parser.add_argument("refrigerant", metavar="REFRIGERANT", help=diagram.REFRIGERANT_HELP())
    add_case_options(parser)
    parser.add_argument("--load", metavar="Q", help=pick_wording.LOAD_HELP())
    parser.add_argument(
        "--condition", choices=_CONDITIONS, default="rating", metavar="CONDITION", help=wording.CONDITION_HELP()
    )
    parser.add_argument("--bulb-time-constant", metavar="TIME", help=wording.BULB_HELP())
    parser.add_argument("--observed-load", metavar="Q", help=wording.OBSERVED_HELP())
    parser.add_argument("--step-response", type=Path, metavar="FILE.csv", help=wording.STEP_HELP())
    parser.add_argument("--apply", action="store_true", help=wording.APPLY_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS(), wording.OUTPUT_HELP())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Simulate, and give the answer."""
    from tablegen.api.hunting import hunt

    check_files(options, has_figure=True)
    answer = hunt(
        options.family,
        options.size,
        options.refrigerant,
        sst=options.sst,
        box=options.box,
        coil_difference=options.coil_difference,
        application=options.application,
        overrides=options.overrides,
        load=options.load,
        condition=options.condition,
        bulb_time_constant=options.bulb_time_constant,
        observed_load=options.observed_load,
        step_response=options.step_response,
        apply=options.apply,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    return deliver(answer, options)
