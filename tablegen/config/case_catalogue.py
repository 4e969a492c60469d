"""The catalogue for one case, and where a figure of the case was written: file, line, key, and the very words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from tablegen.config import packaged_configs
from tablegen.config._applications import BY_REFRIGERANT, overlaid, overridden, own_keys
from tablegen.config.document import ConfigDocument, KeyPath, Yaml, read_document, spell, value_at
from tablegen.config.loader import load_catalogue
from tablegen.config.selection import SET_OPTION, Override, Selection, override_document
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import application_for, check_covered, covers


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


def loader_of(path: Path, refrigerant: str | None, also: Sequence[str] = (), articles: Path | None = None) -> Load:
    """`load_with` for one file, to be called for one application or another."""
    return lambda application, overrides: load_with(
        path, application, overrides, refrigerant=refrigerant, also=also, articles=articles
    )


def load_with(
    path: Path,
    application: str | None,
    overrides: Sequence[str],
    *,
    refrigerant: str | None = None,
    also: Sequence[str] = (),
    option: str = SET_OPTION,
    articles: Path | None = None,
) -> Catalogue:
    """Load a catalogue, with `overrides` (KEY=VALUE, keys as in an application file) put over one application.

    The packaged catalogue is narrowed to a refrigerant or group that is named, for the package's own tests see to it
    that it is sound; any other is checked as a whole.  `also` names refrigerants to have ready although no group
    contains them; `option` is the option that the overrides were given to, `articles` a list of articles in place of
    the catalogue's own.

    Raises
    ------
    RequestError
        If an override is not of the form KEY=VALUE, or a refrigerant in `also` is not known.
    ConfigError
        As `load_catalogue`; a problem in an override is reported with the option in place of a file.
    """
    override = None
    if overrides and application is not None:
        override = Override(application, override_document(overrides, option))
    selection = Selection(override=override, also=also, articles=articles)
    if refrigerant is not None and path.resolve().parent == packaged_configs().resolve():
        selection = Selection(refrigerant=refrigerant, application=application, override=override, articles=articles)
    return load_catalogue(path, selection)


@dataclass(frozen=True, slots=True)
class Origin:
    """One figure as it was written; `line` is 0 where it came from the command line."""

    file: str
    line: int
    key: str
    text: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{self.key}: {self.text} ({place})"


class Origins:
    """The origins of one case: its application for one refrigerant, and its family.

    A key is a path in the application's file ("losses.lift"), or starts with what it is looked up in:
    "family:port.unbalance", "charge:NAME:setting.static_superheat", "size:NAME:kv".
    """

    def __init__(self, application: ConfigDocument, family: ConfigDocument) -> None:
        self._application, self._family = application, family

    def find(self, key: str) -> Origin | None:
        """Where a key is written; None where it is not, so that a default applies, or none is meant."""
        kind, _, rest = key.partition(":")
        if not rest:
            return _origin(self._application, _path(key))
        if kind == "family":
            return _origin(self._family, _path(rest))
        name, _, below = rest.partition(":")
        rows, own = ("charges", "charge") if kind == "charge" else ("sizes", "size")
        entries = self._family.value((rows,))
        names = [str(value_at(entry, (own,))) for entry in (entries if isinstance(entries, list) else ())]
        return _origin(self._family, (rows, names.index(name), *_path(below))) if name in names else None


def origins_of(
    catalogue: Path, application: str, refrigerant: str, family: str, overrides: Sequence[str] = ()
) -> Origins:
    """The origins of a case in a catalogue that `load_with` has read with the same overrides."""
    folder = catalogue.parent
    document = _read(folder, "applications", application)
    if overrides:
        document = overridden(document, override_document(overrides))
    if key := own_keys(document).get(refrigerant):
        document = overlaid(document.without(BY_REFRIGERANT), document.part((BY_REFRIGERANT, key)))
    return Origins(document, _read(folder, "families", family))


def _read(folder: Path, kind: str, name: str) -> ConfigDocument:
    """A file of the catalogue, named as seen from it."""
    shown = f"{kind}/{name}.yaml"
    return read_document(folder / shown, shown)


def _path(key: str) -> KeyPath:
    return tuple(key.split("."))


def _origin(document: ConfigDocument, path: KeyPath) -> Origin | None:
    value = document.value(path)
    if value is None:
        return None
    place = document.place(path)
    return Origin(place.file, place.line, spell(path), _written(value))


def _written(value: Yaml) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key} {_written(below)}" for key, below in value.items())
    if isinstance(value, list):
        return ", ".join(_written(below) for below in value)
    return str(value)
