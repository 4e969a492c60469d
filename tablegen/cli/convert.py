"""`tablegen restate`: a capacity stated at other temperatures, at the rating point and back."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from typing import Any

from tablegen.cli.options import APPLICATION_HELP, application_notes, read_quantity
from tablegen.cli.pick import SST_RANGE
from tablegen.errors import RequestError
from tablegen.wording import terms

_BASES = ("bubble", "dew", "mid")


def add_parser(commands: Any, catalogue_argument: Callable[[argparse.ArgumentParser, bool], None]) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "convert",
        help="restate a capacity at the rating point, or back",
        description="Restate a capacity through the compressor of an application.",
        epilog="Example: tablegen restate R448A --capacity '20 kBtu/h' --condensing '120 degF' --basis dew "
        "--subcooling '5 delta_degF' --sst '24 degF' --application walk_in_medium --demo",
    )
    parser.add_argument("refrigerant", metavar="REFRIGERANT")
    parser.add_argument("--capacity", required=True, metavar="Q", help="the capacity, as '20 kBtu/h'")
    parser.add_argument("--condensing", required=True, metavar="T", help="condensing temperature that it is stated at")
    parser.add_argument("--basis", required=True, choices=_BASES, help="what the condensing temperature means")
    liquid = parser.add_mutually_exclusive_group(required=True)
    liquid.add_argument("--subcooling", metavar="DT", help="liquid below its bubble point, as '9 delta_degF'")
    liquid.add_argument("--liquid", metavar="T", help="liquid temperature at the valve")
    parser.add_argument("--sst", required=True, metavar="T", help="saturated suction temperature (dew) of the table")
    parser.add_argument("--stated-sst", metavar="T", help="suction temperature that it is stated at (default: --sst)")
    parser.add_argument("--back", action="store_true", help="from the rating point to the stated condition")
    parser.add_argument("--application", metavar="NAME", help=APPLICATION_HELP)
    parser.add_argument("--units", choices=("IP", "SI"), help="units of the answer (default: the catalogue's)")
    parser.add_argument("--json", action="store_true", help="the answer as JSON, in SI")
    catalogue_argument(parser, True)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print the answer."""
    from tablegen.answers.convert import Stated, convert
    from tablegen.config.overrides import load_case, loader_of
    from tablegen.dataset.to_json import plain
    from tablegen.physics.system import Basis

    capacity_w = read_quantity("--capacity", options.capacity, "load", ("1 W", "100000 kW"))
    sst_k = read_quantity("--sst", options.sst, "temperature", SST_RANGE)
    stated_sst_k = sst_k
    if options.stated_sst is not None:
        stated_sst_k = read_quantity("--stated-sst", options.stated_sst, "temperature", SST_RANGE)
    condensing_k = read_quantity("--condensing", options.condensing, "temperature", ("-40 degF", "200 degF"))
    subcooling_k, liquid_k = 0.0, None
    if options.liquid is not None:
        liquid_k = read_quantity("--liquid", options.liquid, "temperature", ("-76 degF", "200 degF"))
    else:
        subcooling_k = read_quantity("--subcooling", options.subcooling, "temperature difference", ("0 K", "60 K"))
    stated = Stated(stated_sst_k, condensing_k, Basis(options.basis), subcooling_k, liquid_k)
    path = options.catalogue_path(options)
    own = load_case(loader_of(path, options.refrigerant), options.refrigerant, sst_k, options.application, ())
    catalogue, application = own.catalogue, own.application
    try:
        found = convert(catalogue, options.refrigerant, application, sst_k, stated)
    except RequestError as error:
        raise RequestError(f"restate: {error}") from None
    answer_w = capacity_w / found.factor if options.back else capacity_w * found.factor
    if options.json:
        record = {"capacity_w": capacity_w, "answer_w": answer_w, "is_back": options.back, **plain(found)}
        print(json.dumps(record, indent=1, allow_nan=False))
    else:
        units = options.units or catalogue.printing.units
        print(_text(own, options, stated, sst_k, found, capacity_w, answer_w, units))
    return 0


def _text(
    own: Any,
    options: argparse.Namespace,
    stated: Any,
    sst_k: float,
    found: Any,
    capacity_w: float,
    answer_w: float,
    units: str,
) -> str:
    from tablegen.cli.answer_words import formatter_of
    from tablegen.report.formatter import NBSP, percent

    catalogue, formatter = own.catalogue, formatter_of(own.catalogue, units)
    application = catalogue.applications[own.application]
    site = application.site_pressure_pa

    def point(head_pa: float, liquid_k: float, at_k: float) -> str:
        gauge = f"{formatter.gauge(head_pa, site)}{NBSP}{formatter.gauge_label}"
        return f"head {gauge}, liquid {formatter.degrees(liquid_k, 1)}, SST {formatter.degrees(at_k)} (dew)"

    there = point(found.stated_head_pa, found.stated_liquid_k, stated.sst_k)
    here = point(found.rated_head_pa, found.rated_liquid_k, sst_k)
    places = ("at the rating point", "as stated")
    given, answer = (formatter.with_load_unit(formatter.load(w)) for w in (capacity_w, answer_w))
    factors = [found.min_factor, found.max_factor]
    ends = sorted(capacity_w / f if options.back else capacity_w * f for f in factors)
    span = " to ".join(dict.fromkeys(formatter.load(w) for w in ends))
    first, last = places if options.back else places[::-1]
    condensing = f"{formatter.degrees(stated.condensing_k)} {terms.BASES[stated.basis.value]()}"
    return "\n".join(
        [
            f"{options.refrigerant}, compressor of {application.title}",
            *application_notes(own, ()),
            f"Stated at {condensing}: {there}",
            f"Rating point: {here}",
            f"{given} {first} is {answer} {last}",
            f"Factor to the rating point {found.factor:.4f}: mass flow {found.flow_ratio:.4f} times effect "
            f"{found.effect_ratio:.4f}",
            f"Properties may put it off by {percent(found.uncertainty, 1)}; with reciprocating machines of none to 8 "
            f"percent clearance it is {formatter.with_load_unit(span)} (assumption); for another kind of compressor ask "
            "its maker",
            catalogue.printing.notice,
        ]
    ).replace(NBSP, " ")
