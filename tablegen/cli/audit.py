"""`tablegen audit`: what a careful reader would find wrong with a catalogue or a release of it."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tablegen.cli.options import read_quantity

FAULTY = 1
_BOX_RANGE = "0.5 K", "40 K"


def add_parser(commands: Any, catalogue_argument: Callable[[argparse.ArgumentParser], None]) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "audit",
        help="look for what is wrong with a catalogue, or with a release of it",
        description="Audit every table that a catalogue computes, printed or not: loads that no size covers, limits "
        "that a head between the conditions, another corner of subcooling, the other suction response or a temperature "
        "between two rows would set tighter, limits that do not rise with size, empty and narrow windows, what groups "
        "cost, published values that are missed, and printed figures against computed ones.",
        epilog="Exit codes: 0 no faults, 1 faults (with --strict also remarks), 2 bad input.  Example: tablegen audit "
        "--demo --output audit.pdf",
    )
    catalogue_argument(parser)
    parser.add_argument(
        "--release",
        type=Path,
        metavar="DIR",
        help="also hold a build's output folder against the catalogue: hashes, data set, workbook and "
        "the pages of its booklets",
    )
    parser.add_argument("--strict", action="store_true", help="remarks count as faults for the exit code")
    parser.add_argument(
        "--box-difference",
        metavar="DT",
        dest="box_difference",
        help="box less evaporating temperature, as '10 delta_degF', for applications that give none, so "
        "that their balanced suction response can be run too",
    )
    parser.add_argument("--output", type=Path, metavar="FILE", help="also print the one-page picture (PDF)")
    parser.add_argument("--paper", choices=("Letter", "A4"), help="paper of the picture (default: by --units)")
    parser.add_argument("--units", choices=("IP", "SI"), help="units of text and picture (default: the catalogue's)")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="everything as JSON, in SI, with coverage row by row")
    form.add_argument("--csv", action="store_true", help="every place with a finding as CSV, in SI")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Audit, and print what was found."""
    from tablegen.audit.findings import Severity
    from tablegen.audit.release import audit_release, release_record
    from tablegen.audit.run import Audit, audit
    from tablegen.cli.answer_words import formatter_of
    from tablegen.cli.audit_text import csv_text, record_of, text_of
    from tablegen.cli.audit_words import FindingFormatter
    from tablegen.confidence.confident_limits import scattered_in
    from tablegen.config.loader import load_catalogue
    from tablegen.dataset.compute import compute_windows
    from tablegen.progress import progress
    from tablegen.sweep.sweep import SweepOptions, count_parts, count_systems

    box_k = None
    if options.box_difference is not None:
        box_k = read_quantity("--box-difference", options.box_difference, "temperature difference", _BOX_RANGE)
    path = options.catalogue_path(options)
    catalogue = load_catalogue(path)
    # First, for a folder that is no release is soon told.
    record = release_record(options.release, catalogue) if options.release is not None else None
    with progress(count_parts(catalogue) + count_systems(catalogue), sys.stderr.isatty()) as shown:
        tables = compute_windows(catalogue, SweepOptions(advance=shown.advance), scattered_in(catalogue))
        read = audit_release(options.release, record, catalogue, tables) if record is not None else None
        found = audit(catalogue, shown.advance, box_k, tables)
    if read is not None:
        found = Audit((*found.cells, *read.cells), found.tables)
    units = options.units or catalogue.printing.units
    formatter = FindingFormatter(formatter_of(catalogue, units), catalogue)
    if options.output is not None:
        _print_sheet(options, catalogue, found, formatter, units)
    if options.json:
        print(json.dumps(record_of(catalogue, found, read, formatter), indent=1, ensure_ascii=False, allow_nan=False))
    elif options.csv:
        print(csv_text(found), end="")
    else:
        print(text_of(catalogue, found, read, formatter, path))
    is_faulty = found.count(Severity.FAULT) or (options.strict and found.count(Severity.REMARK))
    return FAULTY if is_faulty else 0


def _print_sheet(options: argparse.Namespace, catalogue: Any, found: Any, formatter: Any, units: str) -> None:
    """Print the picture aside and move it into place."""
    from tablegen.cli.audit_sheet import sheet_of
    from tablegen.files import replace_file
    from tablegen.report.formatter import CAUTION
    from tablegen.report.pages.coverage_sheet import print_coverage

    printing = catalogue.printing
    about = f"Catalogue {catalogue.name}, revision {printing.revision} of {printing.date.isoformat()}."
    sheet = sheet_of(catalogue, found, formatter, [about], [CAUTION])
    paper = options.paper or ("A4" if units == "SI" else "Letter")
    with replace_file(options.output) as aside:
        print_coverage(sheet, formatter.formatter, paper, printing.notice, printing.date, aside)
