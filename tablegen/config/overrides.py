"""A catalogue for one case, with some keys of an application given otherwise, which no table is made for."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from tablegen.config.narrowing import Asked
from tablegen.config.parsed import KeyPath
from tablegen.config.project import load_catalogue, load_for_case
from tablegen.config.source import Document, Place, parse_document
from tablegen.config.starter import packaged_configs
from tablegen.errors import ConfigError, Problem, RequestError
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import application_for, check_covered, covers

OPTION = "--set"
# Keys that decide for what an application's tables, and so its valves, are offered.
_OFFER = ("application", "title", "note", "temperature_range", "by_refrigerant", "scatter")
_GRID = ("suction", "saturated_temperatures")


@dataclass(frozen=True, slots=True)
class CaseCatalogue:
    """A catalogue for one case, and the application that the case is answered in.

    `was_chosen` says that nobody named the application: it is the only one that covers the suction temperature.
    """

    catalogue: Catalogue
    application: str
    was_chosen: bool


# Loads a catalogue with overrides put over an application; without an application, as its files are.
Load: TypeAlias = Callable[[str | None, Sequence[str]], Catalogue]


def load_case(
    load: Load, refrigerant: str, sst_k: float, application: str | None, overrides: Sequence[str]
) -> CaseCatalogue:
    """The catalogue for a case; without an application the only application that covers its suction temperature [K].

    Raises
    ------
    RequestError
        If none was named, and none or several cover it; and as `load_with`.
    ConfigError
        As `load_with`.
    """
    if application is not None:
        own = load(application, overrides)
        if application in own.applications and not covers(own.applications[application], sst_k):
            # The whole catalogue says which application covers it.
            check_covered(load(None, ()), refrigerant, application, sst_k)
        return CaseCatalogue(own, application, False)
    base = load(None, ())
    name = application_for(base, refrigerant, sst_k)
    return CaseCatalogue(load(name, overrides) if overrides else base, name, True)


def loader_of(path: Path, refrigerant: str | None, also: Collection[str] = (), articles: Path | None = None) -> Load:
    """`load_with` for one file, to be called for one application or another."""
    return lambda application, overrides: load_with(path, application, overrides, refrigerant, also, articles=articles)


def load_with(
    path: Path,
    application: str | None,
    overrides: Sequence[str],
    refrigerant: str | None = None,
    also: Collection[str] = (),
    option: str = OPTION,
    articles: Path | None = None,
) -> Catalogue:
    """Load a catalogue, with `overrides` (KEY=VALUE, keys as in an application file) put over one application.

    The packaged catalogue is narrowed to a refrigerant or group that is named, for the package's own tests see to it
    that it is sound; any other is held to every rule.  `also` names refrigerants to have ready although no group holds
    them; `option` is what the overrides were given to, `articles` a list of articles in place of the
    catalogue's own.

    Raises
    ------
    RequestError
        If an override is not of the form KEY=VALUE, or a refrigerant in `also` is not known.
    ConfigError
        As `load_catalogue`; a problem in an override is reported with the option in place of a file.
    """
    override = (application, override_document(overrides, option)) if overrides and application is not None else None
    if refrigerant is not None and path.resolve().parent == packaged_configs().resolve():
        return load_for_case(path, Asked(refrigerant, application), override=override, articles=articles)
    return load_catalogue(path, also=also, override=override, articles=articles)


def override_document(overrides: Sequence[str], option: str = OPTION) -> Document:
    """The overrides as one document whose places all name the option."""
    data: dict[str, object] = {}
    places: dict[KeyPath, Place] = {}
    for text in overrides:
        key, equals, value = text.partition("=")
        steps = tuple(key.strip().split("."))
        if not equals or not all(steps):
            raise RequestError(f"{option}: {text!r} is not allowed; it takes KEY=VALUE, as losses.lift='20 ft'")
        if steps[0] in _OFFER or steps[:2] == _GRID:
            raise RequestError(
                f"{option}: {text!r} is not allowed; {'.'.join(steps)} says what the catalogue offers, which no case "
                "changes; change the application's file"
            )
        at = data
        for depth, step in enumerate(steps[:-1], start=1):
            below = at.setdefault(step, {})
            if not isinstance(below, dict):
                raise RequestError(f"{option}: {text!r} is not allowed; {'.'.join(steps[:depth])} is given a value too")
            at = below
            places[steps[:depth]] = Place(option, 0)
        at[steps[-1]] = _value(key, value, option)
        places[steps] = Place(option, 0)
    return Document(option, data, places)


def _value(key: str, text: str, option: str) -> object:
    """A value as a config file would hold it."""
    try:
        return parse_document(f"value: {text.strip()}", option).data["value"]
    except ConfigError:
        raise ConfigError([Problem(option, 0, key.strip(), f"{text!r} is not allowed; it is not YAML 1.2")]) from None
