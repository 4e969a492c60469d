"""`tablegen pick`: the valves that fit one case, and why the others do not."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from typing import Any

from tablegen.errors import BadValue, RequestError

NO_VALVE = 1
_COLDEST, _WARMEST = "-76 degF", "86 degF"


def add_parser(commands: Any, catalogue_argument: Callable[[argparse.ArgumentParser, bool], None]) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "pick",
        help="answer one case: the valves that fit a load",
        description="Hold the capacity of a system at its rating point against the window of every size, computed "
        "exactly at the suction temperature given.",
        epilog="Exit codes: 0 a valve fits, 1 none fits, 2 bad input.  Example: tablegen pick R448A --sst '24 degF' "
        "--load '20 kBtu/h' --envelope walk_in_medium --set low_head.head_pressure='120 psi_gauge' --demo",
    )
    parser.add_argument("refrigerant", metavar="REFRIGERANT", help="one refrigerant, or a group of the catalogue")
    parser.add_argument("--sst", required=True, metavar="T", help="saturated suction temperature (dew), as '24 degF'")
    parser.add_argument("--load", required=True, metavar="Q",
                        help="gross capacity at the rating point, as '20 kBtu/h', '5.9 kW'")  # fmt: skip
    parser.add_argument("--envelope", metavar="NAME", help="an envelope of the catalogue (default: its first)")
    parser.add_argument("--set", action="append", default=[], metavar="KEY=VALUE", dest="overrides",
                        help="another value for a key of the envelope, as losses.lift='20 ft'; repeatable")  # fmt: skip
    parser.add_argument("--family", metavar="NAME", help="one family (default: all)")
    parser.add_argument("--units", choices=("IP", "SI"), help="units of the answer (default: the catalogue's)")
    parser.add_argument("--json", action="store_true", help="the whole answer as JSON, in SI")
    catalogue_argument(parser, True)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print the answer."""
    from tablegen.config.overrides import load_with
    from tablegen.desk.case import Case
    from tablegen.desk.pick import pick

    sst_k = _quantity("--sst", options.sst, "temperature", _COLDEST, _WARMEST)
    load_w = _quantity("--load", options.load, "load", "0 W", "10000 kW")
    catalogue, envelope = load_with(options.catalogue_path(options), options.envelope, options.overrides)
    if options.family is not None and options.family not in catalogue.families:
        from tablegen.errors import unknown

        raise RequestError(f"--family: {unknown('a family', options.family, catalogue.families)}")
    picked = pick(catalogue, Case(options.refrigerant, sst_k, load_w, envelope), options.family)
    if options.json:
        print(json.dumps(as_record(picked), indent=1, allow_nan=False))
    else:
        from tablegen.commands.pick_text import text

        print(text(catalogue, picked, options.units or catalogue.printing.units, options.overrides))
    return 0 if picked.first is not None else NO_VALVE


def as_record(picked: Any) -> dict[str, Any]:
    """The answer as JSON values, in SI; what is not a number is null."""
    from tablegen.catalogue.record import plain

    record: dict[str, Any] = plain(picked)
    return {"first": record["fitting"][0] if record["fitting"] else None, **record}


def _quantity(option: str, text: str, kind: str, least: str, most: str) -> float:
    from tablegen.units import to_si

    try:
        value = to_si(text, kind)
    except BadValue as error:
        raise RequestError(f"{option}: {error}") from None
    if not to_si(least, kind) <= value <= to_si(most, kind):
        raise RequestError(f"{option}: {text!r} is not allowed; it must be at least {least} and at most {most}")
    return value
