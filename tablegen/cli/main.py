"""The command line: arguments to one library call each.

Heavy libraries are imported inside the commands, so that help comes at once.
"""

from __future__ import annotations

import argparse
import contextlib
import errno
import itertools
import os
import sys
import warnings
from collections.abc import Sequence
from typing import NoReturn

from tablegen import __version__
from tablegen.cli import (
    again,
    bench_data,
    catalogues,
    cross_list,
    desk,
    diagrams,
    handouts,
    hunting,
    import_files,
    one_case,
    one_table,
    one_valve,
    refrigerant_data,
    schema,
    upgrading,
    weighing,
)
from tablegen.cli.ended import Ended, ended_cleanly
from tablegen.cli.options import ExitCode, print_note, with_negative_values
from tablegen.cli.terminal import safe_streams
from tablegen.errors import FileProblem, TablegenError, TablegenWarning, cut, shortened
from tablegen.files import noting_what_is_read
from tablegen.wording import command_line as wording
from tablegen.wording.message import with_options

# Commands that write several files of a catalogue, which the same command finishes after an interruption.
_REWRITING = ("import", "upgrade")
# Reasons why a stream cannot be written; the system names no file with them.
_OF_WRITING = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO, errno.EBADF, errno.EINVAL)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return its exit code, an `ExitCode`."""
    # A document's date is that of its catalogue, and libraries stop at what is no whole number of seconds.
    os.environ.pop("SOURCE_DATE_EPOCH", None)
    with safe_streams():
        return _reported(arguments)


def _reported(arguments: Sequence[str] | None) -> int:
    try:
        return _main(arguments)
    except Exception as error:  # the last resort: no traceback for the user, and a code that means nothing else
        from tablegen.crash_report import report_crash

        with contextlib.suppress(OSError):
            print(report_crash(error, sys.argv[1:] if arguments is None else arguments), file=sys.stderr)
        return ExitCode.UNEXPECTED_ERROR


def _main(arguments: Sequence[str] | None) -> int:
    try:
        try:
            # Libraries fail in other ways where the folder that a command runs in does not exist any more.
            os.getcwd()
            return _run(arguments)
        finally:
            # Here, so that what cannot be written is reported as any other problem; also when help has been printed.
            sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read has seen enough, as 'head' does.
        _drop_output()
        return ExitCode.DONE
    except OSError as error:
        line = _line_of(error)
        if line is None:
            raise
        _drop_output()
        # It may be standard error that cannot be written.
        with contextlib.suppress(OSError):
            print(line, file=sys.stderr)
        return ExitCode.BAD_INPUT


def _line_of(error: OSError) -> str | None:
    """What the system refused, in one line; None where that is not known."""
    reason = error.strerror or str(error)
    if error.filename is not None:
        return str(FileProblem(cut(os.fsdecode(error.filename)), 0, "", reason))
    if isinstance(error, FileNotFoundError):
        # Only the folder that a command runs in is looked for without a name.
        return wording.NO_WORKING_FOLDER()
    return wording.STANDARD_OUTPUT(reason=reason) if error.errno in _OF_WRITING else None


def _drop_output() -> None:
    """Let the interpreter's own last flush go nowhere, or it would complain once more."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def _run(arguments: Sequence[str] | None) -> int:
    given, parser = with_negative_values(sys.argv[1:] if arguments is None else arguments), _parser()
    for argument in given:
        # argparse of Python 3.11 would make an empty list of it.
        if argument.startswith("--") and argument.endswith("=--"):
            parser.error(wording.NEEDS_A_VALUE(option=argument.removesuffix("=--")))
        # A byte of a name that is no text in the encoding of the system: it could be written into no answer.
        if any("\ud800" <= character <= "\udfff" for character in argument):
            parser.error(wording.NOT_TEXT(argument=ascii(argument)))
    options, unknown = parser.parse_known_args(given)
    if unknown:
        parser.error(_unrecognized(given, unknown))
    try:
        # The server of the desk ends its answers by itself.
        ends = contextlib.nullcontext() if options.command == "desk" else ended_cleanly()
        with ends, with_options(), noting_what_is_read(), warnings.catch_warnings():
            warnings.simplefilter("always", TablegenWarning)
            warnings.showwarning = _show_warning  # type: ignore[assignment]
            code: int = options.run(options)
    except TablegenError as error:
        print(error, file=sys.stderr)
        return ExitCode.BAD_INPUT
    except KeyboardInterrupt as interruption:
        is_rewrite = options.command in _REWRITING and not options.dry_run
        says = wording.REWRITE_INTERRUPTED(command=options.command) if is_rewrite else wording.INTERRUPTED()
        print(says, file=sys.stderr)
        return ExitCode.ENDED if isinstance(interruption, Ended) else ExitCode.INTERRUPTED
    return code


def _unrecognized(given: Sequence[str], unknown: Sequence[str]) -> str:
    """What is wrong with arguments that no option takes; a unit after its number lacks quotes."""
    from tablegen.units import is_unit

    listed = " ".join(map(cut, unknown))
    before = [number for number, unit in itertools.pairwise(given) if unit == unknown[0]]
    number = before[0].rpartition("=")[2] if before else ""
    if number.lstrip("+-").replace(".", "", 1).replace(",", "").isdigit() and is_unit(unknown[0]):
        return wording.USE_QUOTES(arguments=listed, text=f"{number} {unknown[0]}")
    return wording.UNRECOGNIZED(arguments=listed)


def _show_warning(message: Warning | str, category: type[Warning], *place: object) -> None:
    """Our own warnings are notes to the reader; where in the code they arose is of no use to them."""
    if issubclass(category, TablegenWarning):
        print_note(str(message))
    else:
        print(warnings.formatwarning(message, category, str(place[0]), 0), end="", file=sys.stderr)


class _Parser(argparse.ArgumentParser):
    """Repeats of a long value its ends."""

    def error(self, message: str) -> NoReturn:
        """As that of argparse."""
        super().error(shortened(message))


def _parser() -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = _Parser(
        prog="tablegen", description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument("--version", action="version", version=f"tablegen {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    catalogues.add_parsers(commands)
    handouts.add_parser(commands)
    import_files.add_parser(commands)
    one_case.add_parsers(commands)
    one_valve.add_parsers(commands)
    desk.add_parser(commands)
    again.add_parser(commands)
    one_table.add_parser(commands)
    weighing.add_parser(commands)
    cross_list.add_parser(commands)
    bench_data.add_parser(commands)
    refrigerant_data.add_parsers(commands)
    diagrams.add_parser(commands)
    hunting.add_parser(commands)
    schema.add_parser(commands)
    upgrading.add_parser(commands)
    return parser


if __name__ == "__main__":
    sys.exit(main())
