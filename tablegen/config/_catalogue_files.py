"""The files of a catalogue that a selection takes, checked against the names by which they refer to each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tablegen.config._applications import ApplicationFile, read_application
from tablegen.config._catalogue_model import CatalogueModel, GroupModel, GroupsModel
from tablegen.config._company_file import read_company
from tablegen.config._families import (
    FamilyFile,
    Known,
    check_approvals,
    check_approved,
    check_family_names,
    check_rules,
    without_left_out,
    without_unapproved,
)
from tablegen.config._input_files import misnamed_folders, path_beside, read_limited, shown_name
from tablegen.config._languages import LanguageFile, read_languages
from tablegen.config._nearby_part_model import PART_KINDS, PartFile
from tablegen.config._part_numbers import MAX_BYTES, read_part_numbers
from tablegen.config._publications import PUBLICATION_KINDS, PublicationModel
from tablegen.config._reader import Reader
from tablegen.config._stock_sheet import read_stock
from tablegen.config.document import ConfigDocument, KeyPath
from tablegen.config.family_model import FAMILY_KINDS
from tablegen.config.refrigerant_files import RefrigerantFiles
from tablegen.config.selection import Selection
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.model.booklet_contents import ENGINEERING
from tablegen.model.company import Company
from tablegen.model.part_numbers import PartNumber, part_number_of
from tablegen.model.property_store import PropertyStore
from tablegen.model.publications import Combination, LeaveOutRule
from tablegen.model.registry import Registry
from tablegen.model.stock import Stock
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors
from tablegen.wording import stock as stock_wording
from tablegen.wording.message import Message


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueFiles:
    """The files of a catalogue that a selection takes; of the others only the hash is noted.

    Each is sound by itself; `known` is whatever a rule may name, also what was not read.  Once they are combined,
    `families` are those of the catalogue, with the charges for the selected refrigerants, and `groups` and
    `applications` those of the catalogue that are selected; `publications` and `every_combination` are the whole
    catalogue's.  Then `used` are the refrigerants that tables are made
    for, `at_valves` those that valves are set with or offered for, `fingerprinted` both of the whole catalogue.
    """

    reader: Reader
    selection: Selection
    document: ConfigDocument
    catalogue: CatalogueModel
    company: Company
    groups_document: ConfigDocument
    groups: Mapping[str, GroupModel]
    refrigerants: RefrigerantFiles
    registry: Registry
    families: Mapping[str, FamilyFile]
    applications: Mapping[str, ApplicationFile]
    publications: Mapping[str, tuple[ConfigDocument, PublicationModel]]
    languages: Mapping[str, LanguageFile]
    known: Known
    parts: Mapping[str, PartFile]
    combinations: tuple[Combination, ...] = ()
    every_combination: tuple[Combination, ...] = ()
    left_out: tuple[LeaveOutRule, ...] = ()
    part_numbers: tuple[PartNumber, ...] = ()
    wrong_part_numbers: tuple[FileProblem, ...] = ()
    stock: Stock | None = None
    used: tuple[str, ...] = ()
    at_valves: tuple[str, ...] = ()
    fingerprinted: frozenset[str] = frozenset()


def read_files(path: Path, selection: Selection, store: PropertyStore) -> CatalogueFiles:
    """The files of the catalogue at `path`.

    Raises ConfigError with every problem found; references are checked once the files themselves are sound.
    """
    reader = Reader(path.parent)
    document = reader.document(path)
    catalogue = reader.model(CatalogueModel, document)
    groups_document = reader.document(path.parent / "groups.yaml")
    groups = reader.model(GroupsModel, groups_document)
    selection = selection.within(catalogue, groups.groups if groups else {})
    refrigerants = RefrigerantFiles(reader)
    if selection.is_whole:
        refrigerants.read_all()
    paths = {name: reader.files_in(name) for name in ("families", "applications", "publications", "parts")}
    families = reader.by_kind(paths["families"], "family", FAMILY_KINDS, paths["families"])
    applications = _applications(reader, paths["applications"], selection)
    publications = reader.by_kind(paths["publications"], "publication", PUBLICATION_KINDS, paths["publications"])
    parts = reader.by_kind(paths["parts"], "part", PART_KINDS, paths["parts"])
    reader.problems += misnamed_folders(path.parent, shown_name(path.parent))
    printed = [
        "-".join((name, *part))
        for name in paths["publications"]
        # One that is not sound may be a series, with sections of their own.
        for part in (publications[name][1].parts if name in publications else _any_parts)(paths["families"])
    ]
    translations = read_languages(reader, selection.is_whole)
    company = None
    if document and catalogue:
        languages = {catalogue.language, *(own.language_in(catalogue.language) for _, own in publications.values())}
        company = read_company(reader, document, catalogue, printed, languages)
    reader.stop_if_wrong()
    # What is not there has stopped it.
    assert document
    assert catalogue
    assert groups_document
    assert groups
    assert company
    files = CatalogueFiles(
        reader=reader,
        selection=selection,
        document=document,
        catalogue=catalogue,
        company=company,
        groups_document=groups_document,
        groups=groups.groups,
        refrigerants=refrigerants,
        registry=refrigerants.registry(store),
        families={name: FamilyFile(*own) for name, own in families.items()},
        applications=applications,
        publications=publications,
        languages=translations,
        known={"family": families, "group": groups.groups, "application": paths["applications"]},
        parts=parts,
    )
    _check_references(files, paths["publications"])
    return _combined(files)


def _any_parts(families: Iterable[str]) -> list[tuple[str, ...]]:
    """What may name the documents of a publication beside its own name."""
    booklets = [(), *((family,) for family in families)]
    return [*booklets, *((*own, ENGINEERING) for own in booklets)]


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


def _check_references(files: CatalogueFiles, publications: Iterable[str]) -> None:
    """Whatever a file names is there.

    Raises ConfigError if not.
    """
    reader, document, catalogue = files.reader, files.document, files.catalogue
    for key, given, known, what in (
        ("families", catalogue.families, files.families, input_errors.A_FAMILY),
        ("groups", catalogue.groups, files.groups, wording.A_GROUP),
        ("applications", catalogue.applications, files.known["application"], input_errors.AN_APPLICATION),
        ("publications", catalogue.publications, publications, wording.A_PUBLICATION),
        ("nearby_parts", catalogue.nearby_parts, files.parts, wording.A_PART),
    ):
        _check_names(reader, document, (key,), given, known, what)
    check_family_names(reader, {name: files.families[name] for name in catalogue.families if name in files.families})
    for name, group in files.groups.items():
        path = ("groups", name, "members")
        _check_names(reader, files.groups_document, path, group.members, files.registry, wording.A_MEMBER)
    check_rules(reader, document, catalogue.leave_out, files.known)
    for application in files.applications.values():
        application.check_refrigerants(reader, files.registry)
    for part_document, part in files.parts.values():
        check_approved(reader, part_document, part.approved.refrigerants, files.registry)
    reader.stop_if_wrong()


def _check_names(
    reader: Reader, document: ConfigDocument, path: KeyPath, given: Iterable[str], known: Iterable[str], what: Message
) -> None:
    seen: set[str] = set()
    for index, name in enumerate(given):
        if name not in known:
            reader.refuse_unknown(document, (*path, index), what(), name, known)
        if name in seen:
            reader.refuse(document, (*path, index), str(BadValue(repr(name), wording.LISTED_TWICE())))
        seen.add(name)


def _combined(files: CatalogueFiles) -> CatalogueFiles:
    """Families, groups and applications as the selection, rules and approvals leave them.

    Raises ConfigError if a rule or an approval is useless, or nothing is left.
    """
    reader, document, catalogue, registry = files.reader, files.document, files.catalogue, files.registry
    families = {name: files.families[name] for name in catalogue.families}
    every = [Combination(f, g, e) for f in families for e in catalogue.applications for g in catalogue.groups]
    left, by_rule = without_left_out(reader, document, catalogue.leave_out, every, files.known)
    reader.stop_if_wrong()
    part_numbers, wrong_part_numbers = _part_numbers(files)
    groups = files.selection.groups(catalogue, files.groups)
    selected = families
    if files.selection.refrigerant is not None:
        members = {member for group in groups.values() for member in group.members}
        selected = {name: replace(family, members=members) for name, family in families.items()}
    check_approvals(reader, selected.values(), registry)
    left, unapproved = without_unapproved(reader, files.groups_document, families, files.groups, registry, left)
    if not left:
        reader.refuse(document, ("families",), wording.APPROVED_FOR_NO_GROUP())
    fingerprinted = {*_members(files.groups, left), *_at_valves(families)} & registry.records.keys()
    for name in fingerprinted:
        reader.bytes_of(files.refrigerants.paths[name])
    reader.stop_if_wrong()
    of_groups = [c for c in left if c.group in groups]
    return replace(
        files,
        families=selected,
        groups=groups,
        applications={name: files.applications[name] for name in catalogue.applications if name in files.applications},
        publications={name: files.publications[name] for name in catalogue.publications if name in files.publications},
        combinations=tuple(c for c in of_groups if c.application in files.applications),
        every_combination=left,
        left_out=(*by_rule, *unapproved),
        part_numbers=part_numbers,
        wrong_part_numbers=wrong_part_numbers,
        stock=_stock(files, part_numbers),
        used=tuple(_members(groups, of_groups)),
        at_valves=tuple(_at_valves(selected)),
        fingerprinted=frozenset(fingerprinted),
    )


def _at_valves(families: Mapping[str, FamilyFile]) -> dict[str, None]:
    """The refrigerants that valves are rated or set with, charged with or offered for, in order."""
    return dict.fromkeys(name for family in families.values() for name in family.refrigerants())


def _members(groups: Mapping[str, GroupModel], combinations: Iterable[Combination]) -> dict[str, None]:
    """The refrigerants of the groups that are combined with anything."""
    used = {c.group for c in combinations}
    return dict.fromkeys(r for name, group in groups.items() if name in used for r in group.members)


def _part_numbers(files: CatalogueFiles) -> tuple[tuple[PartNumber, ...], tuple[FileProblem, ...]]:
    """The part numbers of the catalogue's families, from its list or that of the selection, and what is wrong in rows that are left out.

    Problems are noted.

    A list may name families that the catalogue does not list. What it has no number for gets that of its family's model
    code.
    """
    reader, name, other = files.reader, files.catalogue.part_numbers, files.selection.part_numbers
    models = {name: family.model for name, family in files.families.items()}
    found: tuple[PartNumber, ...] = ()
    wrong: tuple[FileProblem, ...] = ()
    small = input_errors.PART_NUMBER_LISTS_ARE_SMALL()
    try:
        if name is not None:
            path = path_beside(reader.folder, name)
            data = reader.bytes_of(path, MAX_BYTES, small)
            found, wrong = ((), ()) if data is None else read_part_numbers(data, shown_name(path), models)
        if other is not None:
            found, wrong = read_part_numbers(read_limited(other, str(other), MAX_BYTES, small), str(other), models)
    except BadValue as error:
        reader.refuse(files.document, ("part_numbers",), str(error))
    except ConfigError as error:
        reader.problems += error.problems
    if not files.selection.leaves_out_rows:
        reader.problems += wrong
    listed = tuple(own for own in found if not own.family or own.family in files.catalogue.families)
    codes = [own for family in files.catalogue.families if family in models for own in models[family].model_codes()]
    taken: dict[str, str] = {}
    for own in codes:
        if (owner := taken.setdefault(own.number, own.family)) != own.family:
            rule = wording.MODEL_CODE_TAKEN(code=own.number, owner=owner)
            reader.refuse(files.families[own.family].document, ("model_code", "pattern"), rule)
            break
    return (*listed, *(own for own in codes if not part_number_of(listed, own))), wrong


def _stock(files: CatalogueFiles, part_numbers: Sequence[PartNumber]) -> Stock | None:
    """The catalogue's stock sheet or that of the selection; problems are noted.

    Families that the catalogue does not list are left out: nothing of them is offered.
    """
    if files.selection.without_stock:
        return None
    reader, name, other = files.reader, files.catalogue.stock, files.selection.stock
    models = {name: family.model for name, family in files.families.items()}
    small, found, key = stock_wording.STOCK_SHEETS_ARE_SMALL(), None, ""
    try:
        if other is not None:
            found = read_stock(read_limited(other, str(other), MAX_BYTES, small), str(other), models, part_numbers)
        elif name is not None:
            path = path_beside(reader.folder, name)
            data, key = reader.bytes_of(path, MAX_BYTES, small), reader.key_of(path)
            found = None if data is None else read_stock(data, shown_name(path), models, part_numbers)
    except BadValue as error:
        reader.refuse(files.document, ("stock",), str(error))
    except ConfigError as error:
        reader.problems += error.problems
    if found is None:
        return None
    if not files.selection.leaves_out_rows:
        reader.problems += found.wrong
    items = tuple(item for item in found.items if item.valve.family in files.catalogue.families)
    # The date of the catalogue is that of its own sheet.
    return replace(found, items=items, key=key, date=None if other is not None else files.catalogue.stock_date)
