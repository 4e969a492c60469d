"""`tablegen states` and `tablegen verify`: pressure-temperature tables, and computed values beside published ones."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, words_of
from tablegen.wording import command_line
from tablegen.wording import states as wording
from tablegen.wording import verification as verify_wording

_CONFIGS = Path("configs")
_ATMOSPHERE = "101.325 kPa_absolute"
_UNIT_EXAMPLES = {
    "temperature": "degC",
    "pressure": "kPaa",
    "density": "lb/ft3",
    "enthalpy": "kJ/kg",
    "entropy": "kJ/(kg K)",
}


def add_parsers(commands: Commands) -> None:
    """Add both commands to the others."""
    parser = commands.add_parser(
        "states", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    _add_refrigerants(parser, wording.REFRIGERANTS_HELP())
    parser.add_argument("--coldest", metavar="T", help=wording.COLDEST_HELP())
    parser.add_argument("--warmest", metavar="T", help=wording.WARMEST_HELP())
    parser.add_argument("--step", metavar="DT", help=wording.STEP_HELP())
    for kind, example in _UNIT_EXAMPLES.items():
        parser.add_argument(f"--{kind}", metavar="UNIT", help=wording.UNIT_HELP(example=example))
    columns = wording.COLUMNS_HELP(columns=", ".join(wording.COLUMNS), usual=", ".join(wording.USUAL_COLUMNS))
    parser.add_argument("--columns", metavar="LIST", help=columns)
    atmosphere = command_line.SITE_PRESSURE(default=_ATMOSPHERE)
    parser.add_argument("--site-pressure", default=_ATMOSPHERE, metavar="P", help=atmosphere)
    add_answer_options(parser, wording.CSV_ROWS(), "IP")
    parser.set_defaults(run=run_states)

    parser = commands.add_parser(
        "verify",
        help=verify_wording.HELP(),
        description=verify_wording.DESCRIPTION(),
        epilog=verify_wording.EPILOG(),
    )
    _add_refrigerants(parser, verify_wording.REFRIGERANTS_HELP())
    parser.add_argument("--every", action="store_true", help=verify_wording.EVERY_HELP())
    add_answer_options(parser, verify_wording.CSV_ROWS(), "IP")
    parser.set_defaults(run=run_verify)


def _add_refrigerants(parser: argparse.ArgumentParser, help_text: str) -> None:
    """The names, and the folder in which there may be more."""
    parser.add_argument("refrigerants", nargs="*", metavar="REFRIGERANT", help=help_text)
    parser.add_argument("--configs", type=Path, metavar="DIR", help=command_line.CONFIGS())
    add_catalogue_options(parser)


def _configs(options: argparse.Namespace) -> Path | None:
    """The folder that is named, or the usual one where it has refrigerants, even such that cannot be read."""
    named: Path | None = options.configs
    is_usual = not (named or options.demo or options.catalogue) and os.path.lexists(_CONFIGS / "refrigerants")
    return _CONFIGS if is_usual else named


def run_states(options: argparse.Namespace) -> ExitCode:
    """Give the tables asked for, or the list of all refrigerants."""
    from tablegen.api.refrigerant_data import states

    check_files(options)
    answer = states(
        *options.refrigerants,
        coldest=options.coldest,
        warmest=options.warmest,
        step=options.step,
        temperature=options.temperature,
        pressure=options.pressure,
        density=options.density,
        enthalpy=options.enthalpy,
        entropy=options.entropy,
        columns=words_of(options.columns),
        site_pressure=options.site_pressure,
        configs=_configs(options),
        catalogue=options.catalogue,
        units=options.units or "IP",
    )
    return deliver(answer, options)


def run_verify(options: argparse.Namespace) -> ExitCode:
    """Check, and give the answer."""
    from tablegen.api.refrigerant_data import verify

    check_files(options)
    return deliver(
        verify(*options.refrigerants, every=options.every, configs=_configs(options), catalogue=options.catalogue),
        options,
    )
