"""What commands read from their options."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Sequence
from enum import IntEnum
from pathlib import Path
from typing import TypeAlias

from tablegen.errors import BadValue, RequestError, shown
from tablegen.units import whole_number
from tablegen.wording import box_temperature, cases, config_errors
from tablegen.wording import command_line as wording
from tablegen.wording.message import OR, listed

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"
"""The commands of the command line, to which each adds itself."""

_NEGATIVE = re.compile(r"-\.?\d")

# What may be given in its place.
_SST = {"--sst": "--box"}

# Of the working folder, the first that is there.
_DEFAULT_CATALOGUES = Path("catalogue.yaml"), Path("configs/catalogue.yaml")


class ExitCode(IntEnum):
    """The exit codes of every command; each command's help says what its 1 stands for."""

    DONE = 0
    NO = 1
    """The answer is no, or something was found."""
    BAD_INPUT = 2
    """Bad input, or output that cannot be written: every error of the package."""
    UNEXPECTED_ERROR = 70
    INTERRUPTED = 130
    ENDED = 143


def whole(text: str) -> int:
    """A whole number, for argparse.

    Raises
    ------
    argparse.ArgumentTypeError
        If the text is none.
    """
    if (number := whole_number(text)) is None:
        raise argparse.ArgumentTypeError(str(BadValue(shown(text), config_errors.MUST_BE_WHOLE())))
    return number


def print_note(text: str) -> None:
    """A line on stderr that is no error."""
    print(wording.NOTE(text=text), file=sys.stderr)


def with_negative_values(arguments: Sequence[str]) -> list[str]:
    """The arguments with a value below zero joined to its option, which argparse would take for an option.

    >>> with_negative_values(["pick", "R448A", "--sst", "-10F", "--demo"])
    ['pick', 'R448A', '--sst=-10F', '--demo']
    """
    found: list[str] = []
    for argument in arguments:
        if found and _NEGATIVE.match(argument) and found[-1].startswith("--") and "=" not in found[-1]:
            found[-1] += f"={argument}"
        else:
            found.append(argument)
    return found


def add_catalogue_options(parser: argparse.ArgumentParser) -> None:
    """`--catalogue` and `--demo`, the same in every command that reads a catalogue."""
    parser.add_argument(
        "--catalogue",
        type=Path,
        metavar="FILE",
        help=wording.CATALOGUE(default=listed(list(map(str, _DEFAULT_CATALOGUES)), OR)),
    )
    parser.add_argument("--demo", action="store_true", help=wording.DEMO())


def catalogue_of(options: argparse.Namespace) -> Path | None:
    """The catalogue that is meant, a file or its folder; None for the demo."""
    if options.demo or options.catalogue is not None:
        return None if options.demo else options.catalogue
    return next((path for path in _DEFAULT_CATALOGUES if path.exists()), _DEFAULT_CATALOGUES[-1])


def words_of(text: str | None) -> list[str]:
    """The parts of a text that has commas between them; none of an option that is not given."""
    return [] if text is None else [part.strip() for part in text.split(",")]


def add_case_options(parser: argparse.ArgumentParser) -> None:
    """`--sst` or `--box`, `--application` and `--set`: the system that a case is of."""
    add_sst_options(parser)
    parser.add_argument("--application", metavar="NAME", help=wording.APPLICATION())
    parser.add_argument("--set", action="append", default=[], metavar="KEY=VALUE", dest="overrides", help=wording.SET())


def add_sst_options(parser: argparse.ArgumentParser) -> None:
    """`--sst`, or `--box` and `--coil-difference` in its place."""
    parser.add_argument("--sst", metavar="T", help=wording.SST())
    parser.add_argument("--box", metavar="T", help=box_temperature.BOX_HELP())
    parser.add_argument("--coil-difference", metavar="DT", help=box_temperature.DIFFERENCE_HELP())


def add_file_options(parser: argparse.ArgumentParser) -> None:
    """`--case` and `--record`: cases from a file, and a record of each."""
    parser.add_argument("--case", type=Path, metavar="FILE", help=cases.CASE_HELP())
    parser.add_argument("--record", type=Path, metavar="FOLDER", help=cases.RECORD_HELP())


def check_given(options: argparse.Namespace, *needed: str) -> None:
    """See that what a case needs is given, by its options' names or metavars, where no file of cases is.

    Raises
    ------
    RequestError
        If something is missing.
    """

    def is_open(name: str) -> bool:
        return getattr(options, name.removeprefix("--").lower().replace("-", "_")) is None

    missing = [
        box_temperature.EITHER(first=name, second=_SST[name]) if name in _SST else name
        for name in needed
        if is_open(name) and (name not in _SST or is_open(_SST[name]))
    ]
    if missing and options.case is None:
        raise RequestError(cases.MISSING(arguments=", ".join(missing)))
