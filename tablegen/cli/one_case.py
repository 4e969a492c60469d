"""`tablegen pick` and `tablegen convert`: one case, answered."""

from __future__ import annotations

import argparse
from pathlib import Path

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import (
    Commands,
    ExitCode,
    add_case_options,
    add_catalogue_options,
    add_file_options,
    add_sst_options,
    catalogue_of,
    check_given,
    whole,
    words_of,
)
from tablegen.wording import command_line, diagram, valve_kinds
from tablegen.wording import convert as convert_wording
from tablegen.wording import jobs as jobs_wording
from tablegen.wording import pick as wording
from tablegen.wording import stock as stock_wording

_BASES = ("bubble", "dew", "mid")


def add_parsers(commands: Commands) -> None:
    """Add both commands to the others."""
    parser = commands.add_parser(
        "pick", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("refrigerant", nargs="?", metavar="REFRIGERANT", help=command_line.REFRIGERANT_OR_GROUP())
    parser.add_argument("--load", metavar="Q", help=wording.LOAD_HELP())
    add_case_options(parser)
    parser.add_argument("--split", metavar="PARTS", help=wording.SPLIT_HELP())
    parser.add_argument("--family", metavar="NAME", help=wording.FAMILY_HELP())
    parser.add_argument("--valve-kind", metavar="KIND", help=valve_kinds.HELP())
    parser.add_argument("--connections", default="", metavar="TEXT", help=wording.CONNECTIONS_HELP())
    parser.add_argument("--capillary", metavar="LENGTH", help=wording.CAPILLARY_HELP())
    parser.add_argument("--quantity", type=whole, metavar="N", help=wording.QUANTITY_HELP())
    parser.add_argument("--job", default="", metavar="TEXT", help=wording.JOB_HELP())
    parser.add_argument("--part-numbers", type=Path, metavar="FILE", help=wording.PART_NUMBERS_HELP())
    parser.add_argument("--stock", type=Path, metavar="FILE", help=stock_wording.STOCK_HELP())
    parser.add_argument("--all-sizes", action="store_true", help=stock_wording.ALL_SIZES_HELP())
    add_file_options(parser)
    parser.add_argument("--jobs", type=Path, metavar="FILE", help=jobs_wording.JOBS_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run_pick)
    _add_convert(commands)


def _add_convert(commands: Commands) -> None:
    parser = commands.add_parser(
        "convert",
        help=convert_wording.HELP(),
        description=convert_wording.DESCRIPTION(),
        epilog=convert_wording.EPILOG(),
    )
    parser.add_argument("refrigerant", nargs="?", metavar="REFRIGERANT", help=diagram.REFRIGERANT_HELP())
    parser.add_argument("--capacity", metavar="Q", help=convert_wording.CAPACITY_HELP())
    parser.add_argument("--condensing", metavar="T", help=convert_wording.CONDENSING_HELP())
    parser.add_argument("--basis", choices=_BASES, help=convert_wording.BASIS_HELP())
    liquid = parser.add_mutually_exclusive_group()
    liquid.add_argument("--subcooling", metavar="DT", help=convert_wording.SUBCOOLING_HELP())
    liquid.add_argument("--liquid", metavar="T", help=convert_wording.LIQUID_HELP())
    add_sst_options(parser)
    parser.add_argument("--stated-sst", metavar="T", help=convert_wording.STATED_SST_HELP())
    parser.add_argument("--back", action="store_true", help=convert_wording.BACK_HELP())
    parser.add_argument("--application", metavar="NAME", help=command_line.APPLICATION())
    add_file_options(parser)
    add_answer_options(parser, convert_wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run_convert)


def run_pick(options: argparse.Namespace) -> ExitCode:
    """Answer one case, or that of each evaporator of a split unit."""
    from tablegen.api.one_case import pick

    is_list = options.jobs is not None
    read = (options.jobs, options.stock, options.part_numbers)
    check_files(options, is_list=is_list, has_order=is_list, read=read)
    if options.jobs is None:
        check_given(options, "REFRIGERANT", "--load", "--sst")
    answer = pick(
        options.refrigerant,
        sst=options.sst,
        box=options.box,
        coil_difference=options.coil_difference,
        load=options.load,
        application=options.application,
        overrides=options.overrides,
        split=words_of(options.split),
        family=options.family,
        valve_kind=options.valve_kind,
        connections=options.connections,
        capillary=options.capillary,
        quantity=options.quantity,
        job=options.job,
        part_numbers=options.part_numbers,
        stock=options.stock,
        all_sizes=options.all_sizes,
        case=options.case,
        jobs=options.jobs,
        record=options.record,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    return deliver(answer, options)


def run_convert(options: argparse.Namespace) -> ExitCode:
    """Convert, and give the answer."""
    from tablegen.api.conversion import convert

    check_files(options)
    check_given(options, "REFRIGERANT", "--capacity", "--condensing", "--basis", "--sst")
    answer = convert(
        options.refrigerant,
        capacity=options.capacity,
        condensing=options.condensing,
        basis=options.basis,
        sst=options.sst,
        box=options.box,
        coil_difference=options.coil_difference,
        subcooling=options.subcooling,
        liquid=options.liquid,
        stated_sst=options.stated_sst,
        back=options.back,
        application=options.application,
        case=options.case,
        record=options.record,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    return deliver(answer, options)
