"""`tablegen upgrade`: config files of an earlier format brought to today's."""

from __future__ import annotations

import argparse
import sys

from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_of
from tablegen.wording import upgrade as wording
from tablegen.wording.imports import DRY_RUN_HELP


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    does = wording.HELP()
    parser = commands.add_parser(
        "upgrade", help=does, description=f"{does[0].upper()}{does[1:]}.", epilog=wording.EPILOG()
    )
    parser.add_argument("--dry-run", action="store_true", help=DRY_RUN_HELP())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Change the files, and say what changed and what is still wrong."""
    from tablegen.api.upgrading import upgrade

    report = upgrade(catalogue_of(options), dry_run=options.dry_run)
    print("\n".join(report.lines()))
    if not report.is_current:
        says = wording.WOULD_CHANGE if options.dry_run else wording.CHANGED
        print(says(len(report.lines()), files=wording.FILES(len(report.differences))))
    if report.problems:
        print(wording.STILL_WRONG(len(report.problems)), file=sys.stderr)
        for problem in report.problems:
            print(problem, file=sys.stderr)
        return ExitCode.NO
    if not options.dry_run:
        print(wording.SOUND())
    return ExitCode.DONE
