"""`tablegen convert`: a capacity at other temperatures converted to the rating point, and back."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, add_catalogue_options, catalogue_path, read_quantity
from tablegen.cli.pick import SST_RANGE
from tablegen.model.names import refrigerant_name
from tablegen.wording import command_line
from tablegen.wording import convert as wording

if TYPE_CHECKING:
    from tablegen.answers.convert import Stated

_BASES = ("bubble", "dew", "mid")


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "convert", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("refrigerant", type=refrigerant_name, metavar="REFRIGERANT")
    parser.add_argument("--capacity", required=True, metavar="Q", help=wording.CAPACITY_HELP())
    parser.add_argument("--condensing", required=True, metavar="T", help=wording.CONDENSING_HELP())
    parser.add_argument("--basis", required=True, choices=_BASES, help=wording.BASIS_HELP())
    liquid = parser.add_mutually_exclusive_group(required=True)
    liquid.add_argument("--subcooling", metavar="DT", help=wording.SUBCOOLING_HELP())
    liquid.add_argument("--liquid", metavar="T", help=wording.LIQUID_HELP())
    parser.add_argument("--sst", required=True, metavar="T", help=command_line.SST())
    parser.add_argument("--stated-sst", metavar="T", help=wording.STATED_SST_HELP())
    parser.add_argument("--back", action="store_true", help=wording.BACK_HELP())
    parser.add_argument("--application", metavar="NAME", help=command_line.APPLICATION())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Convert, and give the answer."""
    from tablegen.answers.convert import convert_capacity
    from tablegen.config.case_catalogue import load_case, loader_of
    from tablegen.report.answers.convert import answer_of_conversion
    from tablegen.report.formatter import Formatter

    check_files(options)
    capacity_w = read_quantity("--capacity", options.capacity, "load", ("1 W", "100000 kW"))
    sst_k = read_quantity("--sst", options.sst, "temperature", SST_RANGE)
    stated = _stated(options, sst_k)
    load = loader_of(catalogue_path(options), options.refrigerant)
    own = load_case(load, options.refrigerant, sst_k, options.application, ())
    catalogue = own.catalogue
    found = convert_capacity(catalogue, options.refrigerant, own.application, sst_k, stated, capacity_w, options.back)
    units = options.units or catalogue.printing.units
    formatter = Formatter.beside(units, catalogue.printing.units, catalogue.printing.load_unit)
    deliver(answer_of_conversion(catalogue, found, formatter, was_chosen=own.was_chosen), options, units)
    return 0


def _stated(options: argparse.Namespace, sst_k: float) -> Stated:
    from tablegen.answers.convert import Stated
    from tablegen.physics.system import Basis

    if options.stated_sst is not None:
        sst_k = read_quantity("--stated-sst", options.stated_sst, "temperature", SST_RANGE)
    condensing_k = read_quantity("--condensing", options.condensing, "temperature", ("-40 degF", "200 degF"))
    if options.liquid is not None:
        liquid_k = read_quantity("--liquid", options.liquid, "temperature", ("-76 degF", "200 degF"))
        return Stated(sst_k, condensing_k, Basis(options.basis), liquid_k=liquid_k)
    subcooling_k = read_quantity("--subcooling", options.subcooling, "temperature difference", ("0 K", "60 K"))
    return Stated(sst_k, condensing_k, Basis(options.basis), subcooling_k)
