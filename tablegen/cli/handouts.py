"""`tablegen handout`: handouts for a class."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tablegen.cli.deliver import UNIT_SYSTEMS
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_of, words_of
from tablegen.report.answer_files import PAPERS
from tablegen.wording import class_handout as wording


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "handout", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("--class-list", type=Path, metavar="FILE", help=wording.CLASS_LIST_HELP())
    parser.add_argument("--publication", metavar="NAME", help=wording.PUBLICATION_HELP())
    parser.add_argument("--seed", metavar="N", help=wording.SEED_HELP())
    parser.add_argument("--count", metavar="N", help=wording.COUNT_HELP())
    parser.add_argument("--kinds", metavar="KIND[,KIND]", help=wording.KINDS_HELP())
    parser.add_argument("--difficulty", metavar="LEVEL", help=wording.DIFFICULTY_HELP())
    parser.add_argument("--units", choices=UNIT_SYSTEMS, type=str.upper, help=wording.UNITS_HELP())
    parser.add_argument("--paper", choices=PAPERS, type=str.lower, help=wording.PAPER_HELP())
    parser.add_argument("--output", type=Path, default=Path("handouts"), metavar="DIR", help=wording.OUTPUT_HELP())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Write the folder, and say what is in it."""
    from tablegen.api.handouts import handout

    report = handout(
        catalogue_of(options),
        options.output,
        class_list=options.class_list,
        publication=options.publication,
        seed=options.seed,
        count=options.count,
        kinds=words_of(options.kinds),
        difficulty=options.difficulty,
        units=options.units,
        paper=options.paper,
        progress=sys.stderr.isatty(),
    )
    is_class = any(student.name for student in report.students)
    folder = str(report.folder)
    print(wording.WRITTEN(len(report.students), folder=folder) if is_class else wording.WRITTEN_ONCE(folder=folder))
    for name in report.files:
        file = str(report.folder / name)
        print(wording.PAGES(report.pages[name], file=file) if name in report.pages else file)
    return ExitCode.DONE
