"""`tablegen pick`: the valves that fit one case, and why the others do not."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from tablegen.cli.options import APPLICATION_HELP, application_notes, read_quantity
from tablegen.errors import BadValue, RequestError

NO_VALVE = 1
_MOST_VALVES, _LONGEST_JOB = 9999, 60
SST_RANGE = ("-76 degF", "86 degF")


def add_parser(commands: Any, catalogue_argument: Callable[[argparse.ArgumentParser, bool], None]) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "pick",
        help="answer one case: the valves that fit a load",
        description="Hold the capacity of a system at its rating point against the window of every size, computed "
        "exactly at the suction temperature given.",
        epilog="Exit codes: 0 a valve fits, 1 none fits, 2 bad input.  Example: tablegen pick R448A --sst '24 degF' "
        "--load '20 kBtu/h' --application walk_in_medium --set low_head.head_pressure='120 psi_gauge' --demo",
    )
    parser.add_argument("refrigerant", metavar="REFRIGERANT", help="one refrigerant, or a group of the catalogue")
    parser.add_argument("--sst", required=True, metavar="T", help="saturated suction temperature (dew), as '24 degF'")
    parser.add_argument(
        "--load", required=True, metavar="Q", help="gross capacity at the rating point, as '20 kBtu/h', '5.9 kW'"
    )
    parser.add_argument("--application", metavar="NAME", help=APPLICATION_HELP)
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        dest="overrides",
        help="another value for a key of the application, as losses.lift='20 ft'; repeatable",
    )
    parser.add_argument(
        "--split", metavar="PARTS", help="several evaporators: '30 percent, 70 percent' or '6 kBtu/h, 14 kBtu/h'"
    )
    parser.add_argument("--family", metavar="NAME", help="one family (default: all)")
    parser.add_argument("--connections", metavar="TEXT", help="connections on the order, as offered for the size")
    parser.add_argument("--capillary", metavar="LENGTH", help="length of the bulb's capillary on the order, as '10 ft'")
    parser.add_argument("--quantity", type=int, metavar="N", help="number of valves on the order")
    parser.add_argument("--job", default="", metavar="TEXT", help="job reference on the order")
    parser.add_argument(
        "--articles",
        type=Path,
        metavar="FILE",
        help="own article numbers (CSV or XLSX): column 'article', and any of family, size, charge, "
        "equalizer, connections, capillary",
    )
    parser.add_argument("--units", choices=("IP", "SI"), help="units of the answer (default: the catalogue's)")
    parser.add_argument("--json", action="store_true", help="the whole answer as JSON, in SI")
    catalogue_argument(parser, True)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print the answer."""
    from tablegen.answers.case import Case
    from tablegen.answers.pick import pick
    from tablegen.config.overrides import load_case, loader_of

    sst_k = read_quantity("--sst", options.sst, "temperature", SST_RANGE)
    load_w = read_quantity("--load", options.load, "load", ("0 W", "10000 kW"))
    load = loader_of(options.catalogue_path(options), options.refrigerant, articles=options.articles)
    found = load_case(load, options.refrigerant, sst_k, options.application, options.overrides)
    catalogue = found.catalogue
    case = Case(options.refrigerant, sst_k, load_w, found.application)
    notes = application_notes(found, options.overrides)
    if options.split is not None:
        return _split(options, catalogue, case, notes)
    picked = pick(catalogue, case, options.family)
    [order] = _orders(options, catalogue, [picked])
    if options.json:
        record = {"application_was_chosen": found.was_chosen, **as_record(picked, order)}
        print(json.dumps(record, indent=1, allow_nan=False))
    else:
        from tablegen.cli.pick_text import text

        units = options.units or catalogue.printing.units
        print(text(catalogue, picked, units, notes, order))
    return 0 if picked.first is not None else NO_VALVE


def _split(options: argparse.Namespace, catalogue: Any, case: Any, notes: Sequence[str]) -> int:
    """Answer for each evaporator of a split unit."""
    from tablegen.answers.split import loads_of, pick_each
    from tablegen.cli.pick_text import split_text
    from tablegen.units import to_si

    parts = [part.strip() for part in options.split.split(",")]
    are_shares = all(part.endswith(("percent", "%")) for part in parts)
    try:
        figures = [to_si(part, "share" if are_shares else "load") for part in parts]
        loads = loads_of(case.load_w, figures, are_shares)
    except (BadValue, RequestError) as error:
        raise RequestError(f"--split: {error}") from None
    answers = pick_each(catalogue, case, loads, options.family)
    orders = _orders(options, catalogue, answers)
    if options.json:
        records = [as_record(picked, order) for picked, order in zip(answers, orders, strict=True)]
        print(json.dumps({"evaporators": records}, indent=1, allow_nan=False))
    else:
        units = options.units or catalogue.printing.units
        print(split_text(catalogue, case, list(zip(answers, orders, strict=True)), units, notes))
    return 0 if all(picked.first is not None for picked in answers) else NO_VALVE


def _orders(options: argparse.Namespace, catalogue: Any, answers: Sequence[Any]) -> list[Any]:
    """The order line of each first choice; None where no valve fits."""
    from tablegen.answers.order import OrderRequest, order_line

    capillary = None
    if options.capillary is not None:
        capillary = read_quantity("--capillary", options.capillary, "length", ("0 m", "20 m"))
    if options.quantity is not None and not 1 <= options.quantity <= _MOST_VALVES:
        rule = f"must be at least 1 and at most {_MOST_VALVES}"
        raise RequestError(f"--quantity: {options.quantity} is not allowed; {rule}")
    job = " ".join(options.job.split())
    if len(job) > _LONGEST_JOB or not job.isprintable():
        rule = f"it must be at most {_LONGEST_JOB} printable characters"
        raise RequestError(f"--job: {job[:20]!r} is not allowed; {rule}")
    asked = OrderRequest(options.connections or "", capillary, options.quantity, job, options.capillary or "")
    return [None if picked.first is None else order_line(catalogue, picked.first, asked) for picked in answers]


def as_record(picked: Any, order: Any) -> dict[str, Any]:
    """The answer as JSON values, in SI; what is not a number is null."""
    from tablegen.dataset.to_json import plain

    record: dict[str, Any] = plain(picked)
    first = record["fitting"][0] if record["fitting"] else None
    return {"first": first, "order": plain(order), **record}
