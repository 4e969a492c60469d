"""`tablegen audit`: what is wrong with a catalogue, or with a release of it."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_path, read_quantity
from tablegen.wording import audit as wording
from tablegen.wording import command_line

_BOX_RANGE = "0.5 K", "40 K"


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "audit", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    add_catalogue_options(parser)
    parser.add_argument("--release", type=Path, metavar="DIR", help=wording.RELEASE_HELP())
    parser.add_argument("--strict", action="store_true", help=wording.STRICT_HELP())
    parser.add_argument("--box-difference", metavar="DT", dest="box_difference", help=wording.BOX_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Audit, and print what was found."""
    from tablegen.audits.findings import Severity
    from tablegen.audits.release_checks import check_release, release_of
    from tablegen.audits.run import audit
    from tablegen.confidence.confident_limits import scattered_in
    from tablegen.config.loader import load_catalogue
    from tablegen.dataset.compute import compute_windows
    from tablegen.progress import progress
    from tablegen.report.answers.audit import answer_of_audit
    from tablegen.report.formatter import Formatter
    from tablegen.sweep.sweep import SweepOptions, count_parts, count_systems

    check_files(options)
    box_k = None
    if options.box_difference is not None:
        box_k = read_quantity("--box-difference", options.box_difference, "temperature difference", _BOX_RANGE)
    catalogue = load_catalogue(catalogue_path(options))
    # Before anything is computed: a folder without a release is found at once.
    release = release_of(options.release, catalogue) if options.release is not None else None
    with progress(count_parts(catalogue) + count_systems(catalogue), sys.stderr.isatty()) as shown:
        tables = compute_windows(catalogue, SweepOptions(advance=shown.advance), scattered_in(catalogue))
        read = check_release(release, catalogue, tables) if release is not None else None
        found = audit(catalogue, shown.advance, box_k, tables)
    if read is not None:
        found = found.with_release(read)
    own = catalogue.printing.units
    formatter = Formatter.beside(options.units or own, own, catalogue.printing.load_unit)
    deliver(answer_of_audit(catalogue, found, formatter), options, formatter.system)
    is_faulty = found.count(Severity.FAULT) > 0 or (options.strict and found.count(Severity.REMARK) > 0)
    return ExitCode.NO if is_faulty else ExitCode.DONE
