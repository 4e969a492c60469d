"""`tablegen compare`: two output folders cell by cell, with the inputs that differ."""

from __future__ import annotations

import argparse
import datetime
import json
from pathlib import Path
from typing import Any

from tablegen.errors import DataSetError

CHANGED = 1
_MOST_CELLS = 40


def add_parser(commands: Any) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "compare",
        help="compare two releases cell by cell",
        description="Compare the windows of two output folders of 'tablegen build', which may be of older versions: "
        "what changed, by how much, what was added, what is gone, and which inputs differ and bear on it.",
        epilog="Exit codes: 0 no window differs, 1 some do, 2 bad input.  Example: tablegen compare releases/A "
        "output/demo --output changes.pdf --csv changes.csv",
    )
    parser.add_argument("old", type=Path, metavar="OLD", help="output folder of the earlier release")
    parser.add_argument("new", type=Path, metavar="NEW", help="output folder of the newer one")
    parser.add_argument("--output", type=Path, metavar="FILE", help="also print a page (PDF)")
    parser.add_argument("--csv", type=Path, metavar="FILE", help="also write every window that differs as CSV, in SI")
    parser.add_argument("--json", action="store_true", help="everything as JSON, in SI")
    parser.add_argument("--paper", choices=("Letter", "A4"), help="paper of the page (default: by --units)")
    parser.add_argument("--units", choices=("IP", "SI"), help="units of text and page (default: those of NEW)")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Compare, and print what differs."""
    from tablegen.cli.compare_text import record_of, text_of
    from tablegen.dataset.compare import read_release
    from tablegen.dataset.comparison import compare
    from tablegen.dataset.dataset import csv_of
    from tablegen.files import replace_file
    from tablegen.report.formatter import Formatter

    comparison = compare(read_release(options.old), read_release(options.new))
    printing = comparison.new.record["inputs"]["printing"]
    own = str(printing.get("units", "SI"))
    units = options.units or own
    formatter = Formatter(units, printing.get("load_unit") if units == own else None)
    if options.csv is not None:
        with replace_file(options.csv) as aside:
            aside.write_bytes(csv_of(comparison.cells))
    if options.output is not None:
        _print_sheet(options, comparison, formatter)
    if options.json:
        print(json.dumps(record_of(comparison), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        print(text_of(comparison, formatter, _MOST_CELLS))
    return CHANGED if len(comparison.cells) else 0


def _print_sheet(options: argparse.Namespace, comparison: Any, formatter: Any) -> None:
    """Print the page aside and move it into place."""
    from tablegen.cli.compare_text import sheet_of
    from tablegen.files import replace_file
    from tablegen.report.pages.comparison_sheet import print_comparison

    try:
        day = datetime.date.fromisoformat(comparison.new.date)
    except ValueError as error:
        raise DataSetError(f"{comparison.new.folder}: its manifest.json has no date of the release: {error}") from error
    paper = options.paper or ("A4" if formatter.system == "SI" else "Letter")
    notice = str(comparison.new.record["inputs"]["printing"].get("notice", ""))
    with replace_file(options.output) as aside:
        print_comparison(sheet_of(comparison, formatter), paper, notice, day, aside)
