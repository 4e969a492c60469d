"""The catalogue for one case."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from tablegen.config import packaged_configs
from tablegen.config.catalogue_cache import cached_catalogue
from tablegen.errors import RequestError, both_steps
from tablegen.model.box_temperature import AskedSst, BoxTemperature, CaseSst, case_sst
from tablegen.model.coil_difference import at_difference
from tablegen.model.inputs import Catalogue
from tablegen.model.names import application_named
from tablegen.model.offer import check_covered, covers
from tablegen.wording import box_temperature as wording


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseCatalogue:
    """A catalogue for one case, the application that the case is answered in, its SST [K] and its box, if a TD is known.

    `was_chosen` says that nobody named the application: it is the only one that covers the suction temperature.
    """

    catalogue: Catalogue
    application: str
    was_chosen: bool
    sst_k: float
    box: BoxTemperature | None


# Loads a catalogue with overrides put over an application; without an application, as its files are.
Load: TypeAlias = Callable[[str | None, Sequence[str]], Catalogue]


def load_case(
    load: Load, refrigerant: str, asked: AskedSst, application: str | None, overrides: Sequence[str]
) -> CaseCatalogue:
    """The catalogue for a case, its limits at the TD of the case; without an application the only one that covers its SST.

    Raises RequestError as `case_sst`, `load_with` and `at_difference`, and if the application does not cover the case, or the case is of
    a box and changes the TD of an application that it does not name. Raises ConfigError as `load_with`.
    """
    if application is None:
        own = load(None, ())
        found = case_sst(own, refrigerant, asked, None)
        if overrides:
            own = load(found.application, overrides)
            changed = case_sst(own, refrigerant, asked, found.application)
            if changed.sst_k != found.sst_k:
                # Which one covers the box was decided with its own TD.
                raise RequestError(wording.DIFFERENCE_CHANGED())
            found = changed
    else:
        own = load(application, ())
        application = application_named(own.applications, application) or application
        if overrides or application not in own.applications:
            own = load(application, overrides)
        found = case_sst(own, refrigerant, asked, application)
        if not covers(own.applications[application], found.sst_k):
            _refuse(load(None, ()), refrigerant, found)
    return CaseCatalogue(
        catalogue=at_difference(own, refrigerant, found.application, asked.coil_difference_k),
        application=found.application,
        was_chosen=application is None,
        sst_k=found.sst_k,
        box=found.box,
    )


def _refuse(whole: Catalogue, refrigerant: str, found: CaseSst) -> None:
    """Say that an application does not cover a case, and which does: the whole catalogue knows."""
    try:
        check_covered(whole, refrigerant, found.application, found.sst_k)
    except RequestError as error:
        if found.box is None or not found.box.is_asked:
            raise
        difference = both_steps(found.box.coil_difference_k)
        raise RequestError(wording.NOT_COVERED(difference=difference, problem=str(error))) from None


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
    selection = Selection(override=override, also=also, part_numbers=part_numbers, stock=stock, leaves_out_rows=True)
    if refrigerant is not None and path.resolve().parent == packaged_configs().resolve():
        # A catalogue has plain names, however they were spelled by who asked.
        selection = Selection(
            refrigerant=str(refrigerant),
            application=application,
            override=override,
            part_numbers=part_numbers,
            stock=stock,
            leaves_out_rows=True,
        )
    return load_catalogue(path, selection)
