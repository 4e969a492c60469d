"""What commands read from their options."""

from __future__ import annotations

import argparse
import os
import re
import sys
from collections.abc import Sequence
from enum import IntEnum
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from tablegen.errors import BadValue, ConfigError, FileProblem, RequestError
from tablegen.wording import command_line as wording

if TYPE_CHECKING:
    from tablegen.model.registry import Registry

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"
"""The commands of the command line, to which each adds itself."""

_NEGATIVE = re.compile(r"-\.?\d")

_DEFAULT_CATALOGUE = Path("configs/catalogue.yaml")


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
        "--catalogue", type=Path, metavar="FILE", help=wording.CATALOGUE(default=str(_DEFAULT_CATALOGUE))
    )
    parser.add_argument("--demo", action="store_true", help=wording.DEMO())


def catalogue_path(options: argparse.Namespace) -> Path:
    """The catalogue file that is meant; a folder stands for the file `catalogue.yaml` in it.

    Raises
    ------
    ConfigError
        If the file does not exist.
    """
    if options.demo:
        from tablegen.config import packaged_configs

        return packaged_configs() / "catalogue.yaml"
    path: Path = options.catalogue or _DEFAULT_CATALOGUE
    if path.is_dir():
        path = path / "catalogue.yaml"
    if not path.exists():
        raise ConfigError([FileProblem(str(path), 0, "", wording.NO_CATALOGUE())])
    return path


def add_registry_option(parser: argparse.ArgumentParser) -> None:
    """`--configs`, for commands that know refrigerants and no catalogue."""
    parser.add_argument("--configs", type=Path, metavar="DIR", help=wording.CONFIGS())


def add_case_options(parser: argparse.ArgumentParser) -> None:
    """`--sst`, `--application` and `--set`: the system that a case is of."""
    parser.add_argument("--sst", required=True, metavar="T", help=wording.SST())
    parser.add_argument("--application", metavar="NAME", help=wording.APPLICATION())
    parser.add_argument("--set", action="append", default=[], metavar="KEY=VALUE", dest="overrides", help=wording.SET())


def registry_of(options: argparse.Namespace) -> Registry:
    """The registry, with the refrigerants of `--configs` if there are any.

    Raises
    ------
    RequestError
        If the folder that was named holds none.
    """
    from tablegen.config.refrigerant_files import load_registry

    folder = options.configs or Path("configs")
    # Also what is there and cannot be read, for a message to say so.
    has_own = os.path.lexists(folder / "refrigerants")
    if options.configs and not has_own:
        raise RequestError(wording.NO_REFRIGERANTS(folder=str(folder)))
    return load_registry(folder if has_own else None)


def read_quantity(option: str, text: str, kind: str, bounds: tuple[str, str] | None = None) -> float:
    """A quantity given to an option, in SI, within bounds that are written as a config would.

    Raises
    ------
    RequestError
        If it cannot be read or lies outside; the message names the option.
    """
    from tablegen.units import to_si

    try:
        value = to_si(text, kind)
    except BadValue as error:
        raise RequestError(wording.OPTION_ERROR(option=option, error=str(error))) from None
    if kind == "load" and value <= 0.0:
        raise RequestError(wording.ABOVE_ZERO(option=option, value=repr(text)))
    if bounds is not None and not to_si(bounds[0], kind) <= value <= to_si(bounds[1], kind):
        minimum, maximum = bounds
        raise RequestError(wording.OUT_OF_BOUNDS(option=option, value=repr(text), minimum=minimum, maximum=maximum))
    return value
