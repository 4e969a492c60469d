"""The files of a catalogue: read one after the other, and held to the names that they call each other by."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeAlias

from tablegen.config.application_model import ApplicationModel
from tablegen.config.articles import MOST_BYTES, RULE, read_articles
from tablegen.config.catalogue_model import CatalogueModel, GroupModel, GroupsModel
from tablegen.config.combining import Known, approved_of, check_approvals, check_mixed_approvals, check_rules, kept_of
from tablegen.config.family_model import FamilyModel, PulseModel, StepperModel, ThermostaticModel
from tablegen.config.folder import misnamed_folders
from tablegen.config.overlay import overridden
from tablegen.config.parsed import KeyPath
from tablegen.config.publication_model import PublicationModel
from tablegen.config.publications import read_publications
from tablegen.config.reader import Reader, shown_name
from tablegen.config.refrigerants import read_refrigerants
from tablegen.config.source import Document
from tablegen.config.text_file import read_limited
from tablegen.errors import ConfigError, unknown
from tablegen.model.inputs import Article, Combination, LeftOut
from tablegen.model.property_store import PropertyStore
from tablegen.model.registry import Registry
from tablegen.physics.refrigerants import Refrigerant

FAMILY_KINDS: dict[str, type[ThermostaticModel] | type[StepperModel] | type[PulseModel]] = {
    "thermostatic": ThermostaticModel,
    "stepper": StepperModel,
    "pulse_modulated": PulseModel,
}
# An application, and what is put over its file, for every refrigerant.
Override: TypeAlias = tuple[str, Document]


@dataclass(frozen=True, slots=True)
class CatalogueFiles:
    """The models in a catalogue's files with their documents, and what the catalogue combines.

    `every_refrigerant` names those of the whole catalogue where the models are narrowed to one case.
    """

    document: Document
    catalogue: CatalogueModel
    groups_document: Document
    groups: GroupsModel
    refrigerants: Registry
    refrigerant_documents: dict[str, Document]
    families: dict[str, tuple[Document, FamilyModel]]
    applications: dict[str, tuple[Document, ApplicationModel]]
    publications: dict[str, tuple[Document, PublicationModel]]
    combinations: tuple[Combination, ...]
    left_out: tuple[LeftOut, ...]
    every_refrigerant: tuple[str, ...] = ()
    articles: tuple[Article, ...] = ()

    @property
    def known(self) -> Known:
        """Every family, group and application that there is, in use or not."""
        return {"family": self.families, "group": self.groups.groups, "application": self.applications}


def read_files(
    reader: Reader, path: Path, store: PropertyStore, override: Override | None, articles: Path | None = None
) -> CatalogueFiles:
    """Every file of a catalogue and of the folders beside it; `articles` is a list in place of the catalogue's own.

    Raises
    ------
    ConfigError
        With every problem found; cross-references are looked at once the files themselves are sound.
    """
    folder = path.parent
    document = reader.document(path)
    catalogue = reader.model(CatalogueModel, document)
    groups_document = reader.document(folder / "groups.yaml")
    groups = reader.model(GroupsModel, groups_document)
    refrigerants, refrigerant_documents = read_refrigerants(reader, store)
    families = reader.by_kind("families", "family", FAMILY_KINDS)
    applications: dict[str, tuple[Document, ApplicationModel]] = {}
    for each in reader.files_in("applications"):
        applications |= read_application(reader, each, override)
    publications = read_publications(reader)
    reader.problems += misnamed_folders(folder, shown_name(folder))
    reader.stop_if_wrong()
    assert document
    assert catalogue
    assert groups_document
    assert groups
    files = CatalogueFiles(
        document,
        catalogue,
        groups_document,
        groups,
        refrigerants,
        refrigerant_documents,
        families,
        applications,
        publications,
        (),
        (),
    )
    check_references(reader, files)
    combinations, left_out = combined(reader, document, catalogue, files.known)
    listed = articles_of(reader, files.document, catalogue, families, articles)
    files = replace(files, combinations=combinations, left_out=left_out, articles=listed)
    return with_approvals(reader, files, groups.groups)


def articles_of(
    reader: Reader,
    document: Document,
    catalogue: CatalogueModel,
    families: Mapping[str, tuple[Document, FamilyModel]],
    other: Path | None,
) -> tuple[Article, ...]:
    """The articles of the catalogue's families, from its list or another one; problems are kept by the reader.

    A list may name families that the catalogue does not list.
    """
    models = {name: model for name, (_, model) in families.items()}
    found: tuple[Article, ...] = ()
    try:
        if catalogue.articles is not None:
            path = reader.folder / catalogue.articles
            if not path.resolve().is_relative_to(reader.folder.resolve()):
                text = f"{catalogue.articles!r} is not allowed; it must be a file beside the catalogue"
                raise ConfigError([document.problem(("articles",), text)])
            if not path.exists():
                text = f"{catalogue.articles!r} is not allowed; the file does not exist beside the catalogue"
                raise ConfigError([document.problem(("articles",), text)])
            data = reader.bytes_of(path, MOST_BYTES, RULE)
            found = () if data is None else read_articles(data, shown_name(path), models)
        if other is not None:
            found = read_articles(read_limited(other, str(other), MOST_BYTES, RULE), str(other), models)
    except ConfigError as error:
        reader.problems += error.problems
    return tuple(article for article in found if not article.family or article.family in catalogue.families)


def members_in_use(
    catalogue: CatalogueModel, groups: Mapping[str, GroupModel], combinations: Iterable[Combination]
) -> list[str]:
    """The refrigerants of the groups that are combined with anything."""
    used = {c.group for c in combinations}
    return list(dict.fromkeys(r for name in catalogue.groups if name in used for r in groups[name].members))


def refrigerants_at_valves(families: Iterable[FamilyModel]) -> list[str]:
    """The refrigerants that valves are set with, charged with or offered for."""
    names: list[str] = []
    for family in families:
        names += [family.rating.refrigerant] if family.rating else []
        for charge in family.charges if isinstance(family, ThermostaticModel) else ():
            names += [charge.setting.refrigerant, *([charge.fluid] if charge.fluid else []), *charge.refrigerants]
    return names


def combined(
    reader: Reader, document: Document, catalogue: CatalogueModel, known: Known | None = None
) -> tuple[tuple[Combination, ...], tuple[LeftOut, ...]]:
    """What the catalogue combines, and what it leaves out.

    Raises
    ------
    ConfigError
        If a rule could leave out nothing of all that is `known`, or all of them leave out everything.
    """
    every = [Combination(f, g, e) for f in catalogue.families for e in catalogue.applications for g in catalogue.groups]
    found = kept_of(reader, document, catalogue.leave_out, every, known)
    reader.stop_if_wrong()
    return found


def with_approvals(reader: Reader, files: CatalogueFiles, groups: Mapping[str, GroupModel]) -> CatalogueFiles:
    """Files whose combinations are those that the families are approved for, all members of `groups` considered.

    Raises
    ------
    ConfigError
        If an approved name is unknown, a charge is for a refrigerant that is not approved, or nothing is left.
    """
    for name in files.catalogue.families:
        check_approvals(reader, files.families[name], files.refrigerants)
    registry, of_groups = files.refrigerants, files.groups_document
    check_mixed_approvals(reader, of_groups, groups, registry, files.families, files.combinations)
    reader.stop_if_wrong()
    kept, rules = approved_of(files.families, groups, files.refrigerants, files.combinations)
    if not kept:
        text = "no family is approved for the refrigerants of any group that it is combined with"
        reader.problems.append(files.document.problem(("families",), text))
        reader.stop_if_wrong()
    return replace(files, combinations=kept, left_out=(*files.left_out, *rules))


def read_application(
    reader: Reader, path: Path, override: Override | None
) -> dict[str, tuple[Document, ApplicationModel]]:
    """An application by its name, with an override over it if it is that one's; nothing, if it is not sound."""
    document = reader.document(path)
    if document is None:
        return {}
    if override is not None and path.stem == override[0]:
        document = overridden(document, override[1])
    model = reader.model(ApplicationModel, document.without("by_refrigerant"))
    if model is None:
        return {}
    reader.check_stem(document, "application", model.application, path.stem)
    return {model.application: (document, model)}


def check_references(reader: Reader, files: CatalogueFiles) -> None:
    """Whatever a file names is there.

    Raises
    ------
    ConfigError
        If not.
    """
    document, catalogue, groups = files.document, files.catalogue, files.groups.groups
    _check_names(reader, document, ("families",), catalogue.families, files.families)
    _check_names(reader, document, ("groups",), catalogue.groups, groups)
    _check_names(reader, document, ("applications",), catalogue.applications, files.applications)
    _check_names(reader, document, ("publications",), catalogue.publications, files.publications)
    _check_family_names(reader, {name: files.families[name] for name in catalogue.families if name in files.families})
    for name, group in groups.items():
        _check_names(reader, files.groups_document, ("groups", name, "members"), group.members, files.refrigerants)
    check_rules(reader, document, catalogue.leave_out, files.known)
    _check_special(reader, files.applications, files.refrigerants)
    reader.stop_if_wrong()


def _check_names(reader: Reader, document: Document, path: KeyPath, given: Iterable[str], known: Iterable[str]) -> None:
    seen: set[str] = set()
    for index, name in enumerate(given):
        if name not in known:
            reader.problems.append(document.problem((*path, index), unknown(_singular(path), name, known)))
        if name in seen:
            reader.problems.append(document.problem((*path, index), f"{name!r} stands twice"))
        seen.add(name)


def _check_family_names(reader: Reader, families: Mapping[str, tuple[Document, FamilyModel]]) -> None:
    """No family is called as another one is, by its key or in print, for commands take either."""
    taken = {key.casefold(): key for key in families}
    for key, (document, model) in families.items():
        owner = taken.setdefault(model.name.casefold(), key)
        if owner != key:
            other = families[owner][0].file
            text = f"{model.name!r} is not allowed; the family {owner} ({other}) has that name already"
            reader.problems.append(document.problem(("name",), text))


def _check_special(
    reader: Reader, applications: dict[str, tuple[Document, ApplicationModel]], refrigerants: Mapping[str, Refrigerant]
) -> None:
    """The names in by_refrigerant are refrigerants; a misspelt one would leave its keys without effect."""
    for document, _ in applications.values():
        special = document.data.get("by_refrigerant", {})
        for name in special if isinstance(special, dict) else ():
            if name not in refrigerants:
                text = unknown("a refrigerant", name, refrigerants)
                reader.problems.append(document.problem(("by_refrigerant", name), text))


def _singular(path: KeyPath) -> str:
    last = str(path[-1])
    return {
        "families": "a family",
        "groups": "a group",
        "applications": "an application",
        "publications": "a publication",
        "members": "a member",
    }[last]
