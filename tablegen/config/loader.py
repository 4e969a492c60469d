"""Load a catalogue, or what one case takes of it, from its folder of configs; or report every error in them.

Everything is loaded by the same rules: a selection only reads and computes less.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path, PurePosixPath

from tablegen.config._booklet_model import BookletModel
from tablegen.config._catalogue_files import CatalogueFiles, read_files
from tablegen.config._languages import check_languages
from tablegen.config._loop_checks import check_loops
from tablegen.config._publications import Publications
from tablegen.config.checks import check_heads
from tablegen.config.family_model import ThermostaticModel
from tablegen.config.refrigerant_files import own_refrigerants, uncomputable
from tablegen.config.selection import Selection
from tablegen.errors import BadValue, RequestError, unknown
from tablegen.model.inputs import Application, Catalogue, Group
from tablegen.model.property_store import PropertyStore
from tablegen.model.publications import Combination, LeaveOutRule
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

EVERYTHING = Selection()


def load_catalogue(path: Path, selection: Selection = EVERYTHING, store: PropertyStore | None = None) -> Catalogue:
    """Read a catalogue file and the configs in the folders beside it.

    Parameters
    ----------
    path : Path
    selection : Selection
        What of it is wanted.  A selection of a refrigerant or an application is for a catalogue that is known to be
        sound: files that it does not take are not read, and charges are checked with the selected refrigerants alone.
    store : PropertyStore, optional
        Where property tables come from.

    Raises
    ------
    ConfigError
        With every problem found; references are checked once the files themselves are sound.
    RequestError
        If a refrigerant in `selection.also` is not known.
    """
    files = read_files(path, selection, store or PropertyStore())
    reader, registry, catalogue = files.reader, files.registry, files.catalogue
    also = registry if selection.also is None else selection.also
    for name in also:
        if name not in registry:
            raise RequestError(unknown(input_errors.A_REFRIGERANT(), name, registry))
    # A catalogue has plain names, however they were spelled by who asked.
    used = list(dict.fromkeys([*files.used, *map(str, also)]))
    wanted = [name for name in dict.fromkeys([*used, *files.at_valves]) if name in registry]
    own = own_refrigerants(reader.folder) if files.selection.is_whole else []
    reader.problems += uncomputable(dict.fromkeys([*wanted, *own]), registry, files.refrigerants)
    reader.stop_if_wrong()
    made = {name: family.inputs(reader, registry) for name, family in files.families.items()}
    families = {name: family for name, family in made.items() if family is not None}
    applications = {name: application.inputs(reader, used) for name, application in files.applications.items()}
    lost = _lost_equalizers(files, applications)
    combinations = tuple(c for c in files.combinations if c not in lost)
    publications = Publications(
        reader=reader,
        families=families,
        applications=applications,
        # What booklets print does not depend on what is asked.
        combinations=combinations if files.selection.is_whole else files.every_combination,
        known=files.known,
        language=catalogue.language,
        groups={name: group.members for name, group in files.groups.items()},
        stock=files.stock,
        everything_in_stock=selection.without_stock,
        wholesaler=files.company.wholesaler,
    )
    for document, model in files.publications.values():
        if files.selection.is_whole or isinstance(model, BookletModel):
            publications.add(document, model)
    reader.stop_if_wrong()
    loaded = Catalogue(
        name=catalogue.catalogue,
        printing=catalogue.printing(files.company),
        families=families,
        groups={name: group.into(Group, name=name) for name, group in files.groups.items()},
        applications=applications,
        combinations=combinations,
        left_out=(*files.left_out, *(_left_out(c) for c in lost)),
        refrigerants={name: registry[name] for name in used},
        records={name: registry.records[name] for name in used},
        settings={name: registry[name] for name in files.at_valves},
        booklets=tuple(publications.booklets),
        charts=tuple(publications.charts),
        labels=tuple(publications.labels),
        handouts=tuple(publications.handouts),
        files=_fingerprinted(reader.files, {*files.fingerprinted, *also}),
        uncertainty={name: registry.records[name].uncertainty for name in wanted},
        confidence=catalogue.confidence.inputs() if catalogue.confidence else None,
        part_numbers=files.part_numbers,
        wrong_part_numbers=files.wrong_part_numbers,
        stock=files.stock,
        unstocked=tuple(publications.unstocked),
        known_refrigerants=tuple(registry.records),
        nearby_parts=tuple(files.parts[name][1].inputs() for name in catalogue.nearby_parts),
        translations={code: model.texts for code, (_, model) in files.languages.items()},
    )
    if not selection.is_to_translate:
        check_languages(reader, loaded, files.languages)
    reader.stop_if_wrong()
    documents = {name: own.document for name, own in files.families.items()}
    check_loops(reader, loaded, documents)
    reader.stop_if_wrong()
    check_heads(reader, loaded, documents, {name: own.document for name, own in files.applications.items()})
    return loaded


def _lost_equalizers(files: CatalogueFiles, applications: Mapping[str, Application]) -> list[Combination]:
    """Combinations of an internal equalizer, which senses the distributor's pressure drop, with a distributor.

    In a file that is a problem; a distributor that a case sets only takes the family out of its answer.
    """
    override = files.selection.override
    lost = []
    for c in files.combinations:
        family, application = files.families[c.family], applications[c.application]
        is_internal = isinstance(family.model, ThermostaticModel) and family.model.equalizer == "internal"
        if not is_internal or all(e.losses.distributor_pa <= 0.0 for e in application.systems.values()):
            continue
        lost.append(c)
        if override is None or c.application != override.application:
            text = str(BadValue(repr("internal"), wording.INTERNAL_EQUALIZER(application=c.application)))
            files.reader.refuse(family.document, ("equalizer",), text)
    return lost


def _left_out(c: Combination) -> LeaveOutRule:
    why = wording.EQUALIZER_LEFT_OUT()
    return LeaveOutRule(families=(c.family,), groups=(c.group,), applications=(c.application,), why=why, count=1)


def _fingerprinted(files: Mapping[str, str], refrigerants: Iterable[str]) -> dict[str, str]:
    """The files that a catalogue depends on: of the refrigerants only those that it uses."""
    used = set(refrigerants)
    return {
        key: digest
        for key, digest in sorted(files.items())
        if PurePosixPath(key).parent.name != "refrigerants" or PurePosixPath(key).stem in used
    }
