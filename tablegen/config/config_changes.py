"""Two states of a catalogue's files: the values that differ, by file and key, and files with some of them changed."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TypeAlias

from tablegen.config._input_files import config_files, shown_name
from tablegen.config.document import Yaml, read_document, read_file
from tablegen.dataset.causes import ConfigChange
from tablegen.dataset.input_changes import MISSING, KeySteps, Missing

# Folders with what limits are computed from.
LIMIT_FOLDERS = ("families", "applications", "refrigerants")
GROUPS = "groups.yaml"
# Keys of a catalogue that limits depend on; the others are words, and what is printed.
_OF_CATALOGUE = ("families", "groups", "applications", "confidence", "leave_out")
# Keys of a catalogue that name other files.
_NAMING = ("publications", "part_numbers", "stock", "nearby_parts", "language")
# What the items of a list are called by.
_NAMES = ("size", "charge", "design", "name")
Value: TypeAlias = "Yaml | Missing"


class ConfigStates:
    """The files of an earlier and of a later state of a catalogue, without what only prints.

    Parameters
    ----------
    old, new : Path
        Catalogue files.

    Attributes
    ----------
    changes : tuple of ConfigChange
        What differs in keys that limits may depend on, in the order of the later state.
    """

    def __init__(self, old: Path, new: Path) -> None:
        self._name = new.name
        # Where nothing differs nothing is read.
        self._old_bytes, new_bytes = (dict(_files(path, new.name)) for path in (old, new))
        differing = [
            name
            for name in dict.fromkeys([*new_bytes, *self._old_bytes])
            if name == new.name or new_bytes.get(name) != self._old_bytes.get(name)
        ]
        self._old, self._new = (
            {name: _data(path, name, new.name) for name in differing if name in found}
            for path, found in ((old, self._old_bytes), (new, new_bytes))
        )
        self.changes = tuple(self._walk(differing))

    def write(self, folder: Path, changes: Collection[ConfigChange] = ()) -> Path:
        """Write the earlier state with some of its values changed into a new folder; return its catalogue file."""
        wanted: dict[str, list[ConfigChange]] = {}
        for change in changes:
            wanted.setdefault(change.file, []).append(change)
        for name in dict.fromkeys([*self._old_bytes, *wanted]):
            content: Value = self._old.get(name, MISSING)
            for change in wanted.get(name, ()):
                content = _changed(content, change.path, change.now, self._new.get(name, MISSING))
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            if name not in wanted and name != self._name:
                path.write_bytes(self._old_bytes[name])
            elif not isinstance(content, Missing):
                # JSON is YAML, too.
                path.write_text(json.dumps(content, ensure_ascii=False, indent=1), encoding="utf-8", newline="\n")
        return folder / self._name

    def _walk(self, names: Iterable[str]) -> Iterator[ConfigChange]:
        for name in names:
            for path, earlier, now in _differences((), self._old.get(name, MISSING), self._new.get(name, MISSING)):
                if name != self._name or path[0] in _OF_CATALOGUE:
                    yield ConfigChange(file=name, path=path, earlier=earlier, now=now)


def _files(catalogue: Path, name: str) -> Iterator[tuple[str, bytes]]:
    """The files that limits are computed from, as seen from the catalogue, which is called `name`."""
    folder = catalogue.parent
    yield name, read_file(catalogue, shown_name(catalogue))
    yield GROUPS, read_file(folder / GROUPS, shown_name(folder / GROUPS))
    for own in LIMIT_FOLDERS:
        for path in config_files(folder / own, own)[0]:
            yield f"{own}/{path.name}", read_file(path, shown_name(path))


def _data(catalogue: Path, name: str, catalogue_name: str) -> dict[str, Yaml]:
    """The data of a file; of a catalogue without the keys that name files which only print."""
    if name != catalogue_name:
        return read_document(catalogue.parent / name, name).data
    data = read_document(catalogue, name).data
    return {**{key: value for key, value in data.items() if key not in _NAMING}, "company": "company"}


def _differences(path: KeySteps, old: Value, new: Value) -> Iterator[tuple[KeySteps, Value, Value]]:
    was, now = _named(old), _named(new)
    if was is not None and now is not None:
        for step in dict.fromkeys([*now, *was]):
            yield from _differences((*path, step), was.get(step, MISSING), now.get(step, MISSING))
    elif old != new:
        yield path, old, new


def _named(value: Value) -> Mapping[str, Yaml] | None:
    """What is below a value, by key or by the name of a list's item; None for a value that is taken as a whole."""
    if isinstance(value, dict):
        return value
    if not isinstance(value, list) or not value:
        return None
    for name in _NAMES:
        keys = [str(item.get(name, "")) if isinstance(item, dict) else "" for item in value]
        if all(keys) and len(set(keys)) == len(keys):
            return dict(zip(keys, value, strict=True))
    return None


def _changed(value: Value, path: Sequence[str], now: Value, later: Value) -> Value:
    """A value with another one below it; `later` is its later state, whose order an item that is added takes."""
    if not path:
        return now
    step, rest = path[0], path[1:]
    own, after = dict(_named(value) or {}), _named(later) or {}
    below = _changed(own.get(step, MISSING), rest, now, after.get(step, MISSING))
    if isinstance(below, Missing):
        own.pop(step, None)
    elif step in own:
        own[step] = below
    else:
        own = _inserted(own, step, below, list(after))
    return list(own.values()) if isinstance(value, list) else own


def _inserted(own: Mapping[str, Yaml], step: str, value: Yaml, order: Sequence[str]) -> dict[str, Yaml]:
    """An item before the first of those that are behind it in the later order."""
    behind = set(order[order.index(step) + 1 :])
    keys = list(own)
    place = next((i for i, key in enumerate(keys) if key in behind), len(keys))
    return {key: value if key == step else own[key] for key in (*keys[:place], step, *keys[place:])}
