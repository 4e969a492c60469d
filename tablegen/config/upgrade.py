"""Config files of an earlier format under today's names: of keys, values, folders and columns."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from tablegen.config._applications import BY_REFRIGERANT
from tablegen.config._catalogue_model import FORMAT
from tablegen.config._input_files import (
    FOLDERS,
    OLD_FOLDERS,
    SUFFIX,
    config_files,
    path_beside,
    read_limited,
    shown_name,
)
from tablegen.config._nearby_part_model import PART_KINDS
from tablegen.config._part_numbers import MAX_BYTES, OLD_COLUMN, PART_NUMBER
from tablegen.config._publications import PUBLICATION_KINDS
from tablegen.config._validation import OldName, old_names
from tablegen.config.document import ConfigDocument, KeyPath, Yaml, document_of, parse_document, read_file, spell
from tablegen.config.family_model import FAMILY_KINDS
from tablegen.config.fields import Model
from tablegen.config.json_schema import MODELS
from tablegen.config.starter import KIND_OF_FOLDER
from tablegen.config.yaml_edit import edited, in_text_of, with_new_keys
from tablegen.errors import BadValue, ConfigError
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

_COMPANY = "company"
# Files whose key `kind` says which model they are.
_BY_KIND: Mapping[str, Mapping[str, type[Model]]] = {
    "family": FAMILY_KINDS,
    "publication": PUBLICATION_KINDS,
    "part": PART_KINDS,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class NewName:
    """A name in a file that is another today; of a folder `line` is 0, of a column of a list `key` is empty."""

    file: str
    line: int
    key: str
    was: str
    now: str
    is_value: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrade:
    """What becomes of the files of a catalogue: new contents by path, then new names of folders.

    `format` is what the catalogue stated, None where it stated none.
    """

    format: int | None
    renamings: tuple[NewName, ...]
    contents: Mapping[Path, bytes]
    folders: Mapping[Path, Path]


def upgrade_of(catalogue: Path) -> Upgrade:
    """What brings the files of a catalogue to today's format.

    Parameters
    ----------
    catalogue : Path
        The catalogue file; those of the folders beside it, and the lists that it names, are read too.

    Raises
    ------
    ConfigError
        If a file cannot be read, is no YAML, or the catalogue has a format that this version does not know.
    """
    folder = catalogue.parent
    contents: dict[Path, bytes] = {}
    renamings: list[NewName] = []
    problems: ConfigError | None = None
    data, stated = _upgraded_catalogue(catalogue, contents, renamings)
    named = data.get(_COMPANY)
    others = [(folder / "groups.yaml", "groups")]
    if isinstance(named, str) and named.endswith(SUFFIX) and _is_beside(folder, named):
        others.append((folder / named, _COMPANY))
    folders = {
        folder / old: folder / new for old, new in OLD_FOLDERS.items() if _is_renamed(folder / old, folder / new)
    }
    for name in (*FOLDERS, *(path.name for path in folders)):
        kind = KIND_OF_FOLDER[OLD_FOLDERS.get(name, name)]
        others += [(path, kind) for path in config_files(folder / name, shown_name(folder / name))[0]]
    for path, kind in others:
        try:
            content, found = _upgraded(read_file(path, shown_name(path)), shown_name(path), kind)
        except ConfigError as error:
            problems = ConfigError([*(problems.problems if problems else ()), *error.problems])
            continue
        if found:
            contents[path] = content
            renamings += found
    if problems:
        raise problems
    numbers = data.get("part_numbers")
    if isinstance(numbers, str) and numbers.lower().endswith(".csv") and _is_beside(folder, numbers):
        _upgrade_list(folder / numbers, contents, renamings)
    renamings += [
        NewName(file=shown_name(old), line=0, key="", was=old.name, now=new.name) for old, new in folders.items()
    ]
    return Upgrade(format=stated, renamings=tuple(renamings), contents=contents, folders=folders)


def _is_beside(folder: Path, name: str) -> bool:
    """Whether a config may name a file, which is there; what it may not is for `check` to report."""
    try:
        return path_beside(folder, name).is_file()
    except BadValue:
        return False


def _is_renamed(old: Path, new: Path) -> bool:
    return old.is_dir() and not os.path.lexists(new)


def _upgraded_catalogue(
    path: Path, contents: dict[Path, bytes], renamings: list[NewName]
) -> tuple[Mapping[str, Yaml], int | None]:
    """The catalogue file, which gets today's format; its data, and the format that it stated."""
    shown = shown_name(path)
    old = read_file(path, shown)
    document = document_of(old, shown)
    if "catalogue" not in document.data:
        raise ConfigError([document.problem(("catalogue",), wording.NO_CATALOGUE())])
    stated = document.data.get("format")
    if stated is not None and (type(stated) is not int or not 1 <= stated <= FORMAT):
        raise ConfigError([document.problem(("format",), str(BadValue(repr(stated), wording.FORMAT(latest=FORMAT))))])
    content, found = _upgraded(old, shown, "catalogue")
    renamings += found
    data = document_of(content, shown).data
    if stated != FORMAT:
        # Behind the first key, where people look for it.
        first, *others = data.items()
        wanted: dict[str, Yaml] = dict(
            [first, ("format", FORMAT), *((key, own) for key, own in others if key != "format")]
        )
        content = in_text_of(content, lambda text: edited(text, wanted, shown)[0])
    if content != old:
        contents[path] = content
    return data, stated


def _upgraded(content: bytes, shown: str, kind: str) -> tuple[bytes, list[NewName]]:
    """A config file of a kind with the names of today, and what was renamed in it."""
    # Which says what is wrong with it.
    document_of(content, shown)
    found: list[NewName] = []

    def edit(text: str) -> str:
        # What is below a renamed key shows once that has its new name.
        while names := list(_old_names(document := parse_document(text, shown), kind)):
            found.extend(_renaming(document, name) for name in names)
            _check_both(document, [name for name in names if not name.is_value])
            if keys := {name.path: name.new for name in names if not name.is_value}:
                text = with_new_keys(text, keys, shown)
            data = parse_document(text, shown).data
            for name in names:
                if name.is_value:
                    data = _with_value(data, name.path, name.new)
            text, _ = edited(text, data, shown)
        return text

    return in_text_of(content, edit), sorted(found, key=lambda own: own.line)


def _check_both(document: ConfigDocument, names: Iterable[OldName]) -> None:
    """See that no key is there under two names.

    Raises ConfigError if one is.
    """
    taken: dict[KeyPath, KeyPath] = {}
    problems = []
    for name in names:
        new = (*name.path[:-1], name.new)
        other = taken.setdefault(new, name.path) if name.new not in document.mapping(*name.path[:-1]) else new
        if other != name.path:
            text = wording.BOTH_NAMES(new=name.new, line=document.place(other).line)
            problems.append(document.problem(name.path, text))
    if problems:
        raise ConfigError(problems)


def _renaming(document: ConfigDocument, name: OldName) -> NewName:
    was = str(document.value(name.path) if name.is_value else name.path[-1])
    return NewName(
        file=document.file,
        line=document.place(name.path).line,
        key=spell(name.path),
        was=was,
        now=name.new,
        is_value=name.is_value,
    )


def _old_names(document: ConfigDocument, kind: str) -> Iterator[OldName]:
    """The old names that show in a file; keys first, since a value is found by the names of those above it."""
    found = [
        replace(name, path=(*at, *name.path))
        for at, part in _parts(document, kind)
        if (model := _model(part, kind)) is not None
        for name in old_names(model, part)
    ]
    keys = [name for name in found if not name.is_value]
    yield from keys or found


def _parts(document: ConfigDocument, kind: str) -> Iterator[tuple[KeyPath, ConfigDocument]]:
    """The mappings of a file that have the keys of its model, each with where it is."""
    if kind != "application":
        yield (), document
        return
    yield (), document.without(BY_REFRIGERANT)
    for name in document.mapping(BY_REFRIGERANT):
        yield (BY_REFRIGERANT, name), document.part((BY_REFRIGERANT, name))


def _model(document: ConfigDocument, kind: str) -> type[Model] | None:
    """The model of a file of a kind; None where none can be said."""
    if kind not in _BY_KIND:
        return MODELS[kind][0]
    return _BY_KIND[kind].get(str(document.data.get("kind")))


def _with_value(data: Mapping[str, Yaml], path: KeyPath, value: Yaml) -> dict[str, Yaml]:
    """Data with another value at a key."""

    def at(own: Yaml, rest: KeyPath) -> Yaml:
        if not rest:
            return value
        if isinstance(own, dict):
            return {key: at(item, rest[1:]) if key == rest[0] else item for key, item in own.items()}
        assert isinstance(own, list)
        return [at(item, rest[1:]) if index == rest[0] else item for index, item in enumerate(own)]

    made = at(dict(data), path)
    assert isinstance(made, dict)
    return made


def _upgrade_list(path: Path, contents: dict[Path, bytes], renamings: list[NewName]) -> None:
    """The list of part numbers with today's name of its column."""
    shown = shown_name(path)
    old = read_limited(path, shown, MAX_BYTES, input_errors.PART_NUMBER_LISTS_ARE_SMALL())
    header, end, rows = old.partition(b"\n")
    column = re.compile(rb'(?i)(^|[,;\t"]|\xbf)(' + OLD_COLUMN.encode() + rb')(?=\s*(["\r,;\t]|$))')
    if PART_NUMBER.encode() not in header.lower() and (found := column.search(header)):
        contents[path] = header[: found.start(2)] + PART_NUMBER.encode() + header[found.end(2) :] + end + rows
        renamings.append(NewName(file=shown, line=1, key="", was=found[2].decode(), now=PART_NUMBER))
