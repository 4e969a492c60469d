"""The files of a catalogue that a selection takes, checked against the names by which they refer to each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from tablegen.config._applications import BY_REFRIGERANT, ApplicationFile, read_application
from tablegen.config._catalogue_model import CatalogueModel, GroupModel, GroupsModel
from tablegen.config._combinations import Known, check_rules, without_left_out, without_unapproved
from tablegen.config._families import FamilyFile, check_approvals, check_family_names
from tablegen.config._input_files import misnamed_folders, read_limited, shown_name
from tablegen.config._publications import PUBLICATION_KINDS, PublicationModel
from tablegen.config._reader import Reader
from tablegen.config.articles import MAX_BYTES, read_articles
from tablegen.config.document import ConfigDocument, KeyPath
from tablegen.config.family_model import FAMILY_KINDS
from tablegen.config.refrigerant_files import RefrigerantFiles
from tablegen.config.selection import Selection
from tablegen.errors import BadValue, ConfigError, unknown
from tablegen.model.inputs import Article, Combination, LeaveOutRule
from tablegen.model.property_store import PropertyStore
from tablegen.model.registry import Registry
from tablegen.wording import config_errors as wording
from tablegen.wording import file_errors, input_errors
from tablegen.wording.message import Message


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueFiles:
    """What the files of a catalogue say, as far as a selection takes it.

    `families` are those of the catalogue, with the charges for the selected refrigerants; `groups` the selected ones.
    `used` are the refrigerants that tables are made for, `at_valves` those that valves are set with or offered for,
    `fingerprinted` both of the whole catalogue.
    """

    reader: Reader
    selection: Selection
    document: ConfigDocument
    catalogue: CatalogueModel
    refrigerants: RefrigerantFiles
    registry: Registry
    families: Mapping[str, FamilyFile]
    groups: Mapping[str, GroupModel]
    applications: Mapping[str, ApplicationFile]
    publications: Mapping[str, tuple[ConfigDocument, PublicationModel]]
    combinations: tuple[Combination, ...]
    left_out: tuple[LeaveOutRule, ...]
    articles: tuple[Article, ...]
    known: Known
    used: tuple[str, ...]
    at_valves: tuple[str, ...]
    fingerprinted: tuple[str, ...]


def read_files(path: Path, selection: Selection, store: PropertyStore) -> CatalogueFiles:
    """The files of the catalogue at `path`; of those that the selection does not take only the hash is noted.

    Raises
    ------
    ConfigError
        With every problem found; references are checked once the files themselves are sound.
    """
    reader = Reader(path.parent)
    document = reader.document(path)
    catalogue = reader.model(CatalogueModel, document)
    groups_document = reader.document(path.parent / "groups.yaml")
    read_groups = reader.model(GroupsModel, groups_document)
    groups = read_groups.groups if read_groups else {}
    selection = selection.within(catalogue, groups)
    refrigerants = RefrigerantFiles(reader)
    if selection.is_whole:
        refrigerants.read_all()
    paths = {name: reader.files_in(name) for name in ("families", "applications", "publications")}
    models = reader.by_kind(paths["families"], "family", FAMILY_KINDS, paths["families"])
    families = {name: FamilyFile(*own) for name, own in models.items()}
    applications = _applications(reader, paths["applications"], selection)
    wanted = paths["publications"] if selection.is_whole else ()
    publications = reader.by_kind(paths["publications"], "publication", PUBLICATION_KINDS, wanted)
    reader.problems += misnamed_folders(path.parent, shown_name(path.parent))
    reader.stop_if_wrong()
    assert document
    assert catalogue
    assert groups_document
    registry = refrigerants.registry(store)
    known: Known = {"family": families, "group": groups, "application": paths["applications"]}
    _check_names(reader, document, ("families",), catalogue.families, families, input_errors.A_FAMILY)
    _check_names(reader, document, ("groups",), catalogue.groups, groups, wording.A_GROUP)
    _check_names(
        reader, document, ("applications",), catalogue.applications, paths["applications"], input_errors.AN_APPLICATION
    )
    _check_names(
        reader, document, ("publications",), catalogue.publications, paths["publications"], wording.A_PUBLICATION
    )
    listed = {name: families[name] for name in catalogue.families if name in families}
    check_family_names(reader, listed)
    for name, group in groups.items():
        _check_names(reader, groups_document, ("groups", name, "members"), group.members, registry, wording.A_MEMBER)
    check_rules(reader, document, catalogue.leave_out, known)
    for application in applications.values():
        for name in application.special:
            if name not in registry:
                text = unknown(input_errors.A_REFRIGERANT(), name, registry)
                reader.refuse(application.document, (BY_REFRIGERANT, name), text)
    reader.stop_if_wrong()
    every = [Combination(f, g, e) for f in catalogue.families for e in catalogue.applications for g in catalogue.groups]
    left, by_rule = without_left_out(reader, document, catalogue.leave_out, every, known)
    reader.stop_if_wrong()
    articles = _articles(reader, document, catalogue, families, selection.articles)
    selected = selection.groups(catalogue, groups)
    if selection.refrigerant is not None:
        members = {member for group in selected.values() for member in group.members}
        listed = {name: replace(family, members=members) for name, family in listed.items()}
    check_approvals(reader, listed.values(), registry)
    left, unapproved = without_unapproved(reader, groups_document, listed, groups, registry, left)
    reader.stop_if_wrong()
    if not left:
        reader.refuse(document, ("families",), wording.APPROVED_FOR_NO_GROUP())
        reader.stop_if_wrong()
    fingerprinted = [
        *_members(groups, left),
        *(r for name in catalogue.families for r in families[name].refrigerants()),
    ]
    for name in dict.fromkeys(fingerprinted):
        if name in refrigerants:
            reader.bytes_of(refrigerants.paths[name])
    reader.stop_if_wrong()
    of_groups = [c for c in left if c.group in selected]
    return CatalogueFiles(
        reader=reader,
        selection=selection,
        document=document,
        catalogue=catalogue,
        refrigerants=refrigerants,
        registry=registry,
        families=listed,
        groups=selected,
        applications={name: applications[name] for name in catalogue.applications if name in applications},
        publications={name: publications[name] for name in catalogue.publications if name in publications},
        combinations=tuple(c for c in of_groups if c.application in applications),
        left_out=(*by_rule, *unapproved),
        articles=articles,
        known=known,
        used=tuple(_members(selected, of_groups)),
        at_valves=tuple(dict.fromkeys(r for family in listed.values() for r in family.refrigerants())),
        fingerprinted=tuple(dict.fromkeys(fingerprinted)),
    )


def _members(groups: Mapping[str, GroupModel], combinations: Iterable[Combination]) -> list[str]:
    """The refrigerants of the groups that are combined with anything."""
    used = {c.group for c in combinations}
    return list(dict.fromkeys(r for name, group in groups.items() if name in used for r in group.members))


def _applications(reader: Reader, paths: Mapping[str, Path], selection: Selection) -> dict[str, ApplicationFile]:
    """The selected applications by name; of the others only the hash is noted."""
    found = {}
    for stem, path in paths.items():
        if selection.application not in (None, stem):
            reader.bytes_of(path)
        elif (document := reader.document(path)) is not None:
            application = read_application(reader, document, stem, selection.override)
            if application is not None:
                found[stem] = application
    return found


def _articles(
    reader: Reader,
    document: ConfigDocument,
    catalogue: CatalogueModel,
    families: Mapping[str, FamilyFile],
    other: Path | None,
) -> tuple[Article, ...]:
    """The articles of the catalogue's families, from its list or another one; problems are noted by the reader.

    A list may name families that the catalogue does not list.
    """
    models = {name: family.model for name, family in families.items()}
    found: tuple[Article, ...] = ()
    small = file_errors.ARTICLE_LISTS_ARE_SMALL()
    try:
        if catalogue.articles is not None:
            path = reader.folder / catalogue.articles
            is_beside = path.resolve().is_relative_to(reader.folder.resolve())
            if not is_beside or not path.exists():
                rule = wording.NO_SUCH_FILE() if is_beside else wording.FILE_BESIDE()
                raise ConfigError([document.problem(("articles",), str(BadValue(repr(catalogue.articles), rule)))])
            data = reader.bytes_of(path, MAX_BYTES, small)
            found = () if data is None else read_articles(data, shown_name(path), models)
        if other is not None:
            found = read_articles(read_limited(other, str(other), MAX_BYTES, small), str(other), models)
    except ConfigError as error:
        reader.problems += error.problems
    return tuple(article for article in found if not article.family or article.family in catalogue.families)


def _check_names(
    reader: Reader, document: ConfigDocument, path: KeyPath, given: Iterable[str], known: Iterable[str], what: Message
) -> None:
    seen: set[str] = set()
    for index, name in enumerate(given):
        if name not in known:
            reader.refuse(document, (*path, index), unknown(what(), name, known))
        if name in seen:
            reader.refuse(document, (*path, index), str(BadValue(repr(name), wording.LISTED_TWICE())))
        seen.add(name)
