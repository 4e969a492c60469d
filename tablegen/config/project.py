"""Load a folder of configs into a catalogue, or say every problem in it."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from pathlib import Path, PurePosixPath

import numpy as np

from tablegen.config import convert
from tablegen.config.application_model import ApplicationModel
from tablegen.config.catalogue_files import (
    CatalogueFiles,
    Override,
    members_in_use,
    read_files,
    refrigerants_at_valves,
)
from tablegen.config.charge_check import check_charge
from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.config.head_check import head_problems, own_heads, pressure_problems
from tablegen.config.narrowing import Asked, read_narrowed
from tablegen.config.overlay import overlaid
from tablegen.config.publications import publications_of
from tablegen.config.reader import Reader
from tablegen.config.refrigerants import own_refrigerants, uncomputable
from tablegen.config.source import Document
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Application, Catalogue, Combination, Family, LeftOut
from tablegen.model.property_store import PropertyStore
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant


def load_catalogue(
    path: Path,
    store: PropertyStore | None = None,
    also: Collection[str] | None = (),
    override: Override | None = None,
    articles: Path | None = None,
) -> Catalogue:
    """Read a catalogue file and the configs in the folders beside it.

    Parameters
    ----------
    path : Path
    store : PropertyStore, optional
        Where property tables come from.
    also : collection of str or None
        Refrigerants to have ready although no group holds them; None means all of the registry.
    override : Override, optional
        An application, and what is put over its file, for every refrigerant.
    articles : Path, optional
        A list of articles in place of the catalogue's own.

    Raises
    ------
    ConfigError
        With every problem found; cross-references are looked at once the files themselves are sound.
    RequestError
        If a refrigerant in `also` is not known.
    """
    reader = Reader(path.parent)
    files = read_files(reader, path, store or PropertyStore(), override, articles)
    loader = _Loader(reader, override)
    catalogue = loader.load(files, also)
    loader.check_heads(catalogue, files)
    return catalogue


def load_for_case(
    path: Path,
    asked: Asked,
    store: PropertyStore | None = None,
    override: Override | None = None,
    articles: Path | None = None,
) -> Catalogue:
    """As `load_catalogue`, of a catalogue that is known to be sound, with what a case asks for alone.

    What serves others is left out: their files are not read, their property tables not made, and charges are held to
    their rules with the refrigerants of the case alone.  A catalogue that does not know what is asked for is loaded
    whole, for a message to name what it has.
    """
    reader = Reader(path.parent)
    files = read_narrowed(reader, path, store or PropertyStore(), override, asked, articles)
    if files is None:
        return load_catalogue(path, store, override=override, articles=articles)
    return _Loader(reader, override).load(files, ())


class _Loader:
    """Turns models into inputs and keeps what is wrong, so that one run reports it all."""

    def __init__(self, reader: Reader, override: Override | None) -> None:
        self.reader = reader
        self.overridden = "" if override is None else override[0]

    def load(self, files: CatalogueFiles, also: Collection[str] | None) -> Catalogue:
        catalogue, groups, refrigerants = files.catalogue, files.groups.groups, files.refrigerants
        for name in () if also is None else also:
            if name not in refrigerants:
                raise RequestError(unknown("a refrigerant", name, refrigerants))
        used = members_in_use(catalogue, groups, files.combinations)
        used = list(dict.fromkeys([*used, *(refrigerants if also is None else also)]))
        at_valves = refrigerants_at_valves(files.families[name][1] for name in catalogue.families)
        wanted = [name for name in dict.fromkeys([*used, *at_valves]) if name in refrigerants]
        computed = dict.fromkeys([*wanted, *own_refrigerants(self.reader.folder)])
        self.reader.problems += uncomputable(computed, refrigerants, files.refrigerant_documents)
        self.reader.stop_if_wrong()
        made = self._made(files.families, catalogue.families, refrigerants)
        applied = self._applied(files.applications, catalogue.applications, used)
        files = self._with_equalizers(files, applied)
        publications = [files.publications[name] for name in catalogue.publications]
        printed = publications_of(self.reader, publications, made, files.combinations, files.known)
        self.reader.stop_if_wrong()
        return Catalogue(
            name=catalogue.catalogue,
            printing=convert.printing(catalogue),
            families=made,
            groups={g: convert.group(g, groups[g]) for g in catalogue.groups},
            applications=applied,
            combinations=files.combinations,
            left_out=files.left_out,
            refrigerants={name: refrigerants[name] for name in used},
            records={name: refrigerants.records[name] for name in used},
            settings={name: refrigerants[name] for name in at_valves if name in refrigerants},
            booklets=printed.booklets,
            charts=printed.charts,
            handouts=printed.handouts,
            files=_files(self.reader.files, files.every_refrigerant or wanted),
            uncertainty={name: refrigerants.records[name].uncertainty for name in wanted},
            confidence=convert.confidence(catalogue),
            articles=files.articles,
        )

    def check_heads(self, catalogue: Catalogue, files: CatalogueFiles) -> None:
        """Heads are such that refrigerants and valves can have them."""
        documents = {name: document for name, (document, _) in files.applications.items()}
        self.reader.problems += head_problems(catalogue, documents)
        self.reader.stop_if_wrong()
        families = {name: document for name, (document, _) in files.families.items()}
        self.reader.problems += pressure_problems(catalogue, families, documents)
        self.reader.stop_if_wrong()

    def _made(
        self,
        families: dict[str, tuple[Document, FamilyModel]],
        wanted: Iterable[str],
        refrigerants: Mapping[str, Refrigerant],
    ) -> dict[str, Family]:
        made = {}
        for name in wanted:
            document, model = families[name]
            if not self._check_rating(document, model, refrigerants):
                continue
            if not isinstance(model, ThermostaticModel):
                made[name] = convert.family(model, (convert.drive(model),), refrigerants)
                continue
            elements = []
            for index, charge in enumerate(model.charges):
                problems, element = check_charge(document, ("charges", index), model, charge, refrigerants)
                self.reader.problems += problems
                if element is not None:
                    elements.append(element)
            made[name] = convert.family(model, tuple(elements), refrigerants)
        return made

    def _check_rating(self, document: Document, model: FamilyModel, refrigerants: Mapping[str, Refrigerant]) -> bool:
        """Whether the rating can be used: its refrigerant is known and its states exist."""
        if model.rating is None:
            return True
        if model.rating.refrigerant not in refrigerants:
            text = unknown("a refrigerant", model.rating.refrigerant, refrigerants)
            self.reader.problems.append(document.problem(("rating", "refrigerant"), text))
            return False
        rating = convert.valve_rating(model.rating, refrigerants)
        recovery = model.pressure_recovery if model.pressure_recovery is not None else math.nan
        if not float(rating.capacity(np.asarray(1.0), FlowLaw(model.flow_law), recovery)) > 0.0:
            text = "the refrigerant has no such state, or no flow; look at its temperatures and pressure drop"
            self.reader.problems.append(document.problem(("rating",), text))
            return False
        return True

    def _applied(
        self, applications: dict[str, tuple[Document, ApplicationModel]], wanted: Iterable[str], used: list[str]
    ) -> dict[str, Application]:
        applied = {}
        for name in wanted:
            document, model = applications[name]
            base = document.without("by_refrigerant")
            special = document.data.get("by_refrigerant", {})
            if not isinstance(special, dict):
                text = "it must be a mapping of refrigerants to the keys that differ for them"
                self.reader.problems.append(document.problem(("by_refrigerant",), text))
                continue
            made: dict[str, ApplicationModel] = {}
            for refrigerant in used:
                own: ApplicationModel | None = model
                if refrigerant in special:
                    own = self._own_model(document, base, refrigerant, model)
                if own is not None:
                    made[refrigerant] = own
            applied[name] = convert.application(model, made, own_heads(document))
        return applied

    def _with_equalizers(self, files: CatalogueFiles, applied: dict[str, Application]) -> CatalogueFiles:
        """An internal equalizer feels the distributor's pressure drop, so the two do not go together.

        In a file that is an error; a distributor that a case sets only takes the family out of its answer.
        """
        lost: list[Combination] = []
        for c in files.combinations:
            document, model = files.families[c.family]
            if (
                not isinstance(model, ThermostaticModel)
                or model.equalizer != "internal"
                or c.application not in applied
            ):
                continue
            if all(e.losses.distributor_pa <= 0.0 for e in applied[c.application].systems.values()):
                continue
            lost.append(c)
            if c.application != self.overridden:
                text = (
                    f"'internal' is not allowed; application {c.application} has a distributor, whose pressure drop an "
                    "internal equalizer would feel (use external, or set losses.distributor to 0 psi)"
                )
                self.reader.problems.append(document.problem(("equalizer",), text))
        why = "Its internal equalizer would feel the pressure drop of the distributor."
        rules = tuple(
            LeftOut(families=(c.family,), groups=(c.group,), applications=(c.application,), why=why, count=1)
            for c in lost
        )
        kept = tuple(c for c in files.combinations if c not in lost)
        return replace(files, combinations=kept, left_out=(*files.left_out, *rules))

    def _own_model(
        self, document: Document, base: Document, refrigerant: str, model: ApplicationModel
    ) -> ApplicationModel | None:
        """The application with a refrigerant's own keys over it; those that name the table must stay."""
        path = ("by_refrigerant", refrigerant)
        if not isinstance(document.data["by_refrigerant"][refrigerant], dict):
            self.reader.problems.append(document.problem(path, "it must be a mapping of the keys that differ"))
            return None
        for key in ("application", "title", "temperature_range", "note", "site_pressure"):
            if key in document.data["by_refrigerant"][refrigerant]:
                text = "the key cannot differ between the refrigerants of one application"
                self.reader.problems.append(document.problem((*path, key), text))
        own = self.reader.model(ApplicationModel, overlaid(base, document.part(path)))
        if own is not None and convert.suction_grid(own).tolist() != convert.suction_grid(model).tolist():
            text = "suction.saturated_temperatures cannot differ between the refrigerants of one application"
            self.reader.problems.append(document.problem((*path, "suction"), text))
        return own


def _files(files: Mapping[str, str], refrigerants: Iterable[str]) -> dict[str, str]:
    """The files that a catalogue depends on: of the refrigerants only those that it uses."""
    used = set(refrigerants)
    return {
        key: digest
        for key, digest in sorted(files.items())
        if PurePosixPath(key).parent.name != "refrigerants" or PurePosixPath(key).stem in used
    }
