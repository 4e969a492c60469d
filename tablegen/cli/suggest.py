"""`tablegen suggest groups`: which refrigerants may share a table."""

from __future__ import annotations

import argparse

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_path
from tablegen.errors import BadValue, RequestError, unknown
from tablegen.model.names import refrigerant_name
from tablegen.wording import command_line, input_errors
from tablegen.wording import suggest as wording


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    suggest = commands.add_parser("suggest", help=wording.HELP())
    parser = suggest.add_subparsers(dest="what", required=True, metavar="WHAT").add_parser(
        "groups", help=wording.GROUPS_HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("--refrigerants", metavar="NAMES", help=wording.REFRIGERANTS_HELP())
    parser.add_argument("--application", metavar="NAME", help=wording.APPLICATION_HELP())
    parser.add_argument("--spread", default="10 percent", metavar="SHARE", help=wording.SPREAD_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Suggest, and give the answer."""
    from tablegen.config.loader import load_catalogue
    from tablegen.config.selection import Selection
    from tablegen.report.answers.suggest import answer_of_suggestions
    from tablegen.report.formatter import Formatter
    from tablegen.tables.suggest_groups import COMPARED_AT_K, dew_pressures, suggest_in

    check_files(options)
    max_spread, also = _spread(options.spread), _also(options.refrigerants)
    path = catalogue_path(options)
    try:
        catalogue = load_catalogue(path, Selection(also=also))
    except RequestError as error:
        raise RequestError(command_line.OPTION_ERROR(option="--refrigerants", error=str(error))) from None
    names = list(catalogue.applications)
    if options.application is not None and options.application not in names:
        wrong = unknown(input_errors.AN_APPLICATION(), options.application, names)
        raise RequestError(command_line.OPTION_ERROR(option="--application", error=wrong))
    wanted = names if options.application is None else [options.application]
    found = [own for name in wanted for own in suggest_in(catalogue, catalogue.applications[name], max_spread)]
    units = options.units or catalogue.printing.units
    answer = answer_of_suggestions(
        catalogue,
        found,
        Formatter.beside(units, catalogue.printing.units, catalogue.printing.load_unit),
        max_spread=max_spread,
        compared_at_k=COMPARED_AT_K,
        dew_pressure_pa=dew_pressures(catalogue),
    )
    deliver(answer, options, units)
    return ExitCode.DONE


def _also(text: str | None) -> list[str] | None:
    """The refrigerants named beside those of the groups; None stands for all that are known."""
    if text is None:
        return []
    names = [name.strip() for name in text.split(",")]
    if "" in names:
        raise RequestError(wording.NAMES_RULE(value=repr(text)))
    return None if names == ["all"] else [refrigerant_name(name) for name in names]


def _spread(text: str) -> float:
    from tablegen.units import to_si

    try:
        share = to_si(text, "share")
    except BadValue as error:
        raise RequestError(command_line.OPTION_ERROR(option="--spread", error=str(error))) from None
    if not 0.0 < share <= 1.0:
        raise RequestError(wording.SPREAD_RULE(value=repr(text)))
    return share
