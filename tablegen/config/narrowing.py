"""A sound catalogue narrowed to what one case asks of it, so that nothing else has to be read or computed."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from tablegen.config.application_model import ApplicationModel
from tablegen.config.catalogue_files import (
    FAMILY_KINDS,
    CatalogueFiles,
    Override,
    articles_of,
    check_references,
    combined,
    members_in_use,
    read_application,
    refrigerants_at_valves,
    with_approvals,
)
from tablegen.config.catalogue_model import CatalogueModel, GroupModel, GroupsModel
from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.config.reader import Reader
from tablegen.config.refrigerants import refrigerant_files, refrigerants_as_asked
from tablegen.config.source import Document
from tablegen.model.property_store import PropertyStore


@dataclass(frozen=True, slots=True)
class Asked:
    """A refrigerant or group of a catalogue, and an application (None for all, so that one can be chosen)."""

    refrigerant: str
    application: str | None


def read_narrowed(
    reader: Reader,
    path: Path,
    store: PropertyStore,
    override: Override | None,
    asked: Asked,
    articles: Path | None = None,
) -> CatalogueFiles | None:
    """The files that a case takes; None if the catalogue does not know the refrigerant or the application.

    Raises
    ------
    ConfigError
        With every problem in what was read, such as in an override.
    """
    document = reader.document(path)
    catalogue = reader.model(CatalogueModel, document)
    groups_document = reader.document(path.parent / "groups.yaml")
    groups = reader.model(GroupsModel, groups_document)
    reader.stop_if_wrong()
    assert document
    assert catalogue
    assert groups_document
    assert groups
    combinations, left_out = combined(reader, document, catalogue)
    # Also what a rule takes away: the reason is part of the answer.
    own = _groups(catalogue, groups, asked.refrigerant)
    wanted = catalogue.applications if asked.application is None else [asked.application]
    if not own or not set(wanted) <= set(catalogue.applications):
        return None
    # A refrigerant alone is a case of its own; a group is one with all its members.
    only = None if asked.refrigerant in own else {"members": [asked.refrigerant]}
    narrowed = {name: group.model_copy(update=only) for name, group in own.items()}
    members = [name for group in narrowed.values() for name in group.members]
    refrigerants, refrigerant_documents = refrigerants_as_asked(reader, store)
    families = reader.by_kind("families", "family", FAMILY_KINDS)
    applications: dict[str, tuple[Document, ApplicationModel]] = {}
    for name in wanted:
        applications |= read_application(reader, path.parent / "applications" / f"{name}.yaml", override)
    models = [families[name][1] for name in catalogue.families if name in families]
    used = members_in_use(catalogue, groups.groups, combinations)
    every = tuple(name for name in dict.fromkeys([*used, *refrigerants_at_valves(models)]) if name in refrigerants)
    _note_the_rest(reader, every)
    listed = articles_of(reader, document, catalogue, families, articles)
    reader.stop_if_wrong()
    # The rules have been used.
    few = {"groups": list(own), "applications": wanted, "publications": [], "leave_out": []}
    files = CatalogueFiles(
        document,
        catalogue.model_copy(update=few),
        groups_document,
        groups.model_copy(update={"groups": narrowed}),
        refrigerants,
        refrigerant_documents,
        {name: (at, _family(model, members)) for name, (at, model) in families.items()},
        applications,
        {},
        tuple(c for c in combinations if c.group in own),
        left_out,
        every,
        listed,
    )
    check_references(reader, files)
    return with_approvals(reader, files, own)


def _note_the_rest(reader: Reader, refrigerants: Collection[str]) -> None:
    """Take note of the files that the case does not ask for, unread, for the fingerprint is that of the whole."""
    paths = refrigerant_files(reader)
    for path in (
        *reader.files_in("applications"),
        *reader.files_in("publications"),
        *(paths[name] for name in refrigerants),
    ):
        reader.bytes_of(path)


def _groups(catalogue: CatalogueModel, groups: GroupsModel, refrigerant: str) -> dict[str, GroupModel]:
    """Of the groups of a catalogue the one named, or those with a refrigerant; maybe none."""
    named = {name: groups.groups[name] for name in catalogue.groups}
    if refrigerant in named:
        return {refrigerant: named[refrigerant]}
    return {name: group for name, group in named.items() if refrigerant in group.members}


def _family(family: FamilyModel, members: Collection[str]) -> FamilyModel:
    """A family with those charges that serve some refrigerants, and with these alone."""
    if not isinstance(family, ThermostaticModel):
        return family
    charges = [
        charge.model_copy(update={"refrigerants": [name for name in charge.refrigerants if name in members]})
        for charge in family.charges
    ]
    return family.model_copy(update={"charges": [charge for charge in charges if charge.refrigerants]})
