"""Commands for a whole catalogue or its releases: `init`, `check`, `build`, `audit`, `compare`, `suggest groups`."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_of, print_note, words_of
from tablegen.errors import RequestError, TablegenError
from tablegen.wording import audit as audit_wording
from tablegen.wording import command_line as wording
from tablegen.wording import compare as compare_wording
from tablegen.wording import old_table as table_wording
from tablegen.wording import own_texts as translation_wording
from tablegen.wording import stock as stock_wording
from tablegen.wording import suggest as suggest_wording
from tablegen.wording.message import listed

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue

# As `config.starter` has them, which help need not import.
_STARTED_FOR = ("wholesaler", "maker", "school")


def add_parsers(commands: Commands) -> None:
    """Add the commands to the others."""
    init = _parser_of(commands, "init", wording.INIT_HELP(), wording.INIT_EPILOG())
    init.add_argument("folder", type=Path, metavar="DIR", help=wording.INIT_FOLDER_HELP())
    init.add_argument("--sizes", type=Path, metavar="FILE", help=wording.INIT_SIZES_HELP())
    init.add_argument("--without-valves", action="store_true", help=wording.INIT_WITHOUT_HELP())
    init.add_argument("--for", dest="started_for", choices=_STARTED_FOR, help=wording.INIT_FOR_HELP())
    init.set_defaults(run=run_init)

    check = _parser_of(commands, "check", wording.CHECK_HELP(), wording.CHECK_EPILOG())
    add_catalogue_options(check)
    check.add_argument("--stock", type=Path, metavar="FILE", help=stock_wording.STOCK_HELP())
    check.add_argument("--draft", metavar="CODE", help=translation_wording.DRAFT_HELP())
    check.set_defaults(run=run_check)

    build = _parser_of(commands, "build", wording.BUILD_HELP(), wording.BUILD_EPILOG())
    add_catalogue_options(build)
    build.add_argument("--output", type=Path, default=Path("output"), metavar="DIR", help=wording.BUILD_OUTPUT_HELP())
    build.add_argument("--only", metavar="NAME[,NAME]", help=wording.BUILD_ONLY_HELP())
    build.add_argument("--since", type=Path, metavar="DIR", help=wording.BUILD_SINCE_HELP())
    build.add_argument("--stock", type=Path, metavar="FILE", help=stock_wording.STOCK_HELP())
    build.add_argument("--rebuild", action="store_true", help=wording.BUILD_REBUILD_HELP())
    build.add_argument("--workers", metavar="N", help=wording.BUILD_WORKERS_HELP())
    build.set_defaults(run=run_build)
    _add_audit(commands)
    _add_compare(commands)
    _add_suggest(commands)


def _parser_of(commands: Commands, name: str, does: str, epilog: str) -> argparse.ArgumentParser:
    """A command whose line in the list of commands says all that it does."""
    return commands.add_parser(name, help=does, description=f"{does[0].upper()}{does[1:]}.", epilog=epilog)


def _add_audit(commands: Commands) -> None:
    parser = commands.add_parser(
        "audit", help=audit_wording.HELP(), description=audit_wording.DESCRIPTION(), epilog=audit_wording.EPILOG()
    )
    add_catalogue_options(parser)
    parser.add_argument("--release", type=Path, metavar="DIR", help=audit_wording.RELEASE_HELP())
    parser.add_argument("--strict", action="store_true", help=audit_wording.STRICT_HELP())
    parser.add_argument("--box-difference", metavar="DT", help=audit_wording.BOX_HELP())
    add_answer_options(parser, audit_wording.CSV_ROWS(), wording.CATALOGUE_UNITS())
    parser.set_defaults(run=run_audit)


def _add_compare(commands: Commands) -> None:
    parser = commands.add_parser(
        "compare",
        help=compare_wording.HELP(),
        description=compare_wording.DESCRIPTION(),
        epilog=compare_wording.EPILOG(),
    )
    parser.add_argument("old", type=Path, metavar="OLD", help=compare_wording.OLD_HELP())
    parser.add_argument("new", type=Path, nargs="?", metavar="NEW", help=compare_wording.NEW_HELP())
    parser.add_argument("--causes", action="store_true", help=compare_wording.CAUSES_HELP())
    parser.add_argument("--old-configs", type=Path, metavar="FILE", help=compare_wording.OLD_CONFIGS_HELP())
    parser.add_argument("--new-configs", type=Path, metavar="FILE", help=compare_wording.NEW_CONFIGS_HELP())
    parser.add_argument("--mapping", type=Path, metavar="FILE", help=compare_wording.MAPPING_HELP())
    add_catalogue_options(parser)
    add_answer_options(parser, compare_wording.CSV_ROWS(), compare_wording.UNITS_OF_NEW())
    parser.set_defaults(run=run_compare)


def _add_suggest(commands: Commands) -> None:
    suggest = commands.add_parser("suggest", help=suggest_wording.HELP())
    parser = suggest.add_subparsers(dest="what", required=True, metavar="WHAT").add_parser(
        "groups",
        help=suggest_wording.GROUPS_HELP(),
        description=suggest_wording.DESCRIPTION(),
        epilog=suggest_wording.EPILOG(),
    )
    parser.add_argument("--refrigerants", metavar="NAMES", help=suggest_wording.REFRIGERANTS_HELP())
    parser.add_argument("--application", metavar="NAME", help=suggest_wording.APPLICATION_HELP())
    parser.add_argument("--spread", default="10 percent", metavar="SHARE", help=suggest_wording.SPREAD_HELP())
    add_answer_options(parser, suggest_wording.CSV_ROWS(), wording.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run_suggest)


def run_init(options: argparse.Namespace) -> int:
    """Copy the demo configs."""
    from tablegen.config.starter import FIRST_TO_EDIT, start_catalogue

    if options.sizes is not None and options.without_valves:
        raise RequestError(wording.INIT_SIZES_NEED_VALVES())
    if options.started_for is not None and (options.sizes is not None or options.without_valves):
        raise RequestError(wording.INIT_FOR_ALONE())
    start_catalogue(options.folder, options.sizes, not options.without_valves, options.started_for)
    folder, file = str(options.folder), str(options.folder / "catalogue.yaml")
    if options.started_for is not None:
        print(wording.INIT_DONE_FOR(folder=folder, first=FIRST_TO_EDIT[options.started_for], file=file))
    else:
        if options.sizes is not None:
            family, *others = sorted(path.stem for path in (options.folder / "families").glob("*.yaml"))
            print(wording.INIT_SIZES_ARE_IN(folder=folder, family=family, others=listed(others)))
        says = wording.INIT_DONE_WITHOUT if options.without_valves else wording.INIT_DONE
        print(says(folder=folder, file=file))
    return ExitCode.DONE


def run_check(options: argparse.Namespace) -> int:
    """Report every error in the configs, or what they contain."""
    from tablegen.api._inputs import path_of
    from tablegen.api.catalogues import check
    from tablegen.config.bench_dates import dated_before_bench
    from tablegen.config.demo_texts import demo_texts
    from tablegen.model.offer import without_charge
    from tablegen.model.own_texts import without_translations
    from tablegen.tables.warnings import cold_liquid, near_the_box, not_in_stock

    path = path_of(catalogue_of(options))
    catalogue = check(path, stock=options.stock, draft=options.draft)
    for empty in without_charge(catalogue):
        print_note(wording.NO_CHARGE(family=empty.family, group=empty.group, application=empty.application))
    for warned in (*near_the_box(catalogue), *cold_liquid(catalogue), *not_in_stock(catalogue)):
        print_note(warned.text)
    for text in catalogue.stock.notes if catalogue.stock else ():
        print_note(text)
    for text in (*demo_texts(path), *dated_before_bench(path)):
        print_note(text)
    if options.draft is None:
        for text in without_translations(catalogue):
            print_note(text)
    else:
        print(_draft_line(catalogue, path, options.draft))
    if (stock := catalogue.stock) is not None and not stock.is_counted:
        print_note(stock_wording.NOT_COUNTED(file=stock.file))
    if stock is not None:
        for message, headings in (
            (stock_wording.OWN_COLUMNS, stock.own_columns),
            (stock_wording.UNREAD_COLUMNS, stock.unread_columns),
        ):
            if headings:
                print_note(message(file=stock.file, headings=", ".join(map(repr, headings))))
    counts = {
        "families": len(catalogue.families),
        "sizes": sum(len(family.sizes) for family in catalogue.families.values()),
        "refrigerants": len(catalogue.refrigerants),
        "groups": len(catalogue.groups),
        "applications": len(catalogue.applications),
        "tables": len(catalogue.combinations),
    }
    print(wording.CHECK_DONE(file=str(path), **{name: wording.COUNTS[name](count) for name, count in counts.items()}))
    return ExitCode.DONE


def _draft_line(catalogue: Catalogue, path: Path, code: str) -> str:
    """What was written for a language."""
    from tablegen.api._translation_draft import demo_translations
    from tablegen.model.own_texts import untranslated

    lacking = untranslated(catalogue, catalogue.translations.get(code, {}))
    if not lacking:
        return translation_wording.NOTHING(language=code)
    known, file = demo_translations(code), str(path.parent / "languages" / f"{code}.yaml")
    count = sum(text not in known for text in lacking)
    written = translation_wording.WRITTEN(count, file=file) if count else translation_wording.WRITTEN_WHOLE(file=file)
    from_demo = len(lacking) - count
    return " ".join([written, *([translation_wording.FROM_DEMO(from_demo)] if from_demo else [])])


def run_build(options: argparse.Namespace) -> int:
    """Compute the data set and print the publications."""
    from tablegen.api._inputs import path_of
    from tablegen.api.catalogues import build
    from tablegen.config.bench_dates import dated_before_bench
    from tablegen.config.demo_texts import demo_texts
    from tablegen.model.names import phone_page_name, workbook_name
    from tablegen.workers import default_workers, read_workers

    path = path_of(catalogue_of(options))
    count = default_workers() if options.workers is None else read_workers(options.workers, "--workers")
    report = build(
        path,
        options.output,
        only=words_of(options.only),
        since=options.since,
        stock=options.stock,
        rebuild=options.rebuild,
        workers=count,
        progress=sys.stderr.isatty(),
    )
    for warning in (*report.warnings, *demo_texts(path), *dated_before_bench(path)):
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
    workbook = wording.WORKBOOKS if any(report.folder.glob(workbook_name("*"))) else wording.WORKBOOK
    for made, file in ((wording.LOOKUP, phone_page_name()), (workbook, workbook_name())):
        if (report.folder / file).exists():
            print(made(file=str(report.folder / file)))
    for of_others, names in (
        (wording.STAYED, report.stayed),
        (wording.OUT_OF_DATE, report.left_out),
        (wording.NOT_MADE, report.not_made),
    ):
        if names:
            print(of_others(names=", ".join(names)))
    return _not_printed(report.failed)


def run_audit(options: argparse.Namespace) -> ExitCode:
    """Audit, and print what was found."""
    from tablegen.api.catalogues import audit

    check_files(options)
    answer = audit(
        catalogue_of(options),
        release=options.release,
        strict=options.strict,
        box_difference=options.box_difference,
        units=options.units,
        progress=sys.stderr.isatty(),
    )
    return deliver(answer, options)


def run_compare(options: argparse.Namespace) -> ExitCode:
    """Compare, and print what differs."""
    from tablegen.api.catalogues import compare

    check_files(options)
    is_table = options.new is None
    if options.demo and not is_table:
        raise RequestError(table_wording.ONLY_WITH_TABLE(option="--demo"))
    answer = compare(
        options.old,
        options.new,
        causes=options.causes,
        old_configs=options.old_configs,
        new_configs=options.new_configs,
        mapping=options.mapping,
        catalogue=catalogue_of(options) if is_table else options.catalogue,
        units=options.units,
        progress=sys.stderr.isatty(),
    )
    return deliver(answer, options)


def run_suggest(options: argparse.Namespace) -> ExitCode:
    """Suggest, and give the answer."""
    from tablegen.api.catalogues import suggest

    check_files(options)
    names = words_of(options.refrigerants)
    if "" in names:
        raise RequestError(suggest_wording.NAMES_RULE(value=repr(options.refrigerants)))
    answer = suggest(
        "all" if names == ["all"] else names,
        application=options.application,
        spread=options.spread,
        catalogue=catalogue_of(options),
        units=options.units,
    )
    return deliver(answer, options)


def _not_printed(failed: Mapping[str, Exception]) -> int:
    """A line for each publication that could not be printed; an error that nobody foresaw is raised again."""
    for name, error in failed.items():
        if isinstance(error, TablegenError):
            print(wording.NOT_PRINTED(name=name, reason=" ".join(str(error).split())), file=sys.stderr)
    for error in failed.values():
        if not isinstance(error, TablegenError):
            raise error
    return ExitCode.BAD_INPUT if failed else ExitCode.DONE
