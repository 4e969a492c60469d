"""`tablegen pick`: the valves that fit one case, and why the others do not."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import (
    Commands,
    ExitCode,
    add_case_options,
    add_catalogue_options,
    catalogue_path,
    read_quantity,
)
from tablegen.errors import BadValue, RequestError
from tablegen.model.names import refrigerant_name
from tablegen.wording import command_line
from tablegen.wording import pick as wording

if TYPE_CHECKING:
    from tablegen.answers.case import Case
    from tablegen.answers.order import OrderLine
    from tablegen.answers.pick import Picked
    from tablegen.model.inputs import Catalogue

_MOST_VALVES, _LONGEST_JOB = 9999, 60
SST_RANGE = ("-76 degF", "86 degF")


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "pick", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument(
        "refrigerant", type=refrigerant_name, metavar="REFRIGERANT", help=command_line.REFRIGERANT_OR_GROUP()
    )
    parser.add_argument("--load", required=True, metavar="Q", help=wording.LOAD_HELP())
    add_case_options(parser)
    parser.add_argument("--split", metavar="PARTS", help=wording.SPLIT_HELP())
    parser.add_argument("--family", metavar="NAME", help=wording.FAMILY_HELP())
    parser.add_argument("--connections", metavar="TEXT", help=wording.CONNECTIONS_HELP())
    parser.add_argument("--capillary", metavar="LENGTH", help=wording.CAPILLARY_HELP())
    parser.add_argument("--quantity", type=int, metavar="N", help=wording.QUANTITY_HELP())
    parser.add_argument("--job", default="", metavar="TEXT", help=wording.JOB_HELP())
    parser.add_argument("--part-numbers", type=Path, metavar="FILE", help=wording.PART_NUMBERS_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Answer one case, or that of each evaporator of a split unit."""
    from tablegen.answers.case import Case
    from tablegen.answers.pick import pick
    from tablegen.config.case_catalogue import load_case, loader_of
    from tablegen.report.answers.pick import answer_of_pick, answer_of_split
    from tablegen.report.formatter import Formatter

    check_files(options)
    sst_k = read_quantity("--sst", options.sst, "temperature", SST_RANGE)
    load_w = read_quantity("--load", options.load, "load", ("0 W", "10000 kW"))
    load = loader_of(catalogue_path(options), options.refrigerant, part_numbers=options.part_numbers)
    found = load_case(load, options.refrigerant, sst_k, options.application, options.overrides)
    catalogue = found.catalogue
    case = Case(options.refrigerant, sst_k, load_w, found.application)
    units = options.units or catalogue.printing.units
    formatter = Formatter.beside(units, catalogue.printing.units, catalogue.printing.load_unit)
    if options.split is None:
        picked = pick(catalogue, case, options.family)
        picks: Sequence[Picked] = (picked,)
        [order] = _orders(options, catalogue, picks)
        answer = answer_of_pick(
            catalogue, picked, formatter, order, was_chosen=found.was_chosen, overrides=options.overrides
        )
    else:
        picks = _split(options, catalogue, case)
        pairs = list(zip(picks, _orders(options, catalogue, picks), strict=True))
        answer = answer_of_split(
            catalogue, case, pairs, formatter, was_chosen=found.was_chosen, overrides=options.overrides
        )
    deliver(answer, options, units)
    return ExitCode.DONE if all(picked.first is not None for picked in picks) else ExitCode.NO


def _split(options: argparse.Namespace, catalogue: Catalogue, case: Case) -> Sequence[Picked]:
    """The picks for the evaporators of a split unit."""
    from tablegen.answers.split import loads_of, pick_each
    from tablegen.units import to_si

    parts = [part.strip() for part in options.split.split(",")]
    are_shares = all(part.endswith(("percent", "%")) for part in parts)
    try:
        figures = [to_si(part, "share" if are_shares else "load") for part in parts]
        loads = loads_of(case.load_w, figures, are_shares)
    except (BadValue, RequestError) as error:
        raise RequestError(wording.SPLIT_ERROR(error=str(error))) from None
    return pick_each(catalogue, case, loads, options.family)


def _orders(options: argparse.Namespace, catalogue: Catalogue, picks: Sequence[Picked]) -> list[OrderLine | None]:
    """The order line of each first choice; None where no valve fits."""
    from tablegen.answers.order import OrderRequest, order_line

    capillary = None
    if options.capillary is not None:
        capillary = read_quantity("--capillary", options.capillary, "length", ("0 m", "20 m"))
    if options.quantity is not None and not 1 <= options.quantity <= _MOST_VALVES:
        raise RequestError(wording.QUANTITY_RULE(quantity=options.quantity, maximum=_MOST_VALVES))
    job = " ".join(options.job.split())
    if len(job) > _LONGEST_JOB or not job.isprintable():
        raise RequestError(wording.JOB_RULE(job=repr(job[:20]), maximum=_LONGEST_JOB))
    asked = OrderRequest(options.connections or "", capillary, options.quantity, job, options.capillary or "")
    return [None if picked.first is None else order_line(catalogue, picked.first, asked) for picked in picks]
