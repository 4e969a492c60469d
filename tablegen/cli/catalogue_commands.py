"""`tablegen init`, `check` and `build`: from the first config files to a folder of publications."""

from __future__ import annotations

import argparse
import contextlib
import signal
import sys
import threading
from collections.abc import Iterator, Mapping
from pathlib import Path

from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_path, print_note
from tablegen.errors import TablegenError
from tablegen.wording import command_line as wording


def add_parsers(commands: Commands) -> None:
    """Add the three commands to the others."""
    init = commands.add_parser("init", help=wording.INIT_HELP())
    init.add_argument("folder", type=Path, metavar="DIR", help=wording.INIT_FOLDER_HELP())
    init.add_argument("--sizes", type=Path, metavar="FILE", help=wording.INIT_SIZES_HELP())
    init.set_defaults(run=run_init)

    check = commands.add_parser("check", help=wording.CHECK_HELP())
    add_catalogue_options(check)
    check.set_defaults(run=run_check)

    build = commands.add_parser("build", help=wording.BUILD_HELP())
    add_catalogue_options(build)
    build.add_argument("--output", type=Path, default=Path("output"), metavar="DIR", help=wording.BUILD_OUTPUT_HELP())
    build.add_argument("--only", metavar="NAME[,NAME]", help=wording.BUILD_ONLY_HELP())
    build.add_argument("--since", type=Path, metavar="DIR", help=wording.BUILD_SINCE_HELP())
    build.add_argument("--rebuild", action="store_true", help=wording.BUILD_REBUILD_HELP())
    build.add_argument("--workers", metavar="N", help=wording.BUILD_WORKERS_HELP())
    build.set_defaults(run=run_build)


def run_init(options: argparse.Namespace) -> int:
    """Copy the demo configs."""
    from tablegen.config.starter import start_catalogue

    start_catalogue(options.folder, options.sizes)
    print(wording.INIT_DONE(folder=str(options.folder), file=str(options.folder / "catalogue.yaml")))
    return ExitCode.DONE


def run_check(options: argparse.Namespace) -> int:
    """Report every error in the configs, or what they contain."""
    from tablegen.config.checks import check_prints
    from tablegen.config.loader import load_catalogue
    from tablegen.model.offer import without_charge

    path = catalogue_path(options)
    catalogue = load_catalogue(path)
    check_prints(path, catalogue)
    for empty in without_charge(catalogue):
        print_note(wording.NO_CHARGE(family=empty.family, group=empty.group, application=empty.application))
    print(
        wording.CHECK_DONE(
            file=str(path),
            families=len(catalogue.families),
            sizes=sum(len(family.sizes) for family in catalogue.families.values()),
            refrigerants=len(catalogue.refrigerants),
            groups=len(catalogue.groups),
            applications=len(catalogue.applications),
            tables=len(catalogue.combinations),
        )
    )
    return ExitCode.DONE


def run_build(options: argparse.Namespace) -> int:
    """Compute the data set and print the publications."""
    from tablegen.building import build
    from tablegen.workers import default_workers, read_workers

    count = default_workers() if options.workers is None else read_workers(options.workers, "--workers")
    path = catalogue_path(options)
    with _ended_cleanly():
        report = build(
            path,
            options.output,
            only=[name.strip() for name in options.only.split(",")] if options.only else (),
            since=options.since,
            rebuild=options.rebuild,
            workers=count,
            is_shown=sys.stderr.isatty(),
        )
    for warning in report.warnings:
        print_note(warning)
    print(
        wording.BUILT(
            report.windows,
            folder=str(report.folder),
            open_windows=report.open_windows,
            fingerprint=report.fingerprint,
        )
    )
    for name, pages in report.publications.items():
        text = wording.UNCHANGED_PAGES if name in report.unchanged else wording.PAGES
        print(text(pages, file=f"{report.folder / name}.pdf"))
    if (report.folder / "lookup.html").exists():
        print(wording.LOOKUP(file=str(report.folder / "lookup.html")))
    for name in report.left_out:
        print(wording.OUT_OF_DATE(name=name))
    return _not_printed(report.failed)


def _not_printed(failed: Mapping[str, Exception]) -> int:
    """A line for each publication that could not be printed; an error that nobody foresaw is raised again."""
    for name, error in failed.items():
        if isinstance(error, TablegenError):
            print(wording.NOT_PRINTED(name=name, reason=" ".join(str(error).split())), file=sys.stderr)
    for error in failed.values():
        if not isinstance(error, TablegenError):
            raise error
    return ExitCode.BAD_INPUT if failed else ExitCode.DONE


class Ended(KeyboardInterrupt):
    """The system asks this process to end."""


def _end(*_: object) -> None:
    # A second request ends the process at once.
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    raise Ended


@contextlib.contextmanager
def _ended_cleanly() -> Iterator[None]:
    """SIGTERM interrupts within the block, so that unfinished output is removed."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGTERM, _end)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)
