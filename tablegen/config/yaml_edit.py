"""Change values in a YAML text and leave all else as it is written: comments, order, spaces, quotes."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from tablegen.config.document import KeyPath, NotUsable, Yaml, spell
from tablegen.config.yaml_text import Span, as_yaml, parse, spans
from tablegen.errors import ConfigError, FileProblem
from tablegen.wording import config_errors as wording

_BOM = b"\xef\xbb\xbf"


@dataclass(frozen=True, slots=True, order=True)
class Change:
    """A key with what the text has and what it gets; None where it has no such key, or gets none."""

    path: KeyPath
    was: Yaml
    now: Yaml


@dataclass(frozen=True, slots=True)
class _Edit:
    """A piece of a text by its offsets, and what takes its place."""

    start: int
    end: int
    new: str


def edited(text: str, wanted: Mapping[str, Yaml], shown: str) -> tuple[str, list[Change]]:
    """A text whose data are `wanted`, and what was changed in it; None as a value takes a key out.

    Raises ConfigError, with the file's name as it is `shown`, where it is written in a form that cannot be changed.

    Parameters
    ----------
    text : str
        A YAML mapping that is sound.
    wanted : mapping
        All its data, a new key behind the one that it belongs to.  A list keeps its length where only the mappings in it
        change; else it is written anew.
    """
    found = spans(text)
    edits: list[_Edit] = []
    changes: list[Change] = []
    _compare(text, found, (), parse(text).data, wanted, edits, changes)
    made = _with(text, edits)
    _check(made, _without_none(dict(wanted)), shown, changes[0].path if changes else (), parse(text).lines)
    return made, changes


def with_new_keys(text: str, names: Mapping[KeyPath, str], shown: str) -> str:
    """A text that is sound, with other names of the keys at some paths.

    Raises ConfigError as `edited`.
    """
    found, old = spans(text), parse(text)
    edits = []
    for path, new in names.items():
        at = found[path].at
        if key := re.compile(rf"(['\"]?){re.escape(str(path[-1]))}\1").match(text, at):
            edits.append(_Edit(at, key.end(), f"{key[1]}{new}{key[1]}"))
    made = _with(text, edits)
    _check(made, _renamed(old.data, (), names), shown, next(iter(names)), old.lines)
    return made


def _renamed(data: Yaml, path: KeyPath, names: Mapping[KeyPath, str]) -> Yaml:
    if isinstance(data, list):
        return [_renamed(item, (*path, index), names) for index, item in enumerate(data)]
    if not isinstance(data, dict):
        return data
    return {names.get((*path, key), key): _renamed(value, (*path, key), names) for key, value in data.items()}


def _check(text: str, wanted: Yaml, shown: str, path: KeyPath, lines: Mapping[KeyPath, int]) -> None:
    """See that a text that was edited has the data that it should have."""
    try:
        if parse(text).data == wanted:
            return
    except NotUsable:
        pass
    raise ConfigError([FileProblem(shown, lines.get(path, 0), spell(path), wording.CANNOT_BE_EDITED())])


def in_text_of(content: bytes, edit: Callable[[str], str]) -> bytes:
    """A file's bytes with its text edited, which gets line breaks of one character; byte order mark and line ends stay."""
    text = content.removeprefix(_BOM).decode("utf-8")
    if text.count("\r\n") == text.count("\n"):
        made = edit(text.replace("\r\n", "\n")).replace("\n", "\r\n")
    else:
        made = edit(text)
    return (_BOM if content.startswith(_BOM) else b"") + made.encode("utf-8")


def _with(text: str, edits: list[_Edit]) -> str:
    """A text with pieces of it changed."""
    # From the end, so that offsets stay valid; what is put in at one place goes in as it came.
    for _, edit in sorted(enumerate(edits), key=lambda pair: (pair[1].start, pair[0]), reverse=True):
        text = text[: edit.start] + edit.new + text[edit.end :]
    return text


def _without_none(data: Yaml) -> Yaml:
    if isinstance(data, dict):
        return {key: _without_none(value) for key, value in data.items() if value is not None}
    return [_without_none(item) for item in data] if isinstance(data, list) else data


def _compare(
    text: str,
    found: Mapping[KeyPath, Span],
    path: KeyPath,
    old: Mapping[str, Yaml],
    new: Mapping[str, Yaml],
    edits: list[_Edit],
    changes: list[Change],
) -> None:
    """Note the edits that make one mapping of a text another."""
    behind: KeyPath = ()
    for key, value in new.items():
        own = (*path, key)
        if key not in old:
            if value is not None:
                edits.append(_put_in(text, found, behind or (*path, next(iter(old))), key, value))
                changes.append(Change(own, None, value))
            continue
        was = old[key]
        if value is not None:
            behind = own
        if value is None and was is not None:
            edits.append(_taken_out(text, found[own]))
            changes.append(Change(own, was, None))
        elif isinstance(was, dict) and isinstance(value, dict) and was:
            _compare(text, found, own, was, _with_gaps(was, value), edits, changes)
        elif (items := _items(was, value)) is not None:
            for i, (before, after) in enumerate(items):
                _compare(text, found, (*own, i), before, _with_gaps(before, after), edits, changes)
        elif was != value:
            edits.append(_replaced(found[own], key, value))
            changes.append(Change(own, was, value))


def _with_gaps(old: Mapping[str, Yaml], new: Mapping[str, Yaml]) -> dict[str, Yaml]:
    """The new mapping with None for each key that it has no longer."""
    return {**new, **{key: None for key in old if key not in new}}


def _items(old: Yaml, new: Yaml) -> list[tuple[dict[str, Yaml], dict[str, Yaml]]] | None:
    """The mappings of two lists of mappings side by side; None for anything else."""
    if not (isinstance(old, list) and isinstance(new, list) and len(old) == len(new)):
        return None
    pairs = [(a, b) for a, b in zip(old, new, strict=True) if isinstance(a, dict) and isinstance(b, dict) and a]
    return pairs if len(pairs) == len(old) else None


def _written(key: str, value: Yaml, column: int, is_flow: bool) -> str:
    """A key with its value as it stands in a text, without its first indent."""
    if is_flow:
        return as_yaml({key: value}, is_flow=True).strip()[1:-1]
    lines = as_yaml({key: value}, None if isinstance(value, list | dict) else False).rstrip("\n").split("\n")
    return ("\n" + " " * column).join(lines)


def _replaced(span: Span, key: str, value: Yaml) -> _Edit:
    """A value in the place of another, and of the key before it, so that a list may begin on a line of its own."""
    return _Edit(span.at, span.end, _written(key, value, span.column, span.is_flow))


def _put_in(text: str, found: Mapping[KeyPath, Span], behind: KeyPath, key: str, value: Yaml) -> _Edit:
    """A new key behind another; in block style on a line of its own, behind a comment on the line."""
    span = found[behind]
    if span.is_flow:
        return _Edit(span.end, span.end, f", {_written(key, value, 0, True)}")
    line_end = text.find("\n", span.end)
    at = len(text) if line_end < 0 else line_end
    return _Edit(at, at, f"\n{' ' * span.column}{_written(key, value, span.column, False)}")


def _taken_out(text: str, span: Span) -> _Edit:
    """A key with its value, and in block style its line; in flow style the comma before it."""
    if span.is_flow:
        comma = text.rfind(",", 0, span.at)
        return _Edit(comma if not text[comma + 1 : span.at].strip() else span.at, span.end, "")
    line_end = text.find("\n", span.end)
    return _Edit(text.rfind("\n", 0, span.at) + 1, len(text) if line_end < 0 else line_end + 1, "")
