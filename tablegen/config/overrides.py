"""A catalogue for one case, with some keys of an envelope given otherwise, which no table is made for."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path

from tablegen.catalogue.inputs import Catalogue
from tablegen.config.narrowing import Asked
from tablegen.config.parsed import KeyPath
from tablegen.config.project import load_catalogue, load_for_case
from tablegen.config.source import Document, Place, parse_document
from tablegen.config.starter import packaged_configs
from tablegen.errors import ConfigError, Mistake, RequestError

OPTION = "--set"


def load_with(
    path: Path,
    envelope: str | None,
    overrides: Sequence[str],
    refrigerant: str | None = None,
    also: Collection[str] = (),
    option: str = OPTION,
    articles: Path | None = None,
) -> tuple[Catalogue, str]:
    """Load a catalogue, `overrides` (KEY=VALUE, keys as in an envelope file) put over one envelope, and its name.

    The packaged catalogue is narrowed to a refrigerant or group that is named, for the package's own tests see to it
    that it is sound; any other is held to every rule.  `also` names refrigerants to have ready although no group holds
    them; `option` is what the overrides were given to, `articles` a list of articles in place of the
    catalogue's own.

    Raises
    ------
    RequestError
        If an override is not of the form KEY=VALUE, or a refrigerant in `also` is not known.
    ConfigError
        As `load_catalogue`; a mistake in an override is told with the option in place of a file.
    """
    override = (envelope, override_document(overrides, option)) if overrides else None
    if refrigerant is not None and path.resolve().parent == packaged_configs().resolve():
        catalogue = load_for_case(path, Asked(refrigerant, envelope), override=override, articles=articles)
    else:
        catalogue = load_catalogue(path, also=also, override=override, articles=articles)
    return catalogue, envelope or next(iter(catalogue.applications))


def override_document(overrides: Sequence[str], option: str = OPTION) -> Document:
    """The overrides as one document whose places all name the option."""
    data: dict[str, object] = {}
    places: dict[KeyPath, Place] = {}
    for text in overrides:
        key, equals, value = text.partition("=")
        steps = tuple(key.strip().split("."))
        if not equals or not all(steps):
            raise RequestError(f"{option}: {text!r} is not allowed; it takes KEY=VALUE, as losses.lift='20 ft'")
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
        raise ConfigError([Mistake(option, 0, key.strip(), f"{text!r} is not allowed; it is not YAML 1.2")]) from None
