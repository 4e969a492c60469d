"""`tablegen fit`: from readings of a test bench to the parameters of a family."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.cli.deliver import add_answer_options, check_files, deliver, naming
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_of, words_of
from tablegen.files import refuse_over_input
from tablegen.report.answer_files import check_file, write_text
from tablegen.wording import command_line
from tablegen.wording import fit as wording

if TYPE_CHECKING:
    from tablegen.report.answer import Datum

_FRAGMENT = (".yaml", ".yml")


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser("fit", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG())
    parser.add_argument("bench", nargs="?", type=Path, metavar="BENCH.csv", help=wording.BENCH_HELP())
    parser.add_argument("--family", metavar="NAME", help=wording.FAMILY_HELP())
    parser.add_argument(
        "--law", choices=("orifice", "choked", "discharge_coefficient", "any"), default="any", help=wording.LAW_HELP()
    )
    parser.add_argument("--charge", metavar="NAME", help=wording.CHARGE_HELP())
    parser.add_argument("--openings", metavar="LIST", help=wording.OPENINGS_HELP())
    parser.add_argument("--confidence", default="95 percent", metavar="SHARE", help=wording.CONFIDENCE_HELP())
    parser.add_argument(
        "--site-pressure", metavar="P", help=command_line.SITE_PRESSURE(default=command_line.OF_THE_FILE())
    )
    parser.add_argument("--flow-uncertainty", metavar="SHARE", help=wording.FLOW_UNCERTAINTY_HELP())
    parser.add_argument("--opening-uncertainty", metavar="SHARE", help=wording.OPENING_UNCERTAINTY_HELP())
    parser.add_argument("--drop-uncertainty", metavar="DP", help=wording.DROP_UNCERTAINTY_HELP())
    parser.add_argument("--date", metavar="DAY", help=wording.DATE_HELP())
    parser.add_argument("--plan", metavar="PARAMETER", help=wording.PLAN_HELP())
    parser.add_argument("--conditions", type=Path, metavar="FILE.csv", help=wording.CONDITIONS_HELP())
    parser.add_argument("--show-changes", action="store_true", help=wording.SHOW_CHANGES_HELP())
    parser.add_argument("--apply", action="store_true", help=wording.APPLY_HELP())
    parser.add_argument("--fragment", metavar="FILE.yaml", help=wording.FRAGMENT_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Fit, and print or write what can be determined."""
    from tablegen.api.bench_data import fit

    check_files(options)
    if options.fragment is not None:
        check_file("fragment", options.fragment, _FRAGMENT)
    answer = fit(
        options.bench,
        family=options.family,
        law=options.law,
        charge=options.charge,
        openings=words_of(options.openings),
        confidence=options.confidence,
        site_pressure=options.site_pressure,
        flow_uncertainty=options.flow_uncertainty,
        opening_uncertainty=options.opening_uncertainty,
        drop_uncertainty=options.drop_uncertainty,
        date=options.date,
        plan=options.plan,
        conditions=options.conditions,
        show_changes=options.show_changes,
        apply=options.apply,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    lines = []
    if options.fragment is not None:
        lines.append(_write_fragment(answer.fragment, options.fragment))
    if options.apply or options.show_changes:
        lines += _about_changes(answer.record())
    code = deliver(answer, options)
    if lines and not options.json:
        print("\n".join(lines))
    return code


def _about_changes(record: dict[str, Datum]) -> list[str]:
    """How the family's file differs, and whether it is written."""
    file = str(record["file"])
    if "difference" not in record:
        return [wording.FRAGMENT_NOT_WRITTEN(file=file)]
    if not record["difference"]:
        return [wording.NO_CHANGES(file=file)]
    says = wording.FRAGMENT_WRITTEN if record["applied"] else wording.CHANGES_NOT_WRITTEN
    return [str(record["difference"]), says(file=file)]


def _write_fragment(text: str, file: str) -> str:
    """Write what was found as keys of the family's file, if anything was; a line about it."""
    if not text:
        return wording.FRAGMENT_NOT_WRITTEN(file=file)
    with naming("fragment"):
        refuse_over_input(Path(file))
        write_text(Path(file), text)
    return wording.FRAGMENT_WRITTEN(file=file)
