"""`tablegen compare`: two output folders window by window, with the inputs that differ."""

from __future__ import annotations

import argparse
from pathlib import Path

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode
from tablegen.wording import compare as wording


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "compare", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("old", type=Path, metavar="OLD", help=wording.OLD_HELP())
    parser.add_argument("new", type=Path, metavar="NEW", help=wording.NEW_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), wording.UNITS_OF_NEW())
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Compare, and print what differs."""
    from tablegen.dataset.comparison import compare
    from tablegen.dataset.release import read_release
    from tablegen.report.answers.compare import answer_of_comparison, formatter_of_prints

    check_files(options)
    comparison = compare(read_release(options.old), read_release(options.new))
    formatter = formatter_of_prints(comparison.new.manifest.printed_as, options.units)
    deliver(answer_of_comparison(comparison, formatter), options, formatter.system)
    return ExitCode.NO if len(comparison.windows) else ExitCode.DONE
