"""`tablegen states`: pressure-temperature tables, and the list of refrigerants."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_registry_option, read_quantity, registry_of
from tablegen.errors import BadValue, RequestError, both_scales, near
from tablegen.model.names import refrigerant_name
from tablegen.wording import command_line
from tablegen.wording import states as wording

if TYPE_CHECKING:
    from tablegen.physics.arrays import Floats
    from tablegen.report.answers.states import StateUnits

_RANGES = {"IP": ("-60 degF", "150 degF", "5 delta_degF"), "SI": ("-50 degC", "65 degC", "2.5 K")}
_ATMOSPHERE = "101.325 kPa_absolute"
_MAX_ROWS = 2000
_UNIT_EXAMPLES = {"temperature": "degC", "pressure": "kPaa", "density": "lb/ft3", "enthalpy": "kJ/kg"}


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "states", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument(
        "refrigerants", type=refrigerant_name, nargs="*", metavar="REFRIGERANT", help=wording.REFRIGERANTS_HELP()
    )
    parser.add_argument("--coldest", metavar="T", help=wording.COLDEST_HELP())
    parser.add_argument("--warmest", metavar="T", help=wording.WARMEST_HELP())
    parser.add_argument("--step", metavar="DT", help=wording.STEP_HELP())
    for kind, example in _UNIT_EXAMPLES.items():
        parser.add_argument(f"--{kind}", metavar="UNIT", help=wording.UNIT_HELP(example=example))
    atmosphere = command_line.SITE_PRESSURE(default=_ATMOSPHERE)
    parser.add_argument("--site-pressure", default=_ATMOSPHERE, metavar="P", help=atmosphere)
    add_answer_options(parser, wording.CSV_ROWS(), "IP")
    add_registry_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Give the tables asked for, or the list of all refrigerants."""
    from tablegen.model.property_store import library_version
    from tablegen.report.answers.states import answer_of_list, answer_of_states
    from tablegen.tables.reference_tables import refrigerant_states

    check_files(options)
    system = options.units or "IP"
    registry = registry_of(options)
    if not options.refrigerants:
        deliver(answer_of_list(registry.records), options, system)
        return ExitCode.DONE
    for name in options.refrigerants:
        if name not in registry:
            raise RequestError(wording.NO_REFRIGERANT(name=repr(name), hint=near(name, registry)))
    units, at = _units(options, system), _temperatures(options, system)
    try:
        found = [
            refrigerant_states(registry[name], registry.records[name], at)
            for name in dict.fromkeys(options.refrigerants)
        ]
    except RequestError as error:
        raise RequestError(command_line.OPTION_ERROR(option="--coldest/--warmest", error=str(error))) from None
    deliver(answer_of_states(found, units, library_version()), options, system)
    return ExitCode.DONE


def _units(options: argparse.Namespace, system: str) -> StateUnits:
    """The units asked for, those of the unit system for the others, and the atmosphere."""
    from tablegen.config.bench_header import read_site_pressure
    from tablegen.report.answers.states import USUAL_UNITS, StateUnits
    from tablegen.units import unit_named

    option, chosen = "", {}
    try:
        for kind, usual in USUAL_UNITS[system].items():
            option = f"--{kind}"
            chosen[kind] = unit_named(kind, getattr(options, kind) or usual)
        option = "--site-pressure"
        return StateUnits(**chosen, site_pressure_pa=read_site_pressure(options.site_pressure))
    except BadValue as error:
        raise RequestError(command_line.OPTION_ERROR(option=option, error=str(error))) from None


def _temperatures(options: argparse.Namespace, system: str) -> Floats:
    """The temperatures asked for [K]."""
    from tablegen.tables.reference_tables import row_count, temperature_grid

    usual = zip((options.coldest, options.warmest, options.step), _RANGES[system], strict=True)
    coldest, warmest, step = (text if given is None else given for given, text in usual)
    coldest_k = read_quantity("--coldest", coldest, "temperature")
    warmest_k = read_quantity("--warmest", warmest, "temperature")
    step_k = read_quantity("--step", step, "temperature difference")
    if step_k <= 0.0:
        raise RequestError(wording.STEP_ABOVE_ZERO(value=repr(step)))
    if warmest_k < coldest_k:
        raise RequestError(wording.WRONG_RANGE(coldest=both_scales(coldest_k), warmest=both_scales(warmest_k)))
    count = row_count(coldest_k, warmest_k, step_k)
    if count > _MAX_ROWS:
        raise RequestError(wording.TOO_MANY_ROWS(value=repr(step), count=count, maximum=_MAX_ROWS))
    return temperature_grid(coldest_k, warmest_k, step_k)
