"""The command line: arguments to one library call each.

Heavy libraries are imported inside the commands, so that help comes at once.
"""

from __future__ import annotations

import argparse
import codecs
import contextlib
import os
import signal
import sys
import threading
import warnings
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from tablegen import __version__
from tablegen.cli import audit, compare, convert, fit, pick, retrofit, states, suggest, trace, verify
from tablegen.errors import TablegenError, TablegenWarning

DEFAULT_CATALOGUE = Path("configs/catalogue.yaml")
OK, BAD_INPUT, CRASHED, INTERRUPTED, ENDED = 0, 2, 70, 130, 143
# For a terminal or file whose encoding lacks a sign; a lost minus would turn a vacuum into a pressure.
_PLAIN = {
    "\N{MINUS SIGN}": "-",
    "\N{EN DASH}": "-",
    "\N{DEGREE SIGN}": "deg",
    "\N{SUPERSCRIPT TWO}": "2",
    "\N{SUPERSCRIPT THREE}": "3",
    "\N{NO-BREAK SPACE}": " ",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{PRIME}": "'",
    "\N{MULTIPLICATION SIGN}": "x",
}


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    signs = error.object[error.start : error.end]
    return "".join(_PLAIN.get(sign) or f"\\u{ord(sign):04x}" for sign in signs), error.end


codecs.register_error("tablegen_plain", _plain)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return its exit code.

    0 done, 2 bad input or output that cannot be written, 70 unexpected error, 130 interrupted, 143 ended.
    """
    try:
        return _main(arguments)
    except Exception as error:  # the last resort: no traceback for the user, and a code that means nothing else
        from tablegen.crash_report import report_crash

        with contextlib.suppress(OSError):
            print(report_crash(error, sys.argv[1:] if arguments is None else arguments), file=sys.stderr)
        return CRASHED


def _main(arguments: Sequence[str] | None) -> int:
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="tablegen_plain")
    try:
        try:
            return _run(arguments)
        finally:
            # Here, so that what cannot be written is told as any other problem; also when help has been printed.
            sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read has seen enough, as 'head' does.
        _drop_output()
        return OK
    except OSError as error:
        # One that names a file is not of the standard output, and none that we expect.
        if error.filename is not None:
            raise
        _drop_output()
        print(f"standard output: cannot be written: {error.strerror or error}", file=sys.stderr)
        return BAD_INPUT


def _drop_output() -> None:
    """Let the interpreter's own last flush go nowhere, or it would complain once more."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


class _Ended(KeyboardInterrupt):
    """Whoever started this process asks it to end."""


def _end(*_: object) -> None:
    # Whoever asks once more is not kept waiting.
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    raise _Ended


@contextlib.contextmanager
def _ended_cleanly() -> Iterator[None]:
    """SIGTERM is an interruption for a while: what was begun is cleared away."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGTERM, _end)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


def _run(arguments: Sequence[str] | None) -> int:
    options = _parser().parse_args(arguments)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("always", TablegenWarning)
            warnings.showwarning = _show_warning  # type: ignore[assignment]
            code: int = options.run(options)
    except TablegenError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt as interruption:
        print("interrupted; the last complete output is untouched", file=sys.stderr)
        return ENDED if isinstance(interruption, _Ended) else INTERRUPTED
    return code


def _show_warning(message: Warning | str, category: type[Warning], *place: object) -> None:
    """Our own warnings are notes to the reader; where in the code they arose is of no use to them."""
    if issubclass(category, TablegenWarning):
        print(f"note: {message}", file=sys.stderr)
    else:
        print(warnings.formatwarning(message, category, str(place[0]), 0), end="", file=sys.stderr)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="tablegen",
        description="Load windows of refrigerant expansion valves under floating head pressure.",
        epilog="Exit codes: 0 done, 1 the answer is no or something was found (see each command), 2 bad input (each "
        "error on a line of its own) or output that cannot be written, 70 unexpected error (a report is written; "
        "please send it), 130 interrupted.",
    )
    parser.add_argument("--version", action="version", version=f"tablegen {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    build = commands.add_parser("build", help="compute a catalogue's data set and print its publications")
    _catalogue_argument(build)
    build.add_argument(
        "--output",
        type=Path,
        default=Path("output"),
        metavar="DIR",
        help="folder that takes a folder per catalogue (default: output)",
    )
    build.add_argument(
        "--since",
        type=Path,
        metavar="DIR",
        help="output folder of an earlier release, to say in print what changed since",
    )
    share = "processes that share the work, with the same result (default: one for each processor)"
    build.add_argument("--workers", metavar="N", help=share)
    build.set_defaults(run=_build)

    check = commands.add_parser("check", help="read the configs and report every error in them")
    _catalogue_argument(check)
    check.set_defaults(run=_check)

    init = commands.add_parser("init", help="copy the commented demo configs, to start a catalogue from")
    init.add_argument("folder", type=Path, metavar="DIR", help="a new or empty folder")
    init.add_argument(
        "--sizes",
        type=Path,
        metavar="FILE",
        help="CSV or XLSX with the columns 'size' and 'kv_m3h' (or 'cv_us_gal_min')",
    )
    init.set_defaults(run=_init)

    audit.add_parser(commands, _catalogue_argument)
    compare.add_parser(commands)
    fit.add_parser(commands, _catalogue_argument)
    pick.add_parser(commands, _catalogue_argument)
    convert.add_parser(commands, _catalogue_argument)
    retrofit.add_parser(commands, _catalogue_argument)
    states.add_parser(commands)
    suggest.add_parser(commands, _catalogue_argument)
    trace.add_parser(commands, _catalogue_argument)
    verify.add_parser(commands)
    return parser


def _catalogue_argument(parser: argparse.ArgumentParser, is_option: bool = False) -> None:
    """The catalogue as the last word, or as an option where other words come before it."""
    told: dict[str, Any] = {"type": Path, "metavar": "CATALOGUE"}
    told["help"] = f"catalogue file (default: {DEFAULT_CATALOGUE})"
    if is_option:
        parser.add_argument("--catalogue", **told)
    else:
        parser.add_argument("catalogue", nargs="?", **told)
    parser.add_argument("--demo", action="store_true", help="use the demo configs that come with the package")
    parser.set_defaults(catalogue_path=_catalogue_path)


def _catalogue_path(options: argparse.Namespace) -> Path:
    if options.demo:
        from tablegen.config import packaged_configs

        return packaged_configs() / "catalogue.yaml"
    path: Path = options.catalogue or DEFAULT_CATALOGUE
    if path.is_dir():
        path = path / "catalogue.yaml"
    if not path.exists():
        from tablegen.errors import ConfigError, Problem

        hint = "start a catalogue with 'tablegen init DIR', or try 'tablegen build --demo'"
        raise ConfigError([Problem(str(path), 0, "", f"the file does not exist; {hint}")])
    return path


def _build(options: argparse.Namespace) -> int:
    from tablegen.build import build
    from tablegen.workers import default_workers, read_workers

    count = default_workers() if options.workers is None else read_workers(options.workers, "--workers")
    path = _catalogue_path(options)
    with _ended_cleanly():
        report = build(path, options.output, sys.stderr.isatty(), options.since, count)
    for warning in report.warnings:
        print(f"note: {warning}", file=sys.stderr)
    print(f"{report.folder}: {report.windows} windows ({report.open_windows} open), data {report.fingerprint}")
    for name, pages in report.publications.items():
        print(f"{report.folder / name}.pdf: {pages} page{'s' if pages > 1 else ''}")
    if "lookup.html" not in report.failed:
        print(f"{report.folder / 'lookup.html'}: for a phone, without any network")
    return _not_printed(report.failed)


def _not_printed(failed: Mapping[str, Exception]) -> int:
    """A line for each publication that could not be printed; what nobody foresaw goes on to the last resort."""
    for name, error in failed.items():
        if isinstance(error, TablegenError):
            why = " ".join(str(error).split())
            print(f"{name}: not printed, the data set and the other publications are: {why}", file=sys.stderr)
    for error in failed.values():
        if not isinstance(error, TablegenError):
            raise error
    return BAD_INPUT if failed else OK


def _check(options: argparse.Namespace) -> int:
    from tablegen.config.checks import check_prints
    from tablegen.config.loader import load_catalogue
    from tablegen.model.offer import without_charge

    path = _catalogue_path(options)
    catalogue = load_catalogue(path)
    check_prints(path, catalogue)
    for c in without_charge(catalogue):
        print(
            f"note: {c.family}, {c.group}, {c.application}: the family has no bulb charge for it, so every window is "
            "empty; leave it out with a rule under leave_out",
            file=sys.stderr,
        )
    sizes = sum(len(f.sizes) for f in catalogue.families.values())
    print(
        f"{path}: sound; {len(catalogue.families)} families with {sizes} sizes, {len(catalogue.refrigerants)} "
        f"refrigerants in {len(catalogue.groups)} groups, {len(catalogue.applications)} applications, "
        f"{len(catalogue.combinations)} tables"
    )
    return OK


def _init(options: argparse.Namespace) -> int:
    from tablegen.config.starter import start_catalogue

    start_catalogue(options.folder, options.sizes)
    print(f"{options.folder}: edit the files, then run 'tablegen build {options.folder / 'catalogue.yaml'}'")
    return OK


if __name__ == "__main__":
    sys.exit(main())
