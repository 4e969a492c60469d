"""What commands read from their options."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeAlias

from tablegen.errors import BadValue, RequestError
from tablegen.wording import command_options as wording

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"
"""The commands of the command line, to which each adds itself."""

CatalogueArgument: TypeAlias = Callable[[argparse.ArgumentParser, bool], None]
"""Adds the catalogue to a parser, as the last word or (True) as an option."""

APPLICATION_HELP = "an application of the catalogue (default: the only one that covers the suction temperature)"


def add_registry_option(parser: argparse.ArgumentParser) -> None:
    """`--configs`, for commands that know refrigerants and no catalogue."""
    parser.add_argument(
        "--configs", type=Path, metavar="DIR", help="folder with own refrigerants/ (default: configs, if there)"
    )


def add_case_options(parser: argparse.ArgumentParser) -> None:
    """`--sst`, `--application` and `--set`: the system that a case is of."""
    parser.add_argument("--sst", required=True, metavar="T", help=wording.SST())
    parser.add_argument("--application", metavar="NAME", help=wording.APPLICATION())
    parser.add_argument("--set", action="append", default=[], metavar="KEY=VALUE", dest="overrides", help=wording.SET())


def registry_of(options: argparse.Namespace) -> Any:
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
        raise RequestError(f"--configs: {folder} holds no folder 'refrigerants'")
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
        raise RequestError(f"{option}: {error}") from None
    if kind == "load" and value <= 0.0:
        raise RequestError(f"{option}: {text!r} is not allowed; it must be above zero")
    if bounds is not None and not to_si(bounds[0], kind) <= value <= to_si(bounds[1], kind):
        minimum, most = bounds
        raise RequestError(f"{option}: {text!r} is not allowed; it must be at least {minimum} and at most {most}")
    return value


def application_notes(found: Any, overrides: Sequence[str]) -> list[str]:
    """What an answer says of its application: that nobody named it, and what was set otherwise than in its file."""
    chosen = f"Application {found.application}: the only one with a valve for this refrigerant at this SST"
    return [*([chosen] if found.was_chosen else []), *(f"With {text}" for text in overrides)]
