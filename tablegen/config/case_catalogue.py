"""The catalogue for one case."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from tablegen.config import packaged_configs
from tablegen.config.catalogue_cache import cached_catalogue
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

    Raises RequestError if none was named, and none or several cover it; and as `load_with`. Raises ConfigError as
    `load_with`.
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


def load_with(
    path: Path,
    application: str | None,
    overrides: Sequence[str],
    *,
    refrigerant: str | None = None,
    also: Sequence[str] | None = (),
    given_as: str = "overrides",
    part_numbers: Path | None = None,
    stock: Path | None = None,
) -> Catalogue:
    """Load a catalogue, with `overrides` (KEY=VALUE, keys as in an application file) put over one application.

    The packaged catalogue is narrowed to a refrigerant or group that is named, for the package's own tests see to it
    that it is sound; any other is checked as a whole.  `also` names refrigerants to have ready although no group
    contains them, None all of the registry; `given_as` is the argument that has the overrides, `part_numbers` and
    `stock` a list of part numbers and a stock sheet in place of the catalogue's own.

    Raises
    ------
    RequestError
        If an override is not of the form KEY=VALUE, or a refrigerant in `also` is not known.
    ConfigError
        As `load_catalogue`; a problem in an override is reported with the argument in place of a file.
    """
    if part_numbers is not None or stock is not None:
        return _load(path, application, overrides, refrigerant, also, given_as, part_numbers, stock)
    asked = (application, tuple(overrides), refrigerant, None if also is None else tuple(also))
    return cached_catalogue(
        path, asked, lambda: _load(path, application, overrides, refrigerant, also, given_as, part_numbers, stock)
    )


def _load(
    path: Path,
    application: str | None,
    overrides: Sequence[str],
    refrigerant: str | None,
    also: Sequence[str] | None,
    given_as: str,
    part_numbers: Path | None,
    stock: Path | None,
) -> Catalogue:
    # Here, for a cached catalogue needs none of it.
    from tablegen.config.loader import load_catalogue
    from tablegen.config.selection import Override, Selection, override_document

    override = None
    if overrides and application is not None:
        override = Override(application, override_document(overrides, given_as))
    selection = Selection(override=override, also=also, part_numbers=part_numbers, stock=stock)
    if refrigerant is not None and path.resolve().parent == packaged_configs().resolve():
        # A catalogue has plain names, however they were spelled by who asked.
        selection = Selection(
            refrigerant=str(refrigerant),
            application=application,
            override=override,
            part_numbers=part_numbers,
            stock=stock,
        )
    return load_catalogue(path, selection)
