"""`tablegen import`: sheets of sizes, bulb charges, part numbers and bench readings read into a catalogue."""

from __future__ import annotations

import argparse
from pathlib import Path

from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_of, print_note
from tablegen.config._input_files import shown_name
from tablegen.wording import imports as wording


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    does = wording.HELP()
    parser = commands.add_parser(
        "import", help=does, description=f"{does[0].upper()}{does[1:]}.", epilog=wording.EPILOG()
    )
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE", help=wording.FILES_HELP())
    parser.add_argument("--family", metavar="NAME", help=wording.FAMILY_HELP())
    parser.add_argument("--key", action="append", default=[], metavar="KEY=VALUE", dest="keys", help=wording.KEY_HELP())
    parser.add_argument("--delete-sizes", action="store_true", help=wording.DELETE_HELP())
    parser.add_argument("--dry-run", action="store_true", help=wording.DRY_RUN_HELP())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Read the sheets, write the files, and say what was taken for what."""
    from tablegen.api.imports import import_tables

    report = import_tables(
        *options.files,
        family=options.family,
        keys=options.keys,
        delete_sizes=options.delete_sizes,
        dry_run=options.dry_run,
        catalogue=catalogue_of(options),
    )
    print("\n".join(report.lines()))
    for difference in report.differences.values():
        print(f"\n{difference}")
    names = [shown_name(path) for path in report.files] or list(report.differences)
    says = wording.NOT_WRITTEN if options.dry_run else wording.WRITTEN
    print(f"\n{says(len(names), files=', '.join(names))}" if names else wording.NOTHING_CHANGES())
    for note in report.notes:
        print_note(note)
    return ExitCode.DONE
